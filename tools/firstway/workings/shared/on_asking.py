"""Workings: those of which only the first part is worked until somebody asks for more."""

from collections.abc import Callable, Iterator
from dataclasses import field
from functools import cached_property

from firstway.frozen import dataclass
from firstway.model.evidence import alone
from firstway.workings.shared.step import Step, Workings


def _no_more() -> Workings | None:
    return None


@dataclass(frozen=True)
class OnAsking(Workings):
    """`steps` and `by_identity` are the first part; `rest` gives all steps, the first part with
    them, or None where they cannot be worked.
    """

    rest: Callable[[], Workings | None] = field(default=_no_more, compare=False, repr=False)

    @staticmethod
    def begun(first: Workings, rest: Callable[[], Workings | None]) -> "OnAsking":
        return OnAsking(first.steps, first.by_identity, rest)

    @cached_property
    def whole(self) -> Workings:
        """Every step that can be worked."""
        return alone(self.rest)[0] or Workings(self.steps, self.by_identity)

    def __iter__(self) -> Iterator[Step]:
        return iter(self.whole)

    def find(self, step_id: str, of: str) -> Step | None:
        return self.by_identity.get((step_id, of)) or self.whole.find(step_id, of)

    def about(self, of: str) -> tuple[Step, ...]:
        return self.whole.about(of)
