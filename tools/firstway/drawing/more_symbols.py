"""Drawing: symbols made of several: three poles on one link, connections of surge protection,
limiter, bar.

Numbers as in `symbols`: printed parts of IEC 60617 (1996), from memory; where none is given it was
not confirmed.
"""

from collections.abc import Sequence

from firstway.drawing.sheet import BAR, HAIR
from firstway.drawing.symbols import (
    CONTACT,
    CircuitBreaker,
    CurrentTransformer,
    DrawnSymbol,
    spark_gap_strokes,
    varistor_strokes,
)

POLE = 16.0  # between poles


class Bar(DrawnSymbol):
    """Busbar: one thick line with its branches; each branch is a terminal, `way-1` and so on.

    `ways` are the places of the branches across from where the line comes in, `fall` is their
    length, `reach` how far the bar goes on.
    """

    def __init__(
        self, ways: Sequence[float] = (0.0, 22.0, 44.0), fall: float = 15.0, reach: float = 8.0
    ) -> None:
        super().__init__(
            supply=(0, 0), **{f"way-{place}": (x, fall) for place, x in enumerate(ways, 1)}
        )
        self.line((min(0.0, *ways, 0.0) - reach, 0), (max(0.0, *ways, 0.0) + reach, 0), lw=BAR)
        for x in ways:
            self.line((x, 0), (x, fall))


class FourPoleRcbo(CircuitBreaker):
    """Residual current circuit-breaker with overcurrent protection, three lines and neutral.

    A cross on each line; all blades, the neutral's too, on one dashed link; one summation
    transformer round all.
    """

    def __init__(self) -> None:
        functions = ("L1", "L2", "L3", "N")
        super(CircuitBreaker, self).__init__(
            supply=(0, 0),
            load=(0, 60),
            **{name: (POLE * place, 60) for place, name in enumerate(functions)},
        )
        for place in range(4):
            self.contact(POLE * place, bottom=60)
            if place < 3:
                self._cross(POLE * place)
        self.line((-5, 22.5), (3 * POLE - 5, 22.5), lw=HAIR, ls="--")
        self.oval(1.5 * POLE, 46, 3 * POLE + 18, 10)
        self.line(
            (1.5 * POLE - 1.5 * POLE - 9, 46), (-20, 46), (-20, 22.5), (-5, 22.5), lw=HAIR, ls="--"
        )


class FourPoleResidualDevice(DrawnSymbol):
    """Residual current circuit-breaker without overcurrent protection, three lines and neutral: no
    cross on any pole.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 60))
        for place in range(4):
            self.contact(POLE * place, bottom=60)
        self.line((-5, 22.5), (3 * POLE - 5, 22.5), lw=HAIR, ls="--")
        self.oval(1.5 * POLE, 46, 3 * POLE + 18, 10)
        self.line((-9, 46), (-20, 46), (-20, 22.5), (-5, 22.5), lw=HAIR, ls="--")


class SurgeConnection(DrawnSymbol):
    """Surge protective device by connection, every conductor shown.

    CT1: a varistor from each live conductor, neutral too, to earth. CT2: a varistor from each line
    to neutral and one spark gap from neutral to earth ("1+1", "3+1").
    """

    def __init__(self, connection: str, lines: int) -> None:
        pitch = 28.0
        functions = ("L1", "L2", "L3")[:lines]
        places = {name: (pitch * place, 0.0) for place, name in enumerate((*functions, "N"))}
        earth = 100.0 if connection == "CT2" else 56.0
        super().__init__(supply=(0, 0), load=(pitch * lines, earth), **places)
        for place in range(lines):
            self._piece(pitch * place, varistor=True, top=0)
        if connection == "CT2":
            self.line((0, CONTACT), (pitch * lines, CONTACT))
            self.line((pitch * lines, 0), (pitch * lines, CONTACT))
            self.disc(pitch * lines, CONTACT, 2, fill="ink")
            self._piece(pitch * lines, varistor=False, top=CONTACT)
            self.line((pitch * lines, 2 * CONTACT), (pitch * lines, earth))
        else:
            self._piece(pitch * lines, varistor=True, top=0)
            self.line((0, CONTACT), (pitch * lines, CONTACT))
            self.line((pitch * lines, CONTACT), (pitch * lines, earth))

    def _piece(self, x: float, varistor: bool, top: float) -> None:
        """One varistor or spark gap between `top` and the next level, moved to its place."""
        first = len(self.segments)
        (varistor_strokes if varistor else spark_gap_strokes)(self, top + 8)
        self.line((0, top), (0, top + (8 if varistor else 12)))
        self.line((0, top + (36 if varistor else 32)), (0, top + CONTACT))
        for segment in self.segments[first:]:
            _move(segment, x)


def _move(segment: object, dx: float) -> None:
    """A segment moved to the right."""
    for name in ("path", "verts"):
        if hasattr(segment, name):
            setattr(segment, name, [(x + dx, y) for x, y in getattr(segment, name)])


class LoadLimiterSymbol(DrawnSymbol):
    """Load limiter: a box that reads a current transformer (06-09-10) and tells the charging point
    what it may take.

    The box is our own; no standard symbol was confirmed.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 56), signal=(-34, 28), order=(-86, 28))
        self.line((0, 0), (0, 56))
        self.segments += _moved_down(CurrentTransformer(), 28)
        self.box(-70, 14, 40, 28)
        self.line((-62, 34), (-52, 22), (-46, 28), (-38, 28))
        self.line((-70, 28), (-86, 28), lw=HAIR, ls="--")


