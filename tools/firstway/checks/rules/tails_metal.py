"""Tails of aluminium are seen to before anything is joined to them.

Why: aluminium grows a skin that does not conduct, and it flows away under a screw: a terminal for
copper loosens on it and burns, at the one place no fuse of the house guards. It also carries less
than copper of its size, and every figure here is of copper.
A pass: tails of copper. Not known: aluminium: whoever owns the tails has them replaced by copper
first, or has the maker of each terminal declare it for aluminium; the network operator isolates.
"""

from firstway.checks.places import is_written
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "tails-metal",
    "The tails are of copper",
    "BS 7671 132.16, 526.2; IEC 60364-5-52 526.2 (from memory)",
    "2018+A3:2024",
    "unknown",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    supply = case.installation.supply
    metal = supply.tails_metal
    if not is_written(case, supply, "tails_metal"):
        return
    yield RULE.decides(
        case,
        "supply",
        "supply",
        True if metal == "copper" else None,
        found=str(metal),
        wanted="copper",
        holds="the tails are of copper, as every figure here",
        breaks="",
        ask=(
            "what tails of aluminium carry, and whether each terminal they meet is made for"
            " aluminium: have them replaced by copper first, isolated by the network operator"
            if is_known(metal)
            else "what the tails are made of: copper or aluminium; look where a core is bared"
        ),
    )
