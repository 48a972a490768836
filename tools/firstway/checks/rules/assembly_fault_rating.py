"""The assembly is declared for the largest fault current where it stands.

Why: in a short circuit bars bend and covers fly. Its maker tries the assembly, with a named device
ahead, up to a current. More than that nobody has tried.
What other sources give into a fault is added.
A pass: 16 kA where 0.9 kA can flow. A fail: 0.5 kA there. Not stated: ask the maker.
"""

from firstway.checks.places import largest_with_sources_ka
from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.values import key_of

RULE = Rule(
    "assembly-fault-rating",
    "The assembly is declared for the largest fault current",
    "BS 7671 536.1, 434.5.1; IEC 61439-1 5.3.4 to 5.3.6, 9.3; IEC 60364-5-53 536",
    "2018+A3:2024; 2011; 2019",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    declared = of_file(
        key_of(case.installation.board.assembly, "conditional_fault_rating_ka"),
        "for which fault current the assembly is declared; ask its maker",
    )
    current = largest_with_sources_ka(case, "the largest fault current at the board")
    yield RULE.compares(
        case,
        "board",
        "board",
        declared,
        current,
        "kA",
        "the assembly is declared for the largest fault current",
        "more can flow than the assembly is declared for",
        at_most=False,
    )
