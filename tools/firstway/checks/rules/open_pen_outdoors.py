"""A point outdoors on a combined (PME) earth needs a measure against a broken PEN conductor.

Why: when the combined conductor in the street breaks, everything joined to the supply's earth rises
toward line voltage, and a person beside the vehicle stands on true earth. Indoors much that can be
touched is bonded, though no floor is; outdoors nothing is.
A pass: a device that opens live and protective conductors in time and does not reclose; an own
electrode; a separated supply. A fail: no measure. A single rod seldom can hold the voltage down.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.places import may_charge_outdoors
from firstway.checks.rule import Rule, within
from firstway.model.installation import ChargingPoint
from firstway.model.values import NONE, is_known
from firstway.tables.found import Read
from firstway.tables.looking_up import open_pen

RULE = Rule("open-pen-outdoors", "A point outdoors has a measure against a broken PEN", "BS 7671 722.411.4.1", "2018+A3:2024", "danger",
            ("bs7671",), confirm=True)


def check(case: Case) -> Iterator[Finding]:
    if case.installation.supply.system != "TN-C-S":
        return
    for point in case.each(case.installation.charging_points):
        outdoors = may_charge_outdoors(case.installation, point.name)
        if outdoors is None:
            yield RULE.does_not_know(case, point.name, point.name, f"whether {point.name} is outdoors or may charge a vehicle outdoors")
        elif outdoors:
            yield _of(case, point)


def _of(case: Case, point: ChargingPoint) -> Finding:
    say = lambda level, message, value: RULE.says(case, level, point.name, point.name, message, value, "a permitted measure")  # noqa: E731
    if is_known(point.earthed_by) and point.earthed_by != "supply":
        return RULE.passes(case, point.name, point.name,
                           f"{point.name} does not use the earth of the supply ({point.earthed_by})",
                           str(point.earthed_by), "a permitted measure")
    measure = point.open_pen
    if not is_known(measure) or not is_known(measure.measure):
        if is_known(measure) and measure.measure == NONE:
            return say("danger", f"{point.name} is outdoors on a combined earth and nothing guards against a broken PEN", "none")
        return RULE.does_not_know(case, point.name, point.name, f"which measure guards {point.name} against a broken PEN", "a permitted measure")
    if measure.measure != "device":
        return RULE.does_not_know(case, point.name, point.name, f"whether the measure '{measure.measure}' holds the voltage down: it must be worked", "a permitted measure")
    limit = open_pen("acts-within-s")
    missing = [word for word, value in (("what it opens", measure.opens_protective_conductor), ("how fast it acts", measure.acts_within_s),
                                        ("whether it recloses", measure.recloses)) if not is_known(value)]
    if missing:
        return RULE.does_not_know(case, point.name, point.name, f"of the open-PEN device: {', '.join(missing)}; ask its maker", "a permitted measure")
    if measure.opens_protective_conductor is not True:
        return say("danger", "the open-PEN device leaves the protective conductor joined", "device")
    if measure.recloses is True:
        return say("fail", "the open-PEN device recloses while the fault may still be there", "device")
    if isinstance(limit, Read) and not within(measure.acts_within_s, limit.value):
        return say("fail", f"the open-PEN device takes longer than {limit.value:g} s", "device")
    return RULE.passes(case, point.name, point.name,
                       "a device opens live and protective conductors in time and stays open", "device",
                       "a permitted measure")
