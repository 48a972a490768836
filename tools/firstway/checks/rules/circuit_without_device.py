"""Every circuit has a device that opens an overload and a short circuit.

Why: a residual current device without overcurrent protection sees leaks only, a contactor sees
nothing. The cable is then guarded by the device of the feed, which lets it burn.
A pass: an RCBO, a breaker or a fuse in the way of the circuit, or ahead of it in the board. A fail:
a contactor or a residual current device alone.
"""

from firstway.checks.devices import chain_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "circuit-without-device",
    "Every circuit has its overcurrent device",
    "BS 7671 431.1.1, 433.2; IEC 60364-4-43 431.1, 433.2; NFPA 70 240.4, 240.21",
    "2018+A3:2024; 2008; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
OPENS_OVERLOADS = ("rcbo", "circuit-breaker", "fuse")


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        chain = chain_of(case.installation, case.installation.way_feeding(circuit.name))
        kinds = ", ".join(str(way.device) for way in chain)
        guard = next((way for way in chain if way.device in OPENS_OVERLOADS), None)
        if guard is None:
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                chain[0].name,
                f"nothing in the board opens an overload of {circuit.name}:"
                " its cable is left to the device of the feed",
                kinds,
                " or ".join(OPENS_OVERLOADS),
            )
        elif not is_known(guard.rating_a):
            yield RULE.does_not_know(
                case, circuit.name, guard.name, f"the rating of {guard.name}; read it on the device"
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                guard.name,
                f"{guard.name} opens an overload of {circuit.name}",
                kinds,
            )
