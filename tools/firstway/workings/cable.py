"""Workings: cable: capacity along the route, size and voltage drop."""

from __future__ import annotations

from typing import Sequence

from firstway.calculations import cable as formulas
from firstway.model.installation import Cable, Circuit, Stretch
from firstway.model.values import is_known
from firstway.tables import looking_up as tables
from firstway.tables.found import Read
from firstway.workings.book import Book
from firstway.tables.cable_columns import CableColumns
from firstway.workings.cable_tables import cable_tables
from firstway.workings.step import Step

GROUND_METHODS = ("D", "D1", "D2", "buried")
REFERENCE_DEPTH_M = 0.7


def capacity(book: Book, of: str, path: str, cable: Cable, route: Sequence[Stretch], loaded: int, standard: str) -> None:
    """Required and corrected capacity of a route: every stretch is worked, the worst one counts."""
    columns = cable_tables(cable)
    rating = book.read("device-rating", of)
    if not route:
        for step_id, symbol in (("required-capacity", "I_t"), ("corrected-capacity", "I_z")):
            book.not_known(step_id, of, _TITLES[step_id], symbol, "A", "formula", (f"{path.rpartition('.')[0]}.route",),
                           "measure the route and how it is run")
        return
    stretches = [_stretch(book, of, path, cable, stretch, place, loaded, standard, columns)
                 for place, stretch in enumerate(route, 1)]
    known = [item for item in stretches if item[1].value is not None]
    complete = len(known) == len(stretches)
    worst = min(known, key=lambda item: item[1].value or 0.0) if complete else \
        next(item for item in stretches if item[1].value is None)
    place, own, factors, tabulated = worst
    stretch = route[place - 1]
    note = f"stretch {place} ({stretch.method}, {stretch.length_m:g} m) is the worst of {len(route)}" if len(route) > 1 and complete else ""
    note = "; ".join(item for item in (note, columns.note) if item)
    book.formula("required-capacity", of, _TITLES["required-capacity"], formulas.REQUIRED_CAPACITY,
                 {"I_n": rating, **factors}, places=1, note=note)
    book.formula("corrected-capacity", of, _TITLES["corrected-capacity"], formulas.CORRECTED_CAPACITY,
                 {"I_tab": tabulated, **factors}, places=1, note=note)


_TITLES = {
    "required-capacity": "Tabulated capacity the route asks for",
    "corrected-capacity": "Capacity of the cable where it is run, at its worst stretch",
}


def _stretch(book: Book, of: str, path: str, cable: Cable, stretch: Stretch, place: int, loaded: int, standard: str,
             columns: CableColumns) -> tuple[int, Step, dict[str, Step | float], Step]:
    route = f"{path.rpartition('.')[0]}.route.{place}"
    rules = book.installation.rules
    where = "ground" if stretch.method in GROUND_METHODS else "air"
    factors: dict[str, Step | float] = {
        "C_a": _ambient(book, of, stretch, place, route, rules, columns.insulation, where),
        "C_g": _grouping(book, of, stretch, place, route, where),
        "C_i": _insulation(book, of, stretch, place, route, where),
        "C_s": _soil(book, of, stretch, place, route, where),
        "C_c": _overload(book, of, place, rules, standard, where),
    }
    size = book.read("conductor-size", of)
    title = f"Tabulated capacity, stretch {place}: method {stretch.method}, {columns.insulation}, {loaded} loaded conductors"
    if size.value is None or not is_known(cable.construction):
        tabulated = book.not_known(f"tabulated-capacity-stretch-{place}", of, title, "I_tab", "A", "look-up",
                                   size.missing or (f"{path}.construction",), size.ask or "find out the kind of cable")
    else:
        found = tables.current_capacity_a(rules, str(cable.construction), columns.insulation, str(stretch.method), loaded,
                                          size.value)
        tabulated = book.look_up(f"tabulated-capacity-stretch-{place}", of, title, "I_tab", found, "A",
                                 (f"{path}.construction", f"{route}.method", size.identity), places=1)
    own = book.formula(f"corrected-capacity-stretch-{place}", of, f"Capacity on stretch {place}",
                       formulas.CORRECTED_CAPACITY, {"I_tab": tabulated, **factors}, places=1)
    return place, own, factors, tabulated


