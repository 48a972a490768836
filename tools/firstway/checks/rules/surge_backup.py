"""The surge protective device has the overcurrent protection its maker asks for.

Why: a worn-out device can end as a short circuit. Something must then clear it before it burns: a
part inside, a device of its own, or the device ahead, up to the rating the maker gives.
A pass: 80 A ahead where the maker allows 125 A; or protection inside. A fail: 160 A ahead where 125
A is allowed and no device of its own.
"""

from firstway.checks.places import device_ahead_of_board
from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, Rule, of_file, within
from firstway.model.installation import SurgeDeviceElsewhere, Way
from firstway.model.values import is_known, key_of

RULE = Rule(
    "surge-backup",
    "The surge protective device has its back-up protection",
    "BS 7671 534.4.5; IEC 60364-5-53 534.4.5",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for device in case.each(case.installation.surge_devices):
        yield _elsewhere(case, device)
    for way in case.each(case.installation.surge_ways):
        if way.own_protection == "internal":
            yield RULE.passes(
                case,
                way.name,
                way.name,
                "the maker states protection inside the device",
                "internal",
                "as the maker states",
            )
        elif way.own_protection == "external":
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"whether the own device ahead of {way.name} is the one its maker names; its link"
                " also adds lead length",
                "as the maker states",
            )
        elif _larger_than_any_fuse_allowed(case, way) and is_known(way.backup_fuse_max_a):
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                "the device ahead is rated above the largest fuse its maker allows, and there is no"
                " device of its own",
                _ahead(case, way).value,
                float(way.backup_fuse_max_a),
                "A",
            )
        elif kind := _not_a_fuse(case, way):
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"whether the maker of {way.name} allows {kind} ahead: the figure given is for a"
                " fuse",
            )
        else:
            largest = of_file(
                way.backup_fuse_max_a,
                f"the largest fuse allowed ahead of {way.name}; ask its maker",
            )
            yield RULE.compares(
                case,
                way.name,
                way.name,
                _ahead(case, way),
                largest,
                "A",
                "the device ahead is no larger than the maker allows",
                "the device ahead is larger than the maker allows, and there is no device of"
                " its own",
            )


def _elsewhere(case: Case, device: SurgeDeviceElsewhere) -> Finding:
    of = device.name
    if device.own_protection == "internal":
        return RULE.passes(
            case,
            of,
            of,
            "the maker states protection inside the device",
            "internal",
            "as the maker states",
        )
    return RULE.compares(
        case,
        of,
        of,
        of_file(device.fuse_a, f"the fuse ahead of {of}; read it"),
        of_file(device.backup_fuse_max_a, f"the largest fuse allowed ahead of {of}; ask its maker"),
        "A",
        "the fuse ahead is no larger than the maker allows",
        "the fuse ahead is larger than the maker allows: a worn device burns before it opens",
    )


def _larger_than_any_fuse_allowed(case: Case, way: Way) -> bool:
    """Whatever stands ahead, fuse or not: above the figure for a fuse nothing speaks for it."""
    ahead = _ahead(case, way)
    return (
        ahead.value is not None
        and is_known(way.backup_fuse_max_a)
        and not within(ahead.value, float(way.backup_fuse_max_a))
    )


def _ahead(case: Case, way: Way) -> JudgedFigure:
    """Rating in ampere of the device ahead: the way that feeds it, else what guards the board."""
    ways = {item.name: item for item in case.installation.board.ways}
    if is_known(way.fed_from) and way.fed_from in ways:
        source = ways[str(way.fed_from)]
        return of_file(source.rating_a, f"the rating of {source.name}; read it on the device")
    return device_ahead_of_board(case)


def _not_a_fuse(case: Case, way: Way) -> str:
    """What stands ahead instead of a fuse; "" when it is a fuse."""
    ways = {item.name: item for item in case.installation.board.ways}
    if is_known(way.fed_from) and way.fed_from in ways:
        return "" if ways[str(way.fed_from)].device == "fuse" else str(way.fed_from)
    feed, service = case.installation.feed, case.installation.supply.service_device
    own = [item for item in feed.through if not isinstance(item, str)] if is_known(feed) else []
    last = own[-1] if own else service
    kind = key_of(last, "device")
    return "a circuit-breaker" if kind == "circuit-breaker" else ""
