"""Every table cell that was keyed a second time, from the collected sources and apart from the
tables, is the shipped cell.

This is a guard against slips of the hand, no proof: both copies may come from one source.
`standing` says whether the source was found or the figure is from memory; the second copy of a
figure from memory is from memory too. What is derived from other rows is held by a law instead,
named beside each check.
"""

from __future__ import annotations

import csv
import math
from collections import Counter
from pathlib import Path

import pytest
from telling import Tell

from firstway.tables import looking_up as look
from firstway.tables.reading import Row, table, table_names

FOLDER = Path(__file__).parents[1] / "published"
FILES = sorted(FOLDER.glob("transcription_*.csv"))
ROWS = [
    row for path in FILES for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines())
]
ABOUT_A_ROW = ("edition", "source", "standing")


def key_of(text: str) -> dict[str, str]:
    return dict(part.split("=", 1) for part in text.split("; "))


def shipped(row: dict[str, str]) -> Row:
    found = [
        each
        for each in table(row["table"]).rows
        if all(each.text(column) == word for column, word in key_of(row["key"]).items())
    ]
    assert len(found) == 1, f"{row['table']} holds {len(found)} rows for {row['key']}"
    return found[0]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_cell_keyed_a_second_time_is_the_shipped_cell(path: Path) -> None:
    different = []
    for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines()):
        cell = shipped(row).number_or_none(row["column"])
        if cell is None or cell != float(row["cell"]):
            different.append(
                f"{row['table']}, {row['key']}: {row['column']} is {cell}, keyed as {row['cell']}"
                f" ({row['source']})"
            )
    assert different == []


def test_no_cell_is_keyed_twice_and_each_names_its_source() -> None:
    keyed = Counter((row["table"], row["key"], row["column"]) for row in ROWS)
    assert [cell for cell, count in keyed.items() if count > 1] == []
    assert all(
        row["source"] and row["standing"] in ("found", "from memory", "common practice")
        for row in ROWS
    )


def test_most_cells_are_keyed_a_second_time(tell: Tell) -> None:
    """Says how many cells stand in the columns concerned, and which tables have no second copy at
    all.
    """
    keyed = Counter((row["table"], row["column"]) for row in ROWS)
    cells = {
        (name, column): sum(bool(row.text(column)) for row in table(name).rows)
        for name, column in keyed
    }
    alone = sorted(set(table_names()) - {name for name, _ in keyed} - {"sources", "gaps"})
    tell(
        f"transcription: {keyed.total()} cells keyed a second time,"
        f" {Counter(row['standing'] for row in ROWS)}; {sum(cells.values()) - keyed.total()} more"
        f" in the same columns were not\n  tables without a second copy: {', '.join(alone)}"
    )
    assert keyed.total() > 1500


@pytest.mark.parametrize("path", sorted(FOLDER.glob("looked_up*.csv")), ids=lambda path: path.stem)
def test_every_look_up_says_what_was_sought_and_where_it_stood(path: Path) -> None:
    """What was looked up outside the project, also in vain: nobody need seek it again, and no find
    is without its document.
    """
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    assert rows and list(rows[0]) == ["table", "rows", "looked_for", "outcome", "where", "day"]
    for row in rows:
        assert row["table"] in table_names() and row["rows"] and row["looked_for"] and row["day"], (
            row
        )
        assert (
            row["outcome"] == "not found" or row["outcome"] in ("found", "differs") and row["where"]
        ), row


# ---- laws of what is derived from other rows


def test_international_drop_follows_annex_g() -> None:
    """IEC 60364-5-52 Annex G: 2 or root 3 times 0.0225 ohm.mm2/m over the section, 0.08 mohm/m of
    reactance.
    """
    for row in table("voltage_drop").where(rule_set="iec60364"):
        both = {"1": 2.0, "3": math.sqrt(3)}[row.text("phases")]
        law = both * 0.0225 * 1000 / row.number("csa_mm2")
        assert row.number("mv_per_a_m") == pytest.approx(law, rel=5e-4), row.cells
        assert row.number("r_mv_per_a_m") == row.number("mv_per_a_m")
        assert row.number("x_mv_per_a_m") == pytest.approx(both * 0.08, rel=5e-4), row.cells


