"""Workings: loops: resistance of the conductors, earth fault loop hot and cold, its limits and the
readings to expect.
"""

from firstway.calculations import cable as cables
from firstway.calculations import faults
from firstway.model.installation import Amount, Cable, Circuit
from firstway.model.values import is_known, path_of
from firstway.tables import looking_up as tables
from firstway.tables.reading import Gap
from firstway.workings.bs_iec.cable_tables import cable_tables
from firstway.workings.bs_iec.opening import residual_current_ma
from firstway.workings.shared.book import Book, Input, row_read, topic
from firstway.workings.shared.electrodes import limit_by_residual_current
from firstway.workings.shared.step import RowRead, Step


@topic
def conductors(book: Book, of: str, cable: Cable) -> None:
    """R1+R2 of a cable at 20 °C, and at its operating limit."""
    title = "Resistance of line and protective conductor in series, at 20 °C"
    places = 4 if of == "feed" else 3
    cold = book.formula(
        "r1-plus-r2-reading",
        of,
        title,
        cables.R1_PLUS_R2,
        {"r_1": _line(book, of), "r_2": _protective(book, of, cable), "L": book.read("length", of)},
        places=places,
        note="what a low-resistance ohmmeter should show, leads nulled",
    )
    columns = cable_tables(cable)
    limit = book.look_up(
        "operating-limit",
        of,
        "Highest temperature of the conductors in operation",
        "t",
        columns.limit,
        "C",
        (cable.insulation, cable.terminals_c),
        places=0,
        note=columns.note,
    )
    alpha = book.look_up(
        "temperature-coefficient",
        of,
        "Rise of copper's resistance for each degree",
        "alpha",
        tables.temperature_coefficient_per_k(awg=False),
        "1/K",
        places=3,
    )
    book.formula(
        "r1-plus-r2-hot",
        of,
        "The same conductors at their operating limit",
        cables.RESISTANCE_AT_TEMPERATURE,
        {"R_20": cold, "alpha": alpha, "t": limit},
        places=places,
    )


@topic
def _line(book: Book, of: str) -> Step:
    size = book.read("conductor-size", of)
    title = "Resistance of the line conductor at 20 °C, for each kilometre"
    if size.value is None:
        return book.not_known(
            "line-resistance", of, title, "r_1", "ohm/km", "look-up", (size,), size.ask
        )
    return book.look_up(
        "line-resistance",
        of,
        title,
        "r_1",
        tables.resistance_20c_ohm_per_km(size.value),
        "ohm/km",
        (size,),
        places=3,
    )


@topic
def _protective(book: Book, of: str, cable: Cable) -> Step:
    size = book.read("protective-conductor-size", of)
    title = "Resistance of the protective conductor at 20 °C, for each kilometre"
    if cable.protective == "armour":
        line = book.read("conductor-size", of)
        if is_known(cable.cores) and line.value is not None:
            return book.look_up(
                "protective-resistance",
                of,
                title + ": the armour",
                "r_2",
                tables.armour_resistance_20c_ohm_per_km(int(cable.cores), line.value),
                "ohm/km",
                (line, cable.cores),
                places=3,
            )
        return book.not_known(
            "protective-resistance",
            of,
            title,
            "r_2",
            "ohm/km",
            "look-up",
            (line if line.value is None else cable.cores,),
            line.ask or "count the cores",
        )
    if size.value is None:
        return book.not_known(
            "protective-resistance", of, title, "r_2", "ohm/km", "look-up", (size,), size.ask
        )
    return book.look_up(
        "protective-resistance",
        of,
        title,
        "r_2",
        tables.resistance_20c_ohm_per_km(size.value),
        "ohm/km",
        (size,),
        places=3,
    )


def closes_through_electrode(book: Book, circuit: Circuit) -> str | None:
    """Name of the electrode an earth fault at the circuit's points returns through; None in a TN
    loop.
    """
    installation = book.installation
    for point in installation.points_of(circuit):
        if is_known(point.earthed_by) and point.earthed_by not in ("supply", "separated"):
            return str(point.earthed_by)
    if installation.supply.system == "TT":
        if _earth_not_told(book, circuit):
            return ""
        return next(
            (item.name for item in installation.electrodes if item.use == "installation"), ""
        )
    return None


def _earth_not_told(book: Book, circuit: Circuit) -> tuple[Input, str] | None:
    """Key and question, where the file leaves open through what an earth fault at a point
    returns.
    """
    for point in book.installation.points_of(circuit):
        if not is_known(point.earthed_by):
            return (
                point.earthed_by,
                f"find out what earths {point.name}: the supply or an electrode",
            )
        if point.earthed_by == "separated":
            return (
                path_of(point, "earthed_by"),
                f"{point.name} has a separated supply: its designer states how a fault is cleared",
            )
    return None


