"""Workings: one step of the working, and the whole of an installation's steps in reading order."""

from collections.abc import Iterator
from dataclasses import field
from typing import Any, Literal

from firstway.calculations.formula import Formula
from firstway.frozen import dataclass
from firstway.model.evidence import plain, resting

StepKind = Literal["fact", "formula", "look-up", "choice", "run"]


@dataclass(frozen=True)
class RowRead:
    """A table row a step rests on, or one that was tried and rejected (then `because` says why)."""

    table: str
    row: str
    value: float
    unit: str
    source: str
    edition: str
    standing: str
    because: str = ""


@dataclass(frozen=True)
class Figures:
    """A formula with the figures put in: symbol -> (value, unit)."""

    formula: Formula
    values: dict[str, float]


@dataclass(frozen=True)
class Step:
    """One number of the working.

    `id` + `of` are its identity. `value` is None when an input is not known: then `missing`
    names the file paths and `ask` says what to measure or whom to ask. `places` are the
    decimal places to show; `value` itself is never rounded. Whoever reads the value of a step that
    rests on assumed keys has them noted (`model/evidence.py`).
    """

    id: str
    of: str
    title: str
    symbol: str
    value: float | None
    unit: str
    kind: StepKind
    inputs: tuple[str, ...]
    source: str
    edition: str
    places: int = 2
    low: float | None = None
    high: float | None = None
    figures: Figures | None = None
    rows: tuple[RowRead, ...] = ()
    rejected: tuple[RowRead, ...] = ()
    standing: str = ""
    assumed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    ask: str = ""
    note: str = ""

    @property
    def identity(self) -> str:
        return f"{self.id} {self.of}"

    @property
    def figure(self) -> float | None:
        """The value, for whoever takes over what the step rests on as well (`assumed`)."""
        found: float | None = self.__dict__["value"] if "value" in self.__dict__ else self.value
        return found

    @property
    def known(self) -> bool:
        """Whether there is a value: an assumption changes what it is, not that it is there."""
        return self.figure is not None

    def but(self, **changes: Any) -> "Step":
        """The same step with other contents."""
        step: Step = object.__new__(plain(self))
        step.__dict__.update(self.__dict__)
        step.__dict__.update(changes)
        return step.resting()

    def resting(self) -> "Step":
        return resting(self, "value", "low", "high", "figures", kept_in="assumed")


@dataclass(frozen=True)
class Workings:
    """Every step of one installation, in the reader's order."""

    steps: tuple[Step, ...] = ()
    by_identity: dict[tuple[str, str], Step] = field(default_factory=dict)

    @staticmethod
    def of_steps(steps: list[Step] | tuple[Step, ...]) -> "Workings":
        return Workings(tuple(steps), {(step.id, step.of): step for step in steps})

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def find(self, step_id: str, of: str) -> Step | None:
        return self.by_identity.get((step_id, of))

    def value(self, step_id: str, of: str) -> float | None:
        step = self.find(step_id, of)
        return None if step is None else step.value

    def about(self, of: str) -> tuple[Step, ...]:
        return tuple(step for step in self.steps if step.of == of)
