"""Pages: what a learner explains in words of their own, then compares point by point with a model
answer. The words stay on the device; nothing of it is a mark.
"""

from __future__ import annotations

from collections.abc import Mapping

from firstway.pages.chapters.quoting import Quoting
from firstway.pages.quizzes.quiz_pages import pages_of_outcomes
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.markup import inert
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.problems import Problem
from firstway.quiz.bank.tasks import PROMPTS_FILE, Prompt
from firstway.rendering.html import Markup, caution_fold_html, joined, tag

SAY_WHY = "say-why.md"
TITLE = "Say why"
_TEXT = """\
# {title}

For the trainee who wants to be asked *why*, and for the tutor who asks it aloud. Explain it aloud
or in writing, then open *Compare* and tick the points you had.
{{ .for }}

{caution}

Nothing here is marked or counted. What you write and tick stays on this device alone, and goes
into no file.

{clear}

{prompts}

{foot}
"""
_CLEAR = tag(
    "p",
    tag("button", "Clear all I wrote here", type="button", class_="say-clear"),
    " ",
    tag("span", role="status", class_="say-kept"),
    class_="say-buttons",
    hidden=True,
)


def say_why_page(guide: Guide) -> tuple[list[PageSheet], list[Problem]]:
    """The page, where anything is to be explained, and what is wrong with the words of its file."""
    prompts = guide.project.shelf.prompts
    if not prompts:
        return [], []
    quoting = Quoting(guide, SAY_WHY, PROMPTS_FILE)
    places = pages_of_outcomes(guide.project)
    parts = {prompt.id: _prompt_html(prompt, quoting, places) for prompt in prompts}
    text = _TEXT.format(
        title=TITLE,
        caution=part_mark("caution"),
        clear=part_mark("clear"),
        prompts="\n\n".join(
            f"## {inert(each.ask)} {{#{each.id}}}\n\n{part_mark(each.id)}" for each in prompts
        ),
        foot=part_mark("foot"),
    )
    script = tag("script", src="{root}assets/say-why.js", defer=True)
    style = tag("link", rel="stylesheet", href="{root}assets/tasks.css")
    outer = {
        "caution": style + caution_fold_html(),
        "clear": _CLEAR,
        "foot": quoting.foot() + script,
    }
    described = f"{len(prompts)} things to explain, each with the points of a model answer."
    return [PageSheet(SAY_WHY, TITLE, text, {**parts, **outer}, described)], quoting.problems


def _prompt_html(prompt: Prompt, quoting: Quoting, places: Mapping[str, tuple[str, str]]) -> Markup:
    name = f"say-{prompt.id}"
    items = joined(
        _point_html(
            f"{name}-{place}", quoting.words(point.text, point.line), places.get(point.outcome)
        )
        for place, point in enumerate(prompt.points, 1)
    )
    return tag(
        "div",
        tag("label", "Your answer", for_=name),
        tag("textarea", id=name, rows=4, maxlength=4000, autocomplete="off"),
        tag(
            "details",
            tag("summary", f"Compare: {len(prompt.points)} points"),
            tag("ul", items),
            tag("p", role="status", class_="say-count"),
            class_="more",
        ),
        class_="say-why",
        data_prompt=prompt.id,
    )


def _point_html(name: str, words: Markup, place: tuple[str, str] | None) -> Markup:
    more = tag("a", place[0], href=place[1], class_="say-place") if place else Markup()
    return tag(
        "li",
        tag("input", type="checkbox", aria_labelledby=name, class_="say-had"),
        " ",
        tag("span", words, id=name),
        " ",
        more,
    )
