"""Where the earth of the supply is taken to another building with bonded metal, the feed's
protective conductor is large enough to be a bonding conductor too.

Why: what is bonded there reaches the main earthing terminal through this one conductor. When the
PEN breaks, the neutral current of the supply looks for the pipe in the shed, and for the way to it.
A pass: a core of 16 mm² where bonding asks for 10 mm². A fail: the steel armour of a small cable,
worth 2.6 mm² of copper: give the board an electrode of its own, or the cable a larger core. A fail
too: a core that is large enough and ends in the air, so that the armour alone bonds.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step
from firstway.model.values import is_known, key_of

RULE = Rule(
    "detached-feed-bonding",
    "The feed can bond what it earths",
    "BS 7671 544.1.1 and Table 54.8; IEC 60364-5-54 544.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    installation = case.installation
    board = installation.board
    if (
        not installation.board_is_detached
        or installation.electrode_of_board is not None
        or not is_known(board.earthed_by)
        or board.extraneous_parts is not True
    ):
        return
    if _left_to_the_armour(case):
        yield RULE.says(
            case,
            "fail",
            "feed",
            "feed",
            "the feed's protective conductor is not joined at both ends: its armour alone bonds"
            " what enters the other building",
        )
        return
    yield RULE.compares(
        case,
        "feed",
        "feed",
        of_step(case, "copper-equivalent", "feed", "the size of the feed's protective conductor"),
        of_step(case, "bonding-least", "board"),
        "mm2",
        "the feed's protective conductor is large enough to bond what enters the other building",
        "the feed's protective conductor is too small to bond what enters the other building: take"
        " a larger one, or do not take the supply's earth there",
        at_most=False,
    )


def _left_to_the_armour(case: Case) -> bool:
    """Whether the wiring joins the board to the main earthing terminal by the armour of the feed,
    where the file names another conductor.
    """
    feed = case.installation.feed
    if not is_known(feed) or key_of(feed.cable, "protective") not in ("core", "separate"):
        return False
    armour = tuple(
        each.id for each in case.wiring.conductors if each.cable == "feed" and each.kind == "armour"
    )
    bars = [each.id for each in case.wiring.terminals_of("earth-bar")]
    whole, cut = (case.joined(conductors_only=True, without=without) for without in ((), armour))
    earth = case.wiring.main_earth
    return any(whole[bar] == whole.get(earth) for bar in bars) and not any(
        cut[bar] == cut.get(earth) for bar in bars
    )
