"""Rule set nec: workings by hand, every check passing and failing, editions asked, sizes chosen,
what is missing never passes.

Figures come from NFPA 70 as the tables and RULES hold them; each check names its source. Table
310.16: 6 AWG 55/65/75 A, 4 AWG 70/85/95 A, 8 AWG 40/50/55 A. Table 250.122: 60 A 10 AWG, 100 A 8
AWG. 310.15(B): 0.91 for 36 to 40 C, 0.87 for 41 to 45 C in the 90 C column (from memory).
"""

from __future__ import annotations

import re
from dataclasses import fields, replace

import pytest
from changing import Change, done, findings, installation, refused, text_of
from drawing_faults import faults_in
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import many
from test_workings import SAYS_WHAT_IS_THERE, leaves, passes, without

from firstway.checks.expecting import expected_readings
from firstway.checks.running import rules
from firstway.choosing.completing import Completed, completed
from firstway.choosing.nec_sizes import GROUNDING_FINDINGS, LINE_FINDINGS
from firstway.drawing.front.board_front import board_front
from firstway.drawing.overlays import overlays_of
from firstway.drawing.single.single_line import single_line
from firstway.drawing.stages import stages_of
from firstway.drawing.wiring_diagram import wiring_diagram
from firstway.model.installation import Installation
from firstway.pages.jobs.fitting_part import terminals_table
from firstway.pages.jobs.working_pages import key_results_html
from firstway.rendering.report import findings_text
from firstway.tables.looking_up_nec import sizes_awg
from firstway.workings.nec.cable import awg_of

NEC = ("alder", "bramble")
SIZES: tuple[Change, ...] = (
    (
        "size_awg: choose, egc_awg: choose, wiring_method: nm-cable",
        'size_awg: "4", egc_awg: "10", wiring_method: nm-cable',
    ),
    ("rating_a: choose", "rating_a: 60"),
)


def value(result: Completed, step_id: str, of: str) -> float | None:
    found = result.case.step(step_id, of)
    assert found is not None, f"no step {step_id} of {of}"
    return found.value


def awg(result: Completed, step_id: str, of: str) -> str:
    found = result.case.step(step_id, of)
    assert found is not None
    return awg_of(found)


def levels(result: Completed, rule: str) -> set[str]:
    return {finding.level for finding in findings(result, rule)}


def numbered(name: str, step_id: str, of: str) -> float | None:
    return value(done(name), step_id, of)


# ---- by hand


def test_48_a_on_nm_cable__takes_4_awg() -> None:
    """An owners' forum quoting 334.80 and 210.19(A): 48 x 1.25 = 60 A; 6 AWG NM cable carries 55 A
    (60 C): not enough.
    """
    result = done("alder")
    assert value(result, "continuous-load-current", "garage") == 60
    assert value(result, "device-rating", "garage") == 60
    assert awg(result, "conductor-size", "garage") == "4"
    assert awg(result, "protective-conductor-size", "garage") == "10"
    rejected = {row.row: row.because for row in result.log["circuits.garage.cable.size_awg"]}
    assert list(rejected) == ["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG"]
    assert (
        "55 against 60 A" in rejected["6 AWG"]
        and "the 65 A of the 75 °C column may not be used" in rejected["6 AWG"]
    )


def test_48_a_in_a_raceway__6_awg_serves_at_75_c() -> None:
    """The same circuit with conductors in a raceway and both ends marked 75 C: 6 AWG, 65 A in the
    75 C column.
    """
    result = done(
        "alder",
        ("wiring_method: nm-cable, terminals_c: 75", "wiring_method: raceway, terminals_c: 75"),
    )
    assert awg(result, "conductor-size", "garage") == "6"
    assert value(result, "terminal-capacity", "garage") == 65


def test_unmarked_terminals__are_read_at_60_c() -> None:
    """110.14(C)(1)(a) (from memory): up to 100 A without a mark, 60 C; so 4 AWG again."""
    result = done("alder", ("wiring_method: nm-cable, terminals_c: 75", "wiring_method: raceway"))
    assert value(result, "terminal-column", "garage") == 60
    assert awg(result, "conductor-size", "garage") == "4"


