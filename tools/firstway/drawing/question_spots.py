"""Drawing: a view made for a question: complete in itself, without the figures that would answer
it, with lettered spots to point at.
"""

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from xml.etree.ElementTree import Element

from firstway.choosing.completing import Completed
from firstway.drawing.front.board_front import board_front
from firstway.drawing.hands.frame import unsaid
from firstway.drawing.hands.library import BY_ID, drawn_picture
from firstway.drawing.ink import paint
from firstway.drawing.job_charts import charts_of, heat_chart
from firstway.drawing.labels import Bounds
from firstway.drawing.numbered import RING_OF_NUMBER
from firstway.drawing.overlays import in_one, overlaid, overlays_of, staged
from firstway.drawing.painted import Painted, painted_in
from firstway.drawing.part_words import spoken_conductor, spoken_part, spoken_terminal
from firstway.drawing.sheet import Point
from firstway.drawing.single.single_line import single_line_layout
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import Drawn, drawn_from, shape, shown_across, svg_id, svg_path_of
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.model.nec_words import in_nec_words
from firstway.rendering.html import Markup, joined

RADIUS = 11.0
REACH = 16.0  # half a spot: 32 units are 24 px on the narrowest drawing
DISTANCES = (
    30.0,
    38.0,
    48.0,
    60.0,
    74.0,
)  # on a phone the disc is twice as large and must not hide what it points at
DIRECTIONS = 24
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)  # along a line, where its spot is tried
EDGE = 24.0
_BELOW = 40.0  # under a picture for the hands: room for a disc
_APART = 24.0  # from the middle of a spot to the next disc: on a phone discs are twice as large


@dataclass(frozen=True)
class Spot:
    """A lettered place. x, y, width, height: what a finger may hit, in units of the drawing;
    `words` name the place.
    """

    letter: str
    place: str
    x: float
    y: float
    width: float
    height: float
    words: str


def drawn_for(
    completed: Completed,
    view: str,
    prefix: str,
    *,
    stage: str = "",
    overlay: str = "",
    chart: str = "",
    circuit: str = "",
    picture: str = "",
    part: str = "",
) -> Drawn | None:
    """One view of an installation for a question; None where it has no such view, stage, path,
    chart or picture.

    Findings and figures are left out: a drawing that asks must not answer. A mistake is made on
    `completed` beforehand.
    """
    asked_of = replace(completed, given=())
    if view == "single-line":
        return drawn_from(single_line_layout(asked_of, with_figures=False), prefix)
    if view == "board":
        return board_front(asked_of, prefix)
    if view == "chart":
        return _chart(asked_of, prefix, chart, circuit)
    if view == "hands":
        return _for_the_hands(asked_of, prefix, picture, part)
    return _wiring(asked_of, prefix, stage, overlay) if view == "wiring" else None


def pictured(
    completed: Completed,
    view: str,
    prefix: str,
    places: Sequence[str] = (),
    letters: Sequence[str] = (),
    **which: str,
) -> tuple[Drawn, tuple[str, ...], tuple[str, ...]] | None:
    """A view with its lettered spots, the words for each place, and the places it does not show;
    None where there is no such view.

    `which` is the stage, overlay, chart, circuit, picture or part of `drawn_for`.
    """
    drawn = drawn_for(completed, view, prefix, **which)
    if drawn is None or not places:
        return (drawn, (), ()) if drawn else None
    drawn, spots, missing = asked(completed, drawn, places, letters)
    return drawn, tuple(spot.words for spot in spots), missing


def _wiring(completed: Completed, prefix: str, stage: str, overlay: str) -> Drawn | None:
    sheet = wiring_layout(completed, with_foot=False)
    drawn = drawn_from(sheet, prefix)
    if stage:
        stages = stages_of(completed)
        place = next((place for place, each in enumerate(stages, 1) if each.id == stage), 0)
        if not place:
            return None
        again = in_one(drawn, staged(sheet, drawn, stages, place, whole=True))
        return replace(again, key=drawn.key)
    if overlay:
        path = next((each for each in overlays_of(completed) if each.kind == overlay), None)
        return replace(in_one(drawn, overlaid(sheet, drawn, path)), key=drawn.key) if path else None
    return drawn


