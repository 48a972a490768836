"""The workings only pass values on: each number stands where the file, a table or a formula put it.

What is proof of the numbers themselves lives in tests/published and test_tables.py. The anchors
here are known from outside and named beside each check; everything else is a property: inputs
resolve, formulas repeat, what is not known spreads, what is assumed never passes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from changing import Change, done, installation, text_of
from sampling import EVERY_JOB, JOBS, many

from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed, completed
from firstway.files.specs import Section, Sections, SectionsOrNames
from firstway.model.installation import Installation
from firstway.model.values import CHOOSE, UNKNOWN, Absent, is_known
from firstway.workings.shared.step import Step
from firstway.workings.working_through import not_worked_yet

LOOKED_INTO = (
    "marram",
    "quince",
    "tern",
    "sallow",
)  # the kinds of supply and earthing; the others are alike


def step(result: Completed, step_id: str, of: str) -> Step:
    found = result.case.step(step_id, of)
    assert found is not None, f"no step {step_id} of {of}"
    return found


def value(result: Completed, step_id: str, of: str) -> float:
    found = step(result, step_id, of).value
    assert found is not None
    return found


# ---- anchors from outside


def test_loop_limit__b_40_a_is_the_printed_limit_and_the_law_beside_it() -> None:
    """BS 7671 Table 41.3 prints 1.09 ohm for a type B 40 A device; 0.95 x 230 / (5 x 40)
    is 1.0925.
    """
    limit = step(done("marram"), "loop-impedance-limit", "slipway")
    assert limit.value == pytest.approx(0.95 * 230 / 200, rel=1e-12)
    printed = [row for row in limit.rows if row.table == "maximum_zs"]
    assert [row.value for row in printed] == [1.09] and printed[0].standing and printed[0].source


@pytest.mark.parametrize("curve, printed", [("C", 0.55), ("D", 0.27)])
def test_loop_limit__other_curves(curve: str, printed: float) -> None:
    """BS 7671 Table 41.3, 40 A: C 0.55, D 0.27 ohm."""
    limit = step(done("marram", ("curve: B", f"curve: {curve}")), "loop-impedance-limit", "slipway")
    assert limit.value == pytest.approx(printed, abs=0.006)
    assert [row.value for row in limit.rows if row.table == "maximum_zs"] == [printed]


def test_reading_limit__is_eight_tenths_of_the_unrounded_limit() -> None:
    """BS 7671 Appendix 3: 0.8 of the limit; worked from 1.0925, not from 1.09."""
    assert value(done("marram"), "loop-impedance-reading-limit", "slipway") == pytest.approx(
        0.874, rel=1e-12
    )


@pytest.mark.parametrize(
    ("name", "circuit"),
    [("tern", "shed"), ("fulmar", "byre"), ("sallow", "gate"), ("quince", "drive")],
)
def test_reading_limit__through_an_electrode_is_the_limit_itself(name: str, circuit: str) -> None:
    """The factor makes room for warm copper (BS 7671 Appendix 3); by physics soil does not warm
    with the load, it changes with the season.
    """
    limit, reading = (
        step(done(name), each, circuit)
        for each in ("loop-impedance-limit", "loop-impedance-reading-limit")
    )
    assert reading.value == limit.value and reading.value is not None
    assert "season" in reading.note and done(name).case.step("reading-factor", circuit) is None


def test_flat_twin_6_mm2__method_c_and_drop() -> None:
    """BS 7671 Table 4D5: 6 mm2 flat twin and earth, method C 47 A, method 103 23.5 A,
    7.3 mV/A/m.
    """
    result = done("quince")
    assert value(result, "tabulated-capacity-stretch-1", "drive") == 47
    assert value(result, "tabulated-capacity-stretch-2", "drive") == 23.5
    assert value(result, "tabulated-voltage-drop", "drive") == 7.3
    for step_id in ("tabulated-capacity-stretch-1", "tabulated-voltage-drop"):
        assert "BS 7671" in step(result, step_id, "drive").source


def test_voltage_drop__by_hand() -> None:
    """By hand from the printed rows 7.3 (6 mm2 armoured) and 1.75 (25 mm2 tails): 7.3x32x18/1000 +
    1.75x32x0.8/1000.
    """
    result = done("marram")
    assert value(result, "voltage-drop", "feed") == pytest.approx(0.0448, rel=1e-12)
    assert value(result, "voltage-drop", "slipway") == pytest.approx(4.2496, rel=1e-12)
    assert value(result, "voltage-drop-percent", "slipway") == pytest.approx(
        100 * 4.2496 / 230, rel=1e-12
    )


def test_r1_plus_r2__by_hand() -> None:
    """IEC 60228: 6 mm2 3.08 ohm/km, 25 mm2 0.727, 16 mm2 1.15, at 20 C; hot by 0.004 for each
    kelvin to 70 C.
    """
    result = done("marram")
    assert value(result, "r1-plus-r2-reading", "slipway") == pytest.approx(
        6.16 * 18 / 1000, rel=1e-12
    )
    assert value(result, "r1-plus-r2-reading", "feed") == pytest.approx(
        (0.727 + 1.15) * 0.8 / 1000, rel=1e-12
    )
    hot = 0.28 + 1.2 * (0.11088 + 0.0015016)
    assert value(result, "loop-impedance", "slipway") == pytest.approx(hot, rel=1e-12)
    assert value(result, "loop-impedance-reading", "slipway") == pytest.approx(
        0.28 + 0.11088 + 0.0015016, rel=1e-12
    )
    assert value(result, "earth-fault-current", "slipway") == pytest.approx(
        0.95 * 230 / hot, rel=1e-12
    )


def test_tails_of_the_supply_enter_no_sum() -> None:
    """DESIGN: the supply's tails are already in Ze and the loops at the origin."""
    longer = done(
        "marram", ("route: [{method: C, length_m: 0.6,", "route: [{method: C, length_m: 60,")
    )
    assert [(each.identity, each.value) for each in longer.case.workings] == [
        (each.identity, each.value) for each in done("marram").case.workings
    ]


