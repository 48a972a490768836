"""No two circuits of an existing board share one neutral.

Why: with one of the two switched off, its neutral still carries the current of the other: whoever
parts it meets the full voltage. Behind residual current devices the current that comes back by the
other neutral trips both. So work at such a board is not begun before the neutrals are told apart.
A pass: each circuit has its own. A fail: a shared one: an electrician parts it first. Not known: an
old board where nobody looked; with the supply off each neutral is tried against every other.
"""

from firstway.checks.places import asked_of_old
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "borrowed-neutral",
    "Each circuit that was there has a neutral of its own",
    "BS 7671 314.4 (from memory); IEC 60364-1 314 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for board in case.each(case.installation.existing_boards):
        shared = board.borrowed_neutral
        if not asked_of_old(case, board, "borrowed_neutral"):
            continue
        yield RULE.decides(
            case,
            board.name,
            board.name,
            not shared if is_known(shared) else None,
            found="shared",
            wanted="one each",
            holds=f"the circuits of {board.name} have a neutral each",
            breaks=(
                f"two circuits of {board.name} share a neutral: it is live while one of them is"
                " switched off. An electrician parts them before anything is worked on there"
            ),
            ask=(
                f"whether two circuits of {board.name} share a neutral; with the supply isolated,"
                " try each neutral against the others"
            ),
        )
