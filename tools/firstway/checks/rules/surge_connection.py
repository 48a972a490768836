"""Where the earth is an electrode, a surge protective device ahead of the residual current device
is connected CT2.

Why: on a TT supply a worn-out device between line and earth would pass fault current into the
electrode with nothing ahead to clear it. CT2 puts it between line and neutral, where a fuse clears
it, and joins neutral to earth through a spark gap.
A pass: CT2 on TT; either way on TN. A fail: CT1 on TT with no residual current device ahead.
"""

from firstway.checks.places import residual_devices_ahead_of
from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.lines import residual_device_at_origin
from firstway.model.values import is_known

RULE = Rule(
    "surge-connection",
    "The connection of the surge protective device fits the earthing",
    "BS 7671 534.4.3 and Table 534.5; IEC 60364-5-53 534.4.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    own = case.installation.electrode_of_board is not None
    system = "TT" if own else case.installation.supply.system
    for way in case.each(case.installation.surge_ways):
        behind = bool(residual_devices_ahead_of(case.installation, way))
        if not is_known(way.connection):
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"how {way.name} is connected, CT1 or CT2",
                "CT2" if system == "TT" else "CT1 or CT2",
            )
        elif system == "TT" and way.connection != "CT2" and not behind:
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                "where an electrode is the earth, ahead of the residual current device, it must be"
                " connected CT2",
                str(way.connection),
                "CT2",
            )
        else:
            yield RULE.passes(
                case,
                way.name,
                way.name,
                f"the connection {way.connection} fits "
                + ("an earth of its own" if own else f"a {system} supply"),
                str(way.connection),
                "CT2" if system == "TT" and not behind else "CT1 or CT2",
            )
    for device in case.each(case.installation.surge_devices):
        # one at a point stands behind the residual current device of its circuit
        points = {point.name for point in case.installation.charging_points}
        ahead = device.at not in points and case.installation.supply.system == "TT"
        wanted = "CT2" if ahead else "CT1 or CT2"
        yield RULE.decides(
            case,
            device.name,
            device.name,
            if_known(
                not ahead
                or device.connection == "CT2"
                or is_known(residual_device_at_origin(case.installation)),
                device.connection,
            ),
            found=str(device.connection),
            wanted=wanted,
            holds=f"the connection {device.connection} fits where {device.name} stands",
            breaks=(
                "where an electrode is the earth, ahead of the residual current device, it must be"
                " connected CT2"
            ),
            ask=f"how {device.name} is connected, CT1 or CT2",
        )
