"""Faults at every place, against circuits that OpenDSS and ngspice solved.

`fault_circuits/` holds the circuits, written by hand from each job's file; they know nothing of
ours. `solved.csv` is what the two solvers gave.
"""

from __future__ import annotations

import ast
import csv
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from fault_circuits.given import Given
from fault_circuits.jobs import CHOSEN
from fault_circuits.solving import (
    FIGURES,
    LARGEST_REACTIVE,
    SMALLEST,
    TOUCH,
    Case,
    by_ngspice,
    by_opendss,
    cases,
    figures,
    together,
)
from telling import Tell

from firstway.checks.rule import Case as OurCase
from firstway.choosing.completing import completed
from firstway.model.reading import installation_from_yaml
from firstway.workings.shared.protective_devices import device_kind_words

FOLDER = Path(__file__).parents[1] / "fault_circuits"
SOLVED = {
    row["case"]: row for row in csv.DictReader((FOLDER / "solved.csv").open(encoding="utf-8"))
}
CASES = cases()
IDS = [case.case for case in CASES]
FEWEST_CASES = 60
SOLVERS_APART = 2e-4  # a fault is a microhm for the one, nothing for the other
NOTHING_V = 1e-5
# Behind the device the next place goes by another name.
POINTS = (
    "north-bay.",
    "south-bay.",
    "lean-to-point.",
    "east-post.",
    "west-post.",
    "post-1.",
)  # a fault at a point lies behind the last device before it
BEHIND = {
    "Q1": ("bar.", "F1.", "F2."),
    "service": ("origin.", "tail."),
    "R1": ("R1.load.", "F2.supply."),
    "F2": ("F2.load.", *POINTS),
    "F3": ("F3.load.", *POINTS),
}


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
            assert top in outside | {"fault_circuits"} or top in sys.stdlib_module_names, (
                f"{path.name} imports {name}"
            )


def test_every_earthing_system_and_both_sides_of_every_device_are_there() -> None:
    assert len(CASES) >= FEWEST_CASES and len(set(IDS)) == len(IDS)
    assert {case.file()("supply.system") for case in CASES} == {"TN-S", "TN-C-S", "TT", "grounded"}
    assert {case.file()("supply.phases") for case in CASES} == {1, 3}
    assert {case.kind for case in CASES} == {"line-earth", "line-neutral", "line-line"}
    assert {case.job for case in CASES} == set(CHOSEN), "every shipped installation has its circuit"
    for job in CHOSEN:
        places = {case.place for case in CASES if case.job == job}
        for device in {place.partition(".supply")[0] for place in places if ".supply." in place}:
            behind = tuple(BEHIND.get(device, (f"{device}.load.",)))
            assert any(place.startswith(behind) for place in places), (job, device)


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


# ---- other sources beside the network


def test_opendss_and_ngspice_give_the_same_with_sources() -> None:
    pytest.importorskip(
        "opendssdirect", reason="opendssdirect.py has no package for this Python and system"
    )
    for each in together():
        one, other = float(each.opendss_a), float(each.ngspice_a)
        assert one == pytest.approx(other, rel=SOLVERS_APART), each.case
        assert each.solved_a(by_opendss) == pytest.approx(one, rel=1e-5), each.case


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not on this machine")
def test_ngspice_still_gives_the_figures_with_sources() -> None:
    for each in together():
        assert each.solved_a(by_ngspice) == pytest.approx(float(each.ngspice_a), rel=1e-5), each


