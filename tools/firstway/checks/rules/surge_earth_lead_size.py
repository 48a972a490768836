"""The earth lead of a surge protective device is thick enough for the surge.

Why: it carries the whole surge to earth. Below the minimum it can burn off at the first strike.
A pass: 6 mm2 or more for type 2, 16 mm2 for type 1. Advice: 4 mm2 for type 2, which older editions
allowed. A fail: less.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import assumed_among, passed
from firstway.checks.finding import Finding
from firstway.checks.places import surge_ways
from firstway.checks.rule import Rule
from firstway.model.values import is_known
from firstway.tables.found import Gap
from firstway.tables.looking_up_more import spd_conductor_mm2

RULE = Rule("surge-earth-lead-size", "The earth lead of the surge protective device is thick enough",
            "BS 7671 534.4.10; IEC 60364-5-53 534.4.10", "2018+A3:2024", "fail", ("bs7671", "iec60364"), confirm=True)
OLDER_EDITIONS_MM2 = 4.0


def check(case: Case) -> Iterator[Finding]:
    for way in surge_ways(case.installation):
        lead = way.leads.earth if is_known(way.leads) else way.leads
        size = lead.csa_mm2 if is_known(lead) else lead
        if not is_known(size) or not is_known(way.type):
            yield RULE.does_not_know(case, way.name, way.name, f"the size of the earth lead of {way.name} and its type; look at the board", unit="mm2")
            continue
        least = spd_conductor_mm2(int(way.type), "earth")
        if isinstance(least, Gap):
            yield RULE.does_not_know(case, way.name, way.name, least.message, unit="mm2")
        elif size >= least.value:
            yield passed(RULE, case, way.name, way.name, "the earth lead is thick enough",
                         assumed_among(case, f"board.ways.{way.name}.leads.earth.csa_mm2", f"board.ways.{way.name}.type"), size, least.value, "mm2")
        elif way.type == 2 and size >= OLDER_EDITIONS_MM2:
            yield RULE.says(case, "advice", way.name, way.name, "older editions allowed this size; check the edition and the maker", size, least.value, "mm2")
        else:
            yield RULE.says(case, "fail", way.name, way.name, "the earth lead is too thin for a surge", size, least.value, "mm2")
