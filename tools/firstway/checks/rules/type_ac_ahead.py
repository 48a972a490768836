"""No residual current device of type AC may stand ahead of a charging point.

Why: the direct current a vehicle leaks also passes through every device ahead. A type AC device can
be blinded by it and then protects nothing behind it, sockets and all.
A pass: no device of type AC on the way to the board. A fail: the board hangs on one.
"""

from firstway.checks.places import cannot_tell_what_stands_ahead, residual_devices_ahead_of_board
from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "type-ac-ahead",
    "No type AC device stands ahead of the board",
    "BS 7671 531.3.3, 132.16",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    ahead = residual_devices_ahead_of_board(case.installation)
    ask = cannot_tell_what_stands_ahead(case.installation)
    if ask:
        yield RULE.does_not_know(case, "feed", "feed", ask, "not AC")
    for device in ahead:
        yield RULE.decides(
            case,
            "feed",
            "feed",
            if_known(device.residual_type != "AC", device.residual_type),
            found="AC",
            wanted="not AC",
            holds=f"{device.name} is of type {device.residual_type}",
            breaks=(
                f"the board hangs on a type AC device ({device.name}): the vehicle's leakage can"
                " blind it"
            ),
            ask=f"the type of {device.name}; read it on the device",
            held=str(device.residual_type),
        )
    if not ahead and not ask:
        yield RULE.passes(
            case,
            "feed",
            "feed",
            "no residual current device stands ahead of the board",
            "none",
            "not AC",
        )
