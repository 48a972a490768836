"""Checks: a reading of the file against its limit, and against what was foretold.

The two are kept apart. A limit rests on the working and on tables, so a pass does too; what a
tester is foretold to show rests on the whole circuit, and hardly ever gives more than advice.
"""

from collections.abc import Callable

from firstway.checks import reading_limits as limits
from firstway.checks.expected import Expected
from firstway.checks.reading_limits import MEGOHM, Limit
from firstway.checks.rule import Case, Level, within
from firstway.frozen import dataclass
from firstway.model.installation import Circuit, Reading
from firstway.model.values import is_known
from firstway.wiring.readings import AT_MOST, NO_READING, OPEN, READING_NOT_KNOWN

_FURTHER_APART = 0.2  # common practice: beyond a fifth, look for the reason
_LAST_DIGITS_OHM = 0.02  # what a tester's last digits and its leads may add
ANOTHER_EARTH = "a second way to earth: contact with another earth, or metal in the ground"
NETWORK_MAY_DIFFER = 0.1  # voltage of the day: the network's own limits lie within 10 %

# Tests whose failing leaves a person on live metal, or a broken PEN unseen.
_SHOCKS = ("polarity", "electrode-lead", "continuity", "main-switch", "open-pen")
_UNITS = {"ohm": "ohm", "megohm": MEGOHM, "ms": "ms", "ka": "kA", "v": "V", "a": "A", "s": "s"}


@dataclass(frozen=True)
class Taken:
    """A reading with its figure (or its words), the part it belongs to, and its name for people."""

    reading: Reading
    value: float | None
    unit: str
    words: str
    of: str
    place: str

    @property
    def test(self) -> str:
        return str(self.reading.test)

    @property
    def between(self) -> tuple[str, ...]:
        found = self.reading.between
        return tuple(found) if is_known(found) else ()


@dataclass(frozen=True)
class Judged:
    """What is said of a reading, with the limit or the figure it was held against."""

    level: Level
    message: str
    against: float | str | None = None


def reading_taken(case: Case, reading: Reading) -> Taken:
    """A reading as the rules speak of it."""
    key = next((key for key in _UNITS if is_known(getattr(reading, key))), "")
    words = [str(each) for each in (reading.result, reading.sequence) if is_known(each)]
    value = float(getattr(reading, key)) if key else None
    return Taken(reading, value, _UNITS.get(key, ""), " ".join(words), *_part(case, reading))


def _part(case: Case, reading: Reading) -> tuple[str, str]:
    """Which named part a reading is about, and the device or part that is marked."""
    if is_known(reading.circuit):
        return str(reading.circuit), str(case.installation.way_feeding(str(reading.circuit)).name)
    at = str(reading.at) if is_known(reading.at) else ""
    if at in ("", "origin", "supply", "met"):
        return "supply", "supply"
    fed = next((each for each in case.installation.board.ways if each.name == at), None)
    return (str(fed.feeds), at) if fed is not None and is_known(fed.feeds) else (at, at)


def limit_of(case: Case, found: Taken) -> Limit:
    """The limit of a reading, whatever is foretold for it."""
    circuit = _circuit(case, found)
    of_circuit: dict[str, Callable[[Case, Circuit], Limit]] = {
        "zs": limits.whole_loop,
        "r1-plus-r2": limits.both_conductors_limit,
    }
    if circuit is not None and found.test in of_circuit:
        return of_circuit[found.test](case, circuit)
    if circuit is not None and found.test == "rcd-time":
        return limits.opening_time(case, case.installation.way_feeding(circuit.name), circuit)
    if found.test == "insulation":
        return limits.insulation_limit(case)
    if found.test == "electrode":
        item = case.installation.electrode(found.of)
        return limits.electrode_limit(case, item) if item is not None else Limit()
    if found.unit == "V":
        return _voltage_limit(case, found)
    if found.test in ("polarity", "continuity", "electrode-lead"):
        return limits.whole_conductor()
    if found.test == "open-pen":
        point = next(
            (each for each in case.installation.charging_points if each.name == found.of), None
        )
        return limits.opens_against_broken_pen(case, point) if point is not None else Limit()
    if found.test == "limiter":
        return limits.limited_current(case, found.reading.state == "signal-lost")
    at_the_origin = {
        "ze": limits.external_loop_limit,
        "prospective-fault-current": limits.largest_current,
        "rcd-time": limits.opening_time_at_origin,
    }
    there = found.of == "supply" or found.test != "rcd-time"
    return at_the_origin[found.test](case) if found.test in at_the_origin and there else Limit()


