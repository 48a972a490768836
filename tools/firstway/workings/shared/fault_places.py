"""Workings: the steps of a fault at every place; made when one of them is asked for, then all at
once.

`of` is the place: a terminal (`F2.load.L1`) or an end of a conductor (`feed.L1:start`). Places that
nothing parts are written once, under the first of their names, and found under any of them. In each
step `value` is what the device must answer (the smallest current, conductors hot, 0.95 U0, the
source added as a resistance) and `high` what it must break and the conductor survive (conductors
cold, 1.10 U0, the source at right angles to the resistances).
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from firstway.model.evidence import alone
from firstway.model.installation import Circuit, Electrode
from firstway.model.values import path_of
from firstway.tables import looking_up as tables
from firstway.tables.clauses import least_standing
from firstway.tables.reading import Gap, Read
from firstway.wiring.links import Link
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.book import row_read, step_in_nec_words
from firstway.workings.shared.step import RowRead, Step, Workings
from firstway.workings.shared.sweep import Currents, FaultKind, Opening, Sweep

SWEPT = (
    "earth-fault-at",
    "neutral-fault-at",
    "line-fault-at",
    "opens-within",
    "opens-within-limit",
    "touch-voltage-at",
)
_NETWORK = (
    "Kirchhoff's and Ohm's laws on the network of the whole job; the voltage factors stand beside"
)
_KINDS: tuple[tuple[FaultKind, str, str], ...] = (
    ("earth", "earth-fault-at", "Fault from line to earth"),
    ("neutral", "neutral-fault-at", "Fault from line to neutral"),
    ("line", "line-fault-at", "Fault from line to line"),
)
_BAND = (
    "value: smallest, conductors hot, the source added as a resistance; high: largest, conductors"
    " cold, the source at right angles"
)


def swept(sweep: Sweep) -> Workings:
    """The steps of every place, found under each name of the place."""
    steps: list[Step] = []
    names: dict[tuple[str, str], Step] = {}
    for place in sweep.every:
        for made in _steps(sweep, place):
            step = step_in_nec_words(made) if sweep.installation.rules == "nec" else made
            steps.append(step)
            names.update({(step.id, name): step for name in place.names})
    return Workings(tuple(steps), names)


def _steps(sweep: Sweep, place: FaultPlace) -> Iterator[Step]:
    made: list[Callable[[], Step | None]] = [
        *(partial(_current, sweep, place, kind, step_id, title) for kind, step_id, title in _KINDS),
        *(partial(make, sweep, place) for make in (_within, _limit, _touch)),
    ]
    for make in made:
        step, assumed = alone(make)
        if step is not None:
            yield step.but(assumed=assumed if step.known else ())


def _current(
    sweep: Sweep, place: FaultPlace, kind: FaultKind, step_id: str, title: str
) -> Step | None:
    currents = sweep.currents(place, kind)
    if currents is None:
        return None
    return Step(
        step_id,
        place.id,
        f"{title} at {place.id}",
        "I_f",
        currents.least_a,
        "A",
        "run",
        _inputs(sweep, currents),
        _NETWORK,
        "",
        1 if (currents.least_a or 0) < 100 else 0,
        low=currents.least_a,
        high=currents.most_a,
        rows=_factors(),
        standing="computed",
        missing=currents.missing,
        ask=_ask(currents.missing),
        note=_BAND,
    )


def _factors() -> tuple[RowRead, ...]:
    found = [tables.voltage_factor(which) for which in ("c_min", "c_max")]
    return tuple(row_read(read.row, read.value, "") for read in found if isinstance(read, Read))


def _inputs(sweep: Sweep, currents: Currents) -> tuple[str, ...]:
    """Where in the file the resistances on the way stand."""
    links = currents.least[0].carrying if currents.least else ()
    paths = {name: section.path for name, section in _sections(sweep).items()}
    return tuple(dict.fromkeys(paths[name] for link in links if (name := _section(link)) in paths))


def _section(link: Link) -> str:
    """The name of the section of the file a link stands in; "" for a part of the board."""
    if link.kind in ("supply", "earth", "conductor"):
        return "supply" if link.kind == "supply" else link.of
    return ""


def _sections(sweep: Sweep) -> dict[str, Any]:
    installation = sweep.installation
    named: tuple[Circuit | Electrode, ...] = (*installation.circuits, *installation.electrodes)
    fixed = {"supply": installation.supply, "feed": installation.feed}
    return {**fixed, **{item.name: item for item in named}}


def _ask(missing: tuple[str, ...]) -> str:
    return f"measure or ask for {', '.join(missing)}" if missing else ""


def _within(sweep: Sweep, place: FaultPlace) -> Step | None:
    opening = sweep.opening(place)
    if opening is None:
        return None
    step = Step(
        "opens-within",
        place.id,
        f"Longest time a fault to earth at {place.id} lasts",
        "t",
        opening.within_s,
        "s",
        "look-up",
        (f"earth-fault-at {place.id}",),
        "the limits of the devices' standards and the rows of the rules",
        "",
        places=2 if (opening.within_s or 0) < 1 else 0,
        standing=least_standing(row.standing for row in opening.rows),
        note=opening_words(sweep, opening),
    )
    if opening.ask:
        return replace(step, missing=opening.missing, ask=opening.ask)
    return (
        replace(step, rows=tuple(row_read(row, opening.within_s, "s") for row in opening.rows))
        if opening.within_s is not None
        else step
    )


def opening_words(sweep: Sweep, opening: Opening) -> str:
    """What opens, and what does not, in a few words."""
    if opening.ask:
        return ""
    if opening.nothing:
        return "nothing is sure to open" + (
            f": not {' and not '.join(opening.passed_over)}"
            if opening.passed_over
            else ": no device stands ahead"
        )
    part = {"residual": "by its residual current", "overcurrent": "by overcurrent"}[opening.by]
    over = (
        f"; {' and '.join(opening.passed_over)} {'is' if len(opening.passed_over) == 1 else 'are'}"
        " not sure to"
        if opening.passed_over
        else ""
    )
    return f"{opening.device} opens {part}{over}"


def _limit(sweep: Sweep, place: FaultPlace) -> Step | None:
    if not place.earth:
        return None
    found = sweep.limit(place)
    step = Step(
        "opens-within-limit",
        place.id,
        f"Longest time the rules allow at {place.id}",
        "t",
        None,
        "s",
        "look-up",
        (path_of(sweep.installation.supply, "system"),),
        "",
        "",
    )
    if isinstance(found, Gap):
        return replace(
            step, missing=(f"table {found.table}",), ask=found.message, source=found.table
        )
    row = row_read(found.row, found.value, "s")
    return replace(
        step,
        value=found.value,
        rows=(row,),
        source=row.source,
        edition=row.edition,
        standing=row.standing,
    )


def _touch(sweep: Sweep, place: FaultPlace) -> Step | None:
    touched = sweep.touched(place)
    if touched is None:
        return None
    return Step(
        "touch-voltage-at",
        place.id,
        f"Highest voltage to true earth of what can be touched while a fault at {place.id} lasts",
        "U_t",
        touched.volts,
        "V",
        "run",
        (path_of(sweep.installation.supply, "line_to_earth_v"),),
        _NETWORK,
        "",
        0,
        low=touched.low,
        high=touched.high,
        standing="computed",
        missing=touched.missing,
        ask=_ask(touched.missing),
        note=(
            f"at {touched.at}; half of the supply's loop is taken as PEN where it is combined"
            if touched.volts is not None
            else ""
        ),
    )
