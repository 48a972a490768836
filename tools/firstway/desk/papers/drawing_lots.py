"""Desk: who gets which figures and which order, drawn from the seed, for each learner apart from
all others.

The seed draws and does nothing else. What proves whose sheet came back is made from the desk's own
secret (`secret.py`): a seed can be guessed by whoever holds a sheet and enough time, and then tells
no more than who was asked what.
"""

from __future__ import annotations

import hashlib
import hmac
import re
from collections.abc import Sequence

ARRANGEMENTS = 6
"""Orders in which the options of one question are shown over a class."""
ROUNDS = 200_000
"""Rounds of hashing between a seed and what it draws: a guess costs a tenth of a second."""
SHORTEST_SEED = 8
PLACEHOLDERS = (
    "changethis",
    "changeme",
    "changeit",
    "beforeuse",
    "placeholder",
    "yourown",
    "yoursecret",
    "nosecret",
    "mysecret",
    "secretseed",
    "password",
    "12345678",
    "example",
)


def draws_of(seed: str, paper: str) -> bytes:
    """What the lots of one paper are drawn from."""
    return hashlib.pbkdf2_hmac("sha256", seed.encode(), f"firstway paper|{paper}".encode(), ROUNDS)


def why_no_seed(seed: str) -> str:
    """Why a seed must not draw a real paper; "" where it may.

    The seed itself is not said: it is the tutor's own.
    """
    bare = re.sub(r"[\W_]", "", seed.casefold())
    if any(word in bare for word in PLACEHOLDERS):
        return "the seed is a placeholder that everybody knows"
    if len(bare) < SHORTEST_SEED or len(set(bare)) < 4:
        return "the seed is so short or so simple that it is guessed at once"
    return ""


def _digest(draws: bytes, *words: str) -> bytes:
    return hmac.new(draws, "|".join(words).encode(), hashlib.sha256).digest()


def alias_of(draws: bytes, question: str) -> str:
    """The name a question has on learners' sheets: its id in the bank may say too much."""
    return "q" + _digest(draws, "alias", question).hex()[:7]


def lot(draws: bytes, code: str, question: str, what: str, among: int) -> int:
    """A number from 0 to `among` - 1 for one learner and one question; it changes for no one when
    others join.
    """
    return int.from_bytes(_digest(draws, what, code.casefold(), question)[:8], "big") % among


def order_for(draws: bytes, code: str, questions: Sequence[str]) -> list[str]:
    """The learner's own order of the questions."""
    return sorted(
        questions, key=lambda question: _digest(draws, "order", code.casefold(), question)
    )
