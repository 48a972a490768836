"""Desk: the marking scheme: every question with every set of figures, its answer, its working and
its named mistakes.
"""

from __future__ import annotations

from firstway.desk.papers.key import Asked, PaperKey, Version
from firstway.desk.sheets import page_html, told_html
from firstway.quiz.marking.marking import (
    MatchKey,
    NumberKey,
    OneAnswerKey,
    SeveralAnswersKey,
    WorkingKey,
)
from firstway.rendering.caution import caution_html, edition_line


def scheme_html(key: PaperKey, style: str) -> str:
    """One page for the tutor; it holds every answer."""
    parts = [
        f"<h1>{told_html(key.title)}: marking scheme</h1>",
        "<p><strong>This page holds every answer. It stays at the desk.</strong></p>",
        caution_html(),
        (
            f'<p class="soft">{told_html(edition_line(key.edition))} Paper {told_html(key.paper)},'
            f" version"
            f" {told_html(key.version)}.</p>"
        ),
        (
            "<p>Each learner's sheet has its own order and letters: mark by words and figures, not"
            " by letters. Part marks and follow-through are as stated.</p>"
        ),
        *(
            _question(number, asked, key.outcomes.get(asked.outcome, asked.outcome))
            for number, asked in enumerate(key.questions, 1)
        ),
    ]
    return page_html(f"{key.title}: marking scheme", "\n".join(parts), style)


def _question(number: int, asked: Asked, topic: str) -> str:
    first = {version.variant: version for version in reversed(list(asked.versions.values()))}
    safety = " Safety question." if asked.safety else ""
    sets = "".join(_set(version, len(first) > 1) for _, version in sorted(first.items()))
    points = "1 point" if asked.out_of == 1 else f"{asked.out_of:g} points"
    return (
        f'<section class="answered"><h2 id="q-{told_html(asked.id)}">'
        f"{number}. {told_html(asked.id)}</h2><p"
        f' class="soft">{told_html(asked.kind.replace("-", " "))}; difficulty {asked.difficulty};'
        f" {points}; topic: {told_html(topic)}.{safety}</p>{sets}</section>"
    )


def _set(version: Version, several: bool) -> str:
    head = f"<h3>Figures {version.variant + 1}</h3>" if several else ""
    working = (
        f'<div class="working">{chr(10).join(map(told_html, version.working))}</div>'
        if version.working
        else ""
    )
    return (
        f"{head}<p>{told_html(version.stem)}</p><p><strong>"
        f"Answer: {told_html(version.answer)}.</strong>"
        f" {told_html(_accepted(version))}</p><p>{told_html(version.why)}</p>"
        f"{working}{_wrong(version)}"
    )


def _accepted(version: Version) -> str:
    key = version.key
    if isinstance(key, NumberKey):
        return f"Accepted from {key.low:.4g} to {key.high:.4g} {key.unit}."
    if isinstance(key, WorkingKey):
        return (
            "A point for each figure; one that follows rightly from the learner's own earlier"
            " figure counts."
        )
    if isinstance(key, SeveralAnswersKey):
        return "A point for each right one, one off for each wrong one, not below nothing."
    return "A point for each row." if isinstance(key, MatchKey) else ""


def _wrong(version: Version) -> str:
    key = version.key
    rows: list[str] = []
    if isinstance(key, NumberKey):
        rows = [
            f"{wrong.low:.4g} to {wrong.high:.4g} {key.unit}: {wrong.mistake}"
            for wrong in key.wrong
        ]
    elif isinstance(key, (OneAnswerKey, SeveralAnswersKey)):
        rows = [
            f"{version.choices.get(option.id, option.id)}: {option.mistake}"
            for option in key.options
            if not option.right
        ]
    elif isinstance(key, WorkingKey):
        rows = [
            f"figure {place}, {wrong.low:.4g} to {wrong.high:.4g} {part.unit}: {wrong.mistake}"
            for place, part in enumerate(key.parts, 1)
            for wrong in part.wrong
        ]
    return (
        f"<p>Mistakes with a name:</p><ul>{''.join(f'<li>{told_html(row)}</li>' for row in rows)}"
        f"</ul>"
        if rows
        else ""
    )
