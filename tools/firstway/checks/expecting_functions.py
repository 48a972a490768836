"""Checks: what must work at handing over: main switch, point, open-PEN device, limiter."""

from collections.abc import Iterator

from firstway.checks import reading_limits as limits
from firstway.checks.expected import LIVE, Bench, Expected
from firstway.checks.reading_limits import Limit
from firstway.model.installation import ChargingPoint, Circuit
from firstway.model.values import is_known
from firstway.tables.reading import Gap, pilot_state_row
from firstway.wiring.circuit import States
from firstway.wiring.readings import ShownReading, voltage

ADAPTER = "through an adapter that stands for the vehicle"
NOT_BY_A_LOOP = "by the maker's method alone; an ordinary loop test proves nothing of it"


def main_switch(bench: Bench) -> Iterator[Expected]:
    """Off: no voltage on any live pole behind it. This does not prove anything dead."""
    switch = bench.installation.board.main_switch
    if not is_known(switch):
        return
    states = States(open=frozenset({str(switch.name)}))
    found = [
        voltage(bench.network, states, bench.bar(line), "earth-bar.1")
        for line in bench.lines_at("origin")
    ]
    others = " and ".join(str(each.name) for each in bench.installation.sources)
    too = f", {others} isolated too" if others else ""
    live = max((each.value or 0.0 for each in found), default=0.0)
    shown = (
        ShownReading(live, "V") if live > 1 else ShownReading(None, "", "no voltage on any pole")
    )
    yield Expected(
        "main-switch",
        str(switch.name),
        LIVE,
        "function of the main switch",
        f"{switch.name} off{too}: every live pole behind it to {bench.earth_word} and to every"
        " other",
        shown,
        limits.NO_VOLTAGE,
        "a pole that does not open, or a second source; its incoming terminals stay live,"
        " and this reading does not prove isolation",
    )


def breakers(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    """Rule set nec: the breaker off, no voltage at the point. Common practice."""
    way = bench.way(circuit)
    for point in bench.installation.points_of(circuit):
        yield Expected(
            "breaker",
            str(circuit.name),
            LIVE,
            "function of the breaker",
            f"{way.name} off: every line at {point.name}",
            ShownReading(None, "", "no voltage"),
            Limit(words="no voltage on any line"),
            "another circuit or source feeds the point; this reading does not prove isolation",
        )


# State of the pilot -> what the point does (IEC 61851-1, annex A).
_STATES = {
    "A": ("nothing plugged in", "no voltage at the outlet"),
    "B": ("vehicle plugged in, not ready", "current offered, no voltage at the outlet"),
    "C": ("vehicle ready", "contactor closes, line voltage at the outlet"),
    "E": ("pilot shorted to the protective conductor", "opens at once, no voltage at the outlet"),
}


def pilot_states(bench: Bench, point: ChargingPoint) -> Iterator[Expected]:
    """States A, B, C and the fault E, and the protective conductor opened in the adapter."""
    for state, (stands_for, does) in _STATES.items():
        row = pilot_state_row(state)
        pilot = (
            ""
            if isinstance(row, Gap)
            else _pilot_words(state, row.number("high_v"), row.number("low_v"))
        )
        duty = bench.case.step("pilot-duty", str(point.name))
        offered = (
            f", {duty.value:.3g} % offered"
            if state == "B" and duty is not None and duty.value
            else ""
        )
        yield Expected(
            "state",
            str(point.name),
            LIVE,
            f"pilot state {state}: {stands_for}",
            f"{point.name}, {ADAPTER}",
            ShownReading(None, "", f"{pilot}{offered}; {does}"),
            Limit(words="as IEC 61851-1 asks"),
            "wiring, setting or adapter; the maker's list of messages tells which",
            state=state,
        )
    yield Expected(
        "state",
        str(point.name),
        LIVE,
        "protective conductor opened in the adapter, from state C",
        f"{point.name}, {ADAPTER}",
        ShownReading(None, "", "opens at once, no voltage at the outlet"),
        Limit(words="as IEC 61851-1 asks"),
        "the pilot returns through the protective conductor: without it no charging",
        state="protective-conductor-open",
    )


def _pilot_words(state: str, high_v: float, low_v: float) -> str:
    if state == "A" or high_v == low_v:
        return f"pilot {high_v:+g} V" if high_v else "pilot 0 V"
    return f"pilot {high_v:+g} V and {low_v:+g} V"


def lock(bench: Bench, point: ChargingPoint) -> Iterator[Expected]:
    """A socket-outlet holds the plug while it charges."""
    if point.outlet == "socket":
        yield Expected(
            "lock",
            str(point.name),
            LIVE,
            "lock of the socket-outlet",
            f"{point.name}, in state C",
            ShownReading(None, "", "the plug cannot be drawn; free again after the charge ends"),
            Limit(words="holds"),
            "a bent pin or a worn motor; where it does not lock the point must not charge",
        )


def _open_pen(bench: Bench, point: ChargingPoint) -> Iterator[Expected]:
    """The device against a broken PEN, by its maker's method."""
    device = point.open_pen
    if not is_known(device) or device.measure != "device":
        return
    limit = limits.opens_against_broken_pen(bench.case, point)
    within = f"within {limit.value:g} s" if limit.value is not None else f"within {limit.words}"
    whole = device.opens_protective_conductor is True
    opens = "lines, neutral and protective conductor" if whole else "the live conductors"
    again = ", does not close again by itself" if device.recloses is not True else ""
    yield Expected(
        "open-pen",
        str(point.name),
        LIVE,
        "device against a broken PEN",
        f"{point.name}, {NOT_BY_A_LOOP}",
        ShownReading(None, "", f"opens {opens} {within}{again}"),
        limit,
        "another earth in parallel (armour, screen, bonding) holds the voltage down or bypasses it",
    )


def limiter(bench: Bench) -> Iterator[Expected]:
    """The load limiter: the sum at its limit, and its signal lost."""
    if not is_known(bench.installation.load_limiter):
        return
    limit, blind = (limits.limited_current(bench.case, lost) for lost in (False, True))
    most = f"{limit.value:g} A" if limit.value is not None else limit.words
    yield Expected(
        "limiter",
        "supply",
        LIVE,
        "load limiter",
        "clamp meter where its sensor sits, a vehicle charging while other load is raised",
        ShownReading(None, "", f"the point gives way; the sum stays at most {most}"),
        limit,
        "a sensor turned round, on another line, or behind the split",
    )
    safe = f"{blind.value:g} A" if blind.value is not None else "a safe current"
    yield Expected(
        "limiter",
        "supply",
        LIVE,
        "load limiter without its signal",
        "its signal taken away as its maker describes, a vehicle charging; a current sensor's lead"
        " is never opened round a live conductor unless its maker says so",
        ShownReading(None, "", f"the point falls to {safe}"),
        blind,
        "a limiter that goes on at full current when it is blind protects nothing",
        state="signal-lost",
    )


def handed_over(bench: Bench) -> Iterator[Expected]:
    """Everything that must work, in the order in which it is tried."""
    yield from main_switch(bench)
    for _, point in bench.points():
        yield from pilot_states(bench, point)
        yield from lock(bench, point)
        yield from _open_pen(bench, point)
    yield from limiter(bench)
