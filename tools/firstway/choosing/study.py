"""Choosing: one installation with some of its figures varied: what the checks say and what is
worked in each row.

Varied are keys of the file, and what `study_settings` names beside them. A varied value is known in
the way the file says of its key: what the file assumes stays assumed in every row, so no check that
rests on it passes. A row is read, chosen, worked and checked as a file that says so would be.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import product
from math import prod
from random import Random
from typing import Any

from firstway.checks.rule import AS_TOLD, Case, Level
from firstway.checks.running import findings_of, rules_of
from firstway.choosing.completing import chosen_case
from firstway.choosing.study_settings import (
    SURGE_SETTINGS,
    WAVE,
    is_setting,
    study_settings,
    with_settings,
)
from firstway.files.keeping import nothing_kept
from firstway.files.plain_values import suggestion
from firstway.files.specs import Number, specs_of
from firstway.files.yaml_reader import Text
from firstway.frozen import dataclass
from firstway.model.agreement import disagreements
from firstway.model.installation import Installation
from firstway.model.mistakes import with_key
from firstway.model.reading import installation_from_yaml
from firstway.model.values import Placed
from firstway.problems import Problem, visible
from firstway.workings.shared.step import Step, Workings
from firstway.workings.surge.waves import USUAL_SURGE, AskedSurge
from firstway.workings.working_through import workings_for_surge

MOST_ROWS_OF_STUDY = 1_000_000
UNTOLD_VALUES = 11  # of a range whose number of values is not given
USUAL_STEPS = (
    "maximum-demand",
    "design-current",
    "device-rating",
    "conductor-size",
    "length",
    "voltage-drop-percent",
    "loop-impedance",
    "disconnection-time",
    "touch-voltage",
    "spd-lead-length",
    "effective-protection-level",
)
_NUMBER = r"-?\d+(?:\.\d+)?(?:[eE]-?\d+)?"
_RANGE = re.compile(rf"({_NUMBER})\.\.({_NUMBER})(?:/(\d{{1,7}}))?")
_LIST = re.compile(rf"{_NUMBER}(?:,{_NUMBER})*")
_FORM = "write KEY=LOW..HIGH, KEY=LOW..HIGH/NUMBER or KEY=VALUE,VALUE"


@dataclass(frozen=True)
class VariedKey:
    """A key and what it takes: the values named, or any from `low` to `high`."""

    path: str
    whole: bool
    values: tuple[str, ...] = ()
    low: float = 0.0
    high: float = 0.0

    @property
    def words(self) -> bool:
        """Whether its values are words, not numbers."""
        return self.path == WAVE

    def drawn(self, share: float) -> str:
        """One of its values, by a share from 0 up to 1."""
        if self.values:
            return self.values[int(share * len(self.values))]
        if self.whole:
            return f"{self.low + int(share * (self.high - self.low + 1)):.0f}"
        return _figure(min(max(float(f"{self._at(share):.6g}"), self.low), self.high))

    def spaced(self, number: int) -> VariedKey:
        """Evenly spaced values, both ends among them."""
        shares = [place / max(1, number - 1) for place in range(number)]
        each = (_figure(self._at(share)) for share in shares)
        return VariedKey(self.path, self.whole, tuple(dict.fromkeys(each)))

    def _at(self, share: float) -> float:
        return self.low + (self.high - self.low) * share


@dataclass(frozen=True)
class Study:
    """What is varied, and what is asked of each row: `steps` as (id, of); `checks` by id, "all of
    them" where there are neither.
    """

    text: str
    file: str
    name: str
    paths: tuple[str, ...]
    steps: tuple[tuple[str, str], ...]
    checks: tuple[str, ...]


StudyRow = tuple[tuple[str, ...], str, tuple[float | None, ...], dict[str, Level]]
"""Plain data: the varied values; why nothing could be worked, or ""; the steps, None for what is
not known; the gravest level of each check that had something to say.
"""


def study_from(
    installation: Installation,
    text: str,
    wanted: Sequence[str],
    steps: str = "",
    checks: str = "",
    random: int = 0,
) -> tuple[Study, tuple[VariedKey, ...], list[Problem]]:
    """A study as a user asks for it: `wanted` as `KEY=LOW..HIGH/NUMBER`, steps as `ID:OF,...`.

    Steps or checks that are named are worked alone; where none are, all checks and the usual steps.
    """
    numbers = {**numeric_keys(installation), **study_settings(installation)}
    varied: list[VariedKey] = []
    problems: list[Problem] = []
    for each in wanted:
        found, wrong = _varied(installation, each, numbers, bool(random))
        varied += [found] if found else []
        problems += wrong
    paths = tuple(each.path for each in varied)
    problems += [
        Problem("--vary", 0, f"'{path}' is varied twice", "name each key once")
        for path in dict.fromkeys(paths)
        if paths.count(path) > 1
    ]
    if not 0 <= random <= MOST_ROWS_OF_STUDY or rows_of_grid(varied) > MOST_ROWS_OF_STUDY:
        hint = f"a study has at most {MOST_ROWS_OF_STUDY:,} rows: ask for fewer"
        problems.append(Problem("--vary", 0, "these are no or too many rows", hint))
    rules = rules_known(installation)
    named = tuple(filter(None, checks.split(",")))
    problems += [
        _unknown("--checks", each, rules, "name checks as the guide's page of them does")
        for each in named
        if each not in rules
    ]
    if problems or not varied:
        return Study("", "", "", (), (), ()), (), problems
    pairs, problems = _steps(installation, steps)
    if not steps and not named:
        named = rules
    file, name = installation.file, installation.name
    study = Study(text, file, name, paths, pairs, named)
    of_surge = next((path for path in paths if path in SURGE_SETTINGS), "")
    if of_surge and not problems and (named or not _surge_alone(study)):
        point = installation.charging_points[0].name
        hint = f"name steps of a surge alone, such as --steps surge-at-vehicle:{point}"
        problems = [Problem("--vary", 0, f"'{of_surge}' changes no check, but surges", hint)]
    return study, tuple(varied), problems


def numeric_keys(installation: Installation) -> dict[str, Number]:
    """Every key of an installation that takes a number, by its path, stated or not."""
    found: dict[str, Number] = {}

    def look(section: Placed) -> None:
        of: type = type(section)
        for name, spec in specs_of(of).items():
            if isinstance(spec.kind, Number):
                found[f"{section.path}.{name}".lstrip(".")] = spec.kind
        for value in vars(section).values():
            for item in value if isinstance(value, tuple) else (value,):
                if isinstance(item, Placed):
                    look(item)

    look(installation)
    return found


def rules_known(installation: Installation) -> tuple[str, ...]:
    """The checks of its rule set."""
    return tuple(sorted({module.RULE.id for module in rules_of(installation.rules)}))


def _varied(
    installation: Installation, wanted: str, numbers: dict[str, Number], random: bool
) -> tuple[VariedKey | None, list[Problem]]:
    path, _, values = (part.strip() for part in wanted.partition("="))
    if path not in numbers:
        why = f"'{visible(path)}' is no key of this installation that takes a number"
        hint = suggestion(path, numbers) or (
            "name a key as in circuits.NAME.route.1.length_m, or one of"
            f" {', '.join(study_settings(installation))}"
        )
        return None, [Problem("--vary", 0, why, hint)]
    whole = numbers[path].whole
    span = _RANGE.fullmatch(values) if path != WAVE else None
    if span:
        low, high, number = float(span[1]), float(span[2]), int(span[3] or 0)
        ends = VariedKey(path, whole, (), low, high)
        if low >= high or number == 1 or number > MOST_ROWS_OF_STUDY:
            return None, [Problem("--vary", 0, f"'{values}' is no range", f"{_FORM}, low first")]
        if random and number:
            hint = "leave out --random, or the number behind the range"
            return None, [Problem("--vary", 0, f"'{values}' gives a number of values", hint)]
        count = int(high - low) + 1
        own = number or (count if whole and count <= 50 else UNTOLD_VALUES)
        made = ends if random else ends.spaced(own)
    elif path == WAVE or _LIST.fullmatch(values):
        made = VariedKey(path, whole, tuple(dict.fromkeys(values.split(","))))
    else:
        return None, [Problem("--vary", 0, f"'{visible(wanted)}' cannot be read", _FORM)]
    tried = made.values or (_figure(made.low), _figure(made.high))
    wrong = [
        replace(problem, file=f"--vary {path}={value}")
        for value in tried
        for problem in _with(installation, {path: value}, "--vary")[2]
    ]
    return made, wrong[:3]


def _with(
    installation: Installation, values: Mapping[str, str], file: str
) -> tuple[Installation, AskedSurge, list[Problem]]:
    """The installation with each value: keys of the file first, whatever their order."""
    settings = {}
    for path, value in values.items():
        if is_setting(path):
            settings[path] = value
            continue
        installation, problems = with_key(installation, path, Text(value, 0), file)
        if problems:
            return installation, USUAL_SURGE, problems
    return with_settings(installation, settings, file)


def _unknown(option: str, word: str, known: Sequence[str] | dict[str, Any], hint: str) -> Problem:
    return Problem(option, 0, f"'{visible(word)}' is not known", suggestion(word, known) or hint)


def _steps(
    installation: Installation, steps: str
) -> tuple[tuple[tuple[str, str], ...], list[Problem]]:
    case, problems = chosen_case(installation, {})
    if case is None:
        return (), problems
    known = [step.identity.replace(" ", ":", 1) for step in case.workings]
    wanted = list(filter(None, steps.split(",")))
    problems = [
        _unknown("--steps", each, known, "write ID:OF as `work` names them, such as length:CIRCUIT")
        for each in wanted
        if each not in known
    ]
    if not steps:
        wanted = [each for id_ in USUAL_STEPS for each in known if each.split(":")[0] == id_]
    return tuple((each.split(":")[0], each.split(":", 1)[1]) for each in wanted), problems


def _figure(value: float) -> str:
    return f"{value:.12g}"


# ---- rows


def grid(varied: Sequence[VariedKey]) -> Iterator[tuple[str, ...]]:
    """Every pairing of the values; the last key's change from row to row."""
    return product(*(each.values for each in varied))


