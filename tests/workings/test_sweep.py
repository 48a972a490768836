"""A fault at every place: the nodal route beside the formula route, laws of networks, and faults
worked by hand.

The circuits that two network solvers solved are in test_fault_places. Here the two routes of our
own are held equal, so that neither can change alone, and laws that no circuit can break are tried
on changed installations.
"""

from __future__ import annotations

import pytest
from changing import done
from sampling import JOBS

from firstway.checks.rule import Case
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.fault_places import SWEPT
from firstway.workings.shared.sweep import FaultKind

# Those whose every figure is stated; NEC sets its limits otherwise, and one job is full of faults.
ROUTES = [name for name in JOBS if name not in ("alder", "bramble", "quince")]
SAME = 1e-3  # the formulas leave out the wire of the board and what a second earth takes off


def case_of(name: str, *changes: tuple[str, str]) -> Case:
    return done(name, *changes).case


def value(case: Case, step_id: str, of: str) -> float:
    step = case.step(step_id, of)
    assert step is not None and step.value is not None, (step_id, of)
    return step.value


def high(case: Case, step_id: str, of: str) -> float:
    step = case.step(step_id, of)
    assert step is not None and step.high is not None, (step_id, of)
    return step.high


def place(case: Case, name: str) -> FaultPlace:
    found = case.sweep.place(name)
    assert found is not None, name
    return found


# ---- two routes


def with_one_earth(case: Case, name: str) -> bool:
    """Whether the fault has one way back: an armour earthed at both ends, or an electrode in TN, is
    a second one.
    """
    installation = case.installation
    circuit = next(each for each in installation.circuits if name in each.supplies)
    second = circuit.cable.armour_earthed == "both-ends"
    return not second and not (
        installation.supply.system != "TT"
        and any(item.use == "installation" for item in installation.electrodes)
    )


@pytest.mark.parametrize("name", ROUTES)
def test_the_nodal_route_gives_what_the_formulas_give(name: str) -> None:
    case = case_of(name)
    for circuit in case.installation.circuits:
        for point in circuit.supplies:
            line = f"{point}.{circuit.lines[0]}"
            if with_one_earth(case, point):
                assert value(case, "earth-fault-at", line) == pytest.approx(
                    value(case, "earth-fault-current", circuit.name), rel=SAME
                )
            assert value(case, "neutral-fault-at", line) == pytest.approx(
                value(case, "fault-current-at-charging-point", circuit.name), rel=SAME
            )


@pytest.mark.parametrize("name", ROUTES)
def test_the_largest_current_at_the_board_is_the_upper_end_of_the_band_of_the_formulas(
    name: str,
) -> None:
    """Both take the source at right angles for what must be broken; `fault-current-at-board` is the
    largest of every kind.
    """
    case = case_of(name)
    switch = case.installation.board.main_switch.name
    line = place(case, f"{switch}.supply.L1")
    kinds: tuple[FaultKind, ...] = ("earth", "neutral", "line", "lines")
    found = [
        currents.most_a
        for kind in kinds
        if (currents := case.sweep.currents(line, kind)) is not None
    ]
    largest = max(ampere for ampere in found if ampere is not None)
    assert largest / 1000 == pytest.approx(high(case, "fault-current-at-board", "board"), rel=0.15)


# ---- by hand


def test_marram_at_the_origin_by_hand() -> None:
    """0.95 x 230 V / 0.28 ohm = 780.36 A, 1.1 x 230 V / 0.28 ohm = 903.57 A; half of 0.28 ohm is
    PEN: 115 V; at most seven tenths of it: 161 V.
    """
    case = case_of("marram")
    assert value(case, "earth-fault-at", "origin.L1") == pytest.approx(0.95 * 230 / 0.28, rel=1e-5)
    assert high(case, "earth-fault-at", "origin.L1") == pytest.approx(1.10 * 230 / 0.28, rel=1e-5)
    assert value(case, "touch-voltage-at", "origin.L1") == pytest.approx(115.0, rel=1e-5)
    assert high(case, "touch-voltage-at", "origin.L1") == pytest.approx(0.7 * 230, rel=1e-5)


def test_tern_is_a_divider_of_two_electrodes() -> None:
    """230 V x 62 / (62 + 8 + 0.16) = 203.25 V on everything joined to the rods, whatever the
    device.
    """
    case = case_of("tern")
    assert value(case, "touch-voltage-at", "origin.L1") == pytest.approx(
        230 * 62 / (62 + 8 + 0.16), rel=1e-5
    )
    assert value(case, "earth-fault-at", "origin.L1") == pytest.approx(0.95 * 230 / 70.16, rel=1e-5)


def test_sedge_in_tn_s_the_protective_path_is_ze_without_the_line() -> None:
    """Ze 0.41 ohm less half of the line-neutral loop of 0.19 ohm: 0.315 of 0.41 ohm, 176.7 V at the
    origin, not 115 V.
    """
    case = case_of("sedge")
    assert value(case, "touch-voltage-at", "origin.L1") == pytest.approx(
        230 * (0.41 - 0.19 / 2) / 0.41, rel=1e-5
    )


def test_an_armour_at_both_ends_is_a_second_way_back() -> None:
    """Two conductors side by side carry more than one (Kirchhoff): the current is larger, what is
    touched lower.
    """
    one, both = (
        case_of("marram"),
        case_of("marram", ("armour_earthed: board-end", "armour_earthed: both-ends")),
    )
    assert value(both, "earth-fault-at", "post-1.L1") > 1.05 * value(
        one, "earth-fault-at", "post-1.L1"
    )
    assert value(both, "touch-voltage-at", "post-1.L1") < value(
        one, "touch-voltage-at", "post-1.L1"
    )


