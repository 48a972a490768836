"""Quiz: sentences with figures in them.

The author writes `{voltage-drop:slipway}`, or `{key:circuits.slipway.route.1.length_m}` for a key
of the installation; the working and the file fill it in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.quiz.bank.question import AuthorWords, FigureOf, KeyOf
from firstway.rendering.figures import figure_html, figure_in_formula, full, shown, with_unit
from firstway.rendering.html import Markup, escape, joined, tag
from firstway.workings.shared.step import Step

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


StepOf = Callable[[str, str, str], Step | None]
"""step_of(installation name, step id, of): the step, or None when there is none."""


@dataclass(frozen=True)
class Figure:
    """A figure that was found: a whole step, or one symbol put into its formula."""

    step: Step
    installation: str
    symbol: str = ""

    @property
    def value(self) -> float | None:
        if not self.symbol:
            return self.step.value
        return self.step.figures.values[self.symbol] if self.step.figures else None

    @property
    def unit(self) -> str:
        if not self.symbol or self.step.figures is None:
            return self.step.unit
        return self.step.figures.formula.units[self.symbol]

    @property
    def places(self) -> int:
        """Decimals it is shown with; a symbol put into a formula has what it needs, at most six."""
        if not self.symbol:
            return self.step.places
        return len(f"{self.value or 0.0:.6f}".rstrip("0").partition(".")[2])

    @property
    def text(self) -> str:
        if not self.symbol:
            return shown(self.step)
        return with_unit(figure_in_formula(self.value or 0.0), self.unit)

    @property
    def html(self) -> Markup:
        if not self.symbol:
            return figure_html(self.step, self.installation)
        return tag(
            "data",
            self.text,
            class_="figure-put-in",
            value=full(self.value or 0.0),
            data_step=self.step.id,
            data_of=self.step.of,
            data_symbol=self.symbol,
            data_unit=self.unit,
            data_installation=self.installation,
        )


Filled = tuple[str | Figure | KeyFigure, ...]
"""A sentence whose figures are known."""

KeyIn = Callable[[str, str], tuple[KeyFigure | None, str]]
"""key_of(installation name, path): the value of a key, or None and the reason."""


def no_key(installation: str, path: str) -> tuple[KeyFigure | None, str]:
    """Where no installation is at hand, no key has a value."""
    return None, f"the key {path} of {installation} is not known"


def figure_of(reference: FigureOf, step_of: StepOf) -> tuple[Figure | None, str]:
    """The figure a reference names, or None and the reason."""
    step = step_of(reference.installation, reference.step, reference.of)
    if step is None:
        return (
            None,
            f"there is no step {reference.step} of {reference.of} in {reference.installation}",
        )
    if reference.symbol:
        known = sorted(step.figures.values) if step.figures else []
        if reference.symbol not in known:
            return (
                None,
                (
                    f"no symbol {reference.symbol} is put into {reference.step} of {reference.of}"
                    f" (there: {', '.join(known) or 'none'})"
                ),
            )
    elif step.value is None:
        return None, f"{reference} is not known" + (f": {step.ask}" if step.ask else "")
    return Figure(step, reference.installation, reference.symbol), ""


def filled(words: AuthorWords, step_of: StepOf, key_of: KeyIn = no_key) -> tuple[Filled, list[str]]:
    """The sentence with its figures, and what could not be found."""
    parts: list[str | Figure | KeyFigure] = []
    wrong: list[str] = []
    for part in words:
        if isinstance(part, str):
            parts.append(part)
            continue
        figure: Figure | KeyFigure | None
        figure, reason = (
            key_of(part.installation, part.path)
            if isinstance(part, KeyOf)
            else figure_of(part, step_of)
        )
        if figure is None:
            wrong.append(reason)
        else:
            parts.append(figure)
    return tuple(parts), wrong


def text_of(sentence: Filled) -> str:
    """The sentence as plain text."""
    return "".join(part if isinstance(part, str) else part.text for part in sentence)


def html_of(sentence: Filled) -> Markup:
    """The sentence for a page; text of the bank is shown as text, whatever it holds."""
    return joined(part if isinstance(part, str) else part.html for part in sentence)
