"""Workings: how long a protective device may take at a current, by the limits of its standard and
the rows of the rules.

Nothing here knows a maker's curve. `Opens` says the longest time that is sure, or that the device
is not sure to open at all, or what to ask; each with the rows that were read.
"""

from functools import cached_property
from typing import Literal

from firstway.frozen import dataclass
from firstway.tables import looking_up as tables
from firstway.tables import reading as more
from firstway.tables.reading import Gap, Read, Row, read_one

DeviceKind = Literal["fuse", "circuit-breaker", "rcbo", "rcd"]

BREAKER, FUSE = "IEC 60898-1", "IEC 60269-1"
GENERAL_FUSES = ("BS 88-2", "BS 88-3", "IEC 60269-2", "IEC 60269-3")  # gG; BS 88-3 knows no other
ROWS_AT_V = 230.0  # the voltage the rows of largest loops are printed for
MILLI = 1000.0

_Rows = list[tuple[float, float, Read]]


@dataclass(frozen=True)
class Device:
    """A protective device as the file states it; None and "" where it does not say. `path`: where
    it stands in the file; `words`: what it is called in a sentence.
    """

    name: str
    kind: DeviceKind
    path: str
    standard: str = ""
    rating_a: float | None = None
    curve: str = ""
    residual_ma: float | None = None
    delay: str = ""
    breaking_ka: float | None = None
    words: str = ""

    @property
    def called(self) -> str:
        """As the trade speaks of it, else by its name."""
        return self.words or self.name

    @cached_property
    def overcurrent_rows(self) -> _Rows | str:
        """Seconds, ampere and row of every current at which its time is sure; else the question."""
        return _fuse_rows(self) if self.kind == "fuse" else _breaker_rows(self)

    @cached_property
    def residual_rows(self) -> tuple[tuple[float, Read], ...]:
        """Milliampere and row; none where the residual current or the delay is not told."""
        return () if self.residual_ma is None else _residual_rows(self.residual_ma, self.delay)

    @property
    def overcurrent(self) -> bool:
        return self.kind in ("fuse", "circuit-breaker", "rcbo")

    @property
    def residual(self) -> bool:
        return self.kind in ("rcbo", "rcd")


@dataclass(frozen=True)
class Opens:
    """`within_s`: the longest time that is sure. None with an `ask`: not known. None without: not
    sure to open at all.

    `by` is the part that is the quicker; `at_a` the current of the row that was read.
    """

    within_s: float | None
    by: Literal["overcurrent", "residual", ""] = ""
    rows: tuple[Row, ...] = ()
    ask: str = ""
    at_a: float | None = None

    @property
    def never(self) -> bool:
        """Nothing makes it sure to open."""
        return self.within_s is None and not self.ask


NEVER = Opens(None)


def opens(device: Device, line_a: float, residual_a: float) -> Opens:
    """The quicker of the two parts of a device; one that is known needs no other, one that is not
    may be the quicker.
    """
    parts = [overcurrent_opens(device, line_a)] if device.overcurrent else []
    parts += [residual_opens(device, residual_a)] if device.residual else []
    known = [part for part in parts if part.within_s is not None]
    if known:
        return min(known, key=lambda part: part.within_s or 0.0)
    return next((part for part in parts if part.ask), NEVER)


# Residual current


def residual_opens(device: Device, residual_a: float) -> Opens:
    """By the product standard: at 1, 2 and 5 times the rated residual current; below it nothing is
    sure.
    """
    if device.residual_ma is None or device.delay not in ("none", "S"):
        return Opens(
            None,
            ask=(
                f"the rated residual current and the delay of {device.called}; read them on the"
                " device"
            ),
        )
    for least_ma, found in device.residual_rows:
        if residual_a * MILLI >= least_ma:
            return Opens(found.value / MILLI, "residual", (found.row,), at_a=least_ma / MILLI)
    return NEVER


def _residual_rows(rated_ma: float, delay: str) -> tuple[tuple[float, Read], ...]:
    """The least current of each row in mA, the quickest row first."""
    found = ((each, more.longest_trip_time_ms(delay, each)) for each in (5.0, 2.0, 1.0))
    return tuple((_least_ma(rated_ma, each), row) for each, row in found if isinstance(row, Read))


