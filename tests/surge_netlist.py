"""A surge case as a netlist for ngspice, written from the circuit and not from our solver; and what
ngspice measured.
"""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from firstway.calculations.surge import SurgeCase, SurgeModel, Varistor

MEASURED = {
    "board": "vbpk",
    "point": "vepk",
    "vehicle": "vvpk",
    "vehicle_lowest": "vvlo",
    "spd_a": "ispk",
    "second_spd_a": "i2pk",
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
    if case.spd:
        lines += _spd("1", "b", case.spd, case.lead_m, case.mains_v, model)
    if case.second_spd:
        lines += _spd("2", "e1", case.second_spd, case.second_lead_m, case.mains_v, model)
    lines.append(_line("T1", "b", "e1", case.supply_m, model))
    if case.contactor_closed:
        lines.append(f"Rc e1 e2 {model.contact_ohm + case.loop_ohm!r}")
    else:
        lines += [f"Cc e1 e2 {model.open_contact_farad!r}", f"Rcl e1 e2 {model.open_contact_ohm!r}"]
    lines += [
        _line("T2", "e2", "v", case.cable_m, model),
        f"Rlk v 0 {model.open_end_ohm!r}",
        *_end(case, model),
    ]
    lines += [
        ".options reltol=2e-5 abstol=1e-8 vntol=1e-5 itl4=200 method=trap",
        f".tran {step_s!r} {window_s!r} 0 {step_s!r} uic",
        ".meas tran vbpk MAX V(b)",
        ".meas tran vepk MAX V(e1)",
        ".meas tran vvpk MAX V(v)",
        ".meas tran vvlo MIN V(v)",
    ]
    if case.spd:
        lines.append(".meas tran ispk MAX I(Vsp1)")
    if case.second_spd:
        lines.append(".meas tran i2pk MAX I(Vsp2)")
    if case.vehicle not in ("open", "capacitor"):
        lines += [
            ".meas tran ivpk MAX I(Vvm)",
            "Bp pw 0 V=V(v)*I(Vvm)",
            ".meas tran wv INTEG V(pw)",
            ".meas tran qv INTEG I(Vvm)",
        ]
    return "\n".join([*lines, ".end", ""])


def _source(case: SurgeCase, model: SurgeModel) -> list[str]:
    if case.source == "current-impulse":
        scale = model.impulse_scale * case.impulse_a * 1e18
        return [f"Bi 0 b I={scale!r}*time*time*time*exp(-time/{model.impulse_tau_s!r})"]
    return [
        f"Cg g 0 {model.generator_farad!r} IC={model.generator_volt_per_volt * case.surge_v!r}",
        f"Rg1 g 0 {model.generator_discharge_ohm!r}",
        f"Rg2 g g2 {model.generator_series_ohm!r}",
        f"Lg g2 b {model.generator_henry!r} IC=0",
        f"Rg3 b 0 {model.generator_output_ohm!r}",
    ]


def _law(node: str, varistor: Varistor, mains_v: float) -> str:
    volts = f"V({node})+({mains_v!r})" if mains_v else f"V({node})"
    return f"I=sgn({volts})*pow(abs({volts})/{varistor.volts_at_1_a!r},{1 / varistor.alpha!r})"


def _spd(
    name: str, at: str, varistor: Varistor, lead_m: float, mains_v: float, model: SurgeModel
) -> list[str]:
    ohm = model.lead_ohm_per_m * lead_m + varistor.series_ohm + 1e-6
    return [
        f"Ls{name} {at} {name}a {model.lead_henry_per_m * lead_m!r} IC=0",
        f"Rs{name} {name}a {name}b {ohm!r}",
        f"Vsp{name} {name}b {name}c 0",
        f"Bs{name} {name}c 0 {_law(name + 'c', varistor, mains_v)}",
    ]


def _line(name: str, start: str, end: str, length_m: float, model: SurgeModel) -> str:
    return (
        f"{name} {start} 0 {end} 0 Z0={model.line_ohm!r} TD={length_m / model.line_m_per_s!r}"
        " REL=10 ABS=10"
    )


def _end(case: SurgeCase, model: SurgeModel) -> list[str]:
    lines = []
    if case.vehicle in ("capacitor", "varistor-and-capacitor"):
        lines += [f"Cx v x {case.vehicle_farad!r} IC=0", f"Rx x 0 {model.capacitor_ohm!r}"]
    if case.vehicle in ("varistor", "varistor-and-capacitor"):
        own = model.vehicle_varistor
        lines += [
            "Vvm v v2 0",
            f"Rvm v2 vm {own.series_ohm!r}",
            f"Bv vm 0 {_law('vm', own, case.mains_v)}",
        ]
    if case.vehicle == "rectifier":  # a bridge: whatever the sign, it charges its capacitor
        volts = f"(V(v2)+({case.mains_v!r}))"
        above = f"max(0,(abs{volts}-V(bus)-{model.rectifier_volt!r})/{model.rectifier_ohm!r})"
        lines += [
            "Vvm v v2 0",
            f"Br v2 0 I=sgn{volts}*{above}",
            f"Bq 0 bus I={above}",
            f"Cb bus 0 {model.rectifier_farad!r} IC={model.rectifier_charged_volt!r}",
        ]
    return lines


def measured(text: str, folder: Path) -> dict[str, float]:
    """What ngspice measures in a netlist."""
    path = folder / "surge.cir"
    path.write_text(text, encoding="ascii")
    shown = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False
    ).stdout
    found = {
        name: float(value)
        for name, value in re.findall(r"^(\w+)\s*=\s*(\S+)", shown, re.MULTILINE)
        if name in MEASURED.values()
    }
    return {name: found[key] for name, key in MEASURED.items() if key in found}
