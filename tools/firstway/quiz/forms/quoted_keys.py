"""Quiz: a key of an installation, quoted in a sentence with its unit."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.rendering.figures import figure_in_formula, with_unit
from firstway.rendering.html import Markup, escape

_UNITS = {
    "m": "m",
    "mm": "mm",
    "mm2": "mm2",
    "a": "A",
    "ma": "mA",
    "ka": "kA",
    "v": "V",
    "kv": "kV",
    "w": "W",
    "kw": "kW",
    "kwh": "kWh",
    "va": "VA",
    "kva": "kVA",
    "ohm": "ohm",
    "c": "C",
    "percent": "percent",
    "s": "s",
    "ms": "ms",
    "h": "h",
    "nm": "N m",
}
"""The last word of a key says its unit."""


@dataclass(frozen=True)
class KeyFigure:
    """The value of a key, as a reader sees it."""

    path: str
    value: object

    @property
    def unit(self) -> str:
        return (
            _UNITS.get(self.path.rpartition("_")[2], "")
            if "_" in self.path.rpartition(".")[2]
            else ""
        )

    @property
    def text(self) -> str:
        if isinstance(self.value, bool):
            return "yes" if self.value else "no"
        if isinstance(self.value, (int, float)):
            return with_unit(figure_in_formula(float(self.value)), self.unit)
        return str(self.value)

    @property
    def html(self) -> Markup:
        return escape(self.text)


def key_figure(installation: Installation, path: str) -> tuple[KeyFigure | None, str]:
    """The value at `path` (`circuits.slipway.route.1.length_m`: items by name, or by place from 1),
    or why there is none.
    """
    value: Any = installation
    for name in path.split("."):
        value = _inside(value, name)
        if value is None:
            return None, f"'{path}' names nothing in {installation.name} ({name})"
    if not is_known(value) or isinstance(value, tuple) or is_dataclass(value):
        return None, f"'{path}' of {installation.name} is not known, or no single value"
    return KeyFigure(path, value), ""


def _inside(value: Any, name: str) -> Any:
    if isinstance(value, tuple):
        return next(
            (
                each
                for place, each in enumerate(value, 1)
                if getattr(each, "name", None) == name
                or name == str(place)
                and not hasattr(each, "name")
            ),
            None,
        )
    if not is_dataclass(value):
        return None
    item = next(
        (
            each
            for each in fields(value)
            if each.name.rstrip("_") == name and "spec" in each.metadata
        ),
        None,
    )
    return None if item is None else getattr(value, item.name)
