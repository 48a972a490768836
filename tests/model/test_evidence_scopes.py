"""Evidence: scopes keep what is read inside them, over yields, turns of a loop and processes."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from changing import DIAGRAMS

from firstway.model.evidence import (
    each,
    note,
    noting,
    plain,
    read_so_far,
    resting,
    scope,
    with_known_by,
)
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.model.values import Absent, in_place_of, key_of, path_of


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
    for item, paths in (
        (noting(Part("a"), ["size"]), ("a.size",)),
        (resting(Piece("x", evidence=("b",)), "size"), ("b",)),
    ):
        sent = pickle.loads(pickle.dumps(item))
        with scope() as seen:
            assert sent.size == 1.0
        assert seen.paths == paths


def test_what_is_made_rests_on_its_evidence() -> None:
    piece = resting(Piece("x", evidence=("a", "b")), "size")
    with scope() as seen:
        assert piece.id == "x" and seen.paths == ()
        assert piece.size == 1.0
    assert seen.paths == ("a", "b")
    assert type(resting(Piece("y"), "size")) is Piece, "without evidence it stays what it is"


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
        assert set(seen.paths) == {
            "before",
            "one",
            "two",
            "three",
        }, "a loop that is left remembers too"


def test_what_is_read_to_find_an_item_counts_for_its_turn_and_those_that_follow() -> None:
    def found() -> Iterator[str]:
        note("whether there is a first")
        yield "first"
        note("whether there is a second")
        yield "second"
        note("whether there is a third")

    with scope() as seen:
        turns = []
        for name in each(found()):
            note(name)
            turns.append(set(seen.paths))
        assert turns == [
            {"whether there is a first", "first"},
            {"whether there is a first", "whether there is a second", "second"},
        ]
        assert "whether there is a third" in seen.paths


def test_a_generator_notes_in_the_scope_of_whoever_runs_it() -> None:
    def rule() -> Iterator[tuple[str, ...]]:
        for name in each(["one", "two"]):
            note(name)
            yield read_so_far()

    with scope() as seen:
        assert list(rule()) == [("one",), ("two",)]
    assert set(seen.paths) == {"one", "two"}


# ---- sections of an installation

MARRAM = DIAGRAMS / "marram.yaml"


def marram(known_by: dict[str, str]) -> Installation:
    """Marram with nothing known but what is said here."""
    text = MARRAM.read_text(encoding="utf-8")
    head, _, rest = text.partition("\nknown_by:")
    tail = "\n".join(line for line in rest.splitlines()[1:] if line and not line.startswith(" "))
    lines = [f"  {path}: {how}" for path, how in known_by.items()] or ["  {}"]
    whole = (
        "\n".join([head, "known_by:", *lines, tail, ""])
        if known_by
        else "\n".join([head, tail, ""])
    )
    found, problems = installation_from_yaml(whole, "marram.yaml", "marram")
    assert found is not None, problems
    return found


def test_every_value_knows_its_path() -> None:
    found = marram({})
    circuit = found.circuits[0]
    stretch = circuit.route[0]
    assert circuit.cable.csa_mm2.path == f"circuits.{circuit.name}.cable.csa_mm2"
    assert stretch.length_m.path == f"circuits.{circuit.name}.route.1.length_m"
    assert stretch.depth_m.path == f"circuits.{circuit.name}.route.1.depth_m", "an absent key too"
    assert (
        circuit.route.path == f"circuits.{circuit.name}.route"
        and found.electrodes.path == "electrodes"
    )
    assert (
        path_of(found.supply, "looped") == "supply.looped"
        and key_of(Absent("unknown", "a.b"), "c").path == "a.b.c"
    )


def test_a_changed_value_sits_where_the_old_one_sat() -> None:
    cable = marram({}).circuits[0].cable
    assert replace(cable, csa_mm2=1.5).csa_mm2.path == cable.csa_mm2.path
    assert in_place_of(cable.terminals_c, cable.terminals_c + 273).path == cable.terminals_c.path


def read_in(look: Callable[[], object]) -> set[str]:
    with scope() as seen:
        look()
    return set(seen.paths)


def test_an_entry_speaks_of_all_keys_below_that_have_none_of_their_own() -> None:
    found = marram(
        {"circuits.slipway.cable": "assumed", "circuits.slipway.cable.cores": "measured"}
    )
    cable = "circuits.slipway.cable"
    assert read_in(lambda: found.circuits[0].cable.csa_mm2) == {cable, f"{cable}.csa_mm2"}
    assert read_in(lambda: found.circuits[0].cable.cores) == {cable}
    assert (
        read_in(lambda: (found.circuits[0].route[0].length_m, found.supply.ze_ohm, found.board))
        == set()
    )


def test_keys_at_the_top_and_of_items_note_themselves() -> None:
    found = marram(
        {"rules": "assumed", "board.ways.F2.rating_a": "assumed", "electrodes": "assumed"}
    )
    assert read_in(lambda: found.rules) == {"rules"}
    assert read_in(lambda: [way.rating_a for way in found.board.ways]) == {"board.ways.F2.rating_a"}
    assert read_in(lambda: found.way("F2").name) == set(), "a name is what the file calls a thing"
    assert "electrodes" in read_in(lambda: found.electrodes)


def test_without_an_assumed_key_every_section_is_plain() -> None:
    found = marram({"supply.ze_ohm": "measured"})
    assert type(found) is Installation and type(found.supply) is plain(found.supply)


def test_what_is_assumed_no_more_is_noted_no_more() -> None:
    found = with_known_by(
        marram({"circuits.slipway.cable": "assumed", "rules": "assumed"}),
        {"supply.ze_ohm": "assumed"},
    )
    assert read_in(lambda: (found.rules, found.circuits[0].cable.csa_mm2)) == set()
    assert read_in(lambda: found.supply.ze_ohm) == {"supply.ze_ohm"} and type(found) is Installation


def test_evidence_survives_a_change_and_another_process() -> None:
    found = marram({"supply.ze_ohm": "assumed"})
    changed = replace(found, supply=replace(found.supply, phases=1), title="other")
    for each_ in (changed, pickle.loads(pickle.dumps(changed))):
        assert read_in(lambda: each_.supply.ze_ohm) == {"supply.ze_ohm"}
        assert each_.supply.ze_ohm.path == "supply.ze_ohm"
