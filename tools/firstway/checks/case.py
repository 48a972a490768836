"""Checks: the case a rule looks at: installation, workings and wiring, made once."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.model.installation import Installation
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring
from firstway.workings.book import Choices
from firstway.workings.step import Step, Workings
from firstway.workings.working_through import workings_of


@dataclass(frozen=True)
class Case:
    installation: Installation
    workings: Workings
    wiring: Wiring

    def step(self, step_id: str, of: str) -> Step | None:
        return self.workings.find(step_id, of)


def case_of(installation: Installation, choices: Choices | None = None) -> Case:
    """The case of a complete installation (no size left to choose)."""
    return Case(installation, workings_of(installation, choices), wiring_of(installation))