def test_correction_decides__in_the_hot_attic() -> None:
    """40 A: 50 A device; 8 AWG 55 x 0.87 x 0.80 = 38.28 A is below the load; 6 AWG 75 x 0.87 x 0.80
    = 52.2 A serves.
    """
    result = done("bramble")
    assert value(result, "device-rating", "carport") == 50
    assert awg(result, "conductor-size", "carport") == "6"
    assert value(result, "corrected-capacity", "carport") == pytest.approx(52.2)
    assert value(result, "required-capacity", "carport") == pytest.approx(40 / (0.87 * 0.80))
    assert "38.28 against 40 A" in result.log["circuits.carport.cable.size_awg"][-1].because


def test_next_standard_rating_up__protects_the_feed() -> None:
    """240.4(B) (from memory): 55 A is no standard rating; 60 A is the next."""
    found = [
        finding
        for finding in findings(done("bramble"), "nec-device-protects-conductor")
        if finding.of == "feed"
    ]
    assert found[0].level == "pass" and "240.4(B)" in found[0].message and found[0].limit == 60


def test_voltage_drop__out_and_back_at_75_c() -> None:
    """Chapter 9 Table 8: 4 AWG 1.01 ohm/km; 2 x 1.01 x 48 x 14 / 1000 = 1.357 V, with 6 m of feed
    1.939 V, 0.81 % of 240 V.
    """
    result = done("alder")
    assert value(result, "voltage-drop-branch", "garage") == pytest.approx(1.35744)
    assert value(result, "voltage-drop", "garage") == pytest.approx(1.9392)
    assert value(result, "voltage-drop-percent", "garage") == pytest.approx(0.808)


def test_reading_at_20_c__from_the_table_at_75_c() -> None:
    """(1.01 + 4.068) ohm/km over 14 m, divided by 1 + 0.00393 x 55 (copper law)."""
    assert numbered("alder", "r1-plus-r2-reading", "garage") == pytest.approx(
        (1.01 + 4.068) * 14 / 1000 / 1.21615, rel=1e-9
    )


def test_fault_current_at_board__source_and_feed_at_right_angles() -> None:
    """opendssdirect.py, bolted fault behind a reactive source: 8594.2 A line to line, 5441.6 A line
    to neutral.
    """
    result = done("alder")
    assert value(result, "line-line-fault-at-board", "board") == pytest.approx(8.5942, rel=5e-4)
    assert value(result, "line-neutral-fault-at-board", "board") == pytest.approx(5.4416, rel=5e-4)
    assert value(result, "fault-current-at-board", "board") == value(
        result, "line-line-fault-at-board", "board"
    )


def test_demand__the_record_counts_at_125_per_cent() -> None:
    """96 + 11520/240 = 144 A; 220.87 (from memory): 1.25 x 96 + 48 = 168 A."""
    result = done("alder")
    assert value(result, "maximum-demand", "supply") == 144
    assert value(result, "service-load", "supply") == 168
    assert value(result, "spare-capacity", "supply") == 32


def test_small_point__counts_7200_va_from_2023() -> None:
    """220.57: the larger of 7200 VA and the nameplate; 7200 / 240 = 30 A for a 16 A point; not in
    the 2020 edition.
    """
    change = ("current_a: 48", "current_a: 16")
    assert value(done("alder", change), "charging-load-current", "post-1") == 30
    assert (
        value(
            done("alder", change, ('edition: "2023"', 'edition: "2020"')),
            "charging-load-current",
            "post-1",
        )
        == 16
    )


def test_standard_unknown__the_next_rating_asks_for_it_not_for_a_row() -> None:
    result = done("alder", *SIZES, ("standard: UL 489, protected", "protected"))
    step = result.case.step("next-standard-rating", "garage")
    assert step is not None and step.value is None
    assert step.missing == ("board.ways.F2.standard",)
    assert step.ask == "read the standard on F2"


