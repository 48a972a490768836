"""Lifelike view: the cover beside the box, with its openings, what closes the places that no device
fills, a label for each way, its screws, and the label that warns.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from firstway.drawing.cover_openings import openings_of_cover
from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.devices import symbol_at
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.shapes import Body, flat, front_box, on_front, solid_svg, words_mm
from firstway.layout.plan import Fitting, Parts, Solid
from firstway.rendering.html import Markup, joined

THICK = 12.0
"""How deep the rolled edge of the cover is drawn, in mm."""
COVER, LABELS, BLANKS = "cover", "cover.labels", "cover.blanks"
"""The groups of the cover, of what is stuck on it, and of what closes its window."""
_Rect = tuple[float, float, float, float]


def cover_bodies(
    eye: Eye,
    prefix: str,
    parts: Parts,
    fittings: Sequence[Fitting],
    shift: float,
    tone: str,
    labels: Mapping[str, str],
    blanks: Mapping[str, Solid],
    open_way: bool = False,
) -> tuple[Body, ...]:
    """The cover moved sideways by `shift` mm; `labels` are the words of each way, `blanks` those
    that are parts of the file by their names; `open_way`: the first of them is missing.
    """
    cover, tabbed = parts.cover, parts.rail is None
    openings = [*openings_of_cover(parts), *(cover.blanks[:1] if tabbed and open_way else ())]
    width, height = cover.box.high[0], cover.box.high[1]
    z = THICK
    box = Solid((shift, 0, 0), (shift + width, height, z))
    svg = solid_svg(eye, box, tone)
    svg += front_box(eye, shift + 5, 5, shift + width - 5, height - 5, z, "zd")
    for each in openings:
        opening = _moved(each, shift)
        svg += front_box(eye, *opening, z, "zo zsh")
        svg += _reveal(eye, opening, z)
    for fitting in fittings:
        if fitting.kind == "cover-screw":
            svg += _upon(eye, prefix, fitting, shift, z)
    plate = Body(COVER, box, svg)
    texts: list[Bounds] = []
    svg = Markup()
    for name, strip in cover.labels:
        words = labels.get(name, "")
        if not words:
            continue
        rect = _moved(strip, shift)
        lines = _label_lines(eye, name, words, strip.size(0) - 2.7)
        step = words_mm(eye, words)[1] + 4.4
        high = max(strip.size(1), step * len(lines) + 1.0)
        rect = (rect[0] + 0.6, rect[3] - high, rect[2] - 0.6, rect[3])
        svg += front_box(eye, *rect, z, "zd zhi")
        for place, line in enumerate(lines):
            at = (rect[1] + rect[3]) / 2 + step * (place - (len(lines) - 1) / 2)
            text, bounds = on_front(eye, ((rect[0] + rect[2]) / 2, at, z), line)
            svg += text
            texts.append(bounds)
    for fitting in fittings:
        if fitting.of == "cover" and fitting.kind != "cover-screw":
            svg += _upon(eye, prefix, fitting, shift, z)
    found = [plate, Body(LABELS, box, svg, tuple(texts))]
    own = {blank: name for name, blank in blanks.items()}
    for blank in cover.blanks[1 if open_way else 0 :]:
        name = own.get(blank, BLANKS)
        made = _twist_out if tabbed else _blank
        found.append(Body(name, box, made(eye, _moved(blank, shift), z)))
    return tuple(found)


def _label_lines(eye: Eye, name: str, words: str, room: float) -> tuple[str, ...]:
    """The device and what it feeds, on one line or on two, else what of it fits."""
    if name == words:
        tries: tuple[tuple[str, ...], ...] = ((name,),)
    else:
        tries = ((f"{name} {words}",), (name, words), (name,), (words,))
    return next((each for each in tries if all(words_mm(eye, line)[0] < room for line in each)), ())


def _moved(solid: Solid, shift: float) -> _Rect:
    return solid.low[0] + shift, solid.low[1], solid.high[0] + shift, solid.high[1]


def _reveal(eye: Eye, window: _Rect, z: float) -> Markup:
    """The thickness of the cover in the window: its far side and its top."""
    x0, y0, x1, y1 = window
    far, deep = (x0, 3.0) if eye.side > 0 else (x1, -3.0)
    return flat(
        eye,
        (
            (x0, y0, z),
            (x1, y0, z),
            (x1 - (0 if eye.side > 0 else 3), y0 + 3, z),
            (far + deep, y0 + 3, z),
            (far + deep, y1, z),
            (far, y1, z),
            (far, y0, z),
        )
        if eye.side > 0
        else (
            (x1, y0, z),
            (x0, y0, z),
            (x0, y0 + 3, z),
            (x1 - 3, y0 + 3, z),
            (x1 - 3, y1, z),
            (x1, y1, z),
        ),
        "zd zs3",
    )


def _blank(eye: Eye, rect: _Rect, z: float) -> Markup:
    """A plate of one piece, with the joints where a module may be broken out."""
    x0, y0, x1, y1 = rect
    svg = front_box(eye, x0 + 0.3, y0, x1 - 0.3, y1, z, "ze zw1")
    number = max(1, round((x1 - x0) / 17.5)) if x1 - x0 < 1.6 * (y1 - y0) or x1 - x0 > 40 else 1
    wide = (x1 - x0) / number
    for place in range(number):
        a, b = x0 + place * wide, x0 + (place + 1) * wide
        if place:
            svg += flat(eye, ((a, y0, z), (a, y1, z)), "ze", closed=False)
        for x in (a + 2.4, b - 2.4):
            svg += flat(eye, ((x, y0 + 3, z), (x, y1 - 3, z)), "zd", closed=False)
    return svg


def _twist_out(eye: Eye, rect: _Rect, z: float) -> Markup:
    """A place still closed by the cover's own metal: cut free all round but for a web at the middle
    of its two short sides.
    """
    x0, y0, x1, y1 = rect
    middle = (y0 + y1) / 2
    ends = ((x0 + 1, middle - 2, y0 + 1), (x0 + 1, middle + 2, y1 - 1))
    return joined(
        flat(
            eye,
            ((x, near, z), (x, far, z), (x1 - 1, far, z), (x1 - 1, near, z)),
            "ze",
            closed=False,
        )
        for x, near, far in ends
    )


def _upon(eye: Eye, prefix: str, fitting: Fitting, shift: float, z: float) -> Markup:
    """A screw of the cover, or a label on it."""
    rect = _moved(fitting.body, shift)
    x0, y0, x1, y1 = rect
    if fitting.kind == "cover-screw":
        return symbol_at(eye, prefix, "cross", ((x0 + x1) / 2, (y0 + y1) / 2, z))
    if fitting.kind == "warning-label":
        return _warning(eye, rect, z)
    svg = front_box(eye, *rect, z, "zd zhi")
    for share, end in ((0.3, 0.9), (0.5, 0.9), (0.7, 0.6)):
        y = y0 + (y1 - y0) * share
        ends = ((x0 + (x1 - x0) * 0.1, y, z), (x0 + (x1 - x0) * end, y, z))
        svg += flat(eye, ends, "zd", closed=False)
    return svg


def _warning(eye: Eye, rect: _Rect, z: float) -> Markup:
    """A triangle with the sign of voltage, as large as its label."""
    x0, y0, x1, y1 = rect
    size = min(x1 - x0, (y1 - y0) / 0.87)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2 + size * 0.43
    sign = ((x - size / 2, y, z), (x, y - size * 0.87, z), (x + size / 2, y, z))
    bolt = ((0.04, 0.62), (-0.08, 0.36), (0.08, 0.36), (-0.04, 0.1))
    return flat(eye, sign, "zo zhi") + flat(
        eye, ((x + a * size, y - b * size, z) for a, b in bolt), "ze", closed=False
    )