def test_what_sources_add_at_the_board_lies_between_none_of_it_and_all_of_it(tell: Tell) -> None:
    """Network alone and sources alone are as solved. Both together are solved as less than the
    sum, since sources also feed back into the network: ours, the sum, is never below.
    """
    solved = {each.case: float(each.ngspice_a) / 1000 for each in together()}
    case = worked("whimbrel", "")
    step = lambda of, name: case.step(name, of)
    network = step("board", "fault-current-at-board")
    both = step("board", "fault-current-with-sources")
    sources = [step(each.name, "source-fault-current") for each in case.installation.sources]
    given = sum(each.value for each in sources if each is not None and each.value) / 1000
    assert given == pytest.approx(solved["whimbrel-sources"], rel=WITHIN)
    assert network is not None and both is not None
    assert network.value == pytest.approx(solved["whimbrel-network"], rel=WITHIN)
    assert both.value is not None and solved["whimbrel-network"] < solved["whimbrel-both"]
    assert 0 <= both.value - solved["whimbrel-both"] <= given
    tell(
        f"whimbrel's board: network {solved['whimbrel-network']:.3f} kA, sources"
        f" {solved['whimbrel-sources']:.3f} kA, both solved {solved['whimbrel-both']:.3f} kA, ours"
        f" {both.value:.3f} kA at most"
    )


def test_by_hand__at_the_origin_of_marram() -> None:
    # Ohm: 0.95 x 230 V / 0.28 ohm = 780.36 A; 1.1 x 230 / 0.28 = 903.57 A; half is PEN: 115 V.
    row = SOLVED["marram-origin-l1-line-earth"]
    assert float(row["opendss_smallest_a"]) == pytest.approx(780.357, rel=1e-4)
    assert float(row["opendss_largest_a"]) == pytest.approx(903.571, rel=1e-4)
    assert float(row["opendss_touch_v"]) == pytest.approx(115, rel=1e-4)


def test_by_hand__tt_is_a_divider_of_two_electrodes() -> None:
    # tern: 230 V x 62 / (62 + 8 + 0.16) = 203.25 V on the earth of the installation.
    assert float(SOLVED["tern-unguarded-ct1-f1-l1-line-earth"]["opendss_touch_v"]) == pytest.approx(
        203.24, rel=1e-4
    )


# ---- ours beside it

WITHIN = 0.005  # of the solved figure
STEPS = {
    "line-earth": ("earth", "earth-fault-at"),
    "line-neutral": ("neutral", "neutral-fault-at"),
    "line-line": ("line", "line-fault-at"),
}
# What still differs, with the reason; a line that no longer differs must go.
APART = {
    (row["case"], row["figure"]): row["reason"]
    for row in csv.DictReader((FOLDER / "apart.csv").open(encoding="utf-8"))
}


@cache
def worked(job: str, change: str) -> OurCase:
    """The job's file with the case's change, read, completed and worked by us."""
    file = Given(job, change)
    found, problems = installation_from_yaml(file.text(), f"{job}.yaml", job)
    assert found is not None, "\n".join(map(str, problems))
    result, problems = completed(found)
    assert result is not None, "\n".join(map(str, problems))
    return result.case


def ours(case: Case) -> dict[str, float | None]:
    """Our figures of a case, by the names of the solved ones."""
    step = worked(case.job, case.change).step(STEPS[case.kind][1], case.place)
    assert step is not None, f"no {STEPS[case.kind][1]} at {case.place}"
    found = {SMALLEST: step.value, LARGEST_REACTIVE: step.high}
    if case.kind == "line-earth":
        touched = worked(case.job, case.change).step("touch-voltage-at", case.place)
        assert touched is not None, f"no touch voltage at {case.place}"
        found[TOUCH] = touched.value
    return {name: value for name, value in found.items() if name in (case.figures or found)}


def apart(one: float | None, solved: float) -> bool:
    return one is None or abs(one - solved) > WITHIN * solved + NOTHING_V


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_our_figures_are_those_of_the_solvers(case: Case) -> None:
    for name, value in ours(case).items():
        solved = float(SOLVED[case.case][f"ngspice_{name}"])
        reason = APART.get((case.case, name))
        assert apart(value, solved) == (reason is not None), (name, value, solved, reason)


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_the_device_that_must_open_is_the_one_found_by_hand(case: Case) -> None:
    sweep = worked(case.job, case.change).sweep
    place = sweep.place(case.place)
    assert place is not None, case.place
    opening = sweep.opening(place, STEPS[case.kind][0])
    assert opening is not None
    if case.within_s == "unknown":
        named = device_kind_words(sweep.circuit.wiring, case.opens)
        assert opening.ask and named in opening.ask, (opening, case.why)
    elif case.within_s == "never":
        assert opening.nothing, (opening, case.why)
    else:
        assert (opening.device, opening.within_s) == (case.opens, float(case.within_s)), case.why
    if case.limit_s:
        assert getattr(sweep.limit(place), "value", None) == float(case.limit_s), case.why


