"""Pages: all pictures for the hands, a page a topic, each to be taken away as a file."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import ASK_MAKER
from firstway.drawing.hands.frame import Made
from firstway.drawing.hands.library import (
    BY_ID,
    PICTURE_TOPICS,
    HandPicture,
    drawn_picture,
    made_for,
)
from firstway.drawing.svg import Drawn, standalone
from firstway.files.keeping import kept_each
from firstway.files.reads import note_read
from firstway.frozen import dataclass
from firstway.pages.shared.hand_picture import hand_picture_html
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.citing import RULE_WORDS
from firstway.rendering.html import Markup, caution_html, html_identity, joined, tag

PICTURES_FOLDER, PICTURES_KEPT = "pictures", "pictures"
LICENCE = "MIT licence: copy it, change it, hand it on, with the notice of assets/licences."
_INDEX = """\
# All pictures

For the trainee who wants to see how a thing is done, and for the tutor who puts a picture on the
wall. Right stands beside wrong wherever there is a wrong.
{{ .for }}

{caution}

Each picture is a file of its own to take away. {licence}

{pictures}
"""
_TEXT = """\
# {title}: pictures

Pictures for the hands. [All pictures](index.md) lists the others.
{{ .for }}

{caution}

{pictures}

{licence}
"""


@dataclass(frozen=True)
class ShownPicture:
    """A picture as it stands on its page, and as a file to take away; the job it was made from
    ("" for none).
    """

    picture: HandPicture
    description: str
    html: str
    svg: str
    job: str


def shown_pictures(project: Project, stands: Callable[[str], str]) -> list[ShownPicture]:
    """Every picture that can be made, from the first job that states all its figures; one to the
    NEC serves only where no other can. Each is kept, and made anew where a job that it asked has
    changed.
    """

    def make(name: str) -> tuple[list[str] | None, bool]:
        found = _made(BY_ID[name], project)
        if found is None:
            return None, True
        made, drawn, job = found
        html = hand_picture_html(made, drawn)
        return [made.sheet.description, str(html), standalone(drawn), job], True

    given = kept_each(PICTURES_KEPT, "all", dict.fromkeys(BY_ID, ""), make, stands)
    for _, reads in given.values():
        note_read(*reads)
    return [ShownPicture(BY_ID[name], *data) for name, (data, _) in given.items() if data]


def _made(picture: HandPicture, project: Project) -> tuple[Made, Drawn, str] | None:
    if picture.make is not None:
        each = drawn_picture(picture, None, "")
        return None if isinstance(each, str) else (*each, "")
    found = None
    for job, name in _places(picture, project):
        each = drawn_picture(picture, job, name)
        if isinstance(each, str):
            continue
        found = *each, f"{job.installation.title} ({RULE_WORDS[job.installation.rules]})"
        if not any(ASK_MAKER in figure.words for figure in each[0].figures):
            return found
    return found


def _places(picture: HandPicture, project: Project) -> Iterator[tuple[Completed, str]]:
    """Jobs by country, so that a page shows parts, names and colours of one."""
    last = []
    for job in project.jobs:
        if job.installation.rules == "nec":
            last.append(job)
        else:
            yield from ((job, name) for name in made_for(picture, job))
    for job in last:
        yield from ((job, name) for name in made_for(picture, job))


def pictures_pages(project: Project, stands: Callable[[str], str]) -> list[PageSheet]:
    """The list of all pictures, and a page a topic."""
    shown = shown_pictures(project, stands)
    topics = [
        topic for topic in PICTURE_TOPICS if any(each.picture.topic == topic for each in shown)
    ]
    return [
        PageSheet(
            f"{PICTURES_FOLDER}/index.md",
            "All pictures",
            _INDEX.format(
                caution=part_mark("caution"), pictures=part_mark("pictures"), licence=LICENCE
            ),
            {
                "caution": caution_html(),
                "pictures": joined(_list_html(topic, shown) for topic in topics),
            },
            "Every picture for the hands: terminations, bars, entries, tests, PEN, surge, heat.",
        ),
        *(
            PageSheet(
                f"{PICTURES_FOLDER}/{_slug(topic)}.md",
                f"{topic}: pictures",
                _TEXT.format(
                    title=topic,
                    caution=part_mark("caution"),
                    pictures=part_mark("pictures"),
                    licence=LICENCE,
                ),
                {
                    "caution": caution_html(),
                    "pictures": joined(
                        _picture_html(each) for each in shown if each.picture.topic == topic
                    ),
                },
                f"{topic}: pictures for the hands.",
            )
            for topic in topics
        ),
    ]


def _slug(topic: str) -> str:
    return topic.lower().replace(" ", "-")


def _list_html(topic: str, shown: list[ShownPicture]) -> Markup:
    links = [
        tag("li", tag("a", each.picture.title, href=f"{_slug(topic)}.html#{each.picture.id}"))
        for each in shown
        if each.picture.topic == topic
    ]
    return tag("h2", topic, id=html_identity(topic)) + tag("ul", *links)


def _picture_html(shown: ShownPicture) -> Markup:
    picture = shown.picture
    name = f"{picture.id}.svg"
    return (
        tag("h2", picture.title, id=picture.id)
        + tag("p", shown.description)
        + Markup(shown.html)
        + tag(
            "p",
            *([f"Made from the file of {shown.job}. "] if shown.job else []),
            tag("a", name, href=f"files/{name}", download=True),
        )
    )


def picture_files(project: Project, stands: Callable[[str], str]) -> list[tuple[str, str]]:
    """Path in the guide and SVG of every picture, to take away."""
    return [
        (f"{PICTURES_FOLDER}/files/{each.picture.id}.svg", each.svg)
        for each in shown_pictures(project, stands)
    ]
