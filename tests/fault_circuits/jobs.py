"""The circuits, one function a job, each written by hand from the job's file.

Names of places are those of the drawings. What holds for all of them:

- The file's impedances are those where the feed begins: the tails lie in them and are taken out
  again where a place lies ahead of the tails' end.
- TN-C-S: half of Ze is line, half PEN. TN-S: half of the loop of line and neutral is line, and what
  Ze has more is protective conductor. TT: half of that loop is line; the earth returns through both
  electrodes.
- A fault between lines goes through the lines alone: where the file states the current of such a
  fault, or of one of all three lines, the line is what that current leaves.
- Poles, bars and the wire from one device of the board to the next count as nothing (common
  practice); the leads of a surge protective device have the lengths the file states.
- Sizes that the file leaves to be chosen stand in `CHOSEN`.
"""

from __future__ import annotations

from collections.abc import Callable

from fault_circuits.given import Given
from fault_circuits.network import (
    EARTH,
    Driven,
    Network,
    Ohm,
    armour,
    as_stated,
    awg,
    copper,
    flexible,
    of_supply,
    rods_ohm,
)
from fault_circuits.rows import ARMOUR_AT_70_C

TERMINALS_70, TERMINALS_90 = 70.0, 90.0

CHOSEN: dict[str, dict[str, object]] = {
    "marram": {"circuits.slipway.cable.csa_mm2": 6, "circuits.slipway.cable.cpc_mm2": 6},
    "tern": {"circuits.shed.cable.csa_mm2": 6, "circuits.shed.cable.cpc_mm2": 6},
    "fulmar": {
        "circuits.byre.cable.csa_mm2": 4,
        "circuits.byre.cable.cpc_mm2": 4,
        "board.ways.F2.rating_a": 32,
        "electrodes.rods.rods": 5,
    },
    "sallow": {"circuits.yard.cable.csa_mm2": 10, "circuits.yard.cable.cpc_mm2": 10},
    "osier": {"circuits.yard.cable.csa_mm2": 10, "circuits.yard.cable.cpc_mm2": 10},
    "plover": {"circuits.quay.cable.csa_mm2": 6, "circuits.quay.cable.cpc_mm2": 6},
    "dunlin": {
        "circuits.bay.cable.csa_mm2": 10,
        "circuits.bay.cable.cpc_mm2": 10,
        "board.ways.F2.rating_a": 32,
    },
    "sedge": {
        "circuits.drive.cable.csa_mm2": 10,
        "circuits.drive.cable.cpc_mm2": 4,
        "board.ways.F2.rating_a": 32,
    },
    "quince": {},
    "bramble": {
        "feed.cable.size_awg": "6",
        "feed.cable.egc_awg": "10",
        "circuits.carport.cable.size_awg": "6",
        "circuits.carport.cable.egc_awg": "10",
        "board.ways.F2.rating_a": 50,
    },
    "alder": {
        "circuits.garage.cable.size_awg": "4",
        "circuits.garage.cable.egc_awg": "10",
        "board.ways.F2.rating_a": 60,
    },
    "hornbeam": {},
    "eider": {},
    "curlew": {},
    "rowan": {"circuits.forecourt.cable.csa_mm2": 6, "circuits.forecourt.cable.cpc_mm2": 6},
    "teasel": {"circuits.barn.cable.csa_mm2": 10, "circuits.barn.cable.cpc_mm2": 4},
    "sorrel": {
        "circuits.lean-to.cable.csa_mm2": 2.5,
        "circuits.lean-to.cable.cpc_mm2": 2.5,
        "board.ways.F2.rating_a": 20,
    },
    "avocet": {
        "circuits.east.cable.csa_mm2": 10,
        "circuits.east.cable.cpc_mm2": 10,
        "circuits.west.cable.csa_mm2": 10,
        "circuits.west.cable.cpc_mm2": 10,
    },
    "godwit": {
        "feed.cable.size_awg": "2",
        "feed.cable.egc_awg": "6",
        "circuits.wash-bay.cable.size_awg": "3",
        "circuits.wash-bay.cable.egc_awg": "8",
        "board.ways.F2.rating_a": 100,
    },
    "whimbrel": {
        "circuits.drive.cable.csa_mm2": 10,
        "circuits.drive.cable.cpc_mm2": 4,
        "board.ways.F2.rating_a": 32,
    },
}
BETWEEN_LINES = "line-line"


