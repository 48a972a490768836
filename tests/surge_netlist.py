"""A surge case as a netlist for ngspice, written from the circuit and not from our solver; and what
ngspice measured.
"""

from __future__ import annotations

import math
import re
import subprocess
from pathlib import Path

from firstway.calculations.surge import GapLaw, SurgeCase, SurgeModel, Varistor

MEASURED = {
    "board": "vbpk",
    "point": "vepk",
    "vehicle": "vvpk",
    "vehicle_lowest": "vvlo",
    "spd_a": "ispk",
    "second_spd_a": "i2pk",
    "spd_j": "ws",
    "second_spd_j": "w2",
    "vehicle_a": "ivpk",
    "vehicle_j": "wv",
    "vehicle_c": "qv",
}


def netlist(
    case: SurgeCase, model: SurgeModel, step_s: float = 1e-9, window_s: float = 40e-6
) -> str:
    """The circuit line by line; T lines are told not to make a breakpoint of every echo, or the run
    would not end.
    """
    lines = ["* surge from board to vehicle", *_source(case, model)]
    # The earth of the board and that of the point: resistances to true earth, node 0.
    lines += [f"Rearth eb 0 {case.board_earth_ohm or 1e-9!r}"]
    lines += [f"Rown ep 0 {case.point_earth_ohm or 1e-9!r}"]
    if case.spd or case.spd_gap:
        lines += _spd("1", "b", "eb", case.spd, case.spd_gap, case.lead_m, case.mains_v, model)
    if case.second_spd or case.second_gap:
        lines += _spd(
            "2",
            "e1",
            "ep",
            case.second_spd,
            case.second_gap,
            case.second_lead_m,
            case.mains_v,
            model,
        )
    if case.point_farad:
        lines += [f"Cp e1 e1p {case.point_farad!r} IC=0", f"Rp e1p ep {model.capacitor_ohm!r}"]
    lines += _line("1", "b", "e1", case.supply_m, case, model)
    if case.contactor_closed:
        lines.append(f"Rc e1 e2 {model.contact_ohm + case.loop_ohm!r}")
    else:
        lines += [f"Cc e1 e2 {model.open_contact_farad!r}", f"Rcl e1 e2 {model.open_contact_ohm!r}"]
    lines += [
        *_line("2", "e2", "v", case.cable_m, case, model),
        f"Rlk v 0 {model.open_end_ohm!r}",
        *_end(case, model),
    ]
    lines += [
        ".options reltol=2e-5 abstol=1e-8 vntol=1e-5 itl4=200 method=trap",
        f".tran {step_s!r} {window_s!r} 0 {step_s!r} uic",
        ".meas tran vbpk MAX V(b)",
        "Bve ve 0 V=V(e1)-V(ep)",
        "Bvv vv 0 V=V(v)-V(ep)",
        ".meas tran vepk MAX V(ve)",
        ".meas tran vvpk MAX V(vv)",
        ".meas tran vvlo MIN V(vv)",
    ]
    for number, fitted, name in (
        ("1", case.spd or case.spd_gap, "s"),
        ("2", case.second_spd or case.second_gap, "2"),
    ):
        if fitted:
            earth = "eb" if number == "1" else "ep"
            lines += [
                f".meas tran i{name}pk MAX I(Vsp{number})",
                f"Bw{number} w{number} 0 V=(V({number}b)-V({earth}))*I(Vsp{number})",
                f".meas tran w{name} INTEG V(w{number})",
            ]
    if case.vehicle not in ("open", "capacitor"):
        lines += [
            ".meas tran ivpk MAX I(Vvm)",
            "Bp pw 0 V=(V(v)-V(ep))*I(Vvm)",
            ".meas tran wv INTEG V(pw)",
            ".meas tran qv INTEG I(Vvm)",
        ]
    if case.spd_gap or case.second_gap:
        lines.append(".model fires SW(VT=0.5 VH=0 RON=1e-6 ROFF=1e9)")
    return "\n".join([*lines, ".end", ""])


def _source(case: SurgeCase, model: SurgeModel) -> list[str]:
    if case.source == "current-impulse":
        scale = model.impulse_scale * case.impulse_a * 1e18
        return [f"Bi 0 b I={scale!r}*time*time*time*exp(-time/{model.impulse_tau_s!r})"]
    if case.source == "long-impulse":
        x = f"pow(time/{model.long_front_s!r},10)"
        scale = case.impulse_a / model.long_correction
        return [f"Bi 0 b I={scale!r}*{x}/(1+{x})*exp(-time/{model.long_tail_s!r})"]
    if case.source == "ring-wave":
        rise, fall = f"exp(-time/{model.ring_rise_s!r})", f"exp(-time/{model.ring_fall_s!r})"
        turn = f"cos({2 * math.pi * model.ring_hertz!r}*time)"
        return [
            f"Bg g 0 V={model.ring_scale * case.surge_v!r}*(1-{rise})*{fall}*{turn}",
            f"Rg g b {case.ring_ohm!r}",
        ]
    return [
        f"Cg g 0 {model.generator_farad!r} IC={model.generator_volt_per_volt * case.surge_v!r}",
        f"Rg1 g 0 {model.generator_discharge_ohm!r}",
        f"Rg2 g g2 {model.generator_series_ohm!r}",
        f"Lg g2 b {model.generator_henry!r} IC=0",
        f"Rg3 b 0 {model.generator_output_ohm!r}",
    ]


