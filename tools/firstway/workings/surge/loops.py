"""Workings: the loop of a surge: between which conductors it drives, what of the device stands in
that path, and on which earths.

A path that is not worked is not known: it never takes the figure of another.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from firstway.calculations.surge import GapLaw, SurgeCase, Varistor
from firstway.calculations.surge_leads import PATH_LEADS
from firstway.frozen import dataclass
from firstway.model.installation import ChargingPoint, Circuit, Installation, Way
from firstway.model.values import Told, is_known, key_of
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step
from firstway.workings.surge.model import model_row, model_value
from firstway.workings.surge.runs import case_for_peaks
from firstway.workings.surge.waves import USUAL_WAVE, SentWave

SurgeMode = Literal["line-to-earth", "line-to-neutral", "neutral-to-earth", "line-to-line"]
"""Between which conductors a surge drives."""
FindsStep = Callable[[str, str], Step | None]


@dataclass(frozen=True)
class SurgePath:
    """What of a device stands between two conductors: varistors in series, and its gap or not."""

    elements: int
    gap: bool
    words: str


_TO_EARTH = {
    "line-to-earth": SurgePath(1, False, "its element L–PE"),
    "neutral-to-earth": SurgePath(1, False, "its element N–PE"),
}
PATHS: dict[str, dict[str, SurgePath]] = {
    "CT1": {
        **_TO_EARTH,
        "line-to-neutral": SurgePath(2, False, "two elements in series, L–PE and PE–N"),
        "line-to-line": SurgePath(2, False, "two elements in series, L–PE and PE–L"),
    },
    "CT2": {
        "line-to-earth": SurgePath(1, True, "its element L–N and its gap N–PE, in series"),
        "line-to-neutral": SurgePath(1, False, "its element L–N"),
        "neutral-to-earth": SurgePath(0, True, "its gap N–PE alone"),
        "line-to-line": SurgePath(2, False, "two elements in series, L–N and N–L"),
    },
    # Between lines, and to neutral, it has elements whose figures no key holds.
    "lines-neutral-earth": _TO_EARTH,
}
_LEADS: dict[str, tuple[str, str]] = {
    "line-to-neutral": ("line", "neutral"),
    "neutral-to-earth": ("neutral", "earth"),
    "line-to-line": ("line", "line"),
}


@dataclass(frozen=True)
class SurgeLoop:
    """The steps a run of one path rests on.

    `gone` are values of the file without which there is no run, `ask` whom to ask for them; without
    a working device there is no lead, law or gap. `earths` are those of board and point where they
    are two.
    """

    mode: SurgeMode
    shared: tuple[Step, ...]  # lengths of supply cable and charging cable, voltage of the surge
    words: str = ""
    lead: Step | None = None
    elements: Step | None = None
    law: tuple[Step, ...] = ()
    bound: tuple[Step, ...] = ()
    gap: tuple[Step, ...] = ()
    earths: tuple[Step, ...] = ()
    gone: tuple[Told | Step, ...] = ()
    ask: str = ""
    wave: SentWave = USUAL_WAVE

    def steps(self, bound: bool = False) -> tuple[Step, ...]:
        """All of them; the pessimistic law where it is run as well."""
        own = tuple(step for step in (self.lead, self.elements) if step is not None)
        laws = (*self.law, *(self.bound if bound else ()))
        return (*self.shared, *own, *laws, *self.gap, *self.earths, *self.wave.rests_on)


def own_earth(installation: Installation, point: ChargingPoint) -> bool:
    """Whether the point stands on an earth that is not the board's."""
    item = installation.electrode(str(point.earthed_by)) if is_known(point.earthed_by) else None
    return item is not None and item.use == "charging-point"


def surge_modes(circuit: Circuit) -> tuple[SurgeMode, ...]:
    """The paths that end at the vehicle, by the conductors its circuit has."""
    several, neutral = len(circuit.lines) > 1, circuit.neutral is True
    return (
        "line-to-earth",
        *(("line-to-neutral", "neutral-to-earth") if neutral else ()),
        *(("line-to-line",) if several else ()),
    )


