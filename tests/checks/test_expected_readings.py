"""The table of expected readings, the readings of a file beside it, and the boards with a mistake
as pages.
"""

from __future__ import annotations

import json
import re
from html import unescape
from itertools import combinations

import pytest
from changing import DIAGRAMS, done, text_of
from sampling import EVERY_JOB, JOBS, many

from firstway.checks.expected import Expected
from firstway.checks.expecting import expected_readings
from firstway.checks.readings_beside import readings_beside
from firstway.choosing.completing import Completed, completed
from firstway.choosing.mistaking import made, makable
from firstway.model.mistakes import Mistake, mistakes_from_yaml
from firstway.model.reading import installation_from_yaml
from firstway.model.values import is_known
from firstway.pages.jobs.fitting_part import handover_part
from firstway.pages.reference.mistakes_pages import boards, faults, mistakes_paths, mistakes_sheets
from firstway.rendering.reading_words import shown_words
from firstway.rendering.readings import limit_words, readings_parts


def with_readings(*lines: str, known_by: str = "") -> Completed:
    text = re.sub(r"^readings:.*\n(?:  - .*\n)+", "", text_of("marram"), flags=re.MULTILINE)
    if known_by:
        text = re.sub(r"^known_by: .*\n", f"known_by: {{{known_by}}}\n", text, flags=re.MULTILINE)
    text += "\nreadings:\n" + "".join(f"  - {line}\n" for line in lines)
    found, problems = installation_from_yaml(text, "marram.yaml", "marram")
    assert found is not None, problems
    job = completed(found)[0]
    assert job is not None
    return job


def key_lines(name: str, key: str) -> list[Expected]:
    return [line for line in expected_readings(done(name).case) if line.key == key]


def between(lines: list[Expected], of: str) -> set[frozenset[str]]:
    return {frozenset(line.between) for line in lines if line.of == of and len(line.between) == 2}


@pytest.mark.parametrize("name", JOBS)
def test_dead_tests_come_before_live_ones(name: str) -> None:
    phases = [line.phase for line in expected_readings(done(name).case)]
    assert "dead" in phases and phases == sorted(phases)


@pytest.mark.parametrize("name", JOBS)
def test_what_the_circuit_cannot_give_is_not_given(name: str) -> None:
    """No time of a residual device, no megohms of a cable."""
    for line in expected_readings(done(name).case):
        if line.key in ("rcd-time", "insulation"):
            assert line.shown.value is None, line


# BS 7671 643.3.2 and IEC 60364-6 6.4.3.3: between live conductors, and each of them to earth.
def test_three_phases_have_every_pair_of_lines_and_every_loop() -> None:
    live = ("L1", "L2", "L3", "N")
    every = {frozenset(pair) for pair in combinations((*live, "PE"), 2)}
    assert between(key_lines("sallow", "insulation"), "yard") == every
    loops = {frozenset((line, "PE")) for line in live[:3]}
    assert between(key_lines("sallow", "zs"), "yard") == loops
    assert between(key_lines("sallow", "r1-plus-r2"), "yard") == loops
    assert between(key_lines("sallow", "voltage"), "board") == every
    assert [line.of for line in key_lines("sallow", "phase-sequence")] == ["board", "yard-post"]


# BS 7671 643.3.3 since A2:2022 (found in a trade magazine and a tester maker's note).
def test_cables_at_500_v_without_the_surge_device_then_250_v_with_everything_in() -> None:
    tests = [(line.test, line.limit.value) for line in key_lines("marram", "insulation")]
    assert tests == [
        *[("insulation, 500 V", 1.0)] * 3,
        ("insulation, 250 V, everything connected", 1.0),
    ]
    assert all("everything" not in line.test for line in key_lines("dunlin", "insulation"))
    fields = readings_parts(done("marram").case)["fields"]
    assert "the surge protective device is out" in fields and "left in by mistake" not in fields


