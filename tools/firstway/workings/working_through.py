"""Workings: every number of a complete installation, in the reader's order."""

from __future__ import annotations

from firstway.model.installation import Circuit, Installation
from firstway.model.values import is_known
from firstway.workings import cable, drop, electrodes, fault_currents, heat, load, loops, nec, opening, supply, surge, surge_leads, vehicle
from firstway.workings.book import Book, Choices
from firstway.workings.step import Workings


def not_worked_yet(installation: Installation) -> str:
    """One line that says why this installation is not worked; "" when it is."""
    if installation.rules == "nec" and installation.supply.phases == 3:
        return "three phases under the rule set 'nec' are read and checked for problems, but not worked yet"
    return ""


def workings_of(installation: Installation, choices: Choices | None = None) -> Workings:
    """Work the installation through. `choices` maps the path of each chosen size to the sizes that were rejected."""
    book = Book(installation, choices or {})
    if installation.rules == "nec":
        nec.work(book)
        return book.workings()
    for circuit in installation.circuits:
        load.design_current(book, circuit)
        load.device_rating(book, circuit)
    load.feed_current(book)
    load.feed_device(book)
    _feed(book)
    supply.demand(book)
    for item in installation.electrodes:
        electrodes.electrode(book, item)
    fault_currents.at_the_board(book)
    for circuit in installation.circuits:
        _circuit(book, circuit)
    for way in installation.board.ways:
        if way.device == "spd":
            surge_leads.lead_length(book, way)
            surge_leads.effective_protection_level(book, way)
    surge.work(book)
    supply.open_pen(book)
    heat.board_heat(book)
    for point in installation.charging_points:
        vehicle.pilot(book, point)
    for item in installation.vehicles:
        vehicle.charge(book, item)
    return book.workings()


def _feed(book: Book) -> None:
    feed = book.installation.feed
    phases = 3 if book.installation.supply.phases == 3 else 1
    if not is_known(feed) or not is_known(feed.cable):
        for step_id, title, symbol, unit in _FEED_UNKNOWN:
            book.not_known(step_id, "feed", title, symbol, unit, "fact", ("feed",), "find out how the board is fed: cable, size, length")
        return
    cable.sizes(book, "feed", "feed.cable", feed.cable)
    cable.length(book, "feed", "feed.route", feed.route)
    cable.capacity(book, "feed", "feed.cable", feed.cable, feed.route, 3 if phases == 3 else 2, _standard_ahead_of_feed(book))
    cable.feed_drop(book, phases)
    loops.conductors(book, "feed", "feed.cable", feed.cable)


_FEED_UNKNOWN = (
    ("length", "Length of the feed", "L", "m"), ("voltage-drop", "Voltage drop of the feed", "V_d", "V"),
    ("line-resistance", "Resistance of the feed's line", "r_1", "ohm/km"),
    ("r1-plus-r2-reading", "Line and protective conductor of the feed in series", "R_R12", "ohm"),
    ("protective-resistance", "Resistance of the feed's protective conductor", "r_2", "ohm/km"),
    ("operating-limit", "Highest temperature of the feed's conductors", "t", "C"),
    ("temperature-coefficient", "Rise of copper's resistance for each degree", "alpha", "1/K"),
    ("r1-plus-r2-hot", "The same conductors at their operating limit", "R_t", "ohm"),
)


def _standard_ahead_of_feed(book: Book) -> str:
    feed = book.installation.feed
    devices = [item for item in feed.through if not isinstance(item, str)] if is_known(feed) else []
    device = devices[-1] if devices else book.installation.supply.service_device
    return str(device.standard) if is_known(device) else ""


def _circuit(book: Book, circuit: Circuit) -> None:
    path = f"circuits.{circuit.name}.cable"
    way = book.installation.way_feeding(circuit.name)
    cable.sizes(book, circuit.name, path, circuit.cable)
    cable.length(book, circuit.name, f"circuits.{circuit.name}.route", circuit.route)
    cable.capacity(book, circuit.name, path, circuit.cable, circuit.route, 3 if len(circuit.lines) == 3 else 2, str(way.standard))
    cable.circuit_drop(book, circuit)
    loops.conductors(book, circuit.name, path, circuit.cable)
    drop.when_loaded(book, circuit)
    drop.by_resistance(book, circuit)
    loops.earth_fault_loop(book, circuit)
    electrode = loops.closes_through_electrode(book, circuit)
    opening.disconnection_time(book, circuit, electrode is not None)
    opening.touch_voltage(book, circuit, electrode)
    opening.smallest_line_neutral(book, circuit)
    fault_currents.minimum_protective_conductor(book, circuit)
    opening.final_temperature(book, circuit)
