"""The surge protective device holds the surge below what ordinary equipment bears.

Why: appliances that are plugged in are tried with a surge of 2.5 kV (category II), fixed equipment
of the installation with 4 kV (category III, Table 443.2). The lower of the two is the line here.
What the device lets through must be lower, and its leads add to it. What a vehicle bears is not
known unless its maker says so: this rule does not speak of the vehicle.
A pass: 1.3 kV. A fail: 3 kV.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.installation import Way
from firstway.model.values import key_of
from firstway.tables.looking_up import spd_limit

RULE = Rule(
    "surge-protection-level",
    "The surge protective device stays below what equipment bears",
    "BS 7671 534.4.4.2; IEC 60364-5-53 534.4.4.2",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limit = of_table(spd_limit("protection-level-kv"))
    for way in case.each(case.installation.every_surge_device):
        own = of_file(
            way.protection_level_kv, f"the protection level of {way.name}; read it on the device"
        )
        yield RULE.compares(
            case,
            way.name,
            way.name,
            own,
            limit,
            "kV",
            "it lets through less than equipment of category II bears (leads not counted,"
            " and not a statement about the vehicle)",
            "it lets through more than equipment of category II bears",
        )
        if isinstance(way, Way) and way.connection == "CT2":
            module = way.neutral_earth
            between = of_file(
                key_of(module, "protection_level_kv"),
                f"the protection level of {way.name} between neutral and earth; read it on the"
                " device",
            )
            yield RULE.compares(
                case,
                way.name,
                way.name,
                between,
                limit,
                "kV",
                "between neutral and earth it lets through less than equipment bears",
                "between neutral and earth it lets through more than equipment bears",
            )