@pytest.mark.parametrize("name", JOBS)
def test_line_to_earth_is_tested_everywhere(name: str) -> None:
    job = done(name).installation
    for circuit in job.circuits:
        lines = {frozenset((str(line), "PE")) for line in circuit.lines}
        assert lines <= between(key_lines(name, "insulation"), circuit.name)
        assert lines <= between(key_lines(name, "voltage"), "board")
        if job.rules != "nec":
            assert lines <= between(key_lines(name, "zs"), circuit.name)


def test_one_phase_has_no_pair_of_lines_and_no_sequence() -> None:
    pairs = {frozenset(line.between) for line in expected_readings(done("marram").case)}
    assert frozenset(("L1", "N")) in pairs and not key_lines("marram", "phase-sequence")
    assert all("L2" not in pair for pair in pairs)


# BS 7671 643.7.3.201: the largest of all kinds is written down. IEC 60909: line to line is
# sqrt(3) U0 / 2 Z, all three lines at once U0 / Z: 2/sqrt(3) of it.
def test_the_largest_fault_current_is_that_of_all_kinds() -> None:
    lines = key_lines("plover", "prospective-fault-current")
    kinds = {frozenset(line.between) for line in lines}
    assert {frozenset(("L1", "L2")), frozenset(("L3", "PE")), frozenset(("L2", "N"))} <= kinds
    [largest] = [line for line in lines if not line.between]
    ours = {frozenset(line.between): line.shown.value for line in lines}
    assert largest.shown.value == pytest.approx(ours[frozenset(("L1", "L2"))] * 2 / 3**0.5)
    assert largest.shown.value >= max(value for value in ours.values() if value is not None)


@pytest.mark.parametrize("name", ["tern", "fulmar", "sallow"])
def test_behind_an_electrode_its_lead_is_proved_dead_before_anything_else(name: str) -> None:
    """A live loop test on a lost electrode makes live what is earthed (common practice)."""
    first, *others = expected_readings(done(name).case)
    assert (first.key, first.of, first.phase) == ("electrode-lead", "rods", "dead")
    assert "never look for it with a live loop test" in first.because
    assert not any("lost electrode" in line.where for line in others)
    assert not key_lines(name, "ze"), "no earth of the network to measure"


@pytest.mark.parametrize("name", JOBS)
def test_what_must_work_is_tried(name: str) -> None:
    """IEC 61851-1 annex A: states A, B, C and E, and the protective conductor opened."""
    job = done(name).installation
    for point in job.charging_points:
        states = [line.state for line in key_lines(name, "state") if line.of == point.name]
        assert states == ["A", "B", "C", "E", "protective-conductor-open"]
        locks = [line.of for line in key_lines(name, "lock")]
        assert (point.name in locks) == (point.outlet == "socket")
        watched = is_known(point.open_pen) and point.open_pen.measure == "device"
        assert (point.name in [line.of for line in key_lines(name, "open-pen")]) == watched
    assert bool(key_lines(name, "main-switch")) == is_known(job.board.main_switch)
    assert bool(key_lines(name, "limiter")) == is_known(job.load_limiter)
    buttons = [way for way in job.board.ways if way.device in ("rcbo", "rcd")]
    at_origin = [line for line in key_lines(name, "test-button") if line.of == "supply"]
    assert len(at_origin) == is_known(job.supply.upstream_rcd)
    assert len(key_lines(name, "test-button")) == len(buttons) + len(at_origin)


def test_pilot_voltages_are_those_of_the_standard() -> None:
    """IEC 61851-1, annex A: 12, 9 and 6 V; 53.3 % offers 32 A (0.6 A for each per cent)."""
    shown = {line.state: line.shown.words for line in key_lines("marram", "state")}
    assert shown["A"].startswith("pilot +12 V;") and shown["B"].startswith("pilot +9 V and -12 V")
    assert "53.3 % offered" in shown["B"] and shown["C"].startswith("pilot +6 V and -12 V")
    assert shown["E"].startswith("pilot 0 V")


