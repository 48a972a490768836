"""Unused openings of the panel are closed.

Why: behind an open space stand bars at line voltage, in reach of a finger or a screw that falls.
A pass: every opening closed. A fail: one open.
"""

from firstway.checks.rule import Case, Findings, NecRule, if_known
from firstway.model.values import key_of

RULE = NecRule(
    "nec-openings-closed", "Unused openings are closed", "NFPA 70 110.12(A), 408.7", "2020", "fail"
)


def check(case: Case) -> Findings:
    enclosure = case.installation.board.enclosure
    closed = key_of(enclosure, "spare_ways_blanked")
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(closed is True, closed),
        found="open",
        wanted="closed",
        holds="every unused opening is closed",
        breaks="an opening stands open: the bars behind it can be touched",
        ask="whether every unused opening is closed; look at the panel",
    )
