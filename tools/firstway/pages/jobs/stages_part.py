"""Pages: the page of fitting a board: the open board by stage.

For the installer who fits it and the trainee who wants to see why in this order.
"""

from collections.abc import Sequence

from firstway.choosing.completing import Completed
from firstway.drawing.front.board_front import board_front
from firstway.drawing.hands.library import BY_ID, drawn_picture, made_for
from firstway.drawing.inside_device import inside_of
from firstway.drawing.lifelike.picture import BoxPicture, box_pictured
from firstway.drawing.lifelike.staging import at_stage
from firstway.drawing.part_words import spoken_conductor, spoken_part
from firstway.drawing.stages import AUTHORISED_STAGE, Stage, stages_of
from firstway.drawing.svg import Drawn
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known
from firstway.pages.jobs.fitting_part import terminals_table
from firstway.pages.shared.hand_picture import hand_picture_html
from firstway.pages.shared.markup import inert
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.rendering.html import (
    Markup,
    caution_html,
    caution_line,
    html_identity,
    joined,
    list_html,
    sentence,
    tag,
)

ONE_BY_ONE = tag("link", rel="stylesheet", href="{root}assets/stages.css") + tag(
    "script", src="{root}assets/stages.js", defer=True
)
"""What shows each `.stage` after a heading alone, with buttons."""
STAGES_PAGE, PATHS_PAGE = "fitting", "paths"
NO_TERMINALS = ("before", "bar", "supply-end")


def fitting_path(completed: Completed) -> str:
    """Where the page stands in the guide."""
    return f"jobs/{completed.installation.name}/{STAGES_PAGE}.md"


def fitting_page(
    completed: Completed, board: Drawn | None = None, box: BoxPicture | None = None
) -> PageSheet:
    """The page of a job's fitting: the open board, drawn once and then only referred to; `board`
    is its front, where the job's page has no room for it, `box` the open board where it is drawn
    already.
    """
    installation = completed.installation
    stages = stages_of(completed)
    picture = box or box_pictured(completed, f"{installation.name}-lifelike")
    parts = {
        "caution": caution_html(),
        "open": tag("div", picture_html(picture.drawn), class_="whole"),
        "edition": _edition(completed),
        "one-by-one": ONE_BY_ONE,
    }
    text = [
        f"# Fitting: {inert(installation.title)}",
        (
            "For the installer who fits this board, and for the trainee who wants to see why in"
            " this order. The order is common practice; the makers' instructions come first where"
            " they differ. [Back to the job](index.md) ·"
            f" [Where the current flows]({PATHS_PAGE}.md)"
        ),
        part_mark("caution"),
        "## The board complete {#complete}",
        part_mark("open"),
        *(["## Board front {#board-front}", part_mark("board")] if board else []),
        "## By stage {#stages}",
        (
            "In each picture what is new stands in full colour and is named. What is fitted already"
            " is pale, so that it hides nothing; what comes later is left out. New conductors show"
            " through what stands before them."
        ),
    ]
    if board:
        parts["board"] = picture_html(board)
    for place, stage in enumerate(stages, 1):
        name = f"stage-{stage.id}"
        parts[name] = stage_html(completed, stages, place, picture)
        text += [f"### {place}. {stage.title} {{#{name}}}", part_mark(name)]
    text += [part_mark("one-by-one"), "## Edition {#edition}", part_mark("edition")]
    return PageSheet(
        fitting_path(completed),
        f"Fitting: {installation.title}",
        NOT_SEARCHED + "\n\n".join(text) + "\n",
        parts,
        f"The board of {installation.title}, stage by stage.",
    )


