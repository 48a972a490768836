"""Lifelike view: what is called out in the whole drawing, by which words, and at which points of it
that are seen.
"""

from collections.abc import Callable, Iterable, Sequence
from math import dist

from firstway.choosing.completing import Completed
from firstway.drawing.labels import Bounds, meets
from firstway.drawing.lifelike.callouts import (
    WORD_STEP,
    Callout,
    Wanted,
    calls_beside,
    in_row,
)
from firstway.drawing.lifelike.cover import THICK
from firstway.drawing.lifelike.devices import SCREW_RECESS
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.framing import PAD, Framed, cables_of
from firstway.drawing.lifelike.scene import Scene
from firstway.drawing.lifelike.seeing import Seen, free_of, line_is_free
from firstway.drawing.lifelike.shapes import ON_FACE, around_points
from firstway.drawing.lifelike.words import (
    bar_callout,
    callout_lines,
    circuit_callout,
    closing_words,
    device_callout,
    lead_callout,
    line_bar_callout,
    link_callout,
    opening_callout,
)
from firstway.drawing.part_words import function_mark
from firstway.drawing.sheet import Point
from firstway.drawing.text_width import text_width
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ, BarBody, Fitting, Layout, Parts, Solid, WallOpening
from firstway.model.installation import Installation
from firstway.wiring.graph import Conductor, Wiring

_BELOW = 50.0
"""Units that words beside the box may stand below it."""
_OFF_END = 16.0
"""Units between the dot of a conductor's call-out and its ends."""
_BAR_SCREW = 2.9
"""Radius of a bar's screw, in mm."""


def screws_on_paper(eye: Eye, parts: Parts) -> list[Bounds]:
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


def bars_on_paper(eye: Eye, parts: Parts) -> list[Bounds]:
    """What the screws of bars cover: no marker stands on them, nor does a leader cross them."""
    found = []
    for bar in parts.bars:
        for spot in _screws_of(bar.name, parts):
            x, y = eye.at((spot[0], spot[1], bar.box.high[2]))
            reach = _BAR_SCREW * eye.scale
            found.append((x - reach, y - reach, x + reach, y + reach))
    return found


def cover_on_paper(eye: Eye, fittings: Iterable[Fitting], shift: float) -> list[Bounds]:
    """What is stuck on the cover: no leader crosses it."""
    found = []
    for each in fittings:
        if each.of == "cover" and each.kind != "cover-screw":
            (x0, y0, _), (x1, y1, _) = each.body.low, each.body.high
            if each.kind == "warning-label":  # a triangle
                half = min(x1 - x0, (y1 - y0) / 0.87) / 2
                x0, x1 = (x0 + x1) / 2 - half, (x0 + x1) / 2 + half
            corners = [(x + shift, y, THICK) for x in (x0, x1) for y in (y0, y1)]
            found.append(around_points([eye.at(corner) for corner in corners]))
    return found


def _screws_of(bar: str, parts: Parts) -> list[XYZ]:
    """The middles of the screws of a bar in the order of their numbers."""
    return [
        spot.at
        for name, spot in parts.spots.items()
        if name.startswith(f"{bar}.") and name.rpartition(".")[2].isdigit()
    ]


@dataclass(frozen=True)
class ScrewNumber:
    """The number of a screw of a bar, and the middle of its foot on the paper."""

    bar: str
    words: str
    at: Point

    @property
    def bounds(self) -> Bounds:
        """What it covers."""
        x, y = self.at
        half = text_width(self.words, ON_FACE, True) / 2
        return x - half, y - 0.74 * ON_FACE, x + half, y + 0.04 * ON_FACE


def screw_numbers(seen: Seen, parts: Parts, taken: Sequence[Bounds]) -> tuple[ScrewNumber, ...]:
    """Small numbers beside the screws of bars, away from where conductors go in: all where there is
    room, else the first and the last.
    """
    eye, found = seen.eye, list[ScrewNumber]()
    rooms = list(taken)
    for bar in parts.bars:
        spots = _screws_of(bar.name, parts)
        if not spots:
            continue
        along = 1 if bar.side in ("left", "right") else 0
        step = bar.box.size(1 - along) / 2 * eye.scale
        own = [
            _number_at(bar.name, str(place + 1), eye.at((at[0], at[1], bar.box.high[2])), bar, step)
            for place, at in enumerate(spots)
        ]
        if any(meets(one.bounds, other.bounds) for one, other in zip(own, own[1:])):
            own = [own[0], own[-1]] if len(own) > 2 else own[:1]
        for each in own:
            if free_of(each.bounds, rooms) and not _on_tube(seen, each.bounds):
                found.append(each)
                rooms.append(each.bounds)
    return tuple(found)


