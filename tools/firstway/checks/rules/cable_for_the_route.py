"""A cable is made for where it runs.

Why: straight in the ground only armour stops a spade and a sheath made for it keeps water out. Flat
cable for walls rots there; a cable without armour belongs in a duct.
A pass: armoured cable in the ground; another one made for it in a duct. A fail: flat cable in the
ground, or one without armour straight in it. Cable for dry places (nm) is never buried.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Stretch
from firstway.model.values import is_known, key_of
from firstway.workings.bs_iec.cable import GROUND_METHODS

RULE = Rule(
    "cable-for-the-route",
    "A cable is made for where it runs",
    "BS 7671 522.8.10, 522.3; IEC 60364-5-52 521, 522.8.10; NFPA 70 334.12(B)",
    "2018+A3:2024; 2009; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
DIRECT = ("D2", "buried")
NEVER_BURIED = ("flat-twin-and-earth", "nm")


def check(case: Case) -> Findings:
    job = case.installation
    parts = (
        ("supply", job.supply),
        ("feed", job.feed),
        *((circuit.name, circuit) for circuit in job.circuits),
    )
    for of, part in case.each(parts):
        cable, route = key_of(part, "cable"), key_of(part, "route")
        buried = (
            [stretch for stretch in route if stretch.method in GROUND_METHODS]
            if is_known(route)
            else []
        )
        kind = key_of(cable, "construction")
        if not buried:
            continue
        if not is_known(kind):
            yield RULE.does_not_know(case, of, of, f"what kind of cable {of} is; look at it")
        elif kind in NEVER_BURIED or key_of(cable, "wiring_method") == "nm-cable":
            yield RULE.says(
                case,
                "fail",
                of,
                of,
                f"a cable of this kind ({kind}) does not belong in the ground",
                str(kind),
                "a cable for the ground",
            )
        elif kind != "armoured" and _direct(buried) and key_of(cable, "wiring_method") != "raceway":
            yield RULE.says(
                case,
                "fail",
                of,
                of,
                "straight in the ground, without armour and without a duct: nothing stops a spade",
                str(kind),
                "armour, or a duct",
            )
        else:
            yield RULE.passes(
                case,
                of,
                of,
                "the cable is made for the ground, or lies in a duct",
                str(kind),
                "a cable for the ground",
            )


def _direct(buried: list[Stretch]) -> bool:
    return any(stretch.method in DIRECT for stretch in buried)