def test_an_electrode_of_the_installation_is_part_of_the_network_in_tn_too() -> None:
    """12 ohm beside the source's 10 ohm: true earth is drawn up with the metal, and less is
    touched.
    """
    without, with_rod = (
        case_of("marram"),
        case_of(
            "marram",
            ("use: measuring, resistance_ohm: 85", "use: installation, resistance_ohm: 12"),
        ),
    )
    assert value(with_rod, "touch-voltage-at", "post-1.L1") < value(
        without, "touch-voltage-at", "post-1.L1"
    )


# ---- places


def test_every_terminal_and_every_end_of_a_conductor_is_a_place() -> None:
    for name in ROUTES:
        case = case_of(name)
        alone = {
            f"{item.name}.PE" for item in case.installation.electrodes if item.use == "measuring"
        }  # joined to nothing, beside nothing
        for terminal in case.wiring.terminals:
            assert terminal.id in alone or case.sweep.place(terminal.id) is not None, (
                f"{name}: {terminal.id}"
            )
        for conductor in case.wiring.conductors:
            for end in ("start", "end"):
                assert case.sweep.place(f"{conductor.id}:{end}") is not None, (
                    f"{name}: {conductor.id}:{end}"
                )


def test_a_place_has_the_same_steps_under_each_of_its_names() -> None:
    case = case_of("marram")
    for name in ("Q1.supply.L1", "feed.L1:end", "bar.L1.F2"):
        assert case.step("earth-fault-at", name) is case.step("earth-fault-at", "Q1.supply.L1")


@pytest.mark.parametrize("name", ROUTES)
def test_no_fault_is_larger_further_from_the_source(name: str) -> None:
    """Resistance only adds up on the way (Rayleigh's law): no place of a circuit carries more than
    its beginning.
    """
    case = case_of(name)
    for circuit in case.installation.circuits:
        way = case.installation.way_feeding(circuit.name).name
        for line in circuit.lines:
            for step_id in ("earth-fault-at", "neutral-fault-at"):
                near, far = f"{way}.load.{line}", f"{circuit.supplies[0]}.{line}"
                assert value(case, step_id, far) <= value(case, step_id, near) * (1 + 1e-9)
                assert high(case, step_id, far) <= high(case, step_id, near) * (1 + 1e-9)


def test_lines_of_three_phases_are_alike() -> None:
    """A balanced source and cores of one size: by symmetry every line drives the same fault."""
    case = case_of("osier")
    for step_id in ("earth-fault-at", "neutral-fault-at", "line-fault-at"):
        found = [value(case, step_id, f"yard-post.{line}") for line in ("L1", "L2", "L3")]
        assert found == pytest.approx([found[0]] * 3, rel=1e-9)


def test_a_longer_cable_drives_less_and_never_more() -> None:
    found = [
        value(
            case_of("marram", ("length_m: 12, ground_c", f"length_m: {metres}, ground_c")),
            "earth-fault-at",
            "post-1.L1",
        )
        for metres in (6, 12, 24, 48)
    ]
    assert found == sorted(found, reverse=True) and len(set(found)) == 4


# ---- what is not known


def test_what_decides_is_named_and_nothing_is_guessed() -> None:
    case = case_of("tern", ("source_electrode_ohm: 8", "source_electrode_ohm: unknown"))
    step = case.step("earth-fault-at", "shed-point.L1")
    assert (
        step is not None
        and step.value is None
        and any("electrode" in path for path in step.missing)
    )
    within = case.step("opens-within", "shed-point.L1")
    assert within is not None and within.value is None and within.ask


def test_what_decides_nothing_is_not_asked_for() -> None:
    """In TN without an electrode of its own no current takes the source's electrode."""
    case = case_of("marram", ("source_electrode_ohm: 10", "source_electrode_ohm: unknown"))
    assert value(case, "earth-fault-at", "post-1.L1") == pytest.approx(
        value(case_of("marram"), "earth-fault-at", "post-1.L1")
    )


def test_metal_that_is_joined_to_nothing_stands_at_line_voltage_and_nothing_opens() -> None:
    case = case_of(
        "marram",
        (
            "# wiring: explicit changes",
            "wiring: [{remove: slipway.PE}]\n# wiring: explicit changes",
        ),
    )
    assert value(case, "earth-fault-at", "post-1.L1") == 0
    assert value(case, "touch-voltage-at", "post-1.L1") == pytest.approx(230.0)
    opening = case.sweep.opening(place(case, "post-1.L1"))
    assert opening is not None and opening.nothing and opening.passed_over[0] == "F2"


# ---- nothing is worked that nobody asked for


def test_the_sweep_is_lazy() -> None:
    fresh = Case(case_of("marram").installation)
    assert fresh.step("loop-impedance", "slipway") is not None
    assert "sweep" not in fresh._made, "a step of the workings asks for no fault"
    assert fresh.step(SWEPT[0], "post-1.L1") is not None and "faults" in fresh._made


# ---- a board wired wrongly


def test_where_line_and_neutral_are_crossed_the_neutral_terminal_is_the_live_one() -> None:
    """Kirchhoff: the current of a fault is the same as at the line's terminal of the sound board;
    the line's terminal, joined to the neutral, drives none and no device stands ahead of it.
    """
    sound = case_of("marram")
    crossed = case_of(
        "marram",
        (
            "# wiring: explicit changes",
            "wiring: [{swap: [post-1.L1, post-1.N]}]\n# explicit changes",
        ),
    )
    assert place(crossed, "post-1.N").ahead == place(sound, "post-1.L1").ahead != ()
    assert value(crossed, "earth-fault-at", "post-1.N") == pytest.approx(
        value(sound, "earth-fault-at", "post-1.L1"), rel=1e-9
    )
    assert crossed.step("earth-fault-at", "post-1.L1") is None
