"""A board that is fed from more than one side is rated for all of them together.

Why: the device ahead guards the bars against the network alone. A source on the same bars adds its
current to what the device lets in, and no device sees the sum: the bars run hot, and nothing opens.
A pass: the board's rated current is not below the device ahead and all sources together. A fail:
below. Not known: no plate, no power, or a board that was there before whose rating is below the
service device and its sources together: a device between them may let in less.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_step
from firstway.model.values import key_of
from firstway.workings.shared.other_sources import on_the_board

RULE = Rule(
    "board-with-sources",
    "The board carries what all sources bring together",
    "BS 7671 551.7.2; IEC 60364-5-55 551.7.2 (from memory)",
    "2018+A2:2022",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    job = case.installation
    if on_the_board(job):
        yield RULE.compares(
            case,
            "board",
            "board",
            of_file(
                key_of(job.board.assembly, "rating_a"),
                "the rated current of the assembly; read its plate or ask its maker",
            ),
            of_step(case, "current-with-sources", "board"),
            "A",
            "the board is rated for the device ahead and every source on it together",
            "the device ahead and the sources together bring more than the board is rated for",
            at_most=False,
        )
    boards = {str(board.name): board for board in job.existing_boards}
    for source in case.each(job.sources):
        if source.joined_at in boards:
            at = str(source.joined_at)
            yield RULE.compares(
                case,
                source.name,
                source.name,
                of_file(boards[at].rating_a, f"what {at} is rated for; read its plate"),
                of_step(case, "current-with-sources", at),
                "A",
                f"{at} is rated for the service device and every source on it together",
                f"whether a device ahead of {at} lets in less than the service device: both and"
                " the sources together bring more than it is rated for; look",
                at_most=False,
                otherwise="unknown",
            )
