"""The armour must not join a point's own electrode to the supply's earth.

Why: a point with an electrode of its own is kept apart from the network's earth for a reason: when
the PEN breaks, that earth rises. Armour earthed at both ends brings it to the point all the same.
A pass: earthed at the board and kept clear at the point. A fail: earthed at both ends.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import is_known

RULE = Rule(
    "two-earths-joined",
    "The armour does not join two earths",
    "BS 7671 722.411.4.1, 411.3.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671",),
)


def check(case: Case) -> Findings:
    installation = case.installation
    if installation.supply.system == "TT":
        return
    for circuit in case.each(installation.circuits):
        for point in case.each(installation.points_of(circuit)):
            electrode = (
                installation.electrode(str(point.earthed_by))
                if is_known(point.earthed_by)
                else None
            )
            if (
                electrode is None
                or electrode.use != "charging-point"
                or circuit.cable.construction != "armoured"
            ):
                continue
            end = circuit.cable.armour_earthed
            yield RULE.decides(
                case,
                point.name,
                circuit.name,
                if_known(end != "both-ends" and circuit.cable.protective != "armour", end),
                found=str(end),
                wanted="one end only",
                holds="the armour does not join the two earths",
                breaks=(
                    f"the armour joins {electrode.name} to the supply's earth: the point is no"
                    " longer apart"
                ),
                ask=f"at which end the armour of {circuit.name} is earthed",
                held=str(end),
            )
