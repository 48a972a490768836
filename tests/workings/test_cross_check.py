"""Whole installations, drawn at random, worked by us and solved as networks by two general-purpose
libraries.

OpenDSS (opendssdirect.py) solves one-phase drop and every earth and neutral fault with line,
neutral, protective conductor and true earth as conductors of their own; pandapower solves balanced
three phases and IEC 60909 faults. Both get the resistances our steps read from the tables (proved
apart, in test_tables and test_published), so what is compared is the algebra of the network: which
conductors are in which loop, hot or cold, with which voltage.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random
from types import ModuleType

import pytest
from random_installations import Data, installation_of, one_phase, three_phase
from telling import Tell

from firstway.model.installation import Circuit, Installation
from firstway.workings.shared.step import Workings
from firstway.workings.working_through import workings_of

pytestmark = pytest.mark.long

SEED = 2026
ONE_PHASE_DRAWS, THREE_PHASE_DRAWS = 60, 25
WITHIN = 0.005
LINE, NEUTRAL, PROTECTIVE, EARTH = 1, 4, 5, 0  # node numbers at each place; 0 is true earth
NOTHING_OHM = 1e-5  # a joint, or a solid fault
LOWEST, HIGHEST = (
    0.95,
    1.10,
)  # voltage factors: BS 7671 Appendix 14 (minimum), IEC 60909-0 Table 1 (maximum)


@pytest.fixture(scope="module")
def opendss() -> ModuleType:
    return pytest.importorskip(
        "opendssdirect", reason="opendssdirect.py has no package for this Python and system"
    )


@pytest.fixture(scope="module")
def pandapower() -> ModuleType:
    return pytest.importorskip(
        "pandapower", reason="pandapower has no package for this Python and system"
    )


# ---- what is compared


@dataclass
class Comparison:
    """Our figures against the solver's; remembers the worst of each quantity."""

    worst: dict[str, tuple[float, str]] = field(default_factory=dict)
    count: dict[str, int] = field(default_factory=dict)

    def add(self, quantity: str, ours: float | None, solved: float, where: str) -> None:
        assert ours is not None, f"{quantity} of {where} is not known"
        apart = abs(ours - solved) / abs(solved)
        self.count[quantity] = self.count.get(quantity, 0) + 1
        if apart >= self.worst.get(quantity, (-1.0, ""))[0]:
            self.worst[quantity] = (apart, f"{where}: ours {ours:.6g}, solver {solved:.6g}")

    def lines(self) -> Iterator[str]:
        for quantity, (apart, where) in sorted(self.worst.items()):
            yield (
                f"{quantity:38} {self.count[quantity]:4} compared, worst {100 * apart:.4f} %"
                f" ({where})"
            )

    def broken(self) -> list[str]:
        return [line for line in self.lines() if self.worst[line.split()[0]][0] > WITHIN]


def report(tell: Tell, title: str, comparison: Comparison) -> None:
    tell(f"{title}")
    for line in comparison.lines():
        tell(f"  {line}")


# ---- the installation as resistances


@dataclass(frozen=True)
class Run:
    """One cable: ohm of each conductor, cold (20 C) and at its operating limit."""

    line: float
    protective: float
    warmer: float

    @staticmethod
    def of(workings: Workings, name: str) -> Run:
        value = lambda step_id: _value(workings, step_id, name)
        length = value("length") / 1000
        warmer = 1 + value("temperature-coefficient") * (value("operating-limit") - 20)
        return Run(
            value("line-resistance") * length, value("protective-resistance") * length, warmer
        )

    def factor(self, hot: bool) -> float:
        return self.warmer if hot else 1.0


def _value(workings: Workings, step_id: str, of: str) -> float:
    value = workings.value(step_id, of)
    assert value is not None, (step_id, of)
    return value


