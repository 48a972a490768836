"""Helpers of tests: installations drawn at random, by changing the values of shipped files; the
same seed, the same file.

The drawn values are our own invention. What is proved with them comes from elsewhere: a solver, or
a law.
"""

from __future__ import annotations

import copy
from functools import cache
from random import Random
from typing import Any

import yaml
from changing import text_of

from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml

Data = dict[str, Any]

SIZES = (2.5, 4, 6, 10, 16, 25, 35)
FLAT_PAIRS = {
    2.5: 1.5,
    4: 1.5,
    6: 2.5,
    10: 4,
    16: 6,
}  # flat cable as it is made: line and protective conductor
ARMOUR_UP_TO = 6  # the table of armour ends there


@cache
def _whole(name: str) -> Data:
    return yaml.safe_load(text_of(name))


def data_of(name: str) -> Data:
    """A shipped file as plain data, free to change."""
    return copy.deepcopy(_whole(name))


def installation_of(data: Data, name: str = "drawn") -> Installation:
    """The changed data written as YAML and read by our own reader; it must be a good file."""
    text = yaml.dump(data, Dumper=_NoAliases, sort_keys=False, allow_unicode=True)
    found, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert found is not None, "\n".join(map(str, problems))
    return found


class _NoAliases(yaml.SafeDumper):
    """Writes every list in full: our reader refuses aliases."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def one_phase(draw: Random) -> Data:
    """One phase, one to three circuits, TN-S, TN-C-S or TT."""
    data = data_of("marram")
    _bare(data)
    supply = data["supply"]
    supply["system"] = draw.choice(("TN-S", "TN-C-S", "TN-C-S", "TT"))
    supply["line_to_earth_v"] = draw.choice((220, 230, 230, 240))
    _supply_loops(draw, supply)
    _earth(draw, data)
    _feed(draw, data, cores=3)
    names = [f"c{place}" for place in range(1, draw.randint(1, 3) + 1)]
    way, circuit, point = (
        data["board"]["ways"][1],
        data["circuits"][0],
        data["charging_points"][0],
    )
    data["board"]["ways"][1:] = []
    data["circuits"], data["charging_points"] = [], []
    for name in names:
        current = draw.choice((10, 16, 20, 25, 32, round(draw.uniform(6, 32), 1)))
        _circuit(draw, data, name, (way, circuit, point), ["L1"], current, cores=3)
    return data


def three_phase(draw: Random) -> Data:
    """Balanced three phases, one or two three-phase circuits, TN-S, TN-C-S or TT."""
    data = data_of("sallow")
    _bare(data)
    supply = data["supply"]
    supply["system"] = draw.choice(("TN-S", "TN-C-S", "TT"))
    supply["line_to_earth_v"], supply["line_to_line_v"] = draw.choice(
        ((230, 400), (240, 415), (220, 380))
    )
    _supply_loops(draw, supply)
    if draw.random() < 0.5:
        supply["prospective_fault_current_ka"] = {"three_phase": round(draw.uniform(1, 9), 2)}
    _earth(draw, data)
    _feed(draw, data, cores=5)
    way, circuit, point = (
        data["board"]["ways"][1],
        data["circuits"][0],
        data["charging_points"][0],
    )
    data["board"]["ways"][1:] = []
    data["circuits"], data["charging_points"] = [], []
    for place in range(1, draw.randint(1, 2) + 1):
        _circuit(
            draw,
            data,
            f"c{place}",
            (way, circuit, point),
            ["L1", "L2", "L3"],
            draw.choice((16, 20, 32)),
            cores=5,
        )
    data["existing_load"] = {
        line: {"maximum_demand_a": round(draw.uniform(5, 60), 1), "at_once_a": 5}
        for line in ("L1", "L2", "L3")
    }
    data["existing_load"]["basis"] = "measured"
    return data


def _bare(data: Data) -> None:
    """Without what would hold a drawn value back or name a part that is gone."""
    for key in ("load_limiter", "vehicles", "readings", "known_by", "wiring"):
        data.pop(key, None)
    data["supply"].pop("prospective_fault_current_ka", None)
    data["supply"].pop("upstream_rcd", None)


def _supply_loops(draw: Random, supply: Data) -> None:
    loop = round(draw.uniform(0.03, 0.7), 3)
    supply["line_neutral_loop_ohm"] = loop
    supply["ze_ohm"] = {
        "TN-C-S": loop,
        "TN-S": round(loop / 2 + draw.uniform(0.02, 0.6), 3),
        "TT": "none",
    }[supply["system"]]
    supply["source_electrode_ohm"] = round(draw.uniform(0.5, 20), 1)


def _earth(draw: Random, data: Data) -> None:
    joined = data["supply"]["system"] == "TT" or draw.random() < 0.6
    data["electrodes"] = (
        [{"name": "rod", "use": "installation", "resistance_ohm": round(draw.uniform(2, 200), 1)}]
        if joined
        else []
    )


def _feed(draw: Random, data: Data, cores: int) -> None:
    line = draw.choice(SIZES[2:])
    data["feed"]["cable"] = {
        "construction": "single-core",
        "insulation": "thermoplastic-70",
        "csa_mm2": line,
        "protective": "separate",
        "cpc_mm2": draw.choice([size for size in SIZES if size <= line]),
        "colours": "harmonised",
    }
    data["feed"]["route"] = [
        _stretch(draw, draw.uniform(0.3, 30)) for _ in range(draw.randint(1, 2))
    ]


def _stretch(draw: Random, length: float) -> Data:
    return {
        "method": "C",
        "length_m": round(length, 1),
        "ambient_c": draw.choice((25, 30, 40)),
        "grouped_circuits": 1,
        "thermal_insulation_length_mm": 0,
    }


def _circuit(
    draw: Random,
    data: Data,
    name: str,
    shapes: tuple[Data, Data, Data],
    lines: list[str],
    current: float,
    cores: int,
) -> None:
    way, circuit, point = (copy.deepcopy(shape) for shape in shapes)
    way.update(name=f"F-{name}", feeds=name, rating_a=40, curve=draw.choice("BC"))
    way.pop("let_through", None)
    circuit.update(
        name=name,
        supplies=[f"p-{name}"],
        lines=lines,
        cable=_cable(draw, lines, cores),
        route=[_stretch(draw, draw.uniform(1, 40)) for _ in range(draw.randint(1, 3))],
    )
    point.pop("power_kw", None)
    point.update(
        name=f"p-{name}",
        lines=lines,
        current_a=current,
        earthed_by="rod" if data["supply"]["system"] == "TT" else "supply",
    )
    data["board"]["ways"].append(way)
    data["circuits"].append(circuit)
    data["charging_points"].append(point)


def _cable(draw: Random, lines: list[str], cores: int) -> Data:
    kind = draw.choice(
        ("core", "armour", "separate")
        if len(lines) == 3
        else ("core", "armour", "separate", "flat")
    )
    if kind == "flat":
        line = draw.choice(tuple(FLAT_PAIRS))
        return {
            "construction": "flat-twin-and-earth",
            "insulation": "thermoplastic-70",
            "cores": 2,
            "csa_mm2": line,
            "protective": "core",
            "cpc_mm2": FLAT_PAIRS[line],
            "terminals_c": 70,
            "colours": "harmonised",
        }
    line = draw.choice([size for size in SIZES if kind != "armour" or size <= ARMOUR_UP_TO])
    protective = {
        "core": line,
        "armour": line,
        "separate": draw.choice([size for size in SIZES if size <= line]),
    }[kind]
    own_cores = len(lines) + 2 if kind == "core" else len(lines) + 1
    return {
        "construction": "single-core" if kind == "separate" else "armoured",
        "insulation": draw.choice(("thermoplastic-70", "thermosetting-90")),
        "cores": min(own_cores, cores),
        "csa_mm2": line,
        "protective": kind,
        "cpc_mm2": protective,
        "terminals_c": draw.choice((70, 90)),
        "colours": "harmonised",
    }