def rows_of_grid(varied: Sequence[VariedKey]) -> int:
    """How many that are."""
    return prod(max(1, len(each.values)) for each in varied)


def sample(varied: Sequence[VariedKey], number: int, seed: str) -> Iterator[tuple[str, ...]]:
    """So many rows at random, the same for the same seed on every computer."""
    lots = Random(seed)
    for _ in range(number):
        yield tuple(each.drawn(lots.random()) for each in varied)


def rows(study: Study, several: Sequence[tuple[str, ...]]) -> list[StudyRow]:
    """A few rows worked; they lie together because a row is little work."""
    with nothing_kept():
        return [_row(study, values) for values in several]


def _row(study: Study, values: tuple[str, ...]) -> StudyRow:
    installation = _installation(study.text, study.file, study.name)
    each = dict(zip(study.paths, values, strict=True))
    installation, asked, problems = _with(installation, each, study.file)
    if problems := problems or disagreements(installation):
        return _refused(values, problems)
    if not study.checks and _surge_alone(study):
        return values, "", _values(workings_for_surge(installation, asked), study), {}
    case, problems = chosen_case(installation, {})
    if case is None:
        return _refused(values, problems)
    return values, "", _values(case.workings, study), _levels(case, study.checks)


def _refused(values: tuple[str, ...], problems: Sequence[Problem]) -> StudyRow:
    return values, "; ".join(dict.fromkeys(each.message for each in sorted(problems))), (), {}


def _values(workings: Workings, study: Study) -> tuple[float | None, ...]:
    return tuple(workings.value(*step) for step in study.steps)


def _levels(case: Case, checks: Sequence[str]) -> dict[str, Level]:
    """The gravest level of each check: what is not known outweighs advice and a pass."""
    found: dict[str, Level] = {}
    for finding in findings_of(case, checks) if checks else ():
        before = found.get(finding.id, AS_TOLD[-1])
        found[finding.id] = min(before, finding.level, key=AS_TOLD.index)
    return found


@cache
def _installation(text: str, file: str, name: str) -> Installation:
    found, problems = installation_from_yaml(text, file, name)
    assert found is not None, problems  # it was read before
    return found


@cache
def _surge_alone(study: Study) -> bool:
    """Whether the steps asked for are worked without the rest of the installation."""
    own = workings_for_surge(_installation(study.text, study.file, study.name)).by_identity
    return all(step in own for step in study.steps)


def steps_of_study(study: Study) -> tuple[Step, ...]:
    """The steps of the file as it stands, for their titles and units."""
    case, _ = chosen_case(_installation(study.text, study.file, study.name), {})
    return tuple(case.workings.by_identity[step] for step in study.steps) if case else ()