def marram(file: Given, kind: str) -> Network:
    """TN-C-S, one phase. Service fuse, tails, connector block, feed; SPD and RCBO on the bar."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "post-1.PE"])
    half, tail = file("supply.ze_ohm") / 2, copper(25, file.metres("supply"), TERMINALS_70)
    net.source("star", "winding.L1", 230)
    net.wire("winding.L1", "cut-out.L1", _without(half, tail))
    net.wire("star", "cut-out.N", _without(half, tail))
    net.wire("cut-out.L1", "origin.L1", of_supply(tail.cold))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("cut-out.N", "met.PE", of_supply(tail.cold))  # Ze as stated is that at its end
    net.wire("star", EARTH, as_stated(10))
    feed = file.metres("feed")
    net.wire("origin.L1", "Q1.supply.L1", copper(25, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(25, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    run = file.metres("circuits.slipway")
    net.wire("F2.load.L1", "post-1.L1", copper(6, run, TERMINALS_70))
    net.wire("F2.load.N", "post-1.N", copper(6, run, TERMINALS_70))
    net.wire("earth-bar", "post-1.PE", copper(6, run, TERMINALS_70))
    return net


def tern(file: Given, kind: str) -> Network:
    """TT, one phase. Service fuse, tails, switch-fuse, feed; SPD and RCBO on the bar."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "shed-point.PE"])
    half, tail = 0.32 / 2, copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_electrode_alone(net, half, tail, 8)
    net.wire("met.PE", "rods.PE", as_stated(1e-6))
    net.wire("rods.PE", EARTH, as_stated(file("electrodes.rods.resistance_ohm")))
    _farm_board(net, file, "shed", "shed-point", 6)
    return net


def fulmar(file: Given, kind: str) -> Network:
    """As tern, with five rods in poor ground and a smaller cable."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "byre-point.PE"])
    half, tail = 0.32 / 2, copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_electrode_alone(net, half, tail, 8)
    net.wire("met.PE", "rods.PE", as_stated(1e-6))
    net.wire("rods.PE", EARTH, as_stated(rods_ohm(5, 3000, 1.2, 16, 3.6)))
    _farm_board(net, file, "byre", "byre-point", 4)
    return net


def _earthed_by_electrode_alone(
    net: Network, half: float, tail: Ohm, source_electrode_ohm: float
) -> None:
    net.source("star", "winding.L1", 230)
    net.wire("winding.L1", "cut-out.L1", _without(half, tail))
    net.wire("star", "cut-out.N", _without(half, tail))
    net.wire("cut-out.L1", "origin.L1", of_supply(tail.cold))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("star", EARTH, as_stated(source_electrode_ohm))


def _farm_board(net: Network, file: Given, circuit: str, point: str, core_mm2: float) -> None:
    """The board that tern and fulmar share: 16 mm2 feed behind a switch-fuse."""
    feed = file.metres("feed")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(16, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(16, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    run = file.metres(f"circuits.{circuit}")
    net.wire("F2.load.L1", f"{point}.L1", copper(core_mm2, run, TERMINALS_70))
    net.wire("F2.load.N", f"{point}.N", copper(core_mm2, run, TERMINALS_70))
    net.wire("earth-bar", f"{point}.PE", copper(core_mm2, run, TERMINALS_70))


def sallow(file: Given, kind: str) -> Network:
    """TT, three phases. Residual current device ahead, switch-fuse, feed.

    A three-pole RCBO for the yard, one on L2 for the gate.
    """
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "yard-post.PE", "gate-post.PE"])
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    line = _line_by_three_phase_current(file) if kind == BETWEEN_LINES else 0.074 / 2
    for name, degrees in (("L1", 0), ("L2", -120), ("L3", 120)):
        net.source("star", f"winding.{name}", _phase_volts(kind), degrees)
        net.wire(f"winding.{name}", f"cut-out.{name}", _without(line, tail))
        net.wire(f"cut-out.{name}", f"origin.{name}", of_supply(tail.cold))
        net.joint(f"origin.{name}", f"feed.{name}")
        net.wire(f"feed.{name}", f"Q1.supply.{name}", copper(25, file.metres("feed"), TERMINALS_70))
        net.joint(f"Q1.supply.{name}", f"Q1.load.{name}", f"bar.{name}.F1")
        net.joint(f"Q1.load.{name}", f"bar.{name}.F2", f"F2.supply.{name}", f"F2.load.{name}")
        net.wire(
            f"F2.load.{name}",
            f"yard-post.{name}",
            copper(10, file.metres("circuits.yard"), TERMINALS_70),
        )
    net.joint("Q1.load.L2", "bar.L2.F3", "F3.supply.L2", "F3.load.L2")
    net.wire("F3.load.L2", "gate-post.L2", copper(6, file.metres("circuits.gate"), TERMINALS_70))
    net.wire("star", "cut-out.N", _without(0.074 / 2, tail))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("origin.N", "Q1.supply.N", copper(25, file.metres("feed"), TERMINALS_70))
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("neutral-bar", "F3.supply.N", "F3.load.N")
    net.wire("F2.load.N", "yard-post.N", copper(10, file.metres("circuits.yard"), TERMINALS_70))
    net.wire("F3.load.N", "gate-post.N", copper(6, file.metres("circuits.gate"), TERMINALS_70))
    net.wire("star", EARTH, as_stated(10))
    net.wire("met.PE", "rods.PE", as_stated(1e-6))
    net.wire("rods.PE", EARTH, as_stated(rods_ohm(2, 60, 2.4, 14, 4)))
    net.wire("met.PE", "earth-bar", copper(16, file.metres("feed"), TERMINALS_70))
    net.joint("earth-bar", "enclosure")
    net.wire("earth-bar", "yard-post.PE", copper(10, file.metres("circuits.yard"), TERMINALS_70))
    net.wire("earth-bar", "gate-post.PE", copper(6, file.metres("circuits.gate"), TERMINALS_70))
    _surge_leads(net, file, "F1", ("L1", "L2", "L3"))
    return net


def osier(file: Given, kind: str) -> Network:
    """TN-C-S, three phases. Service fuse, switch-fuse, feed; a three-pole RCBO for the yard."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "yard-post.PE"])
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    line = _line_by_three_phase_current(file) if kind == BETWEEN_LINES else 0.16 / 2
    for name, degrees in (("L1", 0), ("L2", -120), ("L3", 120)):
        net.source("star", f"winding.{name}", _phase_volts(kind), degrees)
        net.wire(f"winding.{name}", f"cut-out.{name}", _without(line, tail))
        net.wire(f"cut-out.{name}", f"origin.{name}", of_supply(tail.cold))
        net.joint(f"origin.{name}", f"feed.{name}")
        net.wire(f"feed.{name}", f"Q1.supply.{name}", copper(16, file.metres("feed"), TERMINALS_70))
        net.joint(f"Q1.supply.{name}", f"Q1.load.{name}", f"bar.{name}.F1")
        net.joint(f"Q1.load.{name}", f"bar.{name}.F2", f"F2.supply.{name}", f"F2.load.{name}")
        net.wire(
            f"F2.load.{name}",
            f"yard-post.{name}",
            copper(10, file.metres("circuits.yard"), TERMINALS_70),
        )
    net.wire("star", "cut-out.N", _without(0.16 / 2, tail))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("cut-out.N", "met.PE", of_supply(tail.cold))
    net.wire("star", EARTH, as_stated(4))
    net.wire("origin.N", "Q1.supply.N", copper(16, file.metres("feed"), TERMINALS_70))
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.wire("F2.load.N", "yard-post.N", copper(10, file.metres("circuits.yard"), TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, file.metres("feed"), TERMINALS_70))
    net.joint("earth-bar", "enclosure")
    net.wire("earth-bar", "yard-post.PE", copper(10, file.metres("circuits.yard"), TERMINALS_70))
    _surge_leads(net, file, "F1", ("L1", "L2", "L3"))
    return net


