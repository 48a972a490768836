"""The devices fit the enclosure.

Why: each device takes a whole number of modules on the rail. One module too many, and something is
left out, squeezed in or changed for a part nobody declared.
A pass: 10 modules used of 10. A fail: 11 of 10. No clause: a device that does not fit cannot be
fitted as its maker says.
"""

from firstway.checks.places import cable_not_described
from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "modules-fit",
    "The devices fit the enclosure",
    "counting modules; BS 7671 134.1.1 asks for the maker's instructions; NFPA 70 408.54",
    "; 2018+A3:2024; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    board = case.installation.board
    there = of_file(
        key_of(board.enclosure, "modules"),
        "how many modules the enclosure holds; count them or read its data sheet",
    )
    ways, switch = sum(way.modules for way in board.ways), board.main_switch
    name = switch.name if is_known(switch) else "the main switch"
    asked = of_file(key_of(switch, "modules"), f"how many modules {name} takes")
    used = JudgedFigure(0.0) if switch == NONE else asked
    if used.value is not None:
        used = JudgedFigure(used.value + ways)
    fits = None not in (used.value, there.value) and (used.value or 0) <= (there.value or 0)
    if fits and (untold := cable_not_described(case.installation)):
        yield RULE.does_not_know(case, "board", "board", untold, there.value, "modules", used.value)
        return
    yield RULE.compares(
        case,
        "board",
        "board",
        used,
        there,
        "modules",
        "the devices and blanks fit the enclosure",
        "the devices and blanks need more modules than the enclosure has",
    )
