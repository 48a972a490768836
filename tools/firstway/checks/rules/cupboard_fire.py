"""A board in a cupboard under stairs does not burn the way out.

Why: what hangs under stairs burns under the way out, and such a cupboard fills with coats and
boxes. A board that runs warm for hours is kept clear, can be reached at once, hangs under a lining
that holds fire back, and an alarm wakes those above. Clause 422.2 speaks of protected escape
routes, as blocks and public buildings have them: those are another matter.
A pass: lined, an alarm, kept clear. Advice: one of them missing; a fail where the stairs are the
only way out.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "cupboard-fire",
    "A board under stairs does not burn the way out",
    "common practice; BS 7671 422.2 (of protected escape routes), 132.12 (from memory); IEC"
    " 60364-4-42 422.2 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    cupboard = key_of(case.installation.board.place, "cupboard")
    if not is_known(cupboard) or cupboard == NONE or cupboard.under_stairs is False:
        return
    if not is_known(cupboard.under_stairs):
        yield RULE.does_not_know(case, "board", "board", "whether the cupboard is under stairs")
        return
    for key, there, not_there in (
        ("lined", "the stairs above the board are lined", "the stairs above it are not lined"),
        ("alarm", "a fire alarm is heard above", "no fire alarm is heard in the rooms above"),
        (
            "kept_clear",
            "nothing is stored against the board",
            "things are stored against the board",
        ),
    ):
        held = getattr(cupboard, key)
        if not is_known(held):
            yield RULE.does_not_know(case, "board", "board", f"of the cupboard: whether {there}")
        elif held:
            yield RULE.passes(case, "board", "board", there, "there", "there")
        elif cupboard.only_way_out is False:
            yield RULE.says(case, "advice", "board", "board", not_there, "not there", "there")
        elif cupboard.only_way_out is True:
            yield RULE.says(
                case,
                "fail",
                "board",
                "board",
                f"{not_there}, and these stairs are the only way out",
                "not there",
                "there",
            )
        else:
            yield RULE.does_not_know(
                case,
                "board",
                "board",
                f"whether these stairs are the only way out: {not_there}",
            )
