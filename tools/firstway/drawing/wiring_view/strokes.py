"""Wiring view: groups of strokes for what was placed; nothing here knows where a thing lies."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from math import copysign, dist

from firstway.choosing.completing import Completed
from firstway.drawing.enclosure_earth import earth_tie
from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.labels import Bounds
from firstway.drawing.line_styles import (
    CASING,
    CORE,
    HALO,
    Layers,
    conductor_layers,
    conductor_samples,
    core_width,
)
from firstway.drawing.part_words import (
    ENCLOSURE,
    drawn_device_words,
    earth_words,
    ferrule_key,
    function_mark,
    label_words,
    named_conductor,
    spoken_part,
)
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import (
    BAR,
    HAIR,
    LINE,
    SMALLEST,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Point,
    Ref,
    Strands,
    Stroke,
)
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.drawing.title_block import foot
from firstway.drawing.wiring_view.crossings import square_cuts
from firstway.drawing.wiring_view.flat import FlatBoard, FlatWire
from firstway.drawing.wiring_view.free_room import FreeLabel, away_from
from firstway.drawing.wiring_view.naming import (
    METER_SIDE,
    FoundNames,
    limiter_lines,
    number_room,
    place_lines,
    through_lines,
    words_of_bar,
)
from firstway.drawing.wiring_view.outside import METER, TERMINAL_WORD, OutsidePlan
from firstway.frozen import dataclass
from firstway.layout.plan import WallOpening
from firstway.model.nec_words import in_nec_words
from firstway.wiring.graph import Conductor, Part, Terminal

_BAR_ROOM = 50.0  # at a wall with a bar, where numbers and names stand
BAR_HALO, CORNER_BEND = (
    10.0,
    7.0,
)  # the gap a bar cuts in what it crosses; of the corners of a conductor
_STUB = 10.0  # of a conductor under a device, where it goes in and comes out
_WIDER = 6.0  # of a conductor that another lies right before: seen on both its sides
_OVER, _UNDER = SMALLEST * 0.74, SMALLEST * 0.22  # of figures, from their base line
_PATCH = 2.4  # how much wider than a conductor its square cut is
_PALE = ("paper", "white", "yellow")  # inks that cannot be seen on a device
_BACK_KEY = "dashed circle: hole in the back; dashed lines: conductors behind the box"
TERMINAL_SHAPES: dict[str, tuple[Drawable, ...]] = {
    "joined": (Disc(0, 0, 6.5, "ink", LINE, "paper"), Disc(0, 0, 2.6, "none", 0, "casing")),
    "free": (Disc(0, 0, 6.5, "ink", LINE, "paper"),),
    "on-bar": (Disc(0, 0, 3.6, "paper", HAIR, "casing"),),
    "spot": (Disc(0, 0, 2.3, "paper", HAIR, "ink"),),
    "turn": (
        Disc(0, 0, 5.2, "ink", LINE, "paper"),
        Stroke(((-3.4, -3.4), (3.4, 3.4)), "ink", HAIR),
        Stroke(((-3.4, 3.4), (3.4, -3.4)), "ink", HAIR),
    ),
}


@dataclass(frozen=True)
class WiringFrame:
    """All that was decided before a stroke is made."""

    board: FlatBoard
    outside: OutsidePlan
    names: FoundNames
    width: float
    height: float


def _layers(completed: Completed, conductor: Conductor) -> Layers:
    """A conductor in its style, as wide as its size asks."""
    laid = completed.case.layout.by_id.get(conductor.id)
    width = core_width(laid.diameter_mm) if laid else CORE
    return conductor_layers(conductor, width)


def wiring_groups(completed: Completed, view: WiringFrame) -> list[Group]:
    """All groups in the order in which they are painted: the back of the box first."""
    board = view.board
    wires = sorted(board.wires.values(), key=lambda wire: (wire.depth, wire.id))
    deep = [wire for wire in wires if wire.deep]
    from_back = {each.name for each in completed.case.layout.parts.openings if each.side == "back"}
    behind = [wire for wire in deep if wire.opening in from_back]
    return [
        _enclosure(completed, board),
        *_rail(board),
        *_cables(completed, view),
        *(_wire(completed, view, wire) for wire in behind),
        *_beyond(completed, view, from_back),
        *_back_openings(completed, view),
        *(_before_back(completed, wire) for wire in behind),
        *_bars(completed, view),
        *(
            group
            for place, wire in enumerate(deep)
            if wire not in behind
            for group in (
                _wire(completed, view, wire),
                *_cut_square(completed, wire, (wire.points,), _later(deep[place + 1 :], wires)),
            )
        ),
        *_devices(completed, board),
        *_combs(completed, view),
        *_fronts(completed, view, wires),
        *_openings(completed, view),
        *_places(completed, view),
        *_beyond(completed, view, from_back, False),
        *_through(completed, view),
        *_supply_side(completed, view),
        *_terminals(completed, view),
        *_bar_names(view),
        *_labels(completed, view),
    ]


def _spoken(completed: Completed, text: str) -> str:
    nec = completed.installation.rules == "nec"
    return in_nec_words(text.replace("-bar ", " bar ")) if nec else text


def _named(completed: Completed, conductor: Conductor) -> str:
    wiring, rules = completed.case.wiring.drawn, completed.installation.rules
    return _spoken(completed, named_conductor(wiring, conductor, rules))


# Inside


def _enclosure(completed: Completed, board: FlatBoard) -> Group:
    box = board.enclosure
    return Group(
        "enclosure",
        (Box(box.x, box.y, box.width, box.height, line=LINE, round=8),),
        _spoken(completed, "The enclosure of the board"),
        "enclosure",
    )


def _rail(board: FlatBoard) -> list[Group]:
    """The mounting rail shows left and right of the devices only."""
    boxes = list(board.devices.values())
    if not boxes or len({round(each.y) for each in boxes}) > 1:
        return []
    left, right = min(b.x for b in boxes), max(b.x + b.width for b in boxes)
    y = boxes[0].y + boxes[0].height / 2
    reach = 17.5 * board.scale.units
    items = [
        Stroke(((x, y + d), (x + 9, y + d)), "soft", HAIR)
        for x in (left - 9, right)
        for d in (-reach, reach)
    ]
    return [Group("rail", tuple(items), "Mounting rail", "rail")]


def _bars(completed: Completed, view: WiringFrame) -> list[Group]:
    groups = []
    spot = completed.case.layout.parts.spots.get(ENCLOSURE)
    for name, (box, _) in view.board.bars.items():
        items: list[Drawable] = [Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 3)]
        if name in view.names.bars:
            x, y, turn = view.names.bars[name]
            words = words_of_bar(completed, name)
            items.append(Lettering(x, y, words, anchor="middle", bold=True, turn=turn))
        elif f"bar.{name}" in view.names.inside:
            items += _words(view.names.inside[f"bar.{name}"])
        groups.append(Group(name, tuple(items), spoken_part(completed, name), f"part {name}"))
        if name == "earth-bar" and spot:
            tie = earth_tie(completed, box, view.board.scale.at(spot.at[:2]))
            groups += [tie] if tie else []
    return groups


def _way(completed: Completed, view: WiringFrame, wire: FlatWire) -> tuple[Point, ...]:
    """From terminal to terminal: inside, and on beyond the wall."""
    way = view.outside.ways.get(wire.id)
    if not way:
        return wire.points
    if dist(way[0], wire.points[-1]) < dist(way[0], wire.points[0]):
        return (*wire.points, *way[1:])
    return (*reversed(way[1:]), *wire.points)


def _wire(completed: Completed, view: WiringFrame, wire: FlatWire) -> Group:
    """A conductor in one piece from end to end; wider where another lies right before it."""
    conductor = _conductor(completed, wire.id)
    layers = _layers(completed, conductor)
    wide = tuple((ink, width + _WIDER, dash) for ink, width, dash in layers[1:])
    return Group(
        f"wire.{wire.id}",
        (
            *_strands(wire.covered, wide),
            Strands(_way(completed, view, wire), layers, CORNER_BEND),
        ),
        _named(completed, conductor),
        f"conductor {conductor.kind} {conductor.function}",
        (("from", conductor.start), ("to", conductor.end)),
    )


def _before_back(completed: Completed, wire: FlatWire) -> Group:
    """What lies in the box of a conductor that comes through its back."""
    layers = _layers(completed, _conductor(completed, wire.id))
    strands = Strands(wire.points, layers, CORNER_BEND)
    return Group(f"behind.{wire.id}", (strands,), classes="front", unnamed=True)


def _strands(
    stretches: Sequence[tuple[Point, ...]], layers: Layers, bend: float = 0.0
) -> list[Drawable]:
    """Stretches of one conductor."""
    if not stretches:
        return []
    return [Strands(stretches[0], layers, bend, tuple(stretches[1:]))]


def _conductor(completed: Completed, name: str) -> Conductor:
    return next(each for each in completed.case.wiring.drawn.conductors if each.id == name)


def _fronts(completed: Completed, view: WiringFrame, wires: Sequence[FlatWire]) -> list[Group]:
    """What lies before the backs of the devices, the nearest to the eye last; and where a conductor
    turns to the back.
    """
    groups = []
    shown = {
        wire.id: [each for each in wire.front if _painted_over(each, wire, view, wires)]
        if wire.deep
        else [wire.points]
        for wire in wires
    }
    for place, wire in enumerate(wires):
        since = [(each, shown[each.id]) for each in wires[place + 1 :]]
        cut = _cut_square(completed, wire, shown[wire.id], since)
        if not wire.deep:
            groups += [_wire(completed, view, wire), *cut]
            continue
        layers = _layers(completed, _conductor(completed, wire.id))
        again = shown[wire.id]
        items = _strands(again, layers, CORNER_BEND)
        items += [Ref(x, y, "turn") for x, y in wire.turns]
        ink = next((ink for ink, *_ in layers[2:] if ink not in _PALE), layers[1][0])
        for start, end in view.board.hidden[wire.id]:
            stubs = (start, _along(start, end)), (_along(end, start), end)
            items += _strands(stubs, ((ink, LINE + 1, "3 2"),))
        if items:
            name = f"front.{wire.id}"
            groups.append(Group(name, tuple(items), classes="front", unnamed=True))
        groups += cut
    return groups


_Shown = tuple[FlatWire, Sequence[Sequence[Point]]]
"""A conductor with those stretches of it that are painted."""


def _later(deep: Sequence[FlatWire], wires: Sequence[FlatWire]) -> list[_Shown]:
    """What is painted after a conductor behind the devices: those nearer to the eye."""
    return [(each, (each.points,)) for each in (*deep, *(w for w in wires if not w.deep))]


def _cut_square(
    completed: Completed,
    wire: FlatWire,
    stretches: Sequence[Sequence[Point]],
    since: Sequence[_Shown],
) -> list[Group]:
    """What is painted right after a conductor so that those that cross it at a small angle leave no
    spikes of it; it belongs to the stage of the one that crosses.
    """
    groups = []
    for over, others in since:
        found = [
            Stroke(cut, "paper", _width(completed, wire) + CASING + _PATCH)
            for under in stretches
            for other in others
            for cut in square_cuts(under, _width(completed, wire), other, _width(completed, over))
        ]
        if found:
            groups.append(Group(f"front.{over.id}", tuple(found), classes="front", unnamed=True))
    return groups


def _width(completed: Completed, wire: FlatWire) -> float:
    """How wide the insulation of a laid conductor is drawn."""
    return core_width(completed.case.layout.by_id[wire.id].diameter_mm)


def _painted_over(
    stretch: Sequence[Point], wire: FlatWire, view: WiringFrame, wires: Sequence[FlatWire]
) -> bool:
    """Whether what was painted since this conductor lies near a stretch of it: a device, a bar, or
    a conductor farther from the eye.
    """
    board = view.board
    boxes = [*board.devices.values(), *([board.line_bar] if board.line_bar else [])]
    since = [(box.x, box.y, box.x + box.width, box.y + box.height) for box in boxes]
    farther = [each for each in wires[: wires.index(wire)] if not each.deep]
    lines = [*board.combs.values(), *(each.points for each in farther)]
    since += [_bounds(piece) for line in lines for piece in zip(line, line[1:])]
    own = [_bounds(piece) for piece in zip(stretch, stretch[1:])]
    return any(_near(one, other) for one in own for other in since)


def _bounds(points: Sequence[Point]) -> Bounds:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _near(one: Bounds, other: Bounds) -> bool:
    return all(
        one[axis] < other[axis + 2] + BAR_HALO and other[axis] < one[axis + 2] + BAR_HALO
        for axis in (0, 1)
    )


def _along(start: Point, end: Point) -> Point:
    """As far as a stub shows from `start` of a level or an upright stretch."""
    (ax, ay), (bx, by) = start, end
    if abs(bx - ax) > abs(by - ay):
        return ax + copysign(_STUB, bx - ax), ay
    return ax, ay + copysign(_STUB, by - ay)


def _devices(completed: Completed, board: FlatBoard) -> list[Group]:
    groups = []
    wiring = completed.case.wiring.drawn
    for name, box in board.devices.items():
        part = wiring.part(name)
        if part is None:
            continue
        nose = board.noses[name]
        items: list[Drawable] = [
            Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 4),
            Box(nose.x, nose.y, nose.width, nose.height, "ink", HAIR, "plate", 3),
            *_on_front(completed, part, nose),
        ]
        groups.append(Group(name, tuple(items), spoken_part(completed, name), f"part {part.kind}"))
    return groups


def _on_front(completed: Completed, part: Part, nose: Rect) -> list[Drawable]:
    """The words of a device on its front: level, or turned where it is too narrow for them."""
    for turned in (False, True):
        wide, high = (nose.height, nose.width) if turned else (nose.width, nose.height)
        lines = drawn_device_words(completed.installation, part, wide - 8)
        if len(lines) * 13.5 > high - 2:
            facts = ", ".join(words for words, _ in lines[1:])
            lines = [lines[0], *((each, False) for each in wrapped(facts, SMALLEST, wide - 8))]
        widest = max(reserved_width(words, SMALLEST, bold) for words, bold in lines)
        if widest <= wide - 4 and len(lines) * 13.5 <= high:
            break
    x, y = nose.x + nose.width / 2, nose.y + nose.height / 2
    found: list[Drawable] = []
    for index, (words, bold) in enumerate(lines):
        shift = 13.5 * (index - (len(lines) - 1) / 2) + 4.3
        at = (x + shift, y) if turned else (x, y + shift)
        found.append(Lettering(*at, words, anchor="middle", bold=bold, turn=-90 if turned else 0))
    return found


def _combs(completed: Completed, view: WiringFrame) -> list[Group]:
    """The line bar: its body, a rail for each line, and the teeth, which cut a gap in the rails
    they pass; and what joins the screws of a neutral or earth bar.
    """
    board, wiring = view.board, completed.case.wiring.drawn
    groups = []
    bars = [each for each in wiring.conductors if each.id in board.combs]
    teeth = {each.id for each in bars if not _along_rail(each)}
    screws = {each.id for each in bars if "bar." not in (each.start[:4], each.end[:4])}
    for each in sorted(bars, key=lambda one: (one.id in screws, one.id in teeth)):
        points = board.combs[each.id]
        if each.id in screws:
            items: tuple[Drawable, ...] = (Stroke(points, "soft", BAR),)
        else:
            ink = CONDUCTOR_INKS.get(each.colour, ("soft",))[0]
            # a piece without length has an end to be read back all the same
            crossing = (each.id in teeth and len(board.rails) > 1) or dist(*points) < 1
            items = (
                *((Stroke(_shortened(points, 7.5), "paper", BAR_HALO),) if crossing else ()),
                Stroke(points, "casing", BAR + 1.6),
                Stroke(points, ink, BAR),
            )
        groups.append(
            Group(
                f"wire.{each.id}",
                items,
                _named(completed, each),
                f"conductor bar {each.function}",
                (("from", each.start), ("to", each.end)),
            )
        )
    return groups


def _bar_names(view: WiringFrame) -> list[Group]:
    """The words of the line bar and its lines, over what they may cross."""
    if not view.board.rails:
        return []
    tags: list[Drawable] = [
        Lettering(x, y, line, anchor="middle", bold=True) for line, x, y in view.names.tags
    ]
    for name in ("line-bar", *(f"rail.{line}" for line in view.board.rails)):
        tags += _words(view.names.inside[name]) if name in view.names.inside else []
    return [Group("line-bar", tuple(tags), "Line bar", "part line-bar")] if tags else []


def _along_rail(conductor: Conductor) -> bool:
    return conductor.start.startswith("bar.") and conductor.end.startswith("bar.")


def _shortened(points: tuple[Point, Point], by: float) -> tuple[Point, ...]:
    """A straight line less a piece at both ends."""
    (ax, ay), (bx, by_) = points
    length = dist(*points)
    if length <= 2 * by + 1:
        middle = (ax + bx) / 2, (ay + by_) / 2
        return middle, (middle[0], middle[1] + 0.1)
    ux, uy = (bx - ax) / length * by, (by_ - ay) / length * by
    return (ax + ux, ay + uy), (bx - ux, by_ - uy)


# Openings


def _openings(completed: Completed, view: WiringFrame) -> list[Group]:
    """Glands and bushed holes in the walls, over the conductors that pass them."""
    groups = []
    for each in completed.case.layout.parts.openings:
        if each.side == "back":
            continue
        words = "Gland" if each.gland else "Opening"
        groups.append(
            Group(
                f"opening.{each.name}",
                tuple(_in_wall(completed, view, each)),
                f"{words} of {each.name}",
                "opening",
            )
        )
    return groups


def _in_wall(completed: Completed, view: WiringFrame, each: WallOpening) -> list[Drawable]:
    """A locknut inside the wall and a body outside it, and the bolt of the armour's tag; of a
    bushed hole, its bush.
    """
    board = view.board
    outer, units = board.enclosure, board.scale.units
    x, y = board.scale.at(each.at[:2])
    level = each.side in ("top", "bottom")
    wall = {
        "top": outer.y,
        "bottom": outer.y + outer.height,
        "left": outer.x,
        "right": outer.x + outer.width,
    }[each.side]
    out = -1 if each.side in ("top", "left") else 1
    found: list[Drawable] = []
    for wide, start, end in (
        (each.nut_mm, -7.0, 0.0),
        (each.hole_mm + (6 if each.gland else 0), 0.0, 9.0 if each.gland else 5.0),
    ):
        half = wide * units / 2
        low, high = sorted((wall + out * start, wall + out * end))
        box = (
            (x - half, low, 2 * half, high - low)
            if level
            else (low, y - half, high - low, 2 * half)
        )
        found.append(Box(*box, "ink", LINE, "panel", 2))
    if each.bolt is not None:
        armour = [
            view.outside.ways[one.id][0]
            for one in completed.case.wiring.drawn.conductors
            if one.kind == "armour" and one.cable == each.name and one.id in view.outside.ways
        ]
        found.append(Disc(*(armour or [board.scale.at(each.bolt)])[0], 5.0, "ink", LINE))
    return found


def _back_openings(completed: Completed, view: WiringFrame) -> list[Group]:
    """A hole in the back: conductors come through it, and lie behind the enclosure up to its
    edge.
    """
    groups = []
    outer = view.board.enclosure
    for each in completed.case.layout.parts.openings:
        if each.side != "back":
            continue
        x, y = view.board.scale.at(each.at[:2])
        radius = each.hole_mm * view.board.scale.units / 2
        inside = {wire.id for wire in view.board.wires.values() if wire.opening == each.name}
        ways = [
            view.outside.ways[one.id]
            for one in completed.case.wiring.drawn.conductors
            if one.id in view.outside.ways
            and (one.id in inside or (one.kind == "armour" and one.cable == each.name))
        ]
        up = bool(ways) and ways[0][1][1] < y
        wall = outer.y if up else outer.y + outer.height
        low, high = sorted((wall, y))
        xs = [way[0][0] for way in ways] or [x]
        cover = Box(
            min(xs) - 6,
            low + LINE / 2,
            max(xs) - min(xs) + 12,
            high - low - LINE,
            "none",
            0,
            "paper",
        )
        items: list[Drawable] = [cover]
        barred = any(side == ("top" if up else "bottom") for _, side in view.board.bars.values())
        shown = wall + (_BAR_ROOM if barred else 0) * (1 if up else -1)
        if (shown < y) == up:
            items += [Stroke(((at, shown), (at, y)), "soft", HAIR, "4 3") for at in xs]
        items.append(Disc(x, y, radius, "ink", LINE, dash="5 4"))
        groups.append(Group(f"back.{each.name}", tuple(items), "Opening in the back", "opening"))
    return groups


# Outside


def _cables(completed: Completed, view: WiringFrame) -> list[Group]:
    """The sheath of a cable beyond the wall; armour is dashed beside it."""
    groups = []
    for name, box in view.outside.cables.items():
        circuit = next((c for c in completed.installation.circuits if c.name == name), None)
        if circuit is None or box.height < 6:
            continue
        items: list[Drawable] = []
        for reach, dash in ((0, ""), (4, "3 3")):
            if not dash or circuit.cable.construction == "armoured":
                for x in (box.x - reach, box.x + box.width + reach):
                    items.append(Stroke(((x, box.y), (x, box.y + box.height)), "soft", LINE, dash))
        groups.append(Group(f"cable.{name}", tuple(items), f"Cable of {name}", "cable"))
    return groups


def _beyond(
    completed: Completed, view: WiringFrame, from_back: Collection[str], behind: bool = True
) -> list[Group]:
    """Conductors that lie wholly outside the enclosure: those `behind` it, or the others."""
    wiring = completed.case.wiring.drawn
    groups = []
    for each in wiring.conductors:
        way = view.outside.ways.get(each.id)
        if each.id in view.board.wires or not way or (each.cable in from_back) != behind:
            continue
        groups.append(
            Group(
                f"wire.{each.id}",
                (
                    (Stroke(way, "soft", BAR),)
                    if each.kind == "bar"
                    else (Strands(way, _layers(completed, each), CORNER_BEND),)
                ),
                _named(completed, each),
                f"conductor {each.kind} {each.function}",
                (("from", each.start), ("to", each.end)),
            )
        )
    return groups


def _lines(lines: Sequence[tuple[str, bool]], x: float, box: Rect) -> list[Drawable]:
    first = box.y + (box.height - 14.5 * len(lines)) / 2 + 11.5
    return [
        Lettering(x, first + 14.5 * place, words, bold=bold)
        for place, (words, bold) in enumerate(lines)
    ]


def _indent(view: WiringFrame, name: str) -> float:
    """From the left edge of a place to its words: beside its terminals where they stand there."""
    return 8 if view.outside.facing.get(name, "right") == "right" else TERMINAL_WORD + 6


def _places(completed: Completed, view: WiringFrame) -> list[Group]:
    wiring = completed.case.wiring.drawn
    groups = []
    for name, box in view.outside.places.items():
        part = wiring.part(name)
        assert part is not None
        x = box.x + _indent(view, name)
        items = [
            Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 6),
            *_lines(place_lines(completed, name), x, box),
        ]
        groups.append(Group(name, tuple(items), spoken_part(completed, name), f"part {part.kind}"))
    return groups


def _through(completed: Completed, view: WiringFrame) -> list[Group]:
    groups = []
    for place, (box, lines) in enumerate(zip(view.outside.through, through_lines(completed)), 1):
        middle = box.x + box.width / 2
        first = box.y + (box.height - 13.5 * len(lines)) / 2 + 10.5
        words = [
            Lettering(middle, first + 13.5 * number, line, anchor="middle")
            for number, line in enumerate(lines)
        ]
        groups.append(
            Group(
                f"through.{place}",
                (Box(box.x, box.y, box.width, box.height, "ink", LINE, "plate", 4), *words),
                f"The feed runs through {' '.join(lines).replace('- ', '-')}",
                "through",
            )
        )
    return groups


def _supply_side(completed: Completed, view: WiringFrame) -> list[Group]:
    """The meter side as a closed box; the limiter with its transformers and its data pairs."""
    outside = view.outside
    groups = []
    if outside.tails:
        groups.append(
            Group(
                "supply-tails",
                (Stroke(outside.tails, "paper", BAR_HALO), Stroke(outside.tails, "soft", BAR)),
                "Supply tails: authorised person only",
                "supply",
            )
        )
    if outside.meter:
        box = outside.meter
        groups.append(
            Group(
                METER,
                (
                    Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 6),
                    *_lines(METER_SIDE, box.x + _indent(view, METER), box),
                ),
                "Meter side: authorised person only",
                "supply",
            )
        )
    limiter = completed.case.wiring.drawn.limiter
    if outside.limiter and limiter:
        box = outside.limiter
        items: list[Drawable] = [
            Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 6),
            *_lines(limiter_lines(completed), box.x + 8 + 22, box),
        ]
        for name, ring, edge in outside.sensors:
            items += [
                Disc(*ring, 6.5, "ink", LINE),
                Stroke(((ring[0] + (6.5 if edge[0] > ring[0] else -6.5), ring[1]), edge)),
            ]
            sign = 1 if edge[0] > ring[0] else -1
            items.append(
                Lettering(
                    edge[0] + sign * 5, edge[1] + 4.3, name, anchor="start" if sign > 0 else "end"
                )
            )
        groups.append(
            Group(
                "load-limiter",
                tuple(items),
                "Load limiter with a current transformer on each line it senses",
                "limiter",
            )
        )
        groups += [
            Group(
                f"pair.{place}",
                (Stroke(pair, "soft", LINE, "6 4", round=CORNER_BEND),),
                f"Data pair from the load limiter to {place}",
                "pair",
            )
            for place, pair in zip(limiter.holds, outside.pairs)
        ]
    return groups


# Terminals and words


def _terminals(completed: Completed, view: WiringFrame) -> list[Group]:
    wiring = completed.case.wiring.drawn
    places = {**view.outside.terminals, **view.board.terminals}
    groups = []
    for terminal in wiring.terminals:
        part = wiring.part(terminal.device)
        if terminal.id not in places or part is None:
            continue
        x, y = places[terminal.id]
        if part.kind == "line-bar":
            items: tuple[Drawable, ...] = (Ref(x, y, "on-bar"),)
        else:
            on_bar = part.kind in ("neutral-bar", "earth-bar")
            left_free = (on_bar and not terminal.id.rpartition(".")[2].isdigit()) or (
                ".parked." in terminal.id
            )
            joined = bool(wiring.conductors_at(terminal.id)) and not left_free
            items = (
                Ref(x, y, "joined" if joined else "free"),
                *_mark(completed, view, terminal, part),
            )
        groups.append(
            Group(
                terminal.id,
                items,
                _spoken(completed, _terminal_title(terminal)),
                f"terminal {terminal.function}",
            )
        )
    return groups


def _mark(
    completed: Completed, view: WiringFrame, terminal: Terminal, part: Part
) -> tuple[Drawable, ...]:
    """The function beside a terminal, or the number of a bar's screw."""
    words = function_mark(terminal.function, completed.installation.rules)
    tail = terminal.id.rpartition(".")[2]
    board, outside = view.board, view.outside
    if terminal.id.endswith(".armour"):
        words = "arm."
    elif ".parked." in terminal.id:
        words = "off"
    if terminal.device in outside.facing:
        x, y = outside.terminals[terminal.id]
        inward = -10 if outside.facing[terminal.device] == "right" else 10
        anchor = "end" if inward < 0 else "start"
        return (Lettering(x + inward, y + 4.3, words, anchor=anchor),)
    if terminal.id not in board.terminals:
        return ()
    x, y = board.terminals[terminal.id]
    if part.kind in ("neutral-bar", "earth-bar"):
        if not tail.isdigit():
            return ()
        number = _screw_number(board, terminal.device, (x, y), tail)
        rise = (_OVER - _UNDER) / 2  # from the base line to the middle of the figures
        across = copysign(rise, number.turn) if number.turn else 0.0
        middle = number.x + across, number.y - (0 if across else rise)
        half = max(reserved_width(tail, SMALLEST), _OVER + _UNDER) / 2
        clear = all(
            away_from(middle, own, half + wide / 2) for own, wide in _drawn(completed, view)
        )
        return (number,) if clear else ()
    dx, dy, anchor = {
        "top": (0, 20, "middle"),
        "bottom": (0, -11, "middle"),
        "left": (0, -11, "middle"),
        "right": (0, -11, "middle"),
    }[board.out[terminal.id]]
    return (Lettering(x + dx, y + dy, words, anchor=anchor),)