def test_fault_current_at_board__by_hand() -> None:
    """IEC 60909: 1.1 x 230 V over the loop with the feed cold (2 x 0.727 x 0.8 / 1000 ohm)."""
    assert value(done("marram"), "fault-current-at-board", "board") == pytest.approx(
        1.1 * 230 / 1000 / (0.28 + 0.0011632), rel=1e-12
    )


def test_source_impedance__from_the_current_where_only_that_is_given() -> None:
    """DESIGN: voltage over current, a shown step: 230 V / 820 A."""
    result = done("marram", ("  line_neutral_loop_ohm: 0.28", "  # line_neutral_loop_ohm: 0.28"))
    origin = step(result, "line-neutral-impedance-at-origin", "board")
    assert origin.kind == "formula" and origin.value == pytest.approx(230 / 820, rel=1e-12)


def test_source_given_by_currents_only__loop_current_and_time_are_worked() -> None:
    """DESIGN 4: the source impedance is voltage/current, a shown step: 230 V / 820 A =
    0.2805 ohm.
    """
    result = done("marram", ("  ze_ohm: 0.28", "  ze_ohm: unknown"))
    external = step(result, "external-loop-impedance", "slipway")
    assert external.value == pytest.approx(230 / 820) and external.inputs == (
        "line-earth-impedance-at-origin board",
    )
    given = value(done("marram"), "loop-impedance", "slipway")
    assert value(result, "loop-impedance", "slipway") == pytest.approx(given + 230 / 820 - 0.28)
    assert (
        value(result, "earth-fault-current", "slipway")
        and value(result, "disconnection-time", "slipway") == 0.04
    )


def test_source_given_by_currents_only__rule_set_nec() -> None:
    result = done(
        "alder",
        ("line_neutral: 6.1, line_line: 9.2", "line_neutral: 6.1, line_line: 9.2, line_earth: 3"),
    )
    circuit = result.installation.circuits[0].name
    assert value(result, "external-loop-impedance", circuit) == pytest.approx(
        result.installation.supply.line_to_earth_v / 3000
    )


def test_disconnection_time__the_shorter_of_the_two_parts_of_the_device() -> None:
    """IEC 61009-1 table 2: 0.04 s at five times the residual current and above; IEC 60898-1:
    instantaneous within 0.1 s.
    """
    assert value(done("marram"), "disconnection-time", "slipway") == 0.04
    delayed = done(
        "marram",
        (
            "rated_residual_current_ma: 30, residual_type: A, delay: none",
            "rated_residual_current_ma: 100, residual_type: A, delay: S",
        ),
    )
    assert value(delayed, "disconnection-time", "slipway") == 0.1, (
        "an S device waits up to 0.15 s: the overcurrent part is first"
    )


