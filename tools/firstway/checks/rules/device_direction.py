"""A device that carries current both ways must be made for it.

Why: a vehicle that feeds back turns the load into a source. A device made for one direction may
then fail to open, or be destroyed when it opens. The circuit is then live from both sides: each
source is isolated before work, and labels say so.
A pass: the point does not feed back; or it does and the device is declared for both directions. A
fail: it feeds back through a one-way device. Not declared: ask the maker.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "device-direction",
    "The device is made for the direction of the current",
    "BS 7671 530.3.201; IEC 60364-5-53 530 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        for point in case.each(case.installation.points_of(circuit)):
            if point.bidirectional is False:
                yield RULE.passes(
                    case,
                    circuit.name,
                    way.name,
                    f"{point.name} does not feed back: either kind of device serves",
                    "one way",
                    "one way",
                )
            elif point.bidirectional is not True:
                yield RULE.does_not_know(
                    case,
                    circuit.name,
                    way.name,
                    f"whether {point.name} can feed back from a vehicle; ask its maker",
                )
            elif way.bidirectional is True:
                yield RULE.passes(
                    case,
                    circuit.name,
                    way.name,
                    f"{way.name} is declared for both directions",
                    "both ways",
                    "both ways",
                )
            elif way.bidirectional is False:
                yield RULE.says(
                    case,
                    "fail",
                    circuit.name,
                    way.name,
                    f"{point.name} feeds back through {way.name}, which is made for one direction",
                    "one way",
                    "both ways",
                )
            else:
                yield RULE.does_not_know(
                    case,
                    circuit.name,
                    way.name,
                    f"whether {way.name} is made for both directions; an unmarked device"
                    " says nothing, ask its maker",
                    "both ways",
                )