@dataclass(frozen=True)
class Job:
    """A drawn installation with its workings and, straight from its file, what lies ahead of the
    feed.
    """

    name: str
    data: Data
    installation: Installation
    workings: Workings

    @staticmethod
    def drawn(kind: Callable[[Random], Data], place: int) -> Job:
        data = kind(Random(SEED * 1000 + place))
        installation = installation_of(data, f"{kind.__name__}-{place}")
        return Job(installation.name, data, installation, workings_of(installation))

    @property
    def system(self) -> str:
        return str(self.data["supply"]["system"])

    def ours(self, step_id: str, of: str) -> float:
        return _value(self.workings, step_id, of)

    @property
    def rod(self) -> float | None:
        return next((item["resistance_ohm"] for item in self.data["electrodes"]), None)


# ---- OpenDSS


class Network:
    """Resistances between nodes such as ("board", LINE); one source between line and neutral at the
    star point.
    """

    def __init__(self, engine: ModuleType, volts: float) -> None:
        self.engine = engine
        self.count = 0
        self.loads: dict[str, float] = {}
        engine.Basic.ClearAll()
        # The return of a one-phase source goes to bus2: without it the source stands on true earth.
        self._say(
            f"New Circuit.job phases=1 bus1=star.{LINE} bus2=star.{NEUTRAL} basekv={volts / 1000!r}"
            f" pu=1 basefreq=50 r1={NOTHING_OHM} x1=0 r0={NOTHING_OHM} x0=0"
        )

    def _say(self, command: str) -> None:
        self.engine.Text.Command(command)
        said = self.engine.Text.Result()
        assert not said, f"{command}: {said}"

    def join(self, one: tuple[str, int], other: tuple[str, int], ohm: float = NOTHING_OHM) -> str:
        self.count += 1
        self._say(
            f"New Reactor.r{self.count} phases=1 bus1={one[0]}.{one[1]} bus2={other[0]}.{other[1]}"
            f" r={ohm!r} x=0"
        )
        return f"Reactor.r{self.count}"

    def earth(self, node: tuple[str, int], ohm: float) -> str:
        return self.join(node, (node[0], EARTH), ohm)

    def draw(self, place: str, amperes: float, volts: float) -> None:
        """A load of constant current (model 5) between line and neutral."""
        self.count += 1
        self._say(
            f"New Load.l{self.count} phases=1 bus1={place}.{LINE}.{NEUTRAL} kv={volts / 1000!r}"
            f" kw={amperes * volts / 1000!r} pf=1 model=5 vminpu=0.1 vmaxpu=2"
        )
        self.loads[f"Load.l{self.count}"] = amperes

    def solve(self) -> None:
        """Solve, and make sure by the loads' own currents: nodes at no voltage never meet the
        engine's relative tolerance.
        """
        self._say("Set tolerance=1e-9")
        self._say("Set maxiterations=60")
        self._say("Solve")
        for element, amperes in self.loads.items():
            assert self.amperes(element) == pytest.approx(amperes, rel=1e-6)

    def volts(self, one: tuple[str, int], other: tuple[str, int] | None = None) -> float:
        return abs(self._voltage(one) - (self._voltage(other) if other else 0))

    def _voltage(self, node: tuple[str, int]) -> complex:
        self.engine.Circuit.SetActiveBus(node[0])
        parts = self.engine.Bus.Voltages()
        place = self.engine.Bus.Nodes().index(node[1])
        return complex(parts[2 * place], parts[2 * place + 1])

    def amperes(self, element: str) -> float:
        self.engine.Circuit.SetActiveElement(element)
        parts = self.engine.CktElement.Currents()
        return abs(complex(parts[0], parts[1]))


