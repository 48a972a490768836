"""A point with alternating current has its neutral.

Why: on one phase the vehicle charges between line and neutral. The socket of a three-phase point
has a neutral contact, and most vehicles charge from one line and it. A circuit without a neutral
charges none of them, or lets a point float between the lines; and a device that opens the line
alone then passes as one that opens all. Networks with 230 V between lines, which some countries
have, are not described here: ask locally.
A pass: a circuit with its neutral. A fail: none.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "neutral-needed",
    "The circuit of a point has its neutral",
    "IEC 62196-2 (contacts of the socket); IEC 61851-1; BS 7671 722.531.3",
    "2016; 2017; 2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        neutral = circuit.neutral
        if not is_known(neutral):
            yield RULE.does_not_know(
                case,
                circuit.name,
                circuit.name,
                f"whether {circuit.name} has a neutral; look at it",
            )
        elif neutral is False:
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                circuit.name,
                "the circuit has no neutral: a vehicle charges between a line and the neutral",
                "none",
                "a neutral",
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                circuit.name,
                "the circuit has its neutral",
                "a neutral",
                "a neutral",
            )
