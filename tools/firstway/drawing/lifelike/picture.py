"""Lifelike view: the open box as the eye sees it, from the one plan: its stages in their order.

Everything before here hands on frozen values: the eye, bodies, tubes, their order, markers,
call-outs. Here they become one drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from math import ceil
from operator import itemgetter

from firstway.choosing.completing import Completed
from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.box import enclosure_bodies
from firstway.drawing.lifelike.callouts import (
    WORD_STEP,
    Callout,
    Wanted,
    callout_svg,
    calls_beside,
    in_row,
)
from firstway.drawing.lifelike.conductors import run_svg, runs_of, tubes_of
from firstway.drawing.lifelike.cover import THICK, cover_bodies
from firstway.drawing.lifelike.devices import SCREW_RECESS, SeenTerminal, device_bodies
from firstway.drawing.lifelike.entries import beyond_of, opening_bodies
from firstway.drawing.lifelike.eye import Eye, eye_to, side_of_eye
from firstway.drawing.lifelike.fittings import fitting_bodies
from firstway.drawing.lifelike.letters import Marker, marker_svg, markers_on
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
from firstway.drawing.lifelike.seeing import Seen
from firstway.drawing.lifelike.shapes import Body, disc, paper_bounds
from firstway.drawing.lifelike.words import (
    WORDS_ROOM,
    bar_callout,
    callout_lines,
    circuit_callout,
    cover_labels,
    device_callout,
    lead_callout,
    lifelike_words,
    line_bar_callout,
    link_callout,
    opening_callout,
)
from firstway.drawing.part_words import (
    ENCLOSURE,
    earth_words,
    function_mark,
    spoken_conductor,
    spoken_part,
)
from firstway.drawing.sheet import Point
from firstway.drawing.stages import stage_classes
from firstway.drawing.svg import (
    Drawn,
    group_svg,
    least_width,
    shape,
    shown_part,
    svg_id,
    svg_number,
    told_by,
)
from firstway.drawing.title_block import foot
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ, Layout, LineBar, Parts, Solid
from firstway.model.installation import Installation
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known
from firstway.rendering.html import Markup, joined
from firstway.wiring.graph import Conductor, Wiring

WIDEST_SHEET = 972.0
"""Units a sheet may be wide: texts of 12 are then 9 px in a column of 730 px, which a screen of 768
has beside the margins of its page."""
MOST_SCALE, MOST_HEIGHT = 2.0, 900.0
_PAD = 10.0
_GAP = 16.0  # mm between the box and its cover


@dataclass(frozen=True)
class Scene:
    """What is to be painted: bodies, tubes, and the order of both; the cover stands apart."""

    eye: Eye
    bodies: tuple[Body, ...]
    tubes: tuple[Tube, ...]
    order: PaintingOrder
    cover: tuple[Body, ...]


def lifelike(completed: Completed, prefix: str = "") -> Drawn:
    """The open box as SVG; ids begin with `prefix`."""
    prefix = prefix or f"{completed.installation.name}-lifelike"
    return drawn_scene(completed, completed.case.layout, prefix)


def drawn_scene(completed: Completed, layout: Layout, prefix: str) -> Drawn:
    """The same from a plan that is there already."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    frame = framed_for(completed, layout)
    scene = scene_of(completed, layout, frame.eye, short_prefix(prefix))
    seen = Seen(scene.eye, scene.order.things, scene.tubes)
    faces = [text for body in (*scene.bodies, *scene.cover) for text in body.texts]
    faces += _screws_on_paper(scene.eye, layout.parts)
    calls = _called(completed, layout, scene, seen, frame, faces)
    covered = [text for call in calls for text in call.texts]
    leaders = [bounds for call in calls for bounds in _along_leader(call)]
    words = [_mark_of(tube, wiring, installation) for tube in scene.tubes]
    markers = markers_on(seen, scene.tubes, words, [*faces, *covered, *leaders])
    return _drawn(completed, layout, scene, calls, markers, frame, prefix)


def _mark_of(tube: Tube, wiring: Wiring, installation: Installation) -> str:
    return function_mark(tube.mark, installation.rules) if tube.mark else ""


