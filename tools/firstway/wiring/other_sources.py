"""Wiring: where a source beside the network feeds in, by terminals of the graph."""

from collections.abc import Container

from firstway.model.installation import Installation, OtherSource
from firstway.model.values import is_known
from firstway.wiring.graph import Wiring


def fed_by(installation: Installation, wiring: Wiring, source: OtherSource) -> frozenset[str]:
    """The live terminals a source is joined to.

    Of the new board those of its bars and of the neutral behind the main switch; of a way those of
    its load side; of a point its own; of the origin, or of a board that was there before, those of
    the origin and of the feed ahead of the main switch. A place that is not known may be any.
    """
    place = str(source.joined_at) if is_known(source.joined_at) else ""
    switch = installation.board.main_switch
    main = str(switch.name) if is_known(switch) else ""
    behind = (f"{main}.load.", "bar.", "neutral-bar.")
    ahead = ("origin.", f"{main}.supply.") if main else ("origin.", *behind)
    starts: tuple[str, ...]
    if place == "board":
        starts = behind
    elif place in {way.name for way in installation.board.ways}:
        starts = (f"{place}.load.",)
    elif place in {point.name for point in installation.charging_points}:
        starts = (f"{place}.",)
    elif place:
        starts = ahead
    else:
        starts = (*ahead, *behind)
    lines = source.lines if is_known(source.lines) else ("L1", "L2", "L3")
    return frozenset(
        terminal.id
        for terminal in wiring.terminals
        if terminal.id.startswith(starts) and terminal.function in (*lines, "N")
    )


def every_source_terminal(
    installation: Installation, wiring: Wiring, isolated: Container[str] = ()
) -> frozenset[str]:
    """Those of all sources the file names, but for what is isolated, by name."""
    return frozenset().union(
        *(
            fed_by(installation, wiring, source)
            for source in installation.sources
            if source.name not in isolated
        )
    )
