"""A rod at the point never takes the place of the equipment grounding conductor.

Why: earth is a poor conductor. With 120 V and a rod of 25 Ω less than 5 A flow: no breaker opens,
and the metal stays live. A rod may be added, bonded to the equipment grounding conductor; it helps
little.
A pass: a point grounded by the conductor that runs with its circuit. A danger: a rod alone.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import NONE, is_known

RULE = NecRule(
    "nec-rod",
    "A rod is never the fault path",
    "NFPA 70 250.4(A)(5), 250.54, 250.118",
    "2020",
    "danger",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        conductor = circuit.cable.egc_awg
        for point in case.each(case.installation.points_of(circuit)):
            if not is_known(point.earthed_by):
                yield RULE.does_not_know(
                    case,
                    point.name,
                    point.name,
                    f"how {point.name} is grounded",
                    "a grounding conductor",
                )
            elif point.earthed_by == "supply" and conductor != NONE:
                yield RULE.passes(
                    case,
                    point.name,
                    point.name,
                    "grounded by the equipment grounding conductor of its circuit",
                    "grounding conductor",
                    "a grounding conductor",
                )
            elif point.earthed_by == "supply":
                yield RULE.does_not_know(
                    case,
                    point.name,
                    point.name,
                    "no wire grounds the point: whether a metal raceway or armor does (250.118)",
                    "a grounding conductor",
                )
            elif conductor == NONE:
                yield RULE.says(
                    case,
                    "danger",
                    point.name,
                    point.name,
                    "a rod alone grounds the point: a fault leaves its metal live",
                    "rod",
                    "a grounding conductor",
                )
            else:
                yield RULE.does_not_know(
                    case,
                    point.name,
                    point.name,
                    "whether the rod is bonded to the equipment grounding conductor that runs with"
                    " the circuit; it may only be added to it",
                    "a grounding conductor",
                )
