"""Drawing: how the metal of the board's enclosure is earthed: a tie from the earth bar to where the
plan has it meet the metal.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.part_words import ENCLOSURE, earth_words
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import BAR, LINE, Disc, Drawable, Group, Point, Stroke

DOT = 4.0  # where the tie meets the metal


def earth_tie(completed: Completed, bar: Rect, at: Point) -> Group | None:
    """From the earth bar to the metal at a place: whole where it is joined, dashed where nobody
    knows; None where nothing joins it.
    """
    joints = completed.case.wiring.conductors_at(ENCLOSURE)
    if not joints:
        return None
    dash = "3 2" if any(joint.doubt for joint in joints) else ""
    start = (
        min(max(at[0], bar.x), bar.x + bar.width),
        min(max(at[1], bar.y), bar.y + bar.height),
    )
    items: list[Drawable] = [
        Stroke((start, at), "ink", BAR if joints[0].kind == "bar" else LINE, dash),
        Disc(*at, DOT, "ink", LINE, "paper" if dash else "ink"),
    ]
    words = earth_words(completed)
    return Group(ENCLOSURE, tuple(items), words[0].upper() + words[1:], "enclosure-earth")
