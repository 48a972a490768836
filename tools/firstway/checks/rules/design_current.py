"""The device must be rated for the current that flows.

Why: a charging point draws its set current for hours; a smaller device runs hot and opens in the
middle of the night. Without a declared diversity factor of the board the heat of neighbours counts
too.
A pass: 32 A on a 32 A or 40 A device. A fail: 32 A on a 25 A device.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step

RULE = Rule(
    "design-current",
    "The device is rated for the current that flows",
    "BS 7671 433.1.1; IEC 60364-4-43 433.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for of in case.each(("feed", *(circuit.name for circuit in case.installation.circuits))):
        place = "feed" if of == "feed" else case.installation.way_feeding(of).name
        yield RULE.compares(
            case,
            of,
            place,
            of_step(case, "design-current", of),
            of_step(case, "device-rating", of),
            "A",
            "the device is rated for the current that flows",
            "the current that flows is above the device's rating",
        )
