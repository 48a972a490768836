"""Workings: the book a topic writes its steps into; it carries inputs, units, sources and what is not known."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Mapping

from firstway.calculations.formula import Formula
from firstway.model.installation import Installation
from firstway.model.values import Absent, NONE, UNDECLARED, is_known
from firstway.tables.found import Gap, Read
from firstway.tables.reading import Row, source
from firstway.workings.step import Figures, Kind, RowRead, Step, Workings

Choices = Mapping[str, tuple[RowRead, ...]]


@dataclass
class Book:
    """Steps of one installation, in the order they were written."""

    installation: Installation
    choices: Choices = field(default_factory=dict)
    steps: list[Step] = field(default_factory=list)
    by_identity: dict[tuple[str, str], Step] = field(default_factory=dict)

    def write(self, step: Step) -> Step:
        if (step.id, step.of) in self.by_identity:
            raise ValueError(f"the step {step.identity} is written twice")
        self.steps.append(step)
        self.by_identity[(step.id, step.of)] = step
        return step

    def read(self, step_id: str, of: str) -> Step:
        return self.by_identity[(step_id, of)]

    def workings(self) -> Workings:
        return Workings.of_steps(self.steps)

    def fact(self, step_id: str, of: str, title: str, symbol: str, value: object, unit: str, path: str,
             ask: str = "", places: int = 2, note: str = "") -> Step:
        """A value of the file; not known when it is absent or a word about itself."""
        known = is_known(value)
        return self.write(Step(
            step_id, of, title, symbol, float(value) if known else None, unit, "fact", (path,),  # type: ignore[arg-type]
            source=self._how(path), edition="", places=places, note=note, assumed=self._assumed(path),
            missing=() if known else (path,), ask="" if known else ask or _whom_to_ask(value, path)))

    def choice(self, step_id: str, of: str, title: str, symbol: str, value: object, unit: str, path: str,
               ask: str = "", places: int = 2, rows: tuple[RowRead, ...] = ()) -> Step:
        """A size: given in the file, or chosen for it with the sizes that were rejected."""
        if path not in self.choices:
            step = self.fact(step_id, of, title, symbol, value, unit, path, ask, places)
            return step
        assert is_known(value)
        return self.write(Step(
            step_id, of, title, symbol, float(value), unit, "choice", (path,),  # type: ignore[arg-type]
            source="chosen here: the smallest size that no finding calls fail or danger",
            edition=self.installation.edition, places=places, rows=rows, rejected=self.choices[path]))

    def look_up(self, step_id: str, of: str, title: str, symbol: str, found: Read | Gap, unit: str,
                inputs: tuple[str, ...], places: int = 2, note: str = "") -> Step:
        """A value read from a table, with its row; a gap in the table is not known."""
        if isinstance(found, Gap):
            return self.write(Step(step_id, of, title, symbol, None, unit, "look-up", inputs, found.table, "",
                                   places, missing=(f"table {found.table}",), note=note,
                                   ask=f"{found.message}: look it up in the current standard"))
        return self.write(Step(
            step_id, of, title, symbol, found.value, unit, "look-up", inputs, source(found.row.source).title,
            found.row.edition, places, rows=tuple(row_read(row, found.value, unit) for row in (found.row, *found.through)),
            standing=found.row.standing, note=note, assumed=self._assumed(*inputs)))

    def not_known(self, step_id: str, of: str, title: str, symbol: str, unit: str, kind: Kind,
                  missing: tuple[str, ...], ask: str, source_text: str = "", edition: str = "", note: str = "") -> Step:
        return self.write(Step(step_id, of, title, symbol, None, unit, kind, missing, source_text, edition,
                               missing=missing, ask=ask, note=note))

    def formula(self, step_id: str, of: str, title: str, formula: Formula, steps: Mapping[str, Step | float],
                places: int = 2, note: str = "", rows: tuple[RowRead, ...] = ()) -> Step:
        """A formula with the values of earlier steps (or a constant of the formula) put in."""
        inputs = tuple(item.identity for item in steps.values() if isinstance(item, Step))
        missing = tuple(dict.fromkeys(path for item in steps.values() if isinstance(item, Step) for path in item.missing))
        asked = dict.fromkeys(item.ask for item in steps.values() if isinstance(item, Step) and item.ask)
        assumed = tuple(dict.fromkeys(path for item in steps.values() if isinstance(item, Step) for path in item.assumed))
        symbol, unit = formula.result, formula.units[formula.result]
        if missing or any(isinstance(item, Step) and item.value is None for item in steps.values()):
            return self.write(Step(step_id, of, title, symbol, None, unit, "formula", inputs, formula.source,
                                   formula.edition, places, missing=missing, ask="; ".join(asked), note=note))
        values = {name: item.value if isinstance(item, Step) else item for name, item in steps.items()}
        return self.write(Step(
            step_id, of, title, symbol, formula.value(values), unit, "formula", inputs,  # type: ignore[arg-type]
            formula.source, formula.edition, places, figures=Figures(formula, values),  # type: ignore[arg-type]
            rows=rows, standing=formula.standing, assumed=assumed, note=note))

    def amend(self, step: Step, low: float, high: float) -> Step:
        """Give a step that is already written its band."""
        banded = replace(step, low=low, high=high)
        self.steps[self.steps.index(step)] = banded
        self.by_identity[(step.id, step.of)] = banded
        return banded

    def repeat(self, step: Step, step_id: str, of: str, title: str, symbol: str = "", note: str = "") -> Step:
        """A step that stands again under another identity: the worst of several, or a limit that holds elsewhere."""
        return self.write(replace(step, id=step_id, of=of, title=title, symbol=symbol or step.symbol, inputs=(step.identity,),
                                  note=note or step.note))

    def _assumed(self, *paths: str) -> tuple[str, ...]:
        """Assumed paths among file paths and step identities; a step hands on what it rests on itself."""
        found: dict[str, None] = {}
        for path in paths:
            step_id, space, of = path.partition(" ")
            step = self.by_identity.get((step_id, of)) if space else None
            if step is not None:
                found.update(dict.fromkeys(step.assumed))
            elif self.installation.how_known(path) == "assumed":
                found[path] = None
        return tuple(found)

    def _how(self, path: str) -> str:
        how = self.installation.how_known(path)
        return f"the file, {how}" if how else "the file, as its author states"


def row_read(row: Row, value: float, unit: str, because: str = "") -> RowRead:
    """The row of a table as a step keeps it."""
    cells = ", ".join(f"{column} {text}" for column, text in row.cells.items()
                      if text and column not in ("edition", "source", "standing"))
    return RowRead(row.table, cells, value, unit, source(row.source).title, row.edition, row.standing, because)


def _whom_to_ask(value: object, path: str) -> str:
    if value == UNDECLARED:
        return f"ask the maker for '{path}'"
    if value == NONE:
        return f"'{path}' is none"
    assert isinstance(value, Absent)
    return f"measure or ask for '{path}'"
