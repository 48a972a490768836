"""Model: figures of a file that hardly any real thing has, and what may have been meant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from firstway.files.plain_values import meant_figure, unit_of_key
from firstway.files.specs import Number
from firstway.frozen import dataclass
from firstway.model.values import Placed, is_known


@dataclass(frozen=True)
class Unusual:
    """A figure outside what its key calls usual."""

    path: str
    value: float
    unit: str
    usual: tuple[float, float]
    meant: float | None


def unusual_figures(section: Placed) -> Iterator[Unusual]:
    """Every figure of a file outside what its key calls usual, in the order of the keys."""
    for item in fields(section):
        value: Any = getattr(section, item.name)
        kind = item.metadata["spec"].kind if "spec" in item.metadata else None
        if isinstance(kind, Number) and kind.usual is not None and is_known(value):
            low, high = kind.usual
            if not low <= value <= high:
                yield Unusual(
                    value.path,
                    float(value),
                    unit_of_key(item.name),
                    kind.usual,
                    meant_figure(value, kind),
                )
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, Placed):
                yield from unusual_figures(each)
