"""Workings: cable: capacity along the route, size and voltage drop."""

from firstway.calculations import cable as formulas
from firstway.model.evidence import each
from firstway.model.installation import Cable, Circuit, ServiceDevice, Stretch, Way
from firstway.model.values import Absent, is_known, key_of
from firstway.tables import looking_up as tables
from firstway.tables.cable_columns import CableColumns
from firstway.workings.bs_iec.cable_tables import cable_tables
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step

GROUND_METHODS = ("D", "D1", "D2", "buried")
REFERENCE_DEPTH_M = 0.7
_BREAKERS = ("rcbo", "circuit-breaker", "rcd")
GuardingDevice = Way | ServiceDevice | Absent


@topic
def capacity(
    book: Book,
    of: str,
    cable: Cable,
    route: tuple[Stretch, ...],
    loaded: int,
    device: GuardingDevice,
) -> None:
    """Required and corrected capacity of a route behind its device: every stretch is worked, the
    worst one counts.
    """
    columns = cable_tables(cable)
    rating = book.read("device-rating", of)
    if not route:
        for step_id, symbol in (("required-capacity", "I_t"), ("corrected-capacity", "I_z")):
            book.not_known(
                step_id,
                of,
                _TITLES[step_id],
                symbol,
                "A",
                "formula",
                (route,),
                "measure the route and how it is run",
            )
        return
    # Each stretch is worked by itself; which one is the worst rests on all of them.
    stretches = [
        _stretch(book, of, cable, stretch, place, loaded, device, columns)
        for place, stretch in enumerate(each(route), 1)
    ]
    unknown = next((item for item in stretches if item[1].value is None), None)
    place, _, factors, tabulated = unknown or min(stretches, key=lambda item: item[1].value or 0.0)
    stretch = route[place - 1]
    worst = (
        f"stretch {place} ({stretch.method}, {stretch.length_m:g} m) is the worst of {len(route)}"
        if len(route) > 1 and not unknown
        else ""
    )
    note = "; ".join(item for item in (worst, columns.note) if item)
    book.formula(
        "required-capacity",
        of,
        _TITLES["required-capacity"],
        formulas.REQUIRED_CAPACITY,
        {"I_n": rating, **factors},
        places=1,
        note=note,
    )
    book.formula(
        "corrected-capacity",
        of,
        _TITLES["corrected-capacity"],
        formulas.CORRECTED_CAPACITY,
        {"I_tab": tabulated, **factors},
        places=1,
        note=note,
    )


_TITLES = {
    "required-capacity": "Tabulated capacity the route asks for",
    "corrected-capacity": "Capacity of the cable where it is run, at its worst stretch",
}


def _stretch(
    book: Book,
    of: str,
    cable: Cable,
    stretch: Stretch,
    place: int,
    loaded: int,
    device: GuardingDevice,
    columns: CableColumns,
) -> tuple[int, Step, dict[str, Step], Step]:
    where = "ground" if stretch.method in GROUND_METHODS else "air"
    factors = {
        "C_a": _ambient(book, of, stretch, place, columns.insulation, where),
        "C_g": _grouping(book, of, stretch, place, where),
        "C_i": _insulation(book, of, stretch, place, where),
        "C_s": _soil(book, of, stretch, place, where),
        "C_c": _overload(book, of, stretch, place, device, where),
    }
    size, step_id = book.read("conductor-size", of), f"tabulated-capacity-stretch-{place}"
    title = (
        f"Tabulated capacity, stretch {place}: method {stretch.method}, {columns.insulation},"
        f" {loaded} loaded conductors"
    )
    if size.value is None or not is_known(cable.construction):
        tabulated = book.not_known(
            step_id,
            of,
            title,
            "I_tab",
            "A",
            "look-up",
            (cable.construction if size.value is not None else size,),
            size.ask or "find out the kind of cable",
        )
    else:
        found = tables.current_capacity_a(
            book.installation.rules,
            str(cable.construction),
            columns.insulation,
            str(stretch.method),
            loaded,
            size.value,
        )
        tabulated = book.look_up(
            step_id,
            of,
            title,
            "I_tab",
            found,
            "A",
            (cable.construction, stretch.method, size),
            places=1,
        )
    own = book.formula(
        f"corrected-capacity-stretch-{place}",
        of,
        f"Capacity on stretch {place}",
        formulas.CORRECTED_CAPACITY,
        {"I_tab": tabulated, **factors},
        places=1,
    )
    return place, own, factors, tabulated


