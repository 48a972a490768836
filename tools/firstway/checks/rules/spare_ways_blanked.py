"""Ways without a device are closed with blanks.

Why: behind an open way stands a bare bar at line voltage, within reach of a finger, a child's
pencil or a dropped screw.
A pass: every spare way blanked, or none spare. A fail: an open way.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import key_of

RULE = Rule(
    "spare-ways-blanked",
    "Spare ways are blanked",
    "BS 7671 416.2.1, 416.2.2; IEC 60364-4-41 Annex A",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    enclosure = case.installation.board.enclosure
    blanked = key_of(enclosure, "spare_ways_blanked")
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(blanked is True, blanked),
        found="open",
        wanted="blanked",
        holds="every spare way is blanked",
        breaks="a way stands open: the bar behind it can be touched",
        ask="whether every spare way is blanked; look at the board",
    )
