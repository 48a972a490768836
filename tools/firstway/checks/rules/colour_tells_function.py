"""The colour at the ends of every conductor tells its function.

Why: the next person reads the colour before the drawing. A blue core used as a line, without
sleeving at both ends, is taken for a neutral.
A pass: colours or sleeves as the age of the cable asks. A fail: another colour than its function,
and no sleeve.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import owner
from firstway.wiring.deriving import derived_wiring

RULE = Rule(
    "colour-tells-function",
    "Colours tell the function",
    "BS 7671 514.3, 514.4; IEC 60445; NFPA 70 200.6, 250.119",
    "2018+A3:2024; 2017; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    right = (
        {each.id: each.colour for each in derived_wiring(case.installation).conductors}
        if case.installation.wiring
        else {}
    )
    wrong = [
        each
        for each in case.wiring.conductors
        if right.get(each.id) and each.colour != right[each.id]
    ]
    for each in wrong:
        yield RULE.says(
            case,
            "fail",
            owner(case, each),
            each.id,
            f"{each.id} is {each.colour}, as a {each.function} conductor it should be"
            f" {right[each.id]}",
            each.colour,
            right[each.id],
        )
