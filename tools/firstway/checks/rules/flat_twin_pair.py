"""A flat cable has the protective core it is made with.

Why: flat twin-and-earth is made in pairs: 6 mm² with 2.5 mm², 10 mm² with 4 mm². Another pair means
that one of the two figures was not read on the cable, and fault and loop are worked with a core
that is not there.
A pass: 10 mm² with 4 mm². Advice: 10 mm² with 2.5 mm².
"""

from firstway.checks.rule import Case, Findings, Rule, of_table
from firstway.model.values import is_known
from firstway.tables.looking_up import flat_twin_pair_mm2

RULE = Rule(
    "flat-twin-pair",
    "A flat cable has the core it is made with",
    "BS 6004",
    "2012",
    "advice",
    ("bs7671", "iec60364"),
    standing="found",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        cable = circuit.cable
        if cable.construction != "flat-twin-and-earth":
            continue
        if not is_known(cable.csa_mm2) or not is_known(cable.cpc_mm2):
            yield RULE.does_not_know(
                case,
                circuit.name,
                circuit.name,
                f"the sizes of the cores of {circuit.name}; read them on the cable",
            )
            continue
        pair = of_table(flat_twin_pair_mm2(float(cable.csa_mm2)))
        if pair.value is None:
            yield RULE.does_not_know(case, circuit.name, circuit.name, pair.ask, unit="mm2")
        elif pair.value == cable.cpc_mm2:
            yield RULE.passes(
                case,
                circuit.name,
                circuit.name,
                "the cable is made with this protective core",
                cable.cpc_mm2,
                pair.value,
                "mm2",
            )
        else:
            yield RULE.says(
                case,
                "advice",
                circuit.name,
                circuit.name,
                "no such flat cable is made: read both cores again",
                cable.cpc_mm2,
                pair.value,
                "mm2",
            )
