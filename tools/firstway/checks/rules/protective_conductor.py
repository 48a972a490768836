"""The protective conductor must survive the fault it carries.

Why: for the moment of the fault it carries hundreds or thousands of ampere. Too thin, it melts
before the device opens, and leaves the metal it should have protected at full voltage.
A pass: 6 mm² where 0.6 mm² would survive. A fail: 1 mm² where 2.4 mm² is needed.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step

RULE = Rule(
    "protective-conductor",
    "The protective conductor survives the fault",
    "BS 7671 543.1.3; IEC 60364-5-54 543.1.2",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        of = circuit.name
        yield RULE.compares(
            case,
            of,
            of,
            of_step(case, "protective-conductor-size", of),
            of_step(case, "minimum-protective-conductor", of),
            "mm2",
            "the protective conductor survives the largest earth fault",
            "the protective conductor would not survive the largest earth fault",
            at_most=False,
        )