def _number_at(name: str, words: str, at: Point, bar: BarBody, step: float) -> ScrewNumber:
    """Beside a screw on the side of the bar's wall."""
    x, y = at
    middle = 0.36 * ON_FACE
    if bar.side in ("left", "right"):
        away = step + text_width(words, ON_FACE, True) / 2 + 2.5
        return ScrewNumber(name, words, (x + (away if bar.side == "right" else -away), y + middle))
    if bar.side == "bottom":
        return ScrewNumber(name, words, (x, y + step + 0.74 * ON_FACE + 2.5))
    return ScrewNumber(name, words, (x, y - step - 0.42 * bar.box.size(2) * 0.7 - 3))


def _on_tube(seen: Seen, bounds: Bounds) -> bool:
    """Whether a conductor lies under a rectangle."""
    return any(
        not line_is_free(one[:2], other[:2], (bounds,))
        for thing in seen.pieces
        for one, other in zip(thing.spots, thing.spots[1:])
    )


def called(
    wanted: Sequence[Wanted],
    frame: Framed,
    faces: Sequence[Bounds],
    across: tuple[float, float] | None = None,
    rather: Sequence[Bounds] = (),
) -> tuple[Callout, ...]:
    """Words in the margins for what is to be called out; `faces` are words that no leader
    crosses, `rather` what it does not cross where it can be helped; `across` is from where to
    where the sheet is shown.
    """
    first, last = across or (0.0, frame.width)
    left = frame.eye.side > 0
    top = [each for each in wanted if each.margin == "top"]
    over = (last - PAD, first + PAD)  # words may stand above the cover, never above the margin
    calls = in_row(
        top,
        frame.board[1] - 8,
        (frame.board[0] - 30, over[0]) if left else (over[1], frame.board[2] + 30),
        faces,
        True,
        1,
        rather,
    )
    sides = [each for each in wanted if each.margin in ("left", "right")]
    height = _sum_of_lines(sides)
    low = frame.board[1] + 10
    calls += calls_beside(
        sides,
        frame.margin,
        (low, max(frame.board[3] + _BELOW, low + height)),
        faces,
        left,
        len(calls) + 1,
        rather,
    )
    below = [each for each in wanted if each.margin == "bottom"]
    calls += in_row(
        below,
        frame.cover[3] + 18,
        (first + PAD, last - PAD) if across else (frame.cover[0], frame.cover[2]),
        faces,
        False,
        len(calls) + 1,
        rather,
    )
    return calls


def _sum_of_lines(wanted: Iterable[Wanted]) -> float:
    """The height call-outs take below each other."""
    return float(len([line for each in wanted for line in each.lines]) * WORD_STEP) + 9.0 * len(
        list(wanted)
    )


