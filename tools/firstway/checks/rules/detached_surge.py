"""A board in another building and the origin each have a surge protective device.

Why: a surge that enters by the street passes the origin first, and doubles at the end of a long
feed; one from the shed takes the same cable back. One device does not reach over more than about
ten metres.
A pass: a device in the house too, or a short feed. Advice: none in the house, the feed 35 m long.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, of_table, within
from firstway.model.values import NONE, is_known
from firstway.tables.looking_up import spd_limit
from firstway.workings.surge.elsewhere import ahead_of_board

RULE = Rule(
    "detached-surge",
    "A long feed has a surge protective device at both ends",
    "BS 7671 534.4.1.1, 534.4.9; IEC 60364-5-53 534.4.1.1, 534.4.9",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    installation = case.installation
    if not installation.board_is_detached:
        return
    length = of_step(case, "length", "feed", "the length of the feed")
    limit = of_table(spd_limit("protected-distance-m"))
    if length.value is None or limit.value is None:
        yield RULE.does_not_know(case, "feed", "feed", length.ask or limit.ask, limit.value, "m")
        return
    say = lambda level, message: RULE.says(
        case, level, "feed", "feed", message, length.value, limit.value, "m"
    )
    if within(length.value, limit.value):
        yield say("pass", "the feed is short: one device reaches over it")
        return
    house = [board.spd for board in installation.existing_boards]
    if not installation.surge_ways:
        yield say("advice", "the board in the other building has no surge protective device")
    elif any(is_known(spd) for spd in house) or ahead_of_board(installation):
        yield say(
            "pass",
            "a surge protective device stands at both ends; the makers say whether they agree",
        )
    elif house and all(spd == NONE for spd in house):
        yield say(
            "advice",
            "the origin has no surge protective device: one in the other building does not reach"
            " back over the feed",
        )
    else:
        yield RULE.does_not_know(
            case,
            "feed",
            "feed",
            "whether a surge protective device stands at the origin; look, and write `spd` under"
            " its board",
            limit.value,
            "m",
            length.value,
        )
