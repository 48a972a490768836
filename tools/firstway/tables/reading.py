"""tables: reads the CSV of standards' numbers; a look-up gives value and row together, or a gap.

Below stand the look-ups of board, tests, vehicle and supply; those of cables and their protection
are in `looking_up.py`.
"""

import csv
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from functools import cache
from pathlib import Path

from firstway.frozen import dataclass

TABLES_FOLDER = Path(__file__).parent
"""Where the CSV files of the standards' numbers lie."""
STANDINGS = ("found", "from memory", "common practice", "computed", "assumed")
"""How far a row may be relied on: read in a source, remembered, what the trade does, worked out
from a formula, or supposed.
"""


@dataclass(frozen=True)
class Row:
    """One case of a table: its cells by column name, and where it stands (table name, line of the
    CSV).
    """

    table: str
    line: int
    cells: Mapping[str, str] = field(compare=False, repr=False)

    def text(self, column: str) -> str:
        """The cell as printed."""
        return self.cells[column]

    def number(self, column: str) -> float:
        """The cell as a number, in the unit its column name carries."""
        return float(self.cells[column])

    def number_or_none(self, column: str) -> float | None:
        """The cell as a number; None when the table leaves it blank."""
        printed = self.cells[column]
        return float(printed) if printed else None

    @property
    def edition(self) -> str:
        """The edition in which the row was read."""
        return self.cells["edition"]

    @property
    def source(self) -> str:
        """An id in sources.csv."""
        return self.cells["source"]

    @property
    def standing(self) -> str:
        """One of STANDINGS: how far the row may be relied on."""
        return self.cells["standing"]


@dataclass(frozen=True)
class Source:
    """Where rows come from, in our own words."""

    id: str
    title: str
    edition: str
    note: str