# The frame


@dataclass(frozen=True)
class Framed:
    """The eye with its origin; where the words end beside the box; what the box takes; how far the
    cover is moved; the whole width.
    """

    eye: Eye
    margin: float
    board: Bounds
    shift: float
    cover: Bounds
    width: float


def _cables(installation: Installation) -> frozenset[str]:
    """Openings that one sheath passes: `feed` or circuits by name."""
    feed = installation.feed
    known = {circuit.name: circuit.cable for circuit in installation.circuits}
    cables = {**known, "feed": feed.cable if is_known(feed) else None}
    return frozenset(
        name
        for name, cable in cables.items()
        if cable is not None
        and is_known(cable)
        and str(cable.construction) not in ("single-core", "unknown")
        and is_known(cable.construction)
    )


def framed_for(completed: Completed, layout: Layout) -> Framed:
    """The largest scale at which words, box and cover stand beside each other."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    parts = layout.parts
    side = side_of_eye(parts)
    one = eye_to(side, 1.0)
    box = _extent(one, parts)
    near = "right" if side > 0 else "left"
    out = any(each.side == near for each in parts.openings)
    wide = parts.outer.high[0]
    across = abs(one.right[2]) * THICK
    gap = _GAP + (beyond_of(one, "right", parts) if out else 0.0)
    cover = wide * one.right[0] + across
    span = box[2] - box[0] + gap + cover
    scale = min(
        (WIDEST_SHEET - WORDS_ROOM - 2 * _PAD - 12) / span,
        MOST_SCALE,
        MOST_HEIGHT / (box[3] - box[1]),
    )
    eye = eye_to(side, scale)
    box = _extent(eye, parts)
    if side > 0:
        margin = _PAD + WORDS_ROOM
        origin_x = margin + 10 - box[0]
        shift = (box[2] - eye.right[0] * 0 + gap * scale + across * scale) / eye.right[0]
    else:
        shift = (box[0] - gap * scale - across * scale) / eye.right[0] - wide
        origin_x = _PAD - eye.right[0] * shift
        margin = origin_x + box[2] + 10
    head = WORD_STEP * _lines_above(installation, wiring, parts) + 16
    eye = eye_to(side, scale, (origin_x, -box[1] + _PAD + head))
    moved = Solid((shift, 0, 0), (shift + wide, parts.outer.high[1], THICK))
    board, cover_bounds = _extent(eye, parts), paper_bounds(eye, moved)
    width = cover_bounds[2] + _PAD if side > 0 else margin + WORDS_ROOM + _PAD
    return Framed(eye, margin, board, shift, cover_bounds, float(ceil(width)))


def _lines_above(installation: Installation, wiring: Wiring, parts: Parts) -> int:
    """How many lines the words above the box have at most."""
    devices = [wiring.part(each.name) for each in parts.devices if each.kind != "blank"]
    return max(
        [len(device_callout(installation, each)) for each in devices if each is not None]
        + [
            len(opening_callout(installation, each.name, each.gland))
            for each in parts.openings
            if each.side == "top"
        ],
        default=1,
    )


def _extent(eye: Eye, parts: Parts) -> Bounds:
    """The box with what leaves it."""
    rooms = [paper_bounds(eye, parts.outer)]
    for opening in parts.openings:
        if opening.side == "back":
            continue
        out = beyond_of(eye, opening.side, parts)
        reach = opening.nut_mm / 2
        low, high = list(opening.at), list(opening.at)
        axis = 0 if opening.side in ("left", "right") else 1
        low[axis] -= out
        high[axis] += out
        for other in (0, 1, 2):
            if other != axis:
                low[other] -= reach
                high[other] += reach
        inner = parts.outer
        if opening.side in ("left", "top"):
            high[axis] = inner.high[axis]
        else:
            low[axis] = inner.low[axis]
        rooms.append(
            paper_bounds(eye, Solid((low[0], low[1], low[2]), (high[0], high[1], high[2])))
        )
    return (
        min(each[0] for each in rooms),
        min(each[1] for each in rooms),
        max(each[2] for each in rooms),
        max(each[3] for each in rooms),
    )


# The scene


def scene_of(completed: Completed, layout: Layout, eye: Eye, prefix: str) -> Scene:
    """Bodies and tubes of a plan, and their order."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    parts = layout.parts
    tone = "w" if parts.inner.low[0] > 2.2 else "s"
    cables = _cables(installation)
    bodies = list(enclosure_bodies(eye, prefix, parts, tone, [each.box for each in parts.bars]))
    if parts.rail is not None:
        bodies += rail_bodies(
            eye,
            parts.rail,
            parts.upright,
            [each.body for each in parts.devices if each.kind != "blank"],
        )
    rules = installation.rules
    for device in parts.devices:
        if device.kind == "blank":
            continue
        spots = [
            SeenTerminal(parts.spots[each.id], function_mark(each.function, rules))
            for each in wiring.terminals_of(device.name)
            if each.id in parts.spots and not _on_tab(parts, each.id)
        ]
        bodies += device_bodies(eye, prefix, device, spots)
    bodies += _of_bars(eye, prefix, layout, wiring)
    bodies += fitting_bodies(eye, prefix, parts, layout.fittings)
    for opening in parts.openings:
        bodies += opening_bodies(
            eye,
            parts,
            opening,
            opening.name in cables,
            beyond_of(eye, opening.side, parts),
        )
    conductors = {each.id: each for each in (*completed.case.wiring.conductors, *wiring.conductors)}
    tubes = tubes_of(eye, parts, layout.conductors, conductors, cables)
    things = [thing_of_body(eye, body) for body in bodies]
    for number, tube in enumerate(tubes):
        things += things_of_tube(eye, number, tube)
    frame_shift = _shift_of(eye, parts)
    blanks = {each.name: each.nose for each in parts.devices if each.kind == "blank"}
    cover = cover_bodies(
        eye,
        prefix,
        parts.cover,
        layout.fittings,
        frame_shift,
        tone,
        cover_labels(installation, wiring),
        blanks,
    )
    return Scene(eye, tuple(bodies), tubes, painting_order(eye, things), cover)


