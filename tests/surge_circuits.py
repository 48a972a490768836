"""Circuits beyond those of surge.csv, drawn by chance in thirteen families, and what ngspice
measures in them: `python tests/surge_circuits.py` writes `published/surge_more.csv` anew (minutes);
with names of families only theirs.

The circuits are put together from the physics in `surge_netlist.py`, which shares nothing with the
solver: other waves (100 kHz ring, 10/350), gaps alone and before a varistor, a second device of
another law, earths of their own at board and point, a capacitor at the point, cables with loss.
"""

from __future__ import annotations

import csv
import json
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent / "tools"), str(HERE)]

from surge_netlist import measured, netlist  # noqa: E402

from firstway.calculations.surge import GapLaw, SurgeCase, Varistor, two_term_law  # noqa: E402
from firstway.workings.surge.model import surge_model  # noqa: E402

FILE = HERE / "published" / "surge_more.csv"
EACH = 6  # circuits of a family, of which ngspice may give up some
STEP_S = 0.5e-9
COLUMNS = ("id", "quantity", "case", "expected", "unit", "tolerance", "class", "source")
UNITS = {"a": "A", "j": "J", "c": "C"}
ENDS = ("open", "varistor", "capacitor", "varistor-and-capacitor", "rectifier")


def drawn_law(draw: random.Random) -> Varistor:
    law = two_term_law(draw.uniform(420, 480), 0.03, draw.uniform(1400, 1800), 20000)
    assert isinstance(law, Varistor)
    return law


def in_series(law: Varistor, number: int) -> Varistor:
    """So many alike, one after the other: each takes its share of the volts."""
    return Varistor(number * law.volts_at_1_a, law.alpha, number * law.series_ohm)


def common(draw: random.Random) -> dict[str, Any]:
    return {
        "supply_m": round(draw.uniform(4, 50), 1),
        "cable_m": round(draw.uniform(3, 9), 1),
        "lead_m": round(draw.uniform(0.1, 1.0), 2),
        "surge_v": float(draw.choice((2000, 4000, 6000))),
        "spd": drawn_law(draw),
    }


def small_current(draw: random.Random) -> float:
    return float(draw.choice((2000, 5000, 10000)))


FAMILIES: dict[str, Callable[[random.Random], dict[str, Any]]] = {
    "ring-wave": lambda draw: {
        "source": "ring-wave",
        "ring_ohm": draw.choice((12.0, 30.0)),
        "vehicle": draw.choice(ENDS),
    },
    "ring-wave-alone": lambda draw: {
        "source": "ring-wave",
        "ring_ohm": draw.choice((12.0, 30.0)),
        "spd": None,
        "vehicle": draw.choice(ENDS),
    },
    "long-impulse": lambda draw: {
        "source": "long-impulse",
        "impulse_a": small_current(draw),
        "vehicle": draw.choice(ENDS),
    },
    "earth-of-the-board": lambda draw: {
        "board_earth_ohm": round(draw.uniform(0.5, 10), 2),
        "vehicle": draw.choice(ENDS),
    },
    "earth-of-the-point": lambda draw: {
        "board_earth_ohm": round(draw.uniform(0, 5), 2),
        "point_earth_ohm": round(draw.uniform(10, 100), 1),
        "vehicle": draw.choice(("open", "varistor", "rectifier")),
    },
    "both-devices-and-earths": lambda draw: {
        "board_earth_ohm": round(draw.uniform(0, 5), 2),
        "point_earth_ohm": round(draw.uniform(10, 100), 1),
        "second_spd": drawn_law(draw),
        "second_lead_m": 0.2,
    },
    "capacitor-at-the-point": lambda draw: {
        "point_farad": draw.choice((4.7e-9, 22e-9, 100e-9)),
        "vehicle": draw.choice(("open", "varistor")),
    },
    "gap": lambda draw: {
        "spd": None,
        "spd_gap": GapLaw(float(draw.choice((800, 1500, 2000))), 30.0),
        "window_s": 20e-6,
    },
    "gap-and-varistor": lambda draw: {
        "spd_gap": GapLaw(float(draw.choice((600, 900, 1200))), 30.0),
        "window_s": 20e-6,
        "vehicle": draw.choice(("open", "varistor")),
    },
    "gap-ahead-of-varistor": lambda draw: {
        "spd": None,
        "spd_gap": GapLaw(float(draw.choice((1500, 2500))), 30.0),
        "second_spd": drawn_law(draw),
        "second_lead_m": 0.2,
        "window_s": 20e-6,
    },
    "two-laws": lambda draw: {
        "second_spd": drawn_law(draw),
        "second_lead_m": round(draw.uniform(0.1, 0.5), 2),
        "source": draw.choice(("combination-wave", "long-impulse", "current-impulse")),
        "impulse_a": small_current(draw),
    },
    "two-elements-in-series": lambda draw: {  # line to neutral of CT1, line to line
        "spd": in_series(drawn_law(draw), 2),
        "vehicle": draw.choice(ENDS),
    },
    "loss": lambda draw: {
        "loss_ohm_per_m": round(draw.uniform(0.01, 0.2), 3),
        "source": draw.choice(("ring-wave", "combination-wave")),
        "vehicle": draw.choice(("open", "capacitor")),
    },
}