def _ambient(book: Book, of: str, stretch: Stretch, place: int, route: str, rules: str, insulation: str, where: str) -> Step:
    key = "ground_c" if where == "ground" else "ambient_c"
    value = getattr(stretch, key)
    title = f"Factor for the {'ground' if where == 'ground' else 'air'} temperature, stretch {place}"
    step_id = f"ambient-factor-stretch-{place}"
    if not is_known(value):
        return book.not_known(step_id, of, title, "C_a", "", "look-up", (f"{route}.{key}",),
                              f"find out the highest temperature of the {where} along stretch {place}")
    found = tables.ambient_factor_next_warmer(rules, insulation, where, value)
    return book.look_up(step_id, of, title, "C_a", found, "", (f"{route}.{key}",))


def _grouping(book: Book, of: str, stretch: Stretch, place: int, route: str, where: str) -> Step | float:
    step_id, title = f"grouping-factor-stretch-{place}", f"Factor for circuits run together, stretch {place}"
    if not is_known(stretch.grouped_circuits):
        return book.not_known(step_id, of, title, "C_g", "", "look-up", (f"{route}.grouped_circuits",),
                              f"count the loaded circuits that touch along stretch {place}")
    if stretch.grouped_circuits == 1:
        return 1.0
    if where == "ground":
        grouped = "ducts-touching" if stretch.method == "D1" else "buried-touching"
    elif is_known(stretch.grouped_as):
        grouped = str(stretch.grouped_as)
    else:
        return book.not_known(step_id, of, title, "C_g", "", "look-up", (f"{route}.grouped_as",),
                              f"look whether the circuits of stretch {place} are bunched or in a single layer")
    found = tables.grouping_factor_next_larger_group(grouped, int(stretch.grouped_circuits))
    return book.look_up(step_id, of, title, "C_g", found, "", (f"{route}.grouped_circuits",))


def _insulation(book: Book, of: str, stretch: Stretch, place: int, route: str, where: str) -> Step | float:
    if where == "ground" or stretch.thermal_insulation_length_mm == 0:
        return 1.0
    step_id, title = f"thermal-insulation-factor-stretch-{place}", f"Factor for thermal insulation around the cable, stretch {place}"
    if not is_known(stretch.thermal_insulation_length_mm):
        return book.not_known(step_id, of, title, "C_i", "", "look-up", (f"{route}.thermal_insulation_length_mm",),
                              f"measure how far stretch {place} runs inside thermal insulation; 0 if nowhere")
    found = tables.thermal_insulation_factor(stretch.thermal_insulation_length_mm)
    return book.look_up(step_id, of, title, "C_i", found, "", (f"{route}.thermal_insulation_length_mm",))


def _soil(book: Book, of: str, stretch: Stretch, place: int, route: str, where: str) -> Step | float:
    if where != "ground":
        return 1.0
    step_id, title = f"soil-factor-stretch-{place}", f"Factor for the thermal resistance of the soil, stretch {place}"
    if is_known(stretch.depth_m) and stretch.depth_m > REFERENCE_DEPTH_M:
        return book.not_known(step_id, of, title, "C_s", "", "look-up", (f"{route}.depth_m",),
                              f"capacities are printed for {REFERENCE_DEPTH_M:g} m depth: ask the designer for the factor")
    if not is_known(stretch.soil_k_m_per_w):
        return book.not_known(step_id, of, title, "C_s", "", "look-up", (f"{route}.soil_k_m_per_w",),
                              f"find out the thermal resistivity of the soil along stretch {place}")
    found = tables.soil_factor_next_drier(stretch.soil_k_m_per_w, str(stretch.method))
    return book.look_up(step_id, of, title, "C_s", found, "", (f"{route}.soil_k_m_per_w",))


def _overload(book: Book, of: str, place: int, rules: str, standard: str, where: str) -> Step | float:
    found = tables.overload_device_factor(rules, standard, where)
    if isinstance(found, Read) and found.value == 1.0:
        return 1.0
    note = "capacities in the ground are printed for 20 C: the device may use this share of them" if where == "ground" else ""
    return book.look_up(f"overload-factor-stretch-{place}", of, f"Factor for the kind of overload device, stretch {place}",
                        "C_c", found, "", (f"device-rating {of}",), places=3, note=note)


