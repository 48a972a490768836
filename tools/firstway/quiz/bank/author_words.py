"""Quiz: a sentence of an author, split into text and the figures that a working fills in."""

from __future__ import annotations

import re

from firstway.quiz.bank.question import AuthorWords, FigureOf, KeyOf

_FIGURE = re.compile(
    r"\{([a-z][A-Za-z0-9-]*):([A-Za-z0-9_.-]+)(?::([A-Za-z0-9_-]*))?(?::([A-Za-z][A-Za-z0-9_]*))?\}"
)
HOW_TO_WRITE = (
    "write {step:of}, {step:of:installation}, {step:of:installation:symbol} or {key:path}"
)


def filled_words(text: str, installation: str) -> tuple[AuthorWords, list[str]]:
    """Split a sentence into text and figures; give what is wrong with it as well.

    `installation` is used where the author names none.
    """
    parts: list[str | FigureOf | KeyOf] = []
    wrong: list[str] = []
    last = 0
    for match in _FIGURE.finditer(text):
        parts.append(text[last : match.start()])
        step, of, named, symbol = match.groups()
        if not (named or installation):
            wrong.append(f"{match.group(0)} names no installation")
        parts.append(
            KeyOf(of, named or installation)
            if step == "key"
            else FigureOf(step, of, named or installation, symbol or "")
        )
        last = match.end()
    parts.append(text[last:])
    if any(brace in part for part in parts if isinstance(part, str) for brace in "{}"):
        wrong.append("a brace stands here that is no figure")
    return tuple(part for part in parts if part != ""), wrong
