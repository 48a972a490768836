"""The typed model: every key of the file arrives typed, with its line, and nothing else does."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from pathlib import Path

import pytest
from changing import changed, installation, text_of
from sampling import EVERY_JOB

from firstway.files.specs import Section, Sections, SectionsOrNames, Spec
from firstway.model import installation as model
from firstway.model.reading import installation_from_yaml
from firstway.model.values import ABSENT_WORDS, CHOOSE, NONE, UNDECLARED, UNKNOWN, is_known


@pytest.mark.parametrize("name", EVERY_JOB)
def test_every_shipped_installation_is_good(name: str) -> None:
    assert installation(name).name == name


def test_values_are_typed() -> None:
    found = installation("marram")
    assert found.supply.ze_ohm == 0.28 and isinstance(found.supply.phases, int)
    assert found.work_begins == date(2026, 12, 1)
    assert found.supply.isolator is True and found.premises.public is False
    assert found.circuit("slipway").lines == ("L1",)
    assert (
        found.circuit("slipway").route[1].method == "D1"
        and found.circuit("slipway").route[1].length_m == 12.0
    )
    assert found.way("F2").let_through[0].energy_ka2s == 7.0
    assert installation("alder").feed.cable.size_awg == "4"
    assert installation("quince").circuit("drive").route[1].method == "103"
    assert found.known_by["board.ways.F2"] == "data-sheet"


def test_words_about_a_value_stay_apart() -> None:
    """Not known, there is none, size it, the maker states nothing: four different things (DESIGN
    4).
    """
    found = installation("marram")
    assert found.circuit("slipway").cable.csa_mm2 == CHOOSE
    assert found.way("F2").bidirectional == UNDECLARED
    assert found.point("post-1").distance_below_ground_m == UNKNOWN
    assert found.point("post-1").spd == NONE
    assert found.supply.upstream_rcd == NONE and found.supply.line_to_line_v == UNKNOWN, (
        "an absent key is not known, never none"
    )
    assert installation("alder").board.main_switch == NONE
    assert not any(is_known(word) for word in ABSENT_WORDS)


def test_a_quoted_word_is_text() -> None:
    found = installation("marram", ("title: Marram Boatyard, slipway post", "title: 'choose'"))
    assert found.title == "choose"


def test_lines_of__finds_each_path() -> None:
    found = installation("marram")
    lines = text_of("marram").splitlines()
    for path, word in (
        ("supply.ze_ohm", "ze_ohm"),
        ("circuits.slipway.route.2.length_m", "length_m: 12"),
        ("board.ways.F1.leads.earth", "earth:"),
        ("charging_points.post-1.current_a", "current_a"),
        ("known_by.board.ways.F2", "board.ways.F2"),
    ):
        assert word in lines[found.lines_of[path] - 1]


def test_how_known__takes_the_nearest_entry_above() -> None:
    found = installation("marram")
    assert found.how_known("board.ways.F2.rating_a") == "data-sheet"
    assert found.how_known("supply.ze_ohm") == "declared"
    assert found.how_known("supply.phases") is None


def sections(of: type = model.Installation, path: str = "") -> Iterator[tuple[str, str, Spec]]:
    """Every key of the file format: its section's path, its name, what it may be."""
    for item in fields(of):
        spec = item.metadata.get("spec")
        if spec is None:
            continue
        yield path, item.name.rstrip("_"), spec
        if isinstance(spec.kind, (Section, Sections, SectionsOrNames)):
            yield from sections(spec.kind.of, f"{path}.{item.name}" if path else item.name)


def test_every_key_of_the_four_examples_is_a_key_of_the_model() -> None:
    """DESIGN 4: the keys are fixed; a file that uses one of them must never be told it is
    unknown.
    """
    known = {key for _, key, _ in sections()}
    for key in (
        "title",
        "rules",
        "ze_ohm",
        "fed_from",
        "csa_mm2",
        "egc_awg",
        "let_through",
        "rating_when_warm",
        "neutral_earth",
        "on_lost_signal_a",
        "armour_earthed",
        "distance_to_other_earth_m",
        "opens_protective_conductor",
        "surge_input",
        "torque_lbf_in",
        "known_by",
        "from",
    ):
        assert key in known, key


def test_keys_carry_their_units() -> None:
    units = (
        "_v",
        "_a",
        "_ma",
        "_ka",
        "_kv",
        "_ohm",
        "_ohm_m",
        "_m",
        "_mm",
        "_mm2",
        "_c",
        "_kw",
        "_kwh",
        "_percent",
        "_s",
        "_ms",
        "_nm",
        "_lbf_in",
        "_w_per_pole",
        "_ka2s",
        "_k_m_per_w",
        "ohm",
        "megohm",
        "ms",
        "ka",
        "v",
        "_factor",
    )
    counts = (
        "phases",
        "poles",
        "modules",
        "cores",
        "circuits",
        "carrying",
        "year",
        "ways",
        "conductors",
        "screws",
        "rods",
        "type",
    )
    from firstway.files.specs import Number

    for path, key, spec in sections():
        if isinstance(spec.kind, Number):
            in_its_unit = key in ("a", "s")  # a reading's key is its unit
            assert (
                in_its_unit or key.endswith(units) or path.endswith(units) or key.endswith(counts)
            ), f"the number '{key}' has no unit in its name"


