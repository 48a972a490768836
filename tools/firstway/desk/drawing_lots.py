"""Desk: who gets which figures and which order: drawn from the tutor's secret, for each learner apart from all others."""

from __future__ import annotations

import hashlib
import hmac
from typing import Sequence

ARRANGEMENTS = 6
"""Orders in which the options of one question are shown over a class."""


def secret_of(seed: str, paper: str) -> bytes:
    """The secret of one paper. A recipe's seed is the tutor's own: whoever knows it can work out every sheet."""
    return hashlib.sha256(f"firstway paper|{paper}|{seed}".encode()).digest()


def _digest(secret: bytes, *words: str) -> bytes:
    return hmac.new(secret, "|".join(words).encode(), hashlib.sha256).digest()


def issue_code(secret: bytes, version: str, code: str) -> str:
    """What goes back with the answers: shows that they belong to the learner this sheet was made for."""
    text = _digest(secret, "issue", version, code.casefold()).hex()
    return f"{text[:4]}-{text[4:8]}-{text[8:12]}"


def alias_of(secret: bytes, question: str) -> str:
    """The name a question has on learners' sheets: its id in the bank may say too much."""
    return "q" + _digest(secret, "alias", question).hex()[:7]


def lot(secret: bytes, code: str, question: str, what: str, among: int) -> int:
    """A number from 0 to `among` - 1 for one learner and one question; it changes for no one when others join."""
    return int.from_bytes(_digest(secret, what, code.casefold(), question)[:8], "big") % among


def order_for(secret: bytes, code: str, questions: Sequence[str]) -> list[str]:
    """The learner's own order of the questions."""
    return sorted(questions, key=lambda question: _digest(secret, "order", code.casefold(), question))
