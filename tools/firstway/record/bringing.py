"""Record: what to bring to a job, and what to cut: counted from the file and from the plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import ceil

from firstway.checks.expecting import expected_readings
from firstway.choosing.completing import Completed
from firstway.drawing.front.cover_labels import further_labels, labels_beside, labels_of_cover
from firstway.drawing.front.scene import seen_front
from firstway.drawing.part_words import (
    amount,
    bar_called,
    bar_words,
    cable_words,
    named_conductor,
    spoken_part,
)
from firstway.frozen import dataclass
from firstway.model.installation import Stretch
from firstway.model.values import Absent, is_known
from firstway.rendering.figures import figure_in_formula
from firstway.wiring.graph import Conductor

MORE_CABLE = 0.05  # of the route's length: common practice; what is left over is not joined
_STEP_M = 0.5  # cable is asked for in half metres
_ASK = "ask the maker"
_FERRULE = {"always": "ferrule", "stranded-only": "ferrule where its strands are fine"}


@dataclass(frozen=True)
class Brought:
    """One line of what to bring: what it is, how many or how long, and a note."""

    what: str
    amount: str
    note: str = ""


@dataclass(frozen=True)
class Cut:
    """One conductor to cut inside the board. `laid_m` is its length as it lies, `cutting_m` with
    what is stripped and some slack; both worked by the plan.
    """

    name: str
    size: str
    laid_m: float
    cutting_m: float
    rests_on: str = ""


def cable_to_bring(route: tuple[Stretch, ...]) -> float | None:
    """Metres of cable for a route: its length and 5 % more, up to the next half metre; None where a
    length is not known.

    >>> from firstway.model.installation import Stretch
    >>> cable_to_bring(())
    """
    lengths = [part.length_m for part in route]
    if not lengths or not all(is_known(each) for each in lengths):
        return None
    return ceil(round(sum(map(float, lengths)) * (1 + MORE_CABLE) / _STEP_M, 6)) * _STEP_M


def brought(done: Completed) -> tuple[Brought, ...]:
    """Devices by their data, cable, ferrules, glands, bars, blanks, labels, rods."""
    return (
        *_board(done),
        *_devices(done),
        *_cables(done),
        *_ends(done),
        *_entries(done),
        *_labels(done),
        *_outside(done),
    )


def _board(done: Completed) -> Iterator[Brought]:
    board, plan = done.installation.board, done.case.layout.parts
    width, height, depth = (round(plan.outer.high[i] - plan.outer.low[i]) for i in range(3))
    yield Brought(
        "the board's enclosure, with its rail, screws and cover",
        "1",
        f"{width} x {height} x {depth} mm in the plan; its maker's own is what counts",
    )
    yield Brought(f"{bar_words(done.installation)}, of the devices' maker", "1", _teeth(done))
    for bar in plan.bars:
        yield Brought(
            bar_called(done.case.wiring.drawn, bar.name), "1", "if the enclosure has none"
        )
    blanks = sum(way.device == "blank" for way in board.ways) + len(plan.cover.blanks)
    if blanks:
        yield Brought("blank for a place without a device", str(blanks))


def _teeth(done: Completed) -> str:
    bar = done.case.layout.parts.line_bar
    if bar is None:
        return "no line bar in the plan"
    unused = sum(not tooth.terminal for tooth in bar.teeth)
    said = f"pitch {figure_in_formula(round(bar.pitch_mm, 1))} mm, {len(bar.teeth)} teeth"
    covers = f", {unused} of them to be covered" if unused else ""
    return f"{said}{covers}, {len(bar.caps)} end caps"


def _devices(done: Completed) -> Iterator[Brought]:
    for part in done.case.wiring.drawn.parts:
        if part.kind in ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse"):
            yield Brought(spoken_part(done, part.name), "1", _ordered_by(done, part.name))
    limiter = done.installation.load_limiter
    if not isinstance(limiter, Absent):
        yield Brought("load limiter with its sensors and data cable", "1", "as its maker says")


def _ordered_by(done: Completed, name: str) -> str:
    """What else a device is ordered by."""
    said = ["declared by the assembly's maker"]
    way = next((each for each in done.installation.board.ways if each.name == name), None)
    if way is None:
        return said[0]
    for words, value, unit in (
        ("breaking capacity", way.breaking_capacity_ka, "kA"),
        ("nominal discharge current", way.nominal_discharge_current_ka, "kA"),
        ("protection level", way.protection_level_kv, "kV"),
    ):
        if is_known(value):
            said.append(f"{words} {amount(value, unit)}")
    return ", ".join(said)


def _cables(done: Completed) -> Iterator[Brought]:
    installation = done.installation
    routes = [(each.name, each.route) for each in installation.circuits]
    if not isinstance(installation.feed, Absent):
        routes.insert(0, ("feed", installation.feed.route))
    for name, route in routes:
        length = cable_to_bring(tuple(route) if is_known(route) else ())
        metres = "measure the route" if length is None else f"{figure_in_formula(length)} m"
        single = _single_cores(done, name)
        if single:
            metres = f"{len(single)} times {metres}"
        note = f"5 % more; one each: {', '.join(single)}" if single else "5 % more"
        yield Brought(f"cable of {cable_words(installation, name)[0]}", metres, note)
    sizes: Counter[tuple[str, str]] = Counter()
    for each in done.case.wiring.drawn.conductors:
        if _in_the_board(done, each):
            key = each.size or "size not known", each.colour or "colour not known"
            sizes[key] += ceil(100 * done.case.layout.by_id[each.id].cutting_m)
    for (size, colour), centimetres in sorted(sizes.items()):
        words = f"conductor for the board, {size}, {colour}"
        yield Brought(words, f"{figure_in_formula(centimetres / 100)} m", "see the cutting list")


def _single_cores(done: Completed, name: str) -> list[str]:
    """The conductors of a feed or circuit that is run in single cores; none of another."""
    installation = done.installation
    if name == "feed":
        feed = installation.feed
        cable = feed if isinstance(feed, Absent) else feed.cable
    else:
        cable = installation.circuit(name).cable
    if isinstance(cable, Absent) or cable.construction != "single-core":
        return []
    cores = [each for each in done.case.wiring.drawn.conductors if each.cable == name]
    return list(dict.fromkeys(each.function for each in cores if each.kind != "armour"))


def _ends(done: Completed) -> Iterator[Brought]:
    """Ferrules by size, two ends a conductor; where no maker says, that is told."""
    sizes: Counter[tuple[str, str]] = Counter()
    silent = 0
    for each in done.case.wiring.drawn.conductors:
        if each.kind in ("bar", "armour"):
            continue
        if each.ferrule in _FERRULE:
            sizes[each.size or "size not known", _FERRULE[each.ferrule]] += 2
        silent += not each.ferrule
    for (size, words), number in sorted(sizes.items()):
        yield Brought(f"{words}, {size}", f"up to {number}", "as long as the terminal asks")
    if silent:
        yield Brought("ferrules of other ends", _ASK, f"{silent} conductors: no maker's word")


def _entries(done: Completed) -> Iterator[Brought]:
    for each in done.case.layout.parts.openings:
        what = "gland with locknut and earth tag" if each.gland else "bush or gland"
        hole = figure_in_formula(round(each.hole_mm, 1))
        yield Brought(f"{what} for {each.name}", "1", f"opening of {hole} mm in the plan")


def _labels(done: Completed) -> Iterator[Brought]:
    front = seen_front(done)
    labels = (*labels_of_cover(front), *further_labels(front), *labels_beside(front))
    for title, number in Counter(each.title for each in labels).items():
        yield Brought(f"label: {title}", str(number))


def _outside(done: Completed) -> Iterator[Brought]:
    for point in done.installation.charging_points:
        yield Brought(f"charging point {point.name}, with its maker's instructions", "1")
    for rod in done.installation.electrodes:
        number = (
            figure_in_formula(float(rod.rods)) if is_known(rod.rods) else "as the file will say"
        )
        length = f", {figure_in_formula(float(rod.length_m))} m" if is_known(rod.length_m) else ""
        yield Brought(f"earth rod of {rod.name}{length}, with clamp and pit", number)


def cutting_list(done: Completed) -> tuple[Cut, ...]:
    """Every conductor that begins and ends in the board, longest first within its size."""
    drawn, laid = done.case.wiring.drawn, done.case.layout.by_id
    rules = done.installation.rules
    cuts = [
        Cut(
            named_conductor(drawn, each, rules),
            each.size or "size not known",
            laid[each.id].length_m,
            laid[each.id].cutting_m,
            ", ".join(each.evidence),
        )
        for each in drawn.conductors
        if _in_the_board(done, each)
    ]
    return tuple(sorted(cuts, key=lambda cut: (cut.size, -cut.cutting_m, cut.name)))


def _in_the_board(done: Completed, each: Conductor) -> bool:
    """Whether it is cut for the board: no bar, no core of a cable, both ends inside."""
    laid = done.case.layout.by_id.get(each.id)
    cut = each.kind not in ("bar", "armour") and not each.cable
    return cut and laid is not None and laid.inside


_INSTRUMENTS = {
    "continuity": "low-resistance ohmmeter, its leads nulled",
    "r1-plus-r2": "low-resistance ohmmeter, its leads nulled",
    "insulation": "insulation tester",
    "electrode": "earth electrode tester with stakes and leads",
    "zs": "loop tester",
    "ze": "loop tester",
    "rcd-time": "tester for residual current devices",
    "phase-sequence": "phase sequence tester",
    "state": "vehicle adapter with its states",
}


def tools(done: Completed) -> tuple[Brought, ...]:
    """Tools and instruments: those of every board, and what the tests of this job ask for; common
    practice.
    """
    tests = [each.key for each in expected_readings(done.case) if each.is_a_test]
    asked = dict.fromkeys(_INSTRUMENTS[key] for key in tests if key in _INSTRUMENTS)
    always = (
        "locks, tags and the key box for what is isolated",
        "two-pole voltage indicator with its proving unit",
        "clamp meter, before an earthing or bonding conductor is opened",
        "torque driver within its calibration, with the bits of these screws",
        "stripper, crimping tool with the dies of these sizes",
        "gloves, glasses and what the place asks for",
    )
    return tuple(Brought(each, "") for each in (*always, *asked))
