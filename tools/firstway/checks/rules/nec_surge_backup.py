"""The surge protective device has the overcurrent protection its maker asks for.

Why: a worn-out device can end as a short circuit. Something must then clear it before it burns: a
part inside, or the breaker its instructions name.
A pass: protection inside, as the maker states. Advice: none inside; follow the listing's
instructions.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import NONE

RULE = NecRule(
    "nec-surge-backup",
    "The surge protective device has its back-up protection",
    "NFPA 70 110.3(B), 242 Part II (clause from memory)",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    wanted = "as the maker states"
    for way in case.each(case.installation.surge_ways):
        yield RULE.decides(
            case,
            way.name,
            way.name,
            True
            if way.own_protection == "internal"
            else False
            if way.own_protection == NONE
            else None,
            found="none",
            wanted=wanted,
            holds="the maker states protection inside the device",
            breaks=(
                "nothing inside clears it when it ends as a short circuit:"
                " connect it to the breaker that its instructions name"
            ),
            ask=f"what clears {way.name} when it fails; read its instructions",
            held="internal",
        )