def _chart(completed: Completed, prefix: str, chart: str, circuit: str) -> Drawn | None:
    if chart == "heat":
        return heat_chart(completed, f"{prefix}-heat")
    circuits = [each for each in completed.installation.circuits if circuit in ("", each.name)]
    return next(
        (
            drawn
            for each in circuits
            for drawn in charts_of(completed, each, prefix)
            if chart in ("", *_kinds(drawn, prefix))
        ),
        None,
    )


def _for_the_hands(completed: Completed, prefix: str, picture: str, part: str) -> Drawn | None:
    """A picture for the hands; its places are its groups, with the letter of their panel:
    `a.charger`. Right and wrong are not told apart in words, and where those stood below there is
    no room left.
    """
    found = BY_ID.get(picture)
    if found is None:
        return None
    made = drawn_picture(found, completed, part)
    if isinstance(made, str):
        return None
    sheet = unsaid(made[0]).sheet
    drawn = drawn_from(sheet, prefix)
    low = max(each.bounds[3] for each in painted_in(drawn.svg).things) + _BELOW
    return drawn if low >= sheet.height else drawn_from(replace(sheet, height=low), prefix)


def _kinds(drawn: Drawn, prefix: str) -> tuple[str, ...]:
    return (drawn.id.removeprefix(f"{prefix}-").removesuffix("-drawing"),)


def asked(
    completed: Completed, drawn: Drawn, places: Sequence[str], letters: Sequence[str]
) -> tuple[Drawn, tuple[Spot, ...], tuple[str, ...]]:
    """The drawing with a lettered disc at each place, the spots, and the places it does not show.

    A place is a terminal, a part or a conductor by its name in the wiring, or another group of the
    drawing.
    """
    reading = painted_in(drawn.svg)
    prefix = re.sub(r"-drawing(?:-.*)?$", "", drawn.id)
    shown = [thing for thing in reading.things if thing.bounds[2] > thing.bounds[0] or thing.lines]
    texts = [thing.bounds for thing in shown if thing.words]
    numbers = _numbers(reading.by_id.get(svg_id(prefix, "numbers")))
    spots: list[Spot] = []
    marks: list[Markup] = []
    missing: list[str] = []
    taken: list[Bounds] = []
    across = shown_across(drawn.svg, drawn.width)
    for place, letter in zip(places, letters):
        group = _group(reading.ids, prefix, _names(completed, place))
        anchor = (
            _anchor([thing for thing in shown if thing.group == group], texts) if group else None
        )
        if anchor is None:
            missing.append(place)
            continue
        at = _free_place(anchor, shown, (*numbers, *taken), across, drawn.height)
        taken.append((at[0] - _APART, at[1] - _APART, at[0] + _APART, at[1] + _APART))
        spot = Spot(
            letter,
            place,
            at[0] - REACH,
            at[1] - REACH,
            2 * REACH,
            2 * REACH,
            _place_words(completed, place, _title(reading.by_id.get(group))),
        )
        spots.append(spot)
        marks.append(_mark(spot, anchor, at, prefix))
    closing = drawn.svg.rstrip().rfind("</svg>")
    svg = f"{drawn.svg[:closing]}{joined(marks)}{drawn.svg[closing:]}"
    return replace(drawn, svg=svg), tuple(spots), tuple(missing)


def _numbers(group: Element | None) -> list[Bounds]:
    """What a disc keeps free of the numbers that a narrow screen shows in place of words: there
    the disc is twice as large.
    """
    found = []
    for each, size in () if group is None else _sized(group, 12.0):
        x, y = float(each.attrib["x"]), float(each.attrib["y"])
        reach = RING_OF_NUMBER * size + _APART - RADIUS
        y -= 0.36 * size
        found.append((x - reach, y - reach, x + reach, y + reach))
    return found


def _sized(element: Element, size: float) -> Iterator[tuple[Element, float]]:
    """The words of an element, each with its size, which may be that of what it stands in."""
    size = float(element.attrib.get("font-size", size))
    if element.tag.endswith("text"):
        yield element, size
    for child in element:
        yield from _sized(child, size)


