"""Faults at every place, against circuits that OpenDSS and ngspice solved.

`fault_circuits/` holds the circuits, written by hand from each job's file; they know nothing of
ours. `solved.csv` is what the two solvers gave.
"""

from __future__ import annotations

import ast
import csv
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from fault_circuits.given import Given
from fault_circuits.jobs import CHOSEN
from fault_circuits.solving import FIGURES, Case, by_ngspice, by_opendss, cases, figures

FOLDER = Path(__file__).parent / "fault_circuits"
SOLVED = {
    row["case"]: row for row in csv.DictReader((FOLDER / "solved.csv").open(encoding="utf-8"))
}
CASES = cases()
IDS = [case.case for case in CASES]
FEWEST_CASES = 60
SOLVERS_APART = 2e-4  # a fault is a microhm for the one, nothing for the other
NOTHING_V = 1e-5


# ---- the proof itself


def imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


def test_the_circuits_import_nothing_of_ours() -> None:
    outside = {"opendssdirect", "yaml"}
    import sys

    for path in FOLDER.glob("*.py"):
        for name in imports(path):
            top = name.partition(".")[0]
            assert (
                top in outside | {"fault_circuits"} or top in sys.stdlib_module_names
            ), f"{path.name} imports {name}"


def test_every_earthing_system_and_both_sides_of_every_device_are_there() -> None:
    assert len(CASES) >= FEWEST_CASES and len(set(IDS)) == len(IDS)
    assert {case.file()("supply.system") for case in CASES} == {"TN-S", "TN-C-S", "TT", "grounded"}
    assert {case.file()("supply.phases") for case in CASES} == {1, 3}
    assert {case.kind for case in CASES} == {"line-earth", "line-neutral", "line-line"}
    assert {case.job for case in CASES} == set(CHOSEN), "every shipped installation has its circuit"
    for job in CHOSEN:
        places = {case.place for case in CASES if case.job == job}
        devices = {place.partition(".supply")[0] for place in places if ".supply." in place} - {
            "Q1"
        }
        assert all(
            any(place.startswith(f"{device}.load.") for place in places) for device in devices
        ), job


def test_every_case_was_solved_by_both() -> None:
    assert set(SOLVED) == set(IDS)
    for row in SOLVED.values():
        for name in FIGURES:
            one, other = float(row[f"opendss_{name}"]), float(row[f"ngspice_{name}"])
            assert one == pytest.approx(other, rel=SOLVERS_APART, abs=NOTHING_V), (
                row["case"],
                name,
            )


def opendss(case: Case) -> dict[str, float]:
    pytest.importorskip(
        "opendssdirect", reason="opendssdirect.py has no package for this Python and system"
    )
    return figures(case, by_opendss)


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_opendss_still_gives_the_figures(case: Case) -> None:
    solved = opendss(case)
    for name in FIGURES:
        assert solved[name] == pytest.approx(
            float(SOLVED[case.case][f"opendss_{name}"]), rel=1e-5, abs=NOTHING_V
        ), name


@pytest.mark.long
@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not on this machine")
@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_ngspice_still_gives_the_figures(case: Case) -> None:
    solved = figures(case, by_ngspice)
    for name in FIGURES:
        assert solved[name] == pytest.approx(
            float(SOLVED[case.case][f"ngspice_{name}"]), rel=1e-5, abs=NOTHING_V
        ), name


def test_by_hand__at_the_origin_of_marram() -> None:
    # Ohm: 0.95 x 230 V / 0.28 ohm = 780.36 A; 1.1 x 230 / 0.28 = 903.57 A; half is PEN: 115 V.
    row = SOLVED["marram-origin-l1-line-earth"]
    assert float(row["opendss_smallest_a"]) == pytest.approx(780.357, rel=1e-4)
    assert float(row["opendss_largest_a"]) == pytest.approx(903.571, rel=1e-4)
    assert float(row["opendss_touch_v"]) == pytest.approx(115, rel=1e-4)


def test_by_hand__tt_is_a_divider_of_two_electrodes() -> None:
    # tern: 230 V x 62 / (62 + 8 + 0.16) = 203.25 V on the earth of the installation.
    assert float(SOLVED["tern-ct1-f1-l1-line-earth"]["opendss_touch_v"]) == pytest.approx(
        203.24, rel=1e-4
    )
