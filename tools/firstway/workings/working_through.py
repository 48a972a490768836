"""Workings: every number of a complete installation, in the reader's order."""

from firstway.model.evidence import each, ground
from firstway.model.installation import Circuit, Installation
from firstway.model.values import is_known, key_of
from firstway.workings.bs_iec import bonding, cable, drop, fault_currents, load, loops, opening
from firstway.workings.nec import working_through as nec
from firstway.workings.shared import electrodes, heat, other_sources, sharing, supply, vehicle
from firstway.workings.shared.book import Book, Choices, topic
from firstway.workings.shared.on_asking import OnAsking
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import Workings
from firstway.workings.surge import elsewhere
from firstway.workings.surge import leads as surge_leads
from firstway.workings.surge import steps as surge
from firstway.workings.surge.waves import USUAL_SURGE, AskedSurge


def not_worked_yet(installation: Installation) -> str:
    """One line that says why this installation is not worked; "" when it is."""
    if installation.rules == "nec" and installation.supply.phases == 3:
        return (
            "three phases under the rule set 'nec' are read and checked for problems, but not"
            " worked yet"
        )
    return ""


def workings_of(
    installation: Installation, choices: Choices | None = None, plan: PlanOfBoard | None = None
) -> Workings:
    """Work the installation through.

    `choices` maps the path of each chosen size to the sizes that were rejected; `plan` is the plan
    of its board where somebody else keeps it.
    """
    with ground():
        book = Book(installation, choices or {}, plan=plan or PlanOfBoard(installation))
        if installation.rules == "nec":
            nec.work(book)
        else:
            _work(book)
        return book.workings()


def workings_for_size(installation: Installation, of: str) -> Workings:
    """Only what decides whether the cable `of` (a circuit, or the feed) is large enough: sizes are
    tried one after the other, and most fail at once.
    """
    with ground():
        book = Book(installation, {}, plan=PlanOfBoard(installation))
        _up_to_the_board(book)
        _circuits(book, of)
        return book.workings()


def workings_for_surge(installation: Installation, asked: AskedSurge = USUAL_SURGE) -> Workings:
    """Only what a surge rests on: no conductor's size is among it, so none need be chosen."""
    with ground():
        book = Book(installation, {}, plan=PlanOfBoard(installation))
        if installation.rules == "nec":
            nec.work(book, asked)
            return book.workings()
        _electrodes(book)
        for circuit in each(installation.circuits):
            cable.length(book, circuit.name, circuit.route)
        surge_leads.devices(book)
        surge.surge_work(book, asked)
        return book.workings()


def workings_on_asking(
    installation: Installation, choices: Choices | None, plan: PlanOfBoard
) -> Workings:
    """The same, for one who asks for a few steps by name: surges and what follows them are worked
    when a step is asked for that comes no earlier; where they cannot be, there is no such step.
    """
    with ground():
        book = Book(installation, choices or {}, plan=plan)
        if installation.rules == "nec":
            nec.work(book)
            return book.workings()
        _to_the_circuits(book)
        return OnAsking.begun(book.workings(), lambda: _rest_of(book))


def _rest_of(book: Book) -> Workings | None:
    try:
        with ground():
            _from_the_surge_on(book)
    except (ArithmeticError, ValueError, LookupError, TypeError):  # as of any size that is tried
        return None
    return book.workings()


def _work(book: Book) -> None:
    _to_the_circuits(book)
    _from_the_surge_on(book)


def _to_the_circuits(book: Book) -> None:
    _up_to_the_board(book)
    _circuits(book)


def _from_the_surge_on(book: Book) -> None:
    surge_leads.devices(book)
    surge.surge_work(book)
    elsewhere.devices_elsewhere(book)
    supply.broken_pen(book)
    heat.board_heat(book)
    _points_and_vehicles(book)


def _up_to_the_board(book: Book) -> None:
    _loads(book)
    _feed(book)
    supply.demand(book)
    sharing.shared_limit(book)
    sharing.one_phase_vehicles(book)
    sharing.later_points(book)
    _tails(book)
    _electrodes(book)
    fault_currents.at_the_board(book)
    bonding.bonding_at_the_board(book)
    other_sources.sources_at_the_board(book)


