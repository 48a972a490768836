"""Drawing, pictures for the hands: the end of a stranded conductor after stripping, clean and
nicked.
"""

from dataclasses import replace
from math import pi, sqrt

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import terminal_figures
from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import Drawables, body, conductor, lines, ring
from firstway.drawing.sheet import HAIR
from firstway.frozen import dataclass

_END, _TIP, _MIDDLE, _PER_MM = 88.0, 168.0, 42.0, 7.0
_ACROSS = 3  # seven strands lie three across
_SEVEN_IN_ONE = 7 / 9  # share of a circle that they fill


@dataclass(frozen=True)
class StrippedEnd:
    """A stripped end seen from aside: size in mm², diameter over insulation in mm; `nicked`: the
    blade went on into the outer strand.
    """

    csa_mm2: float
    outer_mm: float
    colour: str
    nicked: bool = False


def stripped_end(of: StrippedEnd) -> Detail:
    """Half as wide as a sheet; 7 units to a mm."""
    thick = min(of.outer_mm * _PER_MM, 64.0)
    copper = thick * sqrt(4 * of.csa_mm2 / pi / _SEVEN_IN_ONE) / of.outer_mm
    top, each = _MIDDLE - copper / 2, copper / _ACROSS
    bare = [(_END, top), (_TIP, top), (_TIP, top + copper), (_END, top + copper)]
    edges = [((_END, top + each * n), (_TIP, top + each * n)) for n in range(1, _ACROSS)]
    strands: Drawables = (body(bare, "zc1", HAIR), lines(edges))
    insulation = conductor(((0.0, _MIDDLE), (_END, _MIDDLE)), thick, of.colour)
    groups = [
        group("strands", strands, title="Strands"),
        group("insulation", (insulation,), title="Insulation"),
    ]
    cut = _END + 10, top
    if of.nicked:
        notch = [(cut[0] - 4, top - 1), (cut[0] + 4, top - 1), (cut[0], top + each * 0.8)]
        groups += [
            group("nick", (body(notch, "zhole", HAIR),), title="Nick in a strand"),
            group("wrong", (ring(cut[0], top + 2, 15),)),
        ]
    return Detail(HALF, 84, tuple(groups), {"cut": cut})


def stripping(job: Completed, device: str) -> Made | str:
    """Clean, and with a nick."""
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    right = StrippedEnd(figures.csa_mm2, figures.outer_mm, figures.colour)
    return sheet_of(
        f"Stripped clean, and nicked: {device}",
        f"The end of a conductor of {figures.size.words} twice. Right: the insulation ends square"
        " and no strand is marked. Wrong: the blade went too deep and nicked a strand, which heats"
        " there and breaks when it is bent.",
        [
            Panel(
                stripped_end(right),
                True,
                "no strand marked",
                f"Stripper set to {figures.size.words}; the insulation ends square.",
            ),
            Panel(
                stripped_end(replace(right, nicked=True)),
                False,
                "a strand nicked",
                "It breaks when bent, and heats before. Cut the end off and strip anew.",
            ),
        ],
        (figures.size,),
    )