def plover(file: Given, kind: str) -> Network:
    """TN-S, three phases. Service fuse, 12 m of tails to the harbour office, a fuse there, feed.

    The resistance of a five-core cable's armour stands in no table we hold: it is left out, so that
    a fault to earth behind the RCBO shows the smallest current alone.
    """
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "quay-post.PE"])
    tail = copper(35, file.metres("supply"), TERMINALS_90)
    line = 400 / (2 * file.ka("line_line") * 1000) if kind == BETWEEN_LINES else 0.09 / 2
    for name, degrees in (("L1", 0), ("L2", -120), ("L3", 120)):
        net.source("star", f"winding.{name}", _phase_volts(kind), degrees)
        net.wire(f"winding.{name}", f"cut-out.{name}", _without(line, tail))
        net.wire(f"cut-out.{name}", f"origin.{name}", of_supply(tail.cold))
        net.joint(f"origin.{name}", f"feed.{name}")
        net.wire(f"feed.{name}", f"Q1.supply.{name}", copper(16, file.metres("feed"), TERMINALS_70))
        net.joint(f"Q1.supply.{name}", f"Q1.load.{name}", f"bar.{name}.F1")
        net.joint(f"Q1.load.{name}", f"bar.{name}.F2", f"F2.supply.{name}", f"F2.load.{name}")
        net.wire(
            f"F2.load.{name}",
            f"quay-post.{name}",
            copper(6, file.metres("circuits.quay"), TERMINALS_90),
        )
    net.wire("star", "cut-out.N", _without(0.09 / 2, tail))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("star", "met.PE", of_supply(0.11 - 0.09 / 2))
    net.wire("star", EARTH, as_stated(1.5))
    net.wire("origin.N", "Q1.supply.N", copper(16, file.metres("feed"), TERMINALS_70))
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.wire("F2.load.N", "quay-post.N", copper(6, file.metres("circuits.quay"), TERMINALS_90))
    net.wire("met.PE", "earth-bar", copper(16, file.metres("feed"), TERMINALS_70))
    net.joint("earth-bar", "enclosure")
    net.wire("earth-bar", "quay-post.PE", copper(6, file.metres("circuits.quay"), TERMINALS_90))
    _surge_leads(net, file, "F1", ("L1", "L2", "L3"))
    return net


