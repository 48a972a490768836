"""The type of the surge protective device fits its place.

Why: type 1 is made for part of a lightning stroke, type 2 for what is left of it, type 3 for the
last metres before equipment. Where the building has a lightning protection system, type 1 belongs
at the origin. Where one stands there already, the one in this board is an extra: their makers say
whether the two agree.
A pass: type 1 or 2 without such a system; type 1 with it, or type 2 behind one of type 1. A fail:
type 2 at the origin of a building with one. Advice: type 2 elsewhere in such a building, and type 3
alone.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of
from firstway.workings.surge.elsewhere import devices_at

RULE = Rule(
    "surge-type",
    "The type of the surge protective device fits its place",
    "BS 7671 534.4.1.1; IEC 60364-5-53 534.4.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        yield _of(case, way)


def _of(case: Case, way: Way) -> Finding:
    installation = case.installation
    premises, feed = installation.premises, installation.feed
    struck = key_of(premises, "lightning_protection")
    origin = is_known(feed) and feed.from_ == "new-service"
    if not is_known(way.type):
        return RULE.does_not_know(
            case, way.name, way.name, f"the type of {way.name}; read it on the device", "1 or 2"
        )
    if way.type == 3:
        return RULE.says(
            case,
            "advice",
            way.name,
            way.name,
            "type 3 is made for the last metres before equipment, behind a type 1 or 2",
            3,
            "1 or 2",
            "type",
        )
    at_origin = devices_at(installation, "origin")
    if way.type == 2 and struck is True and any(each.type == 1 for each in at_origin):
        first = next(each.name for each in at_origin if each.type == 1)
        return RULE.passes(
            case,
            way.name,
            way.name,
            f"type 2 behind {first} of type 1 at the origin",
            2,
            "2 behind 1",
            "type",
        )
    if way.type == 2 and struck is True:
        if origin:
            return RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                "the building has a lightning protection system: type 1 belongs at the origin",
                2,
                1,
                "type",
            )
        return RULE.says(
            case,
            "advice",
            way.name,
            way.name,
            "the building has a lightning protection system: a type 1 device belongs at its origin,"
            " and the file names none there. Look for it; without it this device meets part of a"
            " stroke",
            2,
            1,
            "type",
        )
    if way.type == 2 and not is_known(struck):
        return RULE.does_not_know(
            case,
            way.name,
            way.name,
            "whether the building has a lightning protection system; look for conductors on the"
            " roof and walls",
            "1 or 2",
        )
    return RULE.passes(
        case, way.name, way.name, f"type {way.type:g} fits this place", way.type, "1 or 2", "type"
    )
