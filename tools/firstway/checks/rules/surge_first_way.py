"""The surge protective device takes the first way beside the main switch.

Why: there its leads are shortest, and each decimetre of lead adds to the voltage the vehicle sees.
This is common practice, not a clause: the clauses ask for short leads.
A pass: the first way outward from the main switch. Otherwise: advice.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import NONE

RULE = Rule(
    "surge-first-way",
    "The surge protective device takes the first way",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    names = [way.name for way in case.installation.board.ways]
    no_switch = case.installation.board.main_switch == NONE
    incoming = "incoming lugs" if no_switch else "main switch"
    for way in case.each(case.installation.surge_ways):
        place = names.index(way.name) + 1
        yield RULE.decides(
            case,
            way.name,
            way.name,
            place == 1,
            found=place,
            wanted=1,
            holds=f"{way.name} takes the first way beside the {incoming}",
            breaks=f"{way.name} takes way {place}: the first way would keep its leads shorter",
            unit="way",
            held=place,
        )