def stage_html(
    completed: Completed,
    stages: Sequence[Stage],
    place: int,
    picture: BoxPicture,
) -> Markup:
    """One stage: who, what must be dead, why, what is new, its terminals, its picture."""
    stage = stages[place - 1]
    by = tag("strong", stage.by) if stage.by == AUTHORISED_STAGE else stage.by
    words = (
        tag("p", tag("span", by, class_="chip"), class_="stage-by")
        + tag("p", stage.reason)
        + tag(
            "p",
            tag("strong", "Live." if stage.id == "live-tests" else "Dead first."),
            f" {stage.isolation}",
            class_="stage-isolation",
        )
        + list_html(stage.points, "ticks")
    )
    new = _new(completed, stage)
    if new:
        words += tag(
            "p",
            "Standing already" if stage.id == "before" else "New in this stage",
            ", in this order:",
        ) + list_html(new)
    if stage.id == "bar":
        words += tag(
            "p",
            "A tooth shares its terminal's clamp: tighten it as the maker of the device states.",
        )
    words += _insides(completed, stage)
    words += _by_hand(completed, stage)
    places = _places(completed, stage)
    table = terminals_table(completed.installation, places) if places else ""
    shown = picture_html(at_stage(picture, stages, place))
    if stage.id == "labels":  # the words of each label, square to the eye
        closed = board_front(completed, f"{completed.installation.name}-closed", cover_on=True)
        shown += picture_html(closed)
    return stage_beside(words, shown, table)


def _insides(completed: Completed, stage: Stage) -> Markup:
    """The inside of the devices this stage fits or joins, where they have more poles than a single
    line shows.
    """
    wanted = {"surge-leads": ("spd",), "devices": ("rcbo", "rcd")}.get(stage.id, ())
    drawn = [
        inside_of(completed, way.name, f"{completed.installation.name}-{way.name}-inside")
        for way in completed.installation.board.ways
        if way.device in wanted
    ]
    pictures = joined(
        tag(
            "figure",
            tag("div", each.html, class_="sheet"),
            tag("figcaption", each.title),
            class_="drawing",
        )
        for each in drawn
        if each
    )
    return tag("div", pictures, class_="insides") if pictures else Markup()


def _by_hand(completed: Completed, stage: Stage) -> Markup:
    """How it is done, where this stage asks for it: the clamp of the first device that states its
    figures, the leads of the surge protective device, the gland of the first armoured cable.
    """
    installation = completed.installation
    place = installation.board.place
    outdoors = is_known(place) and place.location != "indoors"
    wanted = {
        "torque": "tightening",
        "surge-leads": "spd-leads",
        "outgoing": "gland-outdoors" if outdoors else "gland-indoors",
    }
    picture = BY_ID.get(wanted.get(stage.id, ""))
    of = next(made_for(picture, completed), None) if picture else None
    found = drawn_picture(picture, completed, of) if picture and of else ""
    return Markup() if isinstance(found, str) else hand_picture_html(*found)


def stage_beside(words: str, picture: str, table: str = "") -> Markup:
    """One after the other on a screen; on paper the picture stands beside the words, the table
    under both.
    """
    return tag("div", tag("div", words, class_="stage-words"), table, picture, class_="stage")


def _new(completed: Completed, stage: Stage) -> list[str]:
    wiring = completed.case.wiring.drawn
    conductors = {conductor.id: conductor for conductor in wiring.conductors}
    words = [spoken_part(completed, name) for name in stage.parts]
    words += [
        spoken_conductor(wiring, conductors[name])
        for name in stage.conductors
        if conductors[name].kind != "bar"
    ]
    said = in_nec_words if completed.installation.rules == "nec" else str
    return [sentence(said(each)) for each in words]


def _places(completed: Completed, stage: Stage) -> list[str]:
    """The devices, bars and points whose terminals are tightened in a stage; in `torque` every
    device.
    """
    wiring = completed.case.wiring.drawn
    if stage.id == "torque":
        return [
            part.name
            for part in wiring.parts
            if part.kind not in ("blank", "origin", "electrode", "line-bar")
        ]
    if stage.id in NO_TERMINALS:
        return []
    joined = [
        conductor
        for conductor in wiring.conductors
        if conductor.id in stage.conductors and conductor.kind != "bar"
    ]
    ends = [
        terminal.device
        for conductor in joined
        for end in (conductor.start, conductor.end)
        if (terminal := wiring.terminal(end))
    ]
    return [
        name
        for name in dict.fromkeys(ends)
        if name != "origin"
        and not any(item.name == name for item in completed.installation.electrodes)
    ]


def _edition(completed: Completed) -> Markup:
    return tag("p", caution_line(completed.installation.edition))


def fitting_link(completed: Completed) -> str:
    """Markdown for the job's page: where the stages are."""
    target = f"{STAGES_PAGE}.md#{html_identity('stages')}"
    return f"[Fitting by stage]({target}), [where the current flows]({PATHS_PAGE}.md)"