def built(engine: ModuleType, job: Job, hot: bool, factor: float = 1.0, only: str = "") -> Network:
    """The installation from the star point of its supply to its points, every conductor
    by itself.
    """
    supply, workings = job.data["supply"], job.workings
    net = Network(engine, supply["line_to_earth_v"] * factor)
    half = supply["line_neutral_loop_ohm"] / 2
    net.join(("star", LINE), ("origin", LINE), half)
    net.join(("star", NEUTRAL), ("origin", NEUTRAL), half)
    net.earth(("star", NEUTRAL), supply["source_electrode_ohm"])
    if job.system == "TN-C-S":
        net.join(("origin", NEUTRAL), ("origin", PROTECTIVE))
    elif job.system == "TN-S":
        net.join(("star", NEUTRAL), ("origin", PROTECTIVE), supply["ze_ohm"] - half)
    else:
        assert job.rod is not None
        net.earth(
            ("origin", PROTECTIVE), job.rod
        )  # at the main earthing terminal, where the feed's protective conductor begins
    _run(net, "origin", "board", Run.of(workings, "feed"), hot)
    for circuit in job.installation.circuits:
        if only in ("", circuit.name):
            _run(net, "board", circuit.name, Run.of(workings, circuit.name), hot)
    return net


def _run(net: Network, near: str, far: str, run: Run, hot: bool) -> None:
    net.join((near, LINE), (far, LINE), run.line * run.factor(hot))
    net.join((near, NEUTRAL), (far, NEUTRAL), run.line * run.factor(hot))
    net.join((near, PROTECTIVE), (far, PROTECTIVE), run.protective * run.factor(hot))


def fault(
    engine: ModuleType, job: Job, place: str, to: int, hot: bool, factor: float
) -> tuple[float, Network]:
    """Current in ampere of a solid fault from line to neutral or to the protective conductor."""
    net = built(engine, job, hot, factor)
    element = net.join((place, LINE), (place, to))
    net.solve()
    return net.amperes(element), net


def compare_faults(engine: ModuleType, job: Job, circuit: Circuit, comparison: Comparison) -> None:
    name, where = circuit.name, f"{job.name} {job.system} {circuit.name}"
    volts = job.data["supply"]["line_to_earth_v"]
    smallest, _ = fault(engine, job, name, PROTECTIVE, True, LOWEST)
    comparison.add("earth-fault-current", job.ours("earth-fault-current", name), smallest, where)
    nominal, net = fault(engine, job, name, PROTECTIVE, True, 1.0)
    comparison.add("loop-impedance", job.ours("loop-impedance", name), volts / nominal, where)
    if (
        job.system != "TN-S"
    ):  # there the share of Ze that is protective conductor is the network's own
        comparison.add(
            "touch-voltage",
            job.ours("touch-voltage", f"p-{name}"),
            net.volts((name, PROTECTIVE)),
            where,
        )
    cold, _ = fault(engine, job, name, PROTECTIVE, False, 1.0)
    comparison.add(
        "loop-impedance-reading", job.ours("loop-impedance-reading", name), volts / cold, where
    )
    neutral, _ = fault(engine, job, name, NEUTRAL, True, LOWEST)
    comparison.add(
        "fault-current-at-charging-point",
        job.ours("fault-current-at-charging-point", name),
        neutral,
        where,
    )


def compare_at_board(engine: ModuleType, job: Job, comparison: Comparison) -> None:
    largest = {}
    for to, step_id in (
        (NEUTRAL, "line-neutral-fault-at-board"),
        (PROTECTIVE, "line-earth-fault-at-board"),
    ):
        largest[step_id], _ = fault(engine, job, "board", to, False, HIGHEST)
        comparison.add(
            step_id, job.ours(step_id, "board"), largest[step_id] / 1000, f"{job.name} {job.system}"
        )
    if len(job.installation.circuits[0].lines) == 1:
        comparison.add(
            "fault-current-at-board",
            job.ours("fault-current-at-board", "board"),
            max(largest.values()) / 1000,
            f"{job.name} {job.system}",
        )


