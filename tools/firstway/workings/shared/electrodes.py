"""Workings: electrodes: resistance, and the limit its residual current device sets."""

import math

from firstway.calculations import earthing
from firstway.model.installation import Amount, Electrode, ResidualCurrentDevice
from firstway.model.values import in_place_of, is_known
from firstway.tables import looking_up as tables
from firstway.tables.reading import Read, read_one
from firstway.wiring.upstream import device_at_path, devices_of_feed
from firstway.workings.shared.book import Book, row_read, topic
from firstway.workings.shared.step import Step

TOUCH_VOLTAGE_V = 50.0


@topic
def electrode(book: Book, item: Electrode) -> None:
    """Resistance (measured, or from rods and soil) and, where it earths something, its limit."""
    _resistance(book, item)
    if item.use in ("installation", "charging-point") or _of_board(book, item):
        _limit(book, item)


def _of_board(book: Book, item: Electrode) -> bool:
    own = book.installation.electrode_of_board
    return own is not None and own.name == item.name


@topic
def _resistance(book: Book, item: Electrode) -> None:
    of, title = item.name, "Resistance of the electrode to true earth"
    if is_known(item.resistance_ohm) or not is_known(item.rods):
        book.fact(
            "electrode-resistance",
            of,
            title,
            "R_A",
            item.resistance_ohm,
            "ohm",
            ask=f"measure the electrode '{of}'",
            places=1,
        )
        return
    metre = (
        in_place_of(item.diameter_mm, item.diameter_mm / 1000)
        if is_known(item.diameter_mm)
        else item.diameter_mm
    )
    figures: dict[str, Step | float] = {
        "rho": book.fact(
            "soil-resistivity",
            of,
            "Resistivity of the soil",
            "rho",
            item.soil_ohm_m,
            "ohm.m",
            places=0,
        ),
        "L": book.fact("rod-length", of, "Length of a rod", "L", item.length_m, "m", places=1),
        "d": book.fact("rod-diameter", of, "Diameter of a rod", "d", metre, "m", places=3),
        "pi": math.pi,
    }
    count = book.choice("rods", of, "Number of rods", "n", item.rods, "", places=0)
    if item.rods == 1:
        book.formula("electrode-resistance", of, title, earthing.ROD_RESISTANCE, figures, places=1)
        return
    one = book.formula(
        "one-rod-resistance",
        of,
        "Resistance of one rod",
        earthing.ROD_RESISTANCE,
        figures,
        places=1,
    )
    spacing = book.fact(
        "rod-spacing", of, "Distance from rod to rod", "s", item.spacing_m, "m", places=1
    )
    factor = book.look_up(
        "rods-factor",
        of,
        f"Factor for {item.rods} rods in line",
        "lambda_n",
        read_one("rods_in_line", "lambda", rods=int(item.rods)),
        "",
        (count,),
    )
    book.formula(
        "electrode-resistance",
        of,
        title,
        earthing.SEVERAL_RODS,
        {
            "R": one,
            "lambda_n": factor,
            "rho": figures["rho"],
            "pi": math.pi,
            "s": spacing,
            "n": count,
        },
        places=1,
    )


@topic
def _limit(book: Book, item: Electrode) -> None:
    of = item.name
    currents = _residual_currents(book, item)
    title = "Largest electrode resistance for the residual current device that relies on it"
    if not currents:
        book.not_known(
            "electrode-resistance-limit",
            of,
            title,
            "R",
            "ohm",
            "formula",
            (book.installation.board.ways,),
            "no residual current device relies on this electrode: find out what clears an earth"
            " fault",
        )
        return
    unknown = next((value for _, value in currents if not is_known(value)), None)
    if unknown is not None:
        book.not_known(
            "electrode-resistance-limit",
            of,
            title,
            "R",
            "ohm",
            "formula",
            (unknown,),
            "read the rated residual current on every device that relies on this electrode",
        )
        return
    known = [(name, value) for name, value in currents if is_known(value)]
    name, largest = max(known, key=lambda each: each[1])
    limit_by_residual_current(
        book,
        "electrode-resistance-limit",
        of,
        title,
        largest,
        f"Rated residual current of {name}, the largest that relies on the electrode",
    )


def limit_by_residual_current(
    book: Book,
    step_id: str,
    of: str,
    title: str,
    rated_ma: float,
    rated_title: str,
    symbol: str = "",
    note: str = "",
) -> Step:
    """The largest resistance at which a residual current device still sees 50 V as a fault; the
    printed row beside it.
    """
    current = book.fact(
        "residual-current",
        of,
        rated_title,
        "I_dn",
        in_place_of(rated_ma, rated_ma / 1000),
        "A",
        places=3,
    )
    limit = tables.electrode_limit_ohm(float(rated_ma), TOUCH_VOLTAGE_V)
    rows = (
        (row_read(limit.row, limit.value, "ohm", "the printed limit, rounded, beside it"),)
        if isinstance(limit, Read)
        else ()
    )
    return book.formula(
        step_id,
        of,
        title,
        earthing.ELECTRODE_LIMIT,
        {"U_T": TOUCH_VOLTAGE_V, "I_dn": current},
        places=0,
        rows=rows,
        symbol=symbol,
        note=note,
    )


def _residual_currents(book: Book, item: Electrode) -> list[tuple[str, Amount]]:
    """The device and its rated residual current in mA, of each that relies on the electrode."""
    installation = book.installation
    found: list[tuple[str, Amount]] = []
    for circuit in installation.circuits:
        points = installation.points_of(circuit)
        relies = (
            any(point.earthed_by == item.name for point in points)
            or item.use == "installation"
            or _of_board(book, item)
        )
        way = installation.way_feeding(circuit.name)
        ways = {each.name: each for each in installation.board.ways}
        while way.device == "circuit-breaker" and str(way.fed_from) in ways:
            way = ways[str(way.fed_from)]  # a breaker behind a residual current device
        if relies and (is_known(way.rated_residual_current_ma) or way.device in ("rcbo", "rcd")):
            found.append((way.name, way.rated_residual_current_ma))
    upstream = installation.supply.upstream_rcd
    if (item.use == "installation" or _of_board(book, item)) and is_known(upstream):
        found.append(("the upstream device", upstream.rated_residual_current_ma))
    if _of_board(book, item):
        # What stands ahead of the board opens a fault to its enclosure.
        found += [
            (name, device.rated_residual_current_ma)
            for name, _, path in devices_of_feed(installation)
            if isinstance(device := device_at_path(installation, path), ResidualCurrentDevice)
        ]
    return found