def _shift_of(eye: Eye, parts: Parts) -> float:
    """How far the cover is moved sideways, in mm."""
    box = _extent(eye_to(eye.side, eye.scale), parts)
    near = "right" if eye.side > 0 else "left"
    out = any(each.side == near for each in parts.openings)
    gap = (_GAP + (beyond_of(eye, "right", parts) if out else 0.0)) * eye.scale
    across = abs(eye.right[2]) * THICK
    if eye.side > 0:
        return (box[2] + gap + across) / eye.right[0]
    return (box[0] - gap - across) / eye.right[0] - parts.outer.high[0]


def _on_tab(parts: Parts, terminal: str) -> bool:
    """A terminal that plugs on a bus has no screw."""
    return parts.rail is None and any(
        each.terminal == terminal for each in (parts.line_bar.teeth if parts.line_bar else ())
    )


def _of_bars(eye: Eye, prefix: str, layout: Layout, wiring: Wiring) -> list[Body]:
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
            tooth = tooth_body(eye, bar, laid.id, spot, devices[device], tabbed)
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


# Call-outs


def _screws_on_paper(eye: Eye, parts: Parts) -> list[Bounds]:
    """What the screws of devices cover: no marker stands on them."""
    found = []
    for device in parts.devices:
        if device.kind == "blank":
            continue
        for name, spot in parts.spots.items():
            if name.startswith(f"{device.name}."):
                x, y = eye.at((spot.at[0], spot.at[1], device.body.high[2]))
                reach = SCREW_RECESS * eye.scale
                found.append((x - reach, y - reach, x + reach, y + reach))
    return found


