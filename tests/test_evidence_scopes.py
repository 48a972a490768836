"""Evidence: scopes keep what is read inside them, over yields, turns of a loop and processes."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from dataclasses import dataclass, replace

from firstway.model.evidence import each, note, noting, plain, read_so_far, resting, scope


@dataclass(frozen=True)
class Part:
    path: str
    size: float = 1.0
    length: float = 2.0


@dataclass(frozen=True)
class Piece:
    id: str
    size: float = 1.0
    evidence: tuple[str, ...] = ()


def test_reading_an_assumed_key_notes_its_path() -> None:
    part = noting(Part("a.b"), ["size"])
    with scope() as seen:
        assert part.length == 2.0 and seen.paths == ()
        assert part.size == 1.0 and seen.paths == ("a.b.size",)
    assert part.size == 1.0, "without an open scope nobody asks"


def test_a_changed_part_still_notes() -> None:
    longer = replace(noting(Part("a.b"), ["size"]), length=5.0)
    with scope() as seen:
        assert longer.size == 1.0
    assert seen.paths == ("a.b.size",)


def test_parts_are_equal_whether_they_note_or_not() -> None:
    assert noting(Part("a"), ["size"]) == Part("a") == noting(Part("a"), ["length"])
    assert noting(Part("a"), ["size"]) != Part("b") and plain(noting(Part("a"), ["size"])) is Part


def test_a_part_notes_in_another_process_too() -> None:
    for item, paths in ((noting(Part("a"), ["size"]), ("a.size",)), (resting(Piece("x", evidence=("b",))), ("b",))):
        sent = pickle.loads(pickle.dumps(item))
        with scope() as seen:
            assert sent.size == 1.0
        assert seen.paths == paths


def test_what_is_made_rests_on_its_evidence() -> None:
    piece = resting(Piece("x", evidence=("a", "b")))
    with scope() as seen:
        assert piece.id == "x" and seen.paths == ()
        assert piece.size == 1.0
    assert seen.paths == ("a", "b")
    assert type(resting(Piece("y"))) is Piece, "without evidence it stays what it is"


def test_an_inner_scope_keeps_its_readings_until_they_count() -> None:
    with scope() as around:
        note("a")
        with scope() as inside:
            note("b")
            assert read_so_far() == ("b", "a")
        assert around.paths == ("a",)
        inside.counts()
    assert around.paths == ("a", "b")


def test_a_turn_forgets_the_turn_before_and_the_end_remembers_all() -> None:
    with scope() as seen:
        note("before")
        turns = []
        for name in each(["one", "two"]):
            note(name)
            turns.append(seen.paths)
        assert turns == [("before", "one"), ("before", "two")]
        assert set(seen.paths) == {"before", "one", "two"}
        for name in each(["three", "four"]):
            note(name)
            break
        assert set(seen.paths) == {"before", "one", "two", "three"}, "a loop that is left remembers too"


def test_a_generator_notes_in_the_scope_of_whoever_runs_it() -> None:
    def rule() -> Iterator[tuple[str, ...]]:
        for name in each(["one", "two"]):
            note(name)
            yield read_so_far()

    with scope() as seen:
        assert list(rule()) == [("one",), ("two",)]
    assert set(seen.paths) == {"one", "two"}
