"""Workings: opening: how long a fault lasts, the smallest fault at the point, what it does to
people and conductors.
"""

from firstway.calculations import cable as cables
from firstway.calculations import faults
from firstway.model.installation import Circuit, Way
from firstway.model.values import is_known
from firstway.tables import looking_up as tables
from firstway.tables.reading import Gap, Read, longest_trip_time_ms, read_one
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step


@topic
def smallest_line_neutral(book: Book, circuit: Circuit) -> None:
    """Smallest short-circuit current at the point: line to neutral, conductors hot, lowest
    voltage.
    """
    if circuit.neutral is not True:
        return
    of = circuit.name
    loop = book.formula(
        "line-neutral-loop-at-point",
        of,
        "Loop of line and neutral at the charging point, conductors hot",
        faults.LINE_NEUTRAL_LOOP,
        {
            "Z_LN": book.read("line-neutral-impedance-at-origin", "board"),
            "R_f": _line_neutral_hot(book, "feed"),
            "R_c": _line_neutral_hot(book, of),
        },
        places=3,
    )
    book.formula(
        "fault-current-at-charging-point",
        of,
        "Smallest short-circuit current at the charging point, line to neutral",
        faults.FAULT_CURRENT,
        {
            "C": book.read("voltage-factor-smallest", of),
            "U_0": book.read("voltage-to-earth", of),
            "Z": loop,
        },
        places=1,
    )


@topic
def _line_neutral_hot(book: Book, of: str) -> Step:
    found = book.find("line-neutral-resistance-hot", of)
    if found:
        return found
    cold = book.formula(
        "line-neutral-resistance",
        of,
        "Line and neutral in series, at 20 °C",
        cables.LINE_NEUTRAL_RESISTANCE,
        {"r_1": book.read("line-resistance", of), "L": book.read("length", of)},
        places=4,
    )
    return book.formula(
        "line-neutral-resistance-hot",
        of,
        "The same at the operating limit",
        cables.RESISTANCE_AT_TEMPERATURE,
        {
            "R_20": cold,
            "alpha": book.read("temperature-coefficient", of),
            "t": book.read("operating-limit", of),
        },
        places=4,
    )


@topic
def disconnection_time(book: Book, circuit: Circuit, through_electrode: bool) -> None:
    """Longest time an earth fault at the point lasts, and the longest the rules allow."""
    _time(book, circuit, through_electrode)
    _time_limit(book, circuit)


@topic
def _time(book: Book, circuit: Circuit, through_electrode: bool) -> Step:
    """The shorter of what the overcurrent part and the residual part of the device are sure to
    keep.
    """
    of, title = circuit.name, "Longest time an earth fault at the charging point lasts"
    current, way = book.read("earth-fault-current", of), book.installation.way_feeding(circuit.name)
    if current.value is None:
        return book.not_known(
            "disconnection-time", of, title, "t", "s", "look-up", (current,), current.ask
        )
    rated_ma = residual_current_ma(way)
    residual = (
        _residual_time(way, rated_ma, current.value)
        if rated_ma is not None and is_known(way.delay)
        else None
    )
    needed = None if through_electrode else book.find("operating-current", of)
    if needed is not None and needed.value is not None and current.value >= needed.value:
        at_once = read_one("instantaneous_trip", "opens_within_s", standard="IEC 60898-1")
        if (
            not isinstance(residual, Read)
            or isinstance(at_once, Gap)
            or at_once.value <= residual.value
        ):
            return book.look_up(
                "disconnection-time",
                of,
                title,
                "t",
                at_once,
                "s",
                (current, needed),
                places=2,
                note=f"the fault current passes the instantaneous current of {way.name}",
            )
    if rated_ma is None or not is_known(way.delay):
        return book.not_known(
            "disconnection-time",
            of,
            title,
            "t",
            "s",
            "look-up",
            (way.rated_residual_current_ma if rated_ma is None else way.delay,),
            f"read the residual current and the delay on {way.name}",
        )
    if residual is None:
        return book.not_known(
            "disconnection-time",
            of,
            title,
            "t",
            "s",
            "look-up",
            (current,),
            "the fault current is below the residual current: nothing opens",
        )
    times, multiple = (
        current.value * 1000 / rated_ma,
        _tabulated_multiple(rated_ma, current.value),
    )
    return book.look_up(
        "disconnection-time",
        of,
        title,
        "t",
        residual,
        "s",
        (current, rated_ma, way.delay),
        places=2,
        note=(
            f"the residual current device opens: the fault is {times:.3g} times its residual"
            f" current; the table's row for {multiple:g} times is read"
        ),
    )