def plover_armour_without_resistance(file: Given, kind: str) -> Network:
    """As plover, the armour, earthed at both ends, taken as if it had no resistance at all."""
    net = plover(file, kind)
    net.joint("earth-bar", "quay-post.PE")
    return net


def dunlin(file: Given, kind: str) -> Network:
    """TN-S, one phase. Service fuse, switch-fuse, feed in one cable; SPD and RCBO on the bar."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "bay-point.PE"])
    half, tail = 0.24 / 2, copper(16, file.metres("supply"), TERMINALS_70)
    _earthed_by_the_network(net, half, tail, 0.35, 2)
    feed, run = file.metres("feed"), file.metres("circuits.bay")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(10, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(10, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(10, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    net.wire("F2.load.L1", "bay-point.L1", copper(10, run, TERMINALS_70))
    net.wire("F2.load.N", "bay-point.N", copper(10, run, TERMINALS_70))
    net.wire("earth-bar", "bay-point.PE", copper(10, run, TERMINALS_70))
    return net


def sedge(file: Given, kind: str) -> Network:
    """TN-S, one phase. Service fuse, switch-fuse, feed; flat twin and earth, its PE smaller."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "gable-point.PE"])
    half, tail = 0.19 / 2, copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_the_network(net, half, tail, 0.41, 1)  # the source electrode carries nothing
    feed, run = file.metres("feed"), file.metres("circuits.drive")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(16, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(16, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    net.wire("F2.load.L1", "gable-point.L1", copper(10, run, TERMINALS_70))
    net.wire("F2.load.N", "gable-point.N", copper(10, run, TERMINALS_70))
    net.wire("earth-bar", "gable-point.PE", copper(4, run, TERMINALS_70))
    return net


def _earthed_by_the_network(
    net: Network, half: float, tail: Ohm, ze_ohm: float, source_electrode_ohm: float
) -> None:
    net.source("star", "winding.L1", 230)
    net.wire("winding.L1", "cut-out.L1", _without(half, tail))
    net.wire("star", "cut-out.N", _without(half, tail))
    net.wire("cut-out.L1", "origin.L1", of_supply(tail.cold))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("star", "met.PE", of_supply(ze_ohm - half))
    net.wire("star", EARTH, as_stated(source_electrode_ohm))


def quince(file: Given, kind: str) -> Network:
    """TN-C-S, one phase; the point stands on a rod of its own.

    Feed from a way of the old board, behind its 30 mA device and a 45 A fuse; RCBO on the bar, the
    SPD hangs on the RCBO's outgoing terminals. The protective core of the cable ends unjoined in
    the point.
    """
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "post-1.PE"])
    tail = copper(16, file.metres("supply"), TERMINALS_70)
    half = 0.28 / 2
    net.source("star", "winding.L1", 230)
    net.wire("winding.L1", "cut-out.L1", _without(half, tail))
    net.wire("star", "cut-out.N", _without(half, tail))
    net.wire("cut-out.L1", "origin.L1", of_supply(tail.cold))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("cut-out.N", "met.PE", of_supply(tail.cold))
    net.wire("star", EARTH, as_stated(file("supply.source_electrode_ohm")))
    feed, run = file.metres("feed"), file.metres("circuits.drive")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(10, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(10, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(10, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1", "F1.supply.L1", "F1.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F1.supply.N", "F1.load.N")
    net.joint("earth-bar", "enclosure")
    net.wire("F1.load.L1", "F2.L1", file.lead("F2", "line"))
    net.wire("F1.load.N", "F2.N", file.lead("F2", "neutral"))
    net.wire("earth-bar", "F2.PE", file.lead("F2", "earth"))
    net.wire("F1.load.L1", "post-1.L1", copper(6, run, TERMINALS_70))
    net.wire("F1.load.N", "post-1.N", copper(6, run, TERMINALS_70))
    net.wire("earth-bar", "post-1.parked.PE", copper(2.5, run, TERMINALS_70))
    net.wire("post-1.PE", "rod-1.PE", as_stated(1e-6))
    net.wire("rod-1.PE", EARTH, as_stated(350))
    return net


def bramble(file: Given, kind: str) -> Network:
    """Grounded, two lines. Feeder from the house panel's breaker; no neutral beyond the panel."""
    net = Network(touched=["origin.PE", "earth-bar", "enclosure", "post-1.PE"])
    _two_lines(net, file, "6", "10", "carport", "6", "10")
    return net


def alder(file: Given, kind: str) -> Network:
    """Grounded, two lines. Feeder from the service panel's breaker; no neutral beyond the panel."""
    net = Network(touched=["origin.PE", "earth-bar", "enclosure", "post-1.PE"])
    _two_lines(net, file, "4", "8", "garage", "4", "10")
    return net


def godwit(file: Given, kind: str) -> Network:
    """Grounded, two lines of a star of three: they stand 120 degrees apart, 208 V between them."""
    net = Network(touched=["origin.PE", "earth-bar", "enclosure", "post-1.PE"])
    volts = 208 / 3**0.5 if kind == BETWEEN_LINES else 120.0
    _two_lines(
        net, file, "2", "6", "wash-bay", "3", "8", ((volts, 0), (volts, -120)), between_v=208
    )
    return net


def _two_lines(
    net: Network,
    file: Given,
    feeder: str,
    feeder_ground: str,
    circuit: str,
    core: str,
    ground: str,
    sources: tuple[tuple[float, float], ...] = ((120, 0), (120, 180)),
    between_v: float = 240,
) -> None:
    """Only currents are stated: two lines, and line with neutral, are voltage by current."""
    line = between_v / (file.ka("line_line") * 1000) / 2
    neutral = 120 / (file.ka("line_neutral") * 1000) - line
    for name, (volts, degrees) in zip(("L1", "L2"), sources, strict=True):
        net.source("star", f"winding.{name}", volts, degrees)
        net.wire(f"winding.{name}", f"origin.{name}", of_supply(line))
        net.joint(f"origin.{name}", f"feed.{name}")
        net.wire(f"feed.{name}", f"bar.{name}.lugs", awg(feeder, file.metres("feed")))
        net.joint(f"bar.{name}.lugs", f"bar.{name}.F1")
        net.joint(f"bar.{name}.lugs", f"bar.{name}.F2", f"F2.supply.{name}", f"F2.load.{name}")
        net.wire(
            f"bar.{name}.F1", f"F1.{name}", awg("10", file("board.ways.F1.leads.line.length_m"))
        )
        net.wire(f"F2.load.{name}", f"post-1.{name}", awg(core, file.metres(f"circuits.{circuit}")))
    net.wire("star", "origin.N", of_supply(neutral))
    net.joint("origin.N", "origin.PE")  # bonded at the service; Ze, where measured, is that loop
    net.wire("star", EARTH, as_stated(10))  # carries nothing: any figure does
    net.wire("origin.N", "neutral-bar", awg(feeder, file.metres("feed")))
    net.wire("neutral-bar", "F1.N", awg("10", file("board.ways.F1.leads.neutral.length_m")))
    net.wire("origin.PE", "earth-bar", awg(feeder_ground, file.metres("feed")))
    net.wire("earth-bar", "F1.PE", awg("10", file("board.ways.F1.leads.earth.length_m")))
    net.joint("earth-bar", "enclosure")
    net.wire("earth-bar", "post-1.PE", awg(ground, file.metres(f"circuits.{circuit}")))


# ---- marram with other things about it


def marram_by_currents(file: Given, kind: str) -> Network:
    """The supply is known by its prospective currents alone: impedance is voltage by current."""
    whole = 230 / (file.ka("line_earth") * 1000)
    file.data["supply"]["ze_ohm"] = whole
    return marram(file, kind)


def marram_with_its_lead(file: Given, kind: str) -> Network:
    """As far as the plug of the point's own lead, which is flexible."""
    net = marram(file, kind)
    _lead(net, file, "post-1", ("L1", "N"))
    return net


def marram_armour_at_both_ends(file: Given, kind: str) -> Network:
    """The gland at the point joins the armour too: a second way beside the protective core."""
    net = marram(file, kind)
    net.wire(
        "earth-bar", "post-1.PE", armour(3, 6, file.metres("circuits.slipway"), ARMOUR_AT_70_C)
    )
    return net


def marram_with_an_electrode(file: Given, kind: str) -> Network:
    """An electrode of the installation at the main earthing terminal, beside the supply's earth."""
    net = marram(file, kind)
    net.wire("met.PE", EARTH, as_stated(file("electrodes.rod-1.resistance_ohm")))
    return net


def marram_point_on_its_rod(file: Given, kind: str) -> Network:
    """The point stands on a rod of its own; the protective core ends unjoined in it."""
    net = marram(file, kind)
    net.wires = [wire for wire in net.wires if wire[:2] != ("earth-bar", "post-1.PE")]
    net.wire(
        "earth-bar", "post-1.parked.PE", copper(6, file.metres("circuits.slipway"), TERMINALS_70)
    )
    net.wire("post-1.PE", EARTH, as_stated(file("electrodes.rod-1.resistance_ohm")))
    return net


def hornbeam(file: Given, kind: str) -> Network:
    """TN-C-S in the house, rods at the garage. Residual current device and breaker in the house.

    28 m of two-core armoured cable: its armour is joined to the house alone and ends at the garage
    in an insulated gland. The garage, its board and the point stand on the rods.
    """
    net = Network(touched=["met.PE", "feed.armour", "earth-bar", "enclosure", "door-point.PE"])
    half, tail = file("supply.ze_ohm") / 2, copper(25, file.metres("supply"), TERMINALS_70)
    net.source("star", "winding.L1", 230)
    net.wire("winding.L1", "cut-out.L1", _without(half, tail))
    net.wire("star", "cut-out.N", _without(half, tail))
    net.wire("cut-out.L1", "origin.L1", of_supply(tail.cold))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("cut-out.N", "met.PE", of_supply(tail.cold))
    net.wire("star", EARTH, as_stated(file("supply.source_electrode_ohm")))
    feed = file.metres("feed")
    net.joint("origin.L1", "hall-rcd.load.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(6, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(6, feed, TERMINALS_70))
    net.wire("met.PE", "feed.armour", armour(2, 6, feed, ARMOUR_AT_70_C))
    rods = file("electrodes.garage-rods.resistance_ohm")
    net.wire("garage-rods.PE", EARTH, as_stated(rods))
    net.joint("garage-rods.PE", "earth-bar")  # a measured resistance has the lead in it
    _board_in_another_building(net, file, "door-point")
    return net


def hornbeam_armour_at_both_ends(file: Given, kind: str) -> Network:
    """The gland at the garage joins the armour: the earth of the house comes along beside the
    rods.
    """
    net = hornbeam(file, kind)
    net.joint("feed.armour", "earth-bar")
    return net


def eider(file: Given, kind: str) -> Network:
    """TN-S; 30 m of three-core armoured cable take the earth of the house to the shed by a core.

    The armour of three cores of 16 mm2 stands in no table we hold: left out, a fault to earth
    shows the smallest current, and of the core alone the highest voltage.
    """
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "slip-point.PE"])
    half = file("supply.line_neutral_loop_ohm") / 2
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_the_network(net, half, tail, file("supply.ze_ohm"), 1)  # carries nothing
    feed = file.metres("feed")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(16, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(16, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    _board_in_another_building(net, file, "slip-point")
    return net


def eider_armour_without_resistance(file: Given, kind: str) -> Network:
    """As eider, the armour of the feed taken as if it had no resistance at all: the other end."""
    net = eider(file, kind)
    net.joint("met.PE", "earth-bar")
    return net


def _board_in_another_building(net: Network, file: Given, point: str) -> None:
    """The board that hornbeam and eider share: SPD and RCBO; three cores of 6 mm2 to the point."""
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    run = file.metres("circuits.post")
    for one, other in (("F2.load.L1", "L1"), ("F2.load.N", "N"), ("earth-bar", "PE")):
        net.wire(one, f"{point}.{other}", copper(6, run, TERMINALS_70))


def whimbrel(file: Given, kind: str) -> Network:
    """TN-S, one phase, the sources at rest: switch-fuse, feed, flat twin and earth."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "porch-point.PE"])
    half = file("supply.line_neutral_loop_ohm") / 2
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_the_network(net, half, tail, file("supply.ze_ohm"), 1)  # carries nothing
    feed, run = file.metres("feed"), file.metres("circuits.drive")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(16, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(16, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    net.wire("F2.load.L1", "porch-point.L1", copper(10, run, TERMINALS_70))
    net.wire("F2.load.N", "porch-point.N", copper(10, run, TERMINALS_70))
    net.wire("earth-bar", "porch-point.PE", copper(4, run, TERMINALS_70))
    return net


def whimbrel_with_its_sources(file: Given, kind: str) -> Network:
    """As whimbrel; inverter and battery drive what their makers state, at the origin that the
    board in the hall hangs on (its own tails are not in the file).
    """
    net = whimbrel(file, kind)
    for source in file("other_sources"):
        net.driven.append(Driven("origin.N", "origin.L1", source["fault_current_a"]))
    return net


def whimbrel_sources_alone(file: Given, kind: str) -> Network:
    """As before with the network opened ahead of the origin: the sources find the board alone.

    A source of current needs a way while nothing is short: a load of 1,000 ohm.
    """
    net = whimbrel_with_its_sources(file, kind)
    net.wires = [wire for wire in net.wires if wire[0] != "cut-out.L1"]
    net.wire("origin.L1", "origin.N", as_stated(1000))
    return net


def teasel(file: Given, kind: str) -> Network:
    """TT with no residual current device at the origin: a class II board, its bar on insulators.

    Nobody touches the bar; the metal of the point stands on the rods as it does.
    """
    net = Network(touched=["met.PE", "earth-bar", "barn-post.PE"])
    half = file("supply.line_neutral_loop_ohm") / 2
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_electrode_alone(net, half, tail, file("supply.source_electrode_ohm"))
    net.wire("met.PE", "rods.PE", as_stated(1e-6))
    net.wire("rods.PE", EARTH, as_stated(file("electrodes.rods.resistance_ohm")))
    _one_way_board(net, file, 16)
    run = file.metres("circuits.barn")
    net.wire("F2.load.L1", "barn-post.L1", copper(10, run, TERMINALS_70))
    net.wire("F2.load.N", "barn-post.N", copper(10, run, TERMINALS_70))
    net.wire("earth-bar", "barn-post.PE", copper(4, run, TERMINALS_70))
    return net


def sorrel(file: Given, kind: str) -> Network:
    """TT, a selective residual current device of 500 mA at the origin, three rods in a line."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "lean-to-point.PE"])
    half = file("supply.line_neutral_loop_ohm") / 2
    tail = copper(16, file.metres("supply"), TERMINALS_70)
    _earthed_by_electrode_alone(net, half, tail, file("supply.source_electrode_ohm"))
    net.wire("met.PE", "rods.PE", as_stated(1e-6))
    net.wire("rods.PE", EARTH, as_stated(rods_ohm(3, 120, 1.2, 16, 3.6)))
    _one_way_board(net, file, 16)
    net.joint("earth-bar", "enclosure")
    run = file.metres("circuits.lean-to")
    net.wire("F2.load.L1", "lean-to-point.L1", copper(2.5, run, TERMINALS_70))
    net.wire("F2.load.N", "lean-to-point.N", copper(2.5, run, TERMINALS_70))
    net.wire("earth-bar", "lean-to-point.PE", copper(2.5, run, TERMINALS_70))
    return net


def rowan(file: Given, kind: str) -> Network:
    """TN-S, a breaker of two poles; what sees a leak stands in the point, behind all this."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "forecourt-post.PE"])
    half = file("supply.line_neutral_loop_ohm") / 2
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_the_network(net, half, tail, file("supply.ze_ohm"), 1)  # carries nothing
    _one_way_board(net, file, 16)
    net.joint("earth-bar", "enclosure")
    run = file.metres("circuits.forecourt")
    net.wire("F2.load.L1", "forecourt-post.L1", copper(6, run, TERMINALS_70))
    net.wire("F2.load.N", "forecourt-post.N", copper(6, run, TERMINALS_70))
    net.wire("earth-bar", "forecourt-post.PE", copper(6, run, TERMINALS_70))
    return net


def curlew(file: Given, kind: str) -> Network:
    """TN-S, two bays: each a residual current device, a breaker behind it, a neutral bar of
    its own.
    """
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "north-bay.PE", "south-bay.PE"])
    half = file("supply.line_neutral_loop_ohm") / 2
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    _earthed_by_the_network(net, half, tail, file("supply.ze_ohm"), 1)  # carries nothing
    feed = file.metres("feed")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(16, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(16, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar")
    net.joint("earth-bar", "enclosure")
    _surge_leads(net, file, "F1", ("L1",))
    for guard, breaker, circuit in (("R1", "F2", "north"), ("R2", "F3", "south")):
        run = file.metres(f"circuits.{circuit}")
        net.joint("Q1.load.L1", f"{guard}.supply.L1", f"{guard}.load.L1")
        net.joint(f"{guard}.load.L1", f"{breaker}.supply.L1", f"{breaker}.load.L1")
        net.joint("neutral-bar", f"{guard}.supply.N", f"{guard}.load.N", f"neutral-bar-{guard}")
        net.wire(f"{breaker}.load.L1", f"{circuit}-bay.L1", copper(6, run, TERMINALS_70))
        net.wire(f"neutral-bar-{guard}", f"{circuit}-bay.N", copper(6, run, TERMINALS_70))
        net.wire("earth-bar", f"{circuit}-bay.PE", copper(6, run, TERMINALS_70))
    return net


def _one_way_board(net: Network, file: Given, feed_mm2: float) -> None:
    """Feed, main switch, SPD and one device on the bar; the circuit is the job's own."""
    feed = file.metres("feed")
    net.joint("origin.L1", "feed.L1")
    net.wire("feed.L1", "Q1.supply.L1", copper(feed_mm2, feed, TERMINALS_70))
    net.wire("origin.N", "Q1.supply.N", copper(feed_mm2, feed, TERMINALS_70))
    net.wire("met.PE", "earth-bar", copper(feed_mm2, feed, TERMINALS_70))
    net.joint("Q1.supply.L1", "Q1.load.L1", "bar.L1.F1")
    net.joint("Q1.load.L1", "bar.L1.F2", "F2.supply.L1", "F2.load.L1")
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar", "F2.supply.N", "F2.load.N")
    _surge_leads(net, file, "F1", ("L1",))


def avocet(file: Given, kind: str) -> Network:
    """TT, three phases, two posts of three lines. Lines turned at a post change no fault."""
    net = Network(touched=["met.PE", "earth-bar", "enclosure", "east-post.PE", "west-post.PE"])
    tail = copper(25, file.metres("supply"), TERMINALS_70)
    half = file("supply.line_neutral_loop_ohm") / 2
    line = _line_by_three_phase_current(file) if kind == BETWEEN_LINES else half
    feed = file.metres("feed")
    for name, degrees in (("L1", 0), ("L2", -120), ("L3", 120)):
        net.source("star", f"winding.{name}", _phase_volts(kind), degrees)
        net.wire(f"winding.{name}", f"cut-out.{name}", _without(line, tail))
        net.wire(f"cut-out.{name}", f"origin.{name}", of_supply(tail.cold))
        net.joint(f"origin.{name}", f"feed.{name}")
        net.wire(f"feed.{name}", f"Q1.supply.{name}", copper(25, feed, TERMINALS_70))
        net.joint(f"Q1.supply.{name}", f"Q1.load.{name}", f"bar.{name}.F1")
    net.wire("star", "cut-out.N", _without(half, tail))
    net.wire("cut-out.N", "origin.N", of_supply(tail.cold))
    net.wire("origin.N", "Q1.supply.N", copper(25, feed, TERMINALS_70))
    net.joint("Q1.supply.N", "Q1.load.N", "neutral-bar")
    net.wire("star", EARTH, as_stated(file("supply.source_electrode_ohm")))
    net.wire("met.PE", "rods.PE", as_stated(1e-6))
    net.wire("rods.PE", EARTH, as_stated(file("electrodes.rods.resistance_ohm")))
    net.wire("met.PE", "earth-bar", copper(16, feed, TERMINALS_70))
    net.joint("earth-bar", "enclosure")
    for way, circuit in (("F2", "east"), ("F3", "west")):
        core = copper(10, file.metres(f"circuits.{circuit}"), TERMINALS_70)
        for name in ("L1", "L2", "L3"):
            net.joint(f"Q1.load.{name}", f"{way}.supply.{name}", f"{way}.load.{name}")
            net.wire(f"{way}.load.{name}", f"{circuit}-post.{name}", core)
        net.joint("neutral-bar", f"{way}.supply.N", f"{way}.load.N")
        net.wire(f"{way}.load.N", f"{circuit}-post.N", core)
        net.wire("earth-bar", f"{circuit}-post.PE", core)
    _surge_leads(net, file, "F1", ("L1", "L2", "L3"))
    return net


# ---- others with the lead of their point


def tern_with_its_lead(file: Given, kind: str) -> Network:
    """As far as the plug of the point's own lead."""
    net = tern(file, kind)
    _lead(net, file, "shed-point", ("L1", "N"))
    return net


def sallow_with_its_lead(file: Given, kind: str) -> Network:
    """As far as the plug of the lead in the yard post's socket."""
    net = sallow(file, kind)
    _lead(net, file, "yard-post", ("L1", "L2", "L3", "N"))
    return net


# ---- pieces


def _lead(net: Network, file: Given, point: str, live: tuple[str, ...]) -> None:
    data = file(f"charging_points.{point}")
    for name in live:
        core = flexible(data["lead_mm2"], data["lead_m"], TERMINALS_70)
        net.wire(f"{point}.{name}", f"{point}.plug.{name}", core)
    earth = flexible(data["lead_protective_mm2"], data["lead_m"], TERMINALS_70)
    net.wire(f"{point}.PE", f"{point}.plug.PE", earth)
    net.touched.append(f"{point}.plug.PE")


def _without(ohm: float, tail: Ohm) -> Ohm:
    """The network's share of an impedance stated at the origin; the tails in it count as cold."""
    return of_supply(ohm - tail.cold)


def _phase_volts(kind: str) -> float:
    """230 V to earth; between lines as much as makes the stated 400 V."""
    return 400 / 3**0.5 if kind == BETWEEN_LINES else 230.0


def _line_by_three_phase_current(file: Given) -> float:
    return 400 / 3**0.5 / (file.ka("three_phase") * 1000)


def _surge_leads(net: Network, file: Given, way: str, lines: tuple[str, ...]) -> None:
    for line in lines:
        net.wire(f"bar.{line}.{way}", f"{way}.{line}", file.lead(way, "line"))
    net.wire("neutral-bar", f"{way}.N", file.lead(way, "neutral"))
    net.wire("earth-bar", f"{way}.PE", file.lead(way, "earth"))


JOBS: dict[str, Callable[[Given, str], Network]] = {
    each.__name__: each
    for each in (
        marram,
        tern,
        fulmar,
        sallow,
        osier,
        plover,
        plover_armour_without_resistance,
        dunlin,
        sedge,
        quince,
        bramble,
        alder,
        marram_by_currents,
        marram_with_its_lead,
        tern_with_its_lead,
        sallow_with_its_lead,
        marram_armour_at_both_ends,
        marram_with_an_electrode,
        marram_point_on_its_rod,
        hornbeam,
        hornbeam_armour_at_both_ends,
        eider,
        eider_armour_without_resistance,
        whimbrel,
        whimbrel_with_its_sources,
        whimbrel_sources_alone,
        teasel,
        sorrel,
        rowan,
        curlew,
        avocet,
        godwit,
    )
}
