"""Main bonding is thick enough for a combined supply.

Why: when the PEN of the street breaks, bonding may carry the neutral current of several houses. Its size follows the neutral of the supply,
which is the distributor's and not in the file.
A pass is not given: ask for the size of the supply's neutral. Advice: thinner than the smallest size in the table, or none.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_table
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, within
from firstway.model.values import NONE, is_known
from firstway.tables.looking_up import main_bonding_mm2

RULE = Rule("main-bonding-size", "Main bonding is thick enough", "BS 7671 544.1.1 and Table 54.8, 132.16", "2018+A3:2024", "advice", ("bs7671",))
SMALLEST_NEUTRAL_MM2 = 0.0


def check(case: Case) -> Iterator[Finding]:
    if case.installation.supply.system != "TN-C-S":
        return
    least = of_table(main_bonding_mm2(SMALLEST_NEUTRAL_MM2))
    for board in case.each(case.installation.existing_boards):
        size = board.main_bonding_mm2
        if size == NONE:
            yield RULE.says(case, "advice", "supply", board.name, "no main bonding: it must be put right before a point is added", "none", least.value, "mm2")
        elif not is_known(size) or least.value is None:
            yield RULE.does_not_know(case, "supply", board.name, "the size of the main bonding; look at the main earthing terminal", least.value, "mm2")
        elif not within(least.value, size):
            yield RULE.says(case, "advice", "supply", board.name, "main bonding is thinner than the smallest size in the table: have it replaced before a point is added",
                            size, least.value, "mm2")
        else:
            yield RULE.says(case, "unknown", "supply", board.name, "not known: the size of the supply's neutral, which decides; ask the distributor"
                            " (the table's smallest row is met)",
                            size, least.value, "mm2")
