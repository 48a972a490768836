"""Drawing: how the metal of the board's enclosure is earthed: a tie from the earth bar to the
metal.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.part_words import ENCLOSURE, earth_words
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import BAR, LINE, Disc, Drawable, Group, Point, Stroke

DOT = 4.0  # where the tie meets the metal
FROM_END = 9.0


def earth_tie(completed: Completed, bar: Rect, side: str, wall: Rect | None = None) -> Group | None:
    """From the earth bar to the metal: whole where it is joined, dashed where nobody knows; None
    where nothing joins it.

    Straight to a wall, or to the metal behind, beside the end of the bar, where the room at the
    wall is taken.
    """
    joints = completed.case.wiring.conductors_at(ENCLOSURE)
    if not joints:
        return None
    dash = "3 2" if any(joint.doubt for joint in joints) else ""
    points = _to_the_back(bar, side) if wall is None else _to_the_wall(bar, side, wall)
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


def _to_the_back(bar: Rect, side: str) -> tuple[Point, ...]:
    if side in ("top", "bottom"):
        return (bar.x, bar.y + bar.height / 2), (bar.x - FROM_END, bar.y + bar.height / 2)
    return (bar.x + bar.width / 2, bar.y), (bar.x + bar.width / 2, bar.y - FROM_END)