def test_a_factor_of_one_is_a_step_with_its_inputs() -> None:
    result = done("marram")
    alone = step(result, "grouping-factor-stretch-1", "slipway")
    assert alone.value == 1 and alone.inputs == ("circuits.slipway.route.1.grouped_circuits",)
    assert step(result, "thermal-insulation-factor-stretch-1", "slipway").inputs == (
        "circuits.slipway.route.1.thermal_insulation_length_mm",
    )
    own = step(result, "corrected-capacity", "slipway")
    assert {name.rpartition("-stretch")[0] for name in own.inputs} >= {
        "grouping-factor",
        "soil-factor",
        "overload-factor",
        "ambient-factor",
    }


@pytest.mark.parametrize(
    "key",
    [
        "1.grouped_circuits",
        "1.thermal_insulation_length_mm",
        "1.ambient_c",
        "2.ground_c",
        "2.soil_k_m_per_w",
        "2.method",
    ],
)
def test_every_stretch_counts_in_what_the_capacity_rests_on(key: str) -> None:
    """The worst stretch is the worst of all of them, so it rests on all of them."""
    path = f"circuits.slipway.route.{key}"
    result = done("marram", ("known_by: {", f"known_by: {{{path}: assumed, "))
    assert path in step(result, "corrected-capacity", "slipway").assumed
    assert level(result, "capacity", "slipway") == "unknown"


def test_an_electrode_measured_by_nobody_counts() -> None:
    result = done("tern", ("known_by: {", "known_by: {electrodes.rods.resistance_ohm: assumed, "))
    assert step(result, "loop-impedance", "shed").assumed == ("electrodes.rods.resistance_ohm",)


def test_required_and_corrected_capacity__the_worst_stretch_counts() -> None:
    """BS 7671 Appendix 4: It >= In / factors; buried cables with the ground at 15 C: 1.05, and 0.9
    for 433.1.
    """
    result = done("marram")
    assert value(result, "required-capacity", "slipway") == pytest.approx(
        40 / (1.05 * 0.9), rel=1e-12
    )
    assert value(result, "corrected-capacity", "slipway") == pytest.approx(
        46 * 1.05 * 0.9, rel=1e-12
    )
    turned = done(
        "marram",
        (
            "{method: C, length_m: 6, ambient_c: 30, grouped_circuits: 1",
            "{method: C, length_m: 6, ambient_c: 30, grouped_circuits: 4, grouped_as: bunched",
        ),
    )
    assert "stretch 1" in step(turned, "corrected-capacity", "slipway").note, (
        "four circuits bunched in air: 0.65 of 49 A is the worst"
    )


def test_tables_are_those_of_the_cooler_of_insulation_and_terminals() -> None:
    """BS 7671 512.1.5: 90 C insulation on 70 C terminals reads the 70 C table; 6 mm2 armoured,
    method C: 49, else 62 A.
    """
    assert value(done("marram"), "tabulated-capacity-stretch-1", "slipway") == 49
    hotter = done(
        "marram",
        ("terminals_c: 70", "terminals_c: 90"),
        (
            "csa_mm2: choose, protective: core, cpc_mm2: choose",
            "csa_mm2: 6, protective: core, cpc_mm2: 6",
        ),
    )
    assert value(hotter, "tabulated-capacity-stretch-1", "slipway") == 62
    assert value(hotter, "operating-limit", "slipway") == 90


def test_protective_conductor__from_the_makers_energy() -> None:
    """IEC 60364-5-54: S = sqrt(I2t) / k with 7000 A2s, k 143 (copper core, 90 C insulation)."""
    result = done("marram")
    assert value(result, "minimum-protective-conductor", "slipway") == pytest.approx(
        math.sqrt(7000) / 143, rel=1e-12
    )
    assert "let-through" in step(result, "minimum-protective-conductor", "slipway").note