@dataclass(frozen=True)
class Table:
    """All rows of one CSV in the order of the file."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    _indexes: dict[tuple[str, ...], dict[tuple[str, ...], tuple[Row, ...]]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def where(self, **wanted: str | float) -> tuple[Row, ...]:
        """The rows whose cells equal every wanted word or number, in the order of the file."""
        columns = tuple(sorted(wanted))
        if columns not in self._indexes:
            self._indexes[columns] = self._index(columns)
        return self._indexes[columns].get(
            tuple(column_word(wanted[column]) for column in columns), ()
        )

    def _index(self, columns: tuple[str, ...]) -> dict[tuple[str, ...], tuple[Row, ...]]:
        # One index for each set of key columns asked for: `work` makes hundreds of look-ups.
        index: dict[tuple[str, ...], list[Row]] = {}
        for row in self.rows:
            index.setdefault(tuple(row.cells[column] for column in columns), []).append(row)
        return {key: tuple(rows) for key, rows in index.items()}


def column_word(value: str | float) -> str:
    """A key as it is printed in a table: 6.0 is "6", 2.5 is "2.5", words stay.

    >>> column_word(6.0), column_word(2.5), column_word("C")
    ('6', '2.5', 'C')
    """
    return value if isinstance(value, str) else f"{value:.10g}"


@cache
def table(name: str) -> Table:
    """The table of that name, e.g. table("current_capacity") for current_capacity.csv.

    A wrong name is a bug of the caller and raises FileNotFoundError.
    """
    with (TABLES_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return table_from_lines(name, file)


def table_from_lines(name: str, lines: Iterable[str]) -> Table:
    """A table from the lines of a CSV; apart from `table` so that a test can break a copy in
    memory.
    """
    reader = csv.reader(lines)
    columns = tuple(next(reader, ()))
    rows = tuple(Row(name, reader.line_num, dict(zip(columns, cells))) for cells in reader if cells)
    return Table(name, columns, rows)


@cache
def sources() -> dict[str, Source]:
    """Every source by id."""
    return {
        row.text("id"): Source(
            row.text("id"), row.text("title"), row.text("edition"), row.text("note")
        )
        for row in table("sources").rows
    }


def source(identity: str) -> Source:
    """The source of that id; a missing id is a bug in a table and raises KeyError."""
    return sources()[identity]


def table_names() -> tuple[str, ...]:
    """The names of all tables on disk, sorted; `sources` and `gaps` are among them."""
    return tuple(sorted(path.stem for path in TABLES_FOLDER.glob("*.csv")))


def standings_counted(name: str = "", **wanted: str) -> Counter[str]:
    """How many rows are of each standing: of every table, or of those of one that equal
    `wanted`.
    """
    names = (
        [name] if name else [each for each in table_names() if "standing" in table(each).columns]
    )
    return Counter(
        row.standing
        for each in names
        for row in table(each).rows
        if all(row.cells[column] == word for column, word in wanted.items())
    )


@dataclass(frozen=True)
class Read:
    """A number with the row it was read from.

    `through` holds rows that sent the reader there: "D1 is printed as column D", "BS EN 61009-1
    reads as ...".
    """

    value: float
    row: Row
    through: tuple[Row, ...] = ()


@dataclass(frozen=True)
class ReadWord:
    """A word (a colour, a conductor size such as 1/0) with the row it was read from."""

    value: str
    row: Row
    through: tuple[Row, ...] = ()


@dataclass(frozen=True)
class Gap:
    """No row for what was wanted. A gap is refused, not skipped."""

    table: str
    wanted: str

    @property
    def message(self) -> str:
        """One sentence for a finding or a problem."""
        return f"the table {self.table} has no row for {self.wanted}"


def gap(name: str, **wanted: str | float) -> Gap:
    """A gap worded from the key that found nothing."""
    return Gap(
        name, ", ".join(f"{column} {column_word(value)}" for column, value in wanted.items())
    )


def read_one(
    name: str, column: str, /, through: Sequence[Row] = (), **wanted: str | float
) -> Read | Gap:
    """The number in `column` of the one row that equals `wanted`; a gap when there is no row or the
    cell is blank.
    """
    rows = table(name).where(**wanted)
    if not rows or not rows[0].text(column):
        return gap(name, **wanted)
    return Read(rows[0].number(column), rows[0], tuple(through))


def read_word(name: str, column: str, /, **wanted: str | float) -> ReadWord | Gap:
    """The word in `column` of the one row that equals `wanted`."""
    rows = table(name).where(**wanted)
    return ReadWord(rows[0].text(column), rows[0]) if rows else gap(name, **wanted)


def read_at_or_above(
    name: str, column: str, key: str, least: float, /, **wanted: str | float
) -> Read | Gap:
    """The number in `column` of the row with the smallest `key` not below `least`, among rows that
    equal `wanted`.

    Nothing is interpolated: the row that was used says for which `key` it was printed.
    """
    rows = [row for row in table(name).where(**wanted) if row.number(key) >= least]
    if not rows:
        return gap(name, **wanted, **{f"{key} not below": least})
    row = min(rows, key=lambda row: row.number(key))
    return Read(row.number(column), row)


def standard_words(standard: str) -> tuple[str, tuple[Row, ...]]:
    """The word under which the tables print a device standard, and the row that says so.

    >>> standard_words("BS EN 61009-1")[0]
    'IEC 61009-1'
    """
    rows = table("standard_name").where(standard=standard)
    return (rows[0].text("reads_as"), rows) if rows else (standard, ())


# Board and heat


def cooling_surface_factor(surface: str) -> Read | Gap:
    """Share of a surface that cools. surface: exposed-top, covered-top, exposed-side, front,
    covered-back, floor.
    """
    return read_one("cooling_surface", "factor", surface=surface)


def heat_transfer_w_per_m2_k(material: str) -> Read | Gap:
    """Heat through an enclosure in W/(m2.K); `band_share` of the row is its uncertainty.

    Illustrative only.
    """
    return read_one("heat_transfer", "w_per_m2_k", material=material)


def highest_pole_loss_w(rating_a: float) -> Read | Gap:
    """The highest loss a product standard lets one pole of a breaker have at its rating, in W: a
    ceiling.
    """
    for row in table("pole_loss").rows:
        if row.number("rating_above_a") < rating_a <= row.number("rating_up_to_a"):
            return Read(row.number("highest_w_per_pole"), row)
    return gap("pole_loss", rating_a=rating_a)


def assumed_loss(quantity: str) -> Read | Gap:
    """A figure no key holds, assumed: a loss, a length inside the board, a mass or what warming it
    takes. Unit in its row.
    """
    return read_one("assumed_loss", "value", quantity=quantity)


def board_size_mm(quantity: str) -> Read | Gap:
    """A size in mm for drawing a board to scale: module-width, window-height, rail-height,
    device-height and others.

    Nothing is judged on these; the maker's drawing decides.
    """
    return read_one("board_sizes", "value", quantity=quantity)


def conductor_diameter_mm(construction: str, csa_mm2: float) -> Read | Gap:
    """Overall diameter of the next size printed, not below `csa_mm2`: of a single core, or of a
    tail with its sheath.
    """
    return read_at_or_above(
        "conductor_diameter", "diameter_mm", "csa_mm2", csa_mm2, construction=construction
    )


def bend_in_diameters(cable: str, csa_mm2: float) -> Read | Gap:
    """Least inner radius of a bend, in overall diameters."""
    return read_at_or_above(
        "bending_radius", "x_overall_diameter", "csa_up_to_mm2", csa_mm2, cable=cable
    )


def gland_row(construction: str, cores: float, csa_mm2: float) -> Row | Gap:
    """The first gland of the table that holds a cable: its thread, and how wide its locknut is."""
    wanted = {"construction": "armoured" if construction == "armoured" else "other"}
    return next(
        (
            row
            for row in table("gland_size").where(**wanted)
            if row.number("cores_up_to") >= cores and row.number("csa_up_to_mm2") >= csa_mm2
        ),
        gap("gland_size", **wanted, cores=cores, csa_mm2=csa_mm2),
    )


def loading_factor(standard: str, circuits: int) -> Read | Gap:
    """Assumed loading of an assembly by the number of outgoing circuits, where its maker states no
    diversity.
    """
    for row in table("loading_factor").where(standard=standard):
        if (
            row.number("circuits_from")
            <= circuits
            <= (row.number_or_none("circuits_up_to") or circuits)
        ):
            return Read(row.number("factor"), row)
    return gap("loading_factor", standard=standard, circuits=circuits)


def service_condition(quantity: str) -> Read | Gap:
    """Normal service conditions: in C lowest-indoor-c, highest-c, highest-24-h-mean-c,
    lowest-outdoor-c, breaker-reference-c; in m highest-altitude-m.
    """
    return read_one("service_conditions", "value", quantity=quantity)


def thermal_trip(column: str, standard: str = "IEC 60898-1") -> Read | Gap:
    """Slow tripping of a breaker. column: no_trip_x_in, trip_x_in, time_s, reference_c."""
    return read_one("thermal_trip", column, standard=standard)


# Fuses


def fuse_opens_at_a(rating_a: float, time_s: float) -> Read | Gap:
    """Current in ampere at which every gG fuse-link has melted within a time. time_s: 5 or 0.1."""
    return read_one("fuse_gates", "opens_at_a", rating_a=rating_a, time_s=time_s)


def fuse_breaking_capacity_ka(standard: str) -> Read | Gap:
    """Least breaking capacity in kA that the standard of a fuse allows."""
    reads_as, through = standard_words(standard)
    return read_one("fuse_breaking_capacity", "least_ka", through, standard=reads_as)


# Tests


def longest_trip_time_ms(delay: str, multiple_of_idn: float) -> Read | Gap:
    """Longest break time of a residual current device in ms, product standard. delay: none or S."""
    return read_one("rcd_times", "longest_ms", delay=delay, multiple_of_idn=multiple_of_idn)


def rcd_test_row(test: str, delay: str = "none") -> Row | Gap:
    """The row of a test: verification, no-trip, additional-protection-before-2022, older-device."""
    rows = table("rcd_tests").where(test=test, delay=delay)
    return rows[0] if rows else gap("rcd_tests", test=test, delay=delay)


def rcd_limit(quantity: str) -> Read | Gap:
    """A figure of rcd_limits.csv, e.g. additional-protection-ma, series-selectivity-ratio."""
    return read_one("rcd_limits", "value", quantity=quantity)


def insulation_test_voltage_v(circuit: str) -> Read | Gap:
    """Test voltage in V d.c. circuit: up-to-500-v, up-to-500-v-with-spd, selv-pelv."""
    return read_one("insulation_test", "test_v", circuit=circuit)


def least_insulation_mohm(circuit: str) -> Read | Gap:
    """Least insulation resistance in megohm."""
    return read_one("insulation_test", "least_mohm", circuit=circuit)


def voltage_share(rule_set: str, which: str) -> Read | Gap:
    """How far a network's voltage may lie from the nominal one. which: lowest or highest."""
    return read_one("voltage_range", f"{which}_share", rule_set=rule_set)


