"""Desk: one self-contained page: look inside, nothing fetched, readable without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from firstway.drawing.ink import page_stylesheet
from firstway.files.disk import text_of_file
from firstway.problems import visible
from firstway.rendering.html import Markup, table_html, tag
from firstway.rendering.policy import policy_html

LOOK = "content/assets/desk.css"


def page_html(
    title: str, body: Markup, style: str, *, script: str = "", language: str = "en"
) -> Markup:
    """A whole HTML page.

    `style` and `script` are put inside; text in them cannot end their element.
    """
    inside = tag("style", Markup("\n" + style.replace("</", "<\\/")))
    end = Markup()
    if script:
        end = tag("script", Markup("\n" + script.replace("</script", "<\\/script"))) + "\n"
    return Markup(
        '<!doctype html>\n<html lang="{}">\n<head>\n<meta charset="utf-8">\n<meta name="viewport"'
        ' content="width=device-width, initial-scale=1">\n{}\n<title>{}</title>\n{}\n</head>\n'
        "<body>\n<main>\n{}\n</main>\n{}</body>\n</html>\n"
    ).format(
        language,
        policy_html(inside + end),
        visible(title),
        inside,
        body,
        end,
    )


NEVER_ON_PAPERS = re.compile(
    r"\.(?:figures|advice|share|share-ground|chart|right-one|answered|working|"
    r"visually-hidden|wide|told|n|quiz-result|quiz-score"
    r"|quiz-points|quiz-sure|quiz-unsure|quiz-reread|quiz-keep|quiz-answers|quiz-aside"
    r"|quiz-session|session-said|session-seed|session-panel)(?![a-z-])"
)
"""Names of what stands on the tutor's pages or in practice alone."""


def paper_style(style: str) -> str:
    """A slim style sheet without the rules that no learner's paper can need."""
    return "\n".join(line for line in style.split("\n") if not _for_others(line))


def _for_others(line: str) -> bool:
    """Whether every selector of a rule, a line in a slim sheet, is about something that papers
    never hold.
    """
    head = re.sub(r"\([^()]*\)", "", line.rpartition("{")[0])
    return (
        bool(head)
        and "{" not in head
        and all(NEVER_ON_PAPERS.search(each) for each in head.split(","))
    )


def slim_style(style: str) -> str:
    """A style sheet without comments and what space means nothing, a rule a line; text in quotes is
    left as it is.
    """
    parts = re.split(r"(\"[^\"\n]*\")", re.sub(r"/\*.*?\*/", "", style, flags=re.DOTALL))
    return "".join(
        part if place % 2 else re.sub(r"\s*([{};])\s*", r"\1", re.sub(r"\s+", " ", part))
        for place, part in enumerate(parts)
    ).replace("}", "}\n")


def style_of(root: Path, *names: str) -> str:
    """The desk's look and further style sheets of the project, as one text."""
    return "\n".join(text_of_file(root / name)[0] for name in (LOOK, *names))


def feedback_style(root: Path) -> str:
    """What a learner's feedback is dressed in: the desk's look and the inks of the drawings that
    were asked about.
    """
    return slim_style(style_of(root) + "\n" + page_stylesheet("", lifelike=False))


def desk_table_html(
    caption: str, heads: Sequence[tuple[str, bool]], rows: Iterable[Sequence[str]]
) -> Markup:
    """A table; heads are (words, whether its cells are numbers)."""
    numbers = {place for place, (_, number) in enumerate(heads) if number}
    words = [visible(each) for each, _ in heads]
    return table_html(words, rows, visible(caption), None, numbers=numbers)


def share_html(share: float | None, width: int = 120) -> Markup:
    """A share as a small bar with its words, told to everyone."""
    if share is None:
        return tag("span", "not known", class_="soft")
    inner = max(0.0, min(1.0, share)) * width
    return tag(
        "span",
        tag(
            "svg",
            tag("rect", class_="share-ground", x=".5", y=".5", width=width - 1, height="11"),
            tag("rect", class_="share", x="1", y="1", width=f"{inner:.1f}", height="10"),
            width=width,
            height="12",
            viewBox=f"0 0 {width} 12",
            aria_hidden="true",
        ),
        f" {percent(share)}",
        class_="told",
    )


def percent(share: float | None) -> str:
    """A share in whole per cent."""
    return "not known" if share is None else f"{share * 100:.0f} %"


def decimal(value: float | None, places: int = 2, otherwise: str = "too few to judge") -> str:
    """A figure, or the words that stand for none."""
    return otherwise if value is None else f"{value:.{places}f}".replace("-", "\u2212")