def _called(
    completed: Completed,
    layout: Layout,
    scene: Scene,
    seen: Seen,
    frame: Framed,
    faces: Sequence[Bounds],
) -> tuple[Callout, ...]:
    wanted = _wanted(completed, layout, scene, seen, frame)
    left = frame.eye.side > 0
    top = [each for each in wanted if each.margin == "top"]
    over = (frame.width - _PAD, _PAD)  # words may stand above the cover, never above the margin
    calls = in_row(
        top,
        frame.board[1] - 8,
        (frame.board[0] - 30, over[0]) if left else (over[1], frame.board[2] + 30),
        faces,
        True,
        1,
    )
    sides = [each for each in wanted if each.margin in ("left", "right")]
    height = sum_of_lines(sides)
    low = frame.board[1] + 10
    calls += calls_beside(
        sides,
        frame.margin,
        (low, max(frame.board[3] + 10, low + height)),
        faces,
        left,
        len(calls) + 1,
    )
    below = [each for each in wanted if each.margin == "bottom"]
    calls += in_row(
        below,
        frame.cover[3] + 18,
        (frame.cover[0], frame.cover[2]),
        faces,
        False,
        len(calls) + 1,
    )
    return calls


def sum_of_lines(wanted: Iterable[Wanted]) -> float:
    """The height call-outs take below each other."""
    return float(len([line for each in wanted for line in each.lines]) * WORD_STEP) + 9.0 * len(
        list(wanted)
    )


def _wanted(
    completed: Completed, layout: Layout, scene: Scene, seen: Seen, frame: Framed
) -> list[Wanted]:
    installation, wiring = completed.installation, completed.case.wiring.drawn
    parts, eye = layout.parts, scene.eye
    margin = "left" if eye.side > 0 else "right"
    found: list[Wanted] = []

    def want(name: str, lines: tuple[str, ...], points: Iterable[XYZ], where: str) -> None:
        places = tuple(eye.at(point) for point in points)
        if places:
            found.append(Wanted(name, lines, places, where))  # type: ignore[arg-type]

    for device in parts.devices:
        part = wiring.part(device.name)
        if part is None or device.kind == "blank":
            continue
        nose, z = device.nose, device.nose.high[2]
        x, across = nose.middle(0), nose.size(0) * 0.38
        want(
            device.name,
            device_callout(installation, part),
            (
                (x + share * across, nose.low[1] + down, z)
                for down in (1.2, nose.size(1) - 1.2)
                for share in (0.0, -1.0, 1.0)
            ),
            "top",
        )
    for bar in parts.bars:
        part = wiring.part(bar.name)
        if part is not None:
            points = _seen_or_all(seen, (bar.name, "enclosure"), _points_of_bar(bar.box, eye.side))
            want(bar.name, bar_callout(installation, part), points, margin)
    if parts.line_bar is not None:
        want(
            "line-bar",
            line_bar_callout(installation),
            _seen_or_all(seen, ("line-bar",), _points_of_bar(parts.line_bar.box, eye.side)),
            margin,
        )
    if parts.rail is not None:
        want(
            "rail",
            callout_lines(installation, "DIN rail"),
            _this_side(
                frame, _seen_only(seen, ("rail",), _points_of_rail(parts.rail, parts.upright))
            ),
            margin,
        )
    for opening in parts.openings:
        body = f"cable.{opening.name}" if opening.name in _cables(installation) else ""
        lines = opening_callout(installation, opening.name, opening.gland)
        where = "top" if opening.side == "top" else margin
        want(
            f"opening.{opening.name}",
            lines,
            _outside_of(scene, opening.name, body, opening.at),
            where,
        )
    shown: set[str] = set()
    for tube in scene.tubes:
        name = tube.name.removeprefix("wire.")
        conductor = next((each for each in wiring.conductors if each.id == name), None)
        if conductor is None:
            continue
        lines = _conductor_callout(installation, layout, conductor, shown)
        if lines:
            places = [point for _, point, _ in seen.along_tube(tube) if _inside(point, parts)]
            places.sort(key=lambda each: eye.side * eye.at(each)[0])
            want(tube.name, lines, [*places[1:], *places[:1]], margin)
    z = THICK
    cover, shift = parts.cover, frame.shift
    low = cover.box.high[1] - 6
    want(
        "cover",
        callout_lines(installation, "cover, taken off", "a label for each way"),
        [(shift + cover.box.high[0] * share, low, z) for share in (0.72, 0.6, 0.8)],
        "bottom",
    )
    if cover.blanks:
        blank = cover.blanks[0]
        want(
            "cover.blanks",
            callout_lines(installation, "blanks", "close every free place"),
            [(shift + blank.middle(0), blank.high[1] - 3, z)],
            "bottom",
        )
    return found