def test_ze_unknown__the_loop_is_unknown_and_nothing_passes_on_it() -> None:
    result = done("alder")
    step = result.case.step("loop-impedance", "garage")
    assert (
        step is not None and step.value is None and step.missing == ("supply.ze_ohm",) and step.ask
    )


def test_design_current__from_power_between_two_lines() -> None:
    """11.52 kW at 240 V is 48 A."""
    assert value(
        done("alder", ("current_a: 48", "power_kw: 11.52")), "design-current", "garage"
    ) == pytest.approx(48)


def test_oversized_line__asks_for_a_larger_grounding_conductor() -> None:
    """250.122(B) (from memory): 2 AWG where 4 AWG serves: 5.26 x 33.63 / 21.15 = 8.36 mm2, above 10
    AWG; never a silent pass.
    """
    result = done(
        "alder",
        (
            "size_awg: choose, egc_awg: choose, wiring_method: nm-cable",
            'size_awg: "2", egc_awg: "10", wiring_method: nm-cable',
        ),
    )
    assert value(result, "grounding-conductor-in-proportion", "garage") == pytest.approx(
        5.26 * 33.63 / 21.15
    )
    found = next(
        finding for finding in findings(result, "nec-grounding-conductor") if finding.of == "garage"
    )
    assert found.level == "unknown" and "250.122(B)" in found.message


# ---- every check: a change of the file, and what it then says


