"""Drawing: how the metal of the board's enclosure is earthed: a tie from the earth bar to the wall."""

from __future__ import annotations

from firstway.choosing.completing import Completed
from firstway.drawing.board_plan import Rect
from firstway.drawing.part_words import ENCLOSURE, earth_words
from firstway.drawing.sheet import BAR, LINE, Disc, Group, Item, Point, Stroke

DOT = 4.0    # where the tie meets the metal
FROM_END = 9.0
BESIDE = 7.0  # from the name beside it


def earth_tie(completed: Completed, bar: Rect, side: str, wall: Rect, name: float = 0.0, back: bool = False) -> Group | None:
    """From the earth bar to the nearest wall: whole where it is joined, dashed where nobody knows; None where nothing joins it.

    `name` is the length of what is written between the bar and the wall: the tie passes beside it. `back`: the room
    there is taken by an opening; the tie ends at the metal behind the bar.
    """
    joints = completed.case.wiring.conductors_at(ENCLOSURE)
    if not joints:
        return None
    dash = "3 2" if any(joint.doubt for joint in joints) else ""
    points = _to_the_back(bar, side) if back else _way(bar, side, wall, name)
    items: list[Item] = [Stroke(points, "ink", BAR if joints[0].kind == "bar" else LINE, dash),
                         Disc(*points[-1], DOT, "ink", LINE, "paper" if dash else "ink")]
    words = earth_words(completed)
    return Group(ENCLOSURE, tuple(items), words[0].upper() + words[1:], "enclosure-earth")


def _way(bar: Rect, side: str, wall: Rect, name: float) -> tuple[Point, ...]:
    """Straight to the wall near the bar's end, or round the corner where the name is longer than the bar."""
    across = side in ("top", "bottom")
    low, extent = (bar.x, bar.width) if across else (bar.y, bar.height)
    at = min(low + FROM_END, low + extent / 2 - name / 2 - BESIDE) if name else low + FROM_END
    edge, end = {"top": (bar.y, wall.y), "bottom": (bar.y + bar.height, wall.y + wall.height),
                 "left": (bar.x, wall.x), "right": (bar.x + bar.width, wall.x + wall.width)}[side]
    middle = (bar.y + bar.height / 2) if across else (bar.x + bar.width / 2)
    way = [(at, edge), (at, end)] if at >= low else [(low, middle), (at, middle), (at, end)]
    return tuple(point if across else (point[1], point[0]) for point in way)


def _to_the_back(bar: Rect, side: str) -> tuple[Point, ...]:
    if side in ("top", "bottom"):
        return (bar.x, bar.y + bar.height / 2), (bar.x - FROM_END, bar.y + bar.height / 2)
    return (bar.x + bar.width / 2, bar.y), (bar.x + bar.width / 2, bar.y - FROM_END)
