"""Board front: openings with what closes them: a bush or a gland with its locknut inside."""

from firstway.drawing.front.framing import FrontFrame, OutsideWords
from firstway.drawing.front.hardware import boxed
from firstway.drawing.front.lettering import STEP, Wish, WordPlace, covering
from firstway.drawing.front.scene import SeenFront
from firstway.drawing.front.words import opening_lines
from firstway.drawing.labels import Bounds
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import HAIR, LINE, Disc, Drawable, Group, Lettering, Stroke
from firstway.layout.plan import FittingKind, WallOpening

_INSIDE: tuple[FittingKind, ...] = ("locknut", "bush")
_OUTSIDE: tuple[FittingKind, ...] = ("gland", "bush")
_TAG: tuple[FittingKind, ...] = ("earth-tag", "earth-tag-bolt")


def openings_in_walls(
    front: SeenFront, frame: FrontFrame, cover_on: bool = False
) -> tuple[Group, ...]:
    """The openings in the walls with the words outside; what is inside only with the cover off."""
    return tuple(
        Group(
            _group_id(words.opening),
            (*_words(front, frame, words), *_through(front, frame, words.opening, cover_on)),
            _title(front, words.opening),
            "opening",
        )
        for words in frame.outside
    )


def openings_in_back(
    front: SeenFront, frame: FrontFrame, lettering: dict[str, tuple[Lettering, ...]]
) -> tuple[Group, ...]:
    """The openings behind the devices: the hole, and its locknut or bush round it."""
    groups = []
    for opening in _behind(front):
        x, y = frame.paper.at(opening.at)
        rings = tuple(
            Disc(x, y, wide / 2 * frame.paper.scale, "ink", line, fill)
            for wide, line, fill in (
                (opening.nut_mm, LINE, "panel"),
                (opening.hole_mm, HAIR, "paper"),
            )
        )
        name = _group_id(opening)
        groups.append(
            Group(name, (*rings, *lettering.get(name, ())), _title(front, opening), "opening")
        )
    return tuple(groups)


def wishes_of_openings(front: SeenFront, frame: FrontFrame) -> tuple[Wish, ...]:
    """The words of openings in the back, which stand inside."""
    found = []
    for opening in _behind(front):
        x, y = frame.paper.at(opening.at)
        away = opening.nut_mm / 2 * frame.paper.scale
        words = opening_lines(front.installation, opening.name)
        found.append(
            Wish(
                _group_id(opening),
                (words, (words[0], *words[-1:]), words[:1]),
                (
                    WordPlace(x + away, y, "right", 4),
                    WordPlace(x - away, y, "left", 4),
                    WordPlace(x, y + away, "down", 3),
                    WordPlace(x, y - away, "up", 3),
                ),
            )
        )
    return tuple(found)


def taken_by_openings(front: SeenFront, frame: FrontFrame) -> tuple[Bounds, ...]:
    """What words inside must not lie on."""
    return tuple(
        covering(frame.paper.body(each.body)) for each in front.pieces(*_INSIDE, *_OUTSIDE, *_TAG)
    )


def _behind(front: SeenFront) -> tuple[WallOpening, ...]:
    return tuple(each for each in front.plan.openings if each.side == "back")


def _group_id(opening: WallOpening) -> str:
    return f"opening.{opening.name}"


def _title(front: SeenFront, opening: WallOpening) -> str:
    return f"Opening for {', '.join(opening_lines(front.installation, opening.name))}"


def _through(
    front: SeenFront, frame: FrontFrame, opening: WallOpening, cover_on: bool
) -> list[Drawable]:
    """The gap in the wall, what stands outside it, and with the cover off what is inside."""
    outside = [
        each for each in front.pieces(*_OUTSIDE, of=opening.name) if each.faces == opening.side
    ]
    items: list[Drawable] = []
    for each in outside:
        box = frame.paper.body(each.body)
        items.append(boxed(box, "ink", HAIR, "panel", 2))
        items += _hexagon(box, opening) if each.kind == "gland" else []
    if cover_on:
        return items
    items.append(boxed(frame.paper.rect(_gap(front, opening)), "ink", HAIR, "paper"))
    for each in front.pieces(*_TAG, *_INSIDE, of=opening.name):
        if each.faces != opening.side:
            items.append(boxed(frame.paper.body(each.body), "ink", HAIR, "panel", 1))
    return items


def _gap(front: SeenFront, opening: WallOpening) -> Rect:
    """The hole through the wall, in mm."""
    plan, half = front.plan, opening.hole_mm / 2
    x, y = opening.at[0], opening.at[1]
    if opening.side in ("left", "right"):
        near, far = (
            (plan.outer.low[0], plan.inner.low[0])
            if opening.side == "left"
            else (plan.inner.high[0], plan.outer.high[0])
        )
        return Rect(near, y - half, far - near, 2 * half)
    near, far = (
        (plan.outer.low[1], plan.inner.low[1])
        if opening.side == "top"
        else (plan.inner.high[1], plan.outer.high[1])
    )
    return Rect(x - half, near, 2 * half, far - near)


def _hexagon(box: Rect, opening: WallOpening) -> list[Drawable]:
    """The two edges of a gland's six sides that are seen."""
    if opening.side in ("left", "right"):
        return [
            Stroke(((box.x, y), (box.right, y)), "soft", HAIR)
            for y in (box.y + box.height / 4, box.bottom - box.height / 4)
        ]
    return [
        Stroke(((x, box.y), (x, box.bottom)), "soft", HAIR)
        for x in (box.x + box.width / 4, box.right - box.width / 4)
    ]


def _words(front: SeenFront, frame: FrontFrame, words: OutsideWords) -> list[Drawable]:
    """The words outside; a leader runs to them where something stands out of the enclosure."""
    whole, paper, opening = front.whole, frame.paper, words.opening
    here = paper.at(opening.at)
    at = {
        "left": (paper.x(whole.x), here[1]),
        "right": (paper.x(whole.right), here[1]),
        "top": (here[0], paper.y(whole.y)),
        "bottom": (here[0], paper.y(whole.bottom)),
    }[opening.side]
    far = abs(at[0] - here[0]) + abs(at[1] - here[1])
    leader: list[Drawable] = [Stroke((here, at), "soft", HAIR)] if far > words.beyond else []
    return [*leader, *_lines(words, *at)]


def _lines(words: OutsideWords, x: float, y: float) -> list[Drawable]:
    side, lines = words.opening.side, words.lines
    middle = (len(lines) - 1) / 2
    if side in ("left", "right"):
        sign, anchor = (-1, "end") if side == "left" else (1, "start")
        return [
            Lettering(
                x + sign * words.beyond,
                y + 4.3 + STEP * (index - middle),
                line,
                anchor=anchor,
                bold=index == 0,
            )
            for index, line in enumerate(lines)
        ]
    up = side == "top"
    if words.turned:
        return [
            Lettering(
                x + 4.3 + STEP * (index - middle),
                y - words.beyond if up else y + words.beyond,
                line,
                anchor="start" if up else "end",
                bold=index == 0,
                turn=-90,
            )
            for index, line in enumerate(lines)
        ]
    first = y - words.beyond - STEP * (len(lines) - 1) if up else y + words.beyond + 10
    return [
        Lettering(x, first + STEP * index, line, anchor="middle", bold=index == 0)
        for index, line in enumerate(lines)
    ]
