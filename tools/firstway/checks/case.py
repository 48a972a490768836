"""Checks: the case a rule looks at: installation, workings and wiring, each made when somebody
asks, and once.

Everything here is made apart from what is read around it, and says again at each reading what it
rests on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

from firstway.model.evidence import Kept, alone, each
from firstway.model.installation import Installation
from firstway.wiring.circuit import States, WiredCircuit, circuit_of
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring
from firstway.wiring.joined_groups import groups, inside, only_conductors
from firstway.workings.shared.book import Choices
from firstway.workings.shared.fault_places import SWEPT, swept
from firstway.workings.shared.step import Step, Workings
from firstway.workings.shared.sweep import Sweep
from firstway.workings.working_through import workings_of

_T = TypeVar("_T")


class Case(Kept):
    """A complete installation (no size left to choose) and what follows from it."""

    def __init__(
        self,
        installation: Installation,
        choices: Choices | None = None,
        *,
        workings: Workings | None = None,
        wiring: Wiring | None = None,
    ) -> None:
        self.installation = installation
        self._choices = choices
        super().__init__()
        for key, given in (("workings", workings), ("wiring", wiring)):
            if given is not None:
                self.give(key, given)

    def told(self, choices: Choices) -> Case:
        """The same installation, with the sizes that were rejected in its workings; what was worked
        of its wiring stays.
        """
        case = Case(self.installation, choices)
        case._made = {key: made for key, made in self._made.items() if key != "workings"}
        return case

    @property
    def workings(self) -> Workings:
        return self.kept("workings", lambda: workings_of(self.installation, self._choices))

    @property
    def wiring(self) -> Wiring:
        return self.kept("wiring", lambda: wiring_of(self.installation))

    @property
    def circuit(self) -> WiredCircuit:
        """The wiring as an electrical circuit."""
        return self.kept("circuit", lambda: circuit_of(self.installation, self.wiring))

    def joined(
        self,
        states: States = States(),
        conductors_only: bool = False,
        without: tuple[str, ...] = (),
    ) -> dict[str, str]:
        """Each terminal with its group: through closed poles and conductors, or
        conductors alone.
        """
        keep = only_conductors if conductors_only else inside
        return self.kept(
            ("joined", states, conductors_only, without),
            lambda: groups(self.circuit, states, keep, without),
        )

    @property
    def sweep(self) -> Sweep:
        """A fault at every place; each is worked when somebody asks for it, and rests on the links
        that carry it.
        """
        return self.kept("sweep", lambda: alone(lambda: Sweep(self.installation, self.circuit))[0])

    @property
    def faults(self) -> Workings:
        """The steps of the sweep. They stand beside the workings, for they are many."""
        return self.kept("faults", lambda: swept(self.sweep))

    def step(self, step_id: str, of: str) -> Step | None:
        return (self.faults if step_id in SWEPT else self.workings).find(step_id, of)

    def each(self, items: Iterable[_T]) -> Iterator[_T]:
        """Items that a rule judges one by one: a finding about one does not rest on another's keys.

        A loop that adds up over its turns is a plain `for`.
        """
        return each(items)


def case_of(installation: Installation, choices: Choices | None = None) -> Case:
    """The case of a complete installation."""
    return Case(installation, choices)