@topic
def earth_fault_loop(book: Book, circuit: Circuit, electrode: str | None) -> None:
    """The loop hot with its limit, the reading to expect cold with its limit, and the smallest
    earth fault current.
    """
    if electrode is None:
        _loop_tn(book, circuit)
    else:
        _loop_through_electrode(book, circuit, electrode)
    _limit(book, circuit, electrode)
    _reading_limit(book, circuit, electrode)
    _earth_fault_current(book, circuit)


_LOOP = "Earth fault loop impedance at the charging point, conductors hot"
_READING = "Loop impedance a tester should show, conductors at 20 °C"


@topic
def _loop_tn(book: Book, circuit: Circuit) -> None:
    of = circuit.name
    external = _external(book, circuit)
    book.formula(
        "loop-impedance",
        of,
        _LOOP,
        faults.LOOP_IMPEDANCE,
        {
            "Z_e": external,
            "R_f": book.read("r1-plus-r2-hot", "feed"),
            "R_c": book.read("r1-plus-r2-hot", of),
        },
        places=3,
    )
    book.formula(
        "loop-impedance-reading",
        of,
        _READING,
        faults.LOOP_IMPEDANCE,
        {
            "Z_e": external,
            "R_f": book.read("r1-plus-r2-reading", "feed"),
            "R_c": book.read("r1-plus-r2-reading", of),
        },
        places=3,
    )


def _external(book: Book, circuit: Circuit) -> Step:
    """Ze; not known while the file leaves open whether the fault returns through it."""
    of, title, symbol = (
        circuit.name,
        "Loop impedance of the supply, outside the installation",
        "Z_e",
    )
    open_question = _earth_not_told(book, circuit)
    if open_question:
        key, ask = open_question
        return book.not_known(
            "external-loop-impedance", of, title, symbol, "ohm", "fact", (key,), ask
        )
    return _of_the_source(
        book,
        "line-earth",
        "external-loop-impedance",
        of,
        title,
        symbol,
        book.installation.supply.ze_ohm,
        "measure Ze at the origin, or ask the distributor",
        2,
    )


def _of_the_source(
    book: Book,
    which: str,
    step_id: str,
    of: str,
    title: str,
    symbol: str,
    given: Amount,
    ask: str,
    places: int,
) -> Step:
    """An impedance of the source as the file gives it, else as worked from the current of the same
    fault.
    """
    worked = book.find(f"{which}-impedance-at-origin", "board")
    if worked is not None and worked.kind == "formula":
        return book.repeat(
            worked,
            step_id,
            of,
            title,
            symbol,
            note="the file gives the current of this fault at the origin, not its loop",
        )
    return book.fact(step_id, of, title, symbol, given, "ohm", ask=ask, places=places)


@topic
def _loop_through_electrode(book: Book, circuit: Circuit, electrode: str) -> None:
    of, supply = circuit.name, book.installation.supply
    loop = _of_the_source(
        book,
        "line-neutral",
        "line-neutral-loop",
        of,
        "Loop of line and neutral of the supply",
        "Z_LN",
        supply.line_neutral_loop_ohm,
        "measure the loop of line and neutral at the origin",
        3,
    )
    half = book.formula(
        "supply-line-impedance",
        of,
        "The supply's line alone",
        faults.HALF_LOOP,
        {"Z_LN": loop},
        places=3,
    )
    if electrode:
        own = book.read("electrode-resistance", electrode)
    else:
        own = book.not_known(
            "electrode-resistance-installation",
            of,
            "Electrode of the installation",
            "R_A",
            "ohm",
            "fact",
            (book.installation.electrodes,),
            "name the electrode of the installation and measure it",
        )
    far = book.fact(
        "source-electrode",
        of,
        "Electrode of the source",
        "R_B",
        supply.source_electrode_ohm,
        "ohm",
        ask="measure the loop with a tester, or ask the distributor",
        places=1,
    )
    item = book.installation.electrode(electrode) if electrode else None
    use = item.use if item is not None else "installation"
    # Where the return leaves the cables for the soil, the line alone is counted from there on.
    alone = {"charging-point": ("feed", of), "board": ("feed",)}.get(str(use), ())
    for cable in alone:
        line_alone(book, cable)
    for step_id, title, state in (
        ("loop-impedance", _LOOP, "hot"),
        ("loop-impedance-reading", _READING, "reading"),
    ):
        feed, own_cable = (
            book.read(f"{'line-alone' if each in alone else 'r1-plus-r2'}-{state}", each)
            for each in ("feed", of)
        )
        book.formula(
            step_id,
            of,
            title,
            faults.LOOP_IMPEDANCE_TT,
            {
                "Z_l": half,
                "R_f": feed,
                "R_c": own_cable,
                "R_A": own,
                "R_B": far,
            },
            places=1,
        )


