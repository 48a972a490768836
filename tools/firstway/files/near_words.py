"""Files: the word that was meant where another was written."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

NEAR = 0.6  # likeness of two words from which a slip of the pen is supposed


def suggestion(word: str, known: Iterable[str]) -> str:
    """`did you mean 'length_m'?` for a near miss, else nothing."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=NEAR)
    return f"did you mean '{near[0]}'?" if near else ""
