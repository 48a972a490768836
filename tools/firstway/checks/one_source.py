"""Checks: which verdicts are worked with the network alone, and where another source takes a pass
away.

A rule listed here was written for one source. Where the file names another that touches what it
judges, its pass is not known, and says which source is in the way; what it finds against a job
stands.
"""

from collections.abc import Iterable

from firstway.model.installation import Installation, OtherSource
from firstway.model.values import is_known
from firstway.workings.shared.other_sources import on_the_board

# What decides whether a fault opens, and what its current does: other when the network is lost.
WHILE_THE_NETWORK_IS_LOST = frozenset(
    """
    disconnection-time loop-impedance fault-opens-in-time short-circuit-opens fault-survived
    protective-conductor protective-conductor-least electrode-resistance means-of-earthing
    open-pen-outdoors open-pen-senses open-pen-standard line-neutral-watch network-earth-as-pme
    separate-earths two-earths-joined two-earths-in-contact
    """.split()
)
# The device opens, and the source on the other side goes on.
FROM_ITS_OTHER_SIDE = frozenset(
    """
    disconnection-time loop-impedance fault-opens-in-time short-circuit-opens fault-survived
    protective-conductor protective-conductor-least residual-current-at-the-point
    additional-protection-delay sockets-additional-protection line-without-device
    circuit-without-device
    """.split()
)
CARRIED_BACK = frozenset("capacity design-current tails-capacity voltage-drop supply-end".split())
ON_THE_BARS = frozenset("assembly-rating bar-rating main-switch-rating rated-diversity".split())
WHAT_A_SENSOR_SEES = frozenset(
    "limiter-sensor limiter-below-service limiter-leaves-nothing limiter-fails-safe".split()
)
WHAT_CHARGES = frozenset("service-capacity tails-capacity demand-near-rating".split())
DIRECT_CURRENT = frozenset("type-ac-ahead type-b-not-blinded direct-current-adds-up".split())
"""Kinds of verdicts, by what another source changes for them."""
_STORES = ("battery", "vehicle")
_ROTATES = "generator"
_NOT_WORKED = "other"
_ALONE = frozenset().union(
    WHILE_THE_NETWORK_IS_LOST,
    FROM_ITS_OTHER_SIDE,
    CARRIED_BACK,
    ON_THE_BARS,
    WHAT_A_SENSOR_SEES,
    WHAT_CHARGES,
    DIRECT_CURRENT,
)
_OPENS = ("rcbo", "circuit-breaker", "fuse")


def why_not_worked(job: Installation, rule_id: str, of: str, place: str) -> str:
    """Why a pass cannot stand beside the other sources of the file; "" where it stands.

    Under rule set nec nothing of another source is worked: no pass stands. A source of a kind that
    nobody works takes every pass of these rules away, and each of its own.
    """
    sources = job.sources
    if not sources:
        return ""
    if job.rules == "nec":
        return f"{_names(sources)} feeds too, and this is worked with the network alone"
    strange = [each for each in sources if each.kind == _NOT_WORKED]
    if strange and (rule_id in _ALONE or of in {str(each.name) for each in strange}):
        return (
            f"{_names(strange)} is of a kind that is not worked: ask who designs that source what"
            " it does here"
        )
    found: list[str] = []
    if rule_id in WHILE_THE_NETWORK_IS_LOST:
        alone = [each for each in sources if each.works_without_network is not False]
        if alone:
            found.append(
                f"{_names(alone)} may feed while the network is lost, and this is worked with the"
                " network alone: ask who designs that source"
            )
    if rule_id in FROM_ITS_OTHER_SIDE:
        behind = [each for each in sources if _touches(job, each, of, place)]
        if behind:
            found.append(
                f"{_names(behind)} feeds this from its other side, and how long it goes on once"
                " the device ahead has opened is not worked"
            )
    if rule_id in CARRIED_BACK:
        behind = [each for each in sources if _touches(job, each, of, place)]
        if behind:
            found.append(f"what {_names(behind)} drives through this the other way is not worked")
    if rule_id in ON_THE_BARS and (inside := on_the_board(job)):
        found.append(
            f"{_names(inside)} feeds the same bars: what all sides bring together is judged for"
            " the board as a whole alone"
        )
    if rule_id in WHAT_A_SENSOR_SEES:
        found.append(
            f"what the sensor sees while {_names(sources)} feeds too is not worked; ask the maker"
            " of the limiter"
        )
    if rule_id in WHAT_CHARGES:
        charges = [each for each in sources if each.kind in _STORES]
        if charges:
            found.append(f"whether the existing load holds what {_names(charges)} draws to charge")
    if rule_id in DIRECT_CURRENT:
        direct = [
            each for each in sources if each.kind != _ROTATES and each.simple_separation is not True
        ]
        if direct:
            found.append(
                f"whether {_names(direct)} keeps direct current from the residual current devices;"
                " ask its maker"
            )
    return found[0] if found else ""


def _names(sources: Iterable[OtherSource]) -> str:
    names = [str(source.name) for source in sources]
    return " or ".join(names)


def _touches(job: Installation, source: OtherSource, of: str, place: str) -> bool:
    """Whether a part or a place lies between the source and the network: a fault there is fed by
    both, and no device of the board ends what the source brings.
    """
    between = between_network_and(job, source)
    return not between or of in between or place.partition(".")[0] in between


def between_network_and(job: Installation, source: OtherSource) -> frozenset[str]:
    """The parts between the network and where a source feeds in; empty where nobody says where."""
    if not is_known(source.joined_at):
        return frozenset()
    at = str(source.joined_at)
    found = {"supply", "origin", "service", "isolator", "upstream-rcd"}
    if at == "origin":
        return frozenset(found)
    boards = {str(board.name) for board in job.existing_boards}
    if at in boards:
        return frozenset({*found, at})
    switch = job.board.main_switch
    through = job.feed.through if is_known(job.feed) else ()
    passed = {item.partition(".")[0] for item in through if isinstance(item, str)}
    found |= {*passed, "feed", "feed-fuse", "board", "bar", "neutral-bar"}
    found |= {str(switch.name)} if is_known(switch) else set()
    # What hangs on the bars with no device of its own ahead of it.
    found |= {str(way.name) for way in job.board.ways if way.device not in _OPENS}
    for circuit in job.circuits:
        points = {str(point.name) for point in job.points_of(circuit)}
        way = job.way_feeding(circuit.name)
        if at == way.name or at in points:
            found |= {str(way.name), str(circuit.name), *points}
    return frozenset({*found, at})
