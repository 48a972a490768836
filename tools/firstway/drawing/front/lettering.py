"""Board front: words in the places that are free for them: on no line, on no other word."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import SMALLEST, Lettering
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.frozen import dataclass
from firstway.layout.plan import Side

Lines = tuple[str, ...]
Towards = Literal["left", "right", "up", "down", "over"]
TOWARDS: dict[Side, Towards] = {"top": "up", "bottom": "down", "left": "left", "right": "right"}
"""The way a side faces, as a place for words."""
STEP = 14.5  # from line to line
_FIRST = 11.8  # height of one line
_CLEAR = 1.2  # kept between words and what is taken


@dataclass(frozen=True)
class WordPlace:
    """A place for words: beside a point, on the side named; `turned` reads upwards."""

    x: float
    y: float
    towards: Towards
    gap: float = 0.0
    turned: bool = False


class TakenBoxes:
    """What words must not lie on."""

    def __init__(self, boxes: Iterable[Bounds] = ()) -> None:
        self._boxes = list(boxes)

    def take(self, box: Bounds) -> None:
        """One more."""
        self._boxes.append(box)

    def free(self, box: Bounds) -> bool:
        """Whether a box lies on none of them."""
        return not any(meets(box, each) for each in self._boxes)


@dataclass(frozen=True)
class Wish:
    """Words of a thing that want a place: their forms, the fullest first, each tried at all places
    before the next.
    """

    owner: str
    forms: tuple[Lines, ...]
    places: tuple[WordPlace, ...]
    bold: bool = False
    ink: str = "ink"


def settled(
    wishes: Sequence[Wish], field: TakenBoxes, within: Rect
) -> dict[str, tuple[Lettering, ...]]:
    """The words of each wish that found a place, in the order of the wishes; the others are left to
    the notes and the tooltips.
    """
    found: dict[str, tuple[Lettering, ...]] = {}
    for wish in wishes:
        for lines, place in ((form, place) for form in wish.forms for place in wish.places):
            box = _bounds(lines, place, wish.bold)
            inside = (
                box[0] >= within.x
                and box[1] >= within.y
                and box[2] <= within.right
                and box[3] <= within.bottom
            )
            if lines and inside and field.free(box):
                field.take(box)
                middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
                found[wish.owner] = texts(lines, *middle, place.turned, wish.bold, wish.ink)
                break
    return found


def _bounds(lines: Lines, place: WordPlace, bold: bool) -> Bounds:
    long = max((reserved_width(line, SMALLEST, bold) for line in lines), default=0.0)
    deep = STEP * (len(lines) - 1) + _FIRST
    wide, high = (deep, long) if place.turned else (long, deep)
    dx, dy = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1), "over": (0, 0)}[
        place.towards
    ]
    x = place.x + dx * (wide / 2 + place.gap)
    y = place.y + dy * (high / 2 + place.gap)
    return (
        x - wide / 2 - _CLEAR,
        y - high / 2 - _CLEAR,
        x + wide / 2 + _CLEAR,
        y + high / 2 + _CLEAR,
    )


def texts(
    lines: Sequence[str],
    x: float,
    y: float,
    turned: bool = False,
    bold: bool = False,
    ink: str = "ink",
    *,
    first_bold: bool = False,
) -> tuple[Lettering, ...]:
    """Lines centred about a point."""
    found = []
    for index, line in enumerate(lines):
        shift = STEP * (index - (len(lines) - 1) / 2) + 4.3
        at = (x + shift, y) if turned else (x, y + shift)
        found.append(
            Lettering(
                *at,
                line,
                anchor="middle",
                bold=bold or first_bold and index == 0,
                ink=ink,
                turn=-90 if turned else 0,
            )
        )
    return tuple(found)


def outline(box: Rect, reach: float = 1.0) -> Iterator[Bounds]:
    """The four sides of a rectangle, as what words must not lie on."""
    x, y, right, bottom = box.x, box.y, box.right, box.bottom
    for a, b, c, d in (
        (x, y, right, y),
        (x, bottom, right, bottom),
        (x, y, x, bottom),
        (right, y, right, bottom),
    ):
        yield a - reach, b - reach, c + reach, d + reach


def covering(box: Rect, reach: float = 1.0) -> Bounds:
    """A rectangle with all it covers."""
    return box.x - reach, box.y - reach, box.right + reach, box.bottom + reach


def fitted(name: str, facts: Lines, width: float, height: float) -> tuple[Lines, bool] | None:
    """The fullest words that fit a box, name first, and whether they are turned; None: not even
    the name fits.
    """
    for wanted in (facts, facts[:2], facts[:1], ()):
        for turned in (False, True):
            along, across = (height, width) if turned else (width, height)
            for lines in (_each(name, wanted, along), _joined(name, wanted, along)):
                if (
                    STEP * len(lines) <= across
                    and reserved_width(lines[0], SMALLEST, True) <= along
                    and all(reserved_width(line, SMALLEST) <= along for line in lines[1:])
                ):
                    return lines, turned
    return None


def _each(name: str, facts: Lines, along: float) -> Lines:
    return (name, *(line for fact in facts for line in wrapped(fact, SMALLEST, along)))


def _joined(name: str, facts: Lines, along: float) -> Lines:
    return (name, *wrapped(", ".join(facts), SMALLEST, along)) if facts else (name,)


def left_of(box: Rect, blocked: Iterable[Bounds]) -> Rect:
    """The part of a box that lies beside all that is painted over it: the largest piece after each
    cut.
    """
    for low_x, low_y, high_x, high_y in blocked:
        if meets((box.x, box.y, box.right, box.bottom), (low_x, low_y, high_x, high_y)):
            x, y = max(low_x, box.x), max(low_y, box.y)
            right, bottom = min(high_x, box.right), min(high_y, box.bottom)
            box = max(
                Rect(box.x, box.y, x - box.x, box.height),
                Rect(right, box.y, box.right - right, box.height),
                Rect(box.x, box.y, box.width, y - box.y),
                Rect(box.x, bottom, box.width, box.bottom - bottom),
                key=lambda piece: piece.width * piece.height,
            )
    return box


def in_box(
    words: Iterable[str], along: float, across: float, bold: bool = False
) -> tuple[Lines, bool] | None:
    """The first of some words that fit a box of `along` by `across`, level before turned."""
    for each in words:
        for turned in (False, True):
            room, deep = (across, along) if turned else (along, across)
            lines = wrapped(each, SMALLEST, room, bold)
            if STEP * len(lines) <= deep + 1 and all(
                reserved_width(line, SMALLEST, bold) <= room for line in lines
            ):
                return lines, turned
    return None
