"""The voltage lost on the way must stay within the guidance for the rest of the installation.

Why: the lost voltage becomes heat in the cable, and equipment is made for a range of voltage.
The limit is the guidance of the rule book's appendix; a charging point's maker may allow more.
A pass: 4 V of 230 V. A fail: 14 V of 230 V.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, of_table
from firstway.tables.looking_up import voltage_drop_limit_percent

RULE = Rule(
    "voltage-drop",
    "The voltage drop stays within the limit",
    "BS 7671 525.202 and Appendix 4; IEC 60364-5-52 Annex G",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limit = of_table(voltage_drop_limit_percent(case.installation.rules, "other"))
    for circuit in case.each(case.installation.circuits):
        drop = of_step(case, "voltage-drop-percent", circuit.name, "the voltage drop")
        yield RULE.compares(
            case,
            circuit.name,
            circuit.name,
            drop,
            limit,
            "percent",
            "the voltage drop from the origin is within the guidance",
            "more voltage is lost between origin and charging point than the guidance allows",
        )
