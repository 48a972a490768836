"""Pages: a fault at every place of a job: where it may happen, what opens, within what time, what
is touched meanwhile.

For the installer who judges a job, and for the trainee who wants to see that the vehicle is not the
only place.
"""

from __future__ import annotations

import re
from html import escape
from typing import Iterable

from firstway.checks.faults import FaultPart, ampere_words, device_words, fault_parts
from firstway.choosing.completing import Completed
from firstway.drawing.highlight import highlighted
from firstway.drawing.part_words import spoken_terminal
from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.model.nec_words import in_nec_words
from firstway.pages.findings_part import verdict_mark
from firstway.pages.markup import counted, details_html, sentence, table_html
from firstway.pages.picture import picture_html
from firstway.rendering.figures import figure_html, figure_in_formula, with_unit
from firstway.tables.found import Read
from firstway.wiring.places import Place
from firstway.workings.sweep import Currents, FaultKind, Opening, Touched

HEAD = ("a line touches metal on", "what flows, and what opens", "touched")
WHOLE_HEAD = ("place", "to metal", "to neutral", "line to line", "opens", "touched")
EXPLAINED = (
    "A fault is not choosy: any line may touch any metal beside it, from the supply to the plug of"
    " the vehicle's lead. For each part this is its worst place. The smallest current counts for"
    " what must open: conductors hot, the supply at its lowest voltage. The largest counts for what"
    " must be broken and survived."
)
TOUCH_NOTE = (
    "Touched is the highest voltage against true earth of anything a person can reach while the"
    " fault lasts. It is not 50 V: what protects is the short time. Half of the loop of a combined"
    " supply is taken as its PEN; the network alone knows its share."
)
SHOWN: tuple[FaultKind, ...] = ("earth", "neutral", "line")
_LINE = re.compile(r"(?<=\.)L[123](?=[.:]|$)")


def faults_part(
    completed: Completed, layout: Drawing | None = None, drawn: Drawn | None = None
) -> str:
    """The table by part, the worst places in the drawing, and every place folded away."""
    parts = [part for part in fault_parts(completed.case) if _worst(completed, part) is not None]
    said = in_nec_words if completed.installation.rules == "nec" else str
    rows = [_row(completed, part) for part in parts]
    marked = _marked(completed, parts, layout, drawn)
    whole = "".join(_whole(completed, part) for part in parts)
    return said(
        "".join(
            [
                f"<p>{escape(EXPLAINED)}</p>",
                table_html(HEAD, rows, "A fault to earth, part by part", "faults"),
                f"<p>{escape(TOUCH_NOTE)}</p>",
                marked,
                details_html(
                    f"All {counted(sum(len(part.places) for part in parts), 'place')}, every kind"
                    " of fault",
                    whole,
                    "faults-whole",
                ),
            ]
        )
    )


def _worst(completed: Completed, part: FaultPart) -> tuple[Place, Opening] | None:
    """Where nothing opens, else what is not known, else what takes longest."""
    sweep = completed.case.sweep
    found = [
        (place, opening) for place in part.places if (opening := sweep.opening(place)) is not None
    ]
    rank = lambda each: (each[1].nothing, bool(each[1].ask), each[1].within_s or 0.0)  # noqa: E731
    return max(found, key=rank) if found else None


def _row(completed: Completed, part: FaultPart) -> tuple[str, ...]:
    worst = _worst(completed, part)
    assert worst is not None
    place, opening = worst
    touched = completed.case.step("touch-voltage-at", place.id)
    where = spoken_terminal(completed.case.wiring, place.id)
    return (
        f"{escape(part.words)} <small>at {escape(where)}</small>",
        _opens(completed, place, opening),
        figure_html(touched, completed.installation.name) if touched else "",
    )


def _opens(completed: Completed, place: Place, opening: Opening) -> str:
    name, limit = completed.installation.name, completed.case.sweep.limit(place)
    current, within = (
        completed.case.step(step, place.id) for step in ("earth-fault-at", "opens-within")
    )
    allowed = f" ({_seconds(limit.value)} allowed)" if isinstance(limit, Read) else ""
    if opening.ask:
        return f"{verdict_mark('unknown')} {escape(sentence(opening.ask))}"
    flows = f"{figure_html(current, name)}. " if current is not None else ""
    if opening.nothing or within is None:
        return f"{verdict_mark('danger')} {flows}Nothing opens for certain{allowed}."
    return (
        f"{flows}{escape(_capital(device_words(completed.case, opening.device)))} opens within"
        f" {figure_html(within, name)}{allowed}."
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _seconds(value: float) -> str:
    return escape(with_unit(figure_in_formula(value), "s"))


# The drawing


def _marked(
    completed: Completed, parts: Iterable[FaultPart], layout: Drawing | None, drawn: Drawn | None
) -> str:
    """The places where nothing opens; where there is none, those that take longest."""
    if layout is None or drawn is None:
        return ""
    worst = [found for part in parts if (found := _worst(completed, part)) is not None]
    nothing = [place for place, opening in worst if opening.nothing]
    slowest = max((opening.within_s or 0.0 for _, opening in worst), default=0.0)
    places = nothing or [place for place, opening in worst if opening.within_s == slowest]
    words = (
        "Marked: where a fault opens nothing for certain."
        if nothing
        else f"Marked: where a fault lasts longest, up to {_seconds(slowest)}."
    )
    marked = highlighted(
        layout, drawn, [name for place in places for name in _drawn_as(place)], words
    )
    return picture_html(marked) if marked else ""


def _drawn_as(place: Place) -> tuple[str, ...]:
    """The names of a place that a drawing may show; the first that it has is enough."""
    return place.names[:1]


# Every place


def _whole(completed: Completed, part: FaultPart) -> str:
    rows: dict[tuple[str, ...], list[Place]] = {}
    for place in part.places:
        rows.setdefault((_LINE.sub("L", place.id), *_cells(completed, place)), []).append(place)
    body = [
        (escape(_places_words(completed, places)), *map(escape, cells))
        for (_, *cells), places in rows.items()
    ]
    return table_html(WHOLE_HEAD, body, sentence(part.words), "faults-places")


def _places_words(completed: Completed, places: list[Place]) -> str:
    """One place, or the same place on every line."""
    first = spoken_terminal(completed.case.wiring, places[0].id)
    more = [place.id.rpartition(".")[2] for place in places[1:]]
    return f"{first}, {', '.join(more)}" if more else first


def _cells(completed: Completed, place: Place) -> tuple[str, ...]:
    sweep = completed.case.sweep
    return (
        *(_between(sweep.currents(place, kind)) for kind in SHOWN),
        _short(completed, sweep.opening(place)),
        _volts(sweep.touched(place)),
    )


def _between(currents: Currents | None) -> str:
    if currents is None:
        return ""
    if currents.least_a is None or currents.most_a is None:
        return "not known"
    least, most = (
        ampere_words(ampere).removesuffix(" A") for ampere in (currents.least_a, currents.most_a)
    )
    return f"{least} to {most} A" if least != most else f"{least} A"


def _short(completed: Completed, opening: Opening | None) -> str:
    if opening is None:
        return ""
    if opening.ask:
        return "not known"
    if opening.nothing or opening.within_s is None:
        return "nothing for certain"
    return (
        f"{device_words(completed.case, opening.device)}, {figure_in_formula(opening.within_s)} s"
    )


def _volts(touched: Touched | None) -> str:
    return (
        ""
        if touched is None
        else "not known" if touched.volts is None else f"{touched.volts:.0f} V"
    )
