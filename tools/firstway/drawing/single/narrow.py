"""Drawing, single-line, last stage: what a narrow screen shows: the path without words, a number at
each place, and what the numbers say.
"""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from math import ceil, floor, hypot

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.numbered import COLUMN_PX, LEAST_PX, RING_OF_NUMBER
from firstway.drawing.sheet import (
    HAIR,
    Disc,
    Drawable,
    Group,
    Lettering,
    Narrow,
    Point,
    Ref,
    Sheet,
    Stroke,
)
from firstway.drawing.single import words
from firstway.drawing.single.call_outs import CalledOut
from firstway.drawing.single.places import (
    NumberedPlace,
    PlacedBar,
    PlacedBox,
    PlacedLink,
    PlacedSymbol,
    PlacedWire,
    PlacedWords,
    SinglePlaces,
    Thing,
)
from firstway.drawing.svg import PARTS
from firstway.rendering.figures import shown

_NUMBER, _FLAGGED = "place", "place-with-fault"
_EDGE = 6.0
_HALF_SYMBOL = 16.0
_CLEAR = 1.5
"""Between a ring and what lies beside it."""
_FOOT = 8.0  # how far the flag of a fault reaches below its ring
_FAR = 44
_ASIDE = sorted(
    {
        *product(range(-12, 13, 2), repeat=2),
        *product(range(-_FAR, _FAR + 1, 4), repeat=2),
    },
    key=lambda step: (hypot(*step), step),
)
"""How far a ring may be moved from its place, the least first."""


@dataclass(frozen=True)
class _Spot:
    """A number's place: what it stands for, and the middle of its ring."""

    told: NumberedPlace
    x: float
    y: float


def with_numbers(sheet: Sheet, places: SinglePlaces, called: CalledOut, rules: str) -> Sheet:
    """The sheet with numbers for narrow screens; elsewhere it is as it was."""
    told = [thing.told for thing in places.things if isinstance(thing, PlacedWords) and thing.told]
    across = [x for thing in places.things for x in _across(thing)]
    left, right = min(across), max(across)
    lines = [line for thing in places.things for line in _lines(thing)]
    flagged = {label for label, marks in called.marks.items() if any(mark.flag for mark in marks)}
    size = 0
    for _ in range(3):  # the larger the numbers, the wider what is shown, and so on
        before, size = size, ceil(LEAST_PX * _shown(left, right, sheet.width) / COLUMN_PX)
        if size == before:
            break
        spots = _spots(told, _ring(size), lines, flagged)
        left = min([*across, *(spot.x - _ring(size) for spot in spots)])
        right = max([*across, *(spot.x + _ring(size) for spot in spots)])
    rest = _without_place(told, called)
    key = [
        _sentence(spot.told, called, rules, rest if spot.told.label == "main-switch" else ())
        for spot in spots
    ]
    items: list[Drawable] = []
    for number, spot in enumerate(spots, 1):
        items += [
            Ref(spot.x, spot.y, _FLAGGED if spot.told.label in flagged else _NUMBER),
            Lettering(spot.x, spot.y + 0.36 * size, str(number), size, "middle"),
        ]
    return replace(
        sheet,
        groups=(*sheet.groups, Group("numbers", tuple(items), classes="numbers", hidden=True)),
        shapes={**sheet.shapes, **_shapes(_ring(size))},
        narrow=Narrow(
            max(left - _EDGE, 0.0),
            min(right + _EDGE, sheet.width),
            max([places.bottom, *(spot.y + 2 * _ring(size) for spot in spots)]),
            tuple(key),
        ),
    )


def _shown(left: float, right: float, width: float) -> float:
    """Units that a crop in steps shows at least."""
    step = width / PARTS
    return step * (ceil((right + _EDGE) / step) - floor((left - _EDGE) / step))


def _ring(size: float) -> float:
    """The radius of a ring round two figures."""
    return RING_OF_NUMBER * size


