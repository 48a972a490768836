"""The board hangs no higher above the sea than it is made for.

Why: thin air cools less and flashes over sooner. Boards and devices are tried for heights up to a
limit; above it a current and a voltage are taken off that only their maker can say.
A pass: below the limit, or below what its maker declares. A fail: above what its maker declares.
Not known: above the limit, and its maker said nothing.
"""

from firstway.checks.places import is_written
from firstway.checks.rule import Case, Findings, Rule, of_file, of_table, within
from firstway.model.values import is_known, key_of
from firstway.tables.reading import service_condition

RULE = Rule(
    "place-altitude",
    "The place is no higher than the board is made for",
    "IEC 61439-1 (BS EN 61439-1), normal service conditions: 2000 m; UL 489 (from memory)",
    "2011",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    place = case.installation.board.place
    if not is_written(case, place, "altitude_m"):
        return
    height = of_file(
        key_of(place, "altitude_m"),
        "how high above the sea the board hangs; a map tells it",
    )
    declared = key_of(case.installation.board.assembly, "highest_altitude_m")
    usual = of_table(service_condition("highest-altitude-m"))
    if height.value is None or usual.value is None:
        yield RULE.does_not_know(
            case, "board", "board", height.ask or usual.ask, usual.value, "m", height.value
        )
    elif within(height.value, usual.value) and not is_known(declared):
        yield RULE.passes(
            case,
            "board",
            "board",
            "the place is no higher than boards and devices are tried for",
            height.value,
            usual.value,
            "m",
        )
    elif not is_known(declared):
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "what the board and its devices carry, and the voltage they bear, in air this thin; ask"
            " the maker of the board",
            usual.value,
            "m",
            height.value,
        )
    else:
        kept = within(height.value, declared)
        yield RULE.says(
            case,
            "pass" if kept else "fail",
            "board",
            "board",
            "its maker declares the board for this height"
            if kept
            else "the place is higher than the maker declares the board for: take another board,"
            " or have its maker state what it carries here",
            height.value,
            declared,
            "m",
        )
