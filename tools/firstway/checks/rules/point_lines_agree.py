"""A point uses the lines that its circuit brings.

Why: demand, neutral and voltage drop are worked for the lines of the circuit. A point that takes
one of three loads one line alone, and the figures of this page no longer hold.
A pass: the same lines. Advice: one line of a three-phase circuit.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "point-lines-agree",
    "The point uses the lines of its circuit",
    "common practice: load is counted on the line that carries it",
    "",
    "advice",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        brought = ", ".join(circuit.lines)
        for point in case.each(case.installation.points_of(circuit)):
            used = ", ".join(point.lines)
            yield RULE.decides(
                case,
                point.name,
                point.name,
                set(point.lines) == set(circuit.lines),
                found=used,
                wanted=brought,
                holds="the point uses the lines its circuit brings",
                breaks=(
                    f"the point uses {used} of {brought}: demand, neutral and drop are worked for"
                    " all of them. Say in the file what the circuit brings, or wire the point"
                    " to it"
                ),
                held=used,
            )
