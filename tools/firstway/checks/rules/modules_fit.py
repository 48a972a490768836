"""The devices fit the enclosure.

Why: each device takes a whole number of modules on the rail. One module too many, and something is
left out, squeezed in or changed for a part nobody declared.
A pass: 10 modules used of 10. A fail: 11 of 10. No clause: a device that does not fit cannot be
fitted as its maker says.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_file
from firstway.checks.finding import Finding
from firstway.checks.rule import Figure, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "modules-fit",
    "The devices fit the enclosure",
    "counting modules; BS 7671 134.1.1 asks for the maker's instructions; NFPA 70 408.54",
    "; 2018+A3:2024; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Iterator[Finding]:
    board = case.installation.board
    there = of_file(
        key_of(board.enclosure, "modules"),
        "how many modules the enclosure holds; count them or read its data sheet",
    )
    used = Figure(float(sum(int(way.modules) for way in board.ways if is_known(way.modules))))
    without = [way.name for way in board.ways if not is_known(way.modules)]
    if is_known(board.main_switch):
        if is_known(board.main_switch.modules):
            used = Figure((used.value or 0) + float(board.main_switch.modules))
        else:
            without.append(board.main_switch.name)
    if without:
        used = Figure(None, f"how many modules {' and '.join(without)} takes")
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
