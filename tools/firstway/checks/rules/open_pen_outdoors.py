"""A point outdoors on a combined (PME) earth needs a measure against a broken PEN conductor.

Why: when the combined conductor in the street breaks, everything joined to the supply's earth rises
toward line voltage, and a person beside the vehicle stands on true earth. Indoors much that can be
touched is bonded, though no floor is; outdoors nothing is.
A pass: a device that opens live and protective conductors in time and does not reclose; an own
electrode; a separated supply. A danger: no measure, or an electrode too high to hold the voltage
down.
"""

from firstway.checks.places import (
    flaw_of_open_pen_device,
    house_earth_asked,
    may_charge_outdoors,
    unknown_of_open_pen_device,
)
from firstway.checks.rule import Case, Finding, Findings, Rule, of_step, within
from firstway.model.installation import ChargingPoint, OpenPen
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "open-pen-outdoors",
    "A point outdoors has a measure against a broken PEN",
    "BS 7671 722.411.4.1",
    "2018+A3:2024",
    "danger",
    ("bs7671",),
)

_WANTED = "a permitted measure"
JOINED = ("installation", "holds-down-open-pen")


def check(case: Case) -> Findings:
    if case.installation.supply.system != "TN-C-S":
        return
    for point in case.each(case.installation.charging_points):
        outdoors = may_charge_outdoors(case.installation, point.name)
        if outdoors is None:
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"whether {point.name} is outdoors or may charge a vehicle outdoors",
            )
        elif outdoors:
            yield _of(case, point)


def _of(case: Case, point: ChargingPoint) -> Finding:
    say = lambda level, message, value: RULE.says(
        case, level, point.name, point.name, message, value, _WANTED
    )
    board = case.installation.electrode_of_board
    on_board = board is not None and point.earthed_by == board.name
    if on_board and (asked := house_earth_asked(case.installation)):
        return RULE.does_not_know(case, point.name, point.name, asked, _WANTED)
    joined = on_board and case.installation.board.joined_to_house is True
    if is_known(point.earthed_by) and point.earthed_by != "supply" and not joined:
        return RULE.passes(
            case,
            point.name,
            point.name,
            f"{point.name} does not use the earth of the supply ({point.earthed_by})",
            str(point.earthed_by),
            _WANTED,
        )
    measure = point.open_pen
    kind = key_of(measure, "measure")
    if kind == NONE:
        return say(
            "danger",
            f"a vehicle outdoors may be charged from {point.name} on a combined earth and nothing"
            " guards against a broken PEN",
            "none",
        )
    if not is_known(measure) or not is_known(kind):
        return RULE.does_not_know(
            case,
            point.name,
            point.name,
            f"which measure guards {point.name} against a broken PEN",
            _WANTED,
        )
    if kind == "device":
        return _device(case, point, measure)
    return _electrode(case, point) if kind == "electrode" else _balance(case, point)


def _device(case: Case, point: ChargingPoint, measure: OpenPen) -> Finding:
    flaw, missing = flaw_of_open_pen_device(measure), unknown_of_open_pen_device(measure)
    if flaw:
        return RULE.says(case, flaw[0], point.name, point.name, flaw[1], "device", _WANTED)
    if missing:
        return RULE.does_not_know(
            case,
            point.name,
            point.name,
            f"of the open-PEN device: {', '.join(missing)}; ask its maker",
            _WANTED,
        )
    return RULE.passes(
        case,
        point.name,
        point.name,
        "a device opens live and protective conductors in time and stays open",
        "device",
        _WANTED,
    )


def _electrode(case: Case, point: ChargingPoint) -> Finding:
    """Held to 70 V over the load current: the source's electrode, which nobody guarantees, is not
    counted.
    """
    own = next((item for item in case.installation.electrodes if item.use in JOINED), None)
    if own is None:
        return RULE.says(
            case,
            "danger",
            point.name,
            point.name,
            "no electrode is joined to the main earthing terminal: nothing holds it down when the"
            " PEN breaks",
            "none",
            _WANTED,
        )
    return RULE.compares(
        case,
        point.name,
        point.name,
        of_step(case, "electrode-resistance", own.name),
        of_step(case, "open-pen-electrode-limit", "supply"),
        "ohm",
        f"{own.name} holds the main earthing terminal within the limit when the PEN breaks",
        f"{own.name} is too high: with the PEN broken the main earthing terminal rises far above"
        " the limit",
        otherwise="danger",
    )


def _balance(case: Case, point: ChargingPoint) -> Finding:
    if case.installation.supply.phases != 3:
        return RULE.says(
            case,
            "fail",
            point.name,
            point.name,
            "one line cannot be balanced: this measure is for three phases",
            "three-phase-balance",
            _WANTED,
        )
    voltage, limit = (
        of_step(case, "open-pen-voltage", "supply"),
        of_step(case, "open-pen-limit", "supply"),
    )
    if (
        voltage.value is not None
        and limit.value is not None
        and not within(voltage.value, limit.value)
    ):
        return RULE.says(
            case,
            "danger",
            point.name,
            point.name,
            "the loads are not balanced enough: with the PEN broken the main earthing terminal"
            " rises above the limit",
            voltage.value,
            limit.value,
            "V",
        )
    if voltage.value is None or limit.value is None:
        return RULE.does_not_know(
            case, point.name, point.name, voltage.ask or limit.ask, limit.value, "V", voltage.value
        )
    return RULE.says(
        case,
        "advice",
        point.name,
        point.name,
        "with the loads of the file the main earthing terminal stays within the limit; another day"
        " they may lie otherwise: the designer has to show that they stay balanced",
        voltage.value,
        limit.value,
        "V",
    )
