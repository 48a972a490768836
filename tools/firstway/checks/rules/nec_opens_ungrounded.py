"""The device opens every ungrounded conductor together; the neutral is not switched, and need not
be.

Why: a 240 V point stands between two lines. One pole opened leaves the other line at the point and
at every part joined to it. The neutral is grounded at the service: the code does not ask that it
opens, and it may open only together with all lines.
A pass: a two-pole device for two lines. A fail: a one-pole device.
"""

from firstway.checks.rule import Case, Findings, NecRule, within
from firstway.model.values import is_known

RULE = NecRule(
    "nec-opens-ungrounded",
    "The device opens all ungrounded conductors",
    "NFPA 70 240.15(B), 240.22, 625.43",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way, wanted = case.installation.way_feeding(circuit.name), float(len(circuit.lines))
        if not is_known(way.switched_poles):
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                f"how many poles {way.name} opens; look at the device",
                wanted,
                "poles",
            )
        elif not within(wanted, way.switched_poles):
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                way.name,
                f"{way.name} leaves a line joined to the point when it opens",
                way.switched_poles,
                wanted,
                "poles",
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                way.name,
                f"{way.name} opens every line of the circuit; the neutral is not asked to open",
                way.switched_poles,
                wanted,
                "poles",
            )
