"""Model: figures that hardly any real thing has, and what was meant: a prefix or a comma away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

from firstway.model.values import Number, Placed, is_known

# A prefix of the unit first (milli for none), then a comma moved by one place or two.
_FACTORS = (1000.0, 10.0, 100.0)
_UNITS = {
    "mm": "mm",
    "mm2": "mm2",
    "m": "m",
    "a": "A",
    "ma": "mA",
    "ka": "kA",
    "v": "V",
    "kv": "kV",
    "nm": "Nm",
    "in": "lbf.in",
    "ohm": "ohm",
    "kw": "kW",
    "kwh": "kWh",
}


@dataclass(frozen=True)
class Unusual:
    """A figure outside what its key calls usual."""

    path: str
    value: float
    unit: str
    usual: tuple[float, float]
    meant: float | None


def unit_of_key(key: str) -> str:
    """The unit a key carries in its name.

    >>> unit_of_key("rated_current_ma"), unit_of_key("torque_lbf_in"), unit_of_key("soil_ohm_m")
    ('mA', 'lbf.in', 'ohm.m')
    """
    if key.endswith("_ohm_m"):
        return "ohm.m"
    return _UNITS.get(key.rpartition("_")[2], "")


def meant_figure(value: float, kind: Number) -> float | None:
    """The figure a slip of prefix or comma away that such a key usually has; None where none fits.

    >>> meant_figure(0.03, Number(at_least=4, at_most=3000))
    30.0
    >>> meant_figure(19, Number(usual=(60, 900)))
    190.0
    """
    least = kind.at_least if kind.at_least is not None else kind.above
    low, high = kind.usual or (least, kind.at_most)
    if low is None or high is None or value <= 0:
        return None
    tries = (value * factor if value <= low else value / factor for factor in _FACTORS)
    return next((float(f"{each:.12g}") for each in tries if low <= each <= high), None)


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