def compare_drop(engine: ModuleType, job: Job, comparison: Comparison) -> None:
    """Every circuit draws its current at once, as the feed's drop is worked."""
    volts = job.data["supply"]["line_to_earth_v"]
    net = built(engine, job, hot=True)
    for circuit in job.installation.circuits:
        net.draw(circuit.name, job.ours("design-current", circuit.name), volts)
    net.solve()
    across = {
        place: net.volts((place, LINE), (place, NEUTRAL))
        for place in ("origin", "board", *(item.name for item in job.installation.circuits))
    }
    for circuit in job.installation.circuits:
        name, where = circuit.name, f"{job.name} {job.system} {circuit.name}"
        comparison.add(
            "voltage-drop-by-resistance-of-feed",
            job.ours("voltage-drop-by-resistance-of-feed", name),
            across["origin"] - across["board"],
            where,
        )
        comparison.add(
            "voltage-drop-by-resistance-of-circuit",
            job.ours("voltage-drop-by-resistance-of-circuit", name),
            across["board"] - across[name],
            where,
        )
        comparison.add(
            "voltage-drop-by-resistance",
            job.ours("voltage-drop-by-resistance", name),
            across["origin"] - across[name],
            where,
        )


def compare_open_pen(engine: ModuleType, job: Job, comparison: Comparison) -> None:
    """The PEN is broken ahead of the origin: neutral and protective conductors hang on the
    electrode alone.
    """
    supply, rod = job.data["supply"], job.rod
    if job.system != "TN-C-S" or rod is None:
        return
    demand = job.ours("maximum-demand", "supply")
    net = Network(engine, supply["line_to_earth_v"])
    net.earth(("star", NEUTRAL), supply["source_electrode_ohm"])
    net.join(("star", LINE), ("origin", LINE))
    net.join(("origin", LINE), ("origin", NEUTRAL), supply["line_to_earth_v"] / demand)
    net.join(("origin", NEUTRAL), ("origin", PROTECTIVE))
    net.earth(("origin", PROTECTIVE), rod)
    net.solve()
    comparison.add(
        "open-pen-voltage",
        job.ours("open-pen-voltage", "supply"),
        net.volts(("origin", PROTECTIVE)),
        job.name,
    )


def test_one_phase_installations_solve_to_our_figures(opendss: ModuleType, tell: Tell) -> None:
    comparison = Comparison()
    for place in range(ONE_PHASE_DRAWS):
        job = Job.drawn(one_phase, place)
        compare_drop(opendss, job, comparison)
        compare_at_board(opendss, job, comparison)
        compare_open_pen(opendss, job, comparison)
        for circuit in job.installation.circuits:
            compare_faults(opendss, job, circuit, comparison)
    report(tell, f"one phase, {ONE_PHASE_DRAWS} installations against OpenDSS", comparison)
    assert comparison.broken() == []
    assert min(comparison.count.values()) >= 10, (
        "every quantity is compared often enough to mean something"
    )


def test_faults_of_three_phase_installations_solve_to_our_figures(
    opendss: ModuleType, tell: Tell
) -> None:
    """Line to neutral and line to earth of one line; the other two lines carry nothing."""
    comparison = Comparison()
    for place in range(THREE_PHASE_DRAWS):
        job = Job.drawn(three_phase, place)
        compare_at_board(opendss, job, comparison)
        for circuit in job.installation.circuits:
            compare_faults(opendss, job, circuit, comparison)
    report(
        tell,
        f"three phases, faults to neutral and earth, {THREE_PHASE_DRAWS} installations against"
        " OpenDSS",
        comparison,
    )
    assert comparison.broken() == []


# ---- pandapower


def balanced(pp: ModuleType, job: Job, hot: bool) -> tuple[object, dict[str, int]]:
    """Origin, board and points as buses; feed and circuits as lines of one kilometre."""
    volts = job.data["supply"]["line_to_line_v"]
    net = pp.create_empty_network(f_hz=50)
    buses = {
        name: pp.create_bus(net, vn_kv=volts / 1000)
        for name in ("origin", "board", *(item.name for item in job.installation.circuits))
    }
    # The short-circuit power that leaves one line's impedance of the supply, purely resistive; c as
    # in IEC 60909-0.
    line = job.ours("line-impedance-at-origin", "board")
    pp.create_ext_grid(
        net, buses["origin"], s_sc_max_mva=HIGHEST * volts**2 / line / 1e6, rx_max=1e5
    )
    for name in ("feed", *(item.name for item in job.installation.circuits)):
        run = Run.of(job.workings, name)
        near, far = ("origin", "board") if name == "feed" else ("board", name)
        pp.create_line_from_parameters(
            net,
            buses[near],
            buses[far],
            length_km=1,
            r_ohm_per_km=run.line * run.factor(hot),
            x_ohm_per_km=1e-9,
            c_nf_per_km=0,
            max_i_ka=1,
        )
    return net, buses


