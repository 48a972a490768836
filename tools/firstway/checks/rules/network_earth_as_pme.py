"""An earth brought by the network is treated as PME, whatever it is called.

Why: a supply may arrive with a separate earth and still share line and earth in a cable down the street, where
a repair has joined them. The clause on charging outdoors names PME only; the trade's code of practice says
treat any network earth alike.
A pass: a point outdoors on a TN-S earth that has a measure against a broken PEN all the same. Advice: it has none.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.places import may_charge_outdoors
from firstway.checks.rule import Rule
from firstway.model.values import NONE, is_known, key_of

RULE = Rule("network-earth-as-pme", "A network's earth is treated as PME", "common practice; a code of practice of the trade", "", "advice", ("bs7671",))
WANTED = "as for PME"


def check(case: Case) -> Iterator[Finding]:
    if case.installation.supply.system != "TN-S":
        return
    for point in case.each(case.installation.charging_points):
        outdoors, measure = may_charge_outdoors(case.installation, point.name), point.open_pen
        if outdoors is False or (is_known(point.earthed_by) and point.earthed_by != "supply"):
            continue
        own = key_of(measure, "measure")
        if outdoors is None or not is_known(point.earthed_by):
            yield RULE.does_not_know(case, point.name, point.name, f"whether {point.name} may charge a vehicle outdoors, and what earths it", WANTED)
        elif own == NONE:
            yield RULE.says(case, "advice", point.name, point.name, "the street's cable may share its earth: give the point a measure against a broken PEN, as for PME",
                            "none", WANTED)
        elif not is_known(own):
            yield RULE.does_not_know(case, point.name, point.name, f"whether {point.name} has a measure against a broken PEN; the street's cable may share its earth", WANTED)
        else:
            yield RULE.passes(case, point.name, point.name,
                              "the point has a measure against a broken PEN all the same", str(own), WANTED)
