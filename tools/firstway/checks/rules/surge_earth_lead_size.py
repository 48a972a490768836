"""The earth lead of a surge protective device is thick enough for the surge.

Why: it carries the whole surge to earth. Below the minimum it can burn off at the first strike.
A pass: 6 mm² or more for type 2, 16 mm² for type 1. Advice: 4 mm² for type 2, which older editions
allowed. A fail: less.
"""

from firstway.checks.rule import Case, Findings, Rule, within
from firstway.model.values import is_known, key_of
from firstway.tables.reading import Gap, spd_conductor_mm2

RULE = Rule(
    "surge-earth-lead-size",
    "The earth lead of the surge protective device is thick enough",
    "BS 7671 534.4.10; IEC 60364-5-53 534.4.10",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
OLDER_EDITIONS_MM2 = 4.0


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        lead = key_of(way.leads, "earth")
        size = key_of(lead, "csa_mm2")
        if not is_known(size) or not is_known(way.type):
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"the size of the earth lead of {way.name} and its type; look at the board",
                unit="mm2",
            )
            continue
        least = spd_conductor_mm2(int(way.type), "earth")
        if isinstance(least, Gap):
            yield RULE.does_not_know(case, way.name, way.name, least.message, unit="mm2")
        elif within(least.value, size):
            yield RULE.passes(
                case, way.name, way.name, "the earth lead is thick enough", size, least.value, "mm2"
            )
        elif way.type == 2 and within(OLDER_EDITIONS_MM2, size):
            yield RULE.says(
                case,
                "advice",
                way.name,
                way.name,
                "older editions allowed this size; check the edition and the maker",
                size,
                least.value,
                "mm2",
            )
        else:
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                "the earth lead is too thin for a surge",
                size,
                least.value,
                "mm2",
            )
