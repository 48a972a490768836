"""Two surge protective devices on one way agree: the second is not spent by what the first leaves.

Why: the device that clamps lower takes the current. A small one near the point, or behind a large
one that limits and does not switch, may take most of a surge it was never made for. The cable
between them chokes a short surge, not the long one of lightning. Which of its devices agree, and
with how much cable between them, only their maker knows; our run shows the order of it and passes
nothing.
A pass: their maker declares it, and the cable is as long as the maker asks. A fail: shorter.
Advice: nobody declares it, and by our run the second takes more than one surge of its rating. Not
known: nobody declares it; or what the first is made of is not known.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, of_step, within
from firstway.model.installation import SurgeDeviceElsewhere
from firstway.model.values import UNDECLARED, UNKNOWN, is_known
from firstway.workings.surge.elsewhere import Pair, PairedDevice, surge_pairs

RULE = Rule(
    "surge-devices-agree",
    "Surge protective devices on one way agree",
    "BS 7671 534.4.4.5 (from memory); IEC 60364-5-53 534.4.4.5 (from memory); makers' declarations",
    "2018+A3:2024; 2015",
    "fail",
    ("bs7671", "iec60364"),
)
ONE_SURGE = 100.0


def check(case: Case) -> Findings:
    for pair in case.each(surge_pairs(case.installation)):
        yield _of(case, pair)


def _of(case: Case, pair: Pair) -> Finding:
    first, second = pair.first, pair.second
    of = first.name if pair.at_board else second.name
    names = f"{first.name} and {second.name}"
    strain = of_step(case, "surge-strain", of)
    worked = (
        f"; by our run {second.name} takes {strain.value:.0f} % of one nominal surge of its own"
        if strain.value is not None
        else ""
    )
    speaker = _declares(first, second) or _declares(second, first)
    if speaker is not None:
        between = of_step(case, "surge-cable-between", of, f"the cable between {names}; measure it")
        if between.value is None or not is_known(speaker.least_cable_m):
            ask = between.ask or f"how much cable the maker of {speaker.name} asks for between"
            return RULE.does_not_know(case, of, of, f"{ask}{worked}", unit="m", value=between.value)
        fits = within(float(speaker.least_cable_m), between.value)
        message = (
            f"their maker declares that {names} agree, with this cable between them"
            if fits
            else f"less cable lies between {names} than their maker asks for: the second is spent"
            " first"
        )
        return RULE.says(
            case,
            "pass" if fits else "fail",
            of,
            of,
            f"{message}{worked}",
            between.value,
            float(speaker.least_cable_m),
            "m",
        )
    if strain.value is not None and not within(strain.value, ONE_SURGE) and _said(first, second):
        return RULE.says(
            case,
            "advice",
            of,
            of,
            f"no maker declares that {names} agree{worked}: choose two that one maker declares",
            strain.value,
            ONE_SURGE,
            "%",
        )
    return RULE.does_not_know(
        case,
        of,
        of,
        f"whether {names} agree: ask their makers, with the cable between them{worked}",
        "declared",
    )


def _declares(one: PairedDevice, other: PairedDevice) -> SurgeDeviceElsewhere | None:
    """The device whose maker says that the two agree."""
    if isinstance(one, SurgeDeviceElsewhere) and is_known(one.agrees_with):
        return one if other.name in one.agrees_with else None
    return None


def _said(*devices: PairedDevice) -> bool:
    """Whether the file says of each what its maker declares: nothing said is no declaration."""
    return all(
        device.agrees_with not in (UNKNOWN, UNDECLARED)
        for device in devices
        if isinstance(device, SurgeDeviceElsewhere)
    )
