"""Pages: the standards' tables, printed from the very CSV the code reads, each with a copy to take
away.
"""

from collections.abc import Sequence

from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.citing import RULE_WORDS, source_title
from firstway.rendering.columns import column_words, key_words, table_words
from firstway.rendering.figures import unit_text
from firstway.rendering.html import Markup, caution_fold_html, counted, joined, table_html, tag
from firstway.tables.reading import TABLES_FOLDER, Table, table, table_names

TOPICS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("capacity-bs7671", "Capacity of cables, BS 7671", ("current_capacity:bs7671",)),
    (
        "capacity-iec60364",
        "Capacity of cables, IEC 60364",
        ("current_capacity:iec60364", "printed_column"),
    ),
    (
        "cable",
        "Factors, voltage drop and resistance",
        (
            "ambient_factor",
            "grouping_factor",
            "harmonic_factor",
            "thermal_insulation_factor",
            "soil_resistivity_factor",
            "overload_device_factor",
            "voltage_drop",
            "voltage_drop_limit",
            "conductor_resistance",
            "armour_resistance",
            "temperature_coefficient",
        ),
    ),
    (
        "protection",
        "Devices, loops, times and fault energy",
        (
            "maximum_zs",
            "trip_multiple",
            "instantaneous_trip",
            "thermal_trip",
            "fuse_gates",
            "fuse_breaking_capacity",
            "voltage_factor",
            "reading_factor",
            "disconnection_time",
            "adiabatic_k",
            "adiabatic_constants",
            "minimum_protective_conductor",
            "standard_ratings",
        ),
    ),
    (
        "residual-and-earth",
        "Residual current, earth and open PEN",
        (
            "rcd_times",
            "rcd_types",
            "rcd_limits",
            "dc_detection",
            "electrode_limit",
            "electrode_advice",
            "open_pen",
            "soil",
            "rods_in_line",
            "main_bonding",
            "earthing_conductor",
        ),
    ),
    (
        "surge-heat-pilot",
        "Surge, heat and the pilot signal",
        (
            "lightning_level",
            "spd_limits",
            "spd_conductor",
            "spd_type",
            "spd_nominal_current",
            "temporary_overvoltage",
            "surge_model",
            "impulse_voltage",
            "pole_loss",
            "assumed_loss",
            "heat_transfer",
            "cooling_surface",
            "pilot_law",
            "pilot_state",
            "pilot_circuit",
            "proximity",
        ),
    ),
    (
        "ends-and-entries",
        "Ferrules, glands and openings",
        ("ferrule", "gland_size", "access_probe"),
    ),
    (
        "nec",
        "NEC: ampacity, conductors and loads",
        (
            "nec_ampacity",
            "nec_ambient_factor",
            "nec_adjustment_factor",
            "nec_insulation_column",
            "nec_termination",
            "nec_small_conductor",
            "nec_conductor",
            "nec_grounding_conductor",
            "nec_electrode_conductor",
            "nec_wiring_method_limit",
            "nec_charging_circuit",
            "nec_load",
        ),
    ),
)
REST = ("others", "Other tables")
KEPT_APART = ("sources", "gaps")
DOWNLOADS = "tables/files"

_TEXT = """\
---
search:
  exclude: true
---
# {title}

For whoever wants to see the row behind a figure. These are the very rows the working reads; the
last columns name the edition of a row, where it comes from and how far it may be relied on.
{{ .for }}

{caution}

{tables}
"""
_INDEX = """\
# Tables

For whoever wants to see the row behind a figure. Every table the working reads, printed from the
file it reads.
{{ .for }}

{caution}

{tables}

What the tables do not hold, and every source: [About and sources](../about.md).
"""


def tables_pages() -> list[PageSheet]:
    """The index and one page a topic; every table on disk is on one of them."""
    named = {name.partition(":")[0] for _, _, names in TOPICS for name in names}
    rest = tuple(name for name in table_names() if name not in named and name not in KEPT_APART)
    topics = (*TOPICS, (*REST, rest))
    pages = [_page(slug, title, names) for slug, title, names in topics]
    links = joined(
        tag(
            "li",
            tag("a", title, href=f"{slug}.html"),
            f": {', '.join(_words(name) for name in names)}",
        )
        for slug, title, names in topics
    )
    return [
        PageSheet(
            "tables/index.md",
            "Tables",
            _INDEX.format(tables=part_mark("tables"), caution=part_mark("caution")),
            {"caution": caution_fold_html(), "tables": tag("ul", links)},
            "Every table.",
        ),
        *pages,
    ]


def table_files() -> list[tuple[str, str]]:
    """Path in the guide and text of every table file, to take away."""
    return [
        (f"{DOWNLOADS}/{name}.csv", (TABLES_FOLDER / f"{name}.csv").read_text(encoding="utf-8"))
        for name in table_names()
    ]


def _page(slug: str, title: str, names: Sequence[str]) -> PageSheet:
    body = joined(_table_html(name) for name in names)
    return PageSheet(
        f"tables/{slug}.md",
        title,
        _TEXT.format(title=title, tables=part_mark("tables"), caution=part_mark("caution")),
        {"caution": caution_fold_html(), "tables": body},
        f"Tables: {title}.",
    )


def _words(name: str) -> str:
    return table_words(name.partition(":")[0])


def _table_html(name: str) -> Markup:
    file, _, rule_set = name.partition(":")
    whole: Table = table(file)
    rows = [row for row in whole.rows if not rule_set or row.text("rule_set") == rule_set]
    columns = [
        column
        for column in whole.columns
        if any(row.cells[column] for row in rows) and not (rule_set and column == "rule_set")
    ]
    caption = _words(name)
    linked: set[str] = set()
    shown = table_html(
        [column_words(column) for column in columns],
        ([_cell(column, row.cells[column], linked) for column in columns] for row in rows),
        caption,
        "plain rows",
        named_by=None,
    )
    link = tag("a", f"{file}.csv", href=f"files/{file}.csv", download=True)
    return (
        tag("h2", caption, id=file.replace("_", "-"))
        + tag("p", f"{counted(len(rows), 'row')}. ", link)
        + shown
    )


def _cell(column: str, text: str, linked: set[str]) -> str:
    """A cell in words; its file, to take away, has the keys. A source is a link where it stands
    first in its table: the largest pages would be a fifth longer.
    """
    if column == "source":
        title = source_title(text)
        if text in linked:
            return title
        linked.add(text)
        return tag("a", title, href=f"../about.html#source-{text}")
    if column == "rule_set":
        return RULE_WORDS.get(text, text)
    if column == "quantity":
        return column_words(text.replace("-", "_"))
    return unit_text(text) if column == "unit" else key_words(text)
