"""A device is made to a standard for devices of its kind.

Why: rating, curve and breaking capacity mean what the standard says they mean. A breaker to a
standard for fuses is read from the wrong table; a "residual current device" to the standard of
plain breakers sees no leak at all; a switch for lamps does not isolate.
A pass: an RCBO to IEC 61009-1. A fail: an RCBO to IEC 60898-1. A standard that stands in no table
here: not known.
"""

from firstway.checks.devices import StandardDevice, devices_of
from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.values import is_known
from firstway.tables.looking_up import standard_words
from firstway.tables.reading import standards_of_device

RULE = Rule(
    "device-standard",
    "Each device is made to a standard of its kind",
    "BS 7671 511.1, 722.531.3.101; IEC 60364-5-51 511.1; NFPA 70 110.3(B)",
    "2018+A3:2024; 2005; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
# Their makers' sheets are asked for by rules of their own.
UNNAMED_IS_FINE = ("spd", "contactor")


def check(case: Case) -> Findings:
    for each in case.each(devices_of(case.installation)):
        if not is_known(each.device) or each.device == "blank":
            continue
        if each.device in UNNAMED_IS_FINE and not is_known(each.standard):
            continue
        yield _of(case, each)


def _of(case: Case, each: StandardDevice) -> Finding:
    wanted = standards_of_device(str(each.device))
    limit = ", ".join(wanted)
    if not is_known(each.standard):
        return RULE.does_not_know(
            case,
            each.of,
            each.place,
            f"the standard {each.words} is made to; read it on the device",
            limit,
        )
    others = standards_of_device()
    said = str(each.standard)
    if any(_names(said, one) for one in wanted):
        return RULE.passes(
            case,
            each.of,
            each.place,
            f"{each.words} is made to a standard of its kind",
            said,
            limit,
        )
    if any(_names(said, one) for one in others):
        return RULE.says(
            case,
            "fail",
            each.of,
            each.place,
            f"{each.words} is called a {each.device}, and {said} is no standard for one: find out"
            " which of the two is wrong",
            said,
            limit,
        )
    return RULE.does_not_know(
        case,
        each.of,
        each.place,
        f"what {said} asks of a {each.device}; look it up, or ask the maker",
        limit,
    )


def _names(said: str, standard: str) -> bool:
    """Whether a standard is meant: a part or a prefix more is the same standard.

    >>> _names("BS EN 61009-1", "IEC 61009-1"), _names("IEC 60947-2 annex B", "IEC 60947-2")
    (True, True)
    """
    return standard.removeprefix("IEC ") in standard_words(said)[0]
