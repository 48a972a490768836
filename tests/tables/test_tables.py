"""Proves the tables sound in themselves and against laws and figures printed outside the project.

Laws, each named beside its check: IEC 60364-5-52 Annex D (capacities follow a power of the size),
IEC 60228 resistances, IEC 60364-5-54 Annex A (factor k), 0.95 U0 / Ia (BS 7671, 411.4.4).
Each check takes a table as a value, so a broken copy in memory shows that it can fail.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from firstway.tables import looking_up as look
from firstway.tables import looking_up_nec as nec
from firstway.tables import reading as more
from firstway.tables.reading import (
    STANDINGS,
    TABLES_FOLDER,
    Gap,
    Read,
    ReadWord,
    Row,
    Table,
    source,
    sources,
    table,
    table_from_lines,
    table_names,
)

# How many leading columns make a case unique.
KEYS = {
    "access_probe": 1,
    "adiabatic_constants": 1,
    "adiabatic_k": 3,
    "adiabatic_validity": 1,
    "ambient_factor": 4,
    "armour_resistance": 2,
    "assumed_loss": 1,
    "bending_radius": 2,
    "board_sizes": 1,
    "cable_constants": 1,
    "clause_standing": 2,
    "conductor_colours": 3,
    "conductor_resistance": 2,
    "conductor_diameter": 2,
    "ferrule": 1,
    "gland_size": 3,
    "continuity_test": 1,
    "cooling_surface": 1,
    "current_capacity": 6,
    "dc_detection": 1,
    "disconnection_time": 7,
    "device_standard": 2,
    "earthing_conductor": 2,
    "vehicle_lead": 1,
    "nec_electrode_conductor": 1,
    "diversity": 2,
    "electrode_advice": 1,
    "electrode_limit": 2,
    "emergency_numbers": 2,
    "fuse_breaking_capacity": 1,
    "fuse_gates": 2,
    "grouping_factor": 2,
    "harmonic_factor": 1,
    "heat_transfer": 1,
    "impulse_voltage": 2,
    "insulation_limits": 1,
    "instantaneous_trip": 1,
    "insulation_test": 1,
    "lightning_level": 1,
    "loading_factor": 2,
    "main_bonding": 1,
    "maximum_zs": 4,
    "maximum_zs_superseded": 4,
    "minimum_protective_conductor": 2,
    "nec_adjustment_factor": 1,
    "nec_ambient_factor": 2,
    "nec_ampacity": 2,
    "nec_charging_circuit": 1,
    "nec_conductor": 1,
    "nec_grounding_conductor": 1,
    "nec_insulation_column": 1,
    "nec_load": 1,
    "nec_small_conductor": 1,
    "nec_termination": 1,
    "nec_wiring_method_limit": 1,
    "open_pen": 1,
    "overload_device_factor": 3,
    "pilot_circuit": 1,
    "pilot_duty": 1,
    "pilot_law": 1,
    "pilot_state": 1,
    "pole_loss": 1,
    "printed_column": 3,
    "proximity": 1,
    "r1_plus_r2": 2,
    "rcd_limits": 1,
    "rcd_tests": 3,
    "rcd_times": 2,
    "rcd_types": 1,
    "reading_factor": 1,
    "reference_temperature": 1,
    "resistance_correction_to_20c": 1,
    "resistance_multiplier": 2,
    "rods_in_line": 1,
    "rule_limits": 2,
    "service_conditions": 1,
    "soil": 1,
    "soil_resistivity_factor": 2,
    "spd_class_one": 1,
    "spd_conductor": 2,
    "spd_limits": 1,
    "spd_nominal_current": 3,
    "spd_type": 1,
    "standard_name": 1,
    "standard_ratings": 2,
    "standard_sizes": 2,
    "supply_declared": 1,
    "supply_limits": 1,
    "surge_model": 1,
    "surge_wave": 1,
    "temperature_coefficient": 1,
    "temporary_overvoltage": 3,
    "terminal_type_test_torque": 2,
    "thermal_insulation_factor": 1,
    "thermal_insulation_factor_superseded": 1,
    "thermal_trip": 1,
    "trip_multiple": 1,
    "voltage_drop": 5,
    "voltage_drop_limit": 2,
    "voltage_factor": 1,
    "voltage_range": 1,
}
# What no look-up reads and no chapter quotes: it stands on the pages of the tables alone.
ONLY_SHOWN = {
    "continuity_test",  # what an ohmmeter must drive; no reading hangs on it
    "maximum_zs_superseded",  # beside the current column, for whoever holds an older book
    "nec_charging_circuit",  # the words of the article, beside the checks that quote it
    "resistance_correction_to_20c",  # for a resistance measured on a warm day
    "surge_wave",  # what 1.2/50 and 8/20 mean
    "terminal_type_test_torque",  # what a terminal was tried with, never what to set
    "thermal_insulation_factor_superseded",  # beside the current column
}
NOT_OF_NUMBERS = {"sources", "gaps"}  # the list of sources itself, and the list of what is missing
LAST_COLUMNS = ("edition", "source", "standing")
NUMBER_TABLES = [name for name in table_names() if name not in NOT_OF_NUMBERS]


# ---- the checks: a table in, sentences out


def groups(rows: tuple[Row, ...], columns: tuple[str, ...]) -> dict[tuple[str, ...], list[Row]]:
    gathered: dict[tuple[str, ...], list[Row]] = {}
    for row in rows:
        gathered.setdefault(tuple(row.text(column) for column in columns), []).append(row)
    return gathered


def wrong_form(tested: Table) -> Iterator[str]:
    if tested.columns[-3:] != LAST_COLUMNS:
        yield f"{tested.name}: the last columns are not {', '.join(LAST_COLUMNS)}; add them"
        return
    for row in tested.rows:
        place = f"{tested.name}:{row.line}"
        if row.source not in sources():
            yield f"{place}: no source {row.source!r} in sources.csv; add it there"
        if row.standing not in STANDINGS:
            yield f"{place}: {row.standing!r} is no standing; write one of {STANDINGS}"
        if not row.edition:
            yield f"{place}: no edition"
        if None in row.cells or None in row.cells.values():
            yield f"{place}: too many or too few cells"


def doubled_keys(tested: Table) -> Iterator[str]:
    if tested.name not in KEYS:
        yield f"{tested.name}: how many columns make a case? add it to KEYS of test_tables.py"
    columns = tested.columns[: KEYS.get(tested.name, len(tested.columns))]
    keys = Counter(tuple(row.text(column) for column in columns) for row in tested.rows)
    yield from (
        f"{tested.name}: {key} stands {number} times" for key, number in keys.items() if number > 1
    )


def unread(names: Iterable[str], texts: Iterable[str]) -> Iterator[str]:
    """Tables that no look-up names and no chapter quotes."""
    named = set(re.findall(r"[a-z0-9_]+", " ".join(texts)))
    for name in names:
        if name not in named | ONLY_SHOWN:
            yield f"{name}: nothing reads it; write its look-up in tables/looking_up*.py"


def holes_over_sizes(tested: Table) -> Iterator[str]:
    """Every column of a table by size holds every standard size of its construction, in order."""
    columns = tuple(name for name in tested.columns[: KEYS[tested.name]] if name != "csa_mm2")
    for key, rows in groups(tested.rows, columns).items():
        construction = dict(zip(columns, key)).get("construction", "single-core")
        wanted = [size.row.text("csa_mm2") for size in look.standard_sizes_mm2(construction)]
        found = [row.text("csa_mm2") for row in rows]
        if found != wanted:
            yield f"{tested.name} {key}: sizes {found}, standard sizes {wanted}"


def not_monotonic(
    tested: Table, columns: tuple[str, ...], along: str, value: str, rising: bool
) -> Iterator[str]:
    for key, rows in groups(tested.rows, columns).items():
        values = [row.number(value) for row in sorted(rows, key=lambda row: row.number(along))]
        steps = [(b - a) * (1 if rising else -1) for a, b in zip(values, values[1:])]
        if any(step < 0 or (rising and step == 0) for step in steps):
            yield (
                f"{tested.name} {key}: {value} is not {'rising' if rising else 'falling'}: {values}"
            )


def off_power_law(tested: Table, within: float) -> Iterator[str]:
    """IEC 60364-5-52 Annex D: I = A S^m; each column against its own least-squares line in
    logarithms.
    """
    for key, rows in groups(tested.rows, tested.columns[:5]).items():
        sizes = [math.log(row.number("csa_mm2")) for row in rows]
        values = [math.log(row.number("capacity_a")) for row in rows]
        mean_s, mean_v = sum(sizes) / len(sizes), sum(values) / len(values)
        slope = sum((s - mean_s) * (v - mean_v) for s, v in zip(sizes, values)) / sum(
            (s - mean_s) ** 2 for s in sizes
        )
        for row, size, value in zip(rows, sizes, values):
            off = math.exp(value - mean_v - slope * (size - mean_s)) - 1
            if abs(off) > within:
                yield (
                    f"{tested.name}:{row.line}: {row.text('capacity_a')} A is {off:+.1%} off the"
                    f" column {key}"
                )


ORDERS = {  # cooler surroundings carry more; BS 7671 and IEC 60364-5-52, methods of installation
    "iec60364": ("A2", "A1", "B2", "B1", "C", "E"),
    "bs7671": ("103", "101", "100", "102", "A", "B", "C", "E"),
}


def wrong_method_order(tested: Table) -> Iterator[str]:
    columns = ("rule_set", "insulation", "loaded_conductors", "csa_mm2")
    for key, rows in groups(tested.rows, columns).items():
        order = ORDERS[key[0]]
        if key[0] == "iec60364":
            constructions = {row.text("construction") for row in rows}
            columns_of = [[row for row in rows if row.text("construction") in constructions]]
        else:
            columns_of = list(groups(tuple(rows), ("construction",)).values())
        for some in columns_of:
            placed = sorted(
                (row for row in some if row.text("method") in order),
                key=lambda row: order.index(row.text("method")),
            )
            for less, more_ in zip(placed, placed[1:]):
                pair = {less.text("method"), more_.text("method")}
                if pair <= {"100", "102", "A"}:
                    # methods 100, 102 and A of flat cable cross each other in the printed table
                    continue
                if less.number("capacity_a") > more_.number("capacity_a"):
                    yield (
                        f"{key}: method {less.text('method')} carries more than"
                        f" {more_.text('method')}"
                    )


def off_resistance_law(tested: Table, within: float) -> Iterator[str]:
    """2 or root 3 times the IEC 60228 resistance at the operating limit (1.20 at 70 C, 1.28 at 90
    C).
    """
    for row in tested.rows:
        if row.text("rule_set") != "bs7671":
            continue
        resistance = look.resistance_20c_ohm_per_km(row.number("csa_mm2"))
        factor = {"thermoplastic-70": 1.20, "thermosetting-90": 1.28}[row.text("insulation")]
        law = {"1": 2.0, "3": math.sqrt(3)}[row.text("phases")] * resistance.value * factor
        off = row.number("r_mv_per_a_m") / law - 1
        if abs(off) > within:
            yield (
                f"{tested.name}:{row.line}: {row.text('r_mv_per_a_m')} mV/A/m is {off:+.1%} off the"
                " resistance"
            )


def off_zs_law(tested: Table) -> Iterator[str]:
    """0.95 x 230 V / (m In), m of IEC 60898-1; curve D may take 10 In where 5 s are allowed."""
    for row in tested.rows:
        if row.text("curve") == "none":
            continue
        multiple = (
            10
            if row.text("curve") == "D" and row.text("time_s") == "5"
            else {"B": 5, "C": 10, "D": 20}[row.text("curve")]
        )
        law = 0.95 * 230 / (multiple * row.number("rating_a"))
        if abs(row.number("zs_ohm") - law) > 0.0101:
            yield f"{tested.name}:{row.line}: {row.text('zs_ohm')} ohm, law {law:.3f} ohm"


def off_k_law(tested: Table) -> Iterator[str]:
    """k = K sqrt(ln((beta + final) / (beta + initial))), IEC 60364-5-54 Annex A; printed to the
    unit.
    """
    constants = {
        "copper": (226, 234.5),
        "aluminium": (148, 228),
        "steel": (78, 202),
        "lead": (41, 230),
    }
    for row in tested.rows:
        constant, beta = constants[row.text("material")]
        law = constant * math.sqrt(
            math.log((beta + row.number("final_c")) / (beta + row.number("initial_c")))
        )
        if abs(row.number("k") - law) > 1.0:
            yield f"{tested.name}:{row.line}: k {row.text('k')}, law {law:.1f}"


def off_ambient_law(tested: Table, within: float) -> Iterator[str]:
    """sqrt((limit - t) / (limit - reference)): heat must leave through what is left of the rise.

    BS 7671 Table 4B1 prints 1.03 and 1.02 at 25 C, below the law; both are known to differ from
    IEC.
    """
    for row in tested.rows:
        if (
            row.text("rule_set") == "bs7671"
            and row.text("where") == "air"
            and row.number("temperature_c") < 30
        ):
            continue
        limit = {"thermoplastic-70": 70, "thermosetting-90": 90}[row.text("insulation")]
        reference = {"air": 30, "ground": 20}[row.text("where")]
        law = math.sqrt((limit - row.number("temperature_c")) / (limit - reference))
        if abs(row.number("factor") - law) > within:
            yield f"{tested.name}:{row.line}: factor {row.text('factor')}, law {law:.3f}"


# ---- the shipped tables


@pytest.mark.parametrize("name", NUMBER_TABLES)
def test_every_table_has_its_last_columns_sources_and_standings(name: str) -> None:
    assert list(wrong_form(table(name))) == []


@pytest.mark.parametrize("name", NUMBER_TABLES)
def test_every_table_states_each_case_once(name: str) -> None:
    assert list(doubled_keys(table(name))) == []


def test_every_table_is_listed_with_its_key() -> None:
    assert sorted(KEYS) == NUMBER_TABLES


def test_every_table_is_read(root: Path) -> None:
    package = TABLES_FOLDER.parent
    sources = [path for path in package.rglob("*.py") if path.name != "tables_pages.py"]
    files = [*sources, *(root / "content").rglob("*.md")]
    assert list(unread(NUMBER_TABLES, (path.read_text("utf-8") for path in files))) == []


def test_every_source_is_used_and_stands_once() -> None:
    used = {row.source for name in NUMBER_TABLES for row in table(name).rows} | cited_in_words()
    assert sorted(sources()) == sorted(used)
    assert len(table("sources").rows) == len(used)


def cited_in_words() -> set[str]:
    """Sources of figures and clauses that no table holds: named in a chapter, on a card or in the
    glossary.
    """
    texts = [
        path.read_text(encoding="utf-8")
        for path in sorted((Path(__file__).parents[2] / "content").rglob("*.*"))
        if path.suffix in (".md", ".yaml")
    ]
    named = {
        word
        for text in texts
        for word in re.findall(
            r"\{stated:[^|}]*\|\s*([a-z0-9-]+)|\{clause:\s*([a-z0-9-]+)\s*[|}]|^\s*source:"
            r" ([a-z0-9-]+)$",
            text,
            re.MULTILINE,
        )
    }
    return {word for words in named for word in words} & set(sources())


def test_files_are_plain_csv_that_a_spreadsheet_reads_back() -> None:
    for name in table_names():
        text = (TABLES_FOLDER / f"{name}.csv").read_text(encoding="utf-8")
        assert "\r" not in text and text.endswith("\n"), name
        assert not [
            cell for row in csv.reader(io.StringIO(text)) for cell in row if cell != cell.strip()
        ], name


def test_gaps_name_tables_that_exist_and_say_why() -> None:
    for row in table("gaps").rows:
        assert row.text("table") in NUMBER_TABLES or " " in row.text("table"), row.cells
        assert row.text("wanted") and row.text("why")


@pytest.mark.parametrize("name", ["current_capacity", "voltage_drop"])
def test_tables_by_size_are_contiguous_over_the_standard_sizes(name: str) -> None:
    assert list(holes_over_sizes(table(name))) == []


@pytest.mark.parametrize(
    ("name", "columns", "along", "value", "rising"),
    [
        ("current_capacity", 5, "csa_mm2", "capacity_a", True),
        ("voltage_drop", 4, "csa_mm2", "mv_per_a_m", False),
        ("conductor_resistance", 1, "csa_mm2", "ohm_per_km", False),
        ("armour_resistance", 1, "csa_mm2", "ohm_per_km", False),
        ("ambient_factor", 3, "temperature_c", "factor", False),
        ("grouping_factor", 1, "circuits", "factor", False),
        ("thermal_insulation_factor", 0, "length_mm", "factor", False),
        ("soil_resistivity_factor", 1, "soil_k_m_per_w", "factor", False),
        ("standard_ratings", 1, "rating_a", "rating_a", True),
        ("maximum_zs", 2, "rating_a", "zs_ohm", False),
        ("electrode_limit", 1, "rated_residual_current_ma", "resistance_ohm", False),
        ("fuse_gates", 0, "rating_a", "opens_at_a", True),
        ("nec_ambient_factor", 1, "ambient_up_to_c", "factor", False),
        ("nec_adjustment_factor", 0, "current_carrying_up_to", "factor", False),
        ("pole_loss", 0, "rating_above_a", "highest_w_per_pole", True),
    ],
)
def test_columns_rise_or_fall(
    name: str, columns: int, along: str, value: str, rising: bool
) -> None:
    tested = table(name)
    keys = {"maximum_zs": ("standard", "curve", "time_s"), "fuse_gates": ("time_s",)}.get(
        name, tested.columns[:columns]
    )
    assert list(not_monotonic(tested, keys, along, value, rising)) == []


def test_nec_conductors_grow_and_ampacity_grows_with_them() -> None:
    areas = [row.number("circular_mils") for row in table("nec_conductor").rows]
    assert areas == sorted(areas)
    for column in (60, 75, 90):
        rows = table("nec_ampacity").where(column_c=column)
        values = [row.number("ampacity_a") for row in rows]
        assert values == sorted(set(values)) and len(values) == len(areas), column
    for size in nec.sizes_awg():
        assert (
            nec.ampacity_a(size, 60).value
            < nec.ampacity_a(size, 75).value
            < nec.ampacity_a(size, 90).value
        )


def test_capacity_is_within_6_per_cent_of_the_power_law_of_its_column() -> None:
    assert list(off_power_law(table("current_capacity"), 0.06)) == []


def test_methods_stand_in_the_order_of_their_cooling() -> None:
    assert list(wrong_method_order(table("current_capacity"))) == []


def test_capacity_falls_with_a_third_loaded_conductor_and_rises_with_the_insulation() -> None:
    columns = ("rule_set", "construction", "insulation", "method", "csa_mm2")
    for key, rows in groups(table("current_capacity").rows, columns).items():
        values = {row.text("loaded_conductors"): row.number("capacity_a") for row in rows}
        assert values.get("3", 0) < values["2"], key
    columns = ("rule_set", "construction", "method", "loaded_conductors", "csa_mm2")
    for key, rows in groups(table("current_capacity").rows, columns).items():
        values = {row.text("insulation"): row.number("capacity_a") for row in rows}
        assert values["thermoplastic-70"] < values.get("thermosetting-90", 999), key


def test_voltage_drop_follows_the_resistance_of_the_conductors() -> None:
    assert list(off_resistance_law(table("voltage_drop"), 0.032)) == []


def test_loop_impedance_follows_its_law() -> None:
    assert list(off_zs_law(table("maximum_zs"))) == []


@pytest.mark.parametrize("rating_a", [63.0, 80.0, 100.0])
def test_the_gates_of_fuses_agree_with_the_loops_of_the_rules(rating_a: float) -> None:
    """Two standards, one fuse: 0.95 x 230 V over the loop of BS 7671 Table 41.4 (BS 88-3, 5 s) is
    the gate of IEC 60269-1.
    """
    loop, gate = (
        look.tabulated_zs_ohm("BS 88-3", "none", rating_a, 5),
        more.fuse_opens_at_a(rating_a, 5),
    )
    assert isinstance(loop, Read) and isinstance(gate, Read)
    assert 0.95 * 230 / loop.value == pytest.approx(gate.value, rel=0.01)


def test_a_fuse_melts_sooner_at_a_larger_current_and_lets_less_through() -> None:
    """The energy of a melting fuse falls as its current grows: at its gate of 0.1 s it is below
    that of 5 s.
    """
    for rating in (16, 63, 100, 200):
        slow, quick = (more.fuse_opens_at_a(rating, time) for time in (5, 0.1))
        assert isinstance(slow, Read) and isinstance(quick, Read)
        assert slow.value < quick.value and quick.value**2 * 0.1 < slow.value**2 * 5


def test_k_follows_its_formula() -> None:
    assert list(off_k_law(table("adiabatic_k"))) == []


def test_ambient_factors_follow_the_square_root() -> None:
    assert list(off_ambient_law(table("ambient_factor"), 0.0061)) == []


def test_nec_ambient_factors_follow_the_square_root_of_their_bands() -> None:
    """NFPA 70, 310.15(B): I' = I sqrt((limit - t) / (limit - 30)), at the warm end of the band, two
    decimals.
    """
    for row in table("nec_ambient_factor").rows:
        limit = row.number("column_c")
        law = (
            math.sqrt((limit - row.number("ambient_up_to_c")) / (limit - 30))
            if limit > row.number("ambient_up_to_c")
            else 0
        )
        assert row.number("factor") == pytest.approx(law, abs=0.0061), row.cells


def test_pair_resistances_are_sums_of_conductor_resistances() -> None:
    for row in table("r1_plus_r2").rows:
        pair = [
            look.resistance_20c_ohm_per_km(row.number(name)).value
            for name in ("line_mm2", "cpc_mm2")
        ]
        assert row.number("mohm_per_m") == pytest.approx(sum(pair), abs=0.0051), row.cells


def test_electrode_limits_are_the_rounded_quotient() -> None:
    for row in table("electrode_limit").rows:
        law = 1000 * row.number("touch_voltage_v") / row.number("rated_residual_current_ma")
        assert abs(row.number("resistance_ohm") - law) < 0.5, row.cells


def test_rods_in_line_follow_the_harmonic_sum() -> None:
    """Equal rods as points in a line: the mean of the mutual terms is near 2 (1/2 + 1/3 + ... +
    1/n).
    """
    for row in table("rods_in_line").rows:
        law = 2 * sum(1 / step for step in range(2, int(row.number("rods")) + 1))
        assert row.number("lambda") == pytest.approx(law, rel=0.02), row.cells


def test_pilot_duty_follows_the_law_of_the_same_standard() -> None:
    for row in table("pilot_duty").rows:
        current_a = pilot_current_a(row.number("duty_percent"))
        assert current_a == pytest.approx(row.number("current_a"), abs=0.05), row.cells
    assert pilot_current_a(85) == pytest.approx(51) and pilot_current_a(7.5) is None


def pilot_current_a(duty_percent: float) -> float | None:
    """The current a duty offers by the table of the law, in ampere; at 85 the lower branch."""
    for row in table("pilot_law").rows:
        if row.number("duty_from_percent") <= duty_percent <= row.number("duty_up_to_percent"):
            above = duty_percent - (row.number_or_none("offset_percent") or 0.0)
            fixed = row.number_or_none("fixed_a")
            return row.number("slope_a_per_percent") * above if fixed is None else fixed
    return None


def test_multipliers_are_those_of_the_trade_coefficient() -> None:
    """1 + 0.004 (t - 20): 1.20 at 70 C, 1.28 at 90 C, 1.04 at 30 C (UK on-site guidance,
    Table I3).
    """
    for insulation, limit in (("thermoplastic-70", 70), ("thermosetting-90", 90)):
        assert look.resistance_multiplier(insulation, "core").value == pytest.approx(
            1 + 0.004 * (limit - 20)
        )
        assert look.resistance_multiplier(insulation, "separate").value == pytest.approx(
            1 + 0.004 * 10
        )


def test_buried_bs_columns_equal_the_ducts_of_iec() -> None:
    """BS 7671 Tables 4D4A and 4E4A, column D, against IEC 60364-5-52, column D1 (both at 2.5 K.m/W,
    20 C).
    """
    for insulation in ("thermoplastic-70", "thermosetting-90"):
        for loaded in (2, 3):
            british = column("bs7671", "armoured", insulation, "D2", loaded)
            assert british and british == column("iec60364", "multicore", insulation, "D1", loaded)


def column(
    rule_set: str, construction: str, insulation: str, method: str, loaded: int
) -> list[str]:
    return [
        row.text("capacity_a")
        for row in look.capacity_rows(rule_set, construction, insulation, method, loaded)
    ]


@pytest.mark.parametrize("insulation", ["thermoplastic-70", "thermosetting-90"])
@pytest.mark.parametrize("loaded", [2, 3])
def test_british_and_international_columns_are_one_table(insulation: str, loaded: int) -> None:
    """BS 7671 Tables 4D1A, 4D2A, 4E1A, 4E2A against IEC 60364-5-52 Tables B.52.2 to B.52.5,
    B.52.10, B.52.12.

    One printed difference: single-core 70 C, method A, two cables, 2.5 mm2: 20 A against 19.5 A.
    """
    for construction, methods in (
        ("multicore", (("A", "A2"), ("B", "B2"), ("C", "C"), ("E", "E"))),
        ("single-core", (("A", "A1"), ("B", "B1"))),
    ):
        for british, international in methods:
            ours = column("bs7671", construction, insulation, british, loaded)
            theirs = column("iec60364", construction, insulation, international, loaded)
            different = [pair for pair in zip(ours, theirs, strict=True) if pair[0] != pair[1]]
            known = (
                [("20", "19.5")]
                if (construction, insulation, british, loaded)
                == ("single-core", "thermoplastic-70", "A", 2)
                else []
            )
            assert ours and different == known, (construction, british)


@pytest.mark.parametrize("insulation", ["thermoplastic-70", "thermosetting-90"])
@pytest.mark.parametrize("loaded", [2, 3])
@pytest.mark.parametrize("method", ["C", "D1", "D2"])
def test_iec_prints_one_column_for_single_and_multicore_cables(
    insulation: str, loaded: int, method: str
) -> None:
    """IEC 60364-5-52 Tables B.52.2 to B.52.5: methods C, D1 and D2 name single-core or multicore
    cables.
    """
    single = column("iec60364", "single-core", insulation, method, loaded)
    assert single and single == column("iec60364", "multicore", insulation, method, loaded)


def test_flat_cable_in_a_stud_wall_carries_half_of_clipped() -> None:
    """BS 7671 Table 4D5: method 103 is half of method C, rounded to half an ampere (4 mm2 is
    printed 17.5 A: doubtful).
    """
    for inside, clipped in zip(
        column("bs7671", "flat-twin-and-earth", "thermoplastic-70", "103", 2),
        column("bs7671", "flat-twin-and-earth", "thermoplastic-70", "C", 2),
        strict=True,
    ):
        assert abs(float(inside) - float(clipped) / 2) <= 0.5 or (inside, clipped) == (
            "17.5",
            "37",
        ), (inside, clipped)


def test_a_cable_that_stands_in_carries_more_than_the_real_table_only_where_we_say_so() -> None:
    """IEC prints no armoured cable: its multicore columns against BS 7671 Tables 4D4A and 4E4A in
    air.
    """
    above = set()
    for insulation in ("thermoplastic-70", "thermosetting-90"):
        for method in ("C", "E"):
            for loaded in (2, 3):
                for size in look.standard_sizes_mm2("armoured"):
                    stand_in = look.current_capacity_a(
                        "iec60364", "armoured", insulation, method, loaded, size.value
                    )
                    printed = look.current_capacity_a(
                        "bs7671", "armoured", insulation, method, loaded, size.value
                    )
                    if stand_in.value > printed.value:
                        above.add(
                            (insulation, method, loaded, size.value, stand_in.value, printed.value)
                        )
    # The source `multicore-stands-in` names both.
    assert above == {
        ("thermosetting-90", "C", 3, 16.0, 96.0, 94.0),
        ("thermosetting-90", "E", 3, 16.0, 100.0, 99.0),
    }


# ---- every check can fail


def broken(name: str, line: int, column: str, cell: str) -> Table:
    """A copy of a shipped table with one cell changed."""
    with (TABLES_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    rows[line - 2][column] = cell
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    out.seek(0)
    return table_from_lines(name, out)


def line_of(name: str, **wanted: str | float) -> int:
    return table(name).where(**wanted)[0].line


def test_a_changed_capacity_is_found() -> None:
    line = line_of(
        "current_capacity",
        rule_set="bs7671",
        construction="flat-twin-and-earth",
        method="C",
        csa_mm2=6,
    )
    assert any(
        "is not rising" in said
        for said in not_monotonic(
            broken("current_capacity", line, "capacity_a", "74"),
            ("construction", "method", "insulation", "rule_set", "loaded_conductors"),
            "csa_mm2",
            "capacity_a",
            True,
        )
    )
    assert any(
        "57 A is" in said
        for said in off_power_law(broken("current_capacity", line, "capacity_a", "57"), 0.06)
    )
    assert any(
        "carries more than" in said
        for said in wrong_method_order(broken("current_capacity", line, "capacity_a", "30"))
    )


def test_a_missing_size_is_found() -> None:
    line = line_of(
        "current_capacity", rule_set="bs7671", construction="armoured", method="D", csa_mm2=10
    )
    assert any(
        "standard sizes" in said
        for said in holes_over_sizes(broken("current_capacity", line, "csa_mm2", "9"))
    )


def test_a_doubled_key_a_lost_source_and_a_wrong_word_are_found() -> None:
    line = line_of("ambient_factor", rule_set="bs7671", where="air", temperature_c=35)
    assert any(
        "2 times" in said
        for said in doubled_keys(broken("ambient_factor", line, "temperature_c", "30"))
    )
    assert any(
        "no source" in said
        for said in wrong_form(broken("ambient_factor", line, "source", "somebody"))
    )
    assert any(
        "no standing" in said
        for said in wrong_form(broken("ambient_factor", line, "standing", "sure"))
    )
    assert any(
        "no edition" in said for said in wrong_form(broken("ambient_factor", line, "edition", ""))
    )
    assert any(
        "law" in said
        for said in off_ambient_law(broken("ambient_factor", line, "factor", "0.99"), 0.0061)
    )


def test_changed_drops_loops_and_k_are_found() -> None:
    assert any(
        "off the resistance" in said
        for said in off_resistance_law(
            broken(
                "voltage_drop",
                line_of("voltage_drop", rule_set="bs7671", csa_mm2=6),
                "r_mv_per_a_m",
                "7.7",
            ),
            0.032,
        )
    )
    assert any(
        "law 1.09" in said
        for said in off_zs_law(
            broken("maximum_zs", line_of("maximum_zs", curve="B", rating_a=40), "zs_ohm", "1.14")
        )
    )
    assert any(
        "k 143, law 11" in said
        for said in off_k_law(
            broken("adiabatic_k", line_of("adiabatic_k", role="core-in-cable"), "k", "143")
        )
    )


# ---- the look-ups


def test_a_look_up_returns_the_value_with_its_row() -> None:
    read = look.current_capacity_a("bs7671", "flat-twin-and-earth", "thermoplastic-70", "C", 2, 6.0)
    assert (
        isinstance(read, Read) and read.value == 47.0
    )  # BS 7671 Table 4D5, found in a training article
    assert read.row.table == "current_capacity" and read.row.standing == "found"
    assert "4D5" in source(read.row.source).title


@pytest.mark.parametrize(
    ("read", "value"),
    [
        # BS 7671 Table 41.3: B 40 A and B 32 A
        (look.tabulated_zs_ohm("IEC 61009-1", "B", 40, 0.4), 1.09),
        (look.tabulated_zs_ohm("BS EN 61009-1", "B", 32, 5), 1.37),
        (look.tabulated_zs_ohm("BS 88-3", "none", 100, 5), 0.38),  # Table 41.4
        # Tables 4D5, 4E4A, 4E4B, 4D4A
        (
            look.voltage_drop_mv_per_a_m("bs7671", "flat-twin-and-earth", "thermoplastic-70", 1, 6),
            7.3,
        ),
        (look.voltage_drop_mv_per_a_m("bs7671", "armoured", "thermosetting-90", 1, 25), 1.90),
        (look.current_capacity_a("bs7671", "armoured", "thermosetting-90", "D1", 2, 6), 53),
        (look.current_capacity_a("bs7671", "armoured", "thermosetting-90", "D2", 2, 6), 53),
        (look.current_capacity_a("bs7671", "armoured", "thermoplastic-70", "E", 3, 10), 62),
        (
            look.current_capacity_a("iec60364", "single-core", "thermoplastic-70", "A", 2, 2.5),
            19.5,
        ),  # Table B.52.2
        (look.resistance_20c_ohm_per_km(6), 3.08),  # IEC 60228
        (look.armour_resistance_20c_ohm_per_km(3, 4), 7.5),
        (look.ambient_factor("bs7671", "thermoplastic-70", "air", 35), 0.94),
        (look.ambient_factor("iec60364", "thermoplastic-70", "air", 25), 1.06),
        (look.ambient_factor_next_warmer("bs7671", "thermoplastic-70", "air", 31), 0.94),
        (look.grouping_factor("bunched", 2), 0.80),
        (look.grouping_factor_next_larger_group("bunched", 10), 0.45),
        (look.thermal_insulation_factor(0), 1.0),
        (look.thermal_insulation_factor(300), 0.51),
        (look.thermal_insulation_factor(900), 0.50),
        (look.soil_factor_next_drier(2.5), 1.0),
        (look.soil_factor_next_drier(2.6, "D2"), 0.90),
        (look.rating_not_below_a("rcbo", "IEC 61009-1", 32), 32),
        (look.next_rating_up_a("rcbo", "IEC 61009-1", 32), 40),
        (look.flat_twin_pair_mm2(6), 2.5),
        (look.trip_multiple("B"), 5),
        (look.voltage_factor("c_min"), 0.95),
        (look.adiabatic_k("core", "thermoplastic-70"), 115),
        (look.adiabatic_k("separate", "thermoplastic-70"), 143),
        (look.adiabatic_k("armour", "thermosetting-90"), 46),
        (look.electrode_limit_ohm(30), 1667),
        (look.minimum_protective_conductor_by_selection(25), 16),
        (look.minimum_protective_conductor_by_selection(50), 25),
        (look.minimum_separate_protective_conductor_mm2(False), 4),
        (look.main_bonding_mm2(25), 10),
        (look.reading_factor(), 0.8),
        (look.spd_lead_limit_m("longest"), 1.0),
        (look.voltage_drop_limit_percent("bs7671", "other"), 5),
        (look.open_pen("limit-v"), 70),
        (look.disconnection_time_s("bs7671", "TN-C-S", "final", False, 32), 0.4),
        (look.disconnection_time_s("bs7671", "TN-C-S", "final", False, 40), 5),
        (look.disconnection_time_s("bs7671", "TT", "final", True, 40), 0.2),
        (look.disconnection_time_s("iec60364", "TN-S", "final", False, 32, 120), 0.8),
        (nec.ampacity_a("6", 75), 65),  # NFPA 70 Table 310.16
        (nec.unmarked_termination_c(60), 60),
        (nec.ambient_factor_of_band(90, 38), 0.91),
        (nec.continuous_load_factor(), 1.25),
        (more.loading_factor("IEC 61439-3", 3), 0.8),
        (more.highest_pole_loss_w(40), 7.5),
        (more.longest_trip_time_ms("none", 5), 40),
        (more.spd_conductor_mm2(2, "earth"), 6),
    ],
)
def test_anchors(read: Read | Gap, value: float) -> None:
    assert isinstance(read, Read), read
    assert read.value == pytest.approx(value)


@pytest.mark.parametrize(
    "read",
    [
        look.current_capacity_a("bs7671", "armoured", "thermosetting-90", "C", 2, 50),
        look.current_capacity_a("bs7671", "flat-twin-and-earth", "thermosetting-90", "C", 2, 6),
        look.current_capacity_a("bs7671", "armoured", "thermosetting-90", "A", 2, 6),
        look.voltage_drop_mv_per_a_m("bs7671", "flat-twin-and-earth", "thermoplastic-70", 3, 6),
        look.ambient_factor("bs7671", "thermoplastic-70", "air", 33),
        look.ambient_factor_next_warmer("bs7671", "thermoplastic-70", "air", 65),
        look.grouping_factor("bunched", 10),
        look.armour_resistance_20c_ohm_per_km(5, 6),
        look.next_rating_up_a("rcbo", "IEC 61009-1", 125),
        look.tabulated_zs_ohm("BS 3036", "none", 30, 0.4),
        look.conductor_colour("harmonised", "L4"),
        nec.grounding_conductor_awg(400),
    ],
)
def test_what_is_not_printed_is_a_gap(read: object) -> None:
    assert isinstance(read, Gap)
    assert read.message.startswith(f"the table {read.table} has no row for ")


def test_words_are_read_with_their_rows() -> None:
    colour = look.conductor_colour("harmonised", "L2", 3)
    assert isinstance(colour, ReadWord) and colour.value == "black"  # BS 7671 Table 51
    assert look.conductor_colour("harmonised", "L2", 1).value == "brown"
    assert look.conductor_colour("nec", "L2", 1).value == "red"
    assert nec.grounding_conductor_awg(60).value == "10"  # NFPA 70 Table 250.122


def test_the_row_that_sent_the_reader_elsewhere_comes_along() -> None:
    read = look.current_capacity_a("bs7671", "armoured", "thermosetting-90", "D1", 2, 6)
    assert [row.text("printed_method") for row in read.through] == ["D"]
    stand_in = look.current_capacity_a("iec60364", "armoured", "thermosetting-90", "C", 2, 6)
    assert [row.standing for row in stand_in.through] == ["assumed"]