@topic
def line_alone(book: Book, of: str) -> None:
    """The line conductor alone: the return runs through an electrode behind it, not through the
    cable.
    """
    if book.find("line-alone-reading", of):
        return
    cold = book.formula(
        "line-alone-reading",
        of,
        "Line conductor alone, at 20 °C: the return runs through the electrode behind it",
        cables.RESISTANCE_OF_LENGTH,
        {"r": book.read("line-resistance", of), "L": book.read("length", of)},
        places=4,
    )
    book.formula(
        "line-alone-hot",
        of,
        "The same at its operating limit",
        cables.RESISTANCE_AT_TEMPERATURE,
        {
            "R_20": cold,
            "alpha": book.read("temperature-coefficient", of),
            "t": book.read("operating-limit", of),
        },
        places=4,
    )


@topic
def _limit(book: Book, circuit: Circuit, electrode: str | None) -> None:
    of = circuit.name
    way = book.installation.way_feeding(of)
    title = "Largest loop impedance at which the device still opens in time"
    if electrode is not None and (rated_ma := residual_current_ma(way)) is not None:
        limit_by_residual_current(
            book,
            "loop-impedance-limit",
            of,
            title,
            rated_ma,
            f"Rated residual current of {way.name}, the device of the circuit",
            "Z_max",
            "the loop closes through an electrode: the residual current device clears it",
        )
        return
    if electrode is not None:
        limit = book.find("electrode-resistance-limit", electrode)
        if limit is not None:
            book.repeat(
                limit,
                "loop-impedance-limit",
                of,
                title,
                "Z_max",
                "the loop closes through an electrode: the residual current device clears it",
            )
            return
        book.not_known(
            "loop-impedance-limit",
            of,
            title,
            "Z_max",
            "ohm",
            "formula",
            (way.path,),
            "the loop closes through an electrode: name it and a residual current device",
        )
        return
    rating = book.read("device-rating", of)
    if not is_known(way.curve):
        book.not_known(
            "loop-impedance-limit",
            of,
            title,
            "Z_max",
            "ohm",
            "formula",
            (way.curve,),
            "read the curve on the device",
        )
        return
    multiple = book.look_up(
        "trip-multiple",
        of,
        f"Multiple of In at which a curve {way.curve} device is sure to open at once",
        "m",
        tables.trip_multiple(str(way.curve)),
        "",
        (way.curve,),
        places=0,
    )
    current = book.formula(
        "operating-current",
        of,
        "Current that opens the device at once",
        faults.OPERATING_CURRENT,
        {"m": multiple, "I_n": rating},
        places=0,
    )
    rows: tuple[RowRead, ...] = ()
    if rating.value is not None:
        printed = tables.tabulated_zs_ohm(str(way.standard), str(way.curve), rating.value, 0.4)
        if not isinstance(printed, Gap):
            rows = tuple(
                row_read(row, printed.value, "ohm", "the printed limit beside it")
                for row in (printed.row,)
            )
    book.formula(
        "loop-impedance-limit",
        of,
        title,
        faults.LOOP_LIMIT,
        {"C_min": _lowest(book, of), "U_0": _voltage(book, of), "I_a": current},
        places=2,
        rows=rows,
    )


@topic
def _voltage(book: Book, of: str) -> Step:
    found = book.find("voltage-to-earth", of)
    return found or book.fact(
        "voltage-to-earth",
        of,
        "Voltage to earth",
        "U_0",
        book.installation.supply.line_to_earth_v,
        "V",
        places=0,
    )


@topic
def _lowest(book: Book, of: str) -> Step:
    found = book.find("voltage-factor-smallest", of)
    return found or book.look_up(
        "voltage-factor-smallest",
        of,
        "Factor for the lowest voltage",
        "C_min",
        tables.voltage_factor("c_min"),
        "",
    )


@topic
def _reading_limit(book: Book, circuit: Circuit, electrode: str | None) -> None:
    of = circuit.name
    limit = book.read("loop-impedance-limit", of)
    if electrode is not None:
        # The factor makes room for copper that warms with its load; nearly all of this loop is
        # soil, which does not.
        book.repeat(
            limit,
            "loop-impedance-reading-limit",
            of,
            "Largest reading that still agrees with the limit",
            "Z_r",
            "the limit itself, without the factor for warm conductors: the loop closes through an"
            " electrode, and soil does not warm with the load; what matters is the season, for dry"
            " or frozen ground raises the reading: leave room for it",
        )
        return
    factor = book.look_up(
        "reading-factor",
        of,
        "Factor for a reading taken with cold conductors",
        "f",
        tables.reading_factor(),
        "",
    )
    book.formula(
        "loop-impedance-reading-limit",
        of,
        "Largest reading that still agrees with the limit when the conductors are hot",
        faults.READING_LIMIT,
        {"f": factor, "Z_max": limit},
        places=2,
    )


@topic
def _earth_fault_current(book: Book, circuit: Circuit) -> None:
    of = circuit.name
    book.formula(
        "earth-fault-current",
        of,
        "Smallest earth fault current at the charging point",
        faults.FAULT_CURRENT,
        {"C": _lowest(book, of), "U_0": _voltage(book, of), "Z": book.read("loop-impedance", of)},
        places=1,
    )
