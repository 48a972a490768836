"""What it would take that a finding passes, against brute force (`brute_force.py`): another loop
that puts every value into the text, reads the file and checks it whole. What the checks say is
proved elsewhere; here it is whether the search finds all that serves, and nothing else.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest
import yaml
from brute_force import Outcomes, findings_of_text, outcomes, with_changes, worse
from changing import changed, text_of
from sampling import JOBS

from firstway.checks.rule import Finding
from firstway.choosing.designers_keys import ON_THE_BAR, designers_keys, tries_of
from firstway.choosing.needs import Needs, needs_of
from firstway.cli import main
from firstway.files.schema import sections_below
from firstway.files.specs import Flag, Number, Word, WordList, specs_of
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.model.values import ABSENT_WORDS
from firstway.workings.shared.plan_of_board import PlanOfBoard

SHED = """\
title: Withy Lane, a shed with one point
rules: bs7671
edition: 2018+A4:2026
work_begins: 2026-12-01
supply: {system: TN-S, phases: 1, line_to_earth_v: 230, ze_ohm: 0.35, line_neutral_loop_ohm: 0.3}
existing_load: {L1: {maximum_demand_a: 20}}
feed:
  from: connector-block
  cable: {construction: single-core, insulation: thermoplastic-70, csa_mm2: 16,
    protective: separate, cpc_mm2: 16}
  route: [{method: C, length_m: 0.1, ambient_c: 30, grouped_circuits: 1,
    thermal_insulation_length_mm: 0}]
board:
  ways: [{name: F1, device: rcbo, modules: 2, fed_from: bar, line: L1, feeds: shed,
    standard: IEC 61009-1, protected_poles: 1, switched_poles: 1, rating_a: 32, curve: D,
    rated_residual_current_ma: 100, residual_type: AC, delay: S}]
circuits:
  - name: shed
    supplies: [point]
    lines: [L1]
    neutral: true
    cable: {construction: multicore, insulation: thermoplastic-70, cores: 3, csa_mm2: 2.5,
      protective: core, cpc_mm2: 2.5, terminals_c: 70}
    route: [{method: C, length_m: 60, ambient_c: 30, grouped_circuits: 1,
      thermal_insulation_length_mm: 0}]
charging_points: [{name: point, current_a: 32, lines: [L1], location: outdoors, outlet: tethered,
  lead_m: 7.5, lead_mm2: 6, lead_protective_mm2: 6, earthed_by: supply, dc_detection: rdc-dd}]
