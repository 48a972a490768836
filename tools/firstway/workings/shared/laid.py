"""Workings: how long a conductor of the board is as it lies, and the loop it forms with another.

The plan is laid when the first of these figures is asked for, and once. A figure rests on every key
that places what it joins: one the file does not state counts as assumed, so no finding passes on
it; sizes that no key holds stand as rows of their table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from firstway.layout.plan import Laid
from firstway.layout.sizes import Sizes
from firstway.layout.stated import read_neighbours, unstated_places
from firstway.model.evidence import alone
from firstway.model.values import is_known, place_of
from firstway.tables.clauses import least_standing
from firstway.wiring.graph import Conductor
from firstway.workings.shared.book import row_read, step_in_nec_words
from firstway.workings.shared.lazy_step import LazyStep, Worked
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import RowRead, Step, Workings

LAID = ("conductor-length", "conductor-loop-area")
"""Steps that stand beside the workings, for they are many; those a working rests on are in it."""
_SOURCE = "the shortest way through the channels of the board, bends followed"
PLACING = (
    "clamp-inset",
    "between-conductors",
    "bar-terminal-pitch",
    "bar-depth",
    "bar-hole-height",
)
PLACING_ON_RAIL = ("module-width", "device-height", "rail-to-nose", "rail-to-clamp", "rail-depth")
PLACING_ON_TABS = ("tabbed-breaker-width", "tabbed-breaker-length", "tabbed-bus-half")
"""Rows of sizes that no key holds and that move a conductor's place by a few mm."""


def length_step(plan: PlanOfBoard, conductor: Conductor) -> Step:
    """Its length in m, from the middle of its first screw to the middle of its last."""
    name = conductor.id
    return _lazy(
        plan,
        conductor,
        Step(
            "conductor-length",
            name,
            f"Length of {name} as it lies in the board",
            "l",
            None,
            "m",
            "run",
            _inputs(plan, conductor),
            _SOURCE,
            "",
            3,
            note="from screw to screw; what is stripped at its ends and some slack come on top",
        ),
        lambda laid: laid.length_m,
    )


def loop_step(plan: PlanOfBoard, conductor: Conductor, partner: str) -> Step:
    """The area in cm2 between it and the conductor it forms a loop with."""
    name = conductor.id
    return _lazy(
        plan,
        conductor,
        Step(
            "conductor-loop-area",
            name,
            f"Area of the loop of {name} with {partner}",
            "A",
            None,
            "cm2",
            "run",
            (f"conductor-length {name}", f"conductor-length {partner}"),
            "the area between the two as they lie",
            "",
            0,
            note="a surge induces the less the smaller it is: lay the two side by side",
        ),
        lambda laid: laid.loop_cm2 or 0.0,
    )


def _inputs(plan: PlanOfBoard, conductor: Conductor) -> tuple[str, ...]:
    return (conductor.path,) if conductor.path else (place_of(plan.installation.board.enclosure),)


def _lazy(
    plan: PlanOfBoard, conductor: Conductor, blank: Step, read: Callable[[Laid], float]
) -> Step:
    if plan.refused:
        ask = f"{plan.refused}: measure it"
        return blank.but(missing=_inputs(plan, conductor), ask=ask)
    places = assumed_places(plan, conductor)

    def worked() -> Worked:
        return Worked(read(plan.layout.by_id[conductor.id]))

    rows, sizes = alone(lambda: rows_of_sizes(plan, conductor))
    _, beside = alone(lambda: plan.kept("neighbours", lambda: read_neighbours(plan.installation)))
    return LazyStep.of_step(
        blank.but(
            assumed=tuple(dict.fromkeys((*places, *sizes, *beside))),
            rows=rows,
            standing=least_standing(row.standing for row in rows),
        ),
        worked,
    )


def assumed_places(plan: PlanOfBoard, conductor: Conductor) -> tuple[str, ...]:
    """The keys its place rests on that nobody stated, or that are assumed."""
    unstated, noted = alone(lambda: unstated_places(plan.installation, conductor))
    return tuple(dict.fromkeys((*unstated, *noted)))


def rows_of_sizes(plan: PlanOfBoard, conductor: Conductor) -> tuple[RowRead, ...]:
    """The rows its length rests on besides: sizes that no key holds, its own thickness and bend."""
    bar = plan.installation.board.busbar
    tabbed = alone(lambda: is_known(bar) and bar.style == "tabs")[0]
    sizes = Sizes()
    for quantity in (*PLACING, *(PLACING_ON_TABS if tabbed else PLACING_ON_RAIL)):
        sizes(quantity)
    if conductor.kind != "bar":
        sizes.diameter_mm(sizes.csa_mm2(conductor))
        sizes.radius_mm(conductor)
    return tuple(
        row_read(each.row, float(each.value), "mm" if each.row.table == "board_sizes" else "")
        for each in sizes.taken()
        if each.row is not None
    )


def laid_steps(plan: PlanOfBoard, besides: Iterable[Step] = ()) -> Workings:
    """The steps of every conductor that lies inside the enclosure, teeth of the bar among them;
    without those that stand in the working already.
    """
    if plan.refused:
        return Workings.of_steps([])
    there = {step.identity for step in besides}
    conductors = {each.id: each for each in plan.wiring.conductors}
    made = []
    for laid in plan.layout.conductors:
        if laid.inside:
            made.append(length_step(plan, conductors[laid.id]))
            if laid.partner:
                made.append(loop_step(plan, conductors[laid.id], laid.partner))
    if plan.installation.rules == "nec":
        made = [step_in_nec_words(step) for step in made]
    return Workings.of_steps([step for step in made if step.identity not in there])
