"""Metal that enters the building of a detached board is bonded to its earth bar.

Why: a pipe or steel in the ground brings true earth into the shed. Not bonded, one hand on it and
one on the board's metal bridge the two in a fault; on a combined earth it may carry neutral current
for years, so it is sized as if it entered the house.
A pass: 10 mm² where the supply's neutral is 35 mm² at most, or no such metal. A fail: none, or 4
mm². Not known: whether such metal is there.
"""

from firstway.checks.places import house_earth_asked
from firstway.checks.rule import Case, Findings, Rule, of_file, of_step
from firstway.model.values import NONE, is_known

RULE = Rule(
    "detached-bonding",
    "Metal that enters the other building is bonded there",
    "BS 7671 411.3.1.2, 544.1.1 and Table 54.8; IEC 60364-4-41 411.3.1.2, IEC 60364-5-54 544.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    board = case.installation.board
    if not case.installation.board_is_detached:
        return
    if not is_known(board.extraneous_parts):
        yield RULE.does_not_know(
            case,
            "board",
            "earth-bar",
            "whether pipes, steel or other metal in the ground enter the other building; look",
        )
    elif not board.extraneous_parts:
        yield RULE.passes(
            case, "board", "earth-bar", "no metal with an earth of its own enters the building"
        )
    elif board.main_bonding_mm2 == NONE:
        yield RULE.says(
            case,
            "fail",
            "board",
            "earth-bar",
            "metal that enters the other building is not bonded to the earth bar there",
            "none",
            of_step(case, "bonding-least", "board").value,
            "mm2",
        )
    elif asked := house_earth_asked(case.installation):
        yield RULE.does_not_know(
            case,
            "board",
            "earth-bar",
            f"{asked}. Where it is, the two earths are one and Table 54.8 sizes the bonding",
            of_step(case, "bonding-least", "board").value,
            "mm2",
        )
    else:
        yield RULE.compares(
            case,
            "board",
            "earth-bar",
            of_file(board.main_bonding_mm2, "the size of the bonding conductor there; look at it"),
            of_step(case, "bonding-least", "board", "what earths the board"),
            "mm2",
            "metal that enters the other building is bonded, and thick enough",
            "bonding in the other building is too thin",
            at_most=False,
        )
