"""The alternatives of a circuit: the figures of their lines against published tables and a
published exercise, each named beside its check; what is chosen and what rejects the others.
"""

from __future__ import annotations

import csv
import json
from functools import cache
from pathlib import Path

import pytest
from changing import changed, done, text_of

from firstway.choosing.alternatives import Alternative, Alternatives, alternatives_of
from firstway.cli import main
from firstway.rendering.choices import alternatives_data
from firstway.rendering.figures import json_text

PUBLISHED = Path(__file__).parents[1] / "published"
EXERCISE = """\
title: An exercise of a tutor, marked on a trade forum
rules: bs7671
edition: 2018+A3:2024
work_begins: 2025-12-01
supply: {system: TN-S, phases: 1, line_to_earth_v: 230, ze_ohm: 0.35, line_neutral_loop_ohm: 0.3}
feed:
  from: connector-block
  cable: {construction: single-core, insulation: thermoplastic-70, csa_mm2: 16,
    protective: separate, cpc_mm2: 16}
  route: [{method: C, length_m: 0.1, ambient_c: 30, grouped_circuits: 1,
    thermal_insulation_length_mm: 0}]
board:
  ways: [{name: F1, device: rcbo, modules: 2, fed_from: bar, line: L1, feeds: heater,
    standard: IEC 61009-1, protected_poles: 1, switched_poles: 2, rating_a: 25, curve: B,
    rated_residual_current_ma: 30, residual_type: A, delay: none}]
circuits:
  - name: heater
    supplies: [point]
    lines: [L1]
    neutral: true
    cable: {construction: single-core, insulation: thermoplastic-70, csa_mm2: 10,
      protective: separate, cpc_mm2: 10, terminals_c: 70}
    route: [{method: C, length_m: 18, ambient_c: 35, grouped_circuits: 2, grouped_as: bunched,
      thermal_insulation_length_mm: 400}]
charging_points: [{name: point, power_kw: 5, lines: [L1], location: indoors, earthed_by: supply}]
"""


@cache
def table_of(text: str, circuit: str) -> Alternatives:
    found, problems = alternatives_of(text, "x.yaml", "x", circuit)
    assert found is not None, problems
    return found


def lines_of(text: str, circuit: str, method: str) -> dict[str, Alternative]:
    """The lines of one method by their size."""
    found = table_of(text, circuit)
    return {each.size: each for each in found.lines if each.methods == (method,)}


