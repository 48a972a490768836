"""Workings: surge: the devices that stand elsewhere than in the new board, and what each of two
that follow one another takes of a surge.

The one ahead is driven with the current it is rated for; the second, a cable further on, takes what
the first and the cable leave. Illustrative as every run: nothing here passes a pair, its makers do.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from firstway.calculations import surge_law
from firstway.calculations.surge import GapLaw, Refused, SurgeCase, SurgeSource, Varistor, refusal
from firstway.frozen import dataclass
from firstway.model.evidence import each
from firstway.model.installation import Amount, Circuit, Installation, SurgeDeviceElsewhere, Way
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up import impulse_charge_as, lightning_peak_ka
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.lazy_step import Worked
from firstway.workings.shared.step import Step
from firstway.workings.surge.model import model_row, model_value, surge_model
from firstway.workings.surge.runs import KeptRun, run_of
from firstway.workings.surge.steps import SOLVER

JUDGES_NOTHING = (
    "the order of the effects is dependable, the absolute figure is not: whether two devices agree"
    " only their makers say"
)
PairedDevice = SurgeDeviceElsewhere | Way


@dataclass(frozen=True)
class Pair:
    """Two devices that a surge meets one after the other, with the circuit behind the second where
    it stands in the board, and that between them where it stands at a point.
    """

    first: PairedDevice
    second: PairedDevice
    circuit: Circuit | None

    @property
    def at_board(self) -> bool:
        """Whether the second is the device of the new board."""
        return isinstance(self.second, Way)


def board_device(installation: Installation) -> Way | None:
    """The device of the new board: the first one that its window does not call worn."""
    return next((way for way in installation.surge_ways if way.state != "worn"), None)


def devices_at(installation: Installation, *places: str) -> tuple[SurgeDeviceElsewhere, ...]:
    """The devices that stand at these places, in the order of the file."""
    return tuple(each for each in installation.surge_devices if each.at in places)


def ahead_of_board(installation: Installation) -> tuple[SurgeDeviceElsewhere, ...]:
    """The devices at the origin and in existing boards: on the supply's side of the new board."""
    boards = (board.name for board in installation.existing_boards)
    return devices_at(installation, "origin", *boards)


def surge_pairs(installation: Installation) -> tuple[Pair, ...]:
    """Every two that follow one another: each one ahead of the board with that of the board, and
    the nearest ahead of a point with each at the point.
    """
    own, ahead = board_device(installation), ahead_of_board(installation)
    found = [Pair(first, own, installation.circuits[0]) for first in ahead if own is not None]
    for circuit in installation.circuits:
        for point in installation.points_of(circuit):
            nearest: PairedDevice | None = own or next(iter(ahead), None)
            for second in devices_at(installation, point.name):
                if nearest is not None:
                    found.append(Pair(nearest, second, circuit))
    return tuple(found)


@topic
def devices_elsewhere(book: Book) -> None:
    """Laws and lightning current of each device elsewhere, then every pair."""
    installation = book.installation
    for device in each(installation.surge_devices):
        _laws(book, device)
        if device.type == 1:
            _lightning(book, device)
    for pair in each(surge_pairs(installation)):
        _shared_out(book, pair)


# ---- one device


