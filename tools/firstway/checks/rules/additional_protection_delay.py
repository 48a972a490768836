"""A device that is to protect people does not wait.

Why: a device of type S stays closed for a tenth of a second and longer, so that others behind it
open first. Whoever holds a live part meanwhile is held by it. Delay and additional protection
exclude each other, whatever the residual current on its plate.
A pass: 30 mA without delay. Not known: type G, which waits hundredths; ask its maker whether it
keeps the times of an undelayed device. A fail: 30 mA of type S at a charging point.
"""

from firstway.checks.devices import chain_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "additional-protection-delay",
    "A device that protects people does not wait",
    "BS 7671 415.1.1, 722.531.3.101; IEC 60364-4-41 415.1; IEC 61009-1",
    "2018+A3:2024; 2005; 2010",
    "fail",
    ("bs7671", "iec60364"),
)
_RESIDUAL = ("rcbo", "rcd")


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        chain = chain_of(case.installation, case.installation.way_feeding(circuit.name))
        own = next((way for way in chain if way.device in _RESIDUAL), None)
        if own is None:
            continue  # another rule says that there is none
        if not is_known(own.delay):
            yield RULE.does_not_know(
                case,
                circuit.name,
                own.name,
                f"whether {own.name} is delayed; read it on the device",
                "no delay",
            )
        elif own.delay == "S":
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                own.name,
                f"{own.name} is of type S: it waits while a person is held",
                "S",
                "no delay",
            )
        elif own.delay == "G":
            yield RULE.does_not_know(
                case,
                circuit.name,
                own.name,
                f"whether {own.name}, of type G, keeps the times of an undelayed device; ask its"
                " maker",
                "no delay",
                value="G",
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                own.name,
                f"{own.name} opens at once",
                str(own.delay),
                "no delay",
            )
