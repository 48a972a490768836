"""The board's rated diversity factor must leave each device the current that flows.

Why: side by side, devices that carry current for hours heat each other. The maker of the board
states with what share of their ratings all may run at once. A charging point runs for hours, so
that share counts. There is no rule of 125 % here.
A pass: 40 A x 0.8 = 32 A for a 32 A point. A fail: 32 A x 0.8 for the same. Not stated: not known.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_step, times
from firstway.model.values import key_of

RULE = Rule(
    "rated-diversity",
    "The rated diversity factor leaves the current that flows",
    "BS 7671 433.1.1 with IEC 61439; IEC 60364-4-43 433.1 with IEC 61439",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    assembly = case.installation.board.assembly
    factor = of_file(
        key_of(assembly, "rated_diversity_factor"),
        "the rated diversity factor of the assembly; ask its maker",
    )
    # One loaded circuit has no neighbour that heats it; the maker's factor then says too much to
    # call a fail.
    alone = len(case.installation.circuits) == 1
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        rating = of_step(
            case, "device-rating", circuit.name, f"the rating of {way.name}; read it on the device"
        )
        usable = times(rating, factor)
        current = of_step(case, "design-current", circuit.name, "the set current of the point")
        yield RULE.compares(
            case,
            circuit.name,
            way.name,
            current,
            usable,
            "A",
            "rating and diversity factor leave the current that flows",
            "with all ways loaded the board does not leave this device the current that flows: a"
            " larger device (and its cable), or ask the maker",
            otherwise="advice" if alone else "fail",
        )
