"""Drawing: what a narrow screen shows of a board: the drawing as wide as the column, its words
left out, a number at each part, and what the numbers say.

A number stands where the layout found room for the part's own words. What lies at no part (a
conductor, a size) is said with the part it comes from, or after the numbers.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from math import ceil, floor, hypot

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.sheet import (
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Narrow,
    Point,
    Ref,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.svg import PARTS, WORDED
from firstway.drawing.text_width import reserved_width
from firstway.rendering.html import sentence

COLUMN_PX, LEAST_PX = 306.0, 9.0
"""What the column of a page leaves a drawing on a screen of 360 px, and the least text on it."""
RING_OF_NUMBER = 0.68
"""How far a number of two figures reaches, of their size."""
_TERMINAL = 8.0
_CLEAR, _EDGE, _MARGIN, _NEAR = 1.5, 6.0, 40.0, 12.0
_FAR = 60
_ASIDE = sorted(product(range(-_FAR, _FAR + 1, 4), repeat=2), key=lambda step: (hypot(*step), step))
"""How far a ring may be moved from its place, the least first."""
_NO_PLACE = {"terminal", "dimension", "label", "notes", "key", "title-block", "caution"}


@dataclass(frozen=True)
class _Place:
    group: Group
    x: float
    y: float
    on: Bounds | None  # the body that it stands on


def numbered_parts(
    sheet: Sheet,
    joined_to: Mapping[str, Sequence[str]],
    right: float,
    bottom: float,
    besides: Sequence[str] = (),
) -> Sheet:
    """The sheet with a number at each part that has words; elsewhere than on narrow screens it is
    as it was.

    `joined_to` says more of a part by its id, `besides` what belongs to none; beyond `right`
    and below `bottom` a narrow screen shows nothing.
    """
    size = ceil(LEAST_PX * _shown(right, sheet.width) / COLUMN_PX)
    ring = RING_OF_NUMBER * size
    found = sorted(_places(sheet.groups, ring), key=lambda each: (round(each.y / 24), each.x))
    spots = _spots(found, _taken(sheet.groups), ring, right)
    items: list[Drawable] = []
    for number, (x, y) in enumerate(spots, 1):
        items.append(Lettering(round(x), round(y + 0.36 * size), str(number), size, "middle", True))
    numbers = Group("numbers", tuple(items), "", "numbers on-paper", hidden=True, unnamed=True)
    key = [_said(each.group, joined_to.get(each.group.id, ())) for each in found]
    return replace(
        sheet,
        groups=(*sheet.groups, numbers),
        narrow=Narrow(
            0.0,
            right,
            max([bottom, *(y + ring + _EDGE for _, y in spots)]),
            tuple(key),
            tuple(besides),
        ),
    )


def shown_around(sheet: Sheet, groups: Sequence[Group]) -> Bounds | None:
    """What of the sheet a narrow screen shows that is to see these groups: at least as much as
    shows words, where the edges cut fewest of them; None where there are none.
    """
    points = [at for group in groups for item in group.items for at in _corners(item)]
    if not points:
        return None
    (left, right), (top, bottom) = (
        (min(each), max(each)) for each in ([x for x, _ in points], [y for _, y in points])
    )
    worded = WORDED - 2 * sheet.width / PARTS  # a crop goes by whole steps
    wide = max(right - left + 2 * _MARGIN, worded)
    top, bottom = max(top - _MARGIN, 0.0), bottom + _MARGIN
    words = [
        (x, x + reserved_width(item.words, item.size, item.bold))
        for group in sheet.groups
        if not _NO_PLACE - {"terminal", "dimension", "label"} & set(group.classes.split())
        for item in group.items
        if isinstance(item, Lettering) and not item.turn and top < item.y < bottom
        for x in [_begins(item)]
    ]

    def cut(start: float) -> tuple[int, float]:
        edges = start, start + wide
        count = sum(low < edge < high for low, high in words for edge in edges)
        return count, abs(start - middle)

    middle = (left + right - wide) / 2
    step = sheet.width / PARTS
    first, last = max(right + _NEAR - wide, 0.0), min(left - _NEAR, sheet.width - wide)
    tried = [each * step for each in range(ceil(first / step), floor(last / step) + 1)]
    if tried and wide == worded:
        start = min(tried, key=cut)
    else:
        start = min(max(middle, 0.0), max(sheet.width - wide, 0.0))
    return start, top, min(start + wide, sheet.width), bottom


def _begins(text: Lettering) -> float:
    """The left end of a level text."""
    wide = reserved_width(text.words, text.size, text.bold)
    return text.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * wide


def _corners(item: Drawable) -> tuple[Point, ...]:
    if isinstance(item, Box):
        return (item.x, item.y), (item.x + item.width, item.y + item.height)
    return item.points if isinstance(item, (Strands, Stroke)) else ()


def _shown(right: float, width: float) -> float:
    """Units that a crop in steps shows."""
    return ceil(right / width * PARTS) * width / PARTS


def _places(groups: Sequence[Group], ring: float) -> Iterator[_Place]:
    """Parts with words, each where its words stand."""
    for group in groups:
        texts = [item for item in group.items if isinstance(item, Lettering)]
        if not group.title or not texts or _NO_PLACE & set(group.classes.split()):
            continue
        x = (min(map(_left, texts)) + max(map(_right, texts))) / 2
        y = (min(each.y for each in texts) + max(each.y for each in texts)) / 2 - 4
        boxes = (_box(item) for item in group.items if isinstance(item, Box))
        on = next((each for each in boxes if _inside((x, y), each, 0)), None)
        yield _Place(group, x, y, on)


def _left(text: Lettering) -> float:
    return text.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * _wide(text)


def _right(text: Lettering) -> float:
    return _left(text) + _wide(text)


def _wide(text: Lettering) -> float:
    return 0.0 if text.turn else 0.5 * text.size * len(text.words)


def _box(item: Box) -> Bounds:
    return item.x, item.y, item.x + item.width, item.y + item.height


def _inside(at: tuple[float, float], box: Bounds, ring: float) -> bool:
    x, y = at
    return box[0] + ring < x < box[2] - ring and box[1] + ring < y < box[3] - ring


def _taken(groups: Sequence[Group]) -> list[Bounds]:
    """What a number may not hide: lines of conductors, terminals, edges of bodies."""
    found: list[Bounds] = []
    for group in groups:
        for item in group.items:
            if isinstance(item, (Stroke, Strands)):
                runs = (item.points, *(item.more if isinstance(item, Strands) else ()))
                found += [
                    (min(a, c), min(b, d), max(a, c), max(b, d))
                    for run in runs
                    for (a, b), (c, d) in pairwise(run)
                ]
            elif isinstance(item, (Ref, Disc)):
                reach = _TERMINAL if isinstance(item, Ref) else item.radius
                x, y = (item.x, item.y)
                found.append((x - reach, y - reach, x + reach, y + reach))
            elif isinstance(item, Box):
                left, top, right, low = _box(item)
                found += [(left, top, right, top), (left, low, right, low)]
                found += [(left, top, left, low), (right, top, right, low)]
    return found


def _spots(
    found: Sequence[_Place], taken: Sequence[Bounds], ring: float, width: float
) -> list[tuple[float, float]]:
    """Each number as near its place as it is clear of lines and of the numbers before it; where
    nowhere is, at its place, clear of the numbers.
    """
    bodies = [
        _box(item)
        for group in (each.group for each in found)
        for item in group.items[:1]
        if isinstance(item, Box)
    ]
    spots: list[tuple[float, float]] = []
    rooms: list[Bounds] = []
    for place in found:
        far = _room(place.x, place.y, ring + _FAR)
        others = (*rooms, *(() if place.on else bodies))
        apart = [each for each in others if meets(far, each)]
        near = [each for each in taken if meets(far, each)]
        second = None
        for at in _ways(place, ring, width):
            room = _room(*at, ring)
            if not _meets(room, apart):
                second = second or at
                if not _meets(room, near):
                    break
        else:
            at = second or (place.x, place.y)
        spots.append(at)
        rooms.append(_room(*spots[-1], ring))
    return spots


def _ways(place: _Place, ring: float, width: float) -> Iterator[tuple[float, float]]:
    """Where a number may stand, the nearest first: on the sheet, and on its body."""
    for a, b in _ASIDE:
        x, y = place.x + a, place.y + b
        on = place.on is None or _inside((x, y), place.on, 0)
        if on and ring < x < width - ring and y > ring:
            yield x, y


def _meets(room: Bounds, others: Collection[Bounds]) -> bool:
    return any(meets(room, each) for each in others)


def _room(x: float, y: float, ring: float) -> Bounds:
    half = ring + _CLEAR
    return x - half, y - half, x + half, y + half


def _said(group: Group, more: Sequence[str]) -> str:
    """A part by its title, what stands on it beside that, and what is joined to it."""
    texts = [item for item in group.items if isinstance(item, Lettering)]
    name = " ".join(item.words for item in texts if item.bold)
    title = name if name and name.casefold() not in group.title.casefold() else group.title
    last = title.rsplit(", ", 1)[-1]
    lines = [item.words.removeprefix(last).strip() for item in texts if not item.bold]
    rest = " ".join(
        each
        for before, each in pairwise(["", *lines])
        if before.endswith(",") or not each.isupper() and each.casefold() not in title.casefold()
    )
    return " ".join(sentence(each) for each in (f"{title}{': ' if rest else ''}{rest}", *more))