def _place_words(completed: Completed, place: str, otherwise: str = "") -> str:
    """A terminal, part or conductor in words, with its first letter large."""
    wiring = completed.case.wiring.drawn
    conductor = next(
        (each for each in wiring.conductors if each.id == place.removeprefix("wire.")), None
    )
    if conductor is not None:
        words = spoken_conductor(wiring, conductor, with_ferrule=False)
    elif wiring.terminal(place) is not None:
        words = (
            f"{spoken_terminal(wiring, place)}, terminal"
            if not spoken_terminal(wiring, place).split()[-1].isdigit()
            else spoken_terminal(wiring, place)
        )
    elif wiring.part(place) is not None:
        words = spoken_part(completed, place)
    else:
        words = otherwise or place.replace("-", " ").replace(".", " ")
    words = in_nec_words(words) if completed.installation.rules == "nec" else words
    return words[:1].upper() + words[1:]


def _names(completed: Completed, place: str) -> tuple[str, ...]:
    """What the drawings call a place: the wiring names it alone, the single-line diagram with its
    kind.
    """
    part = completed.case.wiring.drawn.part(place)
    kind = part.kind if part else ""
    own = {"main-earthing-terminal": ("met",), "line-bar": ("line-bar",)}.get(kind, ())
    return (
        place,
        f"wire.{place}",
        *own,
        *(f"{each}.{place}" for each in ("part", "electrode", "conductor", "terminal", "cable")),
    )


def _group(ids: Sequence[str], prefix: str, names: Sequence[str]) -> str:
    """The id of the first group there is of these names; "" where there is none.

    A symbol may be numbered: `existing-rcd.21`.
    """
    found = next((each for name in names if (each := svg_id(prefix, name)) in ids), "")
    numbered = re.compile(rf"{re.escape(svg_id(prefix, names[0]))}\.[0-9]+\Z")
    return found or next((each for each in ids if numbered.match(each)), "")


def _title(element: Element | None) -> str:
    title = (
        None
        if element is None
        else next((child for child in element if child.tag.endswith("title")), None)
    )
    return (title.text or "") if title is not None else ""


def _anchor(things: Sequence[Painted], texts: Sequence[Bounds]) -> Point | None:
    """Where the leader of a spot ends: in a small thing, on the edge of a large one, on a line;
    where no text stands if that can be.
    """
    shapes = [thing for thing in things if not thing.words] or list(things)
    if not shapes:
        return None
    boxed = [
        thing
        for thing in shapes
        if thing.opaque or len(thing.lines) != 0 and thing.lines[0][0] == thing.lines[-1][1]
    ]
    lines = [piece for thing in shapes for piece in thing.lines]
    if lines and not boxed:
        longest = sorted(lines, key=lambda piece: -math.dist(*piece))[:3]
        wanted = [
            (ax + (bx - ax) * share, ay + (by - ay) * share)
            for (ax, ay), (bx, by) in longest
            for share in SHARES
        ]
    else:
        x0, y0, x1, y1 = max(
            (thing.bounds for thing in boxed or shapes),
            key=lambda box: (box[2] - box[0]) * (box[3] - box[1]),
        )
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        small = max(x1 - x0, y1 - y0) < 40
        wanted = (
            [middle]
            if small
            else [
                (middle[0], y0 + 4),
                (x1 - 4, middle[1]),
                (x0 + 4, middle[1]),
                (middle[0], y1 - 4),
                (x1 - 4, y0 + 4),
                (x0 + 4, y0 + 4),
            ]
        )
    return next(
        (point for point in wanted if all(_gap(text, point) > 4 for text in texts)), wanted[0]
    )


def _around(anchor: Point, distance: float) -> Iterator[Point]:
    for turn in range(DIRECTIONS):
        angle = math.tau * (turn + 0.5) / DIRECTIONS
        yield anchor[0] + distance * math.cos(angle), anchor[1] - distance * math.sin(angle)


