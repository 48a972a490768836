"""Layout: which keys that say where something lies a file does not state."""

from __future__ import annotations

from collections.abc import Iterable

from firstway.layout.entries import opening_of
from firstway.model.evidence import note
from firstway.model.installation import Installation
from firstway.model.values import NONE, Absent, is_known, key_of, place_of
from firstway.wiring.graph import Conductor, Part, PartKind

_BOX = ("material", "width_mm", "height_mm", "depth_mm", "modules", "main_switch_end")
_EDGES = ("left_mm", "top_mm")
_BARS: tuple[PartKind, ...] = ("neutral-bar", "earth-bar")


def unstated_places(installation: Installation, conductor: Conductor) -> tuple[str, ...]:
    """The paths of keys that are needed to say where a conductor of the board lies, and that the
    file does not state; those it states are read, so that an assumed one is noted.
    """
    note(*conductor.joined_by)
    wanted = [*of_the_row(installation)]
    for kind in _BARS:  # also one it does not end at: it narrows the room beside the devices
        wanted += of_bar(installation, kind)[:-1]  # how long it is moves no screw
    wanted += [at for place, at in enumerate(of_own_bars(installation)) if place % 3 != 2]
    if conductor.kind == "bar":  # a tooth, or a piece of the bar it stands on
        bar = installation.board.busbar
        wanted += [key_of(bar, each) for each in ("pitch_mm", "lines")]
    if any(end.startswith("neutral-bar.") for end in (conductor.start, conductor.end)):
        # which neutrals a bar joins says from which of its ends screws are counted
        wanted += [circuit.neutral for circuit in installation.circuits]
    if conductor.cable:
        wanted += of_opening(installation, conductor.cable)
    return paths_of_unknown(wanted)


def read_neighbours(installation: Installation) -> None:
    """Reads what says how thick everything laid in the board is and where it enters, so that what
    is assumed of it is noted: a neighbour moves a conductor aside by some mm.
    """
    box, bar = installation.board.enclosure, installation.board.busbar
    sections: list[object] = [bar]
    for part in (installation.feed, *installation.circuits):
        sections += [key_of(part, "cable"), key_of(part, "opening")]
    for way in installation.surge_ways:
        sections += [key_of(way.leads, side) for side in ("line", "neutral", "earth")]
    for section in sections:
        if not isinstance(section, Absent):
            for key in type(section).__dataclass_fields__:  # type: ignore[attr-defined]
                getattr(section, key)
    for key in ("feed_enters", "circuits_leave", "earthed_by"):
        key_of(box, key)
    for circuit in installation.circuits:
        key_of(circuit, "neutral")


def paths_of_unknown(wanted: Iterable[object]) -> tuple[str, ...]:
    """The paths of those values that the file does not state."""
    return tuple(place_of(each) for each in wanted if isinstance(each, Absent))


def of_the_row(installation: Installation) -> list[object]:
    """What places the box and the devices in it."""
    board = installation.board
    found = [key_of(board.enclosure, each) for each in _BOX]
    found += [key_of(key_of(board.enclosure, "row"), each) for each in _EDGES]
    tabs = is_known(board.busbar) and board.busbar.style == "tabs"
    found.append(key_of(board.busbar, "pitch_mm" if tabs else "joins_at"))
    if board.main_switch != NONE:
        found.append(key_of(board.main_switch, "modules"))
    return [*found, *(way.modules for way in board.ways)]


def of_bar(installation: Installation, kind: PartKind) -> list[object]:
    """What places a bar, the neutral bar or the earth bar; how many screws it has comes last."""
    box, key = installation.board.enclosure, kind.replace("-", "_")
    at = key_of(box, f"{key}_at")
    return [key_of(box, key), *(key_of(at, each) for each in (*_EDGES, "screws"))]


def bar_place(installation: Installation, bar: Part) -> object:
    """What the file states of the place of a bar: of one behind a residual current device, what
    stands at that.
    """
    behind = bar.name.removeprefix("neutral-bar-")
    if behind != bar.name:
        return key_of(installation.way(behind), "neutral_bar_at")
    return key_of(installation.board.enclosure, f"{bar.kind.replace('-', '_')}_at")


def of_own_bars(installation: Installation) -> list[object]:
    """What places the neutral bars of residual current devices; how many screws each has comes
    last of its three.
    """
    return [
        key_of(way.neutral_bar_at, each)
        for way in installation.board.ways
        if way.own_neutral_bar is True
        for each in (*_EDGES, "screws")
    ]


def of_opening(installation: Installation, cable: str) -> list[object]:
    """What places the opening of the feed, or of a circuit."""
    key = "feed_enters" if cable == "feed" else "circuits_leave"
    side, opening = key_of(installation.board.enclosure, key), opening_of(installation, cable)
    edges = {"top": _EDGES[:1], "bottom": _EDGES[:1], "left": _EDGES[1:], "right": _EDGES[1:]}
    return [side, *(key_of(opening, each) for each in edges.get(str(side), _EDGES))]
