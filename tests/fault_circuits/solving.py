"""The two solvers, OpenDSS and ngspice, and the table of what they gave.

`python -m fault_circuits.solving`, run in `tests`, solves every case of `cases.csv` and writes
`solved.csv` and the two columns of figures in `with_sources.csv`.
"""

from __future__ import annotations

import csv
import dataclasses
import math
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import ModuleType

from fault_circuits.given import Given
from fault_circuits.jobs import JOBS
from fault_circuits.network import EARTH, JOINT_OHM, Network, Ohm
from fault_circuits.rows import HIGHEST_VOLTAGE, LOWEST_VOLTAGE

FOLDER = Path(__file__).parent
SMALLEST, LARGEST, LARGEST_REACTIVE, TOUCH = (
    "smallest_a",
    "largest_a",
    "largest_reactive_a",
    "touch_v",
)
FIGURES = (SMALLEST, LARGEST, LARGEST_REACTIVE, TOUCH)


@dataclass(frozen=True)
class Case:
    """One fault: `circuit` names the function of jobs.py, `change` what differs from the file.

    `figures`: those the circuit is good for, where it is not good for all. `opens`: the nearest
    device that is sure to open within the limit, else the quickest that is sure to open.
    """

    case: str
    job: str
    circuit: str
    change: str
    place: str
    kind: str
    one: str
    other: str
    figures: str
    opens: str
    within_s: str
    limit_s: str
    why: str

    def file(self) -> Given:
        return Given(self.job, self.change)

    def network(self) -> Network:
        return JOBS[self.circuit](self.file(), self.kind)


@cache
def cases() -> tuple[Case, ...]:
    with (FOLDER / "cases.csv").open(encoding="utf-8", newline="") as lines:
        return tuple(Case(**row) for row in csv.DictReader(lines))


@dataclass(frozen=True)
class Solved:
    """Current in the fault in A, and the highest voltage of touched metal to true earth in V."""

    ampere: float
    touch_v: float


@dataclass(frozen=True)
class State:
    """How a network is taken: conductors hot, the supply a reactance, its voltage by a factor."""

    hot: bool
    reactive: bool
    factor: float

    def ohm(self, wire: Ohm) -> complex:
        ohm = wire.hot if self.hot else wire.cold
        return complex(0, ohm) if wire.supply and self.reactive else complex(ohm)


# Smallest: conductors hot, lowest voltage. Largest: cold, highest voltage, the supply at right
# angles to the copper or not. Touch: hot, the voltage as the file states it.
STATES = {
    SMALLEST: State(True, False, LOWEST_VOLTAGE),
    LARGEST: State(False, False, HIGHEST_VOLTAGE),
    LARGEST_REACTIVE: State(False, True, HIGHEST_VOLTAGE),
    TOUCH: State(True, False, 1.0),
}
Solver = Callable[[Network, str, str, State], Solved]


def figures(case: Case, solver: Solver) -> dict[str, float]:
    """Every figure of a case by one of the solvers."""
    net = case.network()
    solved = {name: solver(net, case.one, case.other, state) for name, state in STATES.items()}
    return {
        name: found.touch_v if name == TOUCH else found.ampere for name, found in solved.items()
    }


# ---- OpenDSS


def by_opendss(net: Network, one: str, other: str, state: State) -> Solved:
    import opendssdirect as engine

    _say(engine, "Clear")
    for place, source in enumerate(net.sources):
        kind = "Circuit.job" if place == 0 else f"Vsource.line{place + 1}"
        _say(
            engine,
            f"New {kind} phases=1 bus1={_bus(source.plus)} bus2={_bus(source.minus)} pu=1 "
            f"basekv={source.volts * state.factor / 1000!r} "
            f"angle={source.degrees} basefreq=50 r1={JOINT_OHM} x1=0 r0={JOINT_OHM} x0=0",
        )
    for place, (near, far, ohm) in enumerate(net.wires):
        z = state.ohm(ohm)
        _say(
            engine,
            f"New Reactor.r{place} phases=1 bus1={_bus(near)} bus2={_bus(far)} "
            f"r={z.real!r} x={z.imag!r}",
        )
    for place, drive in enumerate(net.driven):
        for end, angle in ((drive.plus, 0), (drive.minus, 180)):
            _say(
                engine,
                f"New Isource.i{place}at{angle} phases=1 bus1={_bus(end)} amps={drive.ampere!r} "
                f"angle={angle}",  # of the engine's own frequency: of another it drives nothing
            )
    _say(
        engine, f"New Reactor.fault phases=1 bus1={_bus(one)} bus2={_bus(other)} r={JOINT_OHM} x=0"
    )
    _say(engine, "Set mode=direct")
    _say(engine, "Solve")
    engine.Circuit.SetActiveElement("Reactor.fault")
    parts = engine.CktElement.Currents()
    return Solved(
        abs(complex(parts[0], parts[1])), max(_volts(engine, place) for place in net.touched)
    )