def cells(construction: str, insulation: str, method: str) -> dict[str, float]:
    """Capacities in A by size, as somebody copied them from BS 7671 for two loaded conductors."""
    key = (
        f"rule_set=bs7671; construction={construction}; insulation={insulation};"
        f" method={method}; loaded_conductors=2; csa_mm2="
    )
    with (PUBLISHED / "transcription_capacity.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["key"].startswith(key)]
    assert len(rows) > 5
    return {row["key"].removeprefix(key): float(row["cell"]) for row in rows}


def published(wanted: str) -> float:
    """What a worked example prints."""
    with (PUBLISHED / "worked_examples.csv").open(encoding="utf-8", newline="") as file:
        return next(float(row["expected"]) for row in csv.DictReader(file) if row["id"] == wanted)


# ---- proof


@pytest.mark.parametrize("method", ["C", "E"])
def test_capacity__is_that_of_table_4e4a_where_no_factor_lowers_it(method: str) -> None:
    """BS 7671 Table 4E4A, armoured 90 C, two-core, 30 C: `transcription_capacity.csv`."""
    text = (
        EXERCISE.replace("csa_mm2: 10,\n      protective: separate, cpc_mm2: 10", "CABLE")
        .replace(
            "{construction: single-core, insulation: thermoplastic-70, CABLE, terminals_c: 70}",
            "{construction: armoured, insulation: thermosetting-90, cores: 3, csa_mm2: 10,"
            " protective: core, cpc_mm2: 10, armour_earthed: board-end, terminals_c: 90}",
        )
        .replace("ambient_c: 35, grouped_circuits: 2, grouped_as: bunched", "ambient_c: 30")
        .replace(
            "thermal_insulation_length_mm: 400",
            "grouped_circuits: 1, thermal_insulation_length_mm: 0",
        )
    )
    printed = cells("armoured", "thermosetting-90", method)
    lines = lines_of(text, "heater", method)
    assert set(lines) == set(printed)
    for size, line in lines.items():
        assert line.capacity.value == pytest.approx(printed[size]), size


def test_the_exercise__the_sizes_that_serve_are_those_its_answer_allows() -> None:
    """Worked example we-07b (a tutor's marked exercise on a trade forum): 25 A through factors
    0.94, 0.80 and 0.51 ask for a tabulated capacity of 65.18 A.
    """
    least = published("we-07b")
    for method in ("B", "C"):
        printed, lines = (
            cells("single-core", "thermoplastic-70", method),
            lines_of(EXERCISE, "heater", method),
        )
        assert set(lines) == set(printed)
        for size, line in lines.items():
            assert line.capacity.value == pytest.approx(printed[size] * 25 / least, rel=1e-3)
            judged = next(each for each in line.judged if each.id == "capacity")
            assert (judged.level == "fail") == (printed[size] < least), (method, size)
            if printed[size] < least:
                assert line.level == "fail" and line.finding is not None
    # between 10 mm² (65 A, method C) and 16 mm² lies what the exercise is about
    lines = lines_of(EXERCISE, "heater", "C")
    assert lines["10"].level == "fail" and lines["16"].level != "fail"


def test_the_exercise__the_voltage_drop_of_10_mm2() -> None:
    """Worked example we-07c: 4.4 mV/A/m, 21.73 A and 18 m are 1.72 V (0.1 m of feed beside it)."""
    drop = lines_of(EXERCISE, "heater", "C")["10"].drop.value
    assert drop is not None and drop * 230 / 100 == pytest.approx(published("we-07c"), abs=0.01)


# ---- what the table holds


def test_alternatives_of__the_chosen_line_is_the_job_s_own() -> None:
    found = table_of(text_of("marram"), "slipway")
    (chosen,) = (each for each in found.lines if each.chosen)
    assert (chosen.size, chosen.protective, chosen.methods) == ("6", "6", ("C", "D1"))
    job = done("marram")
    for figure, step in (
        (chosen.capacity, "corrected-capacity"),
        (chosen.drop, "voltage-drop-percent"),
        (chosen.loop, "loop-impedance"),
        (chosen.time, "disconnection-time"),
        (chosen.least_protective, "minimum-protective-conductor"),
    ):
        worked = job.case.step(step, "slipway")
        assert worked is not None and figure.value == pytest.approx(worked.value)
    assert chosen.finding is None and found.left_to_choose
    smaller = [each for each in found.lines if float(each.size) < 6]
    assert smaller and {each.level for each in smaller} == {"fail"}
    assert {each.finding.id for each in smaller if each.finding} == {"capacity"}
    thick = [each.finding for each in found.lines if each.size == "35"]
    assert {each.id for each in thick if each} == {"terminal-range"}


def test_alternatives_of__what_is_not_known_stays_so_and_says_what_is_missing() -> None:
    found = table_of(text_of("quince"), "drive")
    assert {each.loop.value for each in found.lines} == {None}
    assert {each.loop.ask for each in found.lines} == {
        "measure the loop with a tester, or ask the distributor"
    }
    assert not any(each.level == "pass" for each in found.lines), "a loop nobody knows passes"
    assert any(each.level == "unknown" for each in found.lines)


@pytest.mark.long
def test_alternatives_of__ratings_are_lines_where_the_device_is_left_to_choose() -> None:
    text = changed("marram", ("rating_a: 40, curve", "rating_a: choose, curve"))
    found = table_of(text, "slipway")
    assert sorted({each.rating for each in found.lines if each.rating}) == [32, 40, 50]
    (chosen,) = (each for each in found.lines if each.chosen)
    assert chosen.rating == 32


@pytest.mark.long
def test_alternatives_of__nec_chooses_the_grounding_conductor_with_the_device() -> None:
    found = table_of(text_of("alder"), "garage")
    (chosen,) = (each for each in found.lines if each.chosen)
    assert (chosen.size, chosen.protective, chosen.rating) == ("4", "10", 60)
    larger = [each for each in found.lines if each.rating == 70]
    assert larger and {each.protective for each in larger} == {"8"}


@pytest.mark.long
def test_alternatives_of__a_reading_of_one_cable_judges_no_other() -> None:
    text = EXERCISE + "readings: [{test: r1-plus-r2, circuit: heater, ohm: 9}]\n"
    with_reading, without = table_of(text, "heater"), table_of(EXERCISE, "heater")
    assert [each.level for each in with_reading.lines] == [each.level for each in without.lines]


# ---- bad input, and what is printed


def test_alternatives__a_circuit_that_is_not_there_is_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "x.yaml"
    path.write_text(EXERCISE, encoding="utf-8")
    assert main(["alternatives", str(path), "heatr"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.startswith(
        "circuit: the file has no circuit 'heatr'; did you mean 'heater'?"
    )
    path.write_text(
        EXERCISE.replace(
            "construction: single-core, insulation: thermoplastic-70, csa_mm2: 10", "csa_mm2: 10"
        ),
        encoding="utf-8",
    )
    assert main(["alternatives", str(path), "heater"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and "x.yaml:21: the kind of cable of 'heater' is not known" in err


def test_alternatives__prints_the_table_with_caution_and_edition(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "x.yaml"
    path.write_text(EXERCISE, encoding="utf-8")
    assert main(["alternatives", str(path), "heater"]) == 0
    out, err = capsys.readouterr()
    assert err == "" and "Caution: " in out and "Edition the file asks for: 2018+A3:2024" in out
    (mark,) = (line for line in out.splitlines() if line.startswith("* ") and " C " in line)
    assert mark.split()[:4] == ["*", "10", "10", "C"] and "fail: capacity: " in mark
    assert "No table prints for this cable: " in out and "5 % (voltage-drop)" in out
    data = json.loads(json_text(alternatives_data(table_of(EXERCISE, "heater"))))
    assert data["edition"] == "2018+A3:2024" and data["caution"]
    (chosen,) = (each for each in data["alternatives"] if each["chosen"])
    assert chosen["verdict"] == "fail" and chosen["finding"]["id"] == "capacity"
    assert chosen["missing"] == {} or set(chosen["missing"]) <= set(chosen)