def test_phase_sequence_is_read_from_the_wiring() -> None:
    """Two lines exchanged at the point turn the field round."""
    crossed = ("known_by: {", "wiring: [{swap: [yard-post.L1, yard-post.L2]}]\nknown_by: {")
    lines = expected_readings(done("sallow", crossed).case)
    at_point = {line.of: line.shown.words for line in lines if line.key == "phase-sequence"}
    assert at_point == {"board": "L1-L2-L3", "yard-post": "L1-L3-L2"}


# Foretold for marram: Ze 0.28, R1+R2 0.111, Zs 0.392 ohm (worked by hand in test_readings). A fifth
# is common practice, 1 megohm is Table 64 of BS 7671, 300 ms the product standard IEC 61008-1.
@pytest.mark.parametrize(("line", "level"), [
    ("{test: ze, at: origin, ohm: 0.26}", "pass"),
    ("{test: ze, at: origin, ohm: 0.20}", "advice"),
    ("{test: ze, at: origin, ohm: 0.37}", "fail"),
    ("{test: r1-plus-r2, circuit: slipway, ohm: 0.12}", "pass"),
    ("{test: r1-plus-r2, circuit: slipway, ohm: 0.25}", "advice"),
    ("{test: zs, circuit: slipway, ohm: 0.44}", "pass"),
    ("{test: zs, circuit: slipway, between: [L1, PE], ohm: 0.60}", "advice"),
    ("{test: zs, circuit: slipway, ohm: 1.20}", "fail"),
    ("{test: insulation, circuit: slipway, megohm: 200}", "pass"),
    ("{test: insulation, circuit: slipway, between: [L1, N], megohm: 0.43}", "fail"),
    ("{test: rcd-time, circuit: slipway, ms: 28}", "pass"),
    ("{test: rcd-time, at: F2, ms: 340}", "fail"),
    ("{test: voltage, at: board, between: [N, PE], v: 12}", "advice"),
    ("{test: state, at: post-1, state: A, v: 229}", "fail"),
    ("{test: state, at: post-1, state: C, v: 229}", "pass"),
    ("{test: limiter, at: origin, a: 69}", "pass"),
    ("{test: limiter, at: origin, state: signal-lost, a: 6}", "fail"),
    ("{test: lock, at: post-1, result: unsatisfactory}", "fail"),
    ("{test: main-switch, at: Q1, v: 228}", "danger"),
    ("{test: test-button, at: F2, result: satisfactory}", "pass"),
])  # fmt: skip
def test_a_reading_stands_beside_its_limit_and_what_was_foretold(line: str, level: str) -> None:
    job = with_readings(line)
    [beside] = readings_beside(job.case, expected_readings(job.case))
    assert beside.level == level, beside
    rules = ("reading-against-limit", "reading-differs")
    said = {each.level for each in job.findings if each.id in rules}
    assert level in said, "the page and the checks say the same"
    assert not said & {"danger", "fail"} or level in ("danger", "fail")


@pytest.mark.parametrize("line", [
    "{test: r1-plus-r2, circuit: slipway, ohm: 0.12}", "{test: zs, circuit: slipway, ohm: 0.4}",
    "{test: ze, at: origin, ohm: 0.3}",
])  # fmt: skip
def test_a_pass_rests_on_no_assumption(line: str) -> None:
    """The limit of a loop rests on the device; one whose rating is assumed passes nothing."""
    job = with_readings(line, known_by="board.ways.F2.rating_a: assumed, supply.ze_ohm: assumed")
    limited = [each for each in job.findings if each.id == "reading-against-limit"]
    assert limited and {each.level for each in limited} <= {"unknown", "advice", "fail"}


@pytest.mark.parametrize("name", JOBS)
def test_the_page_names_who_tests_and_leaves_room_to_write(name: str) -> None:
    parts = readings_parts(done(name).case)
    assert "skilled persons" in parts["fields"] and "proved dead" in parts["fields"]
    made = [line for line in expected_readings(done(name).case) if line.is_a_test]
    assert parts["fields"].count('class="write"') == len(made)
    assert not re.search(r"\b(is|are|now) dead\b", parts["fields"])


