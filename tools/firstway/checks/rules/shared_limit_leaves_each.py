"""A limit that points share leaves each of them its least current.

Why: a vehicle needs 6 A or it pauses. Where the shared current is less than that for each, vehicles
take turns, and a person who plugged in finds an uncharged battery.
A pass: 40 A for two points. Advice: 10 A for two.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "shared-limit-leaves-each",
    "The limit that points share leaves each its least current",
    "IEC 61851-1: 6 A at least (from memory); common practice",
    "2017",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    if not is_known(case.installation.shared_limit):
        return
    yield RULE.compares(
        case,
        "supply",
        "supply",
        of_step(case, "shared-each", "supply"),
        of_table(rule_limit("bs7671", "point-least-a")),
        "A",
        "each point has its least current when all of them charge",
        "when all of them charge a point has less than a vehicle needs: they take turns",
        at_most=False,
        otherwise="advice",
    )