def _drawn(
    completed: Completed, view: WiringFrame
) -> Iterator[tuple[list[tuple[Point, Point]], float]]:
    """The straight pieces of each conductor, and how wide it is drawn."""
    ways = [(name, wire.points) for name, wire in view.board.wires.items()]
    for name, points in [*ways, *view.outside.ways.items()]:
        laid = completed.case.layout.by_id.get(name)
        width = core_width(laid.diameter_mm) if laid else CORE
        yield list(zip(points, points[1:])), width + HALO


def _screw_number(board: FlatBoard, bar: str, at: Point, number: str) -> Lettering:
    """The number of a screw between its bar and the wall behind it, or outside the wall."""
    (box, side), outer = board.bars[bar], board.enclosure
    spare = number_room(box, side, outer)
    if spare < 1:
        box, spare = outer, 3.0
    x, y, turn = {
        "top": (at[0], box.y - spare - _UNDER, 0),
        "bottom": (at[0], box.y + box.height + spare + _OVER, 0),
        "left": (box.x - spare - _UNDER, at[1], -90),
        "right": (box.x + box.width + spare + _UNDER, at[1], 90),
    }[side]
    return Lettering(x, y, number, anchor="middle", turn=turn)


def _terminal_title(terminal: Terminal) -> str:
    end = "" if terminal.end == "both" else f" {terminal.end}"
    tail = terminal.id.rpartition(".")[2]
    return f"{terminal.device}{end} {terminal.function}" + (
        f", {tail}" if tail != terminal.function else ""
    )


