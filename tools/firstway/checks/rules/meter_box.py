"""Nothing of the consumer's stands in the meter cabinet.

Why: the cabinet belongs to the meter and the service. It is small, often damp, and others must work
in it. The operators' association says it is not a place for the consumer's equipment.
A pass: the board hangs elsewhere. A fail: it stands in the meter cabinet, and nobody says that
its owner agrees. Advice: the owner has agreed in writing; that is never assumed.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import key_of

RULE = Rule(
    "meter-box",
    "The board does not stand in the meter cabinet",
    "statement of the network operators' association",
    "2024",
    "fail",
    ("bs7671",),
    standing="found",
)


def check(case: Case) -> Findings:
    place = case.installation.board.place
    inside = key_of(place, "meter_box")
    if inside is True and key_of(place, "meter_box_agreed") is True:
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            "the board stands in the meter cabinet, and its owner has agreed in writing: keep that"
            " with the papers; it is small and often damp, and others must work in it",
            "agreed",
            "outside",
        )
        return
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(inside is False, inside),
        found="inside",
        wanted="outside",
        holds="the board hangs outside the meter cabinet",
        breaks=(
            "the board stands in the meter cabinet, where nothing of the consumer's may stand"
            " unless its owner agrees in writing: nobody says so"
        ),
        ask="whether the board stands in the meter cabinet; look",
    )