def mode_words(mode: SurgeMode) -> str:
    """The mode as a sentence has it."""
    return mode.replace("-", " ")


def main_mode(
    installation: Installation, circuit: Circuit, point: ChargingPoint, way: Way | None
) -> SurgeMode:
    """The path in which the varistor of the board stands: to neutral in CT2, and where the point
    is not on the earth of the board; else to earth.
    """
    shared = is_known(point.earthed_by) and not own_earth(installation, point)
    to_earth = shared and (way is None or way.connection != "CT2")
    return "line-to-earth" if to_earth or circuit.neutral is not True else "line-to-neutral"


def loop_of(
    find: FindsStep,
    installation: Installation,
    circuit: Circuit,
    point: ChargingPoint,
    way: Way | None,
    mode: SurgeMode,
) -> SurgeLoop | None:
    """The loop from steps that are written; None where one of them is not."""
    wanted = [
        find("length", circuit.name),
        find("charging-cable-length", point.name),
        find("surge-voltage", point.name),
    ]
    shared = tuple(step for step in wanted if step is not None)
    if len(shared) < len(wanted):
        return None
    bare = SurgeLoop(mode, shared)
    if point.earthed_by == "separated":
        ask = f"ask the maker of the separating transformer ahead of {point.name} what passes it"
        return _without(bare, (point.earthed_by,), ask)
    if way is None:
        return bare
    if mode not in PATHS.get(str(way.connection), {}):
        ask = f"read on {way.name}, or ask its maker, what stands {mode_words(mode)} in it"
        return _without(bare, (way.connection,), ask)
    if mode.endswith("earth") and not is_known(point.earthed_by):
        return _without(bare, (point.earthed_by,), f"find out which earth {point.name} stands on")
    return _with_device(find, installation, point, way, bare)


def _without(bare: SurgeLoop, gone: tuple[Told, ...], ask: str) -> SurgeLoop:
    return SurgeLoop(bare.mode, bare.shared, gone=gone, ask=ask)


def _with_device(
    find: FindsStep, installation: Installation, point: ChargingPoint, way: Way, bare: SurgeLoop
) -> SurgeLoop | None:
    mode, path = bare.mode, PATHS[str(way.connection)][bare.mode]

    def of_device(*names: str) -> tuple[Step, ...]:
        return tuple(step for name in names if (step := find(name, way.name)) is not None)

    two = mode.endswith("earth") and own_earth(installation, point)
    lead = of_device(lead_step(mode))
    elements = of_device(f"surge-elements-{mode}")
    earths = tuple(
        step
        for name in (("board-earth-in-surge", "point-earth-in-surge") if two else ())
        if (step := find(name, point.name)) is not None
    )
    if not lead or not elements:
        return None
    return SurgeLoop(
        mode,
        bare.shared,
        path.words,
        lead[0],
        elements[0],
        of_device("spd-coefficient", "spd-exponent", "spd-series-resistance")
        if path.elements
        else (),
        of_device("spd-power-coefficient", "spd-power-exponent") if path.elements else (),
        of_device("gap-fires", "gap-arc") if path.gap else (),
        earths,
    )


def lead_step(mode: SurgeMode) -> str:
    """The step that adds the leads of a path."""
    return "spd-lead-length" if mode == "line-to-earth" else f"spd-lead-length-{mode}"


# ---- what a device is, path by path


@topic
def paths_of_device(book: Book, way: Way, modes: tuple[SurgeMode, ...]) -> None:
    """Elements and leads of each path, and the gap of CT2."""
    for mode in modes:
        path = PATHS.get(str(way.connection), {}).get(mode)
        if path is None:
            continue
        book.constant(
            f"surge-elements-{mode}",
            way.name,
            f"Varistors of {way.name} in the path {mode_words(mode)}",
            "n",
            path.elements,
            "",
            f"connection {way.connection}: {path.words}",
            (way.connection,),
            places=0,
        )
        if mode != "line-to-earth":
            _leads(book, way, mode)
    if way.connection == "CT2":
        _gap(book, way)


