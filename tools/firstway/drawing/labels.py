"""Drawing: finds a free place for a label on its own line, clear of every other line, text and part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterator, Sequence

from firstway.drawing.lanes import Point

Bounds = tuple[float, float, float, float]      # left, top, right, bottom


@dataclass(frozen=True)
class Label:
    """Lines of text centred at (x, y), with the plate they stand on."""

    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]


def meets(first: Bounds, second: Bounds) -> bool:
    return first[0] < second[2] and second[0] < first[2] and first[1] < second[3] and second[1] < first[3]


def around_line(points: Sequence[Point], reach: float) -> Iterator[Bounds]:
    """A box round each stretch of a line."""
    for (ax, ay), (bx, by) in zip(points, points[1:]):
        yield min(ax, bx) - reach, min(ay, by) - reach, max(ax, bx) + reach, max(ay, by) + reach


class Field:
    """What is taken, with its owner; the owner's own line does not stand in the way of its label."""

    def __init__(self) -> None:
        self.taken: list[tuple[Bounds, str]] = []

    def take(self, bounds: Bounds, owner: str = "") -> None:
        self.taken.append((bounds, owner))

    def take_line(self, points: Sequence[Point], owner: str, reach: float = 5.0) -> None:
        for bounds in around_line(points, reach):
            self.take(bounds, owner)

    def free(self, bounds: Bounds, owner: str) -> bool:
        return not any(name != owner and meets(bounds, box) for box, name in self.taken)

    def label_on(self, points: Sequence[Point], shapes: Sequence[tuple[tuple[str, ...], float, float]], owner: str) -> Label | None:
        """The first free place on the line: long stretches first, from the middle outwards, first shape first.

        `shapes` are (lines of text, width, height), the dearest last.
        """
        stretches = sorted(zip(points, points[1:]), key=_worth)
        for lines, width, height in shapes:
            for start, end in stretches:
                for x, y in _places(start, end, width, height):
                    bounds = (x - width / 2 - 2, y - height / 2 - 1.5, x + width / 2 + 2, y + height / 2 + 1.5)
                    if self.free(bounds, owner):
                        self.take(bounds, owner + " label")
                        return Label(x, y, width, height, lines)
        return None


def _worth(stretch: tuple[Point, Point]) -> tuple[float, float, float]:
    (ax, ay), (bx, by) = stretch
    level = ay == by
    return -(abs(bx - ax) + abs(by - ay)) * (1.0 if level else 0.6), ay, ax


def _places(start: Point, end: Point, width: float, height: float) -> Iterator[Point]:
    """Centres along a stretch that leave some line to see at both ends."""
    (ax, ay), (bx, by) = start, end
    level = ay == by
    length, own = abs(bx - ax) + abs(by - ay), (width if level else height)
    slack = (length - own) / 2 - 8
    if slack < 0:
        return
    middle = ((ax + bx) / 2, (ay + by) / 2)
    step, moved = 7.0, 0.0
    while moved <= slack:
        for sign in ((1,) if moved == 0 else (1, -1)):
            yield (middle[0] + sign * moved, middle[1]) if level else (middle[0], middle[1] + sign * moved)
        moved += step
