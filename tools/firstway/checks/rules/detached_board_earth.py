"""What earths a board in another building is decided, and known.

Why: out there the earth of the house is a long cable away, and true earth is under the feet. Where
the network's combined conductor breaks, everything on the exported earth rises toward line voltage,
and the floor of a shed or a quay does not rise with it.
A pass is not given: that an electrode is named says nothing of it, and other checks judge it.
Advice: a combined (PME) earth taken there. Not known: nobody said whether the board hangs in
another building, or what earths it.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, of_table
from firstway.model.installation import Stretch
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up import spd_limit

RULE = Rule(
    "detached-board-earth",
    "The earth of a board in another building is decided",
    "common practice; BS 7671 411.3.1.2, 722.411.4.1",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)
_IN_THE_GROUND = ("D", "D1", "D2")


def check(case: Case) -> Findings:
    installation = case.installation
    building = key_of(installation.board.place, "building")
    if not is_known(building):
        if _leads_away(case):
            yield RULE.does_not_know(
                case,
                "board",
                "board",
                "whether the board hangs in another building: its feed is long, or lies in the"
                " ground; write `building: same` or `detached` under board.place",
            )
        return
    if building != "detached":
        return
    named = installation.board.earthed_by
    if not is_known(named):
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "what earths the board in the other building: the supply's earth taken there, or an"
            " electrode; write `earthed_by` under board",
        )
    elif installation.electrode_of_board is None and installation.supply.system == "TN-C-S":
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            "the combined (PME) earth is taken to another building: when the PEN breaks all metal"
            " on it rises there, beside soil that does not. Weigh an electrode of its own, the more"
            " so where floors are bare or people are wet",
            of_step(case, "open-pen-voltage", "supply").value,
            of_step(case, "open-pen-limit", "supply").value,
            "V",
        )


def _leads_away(case: Case) -> bool:
    """Whether the feed leaves the house as far as its route tells: in the ground, or longer than
    one room asks for.
    """
    route: tuple[Stretch, ...] = getattr(case.installation.feed, "route", ())
    far = of_table(spd_limit("protected-distance-m")).value
    length = max((float(part.length_m) for part in route), default=0.0)
    return any(part.method in _IN_THE_GROUND for part in route) or (
        far is not None and length > far
    )
