"""Drawing, pictures for the hands: the end of a stranded conductor after stripping, clean and
nicked.
"""

from dataclasses import replace
from math import pi, sqrt

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import terminal_figures
from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    Drawables,
    body,
    call,
    conductor,
    lines,
    measure,
    ring,
    words,
)
from firstway.drawing.sheet import HAIR
from firstway.frozen import dataclass

_END, _MIDDLE = 74.0, 42.0
_MOST_PER_MM, _WIDEST, _LONGEST = 7.0, 64.0, 108.0  # units to a mm, and for a conductor's end
_ACROSS = 3  # seven strands lie three across
_SEVEN_IN_ONE = 7 / 9  # share of a circle that they fill


@dataclass(frozen=True)
class StrippedEnd:
    """A stripped end seen from aside: size in mm², diameter over insulation and bare length in mm;
    `nicked`: the blade went on into the outer strand.
    """

    csa_mm2: float
    outer_mm: float
    strip_mm: float
    colour: str
    nicked: bool = False


def stripped_end(of: StrippedEnd, strip: str) -> Detail:
    """Half as wide as a sheet, thickness and length to one scale; `strip` says how long it is."""
    per_mm = min(_MOST_PER_MM, _WIDEST / of.outer_mm, _LONGEST / of.strip_mm)
    thick, tip = of.outer_mm * per_mm, _END + of.strip_mm * per_mm
    copper = thick * sqrt(4 * of.csa_mm2 / pi / _SEVEN_IN_ONE) / of.outer_mm
    top, each = _MIDDLE - copper / 2, copper / _ACROSS
    cut = _END + 14, top
    # a nick is copper that is missing: the paper is seen through it
    nick = [(cut[0] - 5, top), (cut[0], top + each * 0.8), (cut[0] + 5, top)] if of.nicked else []
    bare = [(_END, top), *nick, (tip, top), (tip, top + copper), (_END, top + copper)]
    edges = [((_END, top + each * n), (tip, top + each * n)) for n in range(1, _ACROSS)]
    strands: Drawables = (body(bare, "zc1", HAIR), lines(edges))
    insulation = conductor(((0.0, _MIDDLE), (_END, _MIDDLE)), thick, of.colour)
    groups = [
        group("strands", strands, title="Strands"),
        group("insulation", (insulation,), title="Insulation"),
    ]
    level = 92.0
    if of.nicked:
        groups.append(group("wrong", (ring(cut[0], top + 4, 16),)))
        groups.append(group("told", call(112, 10, "nick", (cut[0] + 1, top + each * 1.1))))
    else:
        groups.append(
            group(
                "length",
                measure((_END, level), (tip, level)),
                words((_END + tip) / 2, level + 18, strip, "middle"),
            )
        )
    points = {"cut": cut, "strip-from": (_END, level), "strip-to": (tip, level)}
    return Detail(HALF, level + 22, tuple(groups), points)


def stripping(job: Completed, device: str) -> Made | str:
    """Clean, and with a nick."""
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    right = StrippedEnd(figures.csa_mm2, figures.outer_mm, figures.strip_mm, figures.colour)
    strip = figures.strip.words
    return sheet_of(
        f"Stripped clean, and nicked: {device}",
        f"The end of a conductor of {figures.size.words} twice. Right: the insulation ends square"
        f" and no strand is marked; {device}: {strip}. Wrong: the blade went too deep and nicked a"
        " strand, which heats there and breaks when it is bent.",
        [
            Panel(
                stripped_end(right, strip),
                True,
                f"{device}, no strand marked",
                f"Stripper set to {figures.size.words}; the insulation ends square.",
            ),
            Panel(
                stripped_end(replace(right, nicked=True), strip),
                False,
                "a strand nicked",
                "It breaks when bent, and heats before. Cut the end off and strip anew.",
            ),
        ],
        (figures.size, figures.strip),
    )
