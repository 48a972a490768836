"""The device can interrupt, and the panel can withstand, the largest fault current where they
stand.

Why: a device that meets more than its interrupting rating may burst. A panel marked with a series
combination may be used above the rating of its branch devices, but only with the very devices its
label names.
A pass: 10 kA where 8.6 kA can flow. A fail: 5 kA there, and no series rating.
"""

from firstway.checks.devices import overcurrent_devices_ahead
from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, NecRule, within
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of
from firstway.workings.shared.step import Step

RULE = NecRule(
    "nec-interrupting-rating",
    "Device and panel stand the largest fault current",
    "NFPA 70 110.9, 110.10, 240.86",
    "2020",
    "danger",
)


def check(case: Case) -> Findings:
    current = case.step("fault-current-at-board", "board")
    assert current is not None
    yield from _ahead(case)
    for way in case.each(case.installation.board.ways):
        if way.device in ("circuit-breaker", "rcbo", "fuse"):
            yield _device(case, way, current)
    yield _panel(case, current)


def _ahead(case: Case) -> Findings:
    """The service device and those of the feed stand at the origin, where the utility's current
    flows.
    """
    for of, words, device in case.each(overcurrent_devices_ahead(case.installation)):
        current, rating = _at_origin(case), device.breaking_capacity_ka
        if not is_known(rating):
            yield RULE.does_not_know(
                case,
                of,
                of,
                f"the interrupting rating of {words}; read it on the device",
                current.value,
                "kA",
            )
        elif current.value is not None and not within(current.value, rating):
            yield RULE.says(
                case,
                "danger",
                of,
                of,
                f"more current can flow at {words} than it can interrupt",
                rating,
                current.value,
                "kA",
            )
        elif current.ask or current.value is None:
            yield RULE.does_not_know(case, of, of, current.ask, current.value, "kA", float(rating))
        else:
            yield RULE.passes(
                case,
                of,
                of,
                f"{words} interrupts the largest fault current where it stands",
                rating,
                current.value,
                "kA",
            )


def _at_origin(case: Case) -> JudgedFigure:
    """The largest available current in kA that the file gives; with an `ask` where one is not
    given, for it may be larger.
    """
    supply = case.installation.supply
    given = supply.prospective_fault_current_ka
    stated = {key: key_of(given, key) for key in ("line_neutral", "line_line", "line_earth")}
    known = [float(value) for value in stated.values() if is_known(value)]
    known += [
        float(supply.line_to_earth_v) / float(ohm) / 1000
        for ohm in (supply.ze_ohm, supply.line_neutral_loop_ohm)
        if is_known(ohm)
    ]
    ask = (
        ""
        if is_known(stated["line_line"])
        else "the available fault current between the lines; ask the utility"
    )
    return JudgedFigure(max(known, default=None), ask)


def _device(case: Case, way: Way, current: Step) -> Finding:
    of = str(way.feeds) if is_known(way.feeds) else way.name
    if current.value is None:
        return RULE.does_not_know(case, of, way.name, current.ask, unit="kA")
    if not is_known(way.breaking_capacity_ka):
        return RULE.does_not_know(
            case,
            of,
            way.name,
            f"the interrupting rating of {way.name}; read it on the device",
            current.value,
            "kA",
        )
    if within(current.value, way.breaking_capacity_ka):
        return RULE.passes(
            case,
            of,
            way.name,
            "the device interrupts the largest fault current at the panel",
            way.breaking_capacity_ka,
            current.value,
            "kA",
        )
    assembly = case.installation.board.assembly
    series = key_of(assembly, "conditional_fault_rating_ka")
    if is_known(series) and within(current.value, series):
        return RULE.says(
            case,
            "advice",
            of,
            way.name,
            "above the device's own rating; the series rating marked on the panel decides: compare"
            " both devices with its label (240.86)",
            way.breaking_capacity_ka,
            current.value,
            "kA",
        )
    return RULE.says(
        case,
        "danger",
        of,
        way.name,
        "more current can flow than the device can interrupt, and no series rating is stated",
        way.breaking_capacity_ka,
        current.value,
        "kA",
    )


def _panel(case: Case, current: Step) -> Finding:
    assembly = case.installation.board.assembly
    rating = key_of(assembly, "fault_rating_ka")
    if current.value is None:
        return RULE.does_not_know(case, "board", "board", current.ask, unit="kA")
    if not is_known(rating):
        return RULE.does_not_know(
            case,
            "board",
            "board",
            "the short-circuit current rating of the panel; read its label",
            current.value,
            "kA",
        )
    if within(current.value, rating):
        return RULE.passes(
            case,
            "board",
            "board",
            "the panel's short-circuit current rating is not below the largest fault current",
            rating,
            current.value,
            "kA",
        )
    return RULE.says(
        case,
        "danger",
        "board",
        "board",
        "more current can flow than the panel is rated for",
        rating,
        current.value,
        "kA",
    )