def _spots(
    told: Sequence[NumberedPlace], ring: float, lines: Sequence[Bounds], flagged: Collection[str]
) -> list[_Spot]:
    """Numbers in the order of reading: down, then across; each as near its place as it is clear of
    every line and of the numbers before it.
    """
    spots: list[_Spot] = []
    taken = list(lines)
    for each in sorted(told, key=lambda each: (each.y, each.x)):
        x, y = each.x + each.side * ring, each.y + each.down * ring
        below = ring + _FOOT * (each.label in flagged)
        around = _room(x, y, ring + _FAR, below + _FAR)
        near = [other for other in taken if meets(around, other)]
        for a, b in _ASIDE:
            room = _room(x + a, y + b, ring, below)
            if not any(meets(room, other) for other in near):
                x, y = x + a, y + b
                break
        spots.append(_Spot(each, x, y))
        taken.append((x - ring, y - ring, x + ring, y + below))
    return spots


def _room(x: float, y: float, ring: float, below: float) -> Bounds:
    """What a ring takes, with what is to be free beside it."""
    half = ring + _CLEAR
    return (x - half, y - half, x + half, y + below + _CLEAR)


def _lines(thing: Thing) -> Iterator[Bounds]:
    """The boxes of a thing's straight lines; of a symbol, of the whole."""
    runs: Sequence[Sequence[Point]] = ()
    if isinstance(thing, PlacedWire):
        runs = (thing.points,)
    elif isinstance(thing, PlacedBar):
        runs = (thing.ends,)
    elif isinstance(thing, PlacedLink):
        runs = thing.lines
    elif isinstance(thing, PlacedBox):
        x, y, right, bottom = thing.x, thing.y, thing.x + thing.width, thing.y + thing.height
        runs = (((x, y), (right, y), (right, bottom), (x, bottom), (x, y)),)
    elif isinstance(thing, PlacedSymbol):
        bottom = thing.load if "load" in thing.element.anchors else thing.y + 2 * _HALF_SYMBOL
        yield (thing.x - _HALF_SYMBOL, thing.y, thing.x + _HALF_SYMBOL, bottom)
    for (a, b), (c, d) in (pair for run in runs for pair in pairwise(run)):
        yield (min(a, c), min(b, d), max(a, c), max(b, d))


def _shapes(ring: float) -> dict[str, tuple[Drawable, ...]]:
    """The ring of a number, and the flag of one that has a fault."""
    foot = ring + _FOOT
    flag = ((-ring, foot), (-ring, -ring), (ring, -ring), (ring, ring), (-ring, ring))
    return {
        _NUMBER: (Disc(0, 0, ring, "ink", HAIR, "paper"),),
        _FLAGGED: (Stroke(flag, "mark", fill="paper"),),
    }


def _across(thing: Thing) -> Iterator[float]:
    """Where a thing lies from left to right, its words apart."""
    if isinstance(thing, PlacedSymbol):
        yield from (thing.x - _HALF_SYMBOL, thing.x + _HALF_SYMBOL)
    elif isinstance(thing, PlacedBox):
        yield from (thing.x, thing.x + thing.width)
    elif isinstance(thing, PlacedWire):
        yield from (x for x, _ in (*thing.points, *thing.dots))
    elif isinstance(thing, PlacedBar):
        yield from (x for x, _ in thing.ends)
    elif isinstance(thing, PlacedLink):
        yield from (x for line in thing.lines for x, _ in line)


def _without_place(told: Sequence[NumberedPlace], called: CalledOut) -> tuple[str, ...]:
    """Findings that stand at none of the numbers."""
    placed = {mark.words for each in told for mark in called.marks.get(each.label, ()) if mark.flag}
    return tuple(text for letter, _, text in called.flags if letter not in placed)


def _sentence(told: NumberedPlace, called: CalledOut, rules: str, rest: Sequence[str]) -> str:
    """What a number says: what stands there, the figures of the working, the findings."""
    figures = {str(number): step for number, step, _ in called.figures}
    findings = {letter: text for letter, _, text in called.flags}
    marks = called.marks.get(told.label, ())
    worked = [
        f"{words.step_words(step, rules)} {shown(step)}"
        for step in (figures[mark.words] for mark in marks if not mark.flag)
    ]
    found = [findings[mark.words] for mark in marks if mark.flag]
    lines = (re.sub(rf"^{words.UP_SYMBOL}(?= )", "protection level", line) for line in told.lines)
    parts = ["; ".join((", ".join(lines), *worked)), *found, *rest]
    return ". ".join(part.removesuffix(".") for part in parts if part) + "."