def _conductor_callout(
    installation: Installation, layout: Layout, conductor: Conductor, shown: set[str]
) -> tuple[str, ...]:
    """The words of a conductor that is called out; one of each circuit is."""
    if conductor.kind == "lead":
        return lead_callout(installation, conductor, layout.by_id[conductor.id].length_m)
    if conductor.kind == "link" and conductor.function == "N" and "link" not in shown:
        shown.add("link")
        return link_callout(installation, conductor)
    if conductor.kind == "core" and conductor.cable and conductor.cable != "feed":
        if conductor.cable in shown:
            return ()
        shown.add(conductor.cable)
        return circuit_callout(installation, conductor.cable)
    return ()


def _inside(point: XYZ, parts: Parts) -> bool:
    return all(parts.inner.low[axis] < point[axis] < parts.inner.high[axis] for axis in (0, 1))


def _points_of_bar(box: Solid, side: int = 0) -> list[XYZ]:
    """Points on the face of a bar, between its screws first."""
    along = 1 if box.size(1) > box.size(0) else 0
    found = []
    shares = [0.06, 0.94, 0.3, 0.5, 0.7, 0.15, 0.85]
    for across in (0.25, 0.6, 0.9, 0.08):
        for share in shares if side >= 0 else [1 - each for each in shares]:
            u, v = (share, across) if along == 0 else (across, share)
            found.append((box.low[0] + box.size(0) * u, box.low[1] + box.size(1) * v, box.high[2]))
    return found


def _points_of_rail(rail: Solid, upright: bool) -> list[XYZ]:
    found = []
    for share in (0.015, 0.985, 0.04, 0.96, 0.08, 0.92, 0.15, 0.85, 0.25):
        for across in (0.07, 0.93, 0.5):
            z = rail.low[2] + 1.3 if across == 0.5 else rail.high[2] + 0.1
            x, y = (across, share) if upright else (share, across)
            found.append((rail.low[0] + rail.size(0) * x, rail.low[1] + rail.size(1) * y, z))
    return found


def _this_side(frame: Framed, points: Iterable[XYZ]) -> list[XYZ]:
    """Points in the half of the box beside the margin, the nearest to it first."""
    eye, middle = frame.eye, (frame.board[0] + frame.board[2]) / 2
    near = [each for each in points if (eye.at(each)[0] < middle) == (eye.side > 0)]
    return sorted(near, key=lambda each: eye.side * eye.at(each)[0])


def _seen_only(seen: Seen, own: tuple[str, ...], points: Iterable[XYZ]) -> list[XYZ]:
    return [point for point in points if seen.sees(point, *own)]


def _seen_or_all(seen: Seen, own: tuple[str, ...], points: Sequence[XYZ]) -> list[XYZ]:
    return _seen_only(seen, own, points) or list(points)


def _outside_of(scene: Scene, name: str, body: str, at: XYZ) -> list[XYZ]:
    """Points on what leaves through an opening."""
    found: list[XYZ] = []
    for each in scene.bodies:
        if body and each.name == body:
            found.append((each.box.middle(0), each.box.middle(1), each.box.high[2]))
    if not found:
        for tube in scene.tubes:
            if tube.name.startswith(f"wire.{name}.") and any(tube.free):
                curve = tube.pieces[0] if tube.free[0] else tube.pieces[-1]
                found.append(
                    (
                        (curve[0][0] + curve[-1][0]) / 2,
                        (curve[0][1] + curve[-1][1]) / 2,
                        (curve[0][2] + curve[-1][2]) / 2,
                    )
                )
    return found or [at]


def _along_leader(call: Callout) -> list[Bounds]:
    """A leader as small rectangles, so that no marker stands on it."""
    (x, y), (a, b) = call.start, call.anchor
    number = max(1, round((abs(a - x) + abs(b - y)) / 10))
    found = []
    for place in range(number):
        p, q = place / number, (place + 1) / number
        xs = sorted((x + (a - x) * p, x + (a - x) * q))
        ys = sorted((y + (b - y) * p, y + (b - y) * q))
        found.append((xs[0] - 1, ys[0] - 1, xs[1] + 1, ys[1] + 1))
    return found