def _least_ma(rated_ma: float, multiple: float) -> float:
    """The current of a row; up to 30 mA the standard lets 0.25 A stand for five times."""
    instead = more.rcd_limit("five-times-test-substitute-ma")
    small = more.rcd_limit("additional-protection-ma")
    if (
        multiple == 5.0
        and isinstance(instead, Read)
        and isinstance(small, Read)
        and rated_ma <= small.value
    ):
        return max(instead.value, multiple * rated_ma)
    return multiple * rated_ma


# Overcurrent


def overcurrent_opens(device: Device, line_a: float) -> Opens:
    """The shortest time among those whose current is reached."""
    if device.rating_a is None:
        return Opens(None, ask=f"the rating of {device.called}; read it on the device")
    rows = device.overcurrent_rows
    if isinstance(rows, str):
        return Opens(None, ask=rows)
    reached = [(seconds, ampere, read) for seconds, ampere, read in rows if line_a >= ampere]
    if not reached:
        return NEVER
    seconds, ampere, read = min(reached, key=lambda each: each[0])
    return Opens(seconds, "overcurrent", (read.row, *read.through), at_a=ampere)


def _fuse_rows(device: Device) -> _Rows | str:
    """Seconds, ampere and row: the loops of the rules, the gates of the standard, its conventional
    current; else the question.
    """
    assert device.rating_a is not None
    if not device.standard:
        return _ask_standard(device)
    reads_as, _ = tables.standard_words(device.standard)
    found: _Rows = []
    factor = tables.voltage_factor("c_min")
    for seconds in (0.4, 5.0):
        loop = tables.tabulated_zs_ohm(device.standard, "none", device.rating_a, seconds)
        if isinstance(loop, Read) and isinstance(factor, Read):
            found.append((seconds, factor.value * ROWS_AT_V / loop.value, loop))
    if reads_as in GENERAL_FUSES:
        printed = {seconds for seconds, _, _ in found}
        for seconds in (0.1, 5.0):
            gate = more.fuse_opens_at_a(device.rating_a, seconds)
            if isinstance(gate, Read) and seconds not in printed:
                found.append((seconds, gate.value, gate))
        found += _conventional(device.rating_a, FUSE)
    return (
        found
        or f"the maker's curve of {device.called}: no row is held for a fuse of"
        f" {device.rating_a:g} A to {device.standard}"
    )


def _ask_standard(device: Device) -> str:
    """Whose mark is read before any maker is asked."""
    return f"the standard of {device.called}, which gives its curve; read it on the device"


def _breaker_rows(device: Device) -> _Rows | str:
    assert device.rating_a is not None
    if not device.standard:
        return _ask_standard(device)
    multiple = tables.trip_multiple(device.curve)
    at_once = read_one("instantaneous_trip", "opens_within_s", standard=BREAKER)
    reads_as, _ = tables.standard_words(device.standard)
    if (
        isinstance(multiple, Gap)
        or isinstance(at_once, Gap)
        or reads_as not in (BREAKER, "IEC 61009-1")
    ):
        return f"the maker's curve of {device.called}: its curve is not one of B, C and D"
    return [
        (
            at_once.value,
            multiple.value * device.rating_a,
            Read(at_once.value, at_once.row, (multiple.row,)),
        ),
        *_conventional(device.rating_a, BREAKER),
    ]


def _conventional(rating_a: float, standard: str) -> _Rows:
    """The current that opens it at last, within hours."""
    multiple, seconds = (
        more.thermal_trip("trip_x_in", standard),
        more.thermal_trip("time_s", standard),
    )
    if isinstance(multiple, Gap) or isinstance(seconds, Gap):
        return []
    return [(seconds.value, multiple.value * rating_a, seconds)]


# Energy


def energy_a2s(device: Device, line_a: float, found: Opens) -> float | None:
    """Most that a conductor goes through in A2s before the device opens; None where no time is
    sure.

    Below 0.1 s a breaker's figure is its maker's: what is counted here is the current for as long
    as it may take. A fuse lets no more through at a larger current than at the one of its row (IEC
    60269-1: its energy falls to that of melting without loss), so that the row's current counts,
    not the fault's.
    """
    if found.within_s is None:
        return None
    if device.kind == "fuse" and found.by == "overcurrent" and found.at_a is not None:
        return min(line_a, found.at_a) ** 2 * found.within_s
    return line_a**2 * found.within_s