def test_only_what_a_designer_may_leave_to_us_can_be_chosen() -> None:
    """DESIGN 4: nothing a designer must choose has a hidden default."""
    can = {key for _, key, spec in sections() if CHOOSE in spec.instead}
    sizes = {"csa_mm2", "cpc_mm2", "size_awg", "egc_awg", "rating_a", "rods"}
    laid = {"leads", "line", "neutral", "earth", "length_m"}
    assert can == sizes | laid
    assert {path for path, key, spec in sections() if CHOOSE in spec.instead and key in laid} == {
        "board.ways",
        *(f"board.ways.leads{each}" for each in ("", ".line", ".neutral", ".earth")),
    }
    for path, key, spec in sections():
        if spec.required:
            assert CHOOSE not in spec.instead and NONE not in spec.instead, f"{path}.{key}"


def test_required_keys__are_reported_each_at_its_parent() -> None:
    """DESIGN 4: title, rules, edition, work_begins, supply system, phases, voltage, ways, circuits,
    points.
    """
    found, problems = installation_from_yaml(
        "supply: {}\nboard: {}\ncircuits: [{}]\ncharging_points: [{}]\n", "x.yaml"
    )
    assert found is None
    missing = {
        problem.message.split("'")[1]
        for problem in problems
        if problem.message.endswith("is missing")
    }
    assert {
        "title",
        "rules",
        "edition",
        "work_begins",
        "supply.system",
        "supply.phases",
        "supply.line_to_earth_v",
        "board.ways",
        "circuits.1.name",
        "circuits.1.lines",
        "circuits.1.cable",
        "circuits.1.route",
        "charging_points.1.name",
    } <= missing


def test_all_problems_of_a_file_come_at_once() -> None:
    _, problems = installation_from_yaml(
        changed(
            "quince",
            ("phases: 1", "phases: x"),
            ("modules: 6", "modules: x"),
            ("resistance_ohm: 350", "resistance_ohm: x"),
        ),
        "x.yaml",
    )
    assert [problem.line for problem in problems] == [9, 29, 39]


def test_name__is_kept_out_of_the_file() -> None:
    for key in ("file: x\n", "lines_of: x\n", "name: x\n"):
        _, problems = installation_from_yaml(text_of("quince") + key, "x.yaml")
        assert len(problems) == 1 and "unknown key" in problems[0].message


WIRED = (  # these look at the graph and say so: it joins what no entry joins otherwise
    "as the file has it wired"
)


def test_absent_sections_do_not_raise() -> None:
    """The smallest file that is complete: everything else is not known."""
    text = """\
title: Smallest
rules: bs7671
edition: 2018+A4:2026
work_begins: 2027-01-01
supply: {system: TN-S, phases: 1, line_to_earth_v: 230}
board: {ways: [{name: F1, device: rcbo, modules: 2, fed_from: bar, feeds: drive, rated_residual_current_ma: 30}]}
circuits: [{name: drive, supplies: [point], lines: [L1], cable: {}, route: [{method: C, length_m: 5}]}]
charging_points: [{name: point, current_a: 16, lines: [L1]}]
"""
    found, problems = installation_from_yaml(text, "x.yaml")
    assert found is not None and not problems
    from firstway.choosing.completing import completed

    result, problems = completed(found)
    assert result is not None and not problems
    resting = [
        finding.id
        for finding in result.findings
        if finding.level == "pass" and not finding.message.endswith(WIRED)
    ]
    stated = {
        "residual-current-at-the-point",
        "own-circuit",
        "built-in-residual",
        "point-lines-agree",
        "supply-voltage",
    }  # rest on what this file does say
    assert set(resting) <= stated, "what the file does not say never passes"
    assert all(is_dataclass(step) for step in result.case.workings)


def test_absent_words_are_compared_by_their_word() -> None:
    """Each key has its own: `is NONE` would never hold, and nobody would notice."""
    by_identity = re.compile(r"\bis (not )?(NONE|UNKNOWN|CHOOSE|UNDECLARED)\b")
    root = Path(__file__).parents[2]
    wrong = [
        f"{path.name}: {line.strip()}"
        for folder in ("tools", "tests")
        for path in sorted((root / folder).rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if by_identity.search(line) and "`" not in line and "re.compile" not in line
    ]
    assert wrong == []


def test_a_list_longer_than_any_small_board_has_is_told_at_once() -> None:
    """Before, 300 surge devices were read and worked with: 13 s and 500 MB."""
    rod = next(
        line for line in text_of("marram").split("\n") if line.startswith("  - {name: rod-1")
    )
    text = text_of("marram").replace(
        rod, "\n".join(rod.replace("rod-1", f"rod-{number}") for number in range(1, 302))
    )
    line = text[: text.index("name: rod-41,")].count("\n") + 1
    _, problems = installation_from_yaml(text, "marram.yaml", "marram")
    assert [str(problem) for problem in problems] == [
        f"marram.yaml:{line}: 'electrodes' has 301 entries; it may have 40; take out what does not"
        " belong there"
    ]
