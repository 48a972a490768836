"""Desk: what a study shows, in sentences: how often which check fails, where a verdict or a size
turns, and between what the steps lie.

It is told row by row and holds counts alone, so that a study may be long.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from firstway.checks.rule import AS_TOLD
from firstway.choosing.study import Study, StudyRow, VariedKey
from firstway.choosing.study_settings import is_setting, settings_told
from firstway.model.installation import Installation
from firstway.rendering.figures import amount_text
from firstway.workings.shared.step import Step

_MOST_TURNS, _KEPT_TURNS = 40, 10_000
_FEW = 8  # values of a step that is told where it turns; one of more is told by its ends
_BAD = AS_TOLD[:2]


class StudyTold:
    """What a study came to so far."""

    def __init__(self, study: Study, steps: Sequence[Step], in_order: bool) -> None:
        self.study, self.steps, self.in_order = study, steps, in_order
        self.rows = 0
        self.refused: Counter[str] = Counter()
        self.levels: dict[str, Counter[str]] = {}
        self.failing: dict[str, list[tuple[float, float]]] = {}
        self.values: dict[str, set[float | None]] = {}
        self.ends: dict[str, tuple[float, float]] = {}
        self.turns: list[tuple[str, str]] = []
        self._before: StudyRow | None = None

    def row(self, row: StudyRow) -> None:
        """One more row, in the order of the study."""
        values, refused, figures, levels = row
        self.rows += 1
        if refused:
            self.refused[refused] += 1
        for id_, level in levels.items():
            self.levels.setdefault(id_, Counter())[level] += 1
            if level in _BAD:
                self._fails(id_, [float(value) for value in values])
        for step, figure in zip(self.steps, figures):
            several = self.values.setdefault(step.identity, set())
            if len(several) <= _FEW:
                several.add(figure)
            if figure is not None:
                low, high = self.ends.get(step.identity, (figure, figure))
                self.ends[step.identity] = min(low, figure), max(high, figure)
        if self.in_order:
            self._turn(row)

    def _fails(self, id_: str, values: list[float]) -> None:
        before = self.failing.get(id_, [(value, value) for value in values])
        self.failing[id_] = [
            (min(low, value), max(high, value))
            for (low, high), value in zip(before, values, strict=True)
        ]

    def _turn(self, row: StudyRow) -> None:
        before, self._before = self._before, row
        if before is None or before[0][:-1] != row[0][:-1]:
            return
        where = f"between {before[0][-1]} and {row[0][-1]}" + "".join(
            f", {path} {value}" for path, value in zip(self.study.paths, row[0][:-1])
        )
        was, now = self._words(before), self._words(row)
        # Where nothing was worked no verdict turned: the whole did.
        names = dict.fromkeys((*was, *now)) if not before[1] and not row[1] else ["the whole"]
        for name in names:
            one, other = was.get(name, "nothing"), now.get(name, "nothing")
            if one != other and len(self.turns) < _KEPT_TURNS:
                self.turns.append((name, f"{name} turns from {one} to {other} {where}."))

    def _words(self, row: StudyRow) -> dict[str, str]:
        """What may turn: verdicts, and steps of few values."""
        if row[1]:
            return {"the whole": "refused"}
        words: dict[str, str] = dict(row[3])
        for step, figure in zip(self.steps, row[2]):
            if len(self.values[step.identity]) <= _FEW:
                words[step.identity] = _figure(step, figure)
        return {"the whole": "worked", **words}

    def sentences(self, installation: Installation, varied: Sequence[VariedKey]) -> Iterator[str]:
        """The whole, the gravest first."""
        for each in varied:
            yield _of_key(installation, each)
        for why, count in self.refused.most_common(5):
            yield f"Nothing worked in {count} of {self.rows} rows: {why}."
        yield from self._verdicts()
        few = {name for name, values in self.values.items() if len(values) > _FEW}
        turns = [words for name, words in self.turns if name not in few]
        yield from turns[:_MOST_TURNS]
        if len(turns) > _MOST_TURNS:
            yield f"Verdicts and sizes turn {len(turns) - _MOST_TURNS} times more: see the table."
        yield from self._same()
        for step in self.steps:
            yield from self._ends(step)

    def _verdicts(self) -> Iterator[str]:
        always: dict[str, list[str]] = {}
        worked = self.rows - self.refused.total()
        every = "every row" if worked == self.rows else "every row that was worked"
        for id_, counts in sorted(self.levels.items(), key=lambda each: _gravity(each[1])):
            if len(counts) == 1 and counts.total() == worked:
                always.setdefault(next(iter(counts)), []).append(id_)
                continue
            told = ", ".join(f"{level} {counts[level]}" for level in AS_TOLD if counts[level])
            yield f"{id_}, of {worked} rows: {told}." + self._where(id_)
        for level in AS_TOLD[:3]:
            if level in always:
                yield f"In {every} {level}: {', '.join(always[level])}."

    def _where(self, id_: str) -> str:
        if id_ not in self.failing:
            return ""
        spans = (
            f"{path} {low:g} to {high:g}"
            for path, (low, high) in zip(self.study.paths, self.failing[id_])
        )
        return f" It fails with {', '.join(spans)}."

    def _same(self) -> Iterator[str]:
        same = [
            f"{step.identity} {_figure(step, self.ends[step.identity][0])}"
            for step in self.steps
            if step.identity in self.ends and len(self.values[step.identity]) == 1
        ]
        if same:
            yield f"The same in every row: {'; '.join(same)}."

    def _ends(self, step: Step) -> Iterator[str]:
        several = self.values[step.identity]
        if len(several) > 1 and step.identity in self.ends:
            low, high = self.ends[step.identity]
            yield f"{step.identity}: {_figure(step, low)} to {_figure(step, high)}."
        if None in several:
            where = "some rows" if step.identity in self.ends else "any row"
            yield f"{step.identity} is not known in {where}: {step.ask or 'see the checks'}."


def _of_key(installation: Installation, varied: VariedKey) -> str:
    how = installation.how_known(varied.path)
    span = (
        f"{', '.join(varied.values[:_FEW])}{' ...' if len(varied.values) > _FEW else ''}"
        if varied.values
        else f"{varied.low:g} to {varied.high:g}"
    )
    if is_setting(varied.path):
        return f"Varied: {varied.path}: {span}; {settings_told(varied.path)}."
    known = {
        "assumed": "assumed in the file, so it is in each row: no check that rests on it passes",
        None: "taken as its author states it",
    }.get(how, f"{how} in the file, and taken so in each row")
    return f"Varied: {varied.path}: {span}; {known}."


def _gravity(counts: Counter[str]) -> tuple[int, ...]:
    return tuple(-counts[level] for level in AS_TOLD)


def _figure(step: Step, value: float | None) -> str:
    return "unknown" if value is None else amount_text(value, step.unit)
