"""Ground-fault protection for people: asked for receptacles; for hard-wired points it hangs on
edition and place.

Why: a class A interrupter opens at 4 mA to 6 mA, before a current through a body is dangerous. A
listed charging point has its own protection at about 20 mA: that is another device. Both in series
may trip without need, a reason to wire a point without plug.
A pass: a receptacle behind a class A device. A fail: a receptacle behind a plain breaker. Not
known: a hard-wired point outdoors up to 50 A, where inspectors differ, or any hard-wired point
under the 2026 edition.
"""

from firstway.checks.rule import AUTHORITY, Case, Finding, Findings, NecRule, within
from firstway.model.installation import ChargingPoint, Circuit
from firstway.model.values import is_known
from firstway.tables.reading import Gap, rule_limit

RULE = NecRule(
    "nec-gfci",
    "Ground-fault protection for people where the edition asks for it",
    "NFPA 70 625.54, 210.8(F)",
    "2020",
    "fail",
)
RECEPTACLES_SINCE, HARD_WIRED_SINCE = 2020, 2026


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        for point in case.each(case.installation.points_of(circuit)):
            yield _of(case, circuit, point)


def _of(case: Case, circuit: Circuit, point: ChargingPoint) -> Finding:
    if point.outlet == "receptacle" or point.hard_wired is False:
        return _receptacle(case, circuit, point)
    if not is_known(point.hard_wired):
        return RULE.does_not_know(
            case,
            point.name,
            point.name,
            f"whether {point.name} is hard-wired or plugged into a receptacle",
        )
    if case.edition_year >= HARD_WIRED_SINCE:
        return RULE.does_not_know(
            case,
            point.name,
            point.name,
            "the 2026 edition widens ground-fault protection to hard-wired points and was under"
            f" appeal: read the adopted text; {AUTHORITY}",
        )
    if point.location == "indoors":
        return RULE.says(
            case,
            "advice",
            point.name,
            point.name,
            "625.54 of this edition speaks of receptacles; a hard-wired point indoors has its"
            f" built-in protection alone; {AUTHORITY}",
        )
    return _outdoors(case, circuit, point)


def _outdoors(case: Case, circuit: Circuit, point: ChargingPoint) -> Finding:
    device, amperes, volts = (
        case.step("device-rating", circuit.name),
        rule_limit("nec", "gfci-outdoors-up-to-a"),
        rule_limit("nec", "gfci-outdoors-up-to-v-to-earth"),
    )
    if (
        device is not None
        and device.value is not None
        and not isinstance(amperes, Gap)
        and not isinstance(volts, Gap)
        and point.location == "outdoors"
        and not (
            within(device.value, amperes.value)
            and within(case.installation.supply.line_to_earth_v, volts.value)
        )
    ):
        return RULE.says(
            case,
            "advice",
            point.name,
            point.name,
            f"above the limits of 210.8(F) for outdoor outlets; {AUTHORITY}",
            device.value,
            amperes.value,
            "A",
        )
    return RULE.does_not_know(
        case,
        point.name,
        point.name,
        "whether 210.8(F) for outdoor outlets of dwellings reaches a hard-wired charging point:"
        f" inspectors differ; {AUTHORITY}",
        None if isinstance(amperes, Gap) else amperes.value,
        "A",
    )


def _receptacle(case: Case, circuit: Circuit, point: ChargingPoint) -> Finding:
    way, limit = case.installation.way_feeding(circuit.name), rule_limit("nec", "gfci-class-a-ma")
    if case.edition_year < RECEPTACLES_SINCE:
        return RULE.does_not_know(
            case,
            point.name,
            way.name,
            f"whether this edition asks for ground-fault protection of the receptacle; {AUTHORITY}",
        )
    if way.device in ("circuit-breaker", "fuse") and not is_known(way.rated_residual_current_ma):
        return RULE.says(
            case,
            "fail",
            point.name,
            way.name,
            f"a receptacle behind {way.name}, a plain overcurrent device: 625.54 asks for"
            " ground-fault protection of every charging receptacle",
            "none",
            None if isinstance(limit, Gap) else limit.value,
            "mA",
        )
    if not is_known(way.rated_residual_current_ma) or isinstance(limit, Gap):
        return RULE.does_not_know(
            case,
            point.name,
            way.name,
            "625.54 asks for ground-fault protection of every charging receptacle: whether"
            f" {way.name} or the receptacle gives it; look at the device",
            None if isinstance(limit, Gap) else limit.value,
            "mA",
        )
    if within(way.rated_residual_current_ma, limit.value):
        return RULE.passes(
            case,
            point.name,
            way.name,
            "the receptacle has ground-fault protection of class A",
            way.rated_residual_current_ma,
            limit.value,
            "mA",
        )
    return RULE.says(
        case,
        "fail",
        point.name,
        way.name,
        "the residual current device is no class A interrupter",
        way.rated_residual_current_ma,
        limit.value,
        "mA",
    )
