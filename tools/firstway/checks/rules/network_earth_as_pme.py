"""An earth brought by the network is treated as PME, whatever it is called.

Why: a supply may arrive with a separate earth and still share line and earth in a cable down the
street, where a repair has joined them. The clause on charging outdoors names PME only; the trade's
code of practice says treat any network earth alike.
A pass: a point outdoors on a TN-S earth that has a measure against a broken PEN all the same.
Advice: it has none.
A fail: a device that leaves the protective conductor joined. Under IEC 60364 it speaks of a
combined earth.
"""

from firstway.checks.places import flaw_of_open_pen_device, may_charge_outdoors
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Installation
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "network-earth-as-pme",
    "A network's earth is treated as PME",
    "common practice; a code of practice of the trade",
    "",
    "fail",
    ("bs7671", "iec60364"),
)
_WANTED = "a measure as on a PME supply"


def check(case: Case) -> Findings:
    installation = case.installation
    # BS 7671 names PME itself (`open-pen-outdoors`); the international text has no ban, and the
    # danger is the same.
    if installation.supply.system not in (
        ("TN-S",) if installation.rules == "bs7671" else ("TN-C-S",)
    ):
        return
    for point in case.each(case.installation.charging_points):
        outdoors, measure = may_charge_outdoors(case.installation, point.name), point.open_pen
        if outdoors is False or (is_known(point.earthed_by) and point.earthed_by != "supply"):
            continue
        own = key_of(measure, "measure")
        if outdoors is None or not is_known(point.earthed_by):
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"whether {point.name} may charge a vehicle outdoors, and what earths it",
                _WANTED,
            )
        elif own == NONE:
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "the street's cable may share its earth: give the point a measure against a broken"
                " PEN, as for PME",
                "none",
                _WANTED,
            )
        elif own == "device" and is_known(measure) and (flaw := flaw_of_open_pen_device(measure)):
            yield RULE.says(
                case,
                "fail" if flaw[0] == "danger" else "advice",
                point.name,
                point.name,
                flaw[1],
                "device",
                _WANTED,
            )
        elif nothing := _guards_nothing(installation, str(own)):
            yield RULE.says(case, "advice", point.name, point.name, nothing, str(own), _WANTED)
        elif not is_known(own):
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"whether {point.name} has a measure against a broken PEN; the street's cable may"
                " share its earth",
                _WANTED,
            )
        else:
            yield RULE.passes(
                case,
                point.name,
                point.name,
                "the point has a measure against a broken PEN all the same",
                str(own),
                _WANTED,
            )


def _guards_nothing(installation: Installation, measure: str) -> str:
    """Why a measure the file names cannot be one here; "" where it can."""
    if measure == "electrode" and not any(
        item.use in ("installation", "holds-down-open-pen") for item in installation.electrodes
    ):
        return (
            "no electrode is joined to the main earthing terminal: nothing holds it down when the"
            " PEN of the street breaks"
        )
    return (
        "one line cannot be balanced: this measure is for three phases"
        if measure == "three-phase-balance" and installation.supply.phases != 3
        else ""
    )