@topic
def _laws(book: Book, device: SurgeDeviceElsewhere) -> None:
    of = device.name
    facts: tuple[tuple[str, str, str, Amount, str, str], ...] = (
        (
            "protection-level",
            f"Voltage protection level of {of}, without leads",
            "U_p",
            device.protection_level_kv,
            "kV",
            "protection level",
        ),
        (
            "nominal-discharge-current",
            f"Nominal discharge current of {of}",
            "I_n",
            device.nominal_discharge_current_ka,
            "kA",
            "nominal discharge current",
        ),
        (
            "spd-continuous-voltage",
            f"Continuous voltage of {of}",
            "U_c",
            device.continuous_voltage_v,
            "V",
            "continuous voltage",
        ),
    )
    level, nominal, continuous = (
        book.fact(step_id, of, title, symbol, value, unit, ask=f"read the {words} on {of}")
        for step_id, title, symbol, value, unit, words in facts
    )
    factor = book.look_up(
        "spd-voltage-ratio",
        of,
        "Voltage at 1 mA for each volt of continuous voltage",
        "f",
        model_row("volts-at-1-ma-x-continuous"),
        "",
    )
    at_1_ma = book.formula(
        "spd-voltage-at-1-ma",
        of,
        f"Voltage at 1 mA of {of}",
        surge_law.VOLTAGE_AT_1_MA,
        {"f": factor, "U_c": continuous},
        places=0,
    )
    alpha = book.look_up(
        "spd-exponent",
        of,
        f"Exponent of the two-term law of {of}",
        "alpha",
        model_row("two-term-alpha"),
        "",
    )
    k = book.formula(
        "spd-coefficient",
        of,
        f"Voltage of the first term of {of} at 1 A",
        surge_law.COEFFICIENT,
        {"U_1": at_1_ma, "alpha": alpha},
        places=0,
    )
    series = book.formula(
        "spd-series-resistance",
        of,
        f"Resistance of the second term of {of}",
        surge_law.SERIES_RESISTANCE,
        {"U_p": level, "k": k, "I_n": nominal, "alpha": alpha},
        places=4,
    )
    if series.value is not None and series.value < 0 and device.kind != "spark-gap":
        book.refuse(
            series,
            (device.protection_level_kv,),
            f"the protection level of {of} is below what its continuous voltage allows: check both"
            " on the data sheet",
        )


@topic
def _lightning(book: Book, device: SurgeDeviceElsewhere) -> None:
    """What of a stroke each conductor of the supply may carry: half of it goes into the earth of
    the building, the rest shares among them.
    """
    of, premises, supply = device.name, book.installation.premises, book.installation.supply
    impulse = book.fact(
        "impulse-current",
        of,
        f"Lightning current that each pole of {of} is tried with, 10/350 µs",
        "I_imp",
        device.impulse_current_ka,
        "kA",
        ask=f"read the impulse current Iimp on {of}",
        places=1,
    )
    if impulse.value is not None:
        book.look_up(
            "impulse-charge",
            of,
            "Charge of that current",
            "Q",
            impulse_charge_as(impulse.value),
            "As",
            (device.impulse_current_ka,),
        )
    level = key_of(premises, "lightning_level")
    if not is_known(level):
        book.not_known(
            "lightning-share",
            of,
            "Share of a stroke in each conductor of the supply",
            "I_st",
            "kA",
            "formula",
            (level,),
            "ask the designer of the lightning protection system for its level, I to IV",
        )
        return
    peak = book.look_up(
        "lightning-peak",
        of,
        f"Peak of the largest stroke of level {level}",
        "I_L",
        lightning_peak_ka(str(level)),
        "kA",
        (level,),
        places=0,
    )
    count = book.constant(
        "lightning-conductors",
        of,
        "Conductors of the supply that share it",
        "n",
        float(supply.phases) + (2.0 if supply.system == "TN-S" else 1.0),
        "",
        f"{supply.system}, {supply.phases} phase: lines and neutral"
        + (", and the network's protective conductor" if supply.system == "TN-S" else ""),
        (supply.system, supply.phases),
        places=0,
    )
    book.formula(
        "lightning-share",
        of,
        "Share of a stroke in each conductor of the supply",
        surge_law.LIGHTNING_SHARE,
        {"I_L": peak, "n": count},
        places=1,
        note="other services of metal, bonded where they enter, would take their part",
    )


# ---- two that follow one another