def opens_on_residual_current(way: Way) -> bool:
    """Whether the device of a way is one that opens on residual current, and says at which."""
    return residual_current_ma(way) is not None


def residual_current_ma(way: Way) -> float | None:
    """Rated residual current of the device of a way, in mA; None where it opens on none, or does
    not say at which.
    """
    if way.device in ("rcbo", "rcd") and is_known(way.rated_residual_current_ma):
        return way.rated_residual_current_ma
    return None


def _tabulated_multiple(rated_ma: float, current_a: float) -> float | None:
    """The largest multiple of the residual current that the tables list and the current reaches."""
    reached = current_a * 1000 / rated_ma
    return next((each for each in (5.0, 2.0, 1.0) if reached >= each), None)


def _residual_time(way: Way, rated_ma: float, current_a: float) -> Read | Gap | None:
    """Longest time in s; None where the current is too small to open it."""
    multiple = _tabulated_multiple(rated_ma, current_a)
    if multiple is None:
        return None
    found = longest_trip_time_ms(str(way.delay), multiple)
    return found if isinstance(found, Gap) else Read(found.value / 1000, found.row, found.through)


@topic
def _time_limit(book: Book, circuit: Circuit) -> Step:
    of, supply = circuit.name, book.installation.supply
    rating = book.read("device-rating", of)
    title = "Longest disconnection time by the wording of the rules"
    points = book.installation.points_of(circuit)
    electrode = any(
        is_known(point.earthed_by) and point.earthed_by not in ("supply", "separated")
        for point in points
    )
    system = "TT" if electrode else str(supply.system)
    socket = any(
        point.outlet in ("socket", "receptacle") and point.hard_wired is not True
        for point in points
    )
    if rating.value is None:
        return book.not_known(
            "disconnection-time-limit", of, title, "t", "s", "look-up", (rating,), rating.ask
        )
    found = tables.disconnection_time_s(
        book.installation.rules,
        system,
        "final",
        socket,
        rating.value,
        float(supply.line_to_earth_v),
    )
    note = (
        "hard-wired equipment above 32 A falls under the long time by wording; the short time is"
        " the advice"
        if not isinstance(found, Gap) and found.value >= 1
        else ""
    )
    return book.look_up(
        "disconnection-time-limit",
        of,
        title,
        "t",
        found,
        "s",
        (rating, supply.system, supply.line_to_earth_v),
        note=note,
    )


@topic
def touch_voltage(book: Book, circuit: Circuit, electrode: str | None) -> None:
    """What a person at the point stands against true earth, from the fault until the
    device opens.
    """
    of = circuit.name
    loop = book.read("loop-impedance", of)
    voltage = book.read("voltage-to-earth", of)
    for point in book.installation.points_of(circuit):
        title = f"Touch voltage at {point.name} against true earth, until the device opens"
        if electrode is not None:
            own = book.find("electrode-resistance", electrode) or book.read(
                "electrode-resistance-installation", of
            )
            book.formula(
                "touch-voltage",
                point.name,
                title,
                faults.TOUCH_VOLTAGE_TT,
                {
                    "U_0": voltage,
                    "R_A": own,
                    "R_p": _to_electrode(book, of, electrode),
                    "Z_s": loop,
                },
                places=0,
                note=(
                    "not 50 V: the 50 V of the electrode rule belong to the fault that just fails"
                    " to open the device"
                ),
            )
        else:
            share = _protective_share(book, of, point.name)
            step = book.formula(
                "touch-voltage",
                point.name,
                title,
                faults.TOUCH_VOLTAGE,
                {
                    "U_0": voltage,
                    "p": share,
                    "Z_e": book.read("external-loop-impedance", of),
                    "R_p": _protective_path(book, of),
                    "Z_s": loop,
                },
                places=0,
                note=_NOT_FIFTY,
            )
            if share.id == "pen-share":
                _with_band(book, step)