CASES: tuple[tuple[str, str, tuple[Change, ...], str], ...] = (
    (
        "nec-continuous-load-device",
        "alder",
        (SIZES[0], ("rating_a: choose", "rating_a: 50")),
        "fail",
    ),
    (
        "nec-continuous-load-device",
        "alder",
        (("rating_a: 70, poles: 2", "rating_a: 50, poles: 2"),),
        "fail",
    ),
    (
        "nec-continuous-load-conductor",
        "alder",
        (SIZES[1], (SIZES[0][0], 'size_awg: "6", egc_awg: "10", wiring_method: nm-cable')),
        "fail",
    ),
    (
        "nec-nm-cable",
        "alder",
        (SIZES[1], (SIZES[0][0], 'size_awg: "6", egc_awg: "10", wiring_method: nm-cable')),
        "advice",
    ),
    ("nec-nm-cable", "alder", (), "pass"),
    (
        "nec-corrected-ampacity",
        "alder",
        (
            *SIZES,
            ("ambient_c: 38, current_carrying: 2}]}", "ambient_c: 38, current_carrying: 20}]}"),
        ),
        "fail",
    ),
    (
        "nec-device-protects-conductor",
        "alder",
        ((SIZES[0][0], 'size_awg: "8", egc_awg: "10", wiring_method: nm-cable'), SIZES[1]),
        "fail",
    ),
    (
        "nec-device-protects-conductor",
        "alder",
        (
            ("current_a: 48", "current_a: 24"),
            SIZES[1],
            (SIZES[0][0], 'size_awg: "10", egc_awg: "10", wiring_method: nm-cable'),
        ),
        "fail",
    ),
    (
        "nec-grounding-conductor",
        "alder",
        (SIZES[1], (SIZES[0][0], 'size_awg: "4", egc_awg: "12", wiring_method: nm-cable')),
        "fail",
    ),
    (
        "nec-grounding-conductor",
        "alder",
        (SIZES[1], (SIZES[0][0], 'size_awg: "4", egc_awg: none, wiring_method: nm-cable')),
        "danger",
    ),
    (
        "nec-grounding-conductor",
        "alder",
        (
            (
                'egc_awg: "8", wiring_method: raceway',
                "egc_awg: none, wiring_method: raceway, protective: armour",
            ),
        ),
        "unknown",
    ),
    (
        "nec-grounding-conductor",
        "alder",
        (('egc_awg: "8", wiring_method: raceway', "egc_awg: none, wiring_method: raceway"),),
        "danger",
    ),
    (
        "nec-opens-ungrounded",
        "alder",
        (("protected_poles: 2, switched_poles: 2", "protected_poles: 2"),),
        "unknown",
    ),
    (
        "nec-interrupting-rating",
        "alder",
        (("breaking_capacity_ka: 10", "breaking_capacity_ka: 5"),),
        "danger",
    ),
    (
        "nec-interrupting-rating",
        "alder",
        (
            ("breaking_capacity_ka: 10", "breaking_capacity_ka: 5"),
            ("fault_rating_ka: 22", "fault_rating_ka: 22, conditional_fault_rating_ka: 22"),
        ),
        "advice",
    ),
    (
        "nec-interrupting-rating",
        "alder",
        (("fault_rating_ka: 22", "fault_rating_ka: 5"),),
        "danger",
    ),
    ("nec-interrupting-rating", "alder", (("line_line: 9.2", "line_line: unknown"),), "unknown"),
    (
        "nec-surge-fault-rating",
        "alder",
        (("short_circuit_rating_ka: 200", "short_circuit_rating_ka: 5"),),
        "fail",
    ),
    ("nec-surge-protection", "alder", (("type: 2, connection", "type: 3, connection"),), "fail"),
    (
        "nec-surge-protection",
        "alder",
        (("nominal_discharge_current_ka: 20", "nominal_discharge_current_ka: 5"),),
        "fail",
    ),
    (
        "nec-surge-protection",
        "bramble",
        (("nominal_discharge_current_ka: 20", "nominal_discharge_current_ka: 5"),),
        "pass",
    ),
    ("nec-listed", "alder", (("listed: true", "listed: false"),), "fail"),
    ("nec-listed", "alder", (("listed: true", "listed: unknown"),), "unknown"),
    (
        "nec-personnel-protection",
        "alder",
        (("built_in_rcd: ccid-20", "built_in_rcd: none"),),
        "fail",
    ),
    (
        "nec-personnel-protection",
        "alder",
        (("built_in_rcd: ccid-20", "built_in_rcd: undeclared"),),
        "unknown",
    ),
    (
        "nec-neutral-not-bonded",
        "alder",
        (("neutral_bonded: false", "neutral_bonded: true"),),
        "danger",
    ),
    (
        "nec-neutral-not-bonded",
        "alder",
        (("neutral_bonded: false", "neutral_bonded: unknown"),),
        "unknown",
    ),
    (
        "nec-panel-rating",
        "alder",
        (("rating_a: 125, main: lugs", "rating_a: 60, main: lugs"),),
        "fail",
    ),
    (
        "nec-panel-rating",
        "alder",
        (("style: tabs, rating_a: 125", "style: tabs, rating_a: 60"),),
        "fail",
    ),
    ("nec-service-load", "alder", (("UL 489, rating_a: 200", "UL 489, rating_a: 150"),), "fail"),
    ("nec-service-load", "alder", (("basis: measured", "basis: estimated"),), "unknown"),
    (
        "nec-service-load",
        "alder",
        (("maximum_demand_a: 96", "maximum_demand_a: unknown"),),
        "unknown",
    ),
    (
        "nec-openings-closed",
        "alder",
        (("spare_ways_blanked: true", "spare_ways_blanked: false"),),
        "fail",
    ),
    (
        "nec-load-management",
        "alder",
        (("setting_locked: true", "setting_locked: false"),),
        "advice",
    ),
    ("nec-load-management", "alder", (), "advice"),
    (
        "nec-disconnect",
        "alder",
        (
            ("current_a: 48", "current_a: 64"),
            ("rating_a: 70, poles: 2", "rating_a: 80, poles: 2"),
            ('size_awg: "4", egc_awg: "8"', 'size_awg: "3", egc_awg: "8"'),
        ),
        "unknown",
    ),
    ("nec-disconnect", "alder", (), "advice"),
    (
        "nec-voltage-drop",
        "alder",
        (("method: nm-cable, length_m: 14", "method: nm-cable, length_m: 100"),),
        "advice",
    ),
    (
        "nec-terminal-torque",
        "alder",
        (("terminals: {torque_lbf_in: 45}", "terminals: {torque_lbf_in: undeclared}"),),
        "unknown",
    ),
    ("nec-emergency-disconnect", "bramble", (), "advice"),
    (
        "nec-emergency-disconnect",
        "bramble",
        (("service_work: replaced", "service_work: unknown"),),
        "unknown",
    ),
    (
        "nec-gfci",
        "alder",
        (("outlet: tethered", "outlet: receptacle"), ("hard_wired: true", "hard_wired: false")),
        "fail",
    ),
    (
        "nec-gfci",
        "alder",
        (
            ("outlet: tethered", "outlet: receptacle"),
            ("hard_wired: true", "hard_wired: false"),
            (
                "device: circuit-breaker, modules: 2",
                "device: rcbo, rated_residual_current_ma: 5, modules: 2",
            ),
        ),
        "pass",
    ),
    (
        "nec-gfci",
        "alder",
        (
            ("outlet: tethered", "outlet: receptacle"),
            ("hard_wired: true", "hard_wired: false"),
            (
                "device: circuit-breaker, modules: 2",
                "device: rcbo, rated_residual_current_ma: 30, modules: 2",
            ),
        ),
        "fail",
    ),
    ("nec-gfci", "bramble", (), "unknown"),
)