def electrode_advice_ohm() -> Read | Gap:
    """Electrode resistance above which the reading may drift with the season: advice."""
    return read_one("electrode_advice", "value", quantity="reading-may-drift-above-ohm")


# Vehicle


def pilot_state_row(state: str) -> Row | Gap:
    """The row of a pilot state A to F: resistance_ohm, high_v, low_v, tolerance_v."""
    rows = table("pilot_state").where(state=state)
    return rows[0] if rows else gap("pilot_state", state=state)


def pilot_circuit(quantity: str) -> Read | Gap:
    """A figure of the pilot circuit, e.g. source-v, source-ohm, frequency-hz."""
    return read_one("pilot_circuit", "value", quantity=quantity)


# Supply, soil, other limits


def declared_ze_ohm(system: str) -> Read | Gap:
    """Typical declared loop impedance in ohm: a figure of 1991, never guaranteed."""
    return read_one("supply_declared", "ze_ohm", system=system)


def supply_limit(quantity: str) -> Read | Gap:
    """nominal-v, lowest-v, highest-v or declared-fault-current-ka of a public supply."""
    return read_one("supply_limits", "value", quantity=quantity)


def rule_limit(rule_set: str, quantity: str) -> Read | Gap:
    """A single figure of a rule, from rule_limits.csv."""
    return read_one("rule_limits", "value", rule_set=rule_set, quantity=quantity)


