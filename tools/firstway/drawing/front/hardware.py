"""Board front: the enclosure, the rail, the line bar with its teeth, the bars on the walls, and
what joins the metal to earth.
"""

from collections.abc import Iterator

from firstway.drawing.enclosure_earth import earth_tie
from firstway.drawing.front.framing import FrontFrame
from firstway.drawing.front.lettering import STEP, Towards, Wish, WordPlace, covering, outline
from firstway.drawing.front.scene import ScaledSheet, SeenFront
from firstway.drawing.front.words import bar_caption, counted_words, mm
from firstway.drawing.labels import Bounds
from firstway.drawing.part_words import ENCLOSURE, bar_called
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import (
    HAIR,
    LINE,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Point,
    Stroke,
)
from firstway.frozen import dataclass
from firstway.layout.plan import BarBody, FittingKind, LineBar, Solid, Tooth
from firstway.model.nec_words import in_nec_words
from firstway.model.values import Absent, is_known

LINE_BAR, CAPTION = "line-bar", "line-bar.caption"
_PIN = 1.1  # mm: half the width of a tooth

_WIRE_LINK = 2.4  # a link of wire is a body: as thick as it is drawn


def boxed(
    rect: Rect,
    ink: str = "ink",
    line: float = LINE,
    fill: str = "none",
    round_: float = 0.0,
    dash: str = "",
) -> Box:
    """A rectangle of the sheet, drawn."""
    return Box(rect.x, rect.y, rect.width, rect.height, ink, line, fill, round_, dash)


# Enclosure and rail


def enclosure(front: SeenFront, frame: FrontFrame) -> Group:
    """Its outer and inner faces; dashed where a size is not known."""
    known = all(front.given(key) is not None for key in ("width_mm", "height_mm"))
    dash = "" if known else "6 4"
    paper, plan = frame.paper, front.plan
    words = _said(front, "The enclosure of the board")
    return Group(
        "enclosure",
        (
            boxed(paper.body(plan.outer), round_=6, dash=dash),
            boxed(paper.body(plan.inner), line=HAIR, ink="soft", round_=4, dash=dash),
        ),
        words,
        "enclosure",
    )


