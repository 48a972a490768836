"""A figure is one that such a thing can have.

Why: 0.03 where a key counts in milliampere, 19 where it counts in millimetre: a prefix or a comma
slipped, and what is worked from it is ten or a thousand times wrong. What no device can have is
refused when the file is read; what hardly any has is asked about here.
Advice: an enclosure 19 mm wide, a torque of 35 Nm, a rod of 0.085 Ω. It never passes: a figure
that could be true is not thereby the right one.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule
from firstway.model.near_figures import Unusual, unusual_figures

RULE = Rule("figure-plausible", "Figures are such as things have",
            "common practice; product standards bound each", "", "advice",
            ("bs7671", "iec60364", "nec"))
# Sections whose parts have names; the others are spoken of by the name of the section.
_NAMED = ("circuits", "charging_points", "electrodes", "vehicles", "existing_boards")


def check(case: Case) -> Iterator[Finding]:
    for figure in unusual_figures(case.installation):
        of = _part(figure.path)
        low, high = figure.usual
        limit = low if figure.value < low else high
        yield RULE.says(case, "advice", of, of, _message(figure), figure.value, limit, figure.unit)


def _message(figure: Unusual) -> str:
    """What to look at again; the figure itself stands beside it."""
    key = figure.path.rpartition(".")[2]
    less = "less" if figure.value < figure.usual[0] else "more"
    guess = "look at the figure and its unit again"
    if figure.meant is not None:
        guess = f"did you mean {figure.meant:g}?"
    return f"`{key}` is {figure.value:g}, {less} than such things have: {guess} ({figure.path})"


def _part(path: str) -> str:
    """The named part a path lies in.

    >>> _part("board.ways.F2.rating_a"), _part("board.enclosure.width_mm"), _part("circuits.yard.lines")
    ('F2', 'board', 'yard')
    """
    first, *more = path.split(".")
    if first in _NAMED:
        return more[0]
    if first == "board" and more[0] == "ways":
        return more[1]
    return "supply" if first == "existing_load" else first