# The drawing


def _drawn(
    completed: Completed,
    layout: Layout,
    scene: Scene,
    calls: Sequence[Callout],
    markers: Sequence[Marker],
    frame: Framed,
    prefix: str,
) -> Drawn:
    installation = completed.installation
    told_of = _Told(completed, prefix)
    body = [*told_of.painted(scene)]
    marks: dict[str, list[Markup]] = {}
    for marker in markers:
        marks.setdefault(marker.owner, []).append(marker_svg(marker))
    body += [told_of.group(name, joined(svg)) for name, svg in marks.items()]
    body += [
        shape("g", callout_svg(call), class_=f"zcall{told_of.stage_word(call.name)}")
        for call in calls
    ]
    low = max(
        frame.board[3],
        frame.cover[3],
        *(bounds[3] for call in calls for bounds in call.texts),
    )
    below = foot(installation, "The open board", frame.width, low + 14)
    feet = joined(group_svg(group, prefix, "middle") for group in below.groups)
    body.append(shape("g", feet, class_="zfoot"))
    height = float(ceil(below.bottom))
    title = f"The open board: {installation.title}"
    description = lifelike_words(completed, layout, scene.eye.side > 0)
    heading, desc, labels = told_by(title, description, prefix)
    shown = shown_part(frame.width, *_narrow(frame))
    symbols = _symbols(scene.eye, short_prefix(prefix))
    svg = shape(
        "svg",
        joined(("", heading, desc, shape("defs", symbols), *body, ""), "\n"),
        xmlns="http://www.w3.org/2000/svg",
        id=svg_id(prefix, "drawing"),
        class_=f"fw-drawing fw-lifelike {least_width(frame.width)} {shown}",
        viewBox=f"0 0 {svg_number(frame.width)} {svg_number(height)}",
        role="img",
        aria_labelledby=labels,
        data_installation=installation.name,
        font_family="inherit",
        font_size=12,
        text_anchor="middle",
    )
    return Drawn(
        f"{svg}\n",
        description,
        frame.width,
        height,
        svg_id(prefix, "drawing"),
        title,
        tuple(_in_one_line(call.lines) for call in calls),
    )


def _in_one_line(lines: Sequence[str]) -> str:
    """The words of a call-out as one line of a list."""
    return f"{lines[0]}: {' '.join(lines[1:])}" if len(lines) > 1 else lines[0]


def _narrow(frame: Framed) -> tuple[float, float]:
    """From where to where a narrow screen shows the drawing: the box with its numbers."""
    if frame.eye.side > 0:
        return frame.margin - 24, frame.board[2] + 8
    return frame.board[0] - 8, frame.margin + 24


def _symbols(eye: Eye, prefix: str) -> Markup:
    """Screws and holes, drawn once."""
    still = eye_to(eye.side, eye.scale)
    at = (0.0, 0.0, 0.0)
    slot = still.step(-1.9, 1.2, 0), still.step(1.9, -1.2, 0)
    cross = still.step(-1.6, -1.6, 0), still.step(1.6, 1.6, 0)
    other = still.step(-1.6, 1.6, 0), still.step(1.6, -1.6, 0)

    def line(ends: tuple[Point, Point]) -> str:
        (x, y), (a, b) = ends
        return f"M{svg_number(x)} {svg_number(y)}L{svg_number(a)} {svg_number(b)}"

    symbols = {
        "screw": disc(still, 2, at, SCREW_RECESS, "zx zhole")
        + disc(still, 2, at, SCREW_RECESS * 0.8, "zx zz2")
        + shape("path", class_="ze", d=line(slot)),
        "cross": disc(still, 2, at, 2.9, "ze zz1")
        + shape("path", class_="zd", d=line(cross) + line(other)),
        "hole": disc(still, 2, at, 2.0, "zd zhole"),
        "top": disc(still, 1, at, 4.0, "zx zhole"),
        "side": disc(still, 0, at, 3.4, "zx zhole"),
    }
    return joined(shape("g", svg, id=f"{prefix}{name}") for name, svg in symbols.items())


