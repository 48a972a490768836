"""Wiring view: free room on the paper, and the nearest of it to a conductor that wants its words.

The paper is cut into small cells; a row of cells is one whole number, so that a plate is tried at
every place of a row at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from math import ceil, dist, hypot, inf

from firstway.drawing.labels import Bounds
from firstway.drawing.sheet import Point
from firstway.frozen import dataclass

ROOM_CELL = 4.0
# what a leader pays for each line it crosses; cells it may reach; places compared
_CROSSED, _FAR, _TRIED = 45.0, 150, 12


@dataclass(frozen=True)
class FreeLabel:
    """Lines of text with their middle, and the leader from beside them to its conductor."""

    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]
    leader: tuple[Point, Point]


class FreeRoom:
    """What is taken of the paper: by anything, by lines, and by what no leader may cross."""

    def __init__(self, width: float, height: float) -> None:
        self.columns, self.rows = int(width / ROOM_CELL) + 1, int(height / ROOM_CELL) + 1
        self._all = [0] * self.rows
        self._lines = [0] * self.rows
        self._closed = [0] * self.rows
        self._full = (1 << self.columns) - 1
        self._fitting: dict[tuple[int, int, int], int] = {}

    def _fill(self, rows: list[int], bounds: Bounds) -> None:
        left, top, right, bottom = (int(each / ROOM_CELL) for each in bounds)
        left, top = left if left > 0 else 0, top if top > 0 else 0
        right = right if right < self.columns else self.columns - 1
        bottom = bottom if bottom < self.rows else self.rows - 1
        if right < left:
            return
        mask = ((1 << (right - left + 1)) - 1) << left
        for row in range(top, bottom + 1):
            rows[row] |= mask

    def take(self, bounds: Bounds, closed: bool = True) -> None:
        """A body or a text; where `closed`, leaders keep off it too."""
        self._fill(self._all, bounds)
        if closed:
            self._fill(self._closed, bounds)
        self._fitting.clear()

    def take_line(self, points: Sequence[Point], reach: float = 5.0, closed: bool = False) -> None:
        """A line with some room on both sides; where `closed`, no leader may cross it."""
        for (ax, ay), (bx, by) in zip(points, points[1:]):
            steps = (
                1 if ax == bx or ay == by else int(max(abs(bx - ax), abs(by - ay)) / ROOM_CELL) + 1
            )
            for step in range(steps):
                cx, cy = ax + (bx - ax) * step / steps, ay + (by - ay) * step / steps
                dx, dy = (
                    ax + (bx - ax) * (step + 1) / steps,
                    ay + (by - ay) * (step + 1) / steps,
                )
                box = (min(cx, dx), min(cy, dy), max(cx, dx), max(cy, dy))
                self._fill(self._closed if closed else self._lines, box)
                self._fill(
                    self._all, (box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach)
                )
        self._fitting.clear()

    def free(self, bounds: Bounds) -> bool:
        """Whether nothing is there."""
        left, top, right, bottom = bounds
        low, high = int(left / ROOM_CELL), int(right / ROOM_CELL)
        first, last = int(top / ROOM_CELL), int(bottom / ROOM_CELL)
        if low < 0 or first < 0 or high >= self.columns or last >= self.rows:
            return False
        mask = ((1 << (high - low + 1)) - 1) << low
        return not any(self._all[row] & mask for row in range(first, last + 1))

    def beside(
        self,
        anchors: Sequence[Point],
        shapes: Sequence[tuple[tuple[str, ...], float, float]],
        within: float = _FAR,
    ) -> FreeLabel | None:
        """The best free place for words (lines, width, height) near one of the anchors: a short
        leader that crosses few lines. It is taken; None where there is none.
        """
        best: tuple[float, FreeLabel] | None = None
        for extra, shape in enumerate(shapes):
            worse = 12.0 * extra
            most = best[0] - worse if best else inf
            found = self._best(anchors, shape, within, most)
            if found:
                best = found[0] + worse, found[1]
        if best is None:
            return None
        label = best[1]
        self.take(
            (
                label.x - label.width / 2 - 2,
                label.y - label.height / 2 - 1,
                label.x + label.width / 2 + 2,
                label.y + label.height / 2 + 1,
            )
        )
        self.take_line(label.leader, 2.0, True)
        return label

    def _best(
        self,
        anchors: Sequence[Point],
        shape: tuple[tuple[str, ...], float, float],
        within: float,
        most: float,
    ) -> tuple[float, FreeLabel] | None:
        """The place for words that costs least, and what it costs; None where all cost `most`."""
        lines, width, height = shape
        best: tuple[float, FreeLabel] | None = None
        reached = 0
        for length, anchor, x, y in self._near(anchors, shape, within, most):
            if reached == _TRIED or length >= most:
                break
            edge = _edge(x, y, width, height, anchor)
            crossed = self._crossed(anchor, edge)
            reached += crossed is not None
            if crossed is not None and length + _CROSSED * crossed < most:
                most = length + _CROSSED * crossed
                best = most, FreeLabel(x, y, width, height, lines, (edge, anchor))
        return best

    def _near(
        self,
        anchors: Sequence[Point],
        shape: tuple[tuple[str, ...], float, float],
        within: float,
        most: float,
    ) -> Iterator[tuple[float, Point, float, float]]:
        """Free places as length of the leader, anchor and middle, the nearest first: row by row
        away from all anchors at once, for few of them are asked for.
        """
        _, width, height = shape
        wide, high = ceil((width + 4) / ROOM_CELL) + 1, ceil((height + 2) / ROOM_CELL) + 1
        found: list[tuple[float, Point, float, float]] = []
        limits = dict.fromkeys(anchors, most)
        half, beside = height / 2, width / 2 + 1
        for step in range(int(within)):
            for anchor in [*limits]:
                if (step - high / 2 - 1) * ROOM_CELL > limits[anchor]:
                    del limits[anchor]
                    continue
                left, top = anchor
                middle = int(top / ROOM_CELL) - high // 2
                column = int(left / ROOM_CELL) - wide // 2
                for row in (middle - step, middle + step) if step else (middle,):
                    fitting = self._fits(row, wide, high)
                    if not fitting:
                        continue
                    down = abs(top - (y := (row + high / 2) * ROOM_CELL)) - half
                    for place in _nearest_bits(fitting, column):
                        across = abs(left - (x := (place + wide / 2) * ROOM_CELL)) - beside
                        length = hypot(across if across > 0 else 0.0, down if down > 0 else 0.0)
                        if length < limits[anchor] - _CROSSED:
                            limits[anchor] = length + _CROSSED
                        heappush(found, (length, anchor, x, y))
            nearest_to_come = (step - 0.5) * ROOM_CELL - height / 2
            while found and (found[0][0] < nearest_to_come or not limits):
                yield heappop(found)
            if not limits:
                return
        while found:
            yield heappop(found)

    def _fits(self, row: int, wide: int, high: int) -> int:
        """At which columns a plate may begin whose first row is this."""
        if row < 1 or row + high >= self.rows:
            return 0
        key = (row, wide, high)
        if key not in self._fitting:
            taken = 0
            for each in self._all[row : row + high]:
                taken |= each
            free, have = ~taken & self._full, 1
            while have < wide:
                step = min(have, wide - have)
                free &= free >> step
                have += step
            self._fitting[key] = free & ~1
        return self._fitting[key]

    def _crossed(self, anchor: Point, edge: Point) -> int | None:
        """How many lines a leader crosses; None where it would cross a body or a text."""
        length = dist(anchor, edge)
        count, on_line = 0, True
        for step in range(int(length / 2) + 1):
            share = min(step * 2 / length, 1.0) if length else 1.0
            x = anchor[0] + (edge[0] - anchor[0]) * share
            y = anchor[1] + (edge[1] - anchor[1]) * share
            row, bit = int(y / ROOM_CELL), 1 << int(x / ROOM_CELL)
            if not 0 <= row < self.rows:
                return None
            if self._closed[row] & bit and step > 2:
                return None
            here = bool(self._lines[row] & bit)
            count += here and not on_line
            on_line = here if step > 3 else True
        return count


def _nearest_bits(mask: int, column: int) -> list[int]:
    """The set bits nearest to a column, at most one on each side of it."""
    column = column if column > 0 else 0
    found = []
    if below := mask & ((1 << (column + 1)) - 1):
        found.append(below.bit_length() - 1)
    if above := mask >> (column + 1):
        found.append((above & -above).bit_length() + column)
    return found


def _edge(x: float, y: float, width: float, height: float, goal: Point) -> Point:
    """Where the leader leaves the words: the nearest place on their edge."""
    return (
        min(max(goal[0], x - width / 2 - 1), x + width / 2 + 1),
        min(max(goal[1], y - height / 2), y + height / 2),
    )


def away_from(point: Point, lines: Sequence[tuple[Point, Point]], reach: float) -> bool:
    """Whether a place is farther than `reach` from every straight line."""
    x, y = point
    for (ax, ay), (bx, by) in lines:
        if (
            x < min(ax, bx) - reach
            or x > max(ax, bx) + reach
            or y < min(ay, by) - reach
            or y > max(ay, by) + reach
        ):
            continue
        length = hypot(bx - ax, by - ay) or 1.0
        if abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length < reach:
            return False
    return True
