"""Desk: a study worked by several processes and written as a table, whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import islice
from pathlib import Path

from firstway.choosing.study import Study, StudyRow, VariedKey, rows, steps_of_study
from firstway.choosing.study_settings import SURGE_SETTINGS, shown_setting
from firstway.desk.papers.making import Progress
from firstway.desk.shared.csv_tables import csv_text
from firstway.desk.study_told import StudyTold
from firstway.drawing.chart import Axis, Chart, ChartLine, chart, nice_top
from firstway.drawing.svg import standalone
from firstway.files.folders import room_for
from firstway.problems import Problem
from firstway.rendering.figures import digits
from firstway.rendering.html import caution_line
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers
from firstway.workings.shared.step import Step
from firstway.workings.surge.steps import ILLUSTRATIVE

_TOGETHER = 16  # rows of one part: little work each
_BANDS = 200


def run_study(
    study: Study,
    varied: Sequence[VariedKey],
    values: Iterable[tuple[str, ...]],
    number: int,
    in_order: bool,
    out: Path,
    by: Workers,
    progress: Progress,
    edition: str,
    chart_file: Path | None = None,
) -> tuple[StudyTold, list[Problem]]:
    """Write the table, and a chart of the first step where one is asked for, and tell what they
    show. `in_order`: values rise from row to row, so that it can be said where a verdict turns.
    """
    steps = steps_of_study(study)
    told = StudyTold(study, steps, in_order)
    heads = (*study.paths, "refused", *map(_head, steps), *study.checks)
    places = [path for path in (out, chart_file) if path is not None]
    problems = [
        Problem(path.as_posix(), 0, "this is a folder, not a file", "name a file in it")
        for path in places
        if path.is_dir()
    ]
    if chart_file and not steps:
        hint = "name one with --steps ID:OF"
        problems.append(Problem("--chart", 0, "there is no step to draw", hint))
    if chart_file and varied[0].words:
        hint = "name a key of numbers first: along it the step is drawn"
        problems.append(Problem("--chart", 0, f"'{varied[0].path}' has words", hint))
    if problems:
        return told, problems
    curve = _Envelope(varied) if chart_file else None
    try:
        with room_for(out) as room:
            with open(room.fresh, "w", encoding="utf-8-sig", newline="") as table:
                table.write(csv_text([heads]))
                for several in spread(partial(rows, study), _parts(values), by):
                    table.write(csv_text(_cells(study, row) for row in several))
                    for row in several:
                        told.row(row)
                        if curve:
                            curve.row(row)
                    progress(f"row {told.rows} of {number}")
            if chart_file and curve:
                with room_for(chart_file) as beside:
                    beside.fresh.write_text(curve.drawn(study, steps[0], edition), encoding="utf-8")
                    beside.put_in_place()
            room.put_in_place()
    except OSError as error:
        what = f"it cannot be written ({error.strerror})"
        return told, [Problem(out.as_posix(), 0, what, "check the folder and its permissions")]
    return told, []


def _parts(values: Iterable[tuple[str, ...]]) -> Iterator[list[tuple[str, ...]]]:
    rest = iter(values)
    while part := list(islice(rest, _TOGETHER)):
        yield part


def _head(step: Step) -> str:
    return f"{step.identity} in {step.unit}" if step.unit else step.identity


def _cells(study: Study, row: StudyRow) -> Sequence[str]:
    values, refused, figures, levels = row
    shown = ["unknown" if figure is None else digits(figure) for figure in figures]
    return (
        *values,
        refused,
        *(shown or [""] * len(study.steps)),
        *(levels.get(check, "") for check in study.checks),
    )


class _Envelope:
    """The least and the greatest of the first step at each value of the first key, in narrow bands
    where the values are many; for each word apart where a key has words.
    """

    def __init__(self, varied: Sequence[VariedKey]) -> None:
        first = varied[0]
        ends = [float(value) for value in first.values] or [first.low, first.high]
        few = 0 < len(first.values) <= _BANDS
        self.low, self.high = min(ends), max(ends)
        self.width = 0.0 if few else (self.high - self.low) / _BANDS
        self.word = next((place for place, each in enumerate(varied) if each.words), None)
        words = ("",) if self.word is None else varied[self.word].values
        self.spans: dict[str, dict[float, tuple[float, float]]] = {word: {} for word in words}

    def row(self, row: StudyRow) -> None:
        values, _, figures, _ = row
        if not figures or figures[0] is None:
            return
        x, y = float(values[0]), figures[0]
        if self.width:
            x = self.low + self.width * round((x - self.low) / self.width)
        spans = self.spans["" if self.word is None else values[self.word]]
        least, most = spans.get(x, (y, y))
        spans[x] = min(y, least), max(y, most)

    def _lines(self, step: Step) -> Iterator[ChartLine]:
        for place, (word, spans) in enumerate(self.spans.items()):
            points = sorted(spans.items())
            look = "mark" if place == 0 else "ink"
            if all(least == most for least, most in spans.values()):
                yield ChartLine(word or step.title, [(x, most) for x, (_, most) in points], look)
                continue
            both = [("greatest", look, 1), ("least", "ink", 0)]
            for end, own, which in both:
                words = f"{end}, {word}" if word else end
                yield ChartLine(words, [(x, span[which]) for x, span in points], own)

    def drawn(self, study: Study, step: Step, edition: str) -> str:
        lines = tuple(line for line in self._lines(step) if line.points)
        values = [value for line in lines for _, value in line.points] or [0.0]
        title = f"{step.title} of {step.of}"
        told = f"{min(values):.6g} to {max(values):.6g} {step.unit}".strip()
        of_surge = not set(study.paths).isdisjoint(SURGE_SETTINGS)
        note = ILLUSTRATIVE if of_surge else step.note  # which names the usual wave
        what = Chart(
            title,
            f"{title} against {study.paths[0]} from {self.low:g} to {self.high:g}: {told}."
            f" {caution_line(edition)}",
            Axis(shown_setting(study.paths[0]), self.low, max(self.high, self.low + 1e-9)),
            Axis(f"in {step.unit}" if step.unit else "", min(0.0, *values), _top(max(values))),
            lines,
            note=f"{note + '. ' if note else ''}{caution_line(edition)}",
        )
        return standalone(chart(what, "study"))


def _top(value: float) -> float:
    return nice_top(value * 1.05) if value > 0 else 1.0