@topic
def _shared_out(book: Book, pair: Pair) -> None:
    first, second = pair.first, pair.second
    of = second.name if not pair.at_board else f"{first.name}"
    between = _between(book, pair, of)
    names = f"{first.name} and {second.name}"
    source: SurgeSource = "current-impulse"
    if first.type == 1 and isinstance(first, SurgeDeviceElsewhere):
        source = "long-impulse"
        drives = book.find("impulse-current", first.name)
    else:
        drives = book.find("nominal-discharge-current", first.name)
    gone = [
        key_of(device, "kind")
        for device in (first, second)
        if isinstance(device, SurgeDeviceElsewhere)
    ]
    gone = [kind for kind in gone if not is_known(kind)]
    titles = (
        ("surge-energy-ahead", f"Energy that {first.name} takes of its rated current", "W_1", "J"),
        ("surge-energy-taken", f"Energy that {second.name} behind it takes", "W_2", "J"),
        ("surge-current-taken", f"Highest current through {second.name} of it", "I_2", "A"),
        (
            "surge-energy-rated",
            f"Energy that one nominal surge leaves in {second.name}",
            "W_n",
            "J",
        ),
        ("surge-strain", f"What {second.name} takes, of one nominal surge of its own", "s", "%"),
    )
    laws = _laws_of(book, first), _laws_of(book, second)
    if gone or drives is None or None in laws or between is None:
        for step_id, title, symbol, unit in titles:
            book.not_known(
                step_id,
                of,
                title,
                symbol,
                unit,
                "run",
                gone,
                f"read on {names}, or ask their makers, what each is made of and its ratings",
            )
        return
    ahead, behind = laws[0] or (), laws[1] or ()
    end = _beyond(book, pair)
    lead = _lead(first)
    rests = (drives, between, *ahead, *behind)
    nominal = book.find("nominal-discharge-current", second.name)
    alone = (*((nominal,) if nominal is not None else ()), *behind)
    wave = "10/350" if source == "long-impulse" else "8/20"
    window = model_value("long-window-us" if source == "long-impulse" else "impulse-window-us")

    def case() -> SurgeCase:
        own, gap = _law(first, ahead)
        other, other_gap = _law(second, behind)
        return SurgeCase(
            float(between.figure or 0),
            end,
            spd=own,
            spd_gap=gap,
            lead_m=lead,
            source=source,
            impulse_a=1000 * float(drives.figure or 0),
            second_spd=other,
            second_gap=other_gap,
            second_lead_m=_lead(second),
            window_s=window * 1e-6,
        )

    def rated() -> SurgeCase:
        other, other_gap = _law(second, behind)
        nominal = book.read("nominal-discharge-current", second.name)
        return SurgeCase(
            end,
            end,
            spd=other,
            spd_gap=other_gap,
            lead_m=_lead(second),
            source="current-impulse",
            impulse_a=1000 * float(nominal.figure or 0),
            window_s=model_value("impulse-window-us") * 1e-6,
        )

    readers: dict[str, tuple[Callable[[], SurgeCase], Callable[[KeptRun], float]]] = {
        "surge-energy-ahead": (case, lambda run: run.spd_energy_j),
        "surge-energy-taken": (case, lambda run: run.second_spd_energy_j),
        "surge-current-taken": (case, lambda run: run.second_spd_peak_a),
        "surge-energy-rated": (rated, lambda run: run.spd_energy_j),
    }
    found: dict[str, Step] = {}
    for step_id, title, symbol, unit in titles[:4]:
        make, read = readers[step_id]
        known = all(step.known for step in (*rests, *alone))
        refused = refusal(make(), surge_model()) if known else None
        found[step_id] = book.run(
            step_id,
            of,
            title,
            symbol,
            unit,
            SOLVER,
            alone if step_id == "surge-energy-rated" else rests,
            _run_later(make, read),
            note=(
                JUDGES_NOTHING
                if step_id == "surge-energy-rated"
                else f"{names} in one {wave} µs current; {JUDGES_NOTHING}"
            ),
            refused=f"{refused.message}: {refused.hint}" if refused else "",
        )
    if not pair.at_board:
        _held_at_vehicle(book, pair, case, rests)
    book.later(
        "surge-strain",
        of,
        titles[4][1],
        surge_law.SURGE_STRAIN,
        {"W_2": found["surge-energy-taken"], "W_n": found["surge-energy-rated"]},
        places=0,
        note=JUDGES_NOTHING,
    )


