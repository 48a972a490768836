"""Board front: dimension lines of the enclosure and of its module places."""

from firstway.drawing.front.framing import FrontFrame
from firstway.drawing.front.lettering import STEP, TakenBoxes, texts
from firstway.drawing.front.scene import SeenFront
from firstway.drawing.front.words import mm
from firstway.drawing.labels import Bounds
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import HAIR, LINE, SMALLEST, Box, Drawable, Group, Point, Stroke
from firstway.drawing.text_width import reserved_width
from firstway.frozen import dataclass

_AWAY = (15.0, 24.0, 33.0)  # units from the devices at which the line of places is tried
_TICK, _FIGURE = 5.0, 13.0  # units from the line: reach of its ticks; middle of its figure


def enclosure_dimensions(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """Width below, height to the left of all that is drawn."""
    paper, outer, whole = frame.paper, front.plan.outer, front.whole
    width, height = front.given("width_mm"), front.given("height_mm")
    below = paper.y(whole.bottom) + frame.margin["bottom"] + 16
    beside = paper.x(whole.x) - frame.margin["left"] - 22
    left, right = paper.x(outer.low[0]), paper.x(outer.high[0])
    top, bottom = paper.y(outer.low[1]), paper.y(outer.high[1])
    return (
        _dimension(
            "width",
            (left, below),
            (right, below),
            mm(width, front.installation.rules) if width is not None else "width not known",
            (bottom + frame.margin["bottom"] + 2, below + 5),
        ),
        _dimension(
            "height",
            (beside, top),
            (beside, bottom),
            mm(height, front.installation.rules) if height is not None else "height not known",
            (left - frame.margin["left"] - 6, beside - 5),
        ),
    )


def _dimension(
    name: str, start: Point, end: Point, words: str, reach: tuple[float, float]
) -> Group:
    """A dimension line with its figure in a gap; `reach`: from where to where the lines beside it
    run.
    """
    level = start[1] == end[1]
    items: list[Drawable] = []
    for x, y in (start, end):
        run = ((x, reach[0]), (x, reach[1])) if level else ((reach[0], y), (reach[1], y))
        items.append(Stroke(run, "soft", HAIR))
        items.append(Stroke(((x - 4, y + 4), (x + 4, y - 4)), "ink", LINE))
    items.append(Stroke((start, end), "soft", HAIR))
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    wide = reserved_width(words, SMALLEST) + 10
    gap = (
        Box(x - wide / 2, y - 8, wide, 16, "none", 0, "paper")
        if level
        else Box(x - 8, y - wide / 2, 16, wide, "none", 0, "paper")
    )
    items += [gap, *texts((words,), x, y, not level)]
    return Group(f"dimension.{name}", tuple(items), f"{name.capitalize()}: {words}", "dimension")


@dataclass(frozen=True)
class PlacesLine:
    """Where the dimension line of the module places runs, and where its figure stands."""

    start: Point
    end: Point
    words: str
    at: Point

    @property
    def level(self) -> bool:
        """Whether it runs across."""
        return self.start[1] == self.end[1]


def places_line(front: SeenFront, frame: FrontFrame, field: TakenBoxes) -> PlacesLine | None:
    """A free line beside the devices, on the side away from the line bar first; None where nothing
    is free. It is taken from the field.
    """
    row = frame.paper.rect(front.row)
    if not front.module or not row.width:
        return None
    level = not front.plan.upright
    long = row.width if level else row.height
    number = round(long / (front.module * frame.paper.scale))
    rules = front.installation.rules
    words = f"{number} × {mm(front.module, rules)} = {mm(round(number * front.module, 1), rules)}"
    if reserved_width(words, SMALLEST) > long:
        words = f"{number} × {mm(front.module, rules)}"
    for side in _sides(front, level):
        for away in _AWAY:
            found = _line_at(row, level, side, away, words)
            wide = max(long, reserved_width(words, SMALLEST)) / 2
            box = _around(found, wide)
            if field.free(box) and _inside(box, frame, front):
                field.take(box)
                return found
    return None


def _sides(front: SeenFront, level: bool) -> tuple[int, int]:
    """-1 before the devices (above, to the left), 1 after them."""
    bar = front.plan.line_bar
    axis = 1 if level else 0
    before = bar is None or front.tabbed or bar.box.middle(axis) > front.plan.block.middle(axis)
    return (-1, 1) if before else (1, -1)


def _line_at(row: Rect, level: bool, side: int, away: float, words: str) -> PlacesLine:
    x, y = row.middle
    if level:
        at = row.y - away if side < 0 else row.bottom + away
        return PlacesLine((row.x, at), (row.right, at), words, (x, at + side * _FIGURE))
    at = row.x - away if side < 0 else row.right + away
    return PlacesLine((at, row.y), (at, row.bottom), words, (at + side * _FIGURE, y))


def _around(line: PlacesLine, half: float) -> Bounds:
    (ax, ay), (bx, by) = line.start, line.end
    x, y = line.at
    deep = STEP / 2 + 1
    if line.level:
        return (
            min(ax, x - half) - 4,
            min(ay - _TICK, y - deep),
            max(bx, x + half) + 4,
            max(ay + _TICK, y + deep),
        )
    return (
        min(ax - _TICK, x - deep),
        min(ay, y - half) - 4,
        max(ax + _TICK, x + deep),
        max(by, y + half) + 4,
    )


def _inside(box: Bounds, frame: FrontFrame, front: SeenFront) -> bool:
    outer = frame.paper.body(front.plan.inner)
    return (
        box[0] >= outer.x and box[1] >= outer.y and box[2] <= outer.right and box[3] <= outer.bottom
    )


def places_dimension(
    front: SeenFront, frame: FrontFrame, line: PlacesLine | None
) -> tuple[Group, ...]:
    """The line with a tick at each place."""
    if line is None:
        return ()
    pitch = front.module * frame.paper.scale
    (ax, ay), (bx, by) = line.start, line.end
    number = round(max(bx - ax, by - ay) / pitch)
    items: list[Drawable] = [Stroke((line.start, line.end), "soft", HAIR)]
    for place in range(number + 1):
        x, y = (ax + place * pitch, ay) if line.level else (ax, ay + place * pitch)
        ends = place in (0, number)
        big = 4 if ends else 2.5
        run = ((x - big, y + big), (x + big, y - big))
        items.append(Stroke(run, "ink" if ends else "soft", LINE if ends else HAIR))
    items += texts((line.words,), *line.at, not line.level)
    return (Group("dimension.modules", tuple(items), f"Module places: {line.words}", "dimension"),)
