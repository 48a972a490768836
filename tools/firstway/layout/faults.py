"""Layout: what is visibly wrong with a board on which a mistake was made, and where in its plan."""

from __future__ import annotations

from firstway.frozen import dataclass
from firstway.layout.bending import along
from firstway.layout.plan import XYZ, Layout
from firstway.model.mistakes import Mistake
from firstway.wiring.graph import Wiring


@dataclass(frozen=True)
class SeenFlaw:
    """One thing to be seen: `flaw` is a word of `FLAWS`, `of` the id of the terminal, part,
    conductor, opening or cover it is seen at, `conductor` the one whose end it is ("" where it is
    none's). `at` is its place in mm, None where that lies outside this enclosure: then the flaw is
    drawn by name beside the part.
    """

    flaw: str
    of: str
    conductor: str
    at: XYZ | None


def seen_flaws(mistake: Mistake, layout: Layout, wiring: Wiring) -> tuple[SeenFlaw, ...]:
    """What a bound mistake shows (`bound`), in the plan and the wiring of the board that has it.

    Where it only moves or leaves out conductors the wiring shows it, and there is nothing to add.
    LookupError where a declared place is none of the board's.
    """
    return tuple(_seen(shown.flaw, shown.at, layout, wiring) for shown in mistake.shows)


def _seen(flaw: str, place: str, layout: Layout, wiring: Wiring) -> SeenFlaw:
    parts = layout.parts
    name, _, end = place.partition(":")
    conductor = next((each for each in wiring.conductors if each.id == name), None)
    if end and conductor:
        terminal = conductor.start if end == "start" else conductor.end
        spot = parts.spots.get(terminal)
        return SeenFlaw(flaw, terminal, name, spot.at if spot else None)
    if conductor:
        laid = layout.by_id.get(name)
        at = along(laid.points[0], laid.points[1], 0.5) if laid else None
        return SeenFlaw(flaw, name, name, at)
    if name in parts.spots:
        return SeenFlaw(flaw, name, "", parts.spots[name].at)
    opening = parts.opening(name.removeprefix("opening."))
    if name.startswith("opening.") and opening:
        return SeenFlaw(flaw, opening.name, "", opening.at)
    if name == "cover":
        blanks = parts.cover.blanks
        box = blanks[0] if blanks else parts.cover.window
        return SeenFlaw(flaw, name, "", (box.middle(0), box.middle(1), box.high[2]))
    for device in parts.devices:
        if device.name == name:
            nose = device.nose
            return SeenFlaw(flaw, name, "", (nose.middle(0), nose.middle(1), nose.high[2]))
    for bar in parts.bars:
        if bar.name == name:
            box = bar.box
            return SeenFlaw(flaw, name, "", (box.middle(0), box.middle(1), box.high[2]))
    if wiring.part(name) or wiring.terminal(name):
        return SeenFlaw(flaw, name, "", None)
    raise LookupError(f"'{place}' is no place of this board")
