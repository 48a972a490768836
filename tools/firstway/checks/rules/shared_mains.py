"""Whoever owns the mains of a building agreed before a point draws from them.

Why: in a block one riser feeds many flats. It was sized for cookers that take turns, not for
vehicles that charge all night. The service fuse of one flat says nothing of the riser, and nobody
in the flat owns it.
A pass: no shared mains, or its owner agreed in writing. A fail: shared, and nobody agreed: the
owner's engineer works the riser first. Not known: nobody asked.
"""

from firstway.checks.places import is_written
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "shared-mains",
    "The owner of shared mains agreed to the load",
    "BS 7671 132.16, 313.1; IEC 60364-1 132 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    supply = case.installation.supply
    if not is_written(case, supply, "shared_mains"):
        return
    shared, agreed = supply.shared_mains, supply.shared_mains_agreed
    kept = True if shared is False else agreed if shared is True and is_known(agreed) else None
    yield RULE.decides(
        case,
        "supply",
        "supply",
        kept,
        found="not agreed",
        wanted="agreed in writing",
        holds=(
            "the mains of the building are not shared"
            if shared is False
            else "the owner of the shared mains agreed to the load in writing"
        ),
        breaks=(
            "others draw from the same mains of the building, and their owner has not agreed: the"
            " owner's engineer works the riser first; the fuse of one flat says nothing of it"
        ),
        ask=(
            "whether others draw from the same mains of the building, and whether their owner"
            " agreed in writing to the load of the point; ask the owner"
        ),
    )
