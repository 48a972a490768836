"""Drawing: a board no larger than a thumb, for lists: what stands in the enclosure and how it is
joined, from the one plan. No words and no marks: nothing tells what may be wrong with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from firstway.choosing.completing import Completed
from firstway.drawing.line_styles import GAPS, STRANDS, STRIPE, Layers, conductor_layers
from firstway.drawing.svg import shape, short_stem, svg_path_of
from firstway.layout.plan import Solid
from firstway.rendering.html import Markup, joined, tag

_CORE, _BEND, _MARGIN = 3.6, 6.0, 5.0  # mm of the board
_DASHES = {"": "", GAPS: " gaps", STRIPE: " stripe", STRANDS: " strands"}
_IDS = "abcdefghijklmnopqrstuvwxyz"


def small_board(job: Completed, name: str) -> Markup:
    """The open board as an SVG, a unit to a mm. Its lines are shapes with ids, so that
    `shapes_once` writes what boards of one page share but once; `name` tells these ids apart. The
    guide's style sheet says what its classes look like.
    """
    outer, stem = job.case.layout.parts.outer, short_stem(name)
    pieces = list(_pieces(job))
    ids = dict(zip(dict.fromkeys(line for _, line in pieces), (f"{stem}{each}" for each in _IDS)))
    defined = (tag("g", shape("path", d=line), id=own) for line, own in ids.items())
    shown = (tag("use", href=f"#{ids[line]}", class_=classes) for classes, line in pieces)
    low, high = outer.low, outer.high
    sides = (low[0], low[1], high[0] - low[0], high[1] - low[1])
    corner, size = (
        (each - _MARGIN for each in sides[:2]),
        (each + 2 * _MARGIN for each in sides[2:]),
    )
    return shape(
        "svg",
        tag("defs", joined(defined)),
        joined(shown),
        viewBox=" ".join(f"{each:.0f}" for each in (*corner, *size)),
        class_="small-board",
        aria_hidden="true",
        fill="none",
    )


def _pieces(job: Completed) -> Iterator[tuple[str, str]]:
    """Lines in the order in which they are painted, each with its classes."""
    parts = job.case.layout.parts
    yield from _boxes("box", [parts.outer])
    yield from _boxes("bar", [each.box for each in parts.bars])
    for layers, line in _conductors(job).items():
        for ink, width, dash in layers[1:]:
            thin = " thin" if width < _CORE else ""
            yield f"{ink}{thin}{_DASHES[dash]}", line
    yield from _boxes("device", [each.body for each in parts.devices])
    yield from _boxes("nose", [each.nose for each in parts.devices])
    yield from _boxes("bar", [parts.line_bar.box] if parts.line_bar else [])


def _conductors(job: Completed) -> dict[Layers, str]:
    """One line for all conductors of a style."""
    laid = {each.id: each for each in job.case.layout.conductors if each.diameter_mm}
    found: dict[Layers, str] = {}
    for each in job.case.wiring.drawn.conductors:
        if each.id in laid and each.kind != "bar":
            line = svg_path_of([point[:2] for point in laid[each.id].points], bend=_BEND)
            layers = conductor_layers(each, _CORE)
            found[layers] = found.get(layers, "") + line
    return found


def _boxes(what: str, bodies: Iterable[Solid]) -> Iterator[tuple[str, str]]:
    """Bodies as rectangles in one line; none where there is none."""
    line = "".join(
        svg_path_of([body.low[:2], (body.high[0], body.low[1]), body.high[:2], corner], closed=True)
        for body in bodies
        for corner in [(body.low[0], body.high[1])]
    )
    if line:
        yield what, line
