"""Workings: wiring and plan of the board a working rests on, made when a figure asks for them."""

from __future__ import annotations

from collections.abc import Callable

from firstway.layout.plan import Layout
from firstway.layout.planning import layout_of
from firstway.model.evidence import Kept, alone
from firstway.model.installation import Installation
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Conductor, Wiring


class PlanOfBoard(Kept):
    """Wiring and plan of a board, each made when somebody asks for it.

    `wiring` and `layout` are given where somebody else keeps them.
    """

    def __init__(
        self,
        installation: Installation,
        wiring: Callable[[], Wiring] | None = None,
        layout: Callable[[], Layout] | None = None,
    ) -> None:
        super().__init__()
        self.installation = installation
        self._wiring, self._layout = wiring, layout

    @property
    def wiring(self) -> Wiring:
        """The board as a graph."""
        return self._wiring() if self._wiring else self.kept("wiring", self._wired)

    def _wired(self) -> Wiring:
        return wiring_of(self.installation)

    @property
    def refused(self) -> str:
        """Why it cannot be laid; "" where it can. What the file changes in the wiring may have no
        way; what follows from the rest of it always has one. That there is a way is no evidence.
        """
        return self.kept("refused", lambda: alone(self._why_not)[0])

    def _why_not(self) -> str:
        if self.installation.wiring:
            try:
                assert self.layout
            except LookupError as gap:
                return str(gap.args[0])
        return ""

    @property
    def layout(self) -> Layout:
        """The board laid (LookupError where it is refused)."""
        make = self._layout or (lambda: layout_of(self.installation, self.wiring))
        return self.kept("layout", make)

    def conductor(self, name: str) -> Conductor | None:
        """A conductor of the graph that lies in the plan.

        Changes to the wiring may take it out of the board; without any, what ends at a device of
        the board lies in it, and nothing need be laid to know.
        """
        found = next((each for each in self.wiring.conductors if each.id == name), None)
        if found is None or self.refused or not self.installation.wiring:
            return found
        return found if name in self.layout.by_id else None