@pytest.mark.parametrize("rule, name, changes, level", CASES)
def test_check_says(rule: str, name: str, changes: tuple[Change, ...], level: str) -> None:
    assert level in levels(done(name, *changes), rule)


TWO_POINTS: tuple[Change, ...] = (
    ("supplies: [post-1]", "supplies: [post-1, post-2]"),
    ("current_a: 48", "current_a: 20"),
    (
        "charging_points: [",
        (
            "charging_points: [{name: post-2, current_a: 20, setting_locked: true, lines: [L1, L2],"
            " location: indoors, outlet: tethered, hard_wired: true, listed: true, built_in_rcd:"
            " ccid-20, earthed_by: supply}, "
        ),
    ),
)
MANAGED: Change = (
    "existing_boards:",
    (
        "load_limiter: {limit_a: 150, documented: true, senses: {lines: [L1, L2], place:"
        " before-split, arrow: to-load}}\nexisting_boards:"
    ),
)


def test_two_points_on_one_circuit__fail_unless_managed_and_the_edition_allows_it() -> None:
    """625.40: an own branch circuit; the exception for managed points was read in the 2023
    edition.
    """
    assert levels(done("alder", *TWO_POINTS), "nec-own-circuit") == {"fail"}
    assert levels(done("alder", *TWO_POINTS, MANAGED), "nec-own-circuit") == {"pass"}
    assert levels(
        done("alder", *TWO_POINTS, MANAGED, ('edition: "2023"', 'edition: "2020"')),
        "nec-own-circuit",
    ) == {"unknown"}


def test_rod__never_takes_the_place_of_the_grounding_conductor() -> None:
    """250.4(A)(5), 250.54."""
    rod = (
        ("earthed_by: supply", "earthed_by: stake"),
        (
            "charging_points: [",
            (
                "electrodes: [{name: stake, use: charging-point, resistance_ohm:"
                " 25}]\ncharging_points: ["
            ),
        ),
    )
    assert levels(done("alder", *rod), "nec-rod") == {"unknown"}
    bare = (SIZES[1], (SIZES[0][0], 'size_awg: "4", egc_awg: none, wiring_method: nm-cable'))
    assert levels(done("alder", *rod, *bare), "nec-rod") == {"danger"}


# ---- editions are asked, never assumed


@pytest.mark.parametrize(
    "edition, rule, expected",
    [
        ("2017", "nec-surge-protection", set()),  # 230.67 came in 2020
        ("2017", "nec-emergency-disconnect", set()),  # 230.85 came in 2020
        ("2026", "nec-gfci", {"unknown"}),  # hard-wired points included, under appeal
        ("2026", "nec-service-load", {"unknown"}),  # load calculations moved to Article 120
        ("2020", "nec-load-management", {"unknown"}),  # settings allowed more narrowly before 2023
        ("2023", "nec-gfci", {"advice"}),
        ("2023", "nec-service-load", {"pass"}),
    ],
)
def test_edition_changes_the_verdict(edition: str, rule: str, expected: set[str]) -> None:
    changes = (('edition: "2023"', f'edition: "{edition}"'),) if edition != "2023" else ()
    assert levels(done("alder", *changes), rule) == expected


