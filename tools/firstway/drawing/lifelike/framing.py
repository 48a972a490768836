"""Lifelike view: the frame: how large the box may be drawn, and where box, cover and words stand
beside each other.
"""

from math import ceil

from firstway.choosing.completing import Completed
from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.callouts import (
    WORD_STEP,
)
from firstway.drawing.lifelike.cover import THICK
from firstway.drawing.lifelike.entries import beyond_of
from firstway.drawing.lifelike.eye import Eye, eye_to, side_of_eye
from firstway.drawing.lifelike.shapes import paper_bounds
from firstway.drawing.lifelike.words import (
    WORDS_ROOM,
    device_callout,
    opening_callout,
)
from firstway.frozen import dataclass
from firstway.layout.plan import Layout, Parts, Solid
from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.wiring.graph import Wiring

WIDEST_SHEET = 972.0
"""Units a sheet may be wide: texts of 12 are then 9 px in a column of 730 px, which a screen of 768
has beside the margins of its page."""
MOST_SCALE, MOST_HEIGHT = 2.0, 900.0
PAD = 10.0
"""Units between the edge of a sheet and what stands on it."""
_GAP = 16.0  # mm between the box and its cover


@dataclass(frozen=True)
class Framed:
    """The eye with its origin; where the words end beside the box; what the box takes; how far the
    cover is moved; the whole width.
    """

    eye: Eye
    margin: float
    board: Bounds
    shift: float
    cover: Bounds
    width: float


def cables_of(installation: Installation) -> frozenset[str]:
    """Openings that one sheath passes: `feed` or circuits by name."""
    feed = installation.feed
    known = {circuit.name: circuit.cable for circuit in installation.circuits}
    cables = {**known, "feed": feed.cable if is_known(feed) else None}
    return frozenset(
        name
        for name, cable in cables.items()
        if cable is not None
        and is_known(cable)
        and str(cable.construction) not in ("single-core", "unknown")
        and is_known(cable.construction)
    )


def framed_for(completed: Completed, layout: Layout) -> Framed:
    """The largest scale at which words, box and cover stand beside each other."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    parts = layout.parts
    side = side_of_eye(parts)
    one = eye_to(side, 1.0)
    box = _extent(one, parts)
    near = "right" if side > 0 else "left"
    out = any(each.side == near for each in parts.openings)
    wide = parts.outer.high[0]
    across = abs(one.right[2]) * THICK
    gap = _GAP + (beyond_of(one, "right", parts) if out else 0.0)
    cover = wide * one.right[0] + across
    span = box[2] - box[0] + gap + cover
    scale = min(
        (WIDEST_SHEET - WORDS_ROOM - 2 * PAD - 12) / span,
        MOST_SCALE,
        MOST_HEIGHT / (box[3] - box[1]),
    )
    eye = eye_to(side, scale)
    box, shift = _extent(eye, parts), cover_shift(eye, parts)
    if side > 0:
        margin = PAD + WORDS_ROOM
        origin_x = margin + 10 - box[0]
    else:
        origin_x = PAD - eye.right[0] * shift
        margin = origin_x + box[2] + 10
    head = WORD_STEP * _lines_above(installation, wiring, parts) + 16
    eye = eye_to(side, scale, (origin_x, -box[1] + PAD + head))
    moved = Solid((shift, 0, 0), (shift + wide, parts.outer.high[1], THICK))
    board, cover_bounds = _extent(eye, parts), paper_bounds(eye, moved)
    width = cover_bounds[2] + PAD if side > 0 else margin + WORDS_ROOM + PAD
    return Framed(eye, margin, board, shift, cover_bounds, float(ceil(width)))


def _lines_above(installation: Installation, wiring: Wiring, parts: Parts) -> int:
    """How many lines the words above the box have at most."""
    devices = [wiring.part(each.name) for each in parts.devices if each.kind != "blank"]
    return max(
        [len(device_callout(installation, each)) for each in devices if each is not None]
        + [
            len(opening_callout(installation, each.name, each.gland))
            for each in parts.openings
            if each.side == "top"
        ],
        default=1,
    )


def _extent(eye: Eye, parts: Parts) -> Bounds:
    """The box with what leaves it."""
    rooms = [paper_bounds(eye, parts.outer)]
    for opening in parts.openings:
        if opening.side == "back":
            continue
        out = beyond_of(eye, opening.side, parts)
        reach = opening.nut_mm / 2
        low, high = list(opening.at), list(opening.at)
        axis = 0 if opening.side in ("left", "right") else 1
        low[axis] -= out
        high[axis] += out
        for other in (0, 1, 2):
            if other != axis:
                low[other] -= reach
                high[other] += reach
        inner = parts.outer
        if opening.side in ("left", "top"):
            high[axis] = inner.high[axis]
        else:
            low[axis] = inner.low[axis]
        rooms.append(
            paper_bounds(eye, Solid((low[0], low[1], low[2]), (high[0], high[1], high[2])))
        )
    return (
        min(each[0] for each in rooms),
        min(each[1] for each in rooms),
        max(each[2] for each in rooms),
        max(each[3] for each in rooms),
    )


def cover_shift(eye: Eye, parts: Parts) -> float:
    """How far the cover is moved sideways, in mm."""
    box = _extent(eye_to(eye.side, eye.scale), parts)
    near = "right" if eye.side > 0 else "left"
    out = any(each.side == near for each in parts.openings)
    gap = (_GAP + (beyond_of(eye, "right", parts) if out else 0.0)) * eye.scale
    across = abs(eye.right[2]) * THICK
    if eye.side > 0:
        return (box[2] + gap + across) / eye.right[0]
    return (box[0] - gap - across) / eye.right[0] - parts.outer.high[0]