def _ambient(
    book: Book, of: str, stretch: Stretch, place: int, insulation: str, where: str
) -> Step:
    value = stretch.ground_c if where == "ground" else stretch.ambient_c
    title = f"Factor for the {where} temperature, stretch {place}"
    step_id = f"ambient-factor-stretch-{place}"
    if not is_known(value):
        return book.not_known(
            step_id,
            of,
            title,
            "C_a",
            "",
            "look-up",
            (value,),
            f"find out the highest temperature of the {where} along stretch {place}",
        )
    found = tables.ambient_factor_next_warmer(book.installation.rules, insulation, where, value)
    return book.look_up(step_id, of, title, "C_a", found, "", (value,))


def _grouping(book: Book, of: str, stretch: Stretch, place: int, where: str) -> Step:
    step_id, title = (
        f"grouping-factor-stretch-{place}",
        f"Factor for circuits run together, stretch {place}",
    )
    count = stretch.grouped_circuits
    if not is_known(count):
        return book.not_known(
            step_id,
            of,
            title,
            "C_g",
            "",
            "look-up",
            (count,),
            f"count the loaded circuits that touch along stretch {place}",
        )
    if count == 1:
        return book.unity(step_id, of, title, "C_g", "the circuit runs alone", count)
    if where == "ground":
        grouped = "ducts-touching" if stretch.method == "D1" else "buried-touching"
    elif is_known(stretch.grouped_as):
        grouped = str(stretch.grouped_as)
    else:
        return book.not_known(
            step_id,
            of,
            title,
            "C_g",
            "",
            "look-up",
            (stretch.grouped_as,),
            f"look whether the circuits of stretch {place} are bunched or in a single layer",
        )
    found = tables.grouping_factor_next_larger_group(grouped, int(count))
    return book.look_up(step_id, of, title, "C_g", found, "", (count,))


def _insulation(book: Book, of: str, stretch: Stretch, place: int, where: str) -> Step:
    step_id, title = (
        f"thermal-insulation-factor-stretch-{place}",
        f"Factor for thermal insulation around the cable, stretch {place}",
    )
    if where == "ground":
        return book.unity(step_id, of, title, "C_i", "in the ground there is none", stretch.method)
    inside = stretch.thermal_insulation_length_mm
    if not is_known(inside):
        return book.not_known(
            step_id,
            of,
            title,
            "C_i",
            "",
            "look-up",
            (inside,),
            f"measure how far stretch {place} runs inside thermal insulation; 0 if nowhere",
        )
    if inside == 0:
        return book.unity(step_id, of, title, "C_i", "the stretch runs through none", inside)
    return book.look_up(
        step_id, of, title, "C_i", tables.thermal_insulation_factor(inside), "", (inside,)
    )


def _soil(book: Book, of: str, stretch: Stretch, place: int, where: str) -> Step:
    step_id, title = (
        f"soil-factor-stretch-{place}",
        f"Factor for the thermal resistance of the soil, stretch {place}",
    )
    if where != "ground":
        return book.unity(step_id, of, title, "C_s", "the stretch runs in air", stretch.method)
    depth, soil = stretch.depth_m, stretch.soil_k_m_per_w
    if is_known(depth) and depth > REFERENCE_DEPTH_M:
        return book.not_known(
            step_id,
            of,
            title,
            "C_s",
            "",
            "look-up",
            (depth,),
            f"capacities are printed for {REFERENCE_DEPTH_M:g} m depth: ask the designer for the"
            " factor",
        )
    if not is_known(soil):
        return book.not_known(
            step_id,
            of,
            title,
            "C_s",
            "",
            "look-up",
            (soil,),
            f"find out the thermal resistivity of the soil along stretch {place}",
        )
    found = tables.soil_factor_next_drier(soil, str(stretch.method))
    return book.look_up(step_id, of, title, "C_s", found, "", (soil,))


def _overload(
    book: Book, of: str, stretch: Stretch, place: int, device: GuardingDevice, where: str
) -> Step:
    """Some fuses open so late on a small overload that the cable must have more in hand."""
    step_id, title = (
        f"overload-factor-stretch-{place}",
        f"Factor for the kind of overload device, stretch {place}",
    )
    standard = key_of(device, "standard")
    if not is_known(standard) and key_of(device, "device") not in _BREAKERS:
        return book.not_known(
            step_id, of, title, "C_c", "", "look-up", (standard,), "read the standard on the fuse"
        )
    found = tables.overload_device_factor(
        book.installation.rules, str(standard) if is_known(standard) else "", where
    )
    note = (
        "capacities in the ground are printed for 20 °C: the device may use this share of them"
        if where == "ground"
        else ""
    )
    return book.look_up(
        step_id, of, title, "C_c", found, "", (standard, stretch.method), places=3, note=note
    )