def _protective_share(book: Book, of: str, point: str) -> Step:
    """Share of Ze that lies in the protective path: in TN-S what the line leaves of it, with a
    combined PEN nobody knows.
    """
    title = "Share of the supply's loop that lies in its protective path"
    neutral = book.find("line-neutral-impedance-at-origin", "board")
    if (
        book.installation.supply.system == "TN-S"
        and neutral is not None
        and neutral.value is not None
    ):
        return book.formula(
            "protective-share",
            point,
            title,
            faults.PROTECTIVE_SHARE,
            {"Z_LN": neutral, "Z_e": book.read("external-loop-impedance", of)},
            places=2,
            note=(
                "the line is half of the loop of line and neutral; the rest of Ze is the protective"
                " conductor"
            ),
        )
    return book.look_up(
        "pen-share",
        point,
        title,
        "p",
        tables.open_pen("pen-share-of-ze"),
        "",
        note=(
            "assumed: the network alone knows its own; the band below is what other shares would"
            " give"
        ),
    )


def _to_electrode(book: Book, of: str, electrode: str) -> Step | float:
    """Protective conductors from the point to its electrode: none where the electrode stands at the
    point.
    """
    use = next(
        (item.use for item in book.installation.electrodes if item.name == electrode),
        "installation",
    )
    if use == "board":
        before = book.find("protective-path-hot", of)
        if before is not None:  # another point of the circuit asked
            return before
        cold = book.formula(
            "protective-alone-reading",
            of,
            "Protective conductor of the circuit alone, at 20 °C, as far as the board's electrode",
            cables.RESISTANCE_OF_LENGTH,
            {"r": book.read("protective-resistance", of), "L": book.read("length", of)},
            places=3,
        )
        return book.formula(
            "protective-path-hot",
            of,
            "The same at its operating limit",
            cables.RESISTANCE_AT_TEMPERATURE,
            {
                "R_20": cold,
                "alpha": book.read("temperature-coefficient", of),
                "t": book.read("operating-limit", of),
            },
            places=3,
        )
    return 0.0 if use == "charging-point" else _protective_path(book, of)


_NOT_FIFTY = (
    "not 50 V: until the device opens the fault divides the whole voltage; what protects is the"
    " short time"
)


def _with_band(book: Book, step: Step) -> None:
    if step.figures is None:
        return
    shares = [tables.open_pen(quantity) for quantity in ("pen-share-low", "pen-share-high")]
    low, high = (
        step.figures.formula.value({**step.figures.values, "p": share.value})
        for share in shares
        if isinstance(share, Read)
    )
    book.amend(step, low=low, high=high)


@topic
def _protective_path(book: Book, of: str) -> Step:
    found = book.find("protective-path-hot", of)
    return found or book.formula(
        "protective-path-hot",
        of,
        "Protective conductors of feed and circuit, hot",
        faults.PROTECTIVE_PATH,
        {
            "r_2f": book.read("protective-resistance", "feed"),
            "L_f": book.read("length", "feed"),
            "t_f": book.read("operating-limit", "feed"),
            "r_2c": book.read("protective-resistance", of),
            "L_c": book.read("length", of),
            "t_c": book.read("operating-limit", of),
            "alpha": book.read("temperature-coefficient", of),
        },
        places=3,
    )


@topic
def final_temperature(book: Book, circuit: Circuit) -> None:
    """Temperature of the protective conductor when the fault has been cleared."""
    of = circuit.name
    size = book.read("protective-conductor-size", of)
    energy = book.find("let-through-energy", of) or _energy(book, of)
    if energy is None or circuit.cable.protective == "armour":
        return
    constants = tables.adiabatic_constants("copper")
    if isinstance(constants, Gap):
        return
    factor = book.look_up(
        "heat-constant", of, "Constant of copper", "K", constants[0], "A.s0.5/mm2", places=0
    )
    beta = book.look_up(
        "heat-beta",
        of,
        "Reciprocal temperature coefficient of copper at 0 °C",
        "beta",
        constants[1],
        "C",
        places=1,
    )
    start = book.read("operating-limit", of)
    book.formula(
        "protective-conductor-temperature",
        of,
        "Protective conductor after the largest earth fault, from its operating limit",
        faults.FINAL_TEMPERATURE,
        {"theta_i": start, "beta": beta, "E": energy, "K": factor, "S": size},
        places=0,
    )


def _energy(book: Book, of: str) -> Step | None:
    current = book.find("largest-earth-fault-current", of)
    time = book.find("opening-time-without-data", of)
    return (
        book.formula(
            "fault-survived",
            of,
            "Energy of the largest earth fault",
            faults.ENERGY,
            {"I": current, "t": time},
            places=0,
        )
        if current and time
        else None
    )
