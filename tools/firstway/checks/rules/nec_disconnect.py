"""A point above 60 A or above 150 V to ground has a disconnect that can be locked open.

Why: who works on the point must be able to open it and keep it open, in reach of the point or with
a plaque that says where. For smaller points the usual reading asks for none; some inspectors ask
for a lockable device anyway. The plug of a cord may serve. Not known: an 80 A point whose
disconnect nobody has named. Advice: a 48 A point at 120 V to ground.
"""

from firstway.checks.rule import AUTHORITY, Case, Findings, NecRule, within
from firstway.tables.reading import Gap, rule_limit

RULE = NecRule(
    "nec-disconnect",
    "A large point has a disconnect that locks open",
    "NFPA 70 625.43; 422.31(B) as some inspectors read it",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    amperes, volts = (
        rule_limit("nec", "disconnect-above-a"),
        rule_limit("nec", "disconnect-above-v-to-earth"),
    )
    to_ground = case.installation.supply.line_to_earth_v
    for point in case.each(case.installation.charging_points):
        current = case.step("set-current", point.name)
        if (
            current is None
            or current.value is None
            or isinstance(amperes, Gap)
            or isinstance(volts, Gap)
        ):
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"the current of {point.name}; read its nameplate",
                unit="A",
            )
        elif not within(current.value, amperes.value) or not within(to_ground, volts.value):
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                "625.43 asks for a readily accessible disconnect that locks open, with a plaque"
                " where it is remote: name it and see that it locks",
                amperes.value,
                "A",
            )
        else:
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "625.43 asks for no separate disconnect at this current and voltage; some"
                f" inspectors ask for one that locks: {AUTHORITY}",
                current.value,
                amperes.value,
                "A",
            )
