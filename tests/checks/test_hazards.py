"""The table of hazards: every key of an installation, made dangerous or wrong, is answered by the
finding that should name it.

The rows were written from the rule sets and from physics, with their clause, before the rules that
answer them; none came from what the program says. A teacher can add a row to a file of
tests/hazards (see hazard_trials.py for how a change is written). `waiting.txt` lists what nothing
answers yet; it only ever shrinks.
"""

from __future__ import annotations

import hashlib
import random
import re
from functools import cache

import pytest
from hazard_trials import (
    FOLDER,
    GRAVITY,
    LEVELS,
    Row,
    Trial,
    _leaves,
    answer,
    chosen,
    every_key,
    keys_of,
    lines_of,
    new_findings,
    parts_of,
    rows,
    sized,
    topics,
    trials,
    unanswered,
)
from sampling import EVERY_JOB, JOBS
from telling import Tell

from firstway.checks.running import rules

FEWEST_TRIALS = 500
ONE_IN = 28  # of all trials in the plain run
PAIRS, FAST_PAIRS, SEED = 300, 12, 20270113
HARMLESS_FEWEST, FAST_HARMLESS = 50, 6
RULES = {module.RULE.id for module in rules()}
WAITING = FOLDER / "waiting.txt"


# ---- the files


def test_there_are_enough_trials_and_every_file_has_rows() -> None:
    assert len(trials()) >= FEWEST_TRIALS
    assert {row.topic for row in rows()} == set(topics())


def test_every_row_names_a_level_a_finding_a_clause_and_a_reason() -> None:
    for row in rows():
        assert set(row.levels) <= set(LEVELS), row.where
        assert all(re.fullmatch(r"[a-z0-9-]+", id) for id in row.ids) or "problem" in row.levels, (
            row.where
        )
        assert row.clause and row.why, row.where


def test_no_row_stands_twice() -> None:
    """The same change may ask for two findings, not twice for one."""
    seen: dict[tuple[str, str, tuple[str, ...]], str] = {}
    for trial in trials():
        key = (trial.name, trial.row.change, trial.row.ids)
        assert seen.setdefault(key, trial.row.where) == trial.row.where, (
            f"{trial.row.where} and {seen[key]}"
        )


def test_every_rule_named_exists_or_its_row_waits() -> None:
    waits = waiting()
    for row in rows():
        if set(row.levels) != {"problem"} and any(
            waits_for(row, name) not in waits for name in chosen(row.installations)
        ):
            assert set(row.ids) & RULES or "problem" in row.levels, (
                f"{row.where}: no rule is called {' or '.join(row.ids)}"
            )


@cache
def cannot_endanger() -> dict[str, frozenset[str]]:
    found = {
        each["key"]: frozenset(chosen(each["installations"]))
        for each in lines_of("cannot-endanger")
    }
    assert all(each["reason"] for each in lines_of("cannot-endanger"))
    return found


def test_every_key_of_every_installation_is_in_the_table_or_cannot_endanger_anyone() -> None:
    touched: dict[str, set[str]] = {}
    for trial in trials():
        for key in keys_of(trial.row.change, trial.name):
            touched.setdefault(key, set()).add(trial.name)
    excused = cannot_endanger()
    keys = set(every_key())
    assert set(excused) - keys == set(), "an excuse for a key the model does not have"
    missing = [key for key in keys if key not in touched and key not in excused]
    for name in EVERY_JOB:
        stated = {key.lstrip(".") for key in _leaves(sized(name), "")} & keys
        missing += [
            f"{key} in {name}"
            for key in stated
            if name not in touched.get(key, ()) and name not in excused.get(key, ())
        ]
    assert sorted(missing) == []


def test_an_excuse_is_needed() -> None:
    """A key that a row makes dangerous in an installation is not excused there."""
    touched = {
        (key, trial.name)
        for trial in trials()
        if set(trial.row.levels) != {"problem"}
        and len(parts_of(trial.row.change)) == 1
        and "{" not in trial.row.change
        for key in keys_of(trial.row.change, trial.name)
    }
    assert [
        (key, name)
        for key, names in cannot_endanger().items()
        for name in names
        if (key, name) in touched
    ] == []


# ---- what waits


def waits_for(row: Row, name: str) -> str:
    return f"{name} | {row.change} | {'|'.join(row.ids)}"


@cache
def waiting() -> frozenset[str]:
    """Trials that nothing answers yet: `installations | change | ids` a line, `#` begins a
    heading.
    """
    found = set()
    for line in WAITING.read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            names, change, ids = line.split(" | ")
            found |= {f"{name} | {change} | {ids}" for name in names.split()}
    return frozenset(found)


def test_what_waits_is_in_the_table() -> None:
    assert waiting() - {waits_for(trial.row, trial.name) for trial in trials()} == set()


# ---- the trials


def judged(some: list[Trial]) -> list[str]:
    """What is wrong with these trials: unanswered and not waiting, or waiting and answered."""
    wrong = []
    for trial in some:
        reason, waits = unanswered(trial), waits_for(trial.row, trial.name) in waiting()
        if reason and not waits:
            wrong.append(f"{trial.row.where} {trial.id}: {reason}")
        if not reason and waits:
            wrong.append(f"{trial.row.where} {trial.id}: answered now, strike it from waiting.txt")
    return wrong


