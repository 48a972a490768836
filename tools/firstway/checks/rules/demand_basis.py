"""The existing load was measured or calculated, not guessed.

Why: whether the service bears the points hangs on what the house already draws. A guess is right on
the day it was made up.
A pass: measured over some days, or calculated. Advice: estimated.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import is_known, key_of

RULE = Rule(
    "demand-basis",
    "The existing load was measured or calculated",
    "BS 7671 132.16, 313.1; IEC 60364-1 313; NFPA 70 220.87",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364", "nec"),
)
_WANTED = "measured or calculated"


def check(case: Case) -> Findings:
    if not is_known(case.installation.existing_load):
        return  # then the demand itself is not known, and `service-capacity` asks for it
    basis = key_of(case.installation.existing_load, "basis")
    yield RULE.decides(
        case,
        "supply",
        "supply",
        if_known(basis != "estimated", basis),
        found="estimated",
        wanted=_WANTED,
        holds=f"the existing load was {basis}",
        breaks=(
            "a guessed load carries the check of the service: measure it over some days, or work"
            " it out"
        ),
        ask="whether the existing load was measured, calculated or guessed",
        held=str(basis),
    )
