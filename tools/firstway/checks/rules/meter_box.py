"""Nothing of the consumer's stands in the meter cabinet.

Why: the cabinet belongs to the meter and the service. It is small, often damp, and others must work
in it. The operators' association says it is not a place for the consumer's equipment.
A pass: the board hangs elsewhere. A fail: the board stands in the meter cabinet.
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
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(inside is False, inside),
        found="inside",
        wanted="outside",
        holds="the board hangs outside the meter cabinet",
        breaks="the board stands in the meter cabinet, where nothing of the consumer's may stand",
        ask="whether the board stands in the meter cabinet; look",
    )
