"""A board of rewirable fuses feeds no charging point.

Why: a fuse wire opens late. A cable behind it may carry but 0.725 of what tables say, and whoever
rewires it may take the wrong wire. A charging point runs at its full current for hours, so that
board grows warm at old screws, and it holds no residual current device. The feed is taken from the
tails instead, or the board is replaced first by a licensed electrician.
A pass: a board of breakers. A fail: the feed starts at a way of a board of rewirable fuses. Advice:
it stays beside, for its own circuits. Not known: an old board nobody looked into.
"""

from firstway.checks.places import asked_of_old
from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import ExistingBoard
from firstway.model.values import is_known, key_of

RULE = Rule(
    "rewirable-fuses",
    "No board of rewirable fuses feeds a point",
    "BS 7671 132.16, 433.1 (from memory: the factor 0.725); IEC 60364-1 132 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for board in case.each(case.installation.existing_boards):
        if asked_of_old(case, board, "circuit_devices"):
            yield _of(case, board)


def _of(case: Case, board: ExistingBoard) -> Finding:
    say = lambda level, message: RULE.says(
        case, level, board.name, board.name, message, str(board.circuit_devices), "breakers"
    )
    if not is_known(board.circuit_devices):
        return RULE.does_not_know(
            case,
            board.name,
            board.name,
            f"what protects the circuits of {board.name}: rewirable fuses, cartridges, breakers;"
            " look",
            "breakers",
        )
    if board.circuit_devices != "rewirable-fuses":
        return say("pass", f"{board.name} has no rewirable fuse")
    begins = key_of(case.installation.feed, "from_")
    if not is_known(begins):
        return RULE.does_not_know(
            case,
            board.name,
            board.name,
            "where the feed begins; a board of rewirable fuses is there",
            "breakers",
        )
    if begins == "existing-board-way":
        return say(
            "fail",
            f"the feed begins in {board.name}, a board of rewirable fuses: it is replaced first,"
            " by a licensed electrician, or the feed begins at the tails",
        )
    return say(
        "advice",
        f"{board.name} keeps rewirable fuses for its own circuits: tell the owner that it is due to"
        " be replaced; nothing of the charging point may hang on it",
    )
