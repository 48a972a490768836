"""Evidence stays with its thing: what is said of one circuit, device or electrode does not rest on
another's figures.

With one length of the yard's cable assumed, a pass of the gate's device that turned into "would
pass, but ..." would send the reader to measure what has nothing to do with it. Whole jobs with two
of everything; every figure of one thing assumed at once; what is said of the others stays. What
says which part a thing is (the kind of a way, what it feeds) others do read. The opposite (a pass
that rests on what is assumed) is in test_evidence.py.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import pytest
from assuming import keys
from changing import installation

from firstway.checks.rule import Case
from firstway.checks.running import findings_of
from firstway.choosing.completing import completed
from firstway.files.specs import Number
from firstway.model.evidence import with_known_by

SALLOW_SURGE = (
    "    - {name: F4, device: spd, modules: 4, fed_from: bar, type: 2, connection: CT2,"
    " continuous_voltage_v: 275, protection_level_kv: 1.5, nominal_discharge_current_ka: 20,"
    " neutral_earth: {continuous_voltage_v: 255, protection_level_kv: 1.5,"
    " nominal_discharge_current_ka: 40}, short_circuit_rating_ka: 25, voltage_at_1_ma_v: unknown,"
    " own_protection: none, backup_fuse_max_a: 125, state: healthy, leads: {line: {length_m: 0.1,"
    " csa_mm2: 16}, neutral: {length_m: 0.1, csa_mm2: 16}, earth: {length_m: 0.25, csa_mm2: 16},"
    " through_own_device_m: 0}}\n"
)
ALDER_SURGE = (
    "    - {name: F3, device: spd, modules: 2, fed_from: bar, type: 2, connection:"
    " lines-neutral-earth, continuous_voltage_v: 150, protection_level_kv: 0.7,"
    " nominal_discharge_current_ka: 20, short_circuit_rating_ka: 200, voltage_at_1_ma_v: unknown,"
    ' own_protection: internal, state: healthy, leads: {line: {length_m: 0.2, size_awg: "10"},'
    ' neutral: {length_m: 0.2, size_awg: "10"}, earth: {length_m: 0.2, size_awg: "10"},'
    " through_own_device_m: 0}}\n"
)
ALDER_DRIVE = (
    "    - {name: F4, device: circuit-breaker, modules: 2, fed_from: bar, feeds: drive, standard:"
    " UL 489, protected_poles: 2, switched_poles: 2, rating_a: 30, breaking_capacity_ka: 10,"
    " terminals_c: 75, terminals: {torque_lbf_in: 45}}\n"
)
DRIVE = (
    "  - {name: drive, supplies: [post-2], lines: [L1, L2], neutral: false, cable: {construction:"
    ' nm, insulation: thhn90, size_awg: "10", egc_awg: "10", wiring_method: nm-cable, terminals_c:'
    " 75, colours: nec}, route: [{method: nm-cable, length_m: 9, ambient_c: 38, current_carrying:"
    " 2}]}\n"
)
POST_2 = (
    ", {name: post-2, current_a: 16, setting_locked: true, lines: [L1, L2], location: indoors,"
    " outlet: tethered, lead_m: 7.6, hard_wired: true, listed: true, dc_detection: none,"
    " built_in_rcd: ccid-20, bidirectional: false, ip: type-1, spd: none, earthed_by:"
    " supply}]\nother_sources:"
)
# Two of everything: a second surge protective device, a second electrode, a reading of each
# circuit.
JOBS = {
    "sallow": (
        ("    - {name: S2, device: blank, modules: 1}\n", SALLOW_SURGE),
        ("modules: 16,", "modules: 24,"),
        (
            "electrodes: [",
            (
                "electrodes: [{name: rod-b, use: measuring, rods: 1, length_m: 1.5, diameter_mm:"
                " 14, soil_ohm_m: 60}, "
            ),
        ),
        (
            "vehicles:",
            (
                "readings: [{test: r1-plus-r2, circuit: yard, between: [L1, PE], ohm: 0.15},"
                " {test: r1-plus-r2, circuit: gate, between: [L2, PE], ohm: 0.15}]\nvehicles:"
            ),
        ),
    ),
    "alder": (
        ("circuits:\n", ALDER_SURGE + ALDER_DRIVE + "circuits:\n" + DRIVE),
        ("]\nother_sources:", POST_2),
        ("current_a: 48", "current_a: 32"),
        ("modules: 8,", "modules: 12,"),
    ),
}
# Each thing with the names findings know it by, and where its figures stand.
THINGS = {
    "sallow": {
        "the yard": (
            {"F2", "yard", "yard-post"},
            ("board.ways.F2", "circuits.yard", "charging_points.yard-post"),
        ),
        "the gate": (
            {"F3", "gate", "gate-post"},
            ("board.ways.F3", "circuits.gate", "charging_points.gate-post"),
        ),
        "the yard's reading": ({"F2", "yard"}, ("readings.1",)),
        "the gate's reading": ({"F3", "gate"}, ("readings.2",)),
        "all of the yard's post": ({"F2", "yard", "yard-post"}, ("charging_points.yard-post",)),
        "all of the gate's post": ({"F3", "gate", "gate-post"}, ("charging_points.gate-post",)),
        "all of the yard's cable": ({"F2", "yard", "yard-post"}, ("circuits.yard",)),
        "all of the gate's cable": ({"F3", "gate", "gate-post"}, ("circuits.gate",)),
        "F1": ({"F1"}, ("board.ways.F1",)),
        "F4": ({"F4"}, ("board.ways.F4",)),
        "rods": ({"rods"}, ("electrodes.rods",)),
        "rod-b": ({"rod-b"}, ("electrodes.rod-b",)),
    },
    "alder": {
        "the garage": (
            {"F2", "garage", "post-1"},
            ("board.ways.F2", "circuits.garage", "charging_points.post-1"),
        ),
        "the drive": (
            {"F4", "drive", "post-2"},
            ("board.ways.F4", "circuits.drive", "charging_points.post-2"),
        ),
        "F1": ({"F1"}, ("board.ways.F1",)),
        "F3": ({"F3"}, ("board.ways.F3",)),
        "the feed": ({"feed"}, ("feed",)),
    },
}
# Where what is said of others does rest on a thing's figures, by rule, with the reason.
CIRCUITS = {
    "voltage-drop": "the feed carries both circuits' currents, and its drop is part of each",
    "electrode-resistance": "the residual current devices decide what the electrode may have",
}
EVERY_FAULT = dict.fromkeys(
    (
        "disconnection-time",
        "fault-opens-in-time",
        "fault-survived",
        "loop-impedance",
        "protective-conductor",
    ),
    "a fault to earth returns through the electrode",
)
# What a tester is foretold to show is worked from the whole wiring at once, for every test of the
# list.
FORETOLD = "reading-differs"
FEED = {"voltage-drop": CIRCUITS["voltage-drop"]}
POSTS = {
    **FEED,
    "electrode-resistance": "which points stand on the electrode decides what it may have",
}
LINES = {
    **POSTS,
    "fault-opens-in-time": "the places of a fault are those of all lines of all circuits",
}
FAULT_CURRENT = "the feed's impedance decides the largest fault current behind it"
CARRIED = "the feed carries the circuit's current"
NEC_CIRCUIT = {
    **dict.fromkeys(
        (
            "nec-continuous-load-conductor",
            "nec-continuous-load-device",
            "nec-corrected-ampacity",
            "nec-grounding-conductor",
        ),
        CARRIED,
    ),
    "nec-voltage-drop": CIRCUITS["voltage-drop"],
}
TOGETHER = {
    "the feed": {
        "nec-interrupting-rating": FAULT_CURRENT,
        "nec-surge-fault-rating": FAULT_CURRENT,
        "nec-voltage-drop": "its drop is part of each",
    },
    "the garage": NEC_CIRCUIT,
    "the drive": NEC_CIRCUIT,
    "the yard": CIRCUITS,
    "the gate": CIRCUITS,
    "rods": EVERY_FAULT,
    "all of the yard's post": POSTS,
    "all of the gate's post": POSTS,
    "all of the yard's cable": LINES,
    "all of the gate's cable": LINES,
}
# What lies in the board moves what lies beside it; an electrode does not.
PLACED = {
    "opening-clearance": "the next locknut is in the way too",
    "surge-leads": "the devices of the row, and what they are wide, place each other",
    "surge-lead-laid": "as the line above",
}

Told = tuple[str, str, str, str]  # id, of, place, message


@dataclass(frozen=True)
class Job:
    case: Case
    passes: frozenset[Told]
    figures: tuple[str, ...]
    every_key: tuple[str, ...]


@cache
def job(name: str) -> Job:
    """The job with everything measured: its passes, and the paths of its figures."""
    whole = installation(name, *JOBS[name])
    result, problems = completed(
        with_known_by(
            whole, {path: "measured" for path in whole.lines_of if not path.startswith("known_by")}
        )
    )
    assert result is not None, problems
    given = [key for key in keys(result.installation) if not key.section]
    figures = tuple(
        key.path for key in given if isinstance(key.spec.kind, Number) or key.path.endswith("_awg")
    )
    return Job(result.case, passes(result.case), figures, tuple(key.path for key in given))


def passes(case: Case) -> frozenset[Told]:
    return frozenset(
        (each.id, each.of, each.place, each.message)
        for each in findings_of(case)
        if each.level == "pass"
    )


@cache
def lost(name: str, thing: str) -> frozenset[Told]:
    """Passes that are gone with every figure, or all that is told, of one thing assumed."""
    _, sections = THINGS[name][thing]
    told = job(name).every_key if thing.startswith("all of") else job(name).figures
    own = [path for path in told if path.startswith(tuple(f"{section}." for section in sections))]
    assert own
    whole = job(name).case.installation
    return job(name).passes - passes(
        Case(replace(whole, known_by={**whole.known_by, **dict.fromkeys(own, "assumed")}))
    )


def together(thing: str, rule: str) -> bool:
    if rule in PLACED and thing not in ("rods", "rod-b"):
        return True
    return rule in TOGETHER.get(thing, {}) or rule == FORETOLD and "reading" not in thing


PAIRS = [
    (name, one, other)
    for name, things in THINGS.items()
    for one in things
    for other in things
    if one != other and not things[one][0] & things[other][0]
]


@pytest.mark.parametrize(
    "name, one, other", PAIRS, ids=["-".join(pair).replace(" ", "-") for pair in PAIRS]
)
def test_what_is_said_of_one_thing_does_not_rest_on_another(
    name: str, one: str, other: str
) -> None:
    names, _ = THINGS[name][other]
    assert any({of, place} <= names for _, of, place, _ in job(name).passes), (
        "something is said of it"
    )
    assert [
        (rule, place)
        for rule, of, place, _ in lost(name, one)
        if {of, place} <= names and not together(one, rule)
    ] == []


@pytest.mark.parametrize(
    "name, thing", [(name, thing) for name, things in THINGS.items() for thing in things]
)
def test_what_is_said_of_a_thing_does_rest_on_its_own(name: str, thing: str) -> None:
    names, _ = THINGS[name][thing]
    assert any(names & {of, place} for _, of, place, _ in lost(name, thing))


def test_what_stands_together_is_needed() -> None:
    for thing, rules in TOGETHER.items():
        name = next(name for name, things in THINGS.items() if thing in things)
        of_others = {
            rule
            for rule, of, place, _ in lost(name, thing)
            if any(
                {of, place} <= names
                for names, _ in THINGS[name].values()
                if not names & THINGS[name][thing][0]
            )
        }
        assert set(rules) == of_others - {FORETOLD} - set(PLACED), thing
