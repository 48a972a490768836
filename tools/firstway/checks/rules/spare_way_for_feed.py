"""An existing board that feeds the new one has a way left for it.

Why: without a way of its own the feed ends up under a screw that is there for another circuit. Two
wires under one screw share its pressure unevenly, and one device then guards both.
A pass: one way left. A fail: none left.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file
from firstway.model.values import is_known, key_of

RULE = Rule(
    "spare-way-for-feed",
    "The existing board has a way for the feed",
    "BS 7671 134.1.1, 526.2; IEC 60364-5-52 526.2; NFPA 70 110.14(A), 408.54",
    "2018+A3:2024; 2009; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    feed = case.installation.feed
    if not is_known(feed) or key_of(feed, "from_") != "existing-board-way":
        return
    named = {item.partition(".")[0] for item in feed.through if isinstance(item, str)}
    for board in case.each(case.installation.existing_boards):
        if board.name in named:
            left = of_file(board.spare_ways, f"how many ways of {board.name} are free; look at it")
            yield RULE.compares(
                case,
                board.name,
                board.name,
                left,
                JudgedFigure(1.0),
                "ways",
                f"{board.name} has a way left for the feed",
                f"{board.name} has no way left: the feed would share the terminal of another"
                " circuit",
                at_most=False,
            )
