"""Drawing, pictures for the hands: a voltage indicator proved before and after, and a point tried
by an adapter in the states of its pilot.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from firstway.checks.expected import Expected
from firstway.checks.expecting import expected_readings
from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import TEXT_SIZE, Drawables, lines
from firstway.drawing.sheet import HAIR, LINE, Box, Disc, Lettering, Point, Strands
from firstway.drawing.text_width import wrapped
from firstway.frozen import dataclass
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known

UNIT = "proving unit"


@dataclass(frozen=True)
class Indicator:
    """A two-pole voltage indicator on two contacts of something; `lit`: it shows voltage."""

    on: str
    contacts: tuple[str, ...]
    lit: bool


def indicator_scene(of: Indicator) -> Detail:
    """Half as wide as a sheet."""
    top, low = 86.0, 150.0
    wide = 150.0
    step = wide / (len(of.contacts) + 0.2)
    x0 = 22.0
    spots = [(x0 + step * (place + 0.6), low + 14) for place in range(len(of.contacts))]
    unit = of.on == UNIT
    box: Drawables = (
        Box(x0, low, wide, 60, "ink", LINE, "plate", 8 if unit else 0),
        *(Disc(*each, 4, "ink", HAIR, "zhole" if unit else "zz1") for each in spots),
    )
    ends = spots[0], spots[-1]
    body_at = Box(x0 + 34, 10, 82, 40, "ink", LINE, "plate", 6)
    lamps = tuple(
        Disc(
            x0 + 51 + 16 * place,
            39,
            5,
            "mark" if of.lit else "ink",
            LINE,
            "mark" if of.lit else "none",
        )
        for place in range(4)
    )
    leads = tuple(
        parts.lead(((start, 50.0), (start, top - 16), (x, top - 6), (x, y - 16)), kind)
        for start, (x, y), kind in zip((x0 + 60, x0 + 90), ends, (parts.DARK, parts.LIGHT))
    )
    tips = tuple(item for x, y in ends for item in parts.probe((x, y), (x, y - 20)))
    letters = tuple(
        Lettering(x, y + 19, each, TEXT_SIZE, "middle")
        for each, (x, y) in zip(of.contacts, spots)
        if each
    )
    name = Lettering(x0 + wide / 2, low + 52, of.on, TEXT_SIZE, "middle", True)
    shown = "voltage" if of.lit else "nothing"
    groups = [
        group("contacts", box, title=of.on),
        group("leads", leads, tips),
        group("indicator", (body_at, *lamps), title="Two-pole voltage indicator"),
        group("names", letters, (name, Lettering(x0 + wide / 2, 26, shown, TEXT_SIZE, "middle"))),
    ]
    if not unit:
        groups.append(group("sign", parts.padlock(158, 18), title="Locked off"))
    return Detail(HALF, low + 66, tuple(groups), {"one": ends[0], "other": ends[1]})


def proving_dead(job: Completed, name: str) -> Made | str:
    """Known source, the terminals, known source again; and one that failed in between."""
    if name != "board":
        return "dead is proved at the board"
    switch = job.installation.board.main_switch
    at = f"{switch.name}." + "supply." if is_known(switch) else "origin."
    terminals = job.case.wiring.drawn.terminals_of(at.partition(".")[0])
    supply = [each.function for each in terminals if each.id.startswith(at)]
    supply = [each for each in supply if each != "PE"]
    earth = parts.earth_letter(str(job.installation.rules))
    here_at = f"{switch.name}, incoming" if is_known(switch) else "incoming lugs"
    before = Indicator(UNIT, ("", ""), True)
    here = Indicator(here_at, (*supply, earth), False)
    after = before
    failed = replace(after, lit=False)
    return finished(
        job,
        sheet_of(
            "Proving dead at the board",
            "A two-pole voltage indicator three times. Right: it lights on a proving unit, shows"
            " nothing at the incoming terminals of the board, and lights on the proving unit"
            " again. Wrong: the last time it stays dark, so the nothing before proves nothing.",
            [
                Panel(
                    indicator_scene(before), True, "1. proved before", "On a source that is known."
                ),
                Panel(
                    indicator_scene(here),
                    True,
                    "2. every pair",
                    f"{_origin(job)} Live until proved dead: {_each_pair((*supply, earth))}."
                    f" Shown: {supply[0]}–{earth}; the probes go to every pair.",
                ),
                Panel(indicator_scene(after), True, "3. proved after", "Now 2 counts: it is dead."),
                Panel(
                    indicator_scene(failed),
                    False,
                    "3. it stays dark",
                    "It failed in between: 2 proves nothing. Treat all as live; begin again with a"
                    " sound one.",
                ),
            ],
        ),
    )


def _each_pair(contacts: Sequence[str]) -> str:
    """Every two of them, as they are tried one after another."""
    return ", ".join(f"{one}–{other}" for one, other in combinations(contacts, 2))


def _origin(job: Completed) -> str:
    """Where it was isolated and locked."""
    words = "Isolated at its origin and locked off there."
    return in_nec_words(words) if job.installation.rules == "nec" else words


# ---- the adapter's states


@dataclass(frozen=True)
class Tried:
    """A point and an adapter in a state; `live`: there is line voltage at the outlet."""

    state: str
    point: str
    pilot: str
    live: bool


def tried_scene(of: Tried) -> Detail:
    """Half as wide as a sheet."""
    point = (
        Strands(((64, 40), (90, 40), (90, 66), (112, 66)), (("zline", 8, ""), ("zk1", 6, "")), 8.0),
        Box(6, 12, 60, 88, "ink", LINE, "plate", 8),
        Box(14, 22, 34, 8, "zline", HAIR, "zglass", 2),
    )
    box = (Box(108, 12, 80, 88, "ink", LINE, "plate", 5),)
    lamp = Disc(126, 74, 6, "mark" if of.live else "ink", LINE, "mark" if of.live else "none")
    rays = [((126.0, 65.0), (126.0, 60.0)), ((117.0, 74.0), (113.0, 74.0))]
    names: list[Lettering] = [
        Lettering(36, 62, "point", TEXT_SIZE, "middle"),
        Lettering(148, 40, of.state, 20.0, "middle", True),
        Lettering(140, 79, "outlet", TEXT_SIZE),
    ]
    names += [
        Lettering(6, 118 + 15 * place, text, TEXT_SIZE, bold=True)
        for place, text in enumerate(wrapped(of.pilot, TEXT_SIZE, HALF - 10, True))
    ]
    groups = [
        group("point", point, title="Point, cover on"),
        group("adapter", box, title="Adapter"),
        group("lamp", (lamp,), (lines(rays, HAIR, "mark"),) if of.live else ()),
        group("names", tuple(names)),
    ]
    last: Point = 6, names[-1].y
    return Detail(HALF, last[1] + 4, tuple(groups), {"lamp": (126.0, 74.0)})


def tried_by_adapter(job: Completed, name: str) -> Made | str:
    """States A, B and C, and a contactor that is closed in B."""
    found = [
        each for each in expected_readings(job.case) if each.key == "state" and each.of == name
    ]
    told = {each.state: each for each in found}
    if not {"A", "B", "C"} <= set(told):
        return f"no states of the pilot are foretold for '{name}'"
    shown = {state: _pilot(told[state]) for state in "ABC"}
    right = {state: Tried(state, name, pilot.words, state == "C") for state, pilot in shown.items()}
    wrong = replace(right["B"], live=True)
    panels: Sequence[Panel] = [
        Panel(
            tried_scene(right["A"]),
            True,
            "A, as if no vehicle",
            "No voltage at the outlet; a dark lamp alone proves none.",
        ),
        Panel(tried_scene(right["B"]), True, "B, not ready", "Current offered, no voltage yet."),
        Panel(
            tried_scene(right["C"]),
            True,
            "C, ready",
            "The contactor closes: line voltage. Skilled persons only.",
        ),
        Panel(
            tried_scene(wrong),
            False,
            "voltage in B",
            "The contactor is welded or bridged: no vehicle, isolate.",
        ),
    ]
    return finished(
        job,
        sheet_of(
            f"{name} tried by an adapter",
            "Cover on; an adapter stands for the vehicle. Right: in state A and in state B there is"
            f" no voltage at the outlet ({shown['A'].words}; {shown['B'].words}), in state C there"
            f" is ({shown['C'].words}). Wrong: in state B there is voltage at the outlet, so the"
            " contactor does not open.",
            panels,
            tuple(shown.values()),
        ),
    )


def _pilot(line: Expected) -> ShownFigure:
    """What the pilot shows in a state."""
    words = line.shown.words.partition(";")[0].partition(",")[0]
    return ShownFigure(words, f"state {line.state}", f"state {line.of} {line.state}")
