"""A limit that points share counts only when it is declared and written down.

Why: cable and devices are chosen for the shared current, not for the sum. The next person who
changes a post, or a setting, must be able to read that they rest on it; and only the maker of the
points can say that they keep to it.
A pass: declared by the maker, written down on the spot. Otherwise: advice, and it is not counted.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import is_known

RULE = Rule(
    "shared-limit-counts",
    "The limit that points share is declared and written down",
    "BS 7671 722.311.201; IEC 60364-7-722 722.311",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    shared = case.installation.shared_limit
    if not is_known(shared):
        return
    for kept, words in case.each(
        (
            (shared.declared, "declared by the maker of the points"),
            (shared.documented, "written down"),
        )
    ):
        yield RULE.decides(
            case,
            "supply",
            "supply",
            if_known(kept is True, kept),
            found=f"not {words}",
            wanted=words,
            holds=f"the limit that the points share is {words}",
            breaks=f"the limit that the points share is not {words}: it is not counted",
            ask=f"whether the limit that the points share is {words}",
        )
