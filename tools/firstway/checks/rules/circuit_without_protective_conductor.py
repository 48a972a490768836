"""A protective conductor runs with every circuit, to each of its points.

Why: without one a fault makes the point and the vehicle live, and nothing opens. Also where a point
stands on an electrode of its own, or needs none, the conductor is run and kept apart there:
somebody will change the point.
A pass: a core of the cable, its armour, or a conductor beside it. A fail: none, though the point
has its own electrode, or armour that is joined at both ends and named by nobody. A danger: none at
all.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import Cable, Circuit
from firstway.model.values import NONE, UNKNOWN, is_known

RULE = Rule(
    "circuit-without-protective-conductor",
    "A protective conductor runs with every circuit",
    "BS 7671 411.3.1.1, 412.2.3.2; IEC 60364-4-41 411.3.1.1",
    "2018+A3:2024; 2017",
    "danger",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        yield _of(case, circuit)


def _of(case: Case, circuit: Circuit) -> Finding:
    of, cable = circuit.name, circuit.cable
    if not _has_none(cable):
        if cable.protective == UNKNOWN and not is_known(cable.cpc_mm2):
            return RULE.does_not_know(
                case,
                of,
                of,
                f"what serves as the protective conductor of {of}; look into its terminals",
                "one",
            )
        there = cable.protective if is_known(cable.protective) else f"{cable.cpc_mm2:g} mm²"
        return RULE.passes(
            case, of, of, "a protective conductor runs with the circuit", str(there), "one"
        )
    if cable.construction == "armoured" and cable.armour_earthed == "both-ends":
        return RULE.says(
            case,
            "fail",
            of,
            of,
            "no protective conductor is named, and the armour joined at both ends does its work"
            " unjudged: run one, or show that the armour serves and write `protective: armour`",
            "none",
            "one",
        )
    if _stands_on_its_own(case, circuit):
        return RULE.says(
            case,
            "fail",
            of,
            of,
            "no protective conductor runs with the circuit. Its points stand on an electrode of"
            " their own; yet the next point may not",
            "none",
            "one",
        )
    return RULE.says(
        case,
        "danger",
        of,
        of,
        "no protective conductor runs with the circuit: a fault makes the point and the vehicle"
        " live, and nothing opens",
        "none",
        "one",
    )


def _has_none(cable: Cable) -> bool:
    return cable.protective == NONE or cable.cpc_mm2 == NONE


def _stands_on_its_own(case: Case, circuit: Circuit) -> bool:
    """Whether every point of the circuit is earthed by an electrode at the point, not through the
    cable.
    """
    installation = case.installation
    owns = [
        installation.electrode(str(point.earthed_by)) for point in installation.points_of(circuit)
    ]
    return bool(owns) and all(own is not None and own.use == "charging-point" for own in owns)
