"""The armour of a cable is earthed, at one end at least.

Why: a spade or a nail that reaches a core reaches the armour first. Earthed, it opens the device;
floating, it waits at line voltage for the next hand.
A pass: earthed by a gland and an earth tag at the board, or at both ends. A fail: at neither end.
Advice: a gland that stays joined to the network's earth at a point whose device opens the
protective conductor when the PEN breaks: the gland is touched there, and stays live.
"""

from collections.abc import Iterator

from firstway.checks.rule import Case, Finding, Findings, Rule, if_known
from firstway.model.installation import Cable, Installation
from firstway.model.values import UNKNOWN, is_known

RULE = Rule(
    "armour-earthed",
    "The armour of the cable is earthed",
    "BS 7671 411.3.1.1, 543; IEC 60364-4-41 411.3.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
ASKED = "one end at least"
_CABLES = {"feed": "the feed", "supply": "the supply's tails"}


def check(case: Case) -> Findings:
    for of, cable in case.each(_cables(case.installation)):
        if cable.construction == "armoured":
            yield _of(case, of, cable)


def _cables(installation: Installation) -> Iterator[tuple[str, Cable]]:
    """The tails, the feed and every circuit: a nail asks none of them whose it is."""
    feed = installation.feed
    sections = (
        ("supply", installation.supply.cable),
        ("feed", feed.cable if is_known(feed) else UNKNOWN),
        *((circuit.name, circuit.cable) for circuit in installation.circuits),
    )
    yield from ((of, cable) for of, cable in sections if is_known(cable))


def _of(case: Case, of: str, cable: Cable) -> Finding:
    end = cable.armour_earthed
    if of == "feed" and end == "far-end" and case.installation.electrode_of_board is not None:
        return RULE.says(
            case,
            "advice",
            of,
            of,
            "the armour is earthed at the house alone, and the board stands on an earth of its own:"
            " isolate the armour at the board (an insulated gland, or an insulating plate for the"
            " gland), and sleeve or enclose what is bare of it: armour or gland beside the board's"
            " metal is two earths within reach of one person",
            str(end),
            "isolated at the board",
        )
    if end in ("both-ends", "far-end") and _opens_earth(case.installation, of):
        return RULE.says(
            case,
            "advice",
            of,
            of,
            "the armour reaches the point, and its device opens the protective conductor when the"
            " PEN breaks: the gland there stays on the network's earth. Earth the armour at the"
            " board alone, with an insulated gland at the point",
            str(end),
            "at the board",
        )
    return RULE.decides(
        case,
        of,
        of,
        if_known(end != "neither-end", end),
        found=str(end),
        wanted=ASKED,
        holds=f"the armour is earthed ({str(end).replace('-', ' ')})",
        breaks="the armour is earthed at neither end",
        ask=f"at which end the armour of {_CABLES.get(of, of)} is earthed; look at its glands",
        held=str(end),
    )


def _opens_earth(installation: Installation, of: str) -> bool:
    """Whether a point of this circuit, on a combined earth, opens its protective conductor."""
    if installation.supply.system != "TN-C-S" or of in _CABLES:
        return False
    return any(
        is_known(point.open_pen) and point.open_pen.opens_protective_conductor is True
        for point in installation.points_of(installation.circuit(of))
    )