def short_prefix(prefix: str) -> str:
    """How the names of what is only repeated begin: they stand in a drawing by the hundred."""
    return f"{prefix.removesuffix('lifelike')}l"


class _Told:
    """Writes groups: the first of a name bears its id, its title and what it joins."""

    def __init__(self, completed: Completed, prefix: str) -> None:
        self.completed, self.prefix = completed, prefix
        self.short = short_prefix(prefix)
        self.wiring = completed.case.wiring.drawn
        self.conductors: Mapping[str, Conductor] = {
            each.id: each for each in (*completed.case.wiring.conductors, *self.wiring.conductors)
        }
        self.stages = dict(stage_classes(completed))
        self.stages |= {"line-bar": self.stages["bar"], ENCLOSURE: self.stages["earth-bar"]}
        self.known: set[str] = set()
        self.runs = 0

    def stage_word(self, name: str) -> str:
        """The class of the stage a group is fitted in, with a space before it."""
        bare = name.removeprefix("wire.")
        found = self.stages.get(bare)
        for head in ("cable.", "opening."):
            if bare.startswith(head):
                cable = bare.removeprefix(head)
                found = self.stages.get(
                    next((c.id for c in self.wiring.conductors if c.cable == cable), "")
                )
        return f" {found}" if found else ""

    def painted(self, scene: Scene) -> list[Markup]:
        """Everything from behind to the front; what lies beside each other in one group."""
        pieces: list[tuple[str, Markup]] = []
        things = scene.order.things
        place = 0
        while place < len(things):
            thing = things[place]
            if thing.body is not None:
                pieces.append((thing.body.name, thing.body.svg))
                pieces += thing.body.upon
                place += 1
                continue
            end = place
            while end < len(things) and things[end].tube == thing.tube:
                end += 1
            tube = scene.tubes[thing.tube]
            for first, last in runs_of(tube, [each.place for each in things[place:end]]):
                pieces.append((tube.name, run_svg(scene.eye, tube, self._run_name(), first, last)))
            place = end
        pieces += [(each.name, each.svg) for each in scene.cover]
        return [
            self.group(name, joined(svg for _, svg in several))
            for name, several in groupby(pieces, key=itemgetter(0))
        ]

    def _run_name(self) -> str:
        self.runs += 1
        return f"{self.short}{self.runs}"

    def group(self, name: str, svg: Markup) -> Markup:
        """A fragment of a part or conductor."""
        stage = self.stage_word(name)
        if name in self.known:
            return shape("g", svg, class_=stage.strip() or None, data_p=name)
        self.known.add(name)
        conductor = self.conductors.get(name.removeprefix("wire."))
        joins = conductor if name.startswith("wire.") else None
        title = self._title(name)
        return shape(
            "g",
            *([shape("title", title)] if title else []),
            svg,
            id=svg_id(self.prefix, name),
            class_=f"{self._classes(name)}{stage}",
            data_from=joins.start if joins else None,
            data_to=joins.end if joins else None,
        )

    def _classes(self, name: str) -> str:
        conductor = self.conductors.get(name.removeprefix("wire."))
        if conductor is not None and name.startswith("wire."):
            return f"conductor {conductor.kind} {conductor.function}"
        part = self.wiring.part(name)
        if part is not None:
            return f"part {part.kind}"
        return "opening" if name.startswith("opening.") else f"part {name.partition('.')[0]}"

    def _title(self, name: str) -> str:
        conductor = self.conductors.get(name.removeprefix("wire."))
        if conductor is not None and name.startswith("wire."):
            words = spoken_conductor(self.wiring, conductor, with_ferrule=False)
        elif self.wiring.part(name) is not None:
            words = spoken_part(self.completed, name)
        else:
            words = {
                "enclosure": earth_words(self.completed) or "enclosure",
                "rail": "DIN rail",
                "line-bar": "line bar",
                "cover": "cover",
                "cover.blanks": "blanks",
            }.get(name, name.replace(".", " for ").replace("opening", "opening"))
        return in_nec_words(words) if self.completed.installation.rules == "nec" else words