@pytest.mark.parametrize("name", JOBS)
def test_what_to_expect_stands_apart_from_the_fields(name: str) -> None:
    """A learner who sees a figure beside the field writes it down."""
    case = done(name).case
    parts = readings_parts(case)
    assert parts["expected"].startswith("<details")
    assert " open" not in parts["expected"].split(">", 1)[0]
    assert 'class="write"' not in parts["expected"]
    for line in expected_readings(case):
        if line.shown.value is not None and line.shown.value > 0:
            assert f">{shown_words(line.shown)}<" not in parts["fields"], line


def all_mistakes() -> tuple[Mistake, ...]:
    return mistakes_from_yaml(
        (DIAGRAMS / "mistakes.yaml").read_text(encoding="utf-8"), "mistakes.yaml"
    )[0]


@pytest.fixture(scope="module")
def gallery() -> tuple[list, tuple]:
    found, problems = mistakes_from_yaml(
        (DIAGRAMS / "mistakes.yaml").read_text(encoding="utf-8"), "mistakes.yaml"
    )
    assert not problems
    jobs = [done(name) for name in EVERY_JOB]
    return mistakes_sheets(jobs, found), boards(jobs, found)


def test_every_mistake_has_its_board(gallery: tuple[list, tuple]) -> None:
    sheets, chosen = gallery
    found, _ = mistakes_from_yaml(
        (DIAGRAMS / "mistakes.yaml").read_text(encoding="utf-8"), "mistakes.yaml"
    )
    assert [board.mistake.name for board in chosen] == [each.name for each in found]
    assert [sheet.path for sheet in sheets] == mistakes_paths(
        [done(name) for name in EVERY_JOB], found
    )


def test_a_board_keeps_its_answer_folded_and_names_no_place_dead(
    gallery: tuple[list, tuple],
) -> None:
    sheets, chosen = gallery
    for sheet, board in zip(sheets[1:], chosen):
        before = (
            sheet.title
            + sheet.description
            + sheet.markdown
            + sheet.parts["drawing"]
            + sheet.parts["question"]
        )
        assert board.mistake.title not in before and board.mistake.name not in sheet.path
        answer = sheet.parts["answer"]
        assert answer.startswith("<details") and " open" not in answer.split(">", 1)[0]
        assert (
            board.mistake.right in unescape(answer)
            and "not proved dead" in answer
            and 'class="finding' in answer
        )
        assert not re.search(r"\b(is|are|now) dead\b", before + answer)
        own = [part for name, part in sheet.parts.items() if name != "small"]  # that is the index's
        ids = re.findall(r'\sid="([^"]+)"', "".join(own))
        assert len(ids) == len(set(ids)), "an id stands twice"


def test_a_board_names_its_places_once_in_groups_and_not_by_the_wrong_joint(
    gallery: tuple[list, tuple],
) -> None:
    """What is joined wrongly is to be seen in the drawing, not read in a list or a legend."""
    sheets, _ = gallery
    for sheet in sheets[1:]:
        asked = unescape(sheet.parts["question"])
        words = re.findall(r"<option [^>]*>([^<]+)</option>", asked)[1:]
        values = set(re.findall(r'<option value="([^"]+)"', asked))
        right = re.search(r'data-places="(\[[^>]*\])"', asked)
        assert len(words) == len(set(words)) and "<optgroup" in asked
        assert right and set(json.loads(right[1])) <= values, sheet.title
        assert not [each for each in words if re.search(r"\bmet\b|_|\b[LN]\d?$|PE$", each)]
        legend = re.findall(r"<li>([^<]*)</li>", sheet.parts["drawing"])
        assert legend and not [each for each in legend if re.search(r"mm² .*: .* to ", each)]