@pytest.mark.parametrize("edition", ["2017", "2026"])
def test_an_edition_that_was_not_seen__is_named_in_every_verdict(edition: str) -> None:
    for finding in done("alder", ('edition: "2023"', f'edition: "{edition}"')).findings:
        if finding.id.startswith("nec-") and finding.level in ("pass", "fail", "danger"):
            assert f"confirm in the adopted text of {edition}" in finding.message, finding.id


def test_panel_alone_without_a_surge_device__is_for_the_authority() -> None:
    """215.18 (2023), 230.67: whether a new panel alone triggers it is disputed."""
    text = text_of("alder")
    start = text.index("    - {name: F1")
    spd = text[start : text.index("    - {name: F2")]
    found = findings(done("alder", (spd, "")), "nec-surge-protection")
    assert [finding.level for finding in found] == [
        "unknown"
    ] and "authority having jurisdiction" in found[0].message


# ---- both installations are whole and healthy


@pytest.mark.parametrize("name", NEC)
def test_no_fail_and_no_danger(name: str) -> None:
    assert [finding for finding in done(name).findings if finding.level in ("fail", "danger")] == []


def test_every_rule_has_its_file_its_three_parts_and_a_source_with_an_edition() -> None:
    own = [module for module in rules() if module.__name__.rpartition(".")[2].startswith("nec_")]
    assert len(own) >= 12
    for module in own:
        assert module.RULE.id == module.__name__.rpartition(".")[2].replace("_", "-")
        assert (
            module.RULE.rule_sets == ("nec",)
            and module.RULE.source.startswith("NFPA 70")
            and module.RULE.edition in ("2020", "2023")
        )
        text = module.__doc__ or ""
        assert "Why: " in text and any(
            word in text for word in ("A pass:", "Advice:", "Not known:")
        ), module.RULE.id


@pytest.mark.parametrize(
    "name",
    # the largest takes as long as all others together
    [pytest.param(each, marks=[pytest.mark.long] if each == "bramble" else []) for each in NEC],
)
def test_knowing_less_never_gives_a_new_pass(name: str) -> None:
    whole = installation(name)
    base = passes(done(name).findings)
    paths = [path for path in leaves(whole) if path[-1] not in SAYS_WHAT_IS_THERE]
    assert len(paths) > 60
    for path in paths[:: many(5, 1)]:
        result, problems = completed(without(whole, path))
        if result is None:
            assert problems
            continue
        assert passes(result.findings) <= base, (
            f"without {'.'.join(map(str, path))} a finding passes that did not"
        )


@pytest.mark.parametrize("name", NEC)
def test_what_is_assumed_never_passes(name: str) -> None:
    parts = [
        item.name
        for item in fields(Installation)
        if "spec" in item.metadata and item.name in installation(name).lines_of
    ]
    result, problems = completed(
        replace(installation(name), known_by=dict.fromkeys(parts, "assumed"))
    )
    assert result is not None and not problems
    assert [
        finding
        for finding in result.findings
        if finding.level == "pass" and finding.id.startswith("nec-")
    ] == []


# ---- choosing


@pytest.mark.parametrize(
    "change, words",
    [
        (
            ("wiring_method: nm-cable, terminals_c", "wiring_method: unknown, terminals_c"),
            "find out the wiring method",
        ),
        (
            ("ambient_c: 38, current_carrying: 2}]}", "ambient_c: 75, current_carrying: 2}]}"),
            "nec_ambient_factor has no row",
        ),
        (
            ("current_a: 48, setting_locked", "current_a: 200, setting_locked"),
            "no size of the table serves",
        ),
    ],
)
def test_a_gap_is_refused_with_its_line(change: Change, words: str) -> None:
    problems = refused("alder", change)
    assert (
        words in problems[0].message and problems[0].line > 1 and problems[0].file == "alder.yaml"
    )