def _sampled(trial: Trial) -> bool:
    return int(hashlib.sha256(trial.id.encode()).hexdigest(), 16) % ONE_IN == 0


def test_a_sample_of_hazards_is_answered() -> None:
    assert judged([trial for trial in trials() if _sampled(trial)]) == []


@pytest.mark.long
@pytest.mark.parametrize("name", JOBS)
def test_every_hazard_is_answered(name: str, tell: Tell) -> None:
    own = [trial for trial in trials() if trial.name == name]
    wrong = judged(own)
    waits = sum(waits_for(trial.row, name) in waiting() for trial in own)
    tell(f"{name}: {len(own)} hazards, {waits} of them wait for a rule")
    assert wrong == [], "\n".join(wrong)


# ---- two at once


def _pairs(how_many: int) -> list[tuple[Trial, Trial]]:
    """Pairs of answered hazards of one installation that touch different sections of its file."""
    source = random.Random(SEED)
    usable = [
        trial
        for trial in trials()
        if "problem" not in trial.row.levels and waits_for(trial.row, trial.name) not in waiting()
    ]
    found: list[tuple[Trial, Trial]] = []
    while len(found) < how_many:
        one = source.choice(usable)
        other = source.choice([trial for trial in usable if trial.name == one.name])
        if not _sections(one) & _sections(other) and not _one_cures_the_other(one, other):
            found.append((one, other))
    return found


def _one_cures_the_other(one: Trial, other: Trial) -> bool:
    """Whether physics lets one change make the other harmless, as `cures.csv` says with
    its reason.
    """
    changes = (one.row.change, other.row.change)
    return any(
        cure["one"] in first and cure["other"] in second
        for cure in lines_of("cures")
        for first, second in (changes, changes[::-1])
    )


def _sections(trial: Trial) -> set[str]:
    return {key.split(".")[0] for key, _ in parts_of(trial.row.change)}


def _gravest(name: str, change: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for id, _, _, level, _ in answer(name, change).findings:
        found[id] = max(found.get(id, 0), GRAVITY[level])
    return found


def _milder_together(one: Trial, other: Trial) -> list[str]:
    """Findings asked of either hazard that both together make milder."""
    both = f"{one.row.change}; {other.row.change}"
    if answer(one.name, both).problems:
        return []  # refused: nothing graver can be said
    together = _gravest(one.name, both)
    milder = []
    for trial in (one, other):
        asked = {
            id: GRAVITY[level]
            for id, _, _, level, _ in new_findings(trial.name, trial.row.change)
            if id in trial.row.ids
        }
        if asked and max(together.get(id, 0) for id in asked) < max(asked.values()):
            milder.append(
                f"{one.name}: {one.row.change}  AND  {other.row.change}: {sorted(asked)} becomes"
                " milder"
            )
    return milder


def test_two_hazards_at_once_are_no_milder() -> None:
    print(f"seed {SEED}")
    assert [
        line for one, other in _pairs(FAST_PAIRS) for line in _milder_together(one, other)
    ] == []


@pytest.mark.long
def test_three_hundred_pairs_of_hazards_are_no_milder(tell: Tell) -> None:
    milder = [line for one, other in _pairs(PAIRS) for line in _milder_together(one, other)]
    tell(f"{PAIRS} pairs of hazards, seed {SEED}: {len(milder)} milder together")
    assert milder == [], "\n".join(milder)


# ---- what harms nobody


def _harmless() -> list[tuple[str, str]]:
    return [
        (name, each["change"])
        for each in lines_of("harmless")
        for name in chosen(each["installations"])
    ]


def _raised(name: str, change: str) -> list[str]:
    said = answer(name, change)
    assert not said.problems, f"{name}: {change}: {said.problems}"
    before = _gravest_at(name, "")
    return [
        f"{name}: {change}: {id} {level} at {place}"
        for id, _, place, level, _ in new_findings(name, change)
        if GRAVITY[level] >= GRAVITY["fail"] and GRAVITY[level] > before.get((id, place), 0)
    ]


def _gravest_at(name: str, change: str) -> dict[tuple[str, str], int]:
    found: dict[tuple[str, str], int] = {}
    for id, _, place, level, _ in answer(name, change).findings:
        found[id, place] = max(found.get((id, place), 0), GRAVITY[level])
    return found


def test_there_are_enough_harmless_changes() -> None:
    assert len(lines_of("harmless")) >= HARMLESS_FEWEST and all(
        each["why"] for each in lines_of("harmless")
    )


def test_a_few_harmless_changes_raise_no_fail() -> None:
    some = random.Random(SEED).sample(_harmless(), FAST_HARMLESS)
    assert [line for name, change in some for line in _raised(name, change)] == []


@pytest.mark.long
def test_no_harmless_change_raises_a_fail() -> None:
    raised = [line for name, change in _harmless() for line in _raised(name, change)]
    assert raised == [], "\n".join(raised)