def circuits() -> dict[str, SurgeCase]:
    """Every circuit by its name."""
    found = {}
    for family, own in FAMILIES.items():
        for number in range(1, EACH + 1):
            draw = random.Random(f"{family} {number}")
            found[f"{family}-{number}"] = SurgeCase(**{**common(draw), **own(draw)})
    return found


def as_text(case: SurgeCase) -> str:
    """What a case says beyond what every case says."""
    plain = {item.name: item.default for item in fields(SurgeCase)}
    return json.dumps({name: value for name, value in asdict(case).items() if value != plain[name]})


def from_text(text: str) -> SurgeCase:
    """The case of a row."""
    given = json.loads(text)
    for name, of in (
        ("spd", Varistor),
        ("second_spd", Varistor),
        ("spd_gap", GapLaw),
        ("second_gap", GapLaw),
    ):
        if given.get(name):
            given[name] = of(**given[name])
    return SurgeCase(**given)


def tolerance(name: str, quantity: str) -> str:
    """A gap fires within a step of its voltage; of a loss half stands at each end of
    its cable; where two devices
    share an earth of many ohms, the vehicle takes what the faster one leaves.
    """
    if name.startswith("loss"):
        return "0.02"
    if name.startswith("gap"):
        return "0.05" if quantity == "vehicle_lowest" else "0.03"
    if name.startswith("earth-of-the-point"):
        return "0.01"
    if name.startswith("two-elements") and quantity == "vehicle_lowest":
        return "0.01"  # a swing back after many echoes: a sixth of a per cent of the highest
    if name.startswith("both-devices") and quantity.startswith("vehicle_"):
        return "0.05"
    return "0.006"


def rows_of(name: str, case: SurgeCase, folder: Path) -> list[dict[str, str]]:
    """What ngspice measures in one circuit; nothing where it gave up."""
    try:
        found = measured(netlist(case, surge_model(), STEP_S, case.window_s or 40e-6), folder)
    except subprocess.TimeoutExpired:
        found = {}
    print(name, found or "ngspice gave up", file=sys.stderr)
    return [
        {
            "id": name,
            "quantity": quantity,
            "case": as_text(case),
            "expected": f"{value:.6g}",
            "unit": UNITS.get(quantity.rpartition("_")[2], "V"),
            "tolerance": tolerance(name, quantity),
            "class": "independent solver",
            "source": "ngspice 39, trapezoidal, step 0.5 ns; tests/surge_circuits.py",
        }
        for quantity, value in found.items()
    ]


def main(families: list[str]) -> None:
    """Measures all families, or these, and leaves the rows of the others."""
    wanted = families or list(FAMILIES)
    kept = list(csv.DictReader(FILE.read_text(encoding="utf-8").splitlines()))
    kept = [row for row in kept if row["id"].rpartition("-")[0] not in wanted]
    with tempfile.TemporaryDirectory() as folder:
        for name, case in circuits().items():
            if name.rpartition("-")[0] in wanted:
                kept += rows_of(name, case, Path(folder))
    order = list(circuits())
    with FILE.open("w", encoding="utf-8", newline="") as out:
        rows = csv.DictWriter(out, COLUMNS, lineterminator="\n")
        rows.writeheader()
        rows.writerows(sorted(kept, key=lambda row: order.index(row["id"])))


if __name__ == "__main__":
    main(sys.argv[1:])
