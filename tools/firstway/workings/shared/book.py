"""Workings: the book a topic writes its steps into; it carries inputs, units, sources and what is
not known.

What a step rests on is never handed over: it is what its inputs rest on, and every assumed key and
every value of a step resting on one that was read since its topic began (`model/evidence.py`), also
by code that read it only to decide what to write.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, wraps
from typing import ParamSpec, TypeVar

from firstway.calculations.adding import added
from firstway.calculations.formula import Formula
from firstway.model.evidence import read_so_far, scope
from firstway.model.installation import Amount, Installation
from firstway.model.nec_words import in_nec_words
from firstway.model.values import NONE, UNDECLARED, Absent, Told, is_known, place_of
from firstway.tables.reading import Gap, Read, Row, source
from firstway.workings.shared.lazy_step import LazyStep, Worked
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import Figures, RowRead, Step, StepKind, Workings

Choices = Mapping[str, tuple[RowRead, ...]]
Input = Step | Told
Given = ParamSpec("Given")
MadeStep = TypeVar("MadeStep", bound=Step | None)


def topic(work: Callable[Given, MadeStep]) -> Callable[Given, MadeStep]:
    """A function that writes steps about one thing: what it reads is evidence of its own steps
    alone.

    It gives back steps or nothing: anything else that was read inside would lose its evidence.
    """

    @wraps(work)
    def within(*given: Given.args, **named: Given.kwargs) -> MadeStep:
        with scope():
            made = work(*given, **named)
        assert made is None or isinstance(made, Step), work.__name__
        return made

    return within


@dataclass
class Book:
    """Steps of one installation, in the order they were written."""

    installation: Installation
    choices: Choices = field(default_factory=dict)
    plan: PlanOfBoard = field(kw_only=True)
    _steps: dict[tuple[str, str], Step] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._any_assumed = "assumed" in self.installation.known_by.values()

    def read(self, step_id: str, of: str) -> Step:
        """A step that is written."""
        return self._steps[(step_id, of)]

    def find(self, step_id: str, of: str) -> Step | None:
        """The same, or None where it is not written."""
        return self._steps.get((step_id, of))

    def about(self, of: str) -> tuple[Step, ...]:
        """Every step about one part, so far."""
        return tuple(step for step in self._steps.values() if step.of == of)

    def workings(self) -> Workings:
        return Workings.of_steps(tuple(self._steps.values()))

    # Values of the file

    def fact(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        value: Amount,
        unit: str,
        ask: str = "",
        places: int = 2,
        note: str = "",
    ) -> Step:
        """A value of the file; not known when it is absent or a word about itself."""
        known, path = is_known(value), place_of(value)
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                float(value) if is_known(value) else None,
                unit,
                "fact",
                (path,),
                source=self._how(value),
                edition="",
                places=places,
                note=note,
                assumed=self._assumed(value),
                missing=() if known else (path,),
                ask="" if known else ask or _whom_to_ask(value),
            )
        )

    def choice(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        value: Amount,
        unit: str,
        ask: str = "",
        places: int = 2,
    ) -> Step:
        """A size: given in the file, or chosen for it with the sizes that were rejected."""
        step = self.fact(step_id, of, title, symbol, value, unit, ask, places)
        return self.chosen(step, value) if place_of(value) in self.choices else step

    def chosen(self, step: Step, value: Told) -> Step:
        """A written step of a size that was chosen, not stated: nobody assumed it."""
        assert step.figure is not None
        return self._rewrite(
            step.but(
                kind="choice",
                source=(
                    "chosen here: the smallest size that no finding calls fail or danger; each"
                    " finding and row names its edition"
                ),
                edition="",
                rejected=self.choices[place_of(value)],
                assumed=(),
            )
        )

    # What stands in no file

    def constant(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        value: float,
        unit: str,
        source_text: str,
        inputs: Sequence[Input] = (),
        standing: str = "",
        places: int = 2,
        note: str = "",
    ) -> Step:
        """A figure that a rule of the trade fixes, or that follows from words of the file alone."""
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                value,
                unit,
                "fact",
                self._names(inputs),
                source_text,
                "",
                places,
                standing=standing,
                note=note,
                assumed=self._assumed(*inputs),
            )
        )

    def unity(
        self, step_id: str, of: str, title: str, symbol: str, because: str, *inputs: Input
    ) -> Step:
        """A factor of 1: that nothing is to be corrected is known from the file too."""
        return self.constant(step_id, of, title, symbol, 1.0, "", because, inputs)

    def look_up(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        found: Read | Gap,
        unit: str,
        inputs: Sequence[Input] = (),
        places: int = 2,
        note: str = "",
    ) -> Step:
        """A value read from a table, with its row; a gap in the table is not known."""
        names = self._names(inputs)
        if isinstance(found, Gap):
            return self._write(
                Step(
                    step_id,
                    of,
                    title,
                    symbol,
                    None,
                    unit,
                    "look-up",
                    names,
                    found.table,
                    "",
                    places,
                    missing=(f"table {found.table}",),
                    note=note,
                    ask=f"{found.message}: look it up in the current standard",
                )
            )
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                found.value,
                unit,
                "look-up",
                names,
                source(found.row.source).title,
                found.row.edition,
                places,
                rows=tuple(row_read(row, found.value, unit) for row in (found.row, *found.through)),
                standing=found.row.standing,
                note=note,
                assumed=self._assumed(*inputs),
            )
        )

    def read_row(
        self, step_id: str, of: str, title: str, symbol: str, row: RowRead, inputs: Sequence[Input]
    ) -> Step:
        """A value of a row that a search through a table ended at."""
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                row.value,
                row.unit,
                "look-up",
                self._names(inputs),
                row.source,
                row.edition,
                rows=(row,),
                standing=row.standing,
                assumed=self._assumed(*inputs),
            )
        )

    def on_a_line(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        value: float,
        unit: str,
        source_text: str,
        inputs: Sequence[Input],
        places: int = 2,
        note: str = "",
    ) -> Step:
        """A value between two points of a maker's own list, on a straight line."""
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                value,
                unit,
                "look-up",
                self._names(inputs),
                source_text,
                "",
                places,
                standing="computed",
                note=note,
                assumed=self._assumed(*inputs),
            )
        )

    def not_known(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        unit: str,
        kind: StepKind,
        missing: Iterable[Input],
        ask: str,
        note: str = "",
    ) -> Step:
        """A step that cannot be worked: for want of these, or of what the steps among them miss."""
        wanted = tuple(missing)
        names = tuple(
            dict.fromkeys(
                name
                for item in wanted
                for name in (
                    item.missing or (item.identity,)
                    if isinstance(item, Step)
                    else self._names((item,))
                )
            )
        )
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                None,
                unit,
                kind,
                names,
                "",
                "",
                missing=names,
                ask=ask,
                note=note,
            )
        )

    # What is worked

    def formula(
        self,
        step_id: str,
        of: str,
        title: str,
        formula: Formula,
        steps: Mapping[str, Step | float],
        places: int = 2,
        note: str = "",
        rows: tuple[RowRead, ...] = (),
        symbol: str = "",
    ) -> Step:
        """A formula with the values of earlier steps (or a constant of the formula) put in."""
        given = [item for item in steps.values() if isinstance(item, Step)]
        values = {
            name: figure for name, item in steps.items() if (figure := _figure(item)) is not None
        }
        symbol, unit, names = (
            symbol or formula.result,
            formula.units[formula.result],
            self._names(given),
        )
        if len(values) < len(steps):
            return self._write(
                Step(
                    step_id,
                    of,
                    title,
                    symbol,
                    None,
                    unit,
                    "formula",
                    names,
                    formula.source,
                    formula.edition,
                    places,
                    standing=formula.standing,
                    missing=_all(item.missing for item in given),
                    ask=_asked(given),
                    note=note,
                )
            )
        return self._write(
            Step(
                step_id,
                of,
                title,
                symbol,
                formula.value(values),
                unit,
                "formula",
                names,
                formula.source,
                formula.edition,
                places,
                figures=Figures(formula, values),
                rows=rows,
                standing=formula.standing,
                assumed=self._assumed(*given),
                note=note,
            )
        )

    def total(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        items: Sequence[Step | Amount],
        unit: str,
        source_text: str,
        ask: str = "",
        places: int = 2,
        note: str = "",
        band: tuple[float, float] | None = None,
        assumed: tuple[str, ...] = (),
    ) -> Step:
        """Values of the file or earlier steps, added; not known when one of them is not."""
        blank = Step(
            step_id,
            of,
            title,
            symbol,
            None,
            unit,
            "fact",
            self._names(items),
            source_text,
            "",
            places,
            standing="computed",
            note=note,
        )
        missing = _all(
            (
                (item.missing or ((item.identity,) if item.figure is None else ()))
                if isinstance(item, Step)
                else (() if is_known(item) else (place_of(item),))
            )
            for item in items
        )
        if missing:
            asked = _asked([item for item in items if isinstance(item, Step)])
            return self._write(blank.but(missing=missing, ask=ask or asked))
        low, high = band or (None, None)
        return self._write(
            blank.but(
                value=added(figure for item in items if (figure := _figure(item)) is not None),
                low=low,
                high=high,
                assumed=_all((assumed, self._assumed(*items))),
            )
        )

    def worst_of(
        self,
        steps: Sequence[Step],
        step_id: str,
        of: str,
        title: str,
        largest: bool = True,
        symbol: str = "",
        note: str = "",
    ) -> Step:
        """The largest (or smallest) of several steps under a name of its own; it rests on all of
        them.

        Where one of them is not known, neither is the worst.
        """
        unknown = next((step for step in steps if step.figure is None), None)
        choose = max if largest else min
        worst = unknown or choose(steps, key=lambda step: step.figure or 0.0)
        return self.repeat(worst, step_id, of, title, symbol, note, beside=steps)

    def repeat(
        self,
        step: Step,
        step_id: str,
        of: str,
        title: str,
        symbol: str = "",
        note: str = "",
        beside: Sequence[Step] = (),
    ) -> Step:
        """A step that stands again under another identity, such as a limit that holds elsewhere."""
        return self._write(
            step.but(
                id=step_id,
                of=of,
                title=title,
                symbol=symbol or step.symbol,
                inputs=(step.identity,),
                note=note or step.note,
                assumed=self._assumed(step, *beside),
            )
        )

    def run(
        self,
        step_id: str,
        of: str,
        title: str,
        symbol: str,
        unit: str,
        source_text: str,
        steps: Sequence[Step],
        worked: Callable[[], Worked],
        places: int = 0,
        note: str = "",
        refused: str = "",
    ) -> Step:
        """A figure of a long run, made when somebody asks for it.

        `refused` says why it cannot be run.
        """
        blank = Step(
            step_id,
            of,
            title,
            symbol,
            None,
            unit,
            "run",
            self._names(steps),
            source_text,
            "",
            places,
            standing="assumed",
            note=note,
        )
        missing = _all(item.missing for item in steps)
        if missing or any(step.figure is None for step in steps if not isinstance(step, LazyStep)):
            return self._write(blank.but(missing=missing, ask=_asked(steps)))
        if refused:
            return self._write(blank.but(missing=blank.inputs, ask=refused))
        return self._write(
            LazyStep.of_step(self._with_evidence(blank.but(assumed=self._assumed(*steps))), worked)
        )

    def later(
        self,
        step_id: str,
        of: str,
        title: str,
        formula: Formula,
        steps: Mapping[str, Step],
        places: int = 2,
        note: str = "",
        symbol: str = "",
    ) -> Step:
        """A formula of figures that are themselves run only when somebody asks."""
        given = tuple(steps.values())
        blank = Step(
            step_id,
            of,
            title,
            symbol or formula.result,
            None,
            formula.units[formula.result],
            "formula",
            self._names(given),
            formula.source,
            formula.edition,
            places,
            standing=formula.standing,
            note=note,
        )
        missing = _all(item.missing for item in given)
        if missing:
            return self._write(
                blank.but(missing=missing, ask=next((item.ask for item in given if item.ask), ""))
            )

        def worked() -> Worked:
            values = {
                name: value for name, item in steps.items() if (value := item.figure) is not None
            }
            return Worked(formula.value(values), figures=Figures(formula, values))

        return self._write(
            LazyStep.of_step(self._with_evidence(blank.but(assumed=self._assumed(*given))), worked)
        )

    def put(self, step: Step) -> Step:
        """A step that was made elsewhere, by code that other rooms use too."""
        return self._write(step)

    # A step that is written and learns more

    def amend(self, step: Step, low: float, high: float) -> Step:
        """Give a step its band."""
        return self._rewrite(step.but(low=low, high=high))

    def from_rows(self, step: Step, *rows: RowRead) -> Step:
        """Say that a step rests on these rows first; the first one is its source."""
        return self._rewrite(
            step.but(
                rows=(*rows, *step.rows),
                source=rows[0].source,
                edition=rows[0].edition,
                standing=rows[0].standing,
            )
        )

    def refuse(self, step: Step, missing: Sequence[Input], ask: str) -> Step:
        """Take back a step whose inputs do not belong together."""
        return self._rewrite(
            step.but(value=None, figures=None, missing=self._names(missing), ask=ask)
        )

    def guessed(self, step: Step, value: Told) -> Step:
        """Say that a step stands for a value the file does not give: it counts as assumed."""
        return self._rewrite(step.but(assumed=_all((step.assumed, (place_of(value),)))))

    # Inside

    def _write(self, step: Step) -> Step:
        if (step.id, step.of) in self._steps:
            raise ValueError(f"the step {step.identity} is written twice")
        if self.installation.rules == "nec":
            step = step_in_nec_words(step)
        return self._rewrite(self._with_evidence(step) if step.known else step)

    @staticmethod
    def _with_evidence(step: Step) -> Step:
        read = read_so_far()
        return step.but(assumed=_all((step.assumed, read))) if read or step.assumed else step

    def _rewrite(self, step: Step) -> Step:
        self._steps[(step.id, step.of)] = step
        return step

    @staticmethod
    def _names(inputs: Iterable[Input]) -> tuple[str, ...]:
        return tuple(item.identity if isinstance(item, Step) else _path(item) for item in inputs)

    def _assumed(self, *inputs: Input) -> tuple[str, ...]:
        """What inputs rest on that nobody checked; a step hands on what it rests on itself."""
        found: dict[str, None] = {}
        for item in inputs:
            if isinstance(item, Step):
                if item.assumed:
                    found.update(dict.fromkeys(item.assumed))
            elif self._any_assumed:
                path = _path(item)
                if self.installation.how_known(path) == "assumed":
                    found[path] = None
        return tuple(found)

    def _how(self, value: Told) -> str:
        how = self.installation.how_known(place_of(value))
        return f"the file, {how}" if how else "the file, as its author states"