def wanted_of(
    completed: Completed,
    layout: Layout,
    scene: Scene,
    seen: Seen,
    frame: Framed,
    asked: Callable[[str], bool] = lambda name: True,
) -> list[Wanted]:
    """What is called out in the whole drawing, of the names that are asked for: only for them is
    it looked where they are seen.
    """
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
        if part is None or device.kind == "blank" or not asked(device.name):
            continue
        nose, z = device.nose, device.nose.high[2]
        x, across = nose.middle(0), nose.size(0) * 0.38
        want(
            device.name,
            device_callout(installation, part),
            (
                (x + share * across, nose.low[1] + down, z)
                for down in (1.2, nose.size(1) * 0.5, nose.size(1) - 1.2)
                for share in (0.0, -1.0, 1.0, -1.2, 1.2)
            ),
            "top",
        )
    for bar in parts.bars:
        part = wiring.part(bar.name)
        if part is not None and asked(bar.name):
            points = seen_or_all(seen, (bar.name, "enclosure"), points_of_bar(bar.box, eye.side))
            want(bar.name, bar_callout(installation, part), points, margin)
    if parts.line_bar is not None and asked("line-bar"):
        want(
            "line-bar",
            line_bar_callout(installation),
            seen_or_all(seen, ("line-bar",), points_of_bar(parts.line_bar.box, eye.side)),
            margin,
        )
    if parts.rail is not None and asked("rail"):
        want(
            "rail",
            callout_lines(installation, "DIN rail"),
            this_side(
                frame, _seen_only(seen, ("rail",), _points_of_rail(parts.rail, parts.upright))
            ),
            margin,
        )
    for opening in parts.openings:
        if not asked(f"opening.{opening.name}"):
            continue
        body = f"cable.{opening.name}" if opening.name in cables_of(installation) else ""
        behind = () if body else _behind_each_other(scene, installation, wiring, opening.name)
        lines = opening_callout(installation, opening.name, opening.gland, behind)
        where = "top" if opening.side == "top" else margin
        want(
            f"opening.{opening.name}",
            lines,
            _in_opening(scene, seen, opening)
            or seen_outside(scene, opening.name, body, opening.at),
            where,
        )
    shown: set[str] = set()
    for tube in scene.tubes:
        name = tube.name.removeprefix("wire.")
        conductor = next((each for each in wiring.conductors if each.id == name), None)
        if conductor is None:
            continue
        lines = _conductor_callout(installation, layout, conductor, shown)
        if lines and asked(tube.name):
            places = [point for _, point, _ in seen.along_tube(tube) if _inside(point, parts)]
            ends = [eye.at(tube.pieces[0][0]), eye.at(tube.pieces[-1][-1])]
            clear = [
                each
                for each in places
                if all(dist(eye.at(each), end) > _OFF_END for end in ends)
                and seen.sees(each, tube.name, reach=2.5)
            ]
            places = clear or places
            places.sort(key=lambda each: eye.side * eye.at(each)[0])
            want(tube.name, lines, [*places[1:], *places[:1]], margin)
    z = THICK
    cover, shift = parts.cover, frame.shift
    low = cover.box.high[1] - 6
    if asked("cover"):
        want(
            "cover",
            callout_lines(installation, "cover, taken off", "a label for each way"),
            [(shift + cover.box.high[0] * share, low, z) for share in (0.72, 0.6, 0.8)],
            "bottom",
        )
    if cover.blanks and scene.closed and asked("cover.blanks"):
        want(
            "cover.blanks",
            callout_lines(installation, *closing_words(parts)),
            [
                (shift + blank.low[0] + blank.size(0) * share, blank.high[1] - 3, z)
                for blank in reversed(cover.blanks)
                for share in (0.5, 0.1, 0.9)
            ],
            "bottom",
        )
    return found


def _behind_each_other(
    scene: Scene, installation: Installation, wiring: Wiring, cable: str
) -> tuple[str, ...]:
    """The marks of the cores that enter beside each other without a sheath, the nearest to the eye
    first; none where two alone stand there.
    """
    cores = {f"wire.{each.id}" for each in wiring.conductors if each.cable == cable}
    ends = [
        (tube.pieces[0][0] if tube.free[0] else tube.pieces[-1][-1], tube.mark)
        for tube in scene.tubes
        if tube.name in cores and any(tube.free) and tube.mark
    ]
    ends.sort(key=lambda each: -scene.eye.nearness(each[0]))
    return tuple(function_mark(mark, installation.rules) for _, mark in ends) if ends[2:] else ()


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


def points_of_bar(box: Solid, side: int = 0) -> list[XYZ]:
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


def this_side(frame: Framed, points: Iterable[XYZ]) -> list[XYZ]:
    """Points in the half of the box beside the margin, the nearest to it first."""
    eye, middle = frame.eye, (frame.board[0] + frame.board[2]) / 2
    near = [each for each in points if (eye.at(each)[0] < middle) == (eye.side > 0)]
    return sorted(near, key=lambda each: eye.side * eye.at(each)[0])


def _seen_only(seen: Seen, own: tuple[str, ...], points: Iterable[XYZ]) -> list[XYZ]:
    return [point for point in points if seen.sees(point, *own)]


def seen_or_all(seen: Seen, own: tuple[str, ...], points: Sequence[XYZ]) -> list[XYZ]:
    return _seen_only(seen, own, points) or list(points)


def seen_outside(scene: Scene, name: str, body: str, at: XYZ) -> list[XYZ]:
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


def _in_opening(scene: Scene, seen: Seen, opening: WallOpening) -> list[XYZ]:
    """Points of what comes through the back, the nearest to its opening first: what lies before an
    opening may be of another circuit.
    """
    if opening.side != "back":
        return []
    found = [
        (dist(point, opening.at), point)
        for tube in scene.tubes
        if tube.name.startswith(f"wire.{opening.name}.")
        for _, point, _ in seen.along_tube(tube, 5.0)
        if seen.sees(point, tube.name, reach=2.0)
    ]
    return [point for _, point in sorted(found)[:12]]


def along_leader(call: Callout) -> list[Bounds]:
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