def test_balanced_three_phases_drop_to_our_figures(pandapower: ModuleType, tell: Tell) -> None:
    comparison = Comparison()
    for place in range(THREE_PHASE_DRAWS):
        job = Job.drawn(three_phase, place)
        volts = job.data["supply"]["line_to_line_v"]
        net, buses = balanced(pandapower, job, hot=True)
        for circuit in job.installation.circuits:
            pandapower.create_load(
                net,
                buses[circuit.name],
                p_mw=math.sqrt(3) * volts * job.ours("design-current", circuit.name) / 1e6,
                const_i_p_percent=100,
                const_i_q_percent=100,
            )
        pandapower.runpp(net, tolerance_mva=1e-9, numba=False)
        across = {name: float(net.res_bus.vm_pu[bus]) * volts for name, bus in buses.items()}
        for circuit in job.installation.circuits:
            name, where = circuit.name, f"{job.name} {circuit.name}"
            comparison.add(
                "voltage-drop-by-resistance-of-feed",
                job.ours("voltage-drop-by-resistance-of-feed", name),
                across["origin"] - across["board"],
                where,
            )
            comparison.add(
                "voltage-drop-by-resistance-of-circuit",
                job.ours("voltage-drop-by-resistance-of-circuit", name),
                across["board"] - across[name],
                where,
            )
            comparison.add(
                "voltage-drop-by-resistance",
                job.ours("voltage-drop-by-resistance", name),
                across["origin"] - across[name],
                where,
            )
    report(
        tell,
        f"balanced three phases, drop, {THREE_PHASE_DRAWS} installations against pandapower",
        comparison,
    )
    assert comparison.broken() == []


def test_three_phase_short_circuits_solve_to_our_figures(
    pandapower: ModuleType, tell: Tell
) -> None:
    from pandapower.shortcircuit import calc_sc

    comparison = Comparison()
    for place in range(THREE_PHASE_DRAWS):
        job = Job.drawn(three_phase, place)
        net, buses = balanced(pandapower, job, hot=False)
        for kind, step_id in (
            ("3ph", "three-phase-fault-at-board"),
            ("2ph", "line-line-fault-at-board"),
        ):
            calc_sc(net, fault=kind, case="max", lv_tol_percent=10)
            comparison.add(
                step_id,
                job.ours(step_id, "board"),
                float(net.res_bus_sc.ikss_ka[buses["board"]]),
                job.name,
            )
    report(
        tell,
        f"short circuits between lines, {THREE_PHASE_DRAWS} installations against pandapower",
        comparison,
    )
    assert comparison.broken() == []


# ---- the comparison can fail


def test_a_longer_neutral_is_seen(opendss: ModuleType) -> None:
    """The solver gets a longer neutral than ours: the smallest line-neutral fault is no longer
    ours.
    """
    job = Job.drawn(one_phase, 0)
    circuit = job.installation.circuits[0]
    comparison = Comparison()
    net = built(opendss, job, True, LOWEST)
    own = Run.of(job.workings, circuit.name)
    net.join((circuit.name, NEUTRAL), ("longer", NEUTRAL), 0.2 * own.line + 0.05)
    element = net.join((circuit.name, LINE), ("longer", NEUTRAL))
    net.solve()
    comparison.add(
        "fault-current-at-charging-point",
        job.ours("fault-current-at-charging-point", circuit.name),
        net.amperes(element),
        job.name,
    )
    assert comparison.broken()
