"""Workings: nec: every step of an installation under rule set nec, in the reader's order."""

from firstway.calculations import nec as formulas
from firstway.model.installation import ChargingPoint, Circuit
from firstway.model.values import is_known, key_of
from firstway.tables import looking_up_nec as tables
from firstway.tables.looking_up import rating_not_below_a
from firstway.workings.bs_iec import cable, load
from firstway.workings.nec import cable as nec_cable
from firstway.workings.nec import faults as nec_faults
from firstway.workings.nec import service as nec_service
from firstway.workings.shared import vehicle
from firstway.workings.shared.book import Book, topic
from firstway.workings.surge import leads as surge_leads
from firstway.workings.surge import steps as surge
from firstway.workings.surge.waves import USUAL_SURGE, AskedSurge


def work(book: Book, asked: AskedSurge = USUAL_SURGE) -> None:
    """Load and device, feed, service, faults, each circuit, surge leads, pilot and charge."""
    installation = book.installation
    for circuit in installation.circuits:
        _design_current(book, circuit)
        _continuous(book, circuit.name)
        _next_rating(book, circuit.name)
        load.device_rating(book, circuit)
    load.feed_current(book)
    _continuous(book, "feed")
    load.feed_device(book)
    _feed(book)
    nec_service.demand_on_each_line(book)
    nec_faults.at_the_lugs(book)
    for circuit in installation.circuits:
        _circuit(book, circuit)
    surge_leads.devices(book, formulas.NEC_LEAD_LENGTH, "ground")
    surge.surge_work(book, asked)
    for point in installation.charging_points:
        vehicle.pilot(book, point)
    for item in installation.vehicles:
        vehicle.charge(book, item)


@topic
def _design_current(book: Book, circuit: Circuit) -> None:
    """Ib of the circuit: the set current of its points, or worked from the power of one."""
    points = book.installation.points_of(circuit)
    if len(points) == 1 and not is_known(points[0].current_a):
        _from_power(book, circuit, points[0])
    else:
        load.design_current(book, circuit)


def _from_power(book: Book, circuit: Circuit, point: ChargingPoint) -> None:
    power = book.fact("power", point.name, "Power of the charging point", "P", point.power_kw, "kW")
    book.formula(
        "design-current",
        circuit.name,
        "Design current: what the charging point draws, hour after hour",
        formulas.DESIGN_CURRENT,
        {"P": power, "U": nec_cable.circuit_voltage(book, circuit)},
    )


@topic
def _continuous(book: Book, of: str) -> None:
    """125 % of the load: a charging point draws its full current for three hours and more."""
    load = book.read("design-current", of)
    factor = book.look_up(
        "continuous-load-factor",
        of,
        "Factor on a continuous load",
        "f_c",
        tables.continuous_load_factor(),
        "",
        (load,),
    )
    book.formula(
        "continuous-load-current",
        of,
        "Continuous load at 125 %: the least the device and the conductor are chosen for",
        formulas.CONTINUOUS_LOAD,
        {"f_c": factor, "I_b": load},
    )


@topic
def _next_rating(book: Book, of: str) -> None:
    way = book.installation.way_feeding(of)
    current = book.read("continuous-load-current", of)
    title = "Next standard rating not below 125 % of the load"
    if current.value is None:
        book.not_known(
            "next-standard-rating", of, title, "I_n", "A", "look-up", (current,), current.ask
        )
        return
    if not is_known(way.standard):
        book.not_known(
            "next-standard-rating",
            of,
            title,
            "I_n",
            "A",
            "look-up",
            (way.standard,),
            f"read the standard on {way.name}",
        )
        return
    found = rating_not_below_a(way.device, str(way.standard), current.value)
    book.look_up(
        "next-standard-rating",
        of,
        title,
        "I_n",
        found,
        "A",
        (current, way.device, way.standard),
        places=0,
    )


@topic
def _feed(book: Book) -> None:
    feed = book.installation.feed
    if not is_known(feed) or not is_known(feed.cable):
        for step_id, title, symbol, unit in _FEED_UNKNOWN:
            book.not_known(
                step_id,
                "feed",
                title,
                symbol,
                unit,
                "fact",
                (key_of(feed, "cable"),),
                "find out how the board is fed: cable, size, length",
            )
        return
    near = nec_cable.LugEnd("the feed's device", feed.cable.terminals_c)
    far = nec_cable.LugEnd(
        "the board's lugs", key_of(book.installation.board.assembly, "terminals_c")
    )
    nec_cable.awg_sizes(book, "feed", feed.cable)
    cable.length(book, "feed", feed.route)
    nec_cable.ampacity(book, "feed", feed.cable, feed.route, near, far)
    nec_cable.resistances(book, "feed")
    nec_cable.grounding_conductor(book, "feed")
    nec_cable.feeder_drop(book)


_FEED_UNKNOWN = (
    ("length", "Length of the feed", "L", "m"),
    ("corrected-capacity", "Ampacity of the feed where it is run", "I_z", "A"),
    ("terminal-capacity", "Ampacity of the feed at its terminals", "I_col", "A"),
    ("largest-device", "Largest device that protects the feed", "I_max", "A"),
    ("line-resistance-75", "Resistance of the feed's line at 75 °C", "r_75", "ohm/km"),
    ("line-resistance", "Resistance of the feed's line at 20 °C", "r_1", "ohm/km"),
    (
        "r1-plus-r2-reading",
        "Line and equipment grounding conductor of the feed in series",
        "R_R12",
        "ohm",
    ),
    ("r1-plus-r2-hot", "The same conductors at 75 °C", "R_R12", "ohm"),
    ("voltage-drop", "Voltage drop of the feed", "V_d", "V"),
    ("protective-conductor-size", "Equipment grounding conductor of the feed", "S_p", "mm2"),
    (
        "minimum-protective-conductor",
        "Smallest equipment grounding conductor of the feed",
        "S_t",
        "mm2",
    ),
)


@topic
def _circuit(book: Book, circuit: Circuit) -> None:
    of, own = circuit.name, circuit.cable
    way = book.installation.way_feeding(of)
    near = nec_cable.LugEnd(way.name, way.terminals_c)
    far = nec_cable.LugEnd("the charging point", own.terminals_c)
    nec_cable.awg_sizes(book, of, own)
    cable.length(book, of, circuit.route)
    nec_cable.ampacity(book, of, own, circuit.route, near, far)
    nec_cable.resistances(book, of)
    nec_cable.grounding_conductor(book, of)
    nec_cable.branch_drop(book, circuit)
    nec_faults.ground_fault_loop(book, of)
