"""Drawing: how the metal of the board's enclosure is earthed: a tie from the earth bar to the
metal.
"""

from collections.abc import Sequence
from math import hypot

from firstway.choosing.completing import Completed
from firstway.drawing.part_words import ENCLOSURE, earth_words
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import BAR, LINE, Disc, Drawable, Group, Point, Stroke

DOT = 4.0  # where the tie meets the metal
FROM_END = 9.0


def earth_tie(
    completed: Completed,
    bar: Rect,
    side: str,
    wall: Rect | None = None,
    others: Sequence[Rect] = (),
) -> Group | None:
    """From the earth bar to the metal: whole where it is joined, dashed where nobody knows; None
    where nothing joins it.

    Straight to a wall, or to the metal behind, beside the end of the bar that is farther from
    `others`, where the room at the wall is taken: never on another bar.
    """
    joints = completed.case.wiring.conductors_at(ENCLOSURE)
    if not joints:
        return None
    dash = "3 2" if any(joint.doubt for joint in joints) else ""
    points = _to_the_back(bar, side, others) if wall is None else _to_the_wall(bar, side, wall)
    items: list[Drawable] = [
        Stroke(points, "ink", BAR if joints[0].kind == "bar" else LINE, dash),
        Disc(*points[-1], DOT, "ink", LINE, "paper" if dash else "ink"),
    ]
    words = earth_words(completed)
    return Group(ENCLOSURE, tuple(items), words[0].upper() + words[1:], "enclosure-earth")


def _to_the_wall(bar: Rect, side: str, wall: Rect) -> tuple[Point, ...]:
    x, y = bar.x + FROM_END, bar.y + FROM_END
    return {
        "top": ((x, bar.y), (x, wall.y)),
        "bottom": ((x, bar.y + bar.height), (x, wall.y + wall.height)),
        "left": ((bar.x, y), (wall.x, y)),
        "right": ((bar.x + bar.width, y), (wall.x + wall.width, y)),
    }[side]


def _to_the_back(bar: Rect, side: str, others: Sequence[Rect]) -> tuple[Point, ...]:
    x, y = bar.x + bar.width / 2, bar.y + bar.height / 2
    right, bottom = bar.x + bar.width, bar.y + bar.height
    ways = (
        (((bar.x, y), (bar.x - FROM_END, y)), ((right, y), (right + FROM_END, y)))
        if side in ("top", "bottom")
        else (((x, bar.y), (x, bar.y - FROM_END)), ((x, bottom), (x, bottom + FROM_END)))
    )
    return max(ways, key=lambda way: min([4 * DOT, *(_away(way[1], box) for box in others)]))


def _away(at: Point, box: Rect) -> float:
    dx = max(box.x - at[0], at[0] - box.x - box.width, 0.0)
    dy = max(box.y - at[1], at[1] - box.y - box.height, 0.0)
    return hypot(dx, dy)