FEWEST_FIGURES, FEWEST_DEVICES = 440, 150


def test_how_much_is_compared_and_how_far_it_is_apart(tell: Tell) -> None:
    """The count of the proof: figures beside figures, devices beside devices, the worst
    difference.
    """
    figures_beside = [
        (abs(value - (solved := float(SOLVED[case.case][f"ngspice_{name}"]))) / solved, case.case)
        for case in CASES
        for name, value in ours(case).items()
        if value is not None and (case.case, name) not in APART and value > NOTHING_V
    ]
    devices = sum(case.within_s != "unknown" for case in CASES)
    worst, where = max(figures_beside)
    tell(
        f"{len(CASES)} faults: {len(figures_beside)} figures beside two solvers' and"
        f" {devices} devices; worst {worst:.2%} ({where}), {len(APART)} apart with a reason"
    )
    assert len(figures_beside) >= FEWEST_FIGURES and devices >= FEWEST_DEVICES
    assert worst <= WITHIN


def test_what_is_apart_is_a_case() -> None:
    assert {case for case, _ in APART} <= set(IDS)
    assert all(reason.strip() for reason in APART.values())


@pytest.mark.parametrize("job", sorted(CHOSEN))
def test_the_sizes_of_the_circuits_are_those_of_the_job(job: str) -> None:
    """The circuits are typed with the sizes that were chosen: another choice asks for another."""
    workings = worked(job, "").workings
    ids = {
        "csa_mm2": "conductor-size",
        "cpc_mm2": "protective-conductor-size",
        "rating_a": "device-rating",
    }
    for path, size in CHOSEN[job].items():
        *_, of, key = path.removesuffix(".cable").replace(".cable", "").split(".")
        if key in ids and of in {circuit["name"] for circuit in Given(job)("circuits")}:
            assert workings.value(ids[key], of) == size, path


# ---- differences that were found by an independent sweep, each once for itself


def solved(case: str, figure: str = SMALLEST) -> float:
    return float(SOLVED[case][f"ngspice_{figure}"])


def test_in_tn_s_what_ze_has_more_than_half_of_the_other_loop_is_touched() -> None:
    # Sedge, by hand: 0.315 ohm of the network and 0.092 ohm of copper, of 0.541 ohm: not 115 V.
    ohm = (0.41 - 0.19 / 2) + 1.2 * (1.15 * 2.6 + 4.61 * 16) / 1000
    loop = 0.41 + 1.2 * (2 * 1.15 * 2.6 + (1.83 + 4.61) * 16) / 1000
    assert solved("sedge-drive-l1-end-line-earth", TOUCH) == pytest.approx(
        230 * ohm / loop, rel=1e-4
    )


def test_an_armour_joined_at_both_ends_carries_its_share() -> None:
    with_armour = solved("marram-armour-post-1-l1-line-earth")
    assert 1.05 < with_armour / solved("marram-post-1-l1-line-earth") < 1.11


def test_an_electrode_of_the_installation_lowers_what_is_touched_in_tn() -> None:
    with_rod = solved("marram-electrode-post-1-l1-line-earth", TOUCH)
    assert with_rod < 0.75 * solved("marram-post-1-l1-line-earth", TOUCH)


def test_a_device_of_300_ma_is_blind_to_what_a_poor_electrode_lets_through() -> None:
    assert solved("tern-blind-f2-supply-l1-line-earth") < 0.14 < 0.3
