"""Wiring: a link of the circuit: one way a current can take."""

from typing import Literal

from firstway.frozen import dataclass

LinkKind = Literal["conductor", "pole", "surge", "gap", "supply", "earth", "load", "electronics"]
"""What a way of current goes through."""
TRUE_EARTH = "true-earth"
"""Names of places that no terminal is: the soil far from every electrode, the star point of the
source, and the cut-out.
"""
STAR = "supply.star"
"""The star point of the source."""
CUT_OUT = "supply.cut-out"
"""The distributor's fuses, where the service ends."""


@dataclass(frozen=True)
class Link:
    """One way a current can take. `ohm` (at 20 C) None: joined, resistance not known.

    `warms` is how many times that it has at its operating limit, None where that is not known; what
    does not warm with its load (a pole, the supply, soil) keeps 1. `evidence`: assumed paths of the
    file it rests on; `missing`: paths to be found out where the resistance is not known.

    `opened_by` names what opens it: a device, `origin`, `POINT.open-pen`; a point's own name opens
    its contactor. `volts` is the force in it, in V. For a surge element `v_1ma` is its voltage at 1
    mA, None when not stated.
    """

    id: str
    start: str
    end: str
    ohm: float | None
    kind: LinkKind
    of: str
    opened_by: str = ""
    volts: complex = 0j
    v_1ma: float | None = None
    warms: float | None = 1.0
    evidence: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def hot_ohm(self) -> float | None:
        """Resistance at the operating limit, in ohm; None where it or the limit is not known."""
        return None if self.ohm is None or self.warms is None else self.ohm * self.warms