def test_british_drop_is_one_figure_up_to_16_mm2_and_an_impedance_above() -> None:
    """BS 7671 Appendix 4, 6.2: one figure up to 16 mm2; above it z from r and x, to the nearest
    0.05 mV/A/m.

    25 mm2 at 90 C is printed one step of 0.05 above (1.90 for 1.857, 1.65 for 1.606); it was found
    so in a source.
    """
    for row in table("voltage_drop").where(rule_set="bs7671"):
        reactance = row.number_or_none("x_mv_per_a_m")
        resistance, impedance = row.number("r_mv_per_a_m"), row.number("mv_per_a_m")
        if reactance is None:
            assert impedance == resistance, row.cells
        else:
            step = 0.05 if impedance in (1.90, 1.65) and row.text("csa_mm2") == "25" else 0.0
            assert abs(impedance - step - math.hypot(resistance, reactance)) <= 0.025, row.cells


def test_british_drops_do_not_differ_between_constructions_up_to_16_mm2() -> None:
    """BS 7671 Tables 4D1B, 4D2B, 4D4B and 4D5, and 4E1B, 4E2B and 4E4B, print the same figures up
    to 16 mm2.
    """
    printed: dict[tuple[str, ...], set[str]] = {}
    for row in table("voltage_drop").where(rule_set="bs7671"):
        if row.number("csa_mm2") <= 16:
            printed.setdefault(
                tuple(row.text(column) for column in ("insulation", "phases", "csa_mm2")), set()
            ).add(row.text("mv_per_a_m"))
    assert printed and all(len(figures) == 1 for figures in printed.values()), printed


def test_fuse_loops_are_the_older_ones_times_the_voltage_factor() -> None:
    """BS 7671 from its 2015 amendment: 0.95 times the loops printed before, to two decimals
    (rounded or cut).
    """
    checked = 0
    for old in table("maximum_zs_superseded").rows:
        for row in table("maximum_zs").where(
            standard=old.text("standard"),
            curve="none",
            rating_a=old.text("rating_a"),
            time_s=old.text("time_s"),
        ):
            assert abs(row.number("zs_ohm") - 0.95 * old.number("zs_ohm")) <= 0.0101, row.cells
            checked += 1
    assert checked >= 9


def test_nec_conductors_agree_between_inch_and_metre() -> None:
    """One foot is 0.3048 m; one circular mil is pi/4 times a square of 0.0254 mm."""
    for row in table("nec_conductor").rows:
        assert row.number("stranded_75c_ohm_per_km") == pytest.approx(
            row.number("stranded_75c_ohm_per_1000_ft") / 0.3048, rel=2e-3
        ), row.cells
        assert row.number("area_mm2") == pytest.approx(
            row.number("circular_mils") * math.pi / 4 * 0.0254**2, rel=2e-3
        ), row.cells


def test_resistance_rises_to_the_multiplier_by_the_trade_coefficient() -> None:
    """1 + alpha (limit - 20) with alpha 0.004; 1.20 and 1.28 (UK on-site guidance, Table I3)."""
    alpha = look.temperature_coefficient_per_k(awg=False)
    for insulation in ("thermoplastic-70", "thermosetting-90"):
        limit = look.operating_limit_c(insulation)
        assert look.resistance_multiplier(insulation, "core").value == pytest.approx(
            1 + alpha.value * (limit.value - 20)
        )


def test_rule_sets_agree_where_one_law_stands_behind_both() -> None:
    """Ambient factors above 30 C in air and in the ground are the same in BS 7671 and IEC
    60364-5-52.
    """
    for row in table("ambient_factor").where(rule_set="bs7671"):
        twins = table("ambient_factor").where(
            rule_set="iec60364",
            **{name: row.text(name) for name in ("insulation", "where", "temperature_c")},
        )
        if row.text("where") == "air" and row.number("temperature_c") < 30:
            continue
        assert [twin.number("factor") for twin in twins] == [row.number("factor")], row.cells


# ---- the comparison can fail


def test_a_changed_cell_is_seen() -> None:
    row = next(row for row in ROWS if row["table"] == "current_capacity")
    assert shipped(row).number(row["column"]) != float(row["cell"]) * 1.05
    with pytest.raises(AssertionError, match="holds 0 rows"):
        shipped({**row, "key": row["key"].replace("csa_mm2=1.5", "csa_mm2=1.6")})
