"""Layout: sizes the file states, and those taken from a table where it does not; each one that was
taken is kept.
"""

from __future__ import annotations

from math import sin, sqrt

from firstway.layout.plan import Assumption
from firstway.model.values import is_known
from firstway.tables.looking_up_nec import area_mm2
from firstway.tables.reading import (
    Gap,
    Read,
    bend_in_diameters,
    board_size_mm,
    conductor_diameter_mm,
    table,
)
from firstway.wiring.graph import Conductor


class Sizes:
    """Gives sizes in mm and remembers which of them are assumed."""

    def __init__(self) -> None:
        self._taken: dict[str, Assumption] = {}
        self._usual: dict[str, float] = {}

    def __call__(self, quantity: str) -> float:
        """A usual size, from its row; a row that is gone is a bug of the tables."""
        known = self._usual.get(quantity)
        if known is None:
            known = self._usual[quantity] = self._read(quantity, board_size_mm(quantity))
        return known

    def given(self, section: object, key: str, otherwise: float) -> float:
        """A figure of the file, else what was worked out for it."""
        value = getattr(section, key, None)
        if isinstance(value, (int, float)):
            return float(value)
        self._take(section, key, otherwise)
        return otherwise

    def word(self, section: object, key: str, otherwise: str) -> str:
        """A word of the file, else the usual one."""
        value = getattr(section, key, None)
        if isinstance(value, str) and is_known(value):
            return value
        self._take(section, key, otherwise)
        return otherwise

    def csa_mm2(self, conductor: Conductor) -> float:
        """The size of a conductor; where no size is known, a usual one."""
        if conductor.csa_mm2 is not None:
            return conductor.csa_mm2
        if conductor.kind == "armour":
            return self("armour-lead-mm2")
        gauge = area_mm2(conductor.size.removesuffix(" AWG"))
        return self("conductor-of-unknown-size-mm2") if isinstance(gauge, Gap) else gauge.value

    def diameter_mm(self, csa_mm2: float, construction: str = "single-core") -> float:
        """Over the insulation, or over the sheath of a tail."""
        what, found = (
            f"{construction} {csa_mm2:g} mm2",
            conductor_diameter_mm(construction, csa_mm2),
        )
        if isinstance(found, Gap):  # beyond the table: as if all grew with the copper
            rows = table("conductor_diameter").where(construction=construction)
            largest = max(rows, key=lambda row: row.number("csa_mm2"))
            share = sqrt(csa_mm2 / largest.number("csa_mm2"))
            return self._worked(what, largest.number("diameter_mm") * share)
        return self._read(what, found)

    def radius_mm(self, conductor: Conductor) -> float:
        """Least radius of the middle line at a bend.

        Cores of a cable are stranded; wires from one device to another are taken for flexible ones.
        """
        csa = self.csa_mm2(conductor)
        cable = "single-core" if conductor.cable else "flexible-single-core"
        what, found = f"bend {cable} {csa:g} mm2", bend_in_diameters(cable, csa)
        if isinstance(found, Gap):  # beyond the table: as the largest it has
            rows = table("bending_radius").where(cable=cable)
            times = self._worked(what, max(row.number("x_overall_diameter") for row in rows))
        else:
            times = self._read(what, found)
        return (times + 0.5) * self.diameter_mm(csa)

    def taken(self) -> tuple[Assumption, ...]:
        """Every size that the file does not state, in the order it was asked for."""
        return tuple(self._taken.values())

    def _worked(self, what: str, value: float) -> float:
        """A size that follows from rows but stands in none."""
        self._taken.setdefault(what, Assumption(what, value, None, ""))
        return value

    def _take(self, section: object, key: str, otherwise: float | str) -> None:
        path = f"{getattr(section, 'path', '')}.{key}".lstrip(".")
        self._taken.setdefault(path, Assumption(key, otherwise, None, path))

    def _read(self, what: str, found: Read | Gap) -> float:
        if isinstance(found, Gap):
            raise LookupError(found.message)
        if what not in self._taken:
            self._taken[what] = Assumption(what, found.value, found.row, "")
        return found.value


def round_of(count: int, diameter: float) -> float:
    """The hole that `count` equal round conductors need: they lie in a ring, from seven on round
    one in the middle.
    """
    if count < 2:
        return diameter
    return diameter * (1 + 1 / sin(3.141592653589793 / min(count, 6)))
