"""The earth fault loop of the supply is one that a network declares.

Why: network operators state the most their loop usually has. More than that may still open a
breaker, yet it often is the first sign of a joint that is failing: in the street, at the cut-out,
or at the main earthing terminal.
A pass: 0.28 Ω on a combined supply, 0.35 Ω declared. Advice: 0.95 Ω. The figures are of 1991 and
nobody guarantees them.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.tables.reading import declared_ze_ohm

RULE = Rule(
    "supply-loop-declared",
    "The loop of the supply is one a network declares",
    "engineering recommendation P23/1 (replaced in 2018; never guaranteed)",
    "1991",
    "advice",
    ("bs7671",),
    standing="found",
)


def check(case: Case) -> Findings:
    supply = case.installation.supply
    if supply.system == "TT":
        return
    own = of_file(
        supply.ze_ohm, "the earth fault loop of the supply; measure it, or ask the distributor"
    )
    declared = of_table(declared_ze_ohm(str(supply.system)))
    yield RULE.compares(
        case,
        "supply",
        "supply",
        own,
        declared,
        "ohm",
        "the loop is within what networks declare",
        "the loop is above what networks declare for this system: ask the distributor before"
        " relying on it",
        otherwise="advice",
    )
