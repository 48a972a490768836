"""The surge protective device lets through less than ordinary equipment bears.

Why: what the device lets through stands across everything behind it, and its leads add to it.
Equipment plugged in at 120/240 V is tried with 1.5 kV (category II of IEC 60664-1). What a vehicle
bears is not known unless its maker says so: this rule does not speak of the vehicle.
A pass: 0.7 kV. Advice: 3 kV; choose a device with a lower voltage protection rating.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_file, of_table
from firstway.tables.looking_up import rated_impulse_voltage_kv

RULE = NecRule(
    "nec-surge-protection-level",
    "The surge protective device stays below what equipment bears",
    "NFPA 70 names no figure; IEC 60664-1, category II at 120/240 V (from memory)",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    limit = of_table(rated_impulse_voltage_kv("II", "120/240"))
    for way in case.each(case.installation.surge_ways):
        own = of_file(
            way.protection_level_kv, f"the voltage protection rating of {way.name}; read its label"
        )
        yield RULE.compares(
            case,
            way.name,
            way.name,
            own,
            limit,
            "kV",
            "it lets through less than equipment of category II bears (leads not counted, and not a"
            " statement about the vehicle)",
            "it lets through more than equipment of category II bears: choose a lower rating",
            otherwise="advice",
        )