def step_in_nec_words(step: Step) -> Step:
    """The same step with its sentences in the words of rule set nec."""
    words = {name: in_nec_words(step.__dict__[name]) for name in ("title", "note", "ask")}
    if not isinstance(step, LazyStep):
        return step.but(**words)
    lazy = LazyStep.of_step(step, step.work)
    lazy.__dict__.update(words)
    return lazy


def _figure(item: Step | Amount) -> float | None:
    """The figure of a step or of a value of the file; None where it is not known."""
    if isinstance(item, Step):
        return item.figure
    return item if is_known(item) else None


def _path(item: Told) -> str:
    """A path that is written out, or the one a value carries."""
    return item if type(item) is str else place_of(item)


def _all(several: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(path for each in several for path in each))


def _asked(steps: Iterable[Step]) -> str:
    return "; ".join(dict.fromkeys(step.ask for step in steps if step.ask))


def row_read(row: Row, value: float, unit: str, because: str = "") -> RowRead:
    """The row of a table as a step keeps it."""
    return RowRead(
        row.table,
        _cells(row),
        value,
        unit,
        source(row.source).title,
        row.edition,
        row.standing,
        because,
    )


@cache
def _cells(row: Row) -> str:
    return ", ".join(
        f"{column} {text}"
        for column, text in row.cells.items()
        if text and column not in ("edition", "source", "standing")
    )


def _whom_to_ask(value: object) -> str:
    assert isinstance(value, Absent)
    if value == UNDECLARED:
        return f"ask the maker for '{value.path}'"
    if value == NONE:
        return f"'{value.path}' is none"
    return f"measure or ask for '{value.path}'"