def sizes(book: Book, of: str, path: str, cable: Cable) -> None:
    """Line conductor and protective conductor, given or chosen."""
    book.choice("conductor-size", of, "Line conductor", "S", cable.csa_mm2, "mm2", f"{path}.csa_mm2", places=1)
    book.choice("protective-conductor-size", of, "Protective conductor", "S_p", cable.cpc_mm2, "mm2", f"{path}.cpc_mm2", places=1)


def feed_drop(book: Book, phases: int) -> None:
    """The feed's share of the voltage drop: between lines where it has three phases."""
    feed = book.installation.feed
    if not is_known(feed) or not is_known(feed.cable):
        book.not_known("voltage-drop", "feed", "Voltage drop of the feed", "V_d", "V", "formula", ("feed.cable",),
                       "find out cable and length of the feed")
        return
    book.formula("voltage-drop", "feed", "Voltage drop of the feed", formulas.VOLTAGE_DROP,
                 {"m_v": _millivolts(book, "feed", "feed.cable", feed.cable, phases),
                  "I_b": book.read("design-current", "feed"), "L": book.read("length", "feed")})


def feed_share(book: Book, circuit: Circuit) -> Step:
    """The feed's drop as this circuit sees it: line to neutral for one phase, between lines for three."""
    own = book.read("voltage-drop", "feed")
    feed = book.installation.feed
    if book.installation.supply.phases != 3 or len(circuit.lines) == 3 or not is_known(feed) or not is_known(feed.cable):
        return own
    of = circuit.name
    return book.formula("voltage-drop-of-feed", of, "Voltage drop of the feed, line to neutral", formulas.VOLTAGE_DROP,
                        {"m_v": _millivolts(book, of, "feed.cable", feed.cable, 1, "tabulated-voltage-drop-of-feed", "feed"),
                         "I_b": book.read("design-current", "feed"), "L": book.read("length", "feed")}, places=3,
                        note="on the safe side: as if the whole current of the feed returned in the neutral")


def circuit_drop(book: Book, circuit: Circuit) -> None:
    """Voltage drop from the origin to the point: feed and circuit, tabulated values, not corrected."""
    of, phases = circuit.name, 3 if len(circuit.lines) == 3 else 1
    path = f"circuits.{of}.cable"
    book.formula("voltage-drop", of, "Voltage drop from the origin to the charging point", formulas.VOLTAGE_DROP_WITH_FEED,
                 {"V_f": feed_share(book, circuit), "m_v": _millivolts(book, of, path, circuit.cable, phases),
                  "I_b": book.read("design-current", of), "L": book.read("length", of)})
    supply = book.installation.supply
    voltage, key = (supply.line_to_line_v, "line_to_line_v") if phases == 3 else (supply.line_to_earth_v, "line_to_earth_v")
    nominal = book.fact("nominal-voltage", of, "Nominal voltage the drop is compared with", "U_0", voltage, "V", f"supply.{key}", places=0)
    book.formula("voltage-drop-percent", of, "Voltage drop as a share of the nominal voltage", formulas.VOLTAGE_DROP_PERCENT,
                 {"V_d": book.read("voltage-drop", of), "U_0": nominal})


def _millivolts(book: Book, of: str, path: str, cable: Cable, phases: int, step_id: str = "tabulated-voltage-drop", sized_by: str = "") -> Step:
    title = f"Tabulated voltage drop, {'three phases' if phases == 3 else 'one phase'}"
    size = book.read("conductor-size", sized_by or of)
    if size.value is None or not is_known(cable.construction):
        return book.not_known(step_id, of, title, "m_v", "mV/A/m", "look-up",
                              size.missing or (f"{path}.construction",), size.ask or "find out the kind of cable")
    columns = cable_tables(cable)
    found = tables.voltage_drop_mv_per_a_m(book.installation.rules, str(cable.construction), columns.insulation, phases, size.value)
    return book.look_up(step_id, of, title, "m_v", found, "mV/A/m", (f"{path}.construction", size.identity), note=columns.note)


def length(book: Book, of: str, path: str, route: Sequence[Stretch]) -> Step:
    """Length of the whole route, its stretches added."""
    title = "Length of the route"
    if not route:
        return book.not_known("length", of, title, "L", "m", "fact", (path,), "measure the route")
    total = sum(stretch.length_m for stretch in route)  # type: ignore[misc]
    note = " + ".join(f"{stretch.length_m:g} m" for stretch in route) if len(route) > 1 else ""
    return book.fact("length", of, title, "L", total, "m", path, places=1, note=note)
