"""A residual current device inside the charging point counts only when it is one to a listed
standard.

Why: many points say they protect against leakage. Only a device made and tried to the standards for
residual current devices counts, and one inside the point leaves the cable in the wall and the
ground unguarded.
A pass: the board's own device serves; or the maker of the point declares the standard, the current
and the poles of the one inside. Advice: the board has none and the point claims one. A fail:
neither has one.
"""

from firstway.checks.devices import declared_inside, own_residual
from firstway.checks.places import may_protect_one_point, residual_devices_ahead_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import NONE, is_known

RULE = Rule(
    "built-in-residual",
    "A residual current device inside the point counts only as declared",
    "BS 7671 722.531.3; IEC 60364-7-722 722.531.3.101",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
LISTED = "a device to a listed standard"


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        ahead = residual_devices_ahead_of(case.installation, way)
        for point in case.each(case.installation.points_of(circuit)):
            if point.earthed_by == "separated":
                continue
            own = own_residual(case.installation, way)
            if own is not None:
                yield RULE.passes(
                    case,
                    point.name,
                    own.name,
                    "the board's own device serves: nothing rests on one inside the point",
                    own.name,
                    LISTED,
                )
            elif any(may_protect_one_point(case.installation, each) for each in ahead):
                yield RULE.does_not_know(
                    case,
                    point.name,
                    way.name,
                    f"whether {ahead[0].name} protects this point alone",
                    LISTED,
                )
            elif point.built_in_rcd == NONE:
                yield RULE.says(
                    case,
                    "fail",
                    point.name,
                    point.name,
                    "neither the board nor the point has a residual current device for this point"
                    " alone",
                    "none",
                    LISTED,
                )
            elif declared_inside(point):
                yield RULE.passes(
                    case,
                    point.name,
                    point.name,
                    f"its maker declares the device inside {point.name} to"
                    f" {point.built_in_rcd_standard}; the cable to it has no residual current"
                    " device, other rules judge it",
                    str(point.built_in_rcd),
                    LISTED,
                )
            elif is_known(point.built_in_rcd):
                yield RULE.says(
                    case,
                    "advice",
                    point.name,
                    point.name,
                    f"the device inside {point.name} ({point.built_in_rcd}) counts only if its"
                    " maker declares it to a listed standard, and the cable to it stays unguarded:"
                    " fit one in the board",
                    str(point.built_in_rcd),
                    LISTED,
                )
            else:
                yield RULE.does_not_know(
                    case,
                    point.name,
                    point.name,
                    f"to which standard the residual current device inside {point.name} is made;"
                    " ask its maker, or fit one in the board",
                    LISTED,
                )
