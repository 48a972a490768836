"""Workings: a step whose figure takes long to work: it is worked when somebody asks for it, and
once.
"""

from collections.abc import Callable
from dataclasses import field
from functools import cached_property
from typing import Any

from firstway.frozen import dataclass
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


def _later(name: str) -> Any:
    """An attribute of what the work gives, worked when it is first read."""
    return cached_property(lambda step: getattr(step._worked, name))


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
        return self.work()

    value = _later("value")
    low = _later("low")
    high = _later("high")
    figures = _later("figures")