def _held_at_vehicle(
    book: Book, pair: Pair, case: Callable[[], SurgeCase], rests: tuple[Step, ...]
) -> None:
    """What is left at the vehicle with both devices, in the usual surge."""
    of = pair.second.name
    volts = book.look_up(
        "surge-voltage",
        of,
        "Open-circuit voltage of the surge that is run",
        "U_s",
        model_row("surge-v"),
        "V",
        places=0,
        note="its short-circuit current is half of it in A",
    )

    def usual() -> SurgeCase:
        return replace(
            case(),
            source="combination-wave",
            surge_v=float(volts.figure or 0),
            window_s=model_value("peak-window-us") * 1e-6,
        )

    book.run(
        "surge-at-vehicle-with-both",
        of,
        f"Highest voltage at the vehicle with {pair.first.name} and {of}",
        "U_v",
        "V",
        SOLVER,
        (volts, *rests),
        _run_later(usual, lambda run: run.vehicle_peak_v),
        note=JUDGES_NOTHING,
    )


def _run_later(
    make: Callable[[], SurgeCase], read: Callable[[KeptRun], float]
) -> Callable[[], Worked]:
    """A figure of a run that is made when somebody asks."""
    return lambda: Worked(_read(make(), read))


def _between(book: Book, pair: Pair, of: str) -> Step | None:
    """The cable between the two in m."""
    elsewhere = pair.first if pair.at_board else pair.second
    assert isinstance(elsewhere, SurgeDeviceElsewhere)
    own = book.fact(
        "surge-cable-beside",
        of,
        f"Cable between {elsewhere.name} and "
        + ("where the feed begins" if pair.at_board else "the terminals of the point"),
        "l_0",
        elsewhere.cable_m,
        "m",
        ask=f"measure the cable between {elsewhere.name} and "
        + ("where the feed begins" if pair.at_board else f"the terminals of {elsewhere.at}"),
        places=1,
    )
    whole = [own]
    if pair.at_board or isinstance(pair.first, SurgeDeviceElsewhere):
        feed = book.find("length", "feed")
        whole += [feed] if feed is not None else []
    if not pair.at_board and pair.circuit is not None:
        circuit = book.find("length", pair.circuit.name)
        whole += [circuit] if circuit is not None else []
    if len(whole) < 2:
        return None
    return book.total(
        "surge-cable-between",
        of,
        f"Cable between {pair.first.name} and {pair.second.name}",
        "l",
        whole,
        "m",
        "added along the way of the surge",
        places=1,
    )


def _beyond(book: Book, pair: Pair) -> float:
    """The cable behind the second device in m, with an open end: it takes next to nothing."""
    step = book.find("length", pair.circuit.name) if pair.at_board and pair.circuit else None
    return float(step.figure) if step is not None and step.figure else model_value("vehicle-lead-m")


def _laws_of(book: Book, device: PairedDevice) -> tuple[Step, ...] | None:
    """The steps of a device's law; those of its gap where it has one."""
    names = ["spd-coefficient", "spd-exponent", "spd-series-resistance", "protection-level"]
    if isinstance(device, SurgeDeviceElsewhere) and device.kind == "spark-gap":
        names = ["protection-level"]
    found = [book.find(name, device.name) for name in names]
    steps = tuple(step for step in found if step is not None)
    return steps if len(steps) == len(names) else None


def _law(device: PairedDevice, steps: tuple[Step, ...]) -> tuple[Varistor | None, GapLaw | None]:
    *law, level = (float(step.figure or 0) for step in steps)
    kind = device.kind if isinstance(device, SurgeDeviceElsewhere) else "varistor"
    gap = GapLaw(1000 * level, model_value("gap-arc-v")) if kind != "varistor" else None
    return (Varistor(*law) if law else None), gap


def _lead(device: PairedDevice) -> float:
    """Leads in m: of a device elsewhere as stated; else as the model takes them."""
    if isinstance(device, SurgeDeviceElsewhere) and is_known(device.lead_m):
        return float(device.lead_m)
    return model_value("second-lead-m")


def _read(case: SurgeCase, read: Callable[[KeptRun], float]) -> float:
    run = run_of(case)
    assert not isinstance(run, Refused)  # asked before
    return read(run)
