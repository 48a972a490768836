"""Unused openings of the panel are closed.

Why: behind an open space stand bars at line voltage, in reach of a finger or a screw that falls.
A pass: every opening closed. A fail: one open.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.nec_rule import NecRule
from firstway.model.values import key_of

RULE = NecRule(
    "nec-openings-closed", "Unused openings are closed", "NFPA 70 110.12(A), 408.7", "2020", "fail"
)


def check(case: Case) -> Iterator[Finding]:
    enclosure = case.installation.board.enclosure
    closed = key_of(enclosure, "spare_ways_blanked")
    if closed is True:
        yield RULE.passes(
            case, "board", "board", "every unused opening is closed", "closed", "closed"
        )
    elif closed is False:
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            "an opening stands open: the bars behind it can be touched",
            "open",
            "closed",
        )
    else:
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "whether every unused opening is closed; look at the panel",
            "closed",
        )