@settings(max_examples=many(20, 60), deadline=None)
@given(
    st.integers(6, 80),
    st.integers(10, 60),
    st.integers(2, 20),
    st.sampled_from(["nm-cable", "raceway"]),
    st.sampled_from(["60", "75"]),
)
def test_choosing_never_returns_a_size_that_fails_its_checks(
    current: int, ambient: int, together: int, method: str, marked: str
) -> None:
    result, problems = completed(
        installation(
            "alder",
            ("current_a: 48", f"current_a: {current}"),
            (
                "wiring_method: nm-cable, terminals_c: 75",
                f"wiring_method: {method}, terminals_c: {marked}",
            ),
            (
                "ambient_c: 38, current_carrying: 2}]}",
                f"ambient_c: {ambient}, current_carrying: {together}}}]}}",
            ),
        )
    )
    if result is None:
        assert problems
        return
    against = [
        finding
        for finding in result.findings
        if finding.id in (*LINE_FINDINGS, *GROUNDING_FINDINGS, "nec-continuous-load-device")
        and finding.of == "garage"
        and finding.level in ("fail", "danger", "unknown")
    ]
    assert against == []


@settings(max_examples=many(8, 25), deadline=None)
@given(st.integers(6, 70), st.integers(10, 55), st.integers(1, 10), st.integers(1, 5))
def test_more_load_or_heat__never_a_smaller_conductor(
    current: int, ambient: int, more: int, hotter: int
) -> None:
    def chosen(amperes: int, degrees: int) -> int | None:
        result, _ = completed(
            installation(
                "alder",
                ("current_a: 48", f"current_a: {amperes}"),
                (
                    "ambient_c: 38, current_carrying: 2}]}",
                    f"ambient_c: {degrees}, current_carrying: 2}}]}}",
                ),
            )
        )
        return (
            None if result is None else sizes_awg().index(awg(result, "conductor-size", "garage"))
        )

    first, heavier, warmer = (
        chosen(current, ambient),
        chosen(current + more, ambient),
        chosen(current, ambient + hotter),
    )
    if first is not None:
        assert heavier is None or heavier >= first
        assert warmer is None or warmer >= first


