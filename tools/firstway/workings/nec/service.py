"""Workings: nec service: load of each charging point, demand on each line, what the service has
left.
"""

from firstway.calculations import nec as formulas
from firstway.model.installation import LINES, ChargingPoint, Circuit
from firstway.model.values import is_known, key_of
from firstway.tables import looking_up_nec as tables
from firstway.workings.nec.cable import circuit_voltage
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step
from firstway.workings.shared.supply import limited_to
from firstway.workings.shared.vehicle import point_current

LEAST_LOAD_SINCE = 2023


@topic
def demand_on_each_line(book: Book) -> None:
    """Maximum demand by line, the same from a record at 125 %, and the spare capacity of the
    service.
    """
    installation = book.installation
    lines = LINES[:2]
    for circuit in installation.circuits:
        for point in installation.points_of(circuit):
            _charging_load(book, circuit, point)
    points = {line: _points_on(book, line) for line in lines}
    existing = {line: _existing(book, line) for line in lines}
    each = [_demand_on(book, line, existing[line], points[line]) for line in lines]
    largest = _larger(
        book,
        "maximum-demand",
        "Maximum demand with the new points, on the line that carries more",
        each,
    )
    loads = installation.existing_load
    limited = any(limited_to(installation, line) is not None for line in lines)
    if is_known(loads) and loads.basis == "measured" and not limited:
        _from_record(book, lines, existing, points)
    rating = book.fact(
        "service-rating",
        "supply",
        "Rating of the service device",
        "I_n",
        key_of(installation.supply.service_device, "rating_a"),
        "A",
        ask="read the rating of the service device",
        places=0,
    )
    counted = book.find("service-load", "supply") or largest
    short = rating.value is not None and counted.value is not None and rating.value < counted.value
    book.formula(
        "spare-capacity",
        "supply",
        "What the service device has left",
        formulas.SPARE,
        {"I_n": rating, "I_max": counted},
        places=1,
        note=(
            "less than nothing: a smaller setting, an energy management system or a larger service"
            if short
            else ""
        ),
    )


@topic
def _charging_load(book: Book, circuit: Circuit, point: ChargingPoint) -> None:
    """Load of a point in volt-amperes and in ampere; not below 7200 VA from the edition that says
    so.
    """
    of, voltage = point.name, circuit_voltage(book, circuit)
    title = "Load of the charging point in the service calculation"
    figures: dict[str, Step | float] = {"U": voltage, "I": point_current(book, point)}
    if int(book.installation.edition) >= LEAST_LOAD_SINCE:
        least = book.look_up(
            "charging-load-least",
            of,
            "Least load counted for a charging point",
            "S_least",
            tables.charging_load_least_va(),
            "VA",
            (book.installation.edition,),
            places=0,
        )
        note = (
            "moved to Article 120 in 2026: read the adopted text"
            if book.installation.edition == "2026"
            else ""
        )
        load = book.formula(
            "charging-load",
            of,
            title,
            formulas.CHARGING_LOAD,
            {"S_least": least, **figures},
            places=0,
            note=note,
        )
    else:
        load = book.formula(
            "charging-load",
            of,
            title,
            formulas.CHARGING_LOAD_AT_SETTING,
            figures,
            places=0,
            note=(
                f"edition {book.installation.edition} names no least load for a charging point"
                " (220.57 came in 2023)"
            ),
        )
    book.formula(
        "charging-load-current",
        of,
        "The same as a current on each of its lines",
        formulas.CHARGING_LOAD_CURRENT,
        {"S_p": load, "U": voltage},
        places=1,
    )


@topic
def _points_on(book: Book, line: str) -> Step:
    steps = [
        book.read("charging-load-current", point.name)
        for circuit in book.installation.circuits
        if line in circuit.lines
        for point in book.installation.points_of(circuit)
    ]
    limit = limited_to(book.installation, line)
    note = (
        "an energy management system counts in the whole demand, below" if limit is not None else ""
    )
    return book.total(
        f"points-on-{line}",
        "supply",
        f"New points on {line}",
        "I_p",
        steps,
        "A",
        "sum of the points, no diversity",
        places=1,
        note=note,
    )


@topic
def _existing(book: Book, line: str) -> Step:
    return book.fact(
        f"existing-demand-{line}",
        "supply",
        f"Demand of the existing installation on {line}",
        "I_e",
        key_of(key_of(book.installation.existing_load, line), "maximum_demand_a"),
        "A",
        ask=f"record the demand on {line}, or calculate it by Article 220",
        places=1,
    )


@topic
def _demand_on(book: Book, line: str, existing: Step, points: Step) -> Step:
    limit, title = limited_to(book.installation, line), f"Maximum demand on {line}"
    total = (
        existing.value + points.value
        if existing.value is not None and points.value is not None
        else None
    )
    if limit is not None and total is not None and total > limit:
        return book.fact(
            f"maximum-demand-{line}",
            "supply",
            title,
            f"I_{line}",
            limit,
            "A",
            places=1,
            note=f"an energy management system (750.30) holds {total:g} A below this",
        )
    return book.formula(
        f"maximum-demand-{line}",
        "supply",
        title,
        formulas.DEMAND,
        {"I_e": existing, "I_p": points},
        places=1,
    )


def _from_record(
    book: Book, lines: tuple[str, ...], existing: dict[str, Step], points: dict[str, Step]
) -> None:
    factor = book.look_up(
        "existing-demand-factor",
        "supply",
        "Factor on a recorded maximum demand",
        "f_e",
        tables.existing_demand_factor(),
        "",
    )
    each = [
        book.formula(
            f"service-load-{line}",
            "supply",
            f"Load on {line}, the record counted at 125 %",
            formulas.DEMAND_FROM_RECORD,
            {"f_e": factor, "I_e": existing[line], "I_p": points[line]},
            places=1,
        )
        for line in lines
    ]
    _larger(
        book, "service-load", "Load the service is judged by, on the line that carries more", each
    )


def _larger(book: Book, step_id: str, title: str, each: list[Step]) -> Step:
    return book.formula(
        step_id, "supply", title, formulas.LARGER_LINE, {"I_L1": each[0], "I_L2": each[1]}, places=1
    )
