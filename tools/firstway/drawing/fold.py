"""Drawing: where a sheet that is too tall for one page of paper is parted: in a level gap between
its words, near its middle, where few lines run down.
"""

from bisect import bisect_left
from collections.abc import Iterator

from firstway.drawing.sheet import (
    SMALLEST,
    Box,
    Drawable,
    Lettering,
    PlacedDrawing,
    Ref,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.text_width import reserved_width

TALLEST = 1460.0
"""Units that fit one upright page of A4 below a heading with the least letters at 5.3 points: 230
mm are 652 points. A board cut in two is worse to follow than letters that small.
"""
_UPRIGHT = 1.05 * 230 / 182
"""Height over width of the room of such a page: a sheet hardly taller than that is printed as wide
as the page, and in parts its letters would be hardly larger.
"""
_FIRST, _LAST = 0.3, 0.7  # of the height: between which a sheet may be parted
_ROOM = 30.0  # units: a wider gap is no better
_SMALL = 160.0  # units: a box up to this high stays whole
_SYMBOL = 40.0  # units: how far a symbol reaches from its terminal at most
_CUT = 8.0  # what a line that is cut is worth, in units of gap


def fold_of(sheet: Sheet) -> float:
    """How far down a sheet is parted in print, in units; 0 where it fits one page."""
    if sheet.height <= max(TALLEST, sheet.width * _UPRIGHT):
        return 0.0
    middle, low = sheet.height / 2, sheet.height * _FIRST
    running = list(_running(sheet))
    tops, bottoms = sorted(top for top, _ in running), sorted(bottom for _, bottom in running)
    found, best = middle, -float("inf")
    for top, bottom in (*sorted(_whole(sheet)), (sheet.height, sheet.height)):
        high = min(top, sheet.height * _LAST)
        if high > low:
            at = (low + high) / 2
            cut = bisect_left(tops, at) - bisect_left(bottoms, at)
            worth = min(high - low, _ROOM) - _ROOM * abs(at - middle) / middle - _CUT * cut
            found, best = (at, worth) if worth > best else (found, best)
        low = max(low, bottom)
    return found


def _running(sheet: Sheet) -> Iterator[tuple[float, float]]:
    """From where to where lines and large boxes run, which may be cut."""
    for group in sheet.groups:
        for item in group.items:
            if isinstance(item, (Stroke, Strands)):
                heights = [y for _, y in item.points]
                yield min(heights), max(heights)
            elif isinstance(item, Box) and item.height > _SMALL:
                yield item.y, item.y + item.height


def _whole(sheet: Sheet) -> Iterator[tuple[float, float]]:
    """From where to where the things reach that are not cut through."""
    return (
        reach
        for group in sheet.groups
        if not group.hidden
        for item in group.items
        if (reach := _reach(item)) is not None
    )


def _reach(item: Drawable) -> tuple[float, float] | None:
    if isinstance(item, Lettering):
        half = reserved_width(item.words, item.size, item.bold) if item.turn else 0.0
        return item.y - half - item.size * 0.8, item.y + half + item.size * 0.25
    if isinstance(item, Box):
        return (item.y, item.y + item.height) if item.height <= _SMALL else None
    if isinstance(item, (PlacedDrawing, Ref)):
        half = _SYMBOL if isinstance(item, PlacedDrawing) else SMALLEST
        return item.y - half, item.y + half
    return None