def _law(node: str, to: str, varistor: Varistor, mains_v: float) -> str:
    volts = f"(V({node})-V({to})+({mains_v!r}))"
    return f"I=sgn{volts}*pow(abs{volts}/{varistor.volts_at_1_a!r},{1 / varistor.alpha!r})"


def _spd(
    name: str,
    at: str,
    earth: str,
    varistor: Varistor | None,
    gap: GapLaw | None,
    lead_m: float,
    mains_v: float,
    model: SurgeModel,
) -> list[str]:
    """A device on its leads. A gap is a switch that a latch closes for good: it is run no longer
    than its first current lasts.
    """
    lead = model.lead_ohm_per_m * lead_m + 1e-6
    lines = [
        f"Ls{name} {at} {name}a {model.lead_henry_per_m * lead_m!r} IC=0",
        f"Rl{name} {name}a {name}b {lead!r}",
        f"Vsp{name} {name}b {name}g 0",
    ]
    inner = f"{name}g"
    if gap is not None:
        across = f"abs(V({name}g)-V({earth})+({mains_v!r}))"
        lines += [
            f"Bl{name} 0 {name}l I=({across}>={gap.fires_v!r})?1:0",
            f"Cl{name} {name}l 0 1e-12 IC=0",
            f"Ssw{name} {name}g {name}h {name}l 0 fires",
            f"Bar{name} {name}h {name}i V={gap.arc_v!r}*tanh(I(Vsp{name})/0.5)",
        ]
        inner = f"{name}i"
    if varistor is None:
        return [*lines, f"Rs{name} {inner} {earth} 1e-6"]
    return [
        *lines,
        # Without a resistance of its own a law is so steep at 0 A that no step is short enough;
        # this adds 1 V at 10 kA.
        f"Rs{name} {inner} {name}c {max(varistor.series_ohm, 1e-4)!r}",
        f"Bs{name} {name}c {earth} {_law(name + 'c', earth, varistor, mains_v)}",
    ]


def _line(
    name: str, start: str, end: str, length_m: float, case: SurgeCase, model: SurgeModel
) -> list[str]:
    if case.loss_ohm_per_m:  # sections much shorter than any wave: resistances apart from the lines
        sections = 16
        each, ohm = length_m / sections, case.loss_ohm_per_m * length_m / sections
        lines, at = [], start
        for part in range(sections):
            far = end if part == sections - 1 else f"x{name}{part}"
            lines += [
                f"Rx{name}{part} {at} y{name}{part} {ohm!r}",
                _one_line(f"T{name}{part}", f"y{name}{part}", far, each, model),
            ]
            at = far
        return lines
    return [_one_line(f"T{name}", start, end, length_m, model)]


def _one_line(name: str, start: str, end: str, length_m: float, model: SurgeModel) -> str:
    return (
        f"{name} {start} 0 {end} 0 Z0={model.line_ohm!r} TD={length_m / model.line_m_per_s!r}"
        " REL=10 ABS=10"
    )


def _end(case: SurgeCase, model: SurgeModel) -> list[str]:
    lines = []
    if case.vehicle in ("capacitor", "varistor-and-capacitor"):
        lines += [f"Cx v x {case.vehicle_farad!r} IC=0", f"Rx x ep {model.capacitor_ohm!r}"]
    if case.vehicle in ("varistor", "varistor-and-capacitor"):
        own = model.vehicle_varistor
        lines += [
            "Vvm v v2 0",
            f"Rvm v2 vm {own.series_ohm!r}",
            f"Bv vm ep {_law('vm', 'ep', own, case.mains_v)}",
        ]
    if case.vehicle == "rectifier":  # a bridge: whatever the sign, it charges its capacitor
        volts = f"(V(v2)-V(ep)+({case.mains_v!r}))"
        above = f"max(0,(abs{volts}-V(bus)-{model.rectifier_volt!r})/{model.rectifier_ohm!r})"
        lines += [
            "Vvm v v2 0",
            f"Br v2 ep I=sgn{volts}*{above}",
            f"Bq 0 bus I={above}",
            f"Cb bus 0 {model.rectifier_farad!r} IC={model.rectifier_charged_volt!r}",
        ]
    return lines


def measured(text: str, folder: Path) -> dict[str, float]:
    """What ngspice measures in a netlist."""
    path = folder / "surge.cir"
    path.write_text(text, encoding="ascii")
    shown = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60, check=False
    ).stdout
    found = {
        name: float(value)
        for name, value in re.findall(r"^(\w+)\s*=\s*(\S+)", shown, re.MULTILINE)
        if name in MEASURED.values()
    }
    return {name: found[key] for name, key in MEASURED.items() if key in found}