@pytest.mark.parametrize(
    "change",
    [
        (
            "let_through: [{fault_current_ka: 1, energy_ka2s: 7}]",
            "let_through: [{fault_current_ka: 0.5, energy_ka2s: 3}]",
        ),
        ("let_through: [{fault_current_ka: 1, energy_ka2s: 7}], ", ""),
    ],
)
def test_protective_conductor__a_tenth_of_a_second_where_no_figure_reaches(change: Change) -> None:
    result = done("marram", change)
    found = step(result, "minimum-protective-conductor", "slipway")
    current = 1.1 * 230 / (0.28 + 0.0015016)
    assert found.value == pytest.approx(math.sqrt(current**2 * 0.1) / 143, rel=1e-9)
    assert "0.1 s" in found.note and "no let-through" in found.note


def test_protective_conductor__takes_the_figure_next_above_and_does_not_interpolate() -> None:
    result = done(
        "marram",
        (
            "let_through: [{fault_current_ka: 1, energy_ka2s: 7}]",
            (
                "let_through: [{fault_current_ka: 6, energy_ka2s: 35}, {fault_current_ka: 0.9,"
                " energy_ka2s: 6}, {fault_current_ka: 0.5, energy_ka2s: 3}]"
            ),
        ),
    )
    assert value(result, "let-through-energy", "slipway") == 6000


def test_design_current__from_power() -> None:
    """7.4 kW at 230 V: 32.17 A (P / U0), so the next standard rating is 40 A."""
    result = done(
        "marram",
        ("current_a: 32", "power_kw: 7.4"),
        ("rating_a: 40, curve", "rating_a: choose, curve"),
    )
    assert value(result, "design-current", "slipway") == pytest.approx(7400 / 230, rel=1e-12)
    assert value(result, "device-rating", "slipway") == 40


def test_lead_length__both_sides_and_the_link() -> None:
    """BS 7671 534.4.8: line side and earth side together; CT2: the longer path to earth."""
    assert value(
        done("marram", ("through_own_device_m: 0", "through_own_device_m: 0.2")),
        "spd-lead-length",
        "F1",
    ) == pytest.approx(0.05 + 0.25 + 0.2)
    assert value(done("tern"), "spd-lead-length", "F1") == pytest.approx(0.16 + 0.28)


# ---- TT and rods


def test_tt_loop__through_both_electrodes() -> None:
    """BS 7671 411.5: half the line-neutral loop, the conductors, the installation's electrode and
    the source's.
    """
    result = done("tern")
    conductors = value(result, "r1-plus-r2-hot", "feed") + value(result, "r1-plus-r2-hot", "shed")
    assert value(result, "loop-impedance", "shed") == pytest.approx(
        0.16 + conductors + 62 + 8, rel=1e-12
    )
    limit = step(result, "loop-impedance-limit", "shed")
    assert limit.value == pytest.approx(50 / 0.03, rel=1e-12)
    assert 1667 in [row.value for row in limit.rows], "BS 7671 Table 41.5 prints 1667 ohm for 30 mA"


def test_tt_loop__unknown_without_the_source_electrode() -> None:
    result = done("tern", ("  source_electrode_ohm: 8\n", ""))
    found = step(result, "loop-impedance", "shed")
    assert (
        found.value is None
        and "supply.source_electrode_ohm" in found.missing
        and "distributor" in found.ask
    )
    assert value(result, "fault-current-at-board", "board") == pytest.approx(
        1.1 * 230 / 1000 / value(result, "line-neutral-impedance-at-board", "board")
    )


def test_tt__without_a_named_electrode_nothing_passes() -> None:
    result = done(
        "tern",
        ("earthed_by: rods", "earthed_by: supply"),
        ("use: installation, resistance_ohm: 62", "use: measuring, resistance_ohm: 62"),
    )
    assert step(result, "loop-impedance", "shed").value is None
    assert level(result, "loop-impedance", "F2") == "unknown"


def test_point_on_its_own_rod__on_a_tn_supply() -> None:
    result = done("quince", ("source_electrode_ohm: unknown", "source_electrode_ohm: 20"))
    # By hand: the lines alone at 70 C (1.83 ohm/km x 1.5 m, 3.08 ohm/km x 18 m; IEC 60228), the
    # return through the rod.
    lines = (1.83 * 1.5 + 3.08 * 18) / 1000 * 1.2
    assert value(result, "loop-impedance", "drive") == pytest.approx(
        0.14 + lines + 350 + 20, rel=1e-12
    )
    assert step(done("quince"), "loop-impedance", "drive").value is None