@topic
def _loads(book: Book) -> None:
    for circuit in each(book.installation.circuits):
        load.design_current(book, circuit)
        load.device_rating(book, circuit)
    load.feed_current(book)
    load.feed_device(book)


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
    phases = 3 if book.installation.supply.phases == 3 else 1
    device = load.device_of_feed(feed) or book.installation.supply.service_device
    cable.sizes(book, "feed", feed.cable)
    cable.length(book, "feed", feed.route)
    cable.capacity(book, "feed", feed.cable, feed.route, 3 if phases == 3 else 2, device)
    cable.feed_drop(book, phases)
    loops.conductors(book, "feed", feed.cable)


_FEED_UNKNOWN = (
    ("length", "Length of the feed", "L", "m"),
    ("voltage-drop", "Voltage drop of the feed", "V_d", "V"),
    ("line-resistance", "Resistance of the feed's line", "r_1", "ohm/km"),
    ("r1-plus-r2-reading", "Line and protective conductor of the feed in series", "R_R12", "ohm"),
    ("protective-resistance", "Resistance of the feed's protective conductor", "r_2", "ohm/km"),
    ("operating-limit", "Highest temperature of the feed's conductors", "t", "C"),
    ("temperature-coefficient", "Rise of copper's resistance for each degree", "alpha", "1/K"),
    ("r1-plus-r2-hot", "The same conductors at their operating limit", "R_t", "ohm"),
)


@topic
def _tails(book: Book) -> None:
    """The tails are judged like any cable: what they carry where they are run, behind the service
    device.
    """
    own = book.installation.supply
    if not is_known(own.cable):
        return
    book.repeat(
        book.read("service-rating", "supply"),
        "device-rating",
        "supply",
        "Rated current of the service device, ahead of the tails",
    )
    book.fact(
        "conductor-size",
        "supply",
        "Line conductor of the tails",
        "S",
        own.cable.csa_mm2,
        "mm2",
        ask="read the size on the tails",
        places=1,
    )
    cable.capacity(
        book, "supply", own.cable, own.route, 3 if own.phases == 3 else 2, own.service_device
    )


@topic
def _electrodes(book: Book) -> None:
    for item in each(book.installation.electrodes):
        electrodes.electrode(book, item)


@topic
def _circuits(book: Book, only: str = "feed") -> None:
    """Every circuit, for all hang on the feed; or one alone."""
    for circuit in each(book.installation.circuits):
        if only in (circuit.name, "feed"):
            _circuit(book, circuit)


@topic
def _circuit(book: Book, circuit: Circuit) -> None:
    of = circuit.name
    _conductors(book, circuit)
    loops.conductors(book, of, circuit.cable)
    drop.when_loaded(book, circuit)
    drop.by_resistance(book, circuit)
    _earth_faults(book, circuit)
    opening.smallest_line_neutral(book, circuit)
    fault_currents.minimum_protective_conductor(book, circuit)
    opening.final_temperature(book, circuit)


@topic
def _conductors(book: Book, circuit: Circuit) -> None:
    of = circuit.name
    cable.sizes(book, of, circuit.cable)
    cable.length(book, of, circuit.route)
    cable.capacity(
        book,
        of,
        circuit.cable,
        circuit.route,
        3 if len(circuit.lines) == 3 else 2,
        book.installation.way_feeding(of),
    )
    cable.circuit_drop(book, circuit)


@topic
def _earth_faults(book: Book, circuit: Circuit) -> None:
    electrode = loops.closes_through_electrode(book, circuit)
    loops.earth_fault_loop(book, circuit, electrode)
    opening.disconnection_time(book, circuit, electrode is not None)
    opening.touch_voltage(book, circuit, electrode)


@topic
def _points_and_vehicles(book: Book) -> None:
    for point in each(book.installation.charging_points):
        vehicle.pilot(book, point)
    for item in each(book.installation.vehicles):
        vehicle.charge(book, item)