def _words(label: FreeLabel) -> list[Drawable]:
    """Words in free room, with a fine leader to a dot on what they name."""
    edge, goal = label.leader
    first = label.y - 13.0 * (len(label.lines) - 1) / 2 + 4.3
    return [
        Stroke((edge, goal), "ink", HAIR),
        Ref(*goal, "spot"),
        *(
            Lettering(label.x, first + 13.0 * place, line, anchor="middle")
            for place, line in enumerate(label.lines)
        ),
    ]


def _labels(completed: Completed, view: WiringFrame) -> list[Group]:
    rules = completed.installation.rules
    groups = []
    rows = view.outside.labels
    for each in sorted(completed.case.wiring.drawn.conductors, key=lambda one: one.id not in rows):
        if each.id in rows:
            x, y = rows[each.id]
            items: list[Drawable] = [Lettering(x, y, " ".join(label_words(each, rules)))]
        elif each.id in view.names.inside:
            items = _words(view.names.inside[each.id])
        else:
            continue
        groups.append(Group(f"label.{each.id}", tuple(items), classes="label", unnamed=True))
    return groups


# Foot


def foot_groups(completed: Completed, view: WiringFrame) -> tuple[list[Group], float]:
    """The key and the caution below the drawing, and the height of the sheet with them."""
    installation = completed.installation
    earth = earth_words(completed)
    joined = completed.case.wiring.conductors_at(ENCLOSURE)
    turned = any(wire.turns for wire in view.board.wires.values())
    covered = any(wire.covered for wire in view.board.wires.values())
    hidden = any(view.board.hidden.values())
    openings = completed.case.layout.parts.openings
    bolted = any(each.bolt is not None for each in openings)
    kinds = {each.kind for each in completed.case.wiring.drawn.conductors}
    parked = any(".parked." in each.id for each in completed.case.wiring.drawn.terminals)
    armoured = "; dotted: armour" if "armour" in kinds else ""
    back = any(each.side == "back" for each in openings)
    key = "; ".join(
        [
            *([f"dot: {earth}" if joined else earth] if earth else []),
            *(["G: equipment ground"] if installation.rules == "nec" else []),
            ferrule_key(completed.case.wiring.drawn),
            *(["crossed disc: turns to the back"] if turned else []),
            *(["dashes at a device: runs behind it"] if hidden else []),
            "behind each other in the board: drawn side by side",
            *(["line edged by fine lines: one lies behind it"] if covered else []),
            *(["thick grey: metal joint or supply tails"] if view.outside.tails else []),
            *(["circle at a gland: its earth bolt"] if bolted else []),
            *(["off: parked, joined to nothing"] if parked else []),
            *([f"lines beside a cable: its sheath{armoured}"] if view.outside.cables else []),
            *([_BACK_KEY] if back else []),
            *(["dashed line: data pair"] if view.outside.pairs else []),
        ]
    )
    y = view.height + 6
    lines = wrapped(key, SMALLEST, view.width - 24)
    words = tuple(Lettering(12, y + 15 * place, line) for place, line in enumerate(lines))
    below = foot(
        installation,
        "Wiring",
        view.width,
        y + 15 * len(lines) - 4,
        conductor_samples(completed.case.wiring.drawn.conductors, installation.rules),
        view.board.scale.units,
    )
    return [Group("key", words, classes="key"), *below.groups], below.bottom