def test_one_rod__bs_7430() -> None:
    """BS 7430 9.5.3: rho / (2 pi L) (ln(8L/d) - 1); rho 100, 1.2 m, 16 mm: 71.6 ohm by hand and by
    an independent solver (71.62).
    """
    result = done(
        "sedge",
        (
            "use: measuring, resistance_ohm: 120",
            "use: measuring, rods: 1, length_m: 1.2, diameter_mm: 16, soil_ohm_m: 100",
        ),
    )
    assert value(result, "electrode-resistance", "rod-1") == pytest.approx(71.62, rel=0.003)


def test_two_rods__are_less_than_one_and_more_than_half() -> None:
    """Rods near each other share the soil: above R/2, below R (BS 7430 9.5.4)."""
    rods = "rods: 2, spacing_m: 4, length_m: 2.4, diameter_mm: 14, soil_ohm_m: 60"
    result = done("sedge", ("use: measuring, resistance_ohm: 120", f"use: measuring, {rods}"))
    one, two = (
        value(result, "one-rod-resistance", "rod-1"),
        value(result, "electrode-resistance", "rod-1"),
    )
    assert one / 2 < two < one * 0.7


# ---- properties of every step


@pytest.mark.parametrize("name", JOBS)
def test_every_step_is_whole(name: str) -> None:
    result = done(name)
    for each in result.case.workings:
        assert (
            each.id
            and each.of
            and each.title
            and each.kind in ("fact", "formula", "look-up", "choice", "run")
        ), each
        assert each.symbol, each.identity
        if each.value is None:
            assert each.missing and each.ask, (
                f"{each.identity} does not say what to measure or whom to ask"
            )
        else:
            assert math.isfinite(each.value) and each.source, each.identity
            assert not each.missing, each.identity
        if each.low is not None and each.high is not None and each.value is not None:
            assert each.low <= each.value <= each.high, each.identity


@pytest.mark.parametrize("name", JOBS)
def test_identities_are_unique_and_of_names_a_part(name: str) -> None:
    result = done(name)
    identities = [each.identity for each in result.case.workings]
    assert len(identities) == len(set(identities))
    file = result.installation
    switch = file.board.main_switch
    parts = {
        "feed",
        "board",
        "supply",
        *(way.name for way in file.board.ways),
        *([switch.name] if is_known(switch) else []),
    }
    for group in (file.circuits, file.charging_points, file.electrodes, file.vehicles):
        parts |= {item.name for item in group}
    parts |= {item.name for group in (file.sources, file.existing_boards) for item in group}
    parts |= {each.id for each in result.case.wiring.conductors}  # how long each is
    assert {each.of for each in result.case.workings} <= parts


def keys_of(of: type) -> dict[str, Any]:
    return {
        item.name.rstrip("_"): item.metadata["spec"].kind
        for item in fields(of)
        if "spec" in item.metadata
    }


def is_path(path: str, of: type = Installation) -> bool:
    """A path names a key of the file format: `circuits.slipway.route.2.length_m`."""
    word, _, rest = path.partition(".")
    kind = keys_of(of).get(word)
    if kind is None:
        return False
    if isinstance(kind, Section):
        return not rest or is_path(rest, kind.of)
    if isinstance(kind, (Sections, SectionsOrNames)):
        _, _, inner = rest.partition(".")
        return not inner or is_path(inner, kind.of)
    return not rest


def test_is_path__can_tell() -> None:
    assert (
        is_path("circuits.slipway.route.2.length_m")
        and is_path("feed.through.1.rating_a")
        and is_path("supply.ze_ohm")
    )
    assert (
        not is_path("supply.ze")
        and not is_path("circuits.slipway.lengths")
        and not is_path("supply.ze_ohm.more")
    )


@pytest.mark.parametrize("name", JOBS)
def test_inputs_resolve_to_earlier_steps_or_to_the_file(name: str) -> None:
    seen: set[str] = set()
    for each in done(name).case.workings:
        for item in each.inputs:
            assert item in seen or (" " not in item and is_path(item)), (
                f"{each.identity} rests on '{item}'"
            )
        seen.add(each.identity)


