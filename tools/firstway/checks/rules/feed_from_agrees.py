"""What the feed comes from and what it runs through tell the same story.

Why: a board fed from a way of an older board hangs on that way's device and on every residual
current device ahead of it. If the file says "from a way" and names none, those devices are judged
by nobody; if it names a board and says "from the connector block", one of the two is not so.
A pass: from a way, through a board that is named. A fail: from a way, through nothing.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "feed-from-agrees",
    "Where the feed begins and what it runs through agree",
    "BS 7671 132.13, 514.9.1; IEC 60364-5-51 514.5; NFPA 70 408.4(A)",
    "2018+A3:2024; 2005; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
NO_BOARD = ("connector-block", "new-service")


def check(case: Case) -> Findings:
    feed = case.installation.feed
    source = key_of(feed, "from_")
    if not is_known(feed) or not is_known(source):
        yield RULE.does_not_know(
            case, "feed", "feed", "where the feed of the board begins; follow its conductors"
        )
        return
    boards = [item for item in feed.through if isinstance(item, str)]
    devices = [item for item in feed.through if not isinstance(item, str)]
    named = ", ".join(boards) or "no board"
    if source == "existing-board-way" and not boards:
        yield RULE.says(
            case,
            "fail",
            "feed",
            "feed",
            "the feed comes from a way of an existing board, and the file names"
            " none: its devices are judged by nobody",
            named,
            "the board, by name",
        )
    elif source in NO_BOARD and boards:
        yield RULE.says(
            case,
            "fail",
            "feed",
            "feed",
            f"the feed is said to come from the {source} and to run through"
            f" {named}: one of the two is not so",
            named,
            "no board",
        )
    elif (
        source == "existing-board-way" and not devices and all("." not in board for board in boards)
    ):
        yield RULE.says(
            case,
            "advice",
            "feed",
            "feed",
            f"which way of {named} feeds the board, and which device guards it, is named nowhere",
            named,
            "the way or its device",
        )
    else:
        yield RULE.passes(
            case,
            "feed",
            "feed",
            "the file tells where the feed begins and what it runs through",
            named,
        )
