"""The surge protective device has the overcurrent protection its maker asks for.

Why: a worn-out device can end as a short circuit. Something must then clear it before it burns: a
part inside, or the breaker its instructions name.
A pass: protection inside, as the maker states. Advice: none inside; follow the listing's
instructions.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.nec_rule import NecRule
from firstway.checks.places import surge_ways
from firstway.model.values import NONE

RULE = NecRule(
    "nec-surge-backup",
    "The surge protective device has its back-up protection",
    "NFPA 70 110.3(B), 242 Part II (clause from memory)",
    "2020",
    "advice",
)


def check(case: Case) -> Iterator[Finding]:
    wanted = "as the maker states"
    for way in case.each(surge_ways(case.installation)):
        if way.own_protection == "internal":
            yield RULE.passes(
                case,
                way.name,
                way.name,
                "the maker states protection inside the device",
                "internal",
                wanted,
            )
        elif way.own_protection == NONE:
            yield RULE.says(
                case,
                "advice",
                way.name,
                way.name,
                "nothing inside clears it when it ends as a short circuit:"
                " connect it to the breaker that its instructions name",
                "none",
                wanted,
            )
        else:
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"what clears {way.name} when it fails; read its instructions",
                wanted,
            )