@pytest.mark.parametrize("name", JOBS)
def test_formula_steps_repeat_from_their_own_figures(name: str) -> None:
    result = done(name)
    formulas = [each for each in result.case.workings if each.figures is not None]
    assert len(formulas) > 15
    for each in formulas:
        assert each.figures is not None
        assert each.figures.formula.value(each.figures.values) == each.value, each.identity
        assert each.unit == each.figures.formula.units[each.figures.formula.result], each.identity


@pytest.mark.parametrize("name", JOBS)
def test_figures_of_a_formula_are_the_values_of_its_inputs(name: str) -> None:
    """What is put into a formula is the value of the step it names, unrounded, in the unit the
    formula asks for.
    """
    result = done(name)
    by_name = {each.identity: each for each in result.case.workings}
    for each in result.case.workings:
        if each.figures is None:
            continue
        named = [by_name[item] for item in each.inputs if item in by_name]
        units = each.figures.formula.units
        for symbol, figure in each.figures.values.items():
            matching = [item for item in named if item.value == figure]
            if matching:
                assert any(item.unit == units[symbol] for item in matching), (
                    f"{each.identity}: {symbol} is asked in {units[symbol]!r}"
                )


@pytest.mark.parametrize("name", JOBS)
def test_look_ups_show_the_row_with_its_standing(name: str) -> None:
    for each in done(name).case.workings:
        if each.kind == "look-up" and each.value is not None:
            assert each.rows or each.source.startswith("the maker's points"), (
                f"{each.identity} shows no row"
            )
        for row in each.rows:
            assert row.table and row.row and row.source and row.standing, each.identity


# ---- what is not known, and what is assumed


def level(result: Completed, rule: str, place: str) -> str:
    return next(
        finding.level
        for finding in result.findings
        if finding.id == rule and place in (finding.place, finding.of)
    )


def test_unknown_spreads__and_says_what_to_measure() -> None:
    result = done(
        "marram",
        ("  ze_ohm: 0.28 ", "  ze_ohm: unknown "),
        ("line_earth: 0.82", "line_earth: unknown"),
    )
    for step_id in ("loop-impedance", "loop-impedance-reading", "earth-fault-current"):
        found = step(result, step_id, "slipway")
        assert found.value is None and "supply.ze_ohm" in found.missing and "Ze" in found.ask
    assert level(result, "loop-impedance", "slipway") == "unknown"
    assert value(result, "voltage-drop", "slipway") == pytest.approx(4.2496), (
        "what does not need it is worked all the same"
    )


