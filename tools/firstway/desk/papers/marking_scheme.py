"""Desk: the marking scheme: every question with every set of figures, its answer, its working line
by line and its named mistakes.
"""

from __future__ import annotations

from firstway.desk.papers.key import Asked, PaperKey, Version
from firstway.desk.shared.sheets import page_html
from firstway.problems import visible
from firstway.quiz.forms.registry import form_of
from firstway.quiz.forms.worked_question import Computed, Figure, WorkedQuestion, text_of
from firstway.rendering.formulas import working_text
from firstway.rendering.html import Markup, caution_html, edition_line, joined, tag
from firstway.tables.clauses import cited


def working_lines(made: WorkedQuestion) -> tuple[str, ...]:
    """The formula of each figure with its figures put in, and the source; nothing for answers in
    words.
    """
    if made.parts:
        return tuple(
            line for part in made.parts for line in (f"{text_of(part.ask)}:", *_lines(part.answer))
        )
    return _lines(made.answer) if not isinstance(made.answer, tuple) else ()


def _lines(answer: Figure | Computed) -> tuple[str, ...]:
    if isinstance(answer, Computed):
        return (answer.text,)
    step = answer.step
    source = cited(step.source, step.edition, step.standing)
    return (working_text(step), *((f"Source: {source}",) if source else ()))


def scheme_html(key: PaperKey, style: str) -> Markup:
    """One page for the tutor; it holds every answer."""
    parts: list[Markup] = [
        tag("h1", f"{visible(key.title)}: marking scheme"),
        Markup("<p><strong>This page holds every answer. It stays at the desk.</strong></p>"),
        caution_html(),
        (
            tag(
                "p",
                (
                    f"{visible(edition_line(key.edition))} Paper {visible(key.paper)}, version"
                    f" {visible(key.version)}."
                ),
                class_="soft",
            )
        ),
        (
            tag(
                "p",
                (
                    "Each learner's sheet has its own order and letters: mark by words and"
                    " figures, not by letters. Part marks and follow-through are as stated."
                ),
            )
        ),
        *(
            _question(number, asked, key.outcomes.get(asked.outcome, asked.outcome))
            for number, asked in enumerate(key.questions, 1)
        ),
    ]
    return page_html(f"{key.title}: marking scheme", joined(parts, "\n"), style)


def _question(number: int, asked: Asked, topic: str) -> Markup:
    first = {version.variant: version for version in reversed(list(asked.versions.values()))}
    safety = " Safety question." if asked.safety else ""
    sets = joined(_set(version, len(first) > 1) for _, version in sorted(first.items()))
    points = "1 point" if asked.out_of == 1 else f"{asked.out_of:g} points"
    return tag(
        "section",
        tag("h2", number, f". {visible(asked.id)}", id=f"q-{visible(asked.id)}"),
        tag(
            "p",
            f"{visible(asked.kind.replace('-', ' '))}; difficulty ",
            asked.difficulty,
            "; ",
            points,
            f"; topic: {visible(topic)}.",
            safety,
            class_="soft",
        ),
        sets,
        class_="answered",
    )


def _set(version: Version, several: bool) -> Markup:
    head = tag("h3", "Figures ", version.variant + 1) if several else ""
    working = (
        tag("div", chr(10).join(map(visible, version.working)), class_="working")
        if version.working
        else ""
    )
    return (
        head
        + tag("p", visible(version.stem))
        + tag(
            "p",
            tag("strong", f"Answer: {visible(version.answer)}."),
            f" {visible(form_of(version.key).accepted(version.key))}",
        )
        + tag("p", visible(version.why))
        + working
        + _wrong(version)
    )


def _wrong(version: Version) -> Markup:
    rows = form_of(version.key).named_mistakes(version.key, version.choices)
    return (
        (
            tag("p", "Mistakes with a name:")
            + tag("ul", joined(tag("li", visible(row)) for row in rows))
        )
        if rows
        else Markup()
    )
