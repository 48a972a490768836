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


def _moved_down(symbol: DrawnSymbol, by: float) -> list[object]:
    """The segments of a symbol, lower by that much."""
    for segment in symbol.segments:
        if hasattr(segment, "path"):
            segment.path = [(x, y - by) for x, y in segment.path]
        elif hasattr(segment, "center"):
            segment.center = (segment.center[0], segment.center[1] - by)
    return list(symbol.segments)
