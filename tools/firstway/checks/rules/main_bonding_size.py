"""Main bonding is there, and thick enough for its supply.

Why: a fault, or a broken PEN in the street, lifts everything earthed. Metal that enters the building must
rise with it, or one hand touches both. On a combined earth bonding may carry the neutral current of several
houses, also while this installation is off: its size follows the neutral of the supply.
A fail: none; below 10 mm2 on a combined earth, below 6 mm2 elsewhere. A pass is not given where the
supply's own conductor decides: ask for its size.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_file, of_table
from firstway.checks.finding import Finding
from firstway.checks.rule import Figure, Rule, within
from firstway.model.installation import ExistingBoard
from firstway.model.values import NONE, is_known, key_of
from firstway.tables.looking_up import main_bonding_mm2
from firstway.tables.looking_up_more import rule_limit

RULE = Rule("main-bonding-size", "Main bonding is there and thick enough", "BS 7671 411.3.1.2, 544.1.1 and Table 54.8, 132.16; IEC 60364-5-54 544.1.1", "2018+A3:2024",
            "fail", ("bs7671", "iec60364"))
SMALLEST_NEUTRAL_MM2 = 0.0


def check(case: Case) -> Iterator[Finding]:
    for board in case.each(case.installation.existing_boards):
        yield _of(case, board)


def _of(case: Case, board: ExistingBoard) -> Finding:
    least, decides = _least(case)
    if board.main_bonding_mm2 == NONE:
        return RULE.says(case, "fail", "supply", board.name, "no main bonding: metal that enters the building is not joined to the main earthing terminal."
                         " It must be put right before a point is added", "none", least.value, "mm2")
    size = of_file(board.main_bonding_mm2, "the size of the main bonding; look at the main earthing terminal")
    if size.value is None or least.value is None:
        return RULE.does_not_know(case, "supply", board.name, size.ask or least.ask, least.value, "mm2")
    if not within(least.value, size.value):
        return RULE.says(case, "fail", "supply", board.name, "main bonding is thinner than the least size for this supply: have it replaced before a point is added",
                         size.value, least.value, "mm2")
    return RULE.does_not_know(case, "supply", board.name, f"{decides} (the least size is met)", least.value, "mm2", size.value)


def _least(case: Case) -> tuple[Figure, str]:
    """The least size as far as the file tells, and what decides beyond it."""
    supply = case.installation.supply
    if supply.system != "TN-C-S" or case.installation.rules != "bs7671":
        return of_table(rule_limit("bs7671", "main-bonding-least-mm2")), "the size of the earthing conductor, of which bonding has at least half; look at it"
    # The neutral of the street is not in the file. Tails are no thicker than it, so they give a least.
    tails = key_of(supply.cable, "csa_mm2")
    neutral = float(tails) if is_known(tails) else SMALLEST_NEUTRAL_MM2  # type: ignore[arg-type]
    return of_table(main_bonding_mm2(neutral)), "the size of the supply's neutral, which decides; ask the distributor"
