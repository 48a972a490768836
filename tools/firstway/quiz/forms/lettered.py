"""Quiz: answers made of letters, as choices, orders and partners are written."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

Relettered = Callable[[str], str]
"""From a letter as it was shown to what stands for it elsewhere."""


def pieces(typed: str) -> list[str]:
    """The letters of an answer."""
    return [piece for piece in typed.split(" ") if piece]


def in_any_order(given: str, to: Relettered) -> str:
    """The letters put through `to`, where their order means nothing."""
    return " ".join(sorted(map(to, given.split())))


def letters_from_paper(written: str) -> list[str]:
    """The letters that a person wrote on paper: `bd`, `b, d` and `B D` are one."""
    return re.findall(r"[a-z]", written.casefold())


def in_any_order_from_paper(written: str) -> str:
    """Letters from paper as marking reads them, where their order means nothing."""
    return " ".join(sorted(letters_from_paper(written)))


def letters_in_words(given: str, words: Mapping[str, str]) -> str:
    """Letters with what they said to this learner."""
    return "; ".join(
        f"{letter}) {words[letter]}" if letter in words else letter for letter in given.split()
    )
