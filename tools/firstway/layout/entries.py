"""Layout: where cables pass the wall, how wide their openings are, and what stands along one side
without being in each other's way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import cast

from firstway.calculations.adding import added
from firstway.frozen import dataclass
from firstway.layout.plan import OUT, XYZ, Side, Solid, WallOpening
from firstway.layout.sizes import Sizes, round_of
from firstway.model.installation import Cable, CableOpening, Installation
from firstway.model.values import UNKNOWN, Absent, is_known, key_of
from firstway.tables.reading import Gap, Row, gland_row, table
from firstway.wiring.graph import Conductor, Wiring

EARTHS = "earths"
"""The opening of wires to an electrode and to what is bonded, beside a feed that is a cable."""


@dataclass(frozen=True)
class CableEntry:
    """A cable that is to pass the wall, and the device it serves."""

    name: str
    side: Side
    serves: str
    hole_mm: float
    nut_mm: float
    gland: bool
    tag: bool


def entries_of(installation: Installation, wiring: Wiring, sizes: Sizes) -> tuple[CableEntry, ...]:
    """The feed first, then the circuits in the order of the file: the same in all views."""
    box, feed = installation.board.enclosure, installation.feed
    switch = installation.board.main_switch
    enters = cast(Side, sizes.word(box, "feed_enters", "top"))
    leaves = cast(Side, sizes.word(box, "circuits_leave", "bottom"))
    wanted = [
        (
            "feed",
            enters,
            str(switch.name) if is_known(switch) else "",
            feed.cable if is_known(feed) and is_known(feed.cable) else None,
        ),
        *(
            (circuit.name, leaves, installation.way_feeding(circuit.name).name, circuit.cable)
            for circuit in installation.circuits
        ),
    ]
    cables = tuple(
        CableEntry(name, side, serves, *_opening(installation, name, cable, wiring, sizes))
        for name, side, serves, cable in wanted
    )
    earths = _earths(wiring)
    if not earths or wanted[0][3] is None or wanted[0][3].construction == "single-core":
        return cables
    # Common practice: what holds a cable holds no wire beside it; wires to an electrode and to
    # what is bonded pass a bushed hole of their own.
    largest = max(sizes.csa_mm2(each) for each in earths)
    hole, nut = _bushed(round_of(len(earths), sizes.diameter_mm(largest, "single-core")))
    return (*cables, CableEntry(EARTHS, enters, "", hole, nut, False, False))


def _earths(wiring: Wiring) -> tuple[Conductor, ...]:
    """Wires of no cable from the earth bar to an electrode, or to what is bonded."""
    return tuple(
        each
        for each in wiring.conductors
        if not each.cable
        and any(
            (terminal := wiring.terminal(end)) is not None
            and (part := wiring.part(terminal.device)) is not None
            and part.kind in ("electrode", "bonded-part")
            for end in (each.start, each.end)
        )
        and any(
            (terminal := wiring.terminal(end)) is not None and terminal.device == "earth-bar"
            for end in (each.start, each.end)
        )
    )


def opening_for(conductor: Conductor, openings: Iterable[WallOpening]) -> str:
    """The opening a conductor that leaves the board passes: that of its cable; what is in none
    has one of its own, or passes that of the feed.
    """
    own = any(each.name == EARTHS for each in openings)
    return conductor.cable or (EARTHS if own else "feed")


def entering(wiring: Wiring, cable: str) -> tuple[Conductor, ...]:
    """Conductors of the feed or of a circuit with one end in the board and the other outside it.

    They are found by their names: what others join is no evidence of them.
    """

    def within(terminal_id: str) -> bool:
        terminal = wiring.terminal(terminal_id)
        part = wiring.part(terminal.device) if terminal else None
        return part is not None and (part.place == "board" or part.name == "enclosure")

    own = [each for each in wiring.conductors if each.id.startswith(f"{cable}.")]
    return tuple(
        each for each in own if each.cable == cable and within(each.start) != within(each.end)
    )


def opening_of(installation: Installation, name: str) -> CableOpening | Absent:
    """What the file states of the opening of the feed, or of a circuit."""
    if name == EARTHS:
        return UNKNOWN
    section = installation.feed if name == "feed" else installation.circuit(name)
    found: CableOpening | Absent = key_of(section, "opening")
    return found


def _opening(
    installation: Installation, name: str, cable: Cable | None, wiring: Wiring, sizes: Sizes
) -> tuple[float, float, bool, bool]:
    """Hole and locknut in mm, whether armour is held, and whether a tag earths it there."""
    hole, nut, gland, tag = _usual_opening(name, cable, wiring, sizes)
    opening = opening_of(installation, name)
    stated = sizes.given(opening, "hole_mm", hole)
    return stated, nut_of(stated) if is_known(key_of(opening, "hole_mm")) else nut, gland, tag


def nut_of(hole_mm: float) -> float:
    """Width over the corners of the locknut of a hole in mm: the widest of the next thread in the
    table, whatever cable it holds.
    """
    rows = [(row.number("thread_mm"), row.number("nut_mm")) for row in table("gland_size").rows]
    next_up = min((thread for thread, _ in rows if thread >= hole_mm), default=None)
    return max((nut for thread, nut in rows if thread == next_up), default=hole_mm + 14)


def hole_needed_mm(installation: Installation, wiring: Wiring, name: str, sizes: Sizes) -> float:
    """How wide in mm a hole must be for the cable `feed` or that of a circuit: the thread of its
    gland, or the circle round its single cores.
    """
    own = installation.feed if name == "feed" else installation.circuit(name)
    cable: Cable | Absent = key_of(own, "cable")
    return _need(name, cable if is_known(cable) else None, wiring, sizes)[0]


@dataclass(frozen=True)
class HeldGland:
    """What a gland asks of its hole, in mm: its thread, and its locknut, which a hole as wide lets
    through.
    """

    thread_mm: float
    nut_mm: float


def gland_held_mm(
    installation: Installation, wiring: Wiring, name: str, sizes: Sizes
) -> HeldGland | None:
    """The same of the gland of the cable `feed` or of a circuit; None where it has none."""
    own = installation.feed if name == "feed" else installation.circuit(name)
    cable: Cable | Absent = key_of(own, "cable")
    need, row = _need(name, cable if is_known(cable) else None, wiring, sizes)
    if row is None:
        return None
    return HeldGland(need, row.number("nut_mm"))


def _usual_opening(
    name: str, cable: Cable | None, wiring: Wiring, sizes: Sizes
) -> tuple[float, float, bool, bool]:
    tag = any(each.kind == "armour" for each in entering(wiring, name))
    need, row = _need(name, cable, wiring, sizes)
    if row is not None:
        return need, row.number("nut_mm"), row.text("construction") == "armoured", tag
    return *_bushed(need), False, False


def _bushed(need_mm: float) -> tuple[float, float]:
    """Hole and nut in mm of the next size up."""
    rows = sorted(
        (row.number("thread_mm"), row.number("nut_mm")) for row in table("gland_size").rows
    )
    return next((each for each in rows if each[0] >= need_mm), (need_mm, need_mm + 14))


def _need(name: str, cable: Cable | None, wiring: Wiring, sizes: Sizes) -> tuple[float, Row | None]:
    """What a cable needs in mm, and the row of its gland; single cores share one bushed hole."""
    sized = [sizes.csa_mm2(each) for each in entering(wiring, name) if each.kind != "armour"]
    largest, kind = max(sized, default=10.0), str(cable.construction) if cable else "single-core"
    if kind != "single-core":
        row = gland_row(kind, len(sized), largest)
        if not isinstance(row, Gap):
            return row.number("thread_mm"), row
    tail = "sheathed-tail" if name == "feed" and largest <= 70 else "single-core"
    return round_of(len(sized), sizes.diameter_mm(largest, tail)), None


def tag_bolt(entry: CableEntry, at: XYZ, inner: Solid, away: Side, sizes: Sizes) -> XYZ | None:
    """Where the tag under a locknut takes its conductor: towards the back of the box or, where the
    opening lies near the back, towards the eye; in the back itself `away` from the devices.
    """
    if not entry.tag:
        return None
    reach = sizes("earth-tag-reach")
    up = sizes("earth-tag-thickness") + sizes("earth-bolt-height") / 2
    far = entry.nut_mm / 2 + reach
    if entry.side == "back":
        return at[0] + OUT[away][0] * far, at[1] + OUT[away][1] * far, at[2] + up
    z = at[2] - far if at[2] - far - reach > inner.low[2] else at[2] + far
    return at[0] - OUT[entry.side][0] * up, at[1] - OUT[entry.side][1] * up, z


def kept_apart(
    wanted: Sequence[tuple[float, float]], low: float, high: float
) -> tuple[list[float], bool]:
    """Middles along a side for (wanted middle, length), in their order and apart from each other;
    and whether there was room.
    """
    order = sorted(range(len(wanted)), key=lambda place: (wanted[place][0], place))
    at: list[float] = [0.0] * len(wanted)
    edge = low
    for place in order:
        middle, length = wanted[place]
        at[place] = max(middle, edge + length / 2)
        edge = at[place] + length / 2
    edge = high
    for place in reversed(order):
        length = wanted[place][1]
        at[place] = min(at[place], edge - length / 2)
        edge = at[place] - length / 2
    return at, added(length for _, length in wanted) <= high - low + 1e-6