def test_wiring_of__nec_conductors_have_a_colour_and_a_size_in_awg() -> None:
    # Colours: NEC 200.6 (white) and 250.119 (green) from memory; black and red for lines are common
    # practice.
    wiring = done("alder").case.wiring
    wanted = {"L1": "black", "L2": "red", "N": "white", "PE": "green"}
    tails = [conductor for conductor in wiring.conductors if conductor.cable == "supply"]
    assert tails and all(conductor.missing == ("supply.cable",) for conductor in tails), (
        "the file tells of no cable of the service"
    )
    routed = [
        conductor for conductor in wiring.conductors if conductor.cable and conductor not in tails
    ]
    assert routed and all(conductor.colour == wanted[conductor.function] for conductor in routed)
    assert all(conductor.size.endswith(" AWG") for conductor in routed)


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_wiring_of__the_grounding_conductor_comes_with_the_feeder(name: str) -> None:
    """NFPA 70 250.32(B), 250.134, 408.40 (from memory): from the existing panel, with its feeder;
    neutral and ground apart in the panel.
    """
    wiring = done(name).case.wiring
    ground = next(conductor for conductor in wiring.conductors if conductor.id == "feed.PE")
    assert (ground.start, ground.end, ground.cable) == ("origin.PE", "earth-bar.1", "feed")
    assert wiring.part("met") is None and wiring.main_earth == "origin.PE"
    lengths = {conductor.length_m for conductor in wiring.conductors if conductor.cable == "feed"}
    assert len(lengths) == 1, "one run, one length"
    metal = done(name).case.joined(conductors_only=True)
    assert (
        metal["neutral-bar.1"] != metal["earth-bar.1"]
        and metal["earth-bar.1"] == metal["origin.PE"] == metal["post-1.PE"]
    )


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_lost_grounding_conductor_of_the_feeder__is_a_danger_told_in_the_words_of_the_trade(
    name: str,
) -> None:
    result, problems = completed(
        installation(name, ("rules: nec\n", "rules: nec\nwiring: [{remove: feed.PE}]\n"))
    )
    assert result is not None and not problems
    found = [finding for finding in result.findings if finding.id == "earth-bar-joined"]
    assert [(each.level, each.place) for each in found] == [("danger", "earth-bar")]
    assert (
        found[0].message
        == "no conductor joins the ground bar to the grounding bus of the existing panel"
    )
    assert not findings(done(name), "means-of-earthing")


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_stages_and_paths__speak_of_ground(name: str) -> None:
    """Common practice: ground, panel, feeder; nothing of earth bars, tails, armour, a main switch
    or a residual current device the job has not.
    """
    texts = [
        " ".join((each.title, each.reason, each.isolation, *each.points))
        for each in stages_of(done(name))
    ]
    texts += [f"{each.title} {each.words}" for each in overlays_of(done(name))]
    for text in texts:
        assert not re.search(
            r"(?i)\b(earth\w*|tails?|armour|main switch|residual current|met|board|distributor)\b",
            text.replace("true earth", ""),
        ), text


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_the_drawings_speak_of_ground(name: str) -> None:
    """Words of the trade where rule set nec holds (common practice): ground bar, G; no earth, no
    main earthing terminal.
    """
    for drawn in (
        wiring_diagram(done(name), "a"),
        single_line(done(name), "b"),
        board_front(done(name), "c"),
    ):
        text = re.sub(r"<[^>]*>", " ", drawn.svg) + drawn.alt
        assert not re.search(
            r"(?i:\bearth\w*\b(?!-bar)|distributor|circuit-breaker)|\bMET\b|\bPE\b", text
        ), drawn.title


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_single_line__the_ground_comes_with_the_feeder_and_no_loop_is_called_out(name: str) -> None:
    """NFPA 70 names no limit of a loop impedance (250.4(A)(5) asks for a low one); what is not
    asked is not called "not known".
    """
    drawn = single_line(done(name), "b")
    assert (
        "Equipment grounding conductor, brought with the feeder" in drawn.svg
        and "AWG ground" in drawn.svg
    )
    assert "main lugs" in drawn.svg and drawn.svg.index("Energy meter") < drawn.svg.index(
        "Service disconnect"
    )
    assert not re.search(r"loop impedance|smallest earth fault|R1 \+ R2|not known", drawn.svg)
    assert faults_in(drawn.svg) == ()


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_what_decides_the_job__holds_no_loop(name: str) -> None:
    html = key_results_html(done(name))
    assert "AWG" in html and not re.search(r"(?i)loop|ground-fault current", html)


def test_sizes_in_findings__are_in_awg_with_the_area_beside_them() -> None:
    """NFPA 70 chapter 9, table 8: 8 AWG is 8.366 mm2, 10 AWG is 5.26 mm2."""
    said = [
        line
        for line in findings_text(done("alder")).splitlines()
        if "(nec-grounding-conductor" in line
    ]
    assert (
        len(said) == 2
        and "[8 AWG (8.366 mm²) against 8 AWG (8.366 mm²)]" in said[0]
        and "[10 AWG (5.26 mm²)" in said[1]
    )
    assert "AWG" not in findings_text(done("marram"))


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_readings_and_fitting__speak_of_ground(name: str) -> None:
    """A surge device for 120 V to ground conducts at 250 V as well as at 500 V: it is taken out
    (common practice).
    """
    readings = " ".join(
        f"{each.test} {each.where} {each.limit.words} {each.because}"
        for each in expected_readings(done(name).case)
    )
    assert (
        "250 V" not in readings and "ground bar to grounding bus of the existing panel" in readings
    )
    table = terminals_table(done(name).installation, ["earth-bar", "neutral-bar", "F2"])
    page = " ".join(re.sub(r"<[^>]*>", " ", text) for text in (readings, table))
    assert "ground bar" in table and not re.search(
        r"(?i)\bearth\w*\b|circuit-breaker|\bmet\b", page
    ), page