def _free_place(
    anchor: Point, things: Sequence[Painted], taken: Sequence[Bounds], across: Point, height: float
) -> Point:
    """The nearest place for the disc that hides no text and no other disc, and as few lines as can
    be; `across`: from where to where a narrow screen shows the drawing.
    """
    reach = DISTANCES[-1] + 2 * RADIUS
    near = [thing for thing in things if _gap(thing.bounds, anchor) < reach]
    texts = [thing.bounds for thing in near if thing.words]
    pieces = [
        piece
        for thing in near
        for piece in thing.lines
        if thing.reach and _distance(anchor, piece) < reach
    ]
    measured = [
        (*start, end[0] - start[0], end[1] - start[1], math.dist(start, end) ** 2)
        for start, end in pieces
    ]

    def cost(at: Point, most: float) -> float:
        """What a place hides and crosses; no more is counted once it is over `most`."""
        box = (at[0] - RADIUS - 1, at[1] - RADIUS - 1, at[0] + RADIUS + 1, at[1] + RADIUS + 1)
        first, last = across[0] + EDGE, across[1] - EDGE
        if not (first <= at[0] <= last and EDGE <= at[1] <= height - EDGE):
            return 1e6
        cost = sum(_meet(box, text) for text in texts) * 400
        cost += sum(_meet(box, other) for other in taken) * 5000
        if cost <= most:
            cost += sum(_crosses(anchor, at, other) for other in taken) * 900
            cost += sum(_crosses(anchor, at, text) for text in texts) * 60
        return cost if cost > most else cost + 12 * _crossed(at, measured, (most - cost) / 12)

    best = math.inf, anchor
    for distance in DISTANCES:
        for at in _around(anchor, distance):
            best = min(best, (cost(at, best[0] - distance * 0.5) + distance * 0.5, at))
        if best[0] <= distance:  # nothing hidden: a longer leader cannot be better
            break
    return best[1]


_Measured = tuple[float, float, float, float, float]
"""A piece of a line: where it begins, how far it goes each way, and its length squared."""


def _crossed(at: Point, pieces: Sequence[_Measured], most: float) -> int:
    """How many pieces a disc lies on; no more are counted once they are over `most`."""
    x, y = at
    near, found = (RADIUS + 1) ** 2, 0
    for ax, ay, dx, dy, length in pieces:
        to_x, to_y = x - ax, y - ay
        share = (to_x * dx + to_y * dy) / length if length else 0.0
        share = 0.0 if share < 0 else 1.0 if share > 1 else share
        if (to_x - share * dx) ** 2 + (to_y - share * dy) ** 2 < near:
            found += 1
            if found > most:
                break
    return found


def _gap(box: Bounds, point: Point) -> float:
    dx = max(box[0] - point[0], 0.0, point[0] - box[2])
    dy = max(box[1] - point[1], 0.0, point[1] - box[3])
    return math.hypot(dx, dy)


def _meet(first: Bounds, second: Bounds) -> bool:
    return (
        first[0] < second[2]
        and second[0] < first[2]
        and first[1] < second[3]
        and second[1] < first[3]
    )


def _crosses(start: Point, end: Point, box: Bounds) -> bool:
    return any(
        _gap(box, (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share))
        == 0.0
        for share in (0.2, 0.4, 0.6, 0.8, 1.0)
    )


def _distance(point: Point, piece: tuple[Point, Point]) -> float:
    (ax, ay), (bx, by) = piece
    length = (bx - ax) ** 2 + (by - ay) ** 2
    share = (
        0.0
        if not length
        else max(
            0.0, min(1.0, ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / length)
        )
    )
    return math.dist(point, (ax + share * (bx - ax), ay + share * (by - ay)))


def _mark(spot: Spot, anchor: Point, at: Point, prefix: str) -> Markup:
    """The leader with a dot at its end, and the lettered disc over it."""
    away = math.dist(anchor, at)
    start = (
        at
        if not away
        else (
            at[0] + (anchor[0] - at[0]) * RADIUS / away,
            at[1] + (anchor[1] - at[1]) * RADIUS / away,
        )
    )
    leader = svg_path_of((start, anchor))
    return shape(
        "g",
        shape("path", d=leader, stroke=paint("paper"), stroke_width=5),
        shape("path", d=leader),
        shape(
            "circle",
            cx=anchor[0],
            cy=anchor[1],
            r=3,
            fill=paint("mark"),
            stroke=paint("paper"),
            stroke_width=1,
        ),
        shape("circle", cx=at[0], cy=at[1], r=RADIUS),
        shape(
            "text",
            spot.letter,
            x=at[0],
            y=at[1] + 5,
            font_size=14,
            font_weight="700",
            text_anchor="middle",
            fill=paint("mark"),
            stroke="none",
        ),
        shape(
            "rect",
            class_="spot-reach",
            x=spot.x,
            y=spot.y,
            width=spot.width,
            height=spot.height,
            fill="transparent",
            stroke="none",
        ),
        class_="spot",
        data_spot=spot.letter,
        fill=paint("paper"),
        stroke=paint("mark"),
        stroke_width=2,
    )
