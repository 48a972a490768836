"""A new or replaced service of a dwelling has an emergency disconnect outdoors.

Why: firefighters must be able to open a dwelling from outside. Work on a charging circuit alone
does not ask for it; a new or larger service for its sake does.
Advice: service replaced: see to it. Nothing is said where the service is untouched.
"""

from firstway.checks.rule import AUTHORITY, Case, Findings, NecRule
from firstway.model.values import NONE, is_known

RULE = NecRule(
    "nec-emergency-disconnect",
    "A new service has an emergency disconnect outdoors",
    "NFPA 70 230.85",
    "2020",
    "advice",
)
SINCE = 2020


def check(case: Case) -> Findings:
    premises = case.installation.premises
    if (
        case.edition_year < SINCE
        or not is_known(premises)
        or premises.use == "site"
        or premises.service_work == NONE
    ):
        return
    if premises.service_work in ("new", "replaced"):
        yield RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            f"the service is {premises.service_work}: 230.85 asks for an emergency disconnect"
            f" outdoors; {AUTHORITY}",
        )
    else:
        yield RULE.does_not_know(
            case,
            "supply",
            "supply",
            "whether the service is new or replaced; 230.85 then asks for an emergency disconnect"
            " outdoors",
        )
