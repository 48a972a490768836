"""Terminals bear the warmth of the conductor.

Why: a conductor at its full current is 70 °C warm and takes that into the clamp. Terminals for less
must be met by a conductor so large that it stays cooler. The tables begin at 70 °C.
A pass: terminals for 70 °C. A fail: for 40 °C.
"""

from firstway.checks.rule import Case, Findings, Rule, of_table, within
from firstway.model.values import is_known, key_of
from firstway.tables.cable_columns import COOLER
from firstway.tables.looking_up import operating_limit_c

RULE = Rule(
    "terminal-temperature",
    "Terminals bear the warmth of the conductor",
    "BS 7671 512.1.5, 526.2; IEC 60364-5-52 523.1, 526",
    "2018+A3:2024; 2009",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    job, coolest = case.installation, of_table(operating_limit_c(COOLER))
    cables = (
        ("supply", job.supply.cable),
        ("feed", key_of(job.feed, "cable")),
        *((circuit.name, circuit.cable) for circuit in job.circuits),
    )
    for of, cable in case.each(cables):
        bears = key_of(cable, "terminals_c")
        if not is_known(bears) or coolest.value is None:
            continue  # the tables then read the coolest column
        yield RULE.decides(
            case,
            of,
            of,
            within(coolest.value, bears),
            found=bears,
            wanted=coolest.value,
            holds="the terminals bear what the tables begin with",
            breaks=(
                "the terminals bear less than any conductor of the tables may reach: no size can be"
                " read for them"
            ),
            unit="C",
            held=bears,
        )
