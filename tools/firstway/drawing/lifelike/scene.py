"""Lifelike view: everything that is painted, from the plan: bodies, tubes, their order, and the
cover beside the box.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.lifelike.box import enclosure_bodies
from firstway.drawing.lifelike.conductors import tubes_of
from firstway.drawing.lifelike.cover import COVER, LABELS, cover_bodies
from firstway.drawing.lifelike.devices import SCREW_RECESS, SeenTerminal, device_bodies
from firstway.drawing.lifelike.entries import beyond_of, opening_bodies
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.fittings import fitting_bodies
from firstway.drawing.lifelike.flaws import IN_SCENE, in_loops, raised_screws, separate_bodies
from firstway.drawing.lifelike.framing import cables_of, cover_shift
from firstway.drawing.lifelike.lines import Tube
from firstway.drawing.lifelike.metalwork import (
    bar_body,
    line_bar_bodies,
    lug_bodies,
    piece_of_bar,
    rail_bodies,
    strap_bodies,
    tooth_body,
)
from firstway.drawing.lifelike.order import (
    PaintingOrder,
    painting_order,
    thing_of_body,
    things_of_tube,
)
from firstway.drawing.lifelike.shapes import Body
from firstway.drawing.lifelike.words import (
    cover_labels,
)
from firstway.drawing.part_words import (
    ENCLOSURE,
    function_mark,
)
from firstway.frozen import dataclass
from firstway.layout.faults import SeenFlaw
from firstway.layout.plan import XYZ, Laid, Layout, LineBar, Parts, Solid
from firstway.rendering.html import Markup
from firstway.wiring.graph import Wiring


@dataclass(frozen=True)
class Scene:
    """What is to be painted: bodies, tubes, and the order of both; the cover stands apart."""

    eye: Eye
    bodies: tuple[Body, ...]
    tubes: tuple[Tube, ...]
    order: PaintingOrder
    cover: tuple[Body, ...]

    @property
    def closed(self) -> bool:
        """Whether a blank closes the cover."""
        return any(each.name not in (COVER, LABELS) for each in self.cover)


def scene_of(
    completed: Completed,
    layout: Layout,
    eye: Eye,
    prefix: str,
    flaws: Sequence[SeenFlaw] = (),
) -> Scene:
    """Bodies and tubes of a plan, and their order; `flaws` as they look where they are."""
    found = {
        flaw: {each.conductor or each.of for each in flaws if each.flaw == flaw}
        for flaw in IN_SCENE
    }
    installation, wiring = completed.installation, completed.case.wiring.drawn
    parts = layout.parts
    tone = "w" if parts.inner.low[0] > 2.2 else "s"
    cables = cables_of(installation)
    bodies = list(enclosure_bodies(eye, prefix, parts, tone, [each.box for each in parts.bars]))
    if parts.rail is not None:
        bodies += rail_bodies(
            eye,
            parts.rail,
            parts.upright,
            [each.body for each in parts.devices if each.kind != "blank"],
        )
    rules, teeth = installation.rules, _teeth_at_home(parts)
    for device in parts.devices:
        if device.kind == "blank":
            continue
        spots = [
            SeenTerminal(
                parts.spots[each.id], function_mark(each.function, rules), teeth.get(each.id)
            )
            for each in wiring.terminals_of(device.name)
            if each.id in parts.spots and not _on_tab(parts, each.id)
        ]
        foreign = device.name in found["foreign-device"]
        changed = device.name in found["indicator-changed"]
        bodies += device_bodies(eye, prefix, device, spots, foreign, changed)
    bodies += _of_bars(eye, prefix, layout, wiring, found["tooth-beside-the-clamp"])
    bodies += raised_screws(eye, prefix, parts, flaws)
    fittings = [
        each
        for each in layout.fittings
        if not (each.kind.startswith("earth-tag") and each.of in found["plastic-gland"])
    ]
    bodies += fitting_bodies(eye, prefix, parts, fittings)
    for opening in parts.openings:
        beyond = beyond_of(eye, opening.side, parts)
        if opening.name in found["separate-openings"] and opening.name not in cables:
            bodies += separate_bodies(eye, parts, opening, _cores_in(layout, wiring, opening.name))
            continue
        plastic = opening.name in found["plastic-gland"]
        bodies += opening_bodies(eye, parts, opening, opening.name in cables, beyond, plastic)
    conductors = {each.id: each for each in (*completed.case.wiring.conductors, *wiring.conductors)}
    tubes = tubes_of(eye, parts, layout.conductors, conductors, cables)
    tubes = tuple(
        replace(each, pieces=in_loops(each.pieces, each.radius))
        if each.name.removeprefix("wire.") in found["coiled"]
        else each
        for each in tubes
    )
    things = [thing_of_body(eye, body) for body in bodies]
    for number, tube in enumerate(tubes):
        things += things_of_tube(eye, number, tube)
    frame_shift = cover_shift(eye, parts)
    blanks = {each.name: each.nose for each in parts.devices if each.kind == "blank"}
    cover = cover_bodies(
        eye,
        prefix,
        parts,
        layout.fittings,
        frame_shift,
        tone,
        cover_labels(installation, wiring),
        blanks,
        bool(found["open-way"]),
    )
    return Scene(eye, tuple(bodies), tubes, painting_order(eye, things), cover)


def _teeth_at_home(parts: Parts) -> dict[str, float]:
    """How deep the teeth enter that stand before the terminal they are meant for."""
    bar = parts.line_bar
    if bar is None:
        return {}
    along = 1 if parts.upright else 0
    return {
        each.terminal: bar.box.middle(2)
        for each in bar.teeth
        if each.terminal in parts.spots
        and abs(each.at[along] - parts.spots[each.terminal].at[along]) < SCREW_RECESS
    }


def _on_tab(parts: Parts, terminal: str) -> bool:
    """A terminal that plugs on a bus has no screw."""
    return parts.rail is None and any(
        each.terminal == terminal for each in (parts.line_bar.teeth if parts.line_bar else ())
    )


def _cores_in(layout: Layout, wiring: Wiring, cable: str) -> list[Laid]:
    """The conductors of a cable that pass its opening."""
    return [
        layout.by_id[each.id]
        for each in wiring.conductors
        if each.cable == cable and each.id in layout.by_id
    ]


def _of_bars(
    eye: Eye, prefix: str, layout: Layout, wiring: Wiring, beside: Collection[str]
) -> list[Body]:
    """Neutral, earth and line bar, with each piece that the graph knows as a conductor upon it."""
    parts, tabbed = layout.parts, layout.parts.rail is None
    bar = parts.line_bar
    devices = {each.name: each.body for each in parts.devices}
    bars = {each.name: each.box for each in parts.bars}
    upon: dict[str, list[tuple[str, Markup]]] = {}
    found: list[Body] = []
    conductors = {each.id: each for each in wiring.conductors}
    for laid in layout.conductors:
        conductor = conductors.get(laid.id)
        if conductor is None or conductor.kind != "bar":
            continue
        name, ends = f"wire.{laid.id}", (conductor.start, conductor.end)
        homes = [each.partition(".")[0] for each in ends]
        if ENCLOSURE in ends:
            found += strap_bodies(eye, prefix, name, laid, parts)
        elif "bar" not in homes or bar is None:
            home = next((each for each in homes if each in bars), "")
            if home:
                upon.setdefault(home, []).append((name, _piece(eye, laid.points, bars[home])))
        elif device := next((each for each in homes if each in devices), ""):
            spot = next((each.at for each in bar.teeth if each.terminal in ends), laid.points[0])
            tooth = tooth_body(eye, bar, laid.id, spot, devices[device], tabbed, laid.id in beside)
            found += [tooth] if tooth else []
        else:
            lane = _in_lane(bar, laid.id, laid.points)
            upon.setdefault("line-bar", []).append((name, _piece(eye, lane, bar.box)))
    if bar is not None:
        body, *more = line_bar_bodies(eye, bar, tabbed)
        found += [replace(body, upon=tuple(upon.get("line-bar", ()))), *more]
    found += lug_bodies(eye, prefix, parts)
    for each in parts.bars:
        own = [
            spot
            for name, spot in parts.spots.items()
            if name.startswith(f"{each.name}.") and name != ENCLOSURE
        ]
        body = bar_body(eye, prefix, each, own)
        found.append(replace(body, upon=tuple(upon.get(each.name, ()))))
    return found


def _in_lane(bar: LineBar, name: str, ends: Sequence[XYZ]) -> list[XYZ]:
    """The lines of a bar beside each other across its face."""
    lines = sorted({tooth.line for tooth in bar.teeth})
    line = next((each for each in lines if f".{each}." in name), "")
    if not line or len(lines) < 2:
        return list(ends)
    axis = 1 if bar.box.size(0) >= bar.box.size(1) else 0
    value = bar.box.low[axis] + bar.box.size(axis) * (lines.index(line) + 0.5) / len(lines)
    return [(x, value, z) if axis else (value, y, z) for x, y, z in ends]


def _piece(eye: Eye, ends: Sequence[XYZ], box: Solid) -> Markup:
    """The metal between two screws, on the face of its bar."""
    one, other = (_within(ends[0], box), _within(ends[-1], box))
    return piece_of_bar(eye, one, other, box.high[2])


def _within(point: XYZ, box: Solid) -> XYZ:
    x = min(max(point[0], box.low[0] + 1), box.high[0] - 1)
    y = min(max(point[1], box.low[1] + 1), box.high[1] - 1)
    return x, y, point[2]