def test_a_board_is_made_from_a_sound_job_or_lists_the_faults_it_has_anyway(
    gallery: tuple[list, tuple],
) -> None:
    """One thing is wrong only where the job's own checks find nothing; regression of the
    gallery.
    """
    sheets, chosen = gallery
    for sheet, board in zip(sheets[1:], chosen):
        known = faults(board.job)
        assert (
            ("The job as it should be" in sheet.markdown)
            == (not known)
            == ("One thing is wrong here.<" in sheet.markdown)
        )
        if known:
            assert all(
                not makable(done(name), mistake)
                for mistake in all_mistakes()
                if mistake.name == board.mistake.name
                for name in EVERY_JOB
                if not faults(done(name))
            ), board.mistake.name
            assert (
                sheet.parts["known"].count("<li>") == len(known)
                and "listed above" in sheet.parts["question"]
            )


def test_an_answer_shows_every_verdict_the_checks_give_that_was_not_there_before(
    gallery: tuple[list, tuple],
) -> None:
    sheets, chosen = gallery
    for sheet, board in list(zip(sheets[1:], chosen))[:: many(5, 1)]:
        shown = re.findall(
            r'data-finding="([^"]+)" data-of="([^"]+)" data-place="([^"]+)" data-level="([^"]+)"',
            sheet.parts["answer"],
        )
        after = made(board.job, board.mistake).after
        before = {(each.id, each.of, each.place, each.level) for each in board.job.findings}
        new = {
            key
            for each in after.findings
            if each.level in ("danger", "fail")
            and (key := (each.id, each.of, each.place, each.level)) not in before
        }
        assert (
            new
            <= set(shown)
            <= {(each.id, each.of, each.place, each.level) for each in after.findings}
        ), board.mistake.name


def test_a_plain_breaker_shows_no_residual_current(gallery: tuple[list, tuple]) -> None:
    sheets, chosen = gallery
    [(sheet, board)] = [
        (sheet, board)
        for sheet, board in zip(sheets[1:], chosen)
        if board.mistake.name == "breaker-in-place-of-the-rcbo"
    ]
    assert "30 mA" not in sheet.parts["drawing"] and "Nothing protects" not in sheet.parts["answer"]
    way = made(board.job, board.mistake).after.installation.way(board.mistake.found_by.place)
    assert (
        way.device == "circuit-breaker"
        and not is_known(way.rated_residual_current_ma)
        and not is_known(way.residual_type)
    )


def test_no_page_teaches_work_at_the_cut_out(gallery: tuple[list, tuple]) -> None:
    for sheet in gallery[0]:
        text = re.sub(
            r"<svg.*?</svg>",
            "",
            "".join(part for name, part in sheet.parts.items() if name != "caution"),
            flags=re.DOTALL,
        )
        assert not re.search(
            r"cut-out|pull (the )?fuse|the meter\b(?! cabinet)", text, re.IGNORECASE
        ), sheet.path


@pytest.mark.parametrize("name", [name for name in JOBS if done(name).installation.rules == "nec"])
def test_a_nec_job_is_given_its_own_short_table(name: str) -> None:
    """No least insulation and no loop limit is claimed for rule set nec. Common practice."""
    html = "".join(readings_parts(done(name).case).values())
    assert "equipment grounding conductor" in html and "function of the breaker" in html
    assert not re.search(
        r"distributor|earth bar|main earthing|Zs|Ze\b|taken off|at least 1 M", html
    )
    assert not re.search(r"network operator|certificate", handover_part(done(name).installation))


def test_at_the_origin_no_method_is_given() -> None:
    rows = [
        row
        for name in JOBS
        for row in expected_readings(done(name).case)
        if row.key in ("ze", "prospective-fault-current")
    ]
    assert rows and all(
        "authorised person only" in row.where and "taken off" not in row.where for row in rows
    )


@pytest.mark.parametrize("name", [*JOBS, "curlew"])
def test_limits_are_told_as_instruments_show_them_and_each_once(name: str) -> None:
    for line in expected_readings(done(name).case):
        said = limit_words(line.limit)
        figures = re.findall(r"([\d.]+) Ω", said)
        assert len(set(figures)) == len(figures), said
        for figure in figures:
            assert len(figure.partition(".")[2]) <= 2, said
        if line.key == "electrode":
            assert said != "as the design asks", f"{name}: {line.where}"