def _voltage_limit(case: Case, found: Taken) -> Limit:
    if found.test == "main-switch":
        return limits.NO_VOLTAGE
    if found.test == "state" and found.reading.state != "C":
        return limits.NO_VOLTAGE
    if set(found.between) == {"N", "PE"}:
        return limits.NEUTRAL_TO_EARTH
    lines = [name for name in found.between if name.startswith("L")]
    return limits.network_voltage(case, len(lines) == 2)


def _circuit(case: Case, found: Taken) -> Circuit | None:
    of, point = found.of, found.of
    return next(
        (each for each in case.installation.circuits if each.name == of or point in each.supplies),
        None,
    )


def against_limit(case: Case, found: Taken) -> Judged | None:
    """Danger, fail, advice, pass or unknown by its limit; None where nothing limits it."""
    if found.words == "unsatisfactory":
        return Judged(_gravity(found), f"{named(found)}: not as it should be; {_act(found)}")
    if found.words == "L1-L3-L2":
        return Judged("fail", f"{named(found)}: two lines are exchanged", "L1-L2-L3")
    if found.value is None:
        return Judged("pass", f"{named(found)}: as it should be") if found.words else None
    limit = limit_of(case, found)
    left_in = _surge_device_left_in(found, limit)
    if left_in is not None:
        return left_in
    if limit.value is None or limit.unit != found.unit:
        return None
    return _held_against(found, limit)


def _held_against(found: Taken, limit: Limit) -> Judged:
    assert found.value is not None and limit.value is not None
    figure = limit.broken(found.value)
    if figure is not None:
        return Judged(
            _gravity(found), f"{named(found)} is against its limit: {_act(found)}", figure
        )
    if limit.nearly_broken(found.value):
        return Judged("advice", f"{named(found)}: {limit.advice_words}", limit.advice)
    return Judged("pass", f"{named(found)} keeps its limit", limit.value)


def _gravity(found: Taken) -> Level:
    if found.test in _SHOCKS:
        return "danger"
    if found.test == "voltage" and found.value is not None and found.value > 50:
        # Line voltage on the neutral, or between the lines where it was to neutral: a lost neutral.
        return "danger"
    return "fail"


_ACTS = {
    "insulation": "do not energise; find the damage, the damp, or what was left connected",
    "rcd-time": "replace the device or find what slows it; do not hand it over",
    "electrode": "add rods, or find the fault, before it is relied on",
    "prospective-fault-current": "no device here may be asked to break it",
    "voltage": "isolate; look for a lost or crossed neutral",
    "ze": "ask the network's operator, and look at the means of earthing",
    "r1-plus-r2": "look for a poor joint, a broken core or a longer way than drawn",
    "zs": "do not rely on it; look at the joints and at the loop ahead",
    "polarity": "isolate; a conductor is crossed or open",
    "electrode-lead": "isolate; the earth of the installation is not joined",
    "continuity": "isolate; a protective conductor is open",
}


def _act(found: Taken) -> str:
    return _ACTS.get(found.test, "isolate, and find out why")


def _surge_device_left_in(found: Taken, limit: Limit) -> Judged | None:
    """Insulation with the surge protective device in says nothing of the cable (BS 7671 643.3.3).

    It is taken out and the cable tested at 500 V; only one that cannot be taken out is left in, at
    250 V, and the least value stays the same. The method is wrong, whatever was read.
    """
    if found.test != "insulation" or found.reading.surge_device != "in":
        return None
    volts = found.reading.test_v
    if is_known(volts) and within(float(volts), limits.lower_test_voltage_v()):
        return None
    again = f"take it out and test at {limits.test_voltage_v():g} V"
    what = f"{named(found)} was read with the surge protective device in"
    return Judged("fail", f"{what}: it is not the cable's; {again}", limit.value)