"""
"""A job of a few keys, so that all of them are tried in a moment; it fails in several ways."""
SHED_CASES = (
    "capacity:shed",
    "voltage-drop:shed",
    "residual-type:F1",
    "line-and-neutral-open:F1",
    "additional-protection-delay:F1",
)


def needed(text: str, wanted: str) -> Needs:
    found, problems = needs_of(text, "x.yaml", "x", wanted)
    assert found is not None, problems
    return found


def agree(text: str, brute: Outcomes, wanted: str) -> int:
    """Both find the same values; gives how many serve."""
    found = needed(text, wanted)
    id_, _, of = wanted.partition(":")
    target = found.findings[0]
    assert target.id == id_ and of in (target.of, target.place)
    place = target.place if of != target.of else ""
    alone = lambda several: {
        tuple((each.key, each.then) for each in proposal.changes)
        for proposal in several
        if not any(each.key.startswith(ON_THE_BAR) for each in proposal.changes)
    }
    serving = brute.serving(id_, target.of, place)
    passing = brute.passing(id_, target.of, place)
    if found.pairs:
        assert not serving, "a single value serves: no pair should be tried"
    else:
        assert alone(found.proposals) == serving, wanted
    assert alone(found.refused) == passing - serving, wanted
    for proposal in found.proposals:  # pairs, and places on the bar, each put into the text
        change = tuple((each.key, each.then) for each in proposal.changes)
        text_then = with_changes(
            _moved(text, change), [e for e in change if ON_THE_BAR not in e[0]]
        )
        after = findings_of_text(text_then)
        assert after is not None and not worse(brute.before, after), change
    assert (found.answer == "choose") == bool(found.proposals)
    return len(found.proposals)


def _moved(text: str, change: tuple[tuple[str, str], ...]) -> str:
    """The text with the devices in another order, where a place is part of the change."""
    for path, place in change:
        if path.startswith(ON_THE_BAR):
            data = yaml.load(text, yaml.BaseLoader)
            ways = data["board"]["ways"]
            device = next(each for each in ways if each["name"] == path.removeprefix(ON_THE_BAR))
            ways.remove(device)
            ways.insert(int(place) - 1, device)
            text = yaml.safe_dump(data, sort_keys=False)
    return text


@cache
def shed_by_force() -> Outcomes:
    named = ((each.partition(":")[0], each.partition(":")[2]) for each in SHED_CASES)
    return outcomes(SHED, named)


@pytest.mark.parametrize("wanted", SHED_CASES)
def test_needs_of__finds_what_trying_every_value_in_the_text_finds(wanted: str) -> None:
    assert agree(SHED, shed_by_force(), wanted) > 0


Change = tuple[str, str]
CASES: tuple[tuple[str, tuple[Change, ...], tuple[str, ...]], ...] = (
    (
        "quince",
        (),
        (
            "type-ac-ahead:feed",
            "separate-earths:post-1",
            "main-bonding-size:hall",
            "capacity:drive",
            "surge-earth-lead-size:F2",
            "service-capacity:supply",
            "surge-ahead-of-residual:F2",
            "surge-leads:F2",
            "fault-survived:drive",
            "assembly-standard:board",
        ),
    ),
    (
        "marram",
        (
            ("csa_mm2: choose, protective: core, cpc_mm2: choose", "csa_mm2: 2.5, cpc_mm2: 2.5"),
            ("armour_earthed:", "protective: core, armour_earthed:"),
            (
                "switched_poles: 2, rating_a: 80, modules",
                "switched_poles: 1, rating_a: 25, modules",
            ),
            ("residual_type: A, delay: none", "residual_type: AC, delay: S"),
            ("breaking_capacity_ka: 6", "breaking_capacity_ka: 0.5"),
        ),
        (
            "capacity:slipway",
            "main-switch-poles:Q1",
            "main-switch-rating:Q1",
            "residual-type:F2",
            "additional-protection-delay:F2",
            "residual-current-at-the-point:F2",
            "breaking-capacity:F2",
            "demand-near-rating:supply",
            "surge-distance:post-1",
            "selective-with-ahead:F2",
        ),
    ),
    (
        "sedge",
        (
            ("curve: B", "curve: D"),
            ("protection_level_kv: 1.", "protection_level_kv: 4."),
            ("nominal_discharge_current_ka: 20", "nominal_discharge_current_ka: 2"),
            ("continuous_voltage_v: 275", "continuous_voltage_v: 200"),
            ("setting_locked: true", "setting_locked: false"),
        ),
        (
            "fault-opens-in-time:kitchen.PE",
            "next-rating-up:F2",
            "surge-protection-level:F1",
            "surge-nominal-current:F1",
            "surge-continuous-voltage:F1",
            "setting-locked:gable-point",
            "loop-impedance:F2",
            "network-notice:supply",
            "ferrules:board",
            "enclosure-heat:board",
        ),
    ),
    (
        "plover",
        (
            ("spare_ways_blanked: true", "spare_ways_blanked: false"),
            ("earthed_by: earth-bar", "earthed_by: conductor"),
            ("style: fork", "style: pin"),
            ("hard_wired: true", "hard_wired: false"),
        ),
        (
            "spare-ways-blanked:board",
            "protective-conductor-least:harbour-office",
            "fault-survived:harbour-office",
            "device-when-warm:F2",
            "surge-live-lead-size:F1",
            "enclosure-heat:board",
            "selective-with-ahead:F2",
            "plug-connected:quay-post",
            "ferrules:board",
            "surge-distance:quay-post",
        ),
    ),
)


@cache
def by_force(name: str) -> Outcomes:
    changes, wanted = next(each[1:] for each in CASES if each[0] == name)
    text = changed(name, *changes)
    found = findings_of_text(text)
    assert found is not None
    ids = {each.partition(":")[0] for each in wanted}
    named = {(each.id, each.of) for each in found if each.id in ids and _is_named(each, wanted)}
    return outcomes(text, named)


def _is_named(finding: Finding, wanted: tuple[str, ...]) -> bool:
    return f"{finding.id}:{finding.of}" in wanted or f"{finding.id}:{finding.place}" in wanted


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "wanted"), [(name, each) for name, _, several in CASES for each in several]
)
def test_needs_of__of_shipped_jobs_with_faults(name: str, wanted: str) -> None:
    changes = next(each[1] for each in CASES if each[0] == name)
    agree(changed(name, *changes), by_force(name), wanted)


def test_there_are_forty_cases_of_shipped_jobs() -> None:
    assert len({(name, each) for name, _, several in CASES for each in several}) == 40


# ---- what is never tried


KEYS = [
    (f"{of.__name__}.{name}", spec)
    for of in sections_below(Installation)
    for name, spec in specs_of(of).items()
    if isinstance(spec.kind, Number | Word | WordList | Flag)
]


def test_every_figure_and_choice_says_who_settles_it() -> None:
    assert len(KEYS) > 200
    for name, spec in KEYS:
        settled = ("designer", "site", "maker", "measurement", "edition")
        assert spec.chosen_by in settled, f"{name}: say who settles it (chosen_by)"
        if spec.chosen_by == "designer" and isinstance(spec.kind, Number | WordList):
            assert spec.tried != "choices", f"{name}: say where values come from, or `by-hand`"


# Written by hand, from what these keys are: not for a designer to change.
NEVER = (
    "length_m of a route",
    *("ze_ohm", "line_neutral_loop_ohm", "source_electrode_ohm", "resistance_ohm", "soil_ohm_m"),
    *("maximum_demand_a", "at_once_a", "ambient_c", "ground_c", "soil_k_m_per_w", "known_by"),
    *("conditional_fault_rating_ka", "rated_diversity_factor", "devices_declared", "torque_nm"),
    *("loss_w_per_pole", "energy_ka2s", "voltage_at_1_ma_v", "dc_detection", "bidirectional"),
    *("rules", "edition", "system", "phases", "line_to_earth_v", "public", "location", "ohm"),
    *("distance_to_other_earth_m", "looped", "spare_ways", "lead_mm2", "listed"),
)


@pytest.mark.parametrize("name", JOBS)
def test_what_no_designer_may_choose_is_never_tried(name: str) -> None:
    job, problems = installation_from_yaml(text_of(name), f"{name}.yaml", name)
    assert job is not None, problems
    keys = designers_keys(job)
    for key in keys:
        assert key.spec.chosen_by == "designer" and key.name not in NEVER, key.path
        parts = key.path.split(".")
        assert parts[0] not in ("readings", "vehicles", "wiring", "premises", "known_by")
        assert "route" not in parts or key.name in ("method", "grouped_as", "depth_m"), key.path
        assert not key.path.startswith(("supply.cable", "supply.service_device", "supply.route"))
        assert "rcds" not in parts and "terminals" not in parts, key.path
    words = {each.value for each in ABSENT_WORDS}
    plan = PlanOfBoard(job)
    for key in keys:
        for tries in tries_of(job, key, (), plan):
            for path, value in tries:
                delay = path.endswith(".delay")  # `none` is a delay there: no measure is taken away
                assert value not in words or delay, (path, value)


def test_nothing_is_set_higher_than_its_file_says_it_may_be() -> None:
    """A point may be set lower than it is; whether it may be set higher its maker says."""
    job, problems = installation_from_yaml(text_of("marram"), "marram.yaml", "marram")
    assert job is not None, problems
    plan = PlanOfBoard(job)
    for key in designers_keys(job):
        if key.spec.tried == "settings":
            values = [float(each[0][1]) for each in tries_of(job, key, (), plan)]
            assert all(each < float(key.present) for each in values), key.path


# ---- the other answers


@pytest.mark.parametrize(
    ("name", "wanted", "answer", "told"),
    [
        ("quince", "type-ac-ahead:feed", "stop", "the board hangs on a type AC device"),
        ("quince", "separate-earths:post-1", "stop", "metal on another earth"),
        ("quince", "looped-supply:supply", "ask", "ask the network's operator"),
        ("quince", "devices-declared:board", "ask", "ask the maker of the board"),
        ("quince", "rods-below-ground:rod-1", "ask", "ask the network's operator"),
    ],
)
def test_needs_of__says_what_to_measure_whom_to_ask_or_why_to_stop(
    name: str, wanted: str, answer: str, told: str
) -> None:
    found = needed(text_of(name), wanted)
    assert (found.answer, found.proposals) == (answer, ()) and told in found.reason


def test_needs_of__what_is_less_grave_with_a_choice_is_told_with_what_is_then_asked() -> None:
    found = needed(text_of("quince"), "main-bonding-size:hall")
    assert found.answer == "ask" and "the size of the supply's neutral" in found.reason
    assert [each.changes[0].then for each in found.eased] == ["10", "16", "25", "35"]
    assert {each.said[0].level for each in found.eased} == {"unknown"}


def test_needs_of__a_reading_is_measured_again() -> None:
    """A reading far off says that something is wrong there, not that a size should be another."""
    text = changed("marram", ("circuit: slipway, ohm: 0.12", "circuit: slipway, ohm: 1.9"))
    found = needed(text, "reading-against-limit:F2")
    assert (found.answer, found.values, found.readings) == ("measure", 0, 2)


def test_needs_of__another_device_has_other_figures_of_its_maker() -> None:
    found = needed(SHED, "residual-type:F1")
    assert {each.read_anew for each in found.proposals} == {("board.ways.F1.modules",)}


@pytest.mark.long
def test_needs_of__two_keys_where_no_one_serves() -> None:
    """So far away no size of the table is enough at 32 A, and no setting is at the size it has."""
    text = SHED.replace("length_m: 60", "length_m: 290").replace("curve: D", "curve: B")
    found = needed(text, "voltage-drop:shed")
    assert found.pairs > 0 and not found.pairs_left and found.proposals
    keys = {tuple(each.key for each in proposal.changes) for proposal in found.proposals}
    cable, point = "circuits.shed.cable.", "charging_points.point.current_a"
    assert keys == {(f"{cable}csa_mm2", f"{cable}cpc_mm2", point)}
    before = findings_of_text(text)
    assert before is not None
    for proposal in found.proposals:
        after = findings_of_text(
            with_changes(text, ((each.key, each.then) for each in proposal.changes))
        )
        assert after is not None and not worse(before, after)
        assert {e.level for e in after if e.id == "voltage-drop"} == {"pass"}


# ---- bad input, and what is printed


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        ("capacity", "finding: 'capacity' names no finding; write ID:OF or ID:OF@PLACE"),
        (":shed", "finding: ':shed' names no finding; write"),
        (
            "capacty:shed",
            "finding: no check 'capacty' says anything here; did you mean 'capacity'?",
        ),
        ("capacity:shd", "finding: 'capacity' says nothing of 'shd'; did you mean 'shed'?"),
        ("capacity:shed@F9", "finding: 'capacity:shed' says nothing at 'F9'; it speaks of shed"),
        ("colours:\x1b[2J", "finding: no check 'colours' says anything here"),
        ("design-current:shed", "finding: 'design-current:shed' passes already; name one that"),
    ],
)
def test_needs__a_name_that_names_nothing_is_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], wanted: str, told: str
) -> None:
    (tmp_path / "shed.yaml").write_text(SHED, encoding="utf-8")
    code = main(["needs", str(tmp_path / "shed.yaml"), wanted])
    out, err = capsys.readouterr()
    assert (code, out) == (2, "") and err.startswith(told) and "\x1b" not in err


def test_needs__a_file_that_does_not_read_is_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "shed.yaml"
    path.write_text(SHED.replace("ze_ohm: 0.35", "ze_ohm: 0,35"), encoding="utf-8")
    for command in (["needs", str(path), "capacity:shed"], ["alternatives", str(path), "shed"]):
        assert main(command) == 2
        out, err = capsys.readouterr()
        assert out == "" and "shed.yaml:5: " in err and "ze_ohm" in err
    assert main(["needs", str(tmp_path / "none.yaml"), "capacity:shed"]) == 2
    assert "none.yaml" in capsys.readouterr().err


def test_needs__prints_the_answer_with_caution_and_edition(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "shed.yaml"
    path.write_text(SHED, encoding="utf-8")
    assert main(["needs", str(path), "line-and-neutral-open:F1"]) == 0
    out, err = capsys.readouterr()
    assert err == "" and "Caution: " in out and "Edition the file asks for: 2018+A4:2026" in out
    assert "  board.ways.F1.switched_poles: 2, 3, 4 (now 1)\n" in out
    assert main(["needs", str(path), "line-and-neutral-open:F1", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["answer"], data["edition"]) == ("choose", "2018+A4:2026") and data["caution"]
    assert [each["changes"][0] for each in data["proposals"]] == [
        {"key": "board.ways.F1.switched_poles", "now": "1", "then": then} for then in "234"
    ]
