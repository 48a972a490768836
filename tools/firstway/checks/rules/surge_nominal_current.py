"""The surge protective device can lead away the current its table asks for.

Why: the nominal discharge current says what the device bears fifteen times over. One made for less
can be worn out by one storm and leave the board without protection, unseen. In CT2 the part between
neutral and earth carries what all lines bring together.
A pass: 20 kA where 5 kA is asked. A fail: 2 kA.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, of_file, of_table
from firstway.model.installation import Amount, Way
from firstway.model.values import key_of
from firstway.tables.reading import least_nominal_discharge_current_ka

RULE = Rule(
    "surge-nominal-current",
    "The surge protective device bears its nominal discharge current",
    "BS 7671 534.4.4.4 and Table 534.3 (from memory); IEC 60364-5-53 534.4.4.4",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        yield _of(
            case,
            way,
            "line" if way.connection == "CT2" else "each",
            way.nominal_discharge_current_ka,
            "",
        )
        if way.connection == "CT2":
            yield _of(
                case,
                way,
                "neutral-earth",
                key_of(way.neutral_earth, "nominal_discharge_current_ka"),
                "between neutral and earth ",
            )


def _of(case: Case, way: Way, part: str, stated: Amount, where: str) -> Finding:
    # A pole of "lines-neutral-earth" stands between a conductor and earth, as one of CT1 does.
    connection = "CT2" if way.connection == "CT2" else "CT1"
    phases = 3 if case.installation.supply.phases == 3 else 1
    rated = of_file(
        stated,
        f"the nominal discharge current of {way.name} {where}".rstrip() + "; read it on the device",
    )
    least = of_table(least_nominal_discharge_current_ka(connection, part, phases))
    return RULE.compares(
        case,
        way.name,
        way.name,
        rated,
        least,
        "kA",
        f"{where}it bears the nominal discharge current of the table",
        f"{where}its nominal discharge current is below the table's: a storm wears it out",
        at_most=False,
    )