def spd_conductor_mm2(spd_type: int, conductor: str) -> Read | Gap:
    """Least copper connection of an SPD in mm2. conductor: live or earth."""
    return read_one("spd_conductor", "csa_mm2", type=spd_type, conductor=conductor)


def least_nominal_discharge_current_ka(connection: str, part: str, phases: int) -> Read | Gap:
    """Least nominal discharge current in kA. CT1: part each; CT2: part line or neutral-earth."""
    return read_one(
        "spd_nominal_current", "least_ka", connection=connection, part=part, phases=phases
    )


def standards_of_device(device: str = "") -> tuple[str, ...]:
    """The standards a kind of device may be made to; of every kind where none is named."""
    rows = (
        table("device_standard").where(device=device) if device else table("device_standard").rows
    )
    return tuple(dict.fromkeys(row.text("standard") for row in rows))


def earthing_conductor_mm2(rule_set: str, laid: str) -> Read | Gap:
    """Least copper earthing conductor in mm2. laid: anywhere, buried-sheathed-and-protected,
    buried-sheathed, buried-bare.
    """
    return read_one("earthing_conductor", "copper_mm2", rule_set=rule_set, laid=laid)


def vehicle_lead_mm2(current_a: float) -> Read | Gap:
    """Size in mm2 in which makers build a flexible lead for a current in ampere."""
    return read_at_or_above("vehicle_lead", "csa_mm2", "current_up_to_a", current_a)
