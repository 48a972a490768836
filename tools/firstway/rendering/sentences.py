"""Rendering: words put into a sentence, as text or as HTML."""

from __future__ import annotations

from typing import TypeVar

from firstway.rendering.html import Markup

_Words = TypeVar("_Words", str, Markup)


def counted(number: int, one: str, many: str = "") -> str:
    """`1 check`, `3 checks`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def sentence(words: _Words) -> _Words:
    """A capital at the front, unless a name stands there, and a full stop at the end.

    >>> sentence("the cable carries it"), sentence("F1 opens both"), sentence("post-1 is near")
    ('The cable carries it.', 'F1 opens both.', 'post-1 is near.')
    """
    first = words.split(" ", 1)[0]
    front = words[:1].upper() + words[1:] if first.isalpha() else words
    return front if front.endswith((".", "?", "!")) else front + "."
