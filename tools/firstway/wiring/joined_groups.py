"""Wiring: what is joined to what in a state, and which terminals the program may show as opened."""

from collections.abc import Callable, Iterable

from firstway.calculations.nodal import merged
from firstway.wiring.circuit import SOURCES, States, WiredCircuit, may_feed
from firstway.wiring.downstream import outlet
from firstway.wiring.links import CUT_OUT, STAR, TRUE_EARTH, Link
from firstway.wiring.other_sources import every_source_terminal
from firstway.wiring.upstream import SERVICE

_OUTSIDE = ("supply", "earth")


def inside(link: Link) -> bool:
    """A conductor or a closed pole: what joins terminals on this side of the origin."""
    return link.kind in ("conductor", "pole")


def only_conductors(link: Link) -> bool:
    """A conductor alone: what joins terminals when every pole is open."""
    return link.kind == "conductor"


def groups(
    circuit: WiredCircuit,
    states: States = States(),
    keep: Callable[[Link], bool] = inside,
    without: Iterable[str] = (),
) -> dict[str, str]:
    """Each terminal with the name of the group it is joined to; `without` leaves out
    links by id.
    """
    left_out = frozenset(without)
    nodes = {terminal.id for terminal in circuit.wiring.terminals}
    return merged(
        nodes,
        (
            (link.start, link.end)
            for link in circuit.closed(states)
            if keep(link) and link.id not in left_out
        ),
    )


def source_terminals(circuit: WiredCircuit, states: States) -> frozenset[str]:
    """Every place that must be taken for live: lines and neutral of the supply and the origin,
    another board or supply, a source beside the network, and a vehicle.

    The neutral counts. What stands ahead of the origin stays live when the supply is isolated
    there. A vehicle counts wherever its point is not known to be unable to feed back and its
    contactor is closed or it is said to feed; one that the file describes as a source at that point
    and that is isolated is unplugged.
    """
    isolated = "origin" in states.open
    found = {
        terminal.id
        for terminal in circuit.wiring.terminals
        if (
            terminal.device in SOURCES
            and not (terminal.device == "origin" and isolated)
            or terminal.device == SERVICE
        )
        and terminal.function != "PE"
    }
    found |= every_source_terminal(circuit.installation, circuit.wiring, states.open)
    if not isolated:
        found |= {STAR}
    unplugged = {
        source.joined_at
        for source in circuit.installation.sources
        if source.kind == "vehicle" and source.name in states.open
    }
    for point in circuit.installation.charging_points:
        if may_feed(point) and point.name not in unplugged or point.name in states.feeding:
            for terminal in circuit.wiring.terminals_of(point.name):
                if terminal.id == f"{point.name}.{terminal.function}" and terminal.function != "PE":
                    found.add(outlet(point.name, terminal.function))
    return frozenset(found)


def opened_terminals(circuit: WiredCircuit, states: States) -> frozenset[str]:
    """Live terminals that no link of any kind joins to a source: conductors, poles, surge elements,
    electronics, loads.

    The way stops at protective earth that is tied to the supply's earth or an electrode: that is
    the reference, not a source. What is found here is opened, and still to be proved dead by test.
    """
    links = circuit.closed(states, surge=True)
    loads = [
        link for link in circuit.links if link.kind == "load" and not link.volts
    ]  # a vehicle may stand plugged in whatever the state says
    earthed = _reference(circuit, states)
    near: dict[str, set[str]] = {}
    for link in (*links, *loads):
        for one, other in ((link.start, link.end), (link.end, link.start)):
            near.setdefault(one, set()).add(other)
    reached, waiting = set(), list(source_terminals(circuit, states))
    while waiting:
        node = waiting.pop()
        if node in reached or node in earthed:
            continue
        reached.add(node)
        waiting += near.get(node, ())
    return frozenset(
        terminal.id
        for terminal in circuit.wiring.terminals
        if terminal.function != "PE" and terminal.id not in reached and terminal.id not in earthed
    )


def _reference(circuit: WiredCircuit, states: States) -> frozenset[str]:
    """Terminals tied to earth by protective conductors: they are at the reference, not live.

    A lost earth ties nothing.
    """
    functions = {terminal.id: terminal.function for terminal in circuit.wiring.terminals}
    closed = circuit.closed(states)

    def protective(node: str) -> bool:
        return (
            functions.get(
                node, "PE" if ".outlet.PE" in node or node in (TRUE_EARTH, CUT_OUT) else ""
            )
            == "PE"
        )

    # An own electrode, or the supply's earth where its conductor and, combined, the PEN are whole.
    anchors = {TRUE_EARTH}
    if not {"supply.PE", "supply.PEN"} & states.off:
        anchors.add("origin.PE")
    found = merged(
        anchors | set(functions),
        (
            (link.start, link.end)
            for link in closed
            if link.kind in ("conductor", "pole", "earth")
            and protective(link.start)
            and protective(link.end)
            and STAR not in (link.start, link.end)
        ),
    )
    tied = {found[anchor] for anchor in anchors}
    return frozenset(node for node, group in found.items() if group in tied)