def leaves(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every known value of the file that may be absent."""
    for item in fields(node):
        spec = item.metadata.get("spec")
        if spec is None or spec.required:
            if spec is not None and isinstance(spec.kind, (Section, Sections)):
                yield from inside(getattr(node, item.name), (*path, item.name))
            continue
        found = getattr(node, item.name)
        if isinstance(spec.kind, Section) and is_known(found):
            yield (*path, item.name)
        if isinstance(spec.kind, (Section, Sections, SectionsOrNames)):
            yield from inside(found, (*path, item.name))
        elif is_known(found) or found == CHOOSE:
            yield (*path, item.name)


def inside(found: Any, path: tuple[str | int, ...]) -> Iterator[tuple[str | int, ...]]:
    if is_dataclass(found):
        yield from leaves(found, path)
    elif isinstance(found, tuple):
        for place, each in enumerate(found):
            if is_dataclass(each):
                yield from leaves(each, (*path, place))


def without(node: Any, path: tuple[str | int, ...]) -> Any:
    """The same with one value not known."""
    if not path:
        return UNKNOWN
    first, rest = path[0], path[1:]
    if isinstance(first, int):
        return tuple(
            without(each, rest) if place == first else each for place, each in enumerate(node)
        )
    return replace(node, **{first: without(getattr(node, first), rest)})


# Without these the file says less of what is there, and another rule rightly speaks or falls
# silent.
SAYS_WHAT_IS_THERE = {
    "fed_from",
    "feeds",
    "line",
    "lines",
    "known_by",
    "covers",
    "story",
    "from_",
    "neutral",
}


def passes(findings: tuple[Finding, ...]) -> set[tuple[str, str, str]]:
    return {(each.id, each.of, each.place) for each in findings if each.level == "pass"}


@pytest.mark.parametrize(
    "name",
    # the largest takes as long as all others together
    [
        pytest.param(each, marks=[pytest.mark.long] if each == "sallow" else [])
        for each in LOOKED_INTO
    ],
)
def test_knowing_less_never_gives_a_new_pass(name: str) -> None:
    """A missing input is unknown, never a pass: every value of the file (sizes chosen) is taken
    away in turn; in the plain run one in five.
    """
    whole = done(name).installation
    base = passes(done(name).findings)
    paths = [path for path in leaves(whole) if path[-1] not in SAYS_WHAT_IS_THERE]
    assert len(paths) > 60
    for path in paths[:: many(5, 1)]:
        result, problems = completed(without(whole, path))
        if result is None:
            assert problems
            continue
        # A reading is compared with the size in the file or, without it, with the one chosen: it
        # may agree with either.
        new = {found for found in passes(result.findings) - base if found[0] != "reading-differs"}
        assert not new, f"without {'.'.join(map(str, path))} a finding passes that did not"
        for each in result.case.workings:
            assert (each.value is None) == bool(each.missing), f"without {path}: {each.identity}"


def test_knowing_less__of_what_earths_a_point_leaves_its_opening_unknown() -> None:
    """Whether its protective core is joined at all is then not known, so neither is what passes."""
    whole = done("sallow").installation
    less, _ = completed(without(whole, ("charging_points", 0, "earthed_by")))
    assert less is not None
    (found,) = [each for each in less.findings if (each.id, each.of) == ("opening-fill", "yard")]
    assert found.level == "unknown" and "earthed_by" in found.message


@pytest.mark.parametrize("name", LOOKED_INTO)
def test_what_is_assumed_never_passes(name: str) -> None:
    """DESIGN 4: an assumed figure never gives a pass; here every figure of the file is assumed."""
    parts = [
        item.name
        for item in fields(Installation)
        if "spec" in item.metadata
        and item.name in installation(name).lines_of
        and item.name != "known_by"
    ]
    whole = replace(installation(name), known_by=dict.fromkeys(parts, "assumed"))
    result, problems = completed(whole)
    assert result is not None and not problems
    assert [
        (each.id, each.place, each.value)
        for each in result.findings
        if each.level == "pass" and each.id != "surge-first-way"
    ] == [], "the order of the ways is no key"
    assert [(each.id, each.of) for each in result.findings if each.level == "fail"] == [
        (each.id, each.of) for each in done(name).findings if each.level == "fail"
    ], "an assumption does not soften a fail"


def test_assumed__names_the_path_and_stays_with_every_number_that_rests_on_it() -> None:
    result = done(
        "marram", ("known_by: {supply.ze_ohm: declared", "known_by: {supply.ze_ohm: assumed")
    )
    assert step(result, "loop-impedance", "slipway").assumed == ("supply.ze_ohm",)
    finding = next(each for each in result.findings if each.id == "loop-impedance")
    assert (
        finding.level == "unknown"
        and "supply.ze_ohm" in finding.message
        and finding.value is not None
    )


def test_sources_tell_how_a_value_is_known() -> None:
    result = done("marram")
    assert step(result, "external-loop-impedance", "slipway").source == "the file, declared"
    assert step(result, "electrode-resistance", "rod-1").source == "the file, measured"
    assert step(result, "device-rating", "slipway").source == "the file, data-sheet"


def test_not_worked_yet__is_one_line() -> None:
    """Drop with the last rule set that is not worked."""
    for name in EVERY_JOB:
        reason = not_worked_yet(installation(name))
        if reason:
            assert "\n" not in reason and "not worked yet" in reason
            result, problems = completed(installation(name))
            assert result is None and [problem.message for problem in problems] == [reason]


def test_same_file_same_steps() -> None:
    assert done("marram").case.workings == done("marram").case.workings
    assert text_of("marram") and isinstance(UNKNOWN, Absent)


def test_a_main_switch_of_which_nothing_is_told_is_no_cold_switch() -> None:
    """What it loses and takes is not known, and nothing that hangs on it is: not as if there were
    none.
    """
    text = text_of("marram")
    start = text.index("  main_switch: {")
    end = text.index("  ways:", start)
    case = done("marram", (text[start:end], "  main_switch: unknown\n")).case
    for step_id in ("enclosure-loss", "enclosure-rise", "enclosure-time-constant"):
        step = case.step(step_id, "board")
        assert step is not None and step.value is None and "board.main_switch" in str(step), step_id
