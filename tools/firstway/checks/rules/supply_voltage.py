"""The voltage to earth is one that a supply has.

Why: every figure of the job is worked from it. A network may deliver a few per cent more or less
than its nominal voltage, never twice as much; a figure far away is a slip of the pen or a reading
taken between the wrong two conductors.
A pass: 230 V where the network delivers 216.2 V to 253 V. Advice: 265 V.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table, within
from firstway.tables.reading import supply_limit

RULE = Rule(
    "supply-voltage",
    "The voltage to earth is one that a supply has",
    "Electricity Safety, Quality and Continuity Regulations 2002, regulation 27; IEC 60038",
    "2002; 2009",
    "advice",
    ("bs7671", "iec60364"),
    standing="found",
)


def check(case: Case) -> Findings:
    own = of_file(case.installation.supply.line_to_earth_v, "the voltage of the supply to earth")
    low, high = (of_table(supply_limit(word)) for word in ("lowest-v", "highest-v"))
    if own.value is None or low.value is None or high.value is None:
        yield RULE.does_not_know(case, "supply", "supply", own.ask or low.ask or high.ask, unit="V")
    elif within(low.value, own.value) and within(own.value, high.value):
        yield RULE.passes(
            case,
            "supply",
            "supply",
            "the voltage to earth is one a network delivers",
            own.value,
            f"{low.value:g} to {high.value:g}",
            "V",
        )
    else:
        bound = low.value if own.value < low.value else high.value
        yield RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            "no public network under these rules delivers this voltage"
            " to earth: look at the figure again, and at what was measured",
            own.value,
            bound,
            "V",
        )