@topic
def sizes(book: Book, of: str, cable: Cable) -> None:
    """Line conductor and protective conductor, given or chosen."""
    book.choice("conductor-size", of, "Line conductor", "S", cable.csa_mm2, "mm2", places=1)
    book.choice(
        "protective-conductor-size",
        of,
        "Protective conductor",
        "S_p",
        cable.cpc_mm2,
        "mm2",
        places=1,
    )


@topic
def feed_drop(book: Book, phases: int) -> None:
    """The feed's share of the voltage drop: between lines where it has three phases."""
    cable = key_of(book.installation.feed, "cable")
    book.formula(
        "voltage-drop",
        "feed",
        "Voltage drop of the feed",
        formulas.VOLTAGE_DROP,
        {
            "m_v": _millivolts(book, "feed", cable, phases),
            "I_b": book.read("design-current", "feed"),
            "L": book.read("length", "feed"),
        },
    )


def _feed_share(book: Book, circuit: Circuit) -> Step:
    """The feed's drop as this circuit sees it: line to neutral for one phase, between lines for
    three.
    """
    own = book.read("voltage-drop", "feed")
    cable = key_of(book.installation.feed, "cable")
    if book.installation.supply.phases != 3 or len(circuit.lines) == 3 or not is_known(cable):
        return own
    of = circuit.name
    return book.formula(
        "voltage-drop-of-feed",
        of,
        "Voltage drop of the feed, line to neutral",
        formulas.VOLTAGE_DROP,
        {
            "m_v": _millivolts(book, of, cable, 1, "tabulated-voltage-drop-of-feed", "feed"),
            "I_b": book.read("design-current", "feed"),
            "L": book.read("length", "feed"),
        },
        places=3,
        note="on the safe side: as if the whole current of the feed returned in the neutral",
    )


@topic
def circuit_drop(book: Book, circuit: Circuit) -> None:
    """Voltage drop from the origin to the point: feed and circuit, tabulated values, not
    corrected.
    """
    of, phases, supply = circuit.name, 3 if len(circuit.lines) == 3 else 1, book.installation.supply
    drop = book.formula(
        "voltage-drop",
        of,
        "Voltage drop from the origin to the charging point",
        formulas.VOLTAGE_DROP_WITH_FEED,
        {
            "V_f": _feed_share(book, circuit),
            "m_v": _millivolts(book, of, circuit.cable, phases),
            "I_b": book.read("design-current", of),
            "L": book.read("length", of),
        },
    )
    voltage = supply.line_to_line_v if phases == 3 else supply.line_to_earth_v
    nominal = book.fact(
        "nominal-voltage",
        of,
        "Nominal voltage the drop is compared with",
        "U_0",
        voltage,
        "V",
        places=0,
    )
    book.formula(
        "voltage-drop-percent",
        of,
        "Voltage drop as a share of the nominal voltage",
        formulas.VOLTAGE_DROP_PERCENT,
        {"V_d": drop, "U_0": nominal},
    )


def _millivolts(
    book: Book,
    of: str,
    cable: Cable,
    phases: int,
    step_id: str = "tabulated-voltage-drop",
    sized_by: str = "",
) -> Step:
    title = f"Tabulated voltage drop, {'three phases' if phases == 3 else 'one phase'}"
    size = book.read("conductor-size", sized_by or of)
    if size.value is None or not is_known(cable.construction):
        return book.not_known(
            step_id,
            of,
            title,
            "m_v",
            "mV/A/m",
            "look-up",
            (cable.construction if size.value is not None else size,),
            size.ask or "find out the kind of cable",
        )
    columns = cable_tables(cable)
    found = tables.voltage_drop_mv_per_a_m(
        book.installation.rules, str(cable.construction), columns.insulation, phases, size.value
    )
    return book.look_up(
        step_id, of, title, "m_v", found, "mV/A/m", (cable.construction, size), note=columns.note
    )


@topic
def length(book: Book, of: str, route: tuple[Stretch, ...]) -> Step:
    """Length of the whole route, its stretches added."""
    title = "Length of the route"
    if not route:
        return book.not_known("length", of, title, "L", "m", "fact", (route,), "measure the route")
    if len(route) == 1:
        return book.fact("length", of, title, "L", route[0].length_m, "m", places=1)
    return book.total(
        "length",
        of,
        title,
        "L",
        [stretch.length_m for stretch in route],
        "m",
        "the stretches of the file, added",
        places=1,
        note=" + ".join(f"{stretch.length_m:g} m" for stretch in route),
    )