def rail(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """The rail behind the devices with its screws; a tabbed board has none."""
    if front.plan.rail is None:
        return ()
    box = boxed(frame.paper.body(front.plan.rail), "soft", HAIR, "panel")
    wide = min(box.width, box.height) / frame.paper.scale
    words = f"Mounting rail, {mm(wide, front.installation.rules)}"
    screws = screw_heads(front, frame, "rail-screw")
    return (Group("rail", (box, *screws), words, "rail"),)


def fixings(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """The screws that hold the enclosure to its wall."""
    screws = screw_heads(front, frame, "mounting-screw")
    title = "Screws that hold the enclosure"
    return (Group("mounting-screws", screws, title, "fixings"),) if screws else ()


def screw_heads(front: SeenFront, frame: FrontFrame, kind: FittingKind) -> tuple[Drawable, ...]:
    """Round heads with a cross, seen from the front."""
    items: list[Drawable] = []
    for each in front.pieces(kind):
        box = frame.paper.body(each.body)
        (x, y), reach = box.middle, box.width / 2
        slot = reach * 0.5
        items.append(Disc(x, y, reach, "soft", HAIR, "paper"))
        items.append(Stroke(((x - slot, y), (x + slot, y)), "soft", HAIR))
        items.append(Stroke(((x, y - slot), (x, y + slot)), "soft", HAIR))
    return tuple(items)


def taken_by_fixings(front: SeenFront, frame: FrontFrame) -> tuple[Bounds, ...]:
    """The screws of rail and enclosure."""
    return tuple(
        covering(frame.paper.body(each.body))
        for each in front.pieces("rail-screw", "mounting-screw")
    )


def _said(front: SeenFront, words: str) -> str:
    return in_nec_words(words) if front.installation.rules == "nec" else words


# Line bar


@dataclass(frozen=True)
class _Along:
    """A line bar's own directions: `axis` runs along it, `sign` says where across it the devices
    are, `edge` is its side towards them.
    """

    paper: ScaledSheet
    axis: int
    sign: float
    edge: float

    def point(self, along: float, across: float) -> Point:
        """A point in mm on the sheet."""
        if self.axis == 0:
            return self.paper.x(along), self.paper.y(across)
        return self.paper.x(across), self.paper.y(along)

    def box(self, along: float, half: float, first: float, last: float) -> Rect:
        """A box `half` to both sides of `along`, between two places across, in mm."""
        (ax, ay), (bx, by) = self.point(along - half, first), self.point(along + half, last)
        return Rect(min(ax, bx), min(ay, by), abs(bx - ax), abs(by - ay))


def _directions(front: SeenFront, frame: FrontFrame, bar: LineBar) -> _Along:
    axis = 1 if bar.box.size(1) > bar.box.size(0) else 0
    across = 1 - axis
    sign = 1.0 if front.plan.block.middle(across) > bar.box.middle(across) else -1.0
    edge = bar.box.high[across] if sign > 0 else bar.box.low[across]
    return _Along(frame.paper, axis, sign, edge)


def line_bar(
    front: SeenFront, frame: FrontFrame, lettering: dict[str, tuple[Lettering, ...]]
) -> tuple[Group, ...]:
    """The bar that joins the devices, with its teeth and caps."""
    bar = front.plan.line_bar
    if bar is None:
        return ()
    busbar = front.installation.board.busbar
    style = "" if isinstance(busbar, Absent) else str(busbar.style)
    known = not isinstance(busbar, Absent) and is_known(busbar.style)
    body = boxed(frame.paper.body(bar.box), "ink", LINE, "panel", 2, "" if known else "5 3")
    items: list[Drawable] = []
    if style == "links":
        items += _links(front, frame)
    elif style == "tabs":
        items += [body, *_tabs(front, frame, bar)]
    else:
        along = _directions(front, frame, bar)
        items += [item for tooth in bar.teeth for item in _tooth(front, along, tooth, style)]
        items.append(body)
        items += [boxed(frame.paper.body(cap), "ink", HAIR, "casing") for cap in bar.caps]
        items += [
            boxed(frame.paper.body(each.body), "soft", HAIR, "plate", 2, "2 2")
            for each in front.pieces("tooth-cover")
        ]
    for name in (CAPTION, *(_letter(each) for each in range(len(bar.teeth)))):
        items += lettering.get(name, ())
    return (
        Group(
            LINE_BAR,
            tuple(items),
            bar_caption(front.installation),
            f"part line-bar {style}".strip(),
        ),
    )


def _letter(place: int) -> str:
    return f"{LINE_BAR}.tooth.{place}"


def _tooth(front: SeenFront, along: _Along, tooth: Tooth, style: str) -> list[Drawable]:
    """A pin under the clamp or a fork round the screw; a cap over what serves nothing."""
    spot = front.plan.spots.get(tooth.terminal)
    at = tooth.at[along.axis]
    if spot is None:  # under its cover
        return []
    reach = front.radius(spot)
    row = spot.at[1 - along.axis]
    if style != "fork":
        return [
            boxed(along.box(at, _PIN, along.edge, row - along.sign * reach), "ink", HAIR, "panel")
        ]
    side, neck = reach + 0.7, row - along.sign * (reach + 2)
    tip = row + along.sign * 0.8
    shank = along.point(at, along.edge), along.point(at, neck)
    prongs = tuple(
        along.point(at + shift, across)
        for shift, across in ((-side, tip), (-side, neck), (side, neck), (side, tip))
    )
    return [Stroke(shank, "ink", LINE), Stroke(prongs, "ink", LINE)]


def _links(front: SeenFront, frame: FrontFrame) -> list[Drawable]:
    """Wire links, each drawn."""
    return [Stroke(points, "ink", _WIRE_LINK, round=9) for points in _link_runs(front, frame)]


def _link_runs(front: SeenFront, frame: FrontFrame) -> Iterator[tuple[Point, ...]]:
    """A loop from each terminal to the next; two wires share a terminal between them."""
    spots, wiring = front.plan.spots, front.wiring
    bars = {part.name for part in wiring.parts if part.kind == "line-bar"}
    served: dict[str, str] = {}
    loops = []
    for conductor in wiring.conductors:
        ends = conductor.start, conductor.end
        if conductor.kind != "bar" or not set(ends) <= set(spots):
            continue
        on_bar = [end for end in ends if end.partition(".")[0] in bars]
        if len(on_bar) == 1:
            served[on_bar[0]] = next(end for end in ends if end not in on_bar)
        elif len(on_bar) == 2:
            loops.append(ends)
    for start, end in loops:
        run = [served.get(start, start), start, end, served.get(end, end)]
        yield tuple(frame.paper.at(spots[name].at) for name in dict.fromkeys(run))


def _tabs(front: SeenFront, frame: FrontFrame, bar: LineBar) -> Iterator[Drawable]:
    """The tabs of the bus, under the inner ends of the breakers."""
    half = 2.2 * frame.paper.scale
    for tooth in bar.teeth:
        spot = front.plan.spots.get(tooth.terminal)
        if spot is None:
            continue
        (ax, ay), (bx, by) = frame.paper.at(tooth.at), frame.paper.at(spot.at)
        if abs(ay - by) < 0.5:
            yield Box(min(ax, bx), ay - half, abs(bx - ax), 2 * half, "ink", HAIR, "plate")
        elif abs(ax - bx) < 0.5:
            yield Box(ax - half, min(ay, by), 2 * half, abs(by - ay), "ink", HAIR, "plate")


def taken_by_line_bar(front: SeenFront, frame: FrontFrame) -> tuple[Bounds, ...]:
    """What words must not lie on: the bar, and its teeth as far as the terminals."""
    bar = front.plan.line_bar
    if bar is None:
        return ()
    if front.tabbed:
        return tuple(outline(frame.paper.body(bar.box)))
    busbar = front.installation.board.busbar
    if is_known(busbar) and busbar.style == "links":
        return tuple(
            (min(ax, bx) - 3, min(ay, by) - 3, max(ax, bx) + 3, max(ay, by) + 3)
            for run in _link_runs(front, frame)
            for (ax, ay), (bx, by) in zip(run, run[1:])
        )
    along = _directions(front, frame, bar)
    boxes = [covering(frame.paper.body(each)) for each in (bar.box, *bar.caps)]
    for tooth in bar.teeth:
        spot = front.plan.spots.get(tooth.terminal)
        if spot is not None:
            last = spot.at[1 - along.axis]
            boxes.append(covering(along.box(tooth.at[along.axis], 3.4, along.edge, last)))
    boxes += [covering(frame.paper.body(each.body)) for each in front.pieces("tooth-cover")]
    return tuple(boxes)


def wishes_of_line_bar(front: SeenFront, frame: FrontFrame) -> tuple[Wish, ...]:
    """What the bar is, along its outer side or along the bus, and the line each tooth carries where
    there are several.
    """
    bar = front.plan.line_bar
    if bar is None:
        return ()
    whole = bar_caption(front.installation)
    forms = tuple(
        dict.fromkeys(
            (words,)
            for words in (whole, whole.rpartition(", ")[0], whole.partition(",")[0])
            if words
        )
    )
    box = frame.paper.body(bar.box)
    upright = box.height > box.width
    x, y = box.middle
    if front.tabbed:
        return (Wish(CAPTION, forms, (WordPlace(x, y, "over", turned=upright),)),)
    along = _directions(front, frame, bar)
    out = -along.sign
    letters = _letters(front, frame, bar, along) if len({t.line for t in bar.teeth}) > 1 else ()
    gap = 5 + (STEP + 2 if letters else 0)
    middle = frame.paper.rect(front.row).middle
    if upright:
        edge = box.right if out > 0 else box.x
        towards: Towards = "right" if out > 0 else "left"
        places = [WordPlace(edge, v, towards, gap, True) for v in (y, middle[1])]
    else:
        edge = box.bottom if out > 0 else box.y
        towards = "down" if out > 0 else "up"
        places = [WordPlace(h, edge, towards, gap) for h in (x, middle[0])]
    return (*letters, Wish(CAPTION, forms, tuple(places)))


def _letters(front: SeenFront, frame: FrontFrame, bar: LineBar, along: _Along) -> tuple[Wish, ...]:
    across = 1 - along.axis
    outer = bar.box.low[across] if along.sign > 0 else bar.box.high[across]
    sides: dict[tuple[int, float], Towards] = {
        (0, 1.0): "up",
        (0, -1.0): "down",
        (1, 1.0): "left",
        (1, -1.0): "right",
    }
    towards = sides[along.axis, along.sign]
    found = []
    for place, tooth in enumerate(bar.teeth):
        x, y = along.point(tooth.at[along.axis], outer)
        wrong = front.wrong_line(tooth)
        found.append(
            Wish(
                _letter(place),
                ((tooth.line,),) if tooth.line else (),
                (WordPlace(x, y, towards, 3),),
                wrong,
                "mark" if wrong else "soft",
            )
        )
    return tuple(found)


# Bars on the walls


def wall_bars(
    front: SeenFront, frame: FrontFrame, lettering: dict[str, tuple[Lettering, ...]]
) -> tuple[Group, ...]:
    """Neutral and earth bars with their names, and the tie to the metal of the enclosure."""
    groups = []
    for bar in front.plan.bars:
        words = bar_name(front, bar.name)
        outside = "" if _within(bar.box, front.plan.inner) else "5 3"
        box = boxed(frame.paper.body(bar.box), "ink", LINE, "panel", 2, outside)
        number = counted_words(len(front.wiring.terminals_of(bar.name)), "terminal")
        groups.append(
            Group(
                bar.name,
                (box, *lettering.get(bar.name, ())),
                f"{words[0].upper()}{words[1:]}, {number} in use",
                f"part {bar.name}",
            )
        )
    return (*groups, *_tie(front, frame))


def bar_name(front: SeenFront, name: str) -> str:
    """What a bar is called; the walls have no room for more."""
    return _said(front, bar_called(front.wiring, name))


def _within(box: Solid, inner: Solid) -> bool:
    return all(
        inner.low[axis] - 0.01 <= box.low[axis] and box.high[axis] <= inner.high[axis] + 0.01
        for axis in (0, 1)
    )


def _tie(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """From the earth bar to the metal: whole where it is joined, dashed where nobody knows; nothing
    where nothing joins it.
    """
    spot = front.plan.spots.get(ENCLOSURE)
    joints = front.completed.case.wiring.conductors_at(ENCLOSURE)
    if spot is None or not joints:
        return ()
    bar = min(
        (each for each in front.plan.bars if each.kind == "earth-bar"),
        key=lambda each: (
            abs(each.box.middle(0) - spot.at[0]) + abs(each.box.middle(1) - spot.at[1])
        ),
    )
    tie = earth_tie(front.completed, frame.paper.body(bar.box), frame.paper.at(spot.at))
    return (tie,) if tie else ()


def taken_by_bars(front: SeenFront, frame: FrontFrame) -> tuple[Bounds, ...]:
    """The bars and the tie."""
    boxes = [covering(frame.paper.body(bar.box)) for bar in front.plan.bars]
    spot = front.plan.spots.get(ENCLOSURE)
    if spot is not None:
        x, y = frame.paper.at(spot.at)
        boxes.append((x - 8, y - 8, x + 8, y + 8))
    return tuple(boxes)


def wishes_of_bars(front: SeenFront, frame: FrontFrame) -> tuple[Wish, ...]:
    """Their names: beyond an end, else inside beyond the numbers."""
    return tuple(
        Wish(bar.name, ((bar_name(front, bar.name),),), _name_places(frame, bar), True)
        for bar in front.plan.bars
    )


def _name_places(frame: FrontFrame, bar: BarBody) -> tuple[WordPlace, ...]:
    box = frame.paper.body(bar.box)
    x, y = box.middle
    inside: dict[str, tuple[WordPlace, ...]] = {
        "left": (WordPlace(box.right, y, "right", 24, True), WordPlace(box.right, y, "right", 24)),
        "right": (WordPlace(box.x, y, "left", 24, True), WordPlace(box.x, y, "left", 24)),
        "top": (WordPlace(x, box.bottom, "down", 18), WordPlace(x, box.bottom, "down", 34)),
        "bottom": (WordPlace(x, box.y, "up", 18), WordPlace(x, box.y, "up", 34)),
    }
    if box.height > box.width:
        ends = WordPlace(x, box.y, "up", 6, True), WordPlace(x, box.bottom, "down", 6, True)
    else:
        ends = WordPlace(box.x, y, "left", 6), WordPlace(box.right, y, "right", 22)
    return (*ends, *inside[bar.side])
