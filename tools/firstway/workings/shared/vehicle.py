"""Workings: vehicle: energy and time of a charge, and what the pilot signal says."""

from firstway.calculations import load as formulas
from firstway.model.installation import ChargingPoint, Vehicle
from firstway.model.values import is_known
from firstway.tables.reading import Gap, Read, Row, pilot_circuit, table
from firstway.workings.shared.book import Book, row_read, topic
from firstway.workings.shared.step import Step


@topic
def charge(book: Book, vehicle: Vehicle) -> None:
    """Energy taken from the board, power of the charge and its time."""
    of = vehicle.name
    fact = lambda step_id, title, symbol, key, unit: book.fact(
        step_id,
        of,
        title,
        symbol,
        getattr(vehicle, key),
        unit,
        ask=f"ask for '{key}' of the vehicle",
        places=1,
    )
    energy = book.formula(
        "charge-energy",
        of,
        "Energy the charge takes from the board",
        formulas.CHARGE_ENERGY,
        {
            "W_b": fact("battery", "Energy the battery holds", "W_b", "battery_kwh", "kWh"),
            "p_1": fact("charge-from", "Charge at the start", "p_1", "from_percent", "percent"),
            "p_2": fact("charge-to", "Charge at the end", "p_2", "to_percent", "percent"),
            "eta": fact(
                "efficiency",
                "Share that reaches the battery",
                "eta",
                "efficiency_percent",
                "percent",
            ),
        },
        places=1,
    )
    own = fact(
        "vehicle-charger",
        "Power the vehicle's own charger takes",
        "P_c",
        "on_board_charger_kw",
        "kW",
    )
    book.formula(
        "charge-time",
        of,
        "Time of the charge at full power",
        formulas.CHARGE_TIME,
        {"W": energy, "P": _power(book, vehicle), "P_c": own},
        places=1,
        note="batteries slow the charge toward full: a real charge takes longer",
    )


def _power(book: Book, vehicle: Vehicle) -> Step:
    installation, of = book.installation, vehicle.name
    point = installation.point(str(vehicle.at))
    supply = installation.supply
    current = point_current(book, point)
    lines = (
        min(len(point.lines), int(vehicle.phases)) if is_known(vehicle.phases) else len(point.lines)
    )
    title = "Power the point can give this vehicle"
    between = installation.rules == "nec" and len(point.lines) == 2
    volts = supply.line_to_line_v if lines == 3 or between else supply.line_to_earth_v
    voltage = book.fact(
        "charging-voltage", of, "Voltage the charge runs at", "U", volts, "V", places=0
    )
    formula = formulas.POWER_THREE_PHASE if lines == 3 else formulas.POWER_ONE_PHASE
    return book.formula("charging-power", of, title, formula, {"U": voltage, "I": current})


@topic
def point_current(book: Book, point: ChargingPoint) -> Step:
    """Set current of a point, once for the point."""
    found = book.find("set-current", point.name)
    if found:
        return found
    if is_known(point.current_a):
        return book.fact(
            "set-current",
            point.name,
            "Set current of the point",
            "I",
            point.current_a,
            "A",
            places=1,
        )
    circuit = next(
        circuit for circuit in book.installation.circuits if point.name in circuit.supplies
    )
    return book.repeat(
        book.read("design-current", circuit.name),
        "set-current",
        point.name,
        "Set current of the point",
        "I",
    )


@topic
def pilot(book: Book, point: ChargingPoint) -> None:
    """Share of on-time the pilot offers for the set current, and the voltages of its states."""
    of = point.name
    current = point_current(book, point)
    title = "Share of on-time by which the pilot offers the set current"
    if current.value is None:
        book.not_known("pilot-duty", of, title, "D", "percent", "formula", (current,), current.ask)
        return
    law = _law(current.value)
    if law is None:
        book.not_known(
            "pilot-duty",
            of,
            title,
            "D",
            "percent",
            "formula",
            (current,),
            "the pilot offers 6 A to 80 A: choose a current in that range",
        )
        return
    slope, offset = law.number("slope_a_per_percent"), law.number("offset_percent")
    read = book.look_up(
        "pilot-law",
        of,
        "Ampere for each per cent of on-time",
        "a",
        Read(slope, law),
        "A",
        (current,),
        places=1,
    )
    if offset:
        duty = book.formula(
            "pilot-duty",
            of,
            title,
            formulas.PILOT_DUTY_HIGH,
            {"I": current, "a": read, "b": offset},
            places=2,
        )
    else:
        duty = book.formula(
            "pilot-duty", of, title, formulas.PILOT_DUTY, {"I": current, "a": read}, places=2
        )
    book.formula(
        "pilot-current",
        of,
        "And back: the current a vehicle reads from that share of on-time",
        formulas.PILOT_CURRENT,
        {"a": read, "D": duty, "b": offset},
        places=1,
    )
    _states(book, of)


def _law(current: float) -> Row | None:
    """The stretch of the duty law that offers a current; the lower one where two meet."""
    for row in table("pilot_law").rows:
        slope = row.number_or_none("slope_a_per_percent")
        if slope:
            low, high = (
                slope * (row.number(column) - row.number("offset_percent"))
                for column in ("duty_from_percent", "duty_up_to_percent")
            )
            if low <= current <= high:
                return row
    return None


def _states(book: Book, of: str) -> None:
    read = {
        key: pilot_circuit(key) for key in ("source-v", "source-ohm", "diode-v", "vehicle-b-ohm")
    }
    states = {row.text("state"): row for row in table("pilot_state").rows}
    if any(isinstance(found, Gap) for found in read.values()):
        return
    steps = {
        key: book.look_up(f"pilot-{key}", of, title, symbol, read[key], unit)
        for key, title, symbol, unit in (
            ("source-v", "Pilot voltage of the point, unloaded", "U_s", "V"),
            ("source-ohm", "Resistance of the pilot source", "R_s", "ohm"),
            ("diode-v", "Voltage of the vehicle's diode", "U_d", "V"),
        )
    }
    for state, words in (
        ("B", "connected, not ready"),
        ("C", "ready"),
        ("D", "ready, with ventilation"),
    ):
        row = states[state]
        resistance = book.look_up(
            f"pilot-resistance-{state}",
            of,
            f"Resistance of the vehicle in state {state}",
            "R",
            Read(row.number("resistance_ohm"), row),
            "ohm",
            places=0,
        )
        book.formula(
            f"pilot-voltage-{state}",
            of,
            f"Upper level of the pilot in state {state}: {words}",
            formulas.PILOT_VOLTAGE,
            {
                "U_s": steps["source-v"],
                "U_d": steps["diode-v"],
                "R": resistance,
                "R_s": steps["source-ohm"],
            },
            places=1,
            rows=(
                row_read(
                    row,
                    row.number("high_v"),
                    "V",
                    f"the nominal level, within {row.text('tolerance_v')} V",
                ),
            ),
        )
