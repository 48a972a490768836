"""Drawing: finds a free place for a label on its own line, clear of every other line, text and
part.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firstway.drawing.sheet import Point

Bounds = tuple[float, float, float, float]  # left, top, right, bottom
Shape = tuple[tuple[str, ...], float, float]  # lines of text, width, height
_ENDS = 6.0  # line to see at both ends of a label


@dataclass(frozen=True)
class Label:
    """Lines of text centred at (x, y), with the plate they stand on; not `upright`: turned to read
    upwards.
    """

    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]
    upright: bool = True


def meets(first: Bounds, second: Bounds) -> bool:
    return (
        first[0] < second[2]
        and second[0] < first[2]
        and first[1] < second[3]
        and second[1] < first[3]
    )


def around_line(points: Sequence[Point], reach: float) -> Iterator[Bounds]:
    """A box round each stretch of a line."""
    for (ax, ay), (bx, by) in zip(points, points[1:]):
        yield min(ax, bx) - reach, min(ay, by) - reach, max(ax, bx) + reach, max(ay, by) + reach


class Field:
    """What is taken, with its owner; the owner's own line does not stand in the way of
    its label.
    """

    def __init__(self) -> None:
        self.taken: list[tuple[Bounds, str]] = []

    def take(self, bounds: Bounds, owner: str = "") -> None:
        self.taken.append((bounds, owner))

    def take_line(self, points: Sequence[Point], owner: str, reach: float = 5.0) -> None:
        for bounds in around_line(points, reach):
            self.take(bounds, owner)

    def free(self, bounds: Bounds, owners: frozenset[str] = frozenset()) -> bool:
        return not any(meets(bounds, box) for box, name in self.taken if name not in owners)

    def label_on(
        self, points: Sequence[Point], shapes: Sequence[Shape], owners: frozenset[str]
    ) -> Label | None:
        """A free place on the line: first shape first, long stretches first, as near the middle as
        may be.

        Where no shape fits level, they are tried turned, along the stretches that run down.
        """
        stretches = sorted(zip(points, points[1:]), key=_worth)
        for turned in (False, True):
            for lines, width, height in shapes:
                for start, end in stretches:
                    if turned and start[1] == end[1]:
                        continue
                    wide, high = (height, width) if turned else (width, height)
                    place = self._place(start, end, wide, high, owners)
                    if place is not None:
                        x, y = place
                        self.take(
                            (
                                x - wide / 2 - 2,
                                y - high / 2 - 1.5,
                                x + wide / 2 + 2,
                                y + high / 2 + 1.5,
                            )
                        )
                        return Label(x, y, wide, high, lines, upright=not turned)
        return None

    def _place(
        self, start: Point, end: Point, width: float, height: float, owners: frozenset[str]
    ) -> Point | None:
        """The free centre nearest the middle of a stretch that leaves some line to see at both
        ends.
        """
        level = start[1] == end[1]
        along = 0 if level else 1
        low, high = sorted((start[along], end[along]))
        half, across = (
            (width / 2 + 2, height / 2 + 1.5) if level else (height / 2 + 1.5, width / 2 + 2)
        )
        low, high, fixed = low + half + _ENDS, high - half - _ENDS, start[1 - along]
        if low > high:
            return None
        closed = []
        for box, name in self.taken:
            if (
                name not in owners
                and box[1 - along] < fixed + across
                and box[3 - along] > fixed - across
            ):
                closed.append((box[along] - half, box[along + 2] + half))
        centre = _nearest_open((low + high) / 2, low, high, closed)
        return None if centre is None else ((centre, fixed) if level else (fixed, centre))


def _nearest_open(
    wanted: float, low: float, high: float, closed: Sequence[tuple[float, float]]
) -> float | None:
    """The value nearest to `wanted` in [low, high] inside no open interval of `closed`."""
    tries = [wanted] + [edge for pair in closed for edge in pair if low <= edge <= high]
    tries.sort(key=lambda value: (abs(value - wanted), value))
    for value in tries:
        if not any(a < value < b for a, b in closed):
            return value
    return None


def _worth(stretch: tuple[Point, Point]) -> tuple[float, float, float]:
    (ax, ay), (bx, by) = stretch
    level = ay == by
    return -(abs(bx - ax) + abs(by - ay)) * (1.0 if level else 0.6), ay, ax