class Inverter(DrawnSymbol):
    """Inverter, 06-14-05: direct current in from below, alternating current out above."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 36))
        self.box(-18, 0, 36, 36)
        self.line((-18, 36), (18, 0))
        self.oval(-11.5, 9, 7, 7, 0, 180)
        self.oval(-4.5, 9, 7, 7, 180, 360)
        self.line((2, 26), (13, 26))
        self.line((2, 30), (13, 30), ls=":")


class Generator(DrawnSymbol):
    """Machine, 06-04-01, with the letter G: a generating set; the layout writes the letter in
    it.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 36), words=(0, 18))
        self.disc(0, 18, 18, fill="paper")
        self.oval(-3.5, 27, 7, 6, 0, 180)
        self.oval(3.5, 27, 7, 6, 180, 360)


class PhotovoltaicModules(DrawnSymbol):
    """Photovoltaic modules: a cell with light falling on it. Number not confirmed."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 30))
        self.line((0, 0), (0, 6))
        self.box(-18, 6, 36, 24)
        self.line((-18, 6), (0, 18), (18, 6))
        for y in (12, 20):
            self.line((31, y - 6), (22, y), lw=HAIR)
            self.line((27, y), (22, y), (23, y - 4.5), lw=HAIR)


class Battery(DrawnSymbol):
    """Battery of cells, 06-15-01: the longer line is the positive pole."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 30))
        self.line((0, 0), (0, 8))
        for y in (8, 20):
            self.line((-13, y), (13, y))
            self.line((-6, y + 5), (6, y + 5))
        self.line((0, 13), (0, 20))


class Changeover(DrawnSymbol):
    """Change-over contact, 07-02-04: the load is joined to the network above or to the source at
    its side, never to both.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT), source=(-20, 11))
        self.line((0, 0), (0, 4), (9, 4), (9, 11))
        self.line((-20, 11), (-9, 11))
        self.line((0, CONTACT), (0, 33), (10.5, 7))


class BothWays(DrawnSymbol):
    """Current either way along a line, beside it. Number not confirmed."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 30))
        self.line((0, 2), (0, 28))
        for tip, back in ((2, 9), (28, 21)):
            self.line((-3.5, back), (0, tip), (3.5, back))


def _moved_down(symbol: DrawnSymbol, by: float) -> list[object]:
    """The segments of a symbol, lower by that much."""
    for segment in symbol.segments:
        if hasattr(segment, "path"):
            segment.path = [(x, y - by) for x, y in segment.path]
        elif hasattr(segment, "center"):
            segment.center = (segment.center[0], segment.center[1] - by)
    return list(symbol.segments)
