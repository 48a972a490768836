"""Wiring view: where a conductor that passes under another at a small angle is cut square, so that
the gap leaves no spike of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import dist

from firstway.drawing.line_styles import CASING, HALO
from firstway.drawing.sheet import Point

_Piece = tuple[Point, Point]
_SHALLOW = 0.5  # sine of the angle from which on the cut of a gap is no spike
_ALIKE = 0.02  # sine of an angle that is none: they run side by side


def square_cuts(
    under: Sequence[Point], width: float, over: Sequence[Point], over_width: float
) -> Iterator[_Piece]:
    """The stretches of a line that another crosses at a small angle, from where its gap begins to
    cut the line to where it no longer does; `width`: of the insulation of both, in units.
    """
    slanting = [piece for piece in pairwise(over) if _slants(piece)]
    for piece in pairwise(under):
        for other in pairwise(over) if _slants(piece) else slanting:
            found = _cut(piece, (width + CASING) / 2, other, (over_width + HALO) / 2)
            if found:
                yield found


def _slants(piece: _Piece) -> bool:
    (ax, ay), (bx, by) = piece
    return ax != bx and ay != by


def _cut(under: _Piece, half: float, over: _Piece, gap: float) -> _Piece | None:
    (ax, ay), (bx, by) = under
    (cx, cy), (dx, dy) = over
    if (
        max(ax, bx) + gap < min(cx, dx)
        or max(cx, dx) + gap < min(ax, bx)
        or max(ay, by) + gap < min(cy, dy)
        or max(cy, dy) + gap < min(ay, by)
        or min(dist(a, b) for a in under for b in over) < 1  # one screw holds both
    ):
        return None
    length, other = dist(*under), dist(*over)
    if not length or not other:
        return None
    ux, uy, vx, vy = (bx - ax) / length, (by - ay) / length, (dx - cx) / other, (dy - cy) / other
    sine = ux * vy - uy * vx
    if not _ALIKE < abs(sine) < _SHALLOW:
        return None
    # how far along each of the two their middles cross
    here = ((cx - ax) * vy - (cy - ay) * vx) / sine
    there = ((cx - ax) * uy - (cy - ay) * ux) / sine
    if not 0 < here < length or not 1 < there < other - 1:
        return None  # at a corner of the other there is no gap on both sides
    cosine = ux * vx + uy * vy
    reach = (gap + half * abs(cosine)) / abs(sine)
    ends = sorted(here + (at - there) / cosine for at in (-gap, other + gap))
    # where it turns before its gap ends, what is left of the turn goes too
    low = max(here - reach, ends[0], -half)
    high = min(here + reach, ends[1], length + half)
    return (ax + ux * low, ay + uy * low), (ax + ux * high, ay + uy * high)