def _leads(book: Book, way: Way, mode: SurgeMode) -> Step:
    title = f"Leads of {way.name} in the path {mode_words(mode)}"
    names = [*(f"spd-{side}-lead" for side in _LEADS[mode]), "spd-own-device-link"]
    given = [book.find(name, way.name) for name in names]
    steps = {sign: step for sign, step in zip(("l_1", "l_2", "l_d"), given) if step is not None}
    if len(steps) < len(given):
        ask = f"measure the leads of {way.name}"
        return book.not_known(
            lead_step(mode), way.name, title, "l", "m", "formula", (way.leads,), ask
        )
    return book.later(lead_step(mode), way.name, title, PATH_LEADS, steps)


def _gap(book: Book, way: Way) -> None:
    of = way.name
    level = book.fact(
        "gap-level",
        of,
        f"Protection level of {of} between neutral and earth",
        "U_p",
        key_of(way.neutral_earth, "protection_level_kv"),
        "kV",
        ask=f"read on {of} the protection level of the part between neutral and earth",
    )
    book.repeat(
        level,
        "gap-fires",
        of,
        f"Voltage at which the gap of {of} fires at the latest",
        symbol="U_f",
    )
    book.look_up("gap-arc", of, "Voltage of its arc", "U_a", model_row("gap-arc-v"), "V", places=0)


@topic
def two_earths(book: Book, point: ChargingPoint) -> None:
    """The earth of the board and that of the point, where they are two."""
    of, installation = point.name, book.installation
    if not own_earth(installation, point):
        return
    item = next((each for each in installation.electrodes if each.use == "installation"), None)
    board = book.find("electrode-resistance", item.name) if item is not None else None
    title = "Resistance of the earth that the board stands on"
    if board is not None:
        book.repeat(board, "board-earth-in-surge", of, title, symbol="R_b")
    else:
        book.fact(
            "board-earth-in-surge",
            of,
            title,
            "R_b",
            installation.supply.source_electrode_ohm,
            "ohm",
            ask="ask the distributor for the resistance of the electrode at the source",
            note="at least: the conductor on the way to it chokes a surge and lifts the board more",
        )
    own = book.find("electrode-resistance", str(point.earthed_by))
    if own is not None:
        book.repeat(
            own,
            "point-earth-in-surge",
            of,
            f"Resistance of the earth that {of} stands on",
            symbol="R_p",
        )


# ---- the case of a loop


def case_of_loop(
    loop: SurgeLoop, *, bound: bool = False, fitted: bool = True, lead_m: float | None = None
) -> SurgeCase:
    """The case of known steps, an open end, over the time in which volts peak; `lead_m` stands for
    the lead where the board is not to be laid for it.
    """

    def value(step: Step) -> float:
        assert step.figure is not None
        return float(step.figure)

    supply, cable, surge = map(value, loop.shared)
    usual = SurgeCase(supply, cable, surge_v=surge, second_lead_m=model_value("second-lead-m"))
    open_loop = loop.wave.sent(usual)
    if not fitted or loop.lead is None or loop.elements is None:
        return case_for_peaks(open_loop)
    law, n = [*map(value, loop.bound if bound else loop.law)], value(loop.elements)
    gap = [*map(value, loop.gap)]
    board, point = map(value, loop.earths) if loop.earths else (0.0, 0.0)
    return case_for_peaks(
        replace(
            open_loop,
            spd=Varistor(n * law[0], law[1], n * law[2] if len(law) > 2 else 0.0) if law else None,
            spd_gap=GapLaw(1000 * gap[0], gap[1]) if gap else None,
            lead_m=value(loop.lead) if lead_m is None else lead_m,
            board_earth_ohm=board,
            point_earth_ohm=point,
        )
    )
