"""Workings: a step whose figure takes long to work: it is worked when somebody asks for it, and
once.
"""

from collections.abc import Callable
from dataclasses import field
from functools import cached_property
from typing import Any

from firstway.frozen import dataclass
from firstway.model.evidence import alone, note
from firstway.workings.shared.step import Figures, Step


@dataclass(frozen=True)
class Worked:
    """What the work gives."""

    value: float
    low: float | None = None
    high: float | None = None
    figures: Figures | None = None


_LATER = ("value", "low", "high", "figures")


def _nothing() -> Worked:
    raise ValueError("a lazy step without its work")


class _Later:
    """An attribute of what the work gives, worked when it is first read; whoever reads it has what
    the step rests on noted. A step that was taken back holds its own.
    """

    def __init__(self, name: str) -> None:
        self.name = name

    def __get__(self, step: Any, of: type | None = None) -> Any:
        if step is None:
            return self
        note(*step.__dict__["assumed"])
        return getattr(step._worked, self.name)


def _later(name: str) -> Any:
    return _Later(name)


@dataclass(frozen=True)
class LazyStep(Step):
    """A known step.

    Checks and choosing try many cases and ask none of these: they would pay for figures nobody
    reads.
    """

    work: Callable[[], Worked] = field(default=_nothing, compare=False, repr=False)

    @staticmethod
    def of_step(step: Step, work: Callable[[], Worked]) -> "LazyStep":
        lazy = object.__new__(LazyStep)
        lazy.__dict__.update(
            {name: contents for name, contents in step.__dict__.items() if name not in _LATER},
            work=work,
        )
        return lazy

    @cached_property
    def _worked(self) -> Worked:
        return alone(self.work)[0]

    @property
    def known(self) -> bool:
        """It is known that there is a value, before it is worked."""
        return "value" not in self.__dict__ or self.__dict__["value"] is not None

    @property
    def figure(self) -> float | None:
        if "value" in self.__dict__:
            found: float | None = self.__dict__["value"]
            return found
        return self._worked.value

    def resting(self) -> "Step":
        return self

    value = _later("value")
    low = _later("low")
    high = _later("high")
    figures = _later("figures")
