"""Drawing, pictures for the hands: two conductors in one tunnel and in one cage, cut across."""

from firstway.drawing.hands.cages_across import CAGE_INSIDE_MM, cage_around
from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import Drawables, Scale, body, cut, ring, screw, strands_across
from firstway.drawing.sheet import Group, Point
from firstway.frozen import dataclass

_TUNNEL_HALF, _TIP_HALF = 5.0, 2.6  # mm; half the width of the hole, and of the screw's end
_BESIDE = 0.1  # mm; between two conductors that lie together


@dataclass(frozen=True)
class TwoInOne:
    """Two conductors beside each other in a tunnel or a cage: their diameters in mm (`second_mm`
    0 for one alone), and in a tunnel how far the first lies from where both would be below the
    screw (`aside_mm`).
    """

    terminal: str
    first_mm: float
    second_mm: float
    aside_mm: float = 0.0

    @property
    def places_mm(self) -> tuple[float, float]:
        """The middle of each, across."""
        between = _BESIDE if self.second_mm else 0.0
        left = -(self.first_mm + self.second_mm + between) / 2 + self.aside_mm
        return left + self.first_mm / 2, left + self.first_mm + between + self.second_mm / 2

    @property
    def loose(self) -> tuple[bool, ...]:
        """Which of them nothing presses: lower than the thicker one, or beyond the screw's end."""
        thick = max(self.first_mm, self.second_mm)
        return tuple(
            0 < wide < thick or (self.terminal == "tunnel" and abs(place) > _TIP_HALF)
            for place, wide in zip(self.places_mm, (self.first_mm, self.second_mm))
        )


def two_in_one(of: TwoInOne) -> Detail:
    """The terminal cut across its conductors; a ring marks what is loose."""
    at = Scale(97.0, 92.0, 6.0)
    thick = max(of.first_mm, of.second_mm)
    tunnel = of.terminal == "tunnel"
    floor = 5.0 if tunnel else thick
    groups: tuple[Group, ...] = _tunnel(at, floor, thick) if tunnel else cage_around(at, thick)
    assert tunnel or of.first_mm + of.second_mm + _BESIDE <= CAGE_INSIDE_MM
    places: list[Point] = []
    drawn: list[Drawables] = []
    for x, wide in zip(of.places_mm, (of.first_mm, of.second_mm)):
        places.append((x, floor - wide / 2))
        drawn.append(strands_across(at, x, floor - wide / 2, wide) if wide else ())
    groups = (*groups, group("conductors", *drawn, title="Conductors, cut across"))
    points = {"first": at.at(*places[0]), "second": at.at(*places[1])}
    for place, loose in zip(places, of.loose):
        if loose:
            points["wrong"] = at.at(*place)
            groups = (*groups, group("wrong", (ring(*points["wrong"], 13),)))
    return Detail(HALF, 148, groups, points)


def _tunnel(at: Scale, floor: float, thick: float) -> tuple[Group, ...]:
    half = _TUNNEL_HALF
    block = at.block(-11, -9, 11, 8.5)
    x, top = at.at(0, -14.5)
    tip = at.at(0, floor - thick)[1]
    return (
        group(
            "block",
            cut(block, "zm2"),
            (body(at.block(-half, -4.0, half, floor), "paper"),),
            title="Brass block, cut across",
        ),
        group("screw", screw(x, top, tip, 40, 2 * _TIP_HALF * at.per_mm, 5), title="Screw"),
    )


def two_alike() -> Made:
    """Two alike in one tunnel and in one cage, where the maker allows two; and what is loose."""
    return sheet_of(
        "Two conductors in one tunnel, in one cage",
        "A tunnel and a cage cut across, twice each. Where the maker of the terminal says one, or"
        " says nothing, one conductor goes in. Right, only where the maker allows two: two alike"
        " beside each other, the screw's end, or the cage, on both. Wrong: two alike, one of them"
        " beyond the screw's end; two sizes in a cage, where the thicker takes the force.",
        [
            Panel(
                two_in_one(TwoInOne("tunnel", 3.0, 3.0)),
                True,
                "if the maker allows two",
                "Two alike, the screw's end on both. The maker says one, or nothing: one"
                " (common practice).",
            ),
            Panel(
                two_in_one(TwoInOne("tunnel", 3.0, 3.0, aside_mm=1.55)),
                False,
                "one beyond the screw",
                "The screw's end meets one alone. The other is loose and heats.",
            ),
            Panel(
                two_in_one(TwoInOne("cage", 3.0, 3.0)),
                True,
                "if the maker allows two",
                "Two alike, beside each other, both against the fixed bar. Torque for two: the"
                " maker says.",
            ),
            Panel(
                two_in_one(TwoInOne("cage", 3.6, 2.0)),
                False,
                "two sizes, cage",
                "The thick one takes the force, the thin one is loose and heats.",
            ),
        ],
    )