_SPOKEN = {
    "ze": "Ze",
    "zs": "Zs",
    "r1-plus-r2": "R1+R2",
    "rcd-time": "the trip time",
    "prospective-fault-current": "the prospective fault current",
    "electrode": "the electrode",
    "electrode-lead": "the lead of the electrode",
    "main-switch": "the main switch",
    "test-button": "the test button",
    "state": "pilot state",
    "lock": "the lock",
    "open-pen": "the device against a broken PEN",
    "limiter": "the load limiter",
    "phase-sequence": "the phase sequence",
    "voltage": "the voltage",
}
_OWN_NAME = ("electrode", "electrode-lead", "main-switch")  # `the electrode rods`, not `of rods`
_AT = ("voltage", "phase-sequence")
_WITH_ARTICLE = ("supply", "board")


def named(found: Taken) -> str:
    """A reading as people say it: `Zs of slipway, L1 to PE`."""
    test = _SPOKEN.get(found.test, found.test)
    state = found.reading.state
    test = f"{test} {str(state).replace('-', ' ')}" if is_known(state) else test
    pair = f", {' to '.join(found.between)}" if len(found.between) == 2 else ""
    of = f"the {found.of}" if found.of in _WITH_ARTICLE else found.of
    joint = " " if found.test in _OWN_NAME else " at " if found.test in _AT else " of "
    return f"{test}{joint}{of}{pair}"


# What was foretold


def line_for(found: Taken, expected: tuple[Expected, ...]) -> Expected | None:
    """The line of the list a reading belongs to; without conductors the first of its part."""
    state = str(found.reading.state) if is_known(found.reading.state) else ""
    lines = [
        each
        for each in expected
        if each.key == found.test
        and each.of in (found.of, found.place)
        and (not state or each.state == state)
    ]
    if not lines and found.of == "supply":
        lines = [each for each in expected if each.key == found.test and not found.reading.at]
    if found.between:
        lines = [each for each in lines if _same_pair(each.between, found.between)]
    whole = [each for each in lines if not each.between]
    return next(iter(whole or lines), None)


def _same_pair(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    return set(one) == set(other)


def against_foretold(case: Case, found: Taken, line: Expected | None) -> Judged | None:
    """Advice where a reading lies far from what was foretold; unknown where nothing could be.

    None where only its limit judges it (a time, an insulation, a function), or where it is near and
    a limit says the rest: being near is a pass only where there is nothing else to keep.
    """
    if found.value is None:
        return None
    if line is None:
        return Judged(
            "unknown", f"not known: what {named(found)} should read: nothing is foretold there"
        )
    shown = line.shown
    if shown.value is None:
        if shown.words not in (READING_NOT_KNOWN, NO_READING, OPEN):
            return None
        least = _electrode_alone(case, found)
        if least is not None and found.value < (1 - _FURTHER_APART) * least:
            low = f"{named(found)} is below what its electrode alone has; look for: {ANOTHER_EARTH}"
            return Judged("advice", low, least)
        ask = shown.ask or "the circuit as drawn gives no reading there"
        return Judged("unknown", f"not known: what {named(found)} should read: {ask}", shown.words)
    if (MEGOHM if shown.unit == "megohm" else shown.unit) != found.unit:
        return None
    foretold = round(shown.value, 9)  # what solving a network leaves in the last digits
    if not _near(found.value, foretold, found.unit, shown.words == AT_MOST):
        far = f"{named(found)} is far from what was foretold; look for: {line.because}"
        return Judged("advice", far, foretold)
    if limit_of(case, found).value is not None:
        return None
    return Judged("pass", f"{named(found)} is near what was foretold", foretold)


def _electrode_alone(case: Case, found: Taken) -> float | None:
    """The resistance in ohm of the electrode a loop closes through: the least it can have, whatever
    else of it is not known; None where none is told.
    """
    circuit = _circuit(case, found)
    if circuit is None or found.test != "zs":
        return None
    names = [str(point.earthed_by) for point in case.installation.points_of(circuit)]
    steps = [case.step("electrode-resistance", name) for name in names]
    return max((step.value for step in steps if step is not None and step.value), default=None)


def _near(value: float, foretold: float, unit: str, at_most: bool) -> bool:
    share = NETWORK_MAY_DIFFER if unit == "V" else _FURTHER_APART
    allowed = share * abs(foretold) + (
        _LAST_DIGITS_OHM if unit == "ohm" else 10.0 if unit == "V" else 0.0
    )
    if at_most and value <= foretold:
        return True
    return within(abs(value - foretold), allowed)