def _say(engine: ModuleType, command: str) -> None:
    engine.Text.Command(command)
    said = engine.Text.Result()
    assert not said, f"{command}: {said}"


def _bus(place: str) -> str:
    """A bus of its own for every place; true earth is the engine's node 0."""
    return "earth.0" if place == EARTH else place.replace(".", "_") + ".1"


def _volts(engine: ModuleType, place: str) -> float:
    engine.Circuit.SetActiveBus(place.replace(".", "_"))
    parts = engine.Bus.Voltages()
    return abs(complex(parts[0], parts[1]))


# ---- ngspice


def by_ngspice(net: Network, one: str, other: str, state: State) -> Solved:
    """An a.c. analysis at 50 Hz; the fault is a source of no voltage, whose current is read."""
    out = subprocess.run(
        ["ngspice", "-b"],
        input=netlist(net, one, other, state),
        capture_output=True,
        text=True,
        timeout=60,
    ).stdout
    shown = dict(re.findall(r"^(\w+) = (\S+)", out, re.MULTILINE))
    assert "fault" in shown, out[-500:]
    return Solved(
        float(shown["fault"]),
        max(float(shown[f"touch{place}"]) for place in range(len(net.touched))),
    )


def netlist(net: Network, one: str, other: str, state: State) -> str:
    lines = [
        f"* fault from {one} to {other}",
        *_elements(net, state),
        f"Vfault {_node(one)} {_node(other)} DC 0 AC 0",
        ".control",
        "set numdgt=9",
        "ac lin 1 50 50",
        "let fault = mag(i(vfault))",
        "print fault",
    ]
    for place, name in enumerate(net.touched):
        lines += [f"let touch{place} = mag(v({_node(name)}))", f"print touch{place}"]
    return "\n".join([*lines, ".endc", ".end", ""])


def _elements(net: Network, state: State) -> Iterator[str]:
    for place, source in enumerate(net.sources):
        volts = source.volts * state.factor
        ends = f"{_node(source.plus)} {_node(source.minus)}"
        yield f"Vline{place} {ends} DC 0 AC {volts!r} {source.degrees}"
    for place, drive in enumerate(net.driven):
        yield f"Idrive{place} {_node(drive.minus)} {_node(drive.plus)} DC 0 AC {drive.ampere!r} 0"
    for place, (near, far, ohm) in enumerate(net.wires):
        z = state.ohm(ohm)
        kind, size = ("L", z.imag / (2 * math.pi * 50)) if z.imag else ("R", z.real)
        yield f"{kind}{place} {_node(near)} {_node(far)} {size!r}"


def _node(place: str) -> str:
    return "0" if place == EARTH else "n_" + re.sub(r"\W", "_", place)


# ---- the tables


@dataclass(frozen=True)
class Together:
    """Largest current from `one` to `other` by one circuit, in A, as each solver gave it."""

    case: str
    job: str
    circuit: str
    one: str
    other: str
    opendss_a: str
    ngspice_a: str
    why: str

    def solved_a(self, solver: Solver) -> float:
        """Conductors cold, highest voltage, the supply taken as a resistance: currents that swing
        together, the most a source can add.
        """
        net = JOBS[self.circuit](Given(self.job), "line-neutral")
        return solver(net, self.one, self.other, STATES[LARGEST]).ampere


@cache
def together() -> tuple[Together, ...]:
    """Faults fed by the network, by other sources, by both: `with_sources.csv`."""
    with (FOLDER / "with_sources.csv").open(encoding="utf-8", newline="") as lines:
        return tuple(Together(**row) for row in csv.DictReader(lines))


def main() -> None:
    if shutil.which("ngspice") is None:
        raise SystemExit("ngspice is not on this machine: install it to make the table anew")
    header = [
        "case",
        *(f"opendss_{name}" for name in FIGURES),
        *(f"ngspice_{name}" for name in FIGURES),
    ]
    with (FOLDER / "solved.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header)
        for case in cases():
            found = [figures(case, solver) for solver in (by_opendss, by_ngspice)]
            writer.writerow(
                [case.case, *(f"{each[name]:.6g}" for each in found for name in FIGURES)]
            )
    rows = together()
    with (FOLDER / "with_sources.csv").open("w", encoding="utf-8", newline="") as out:
        fields = [each.name for each in dataclasses.fields(Together)]
        table = csv.DictWriter(out, fields, lineterminator="\n")
        table.writeheader()
        for row in rows:
            opendss, ngspice = (row.solved_a(solver) for solver in (by_opendss, by_ngspice))
            table.writerow(
                dataclasses.asdict(row)
                | {"opendss_a": f"{opendss:.6g}", "ngspice_a": f"{ngspice:.6g}"}
            )


if __name__ == "__main__":
    main()
