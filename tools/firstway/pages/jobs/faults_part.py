"""Pages: a fault at every place of a job: where it may happen, what opens, within what time, what
is touched meanwhile.

For the installer who judges a job, and for the trainee who wants to see that the vehicle is not the
only place.
"""

import re
from collections.abc import Collection, Mapping, Sequence

from firstway.checks.faults import ampere_words, device_words
from firstway.checks.judging_faults import TIMED, JudgedPart, JudgedPlace, judged_parts
from firstway.checks.rule import Level, assumed_words
from firstway.choosing.completing import Completed
from firstway.drawing.marked_places import highlighted
from firstway.drawing.part_words import spoken_terminal
from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.model.nec_words import in_nec_words
from firstway.pages.shared.picture import picture_html
from firstway.rendering.figures import figure_html, figure_in_formula, with_unit
from firstway.rendering.findings import verdict_mark
from firstway.rendering.html import Markup, counted, details_html, joined, sentence, table_html, tag
from firstway.wiring.faults import PROTECTIVE_PARTS
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.sweep import Currents, FaultKind, Touched

FAULTS_HEAD = ("a line touches metal on", "what flows, and what opens", "touched")
WHOLE_HEAD = ("place", "to metal", "to neutral", "line to line", "opens", "touched")
_EXPLAINED = (
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
KEPT_OFF = "Double or reinforced insulation, which the file states, keeps the line off metal {}."
AHEAD = " What lies ahead of this board is marked at the origin, where the drawing begins."
ASSUMED = "Where a row is not known although it tells what opens: {}. Measure or ask."
_MARKED: Mapping[Level, str] = {
    "danger": "opens nothing for certain",
    "fail": "may last longer than the rules allow",
}
SHOWN: tuple[FaultKind, ...] = ("earth", "neutral", "line")
_LINE = re.compile(r"(?<=\.)L[123](?=[.:]|$)")


def faults_part(
    completed: Completed, layout: Drawing | None = None, drawn: Drawn | None = None
) -> Markup:
    """The table by part, the worst places in the drawing, and every place folded away."""
    parts = judged_parts(completed.case)
    said = in_nec_words if completed.installation.rules == "nec" else str
    rows = [_row(completed, judged) for judged in parts]
    whole = joined(_whole(completed, judged) for judged in parts)
    count = sum(len(judged.part.places) for judged in parts)
    others = [judged.not_worked for judged in parts if judged.not_worked]
    told = joined(
        (
            tag("p", _EXPLAINED),
            table_html(FAULTS_HEAD, rows, "A fault to earth, part by part", "plain faults"),
            _assumed_note(parts) if completed.installation.rules in TIMED else "",
            joined(tag("p", sentence(why)) for why in dict.fromkeys(others)),
            tag("p", TOUCH_NOTE),
            _marked(parts, layout, drawn),
            details_html(
                f"All {counted(count, 'place')}, every kind of fault", whole, "faults-whole"
            ),
        )
    )
    return Markup(said(str(told)))


def _row(completed: Completed, judged: JudgedPart) -> tuple[str, ...]:
    place = judged.worst.place
    touched = completed.case.step("touch-voltage-at", place.id)
    where = _where(completed, place.id)
    return (
        Markup("{} <small>at {}</small>").format(judged.part.words, where),
        (
            _mark(completed, judged)
            + _opens(completed, judged.worst)
            + _insulated(completed, judged)
        ),
        figure_html(touched, completed.installation.name) if touched else "",
    )


def _mark(completed: Completed, judged: JudgedPart) -> Markup:
    """The verdict where it is no pass; none under rules that name no time for every place."""
    timed = completed.installation.rules in TIMED
    return (
        Markup("{} ").format(verdict_mark(judged.told))
        if timed and judged.told != "pass"
        else Markup()
    )


def _opens(completed: Completed, judged: JudgedPlace) -> Markup:
    name, opening, limit = completed.installation.name, judged.opening, judged.limit_s
    current, within = (
        completed.case.step(step, judged.place.id) for step in ("earth-fault-at", "opens-within")
    )
    known = current is not None and current.known
    flows = (
        Markup("{}. ").format(figure_html(current, name))
        if current is not None and known
        else Markup()
    )
    if opening.ask:
        # what such a curve is not one of is told where a rule asks for it
        timed = completed.installation.rules in TIMED
        ask = opening.ask if timed else opening.ask.partition(":")[0]
        return flows + sentence(f"Find out {ask}")
    allowed = f" ({_seconds(limit)} allowed)" if limit is not None else ""
    if opening.nothing or within is None:
        return flows + f"Nothing opens for certain{allowed}.{_kept_off(judged)}"
    return Markup("{}{} opens within {}{}.{}").format(
        flows,
        _capital(device_words(completed.case, opening.device)),
        figure_html(within, name),
        allowed,
        _kept_off(judged),
    )


def _kept_off(judged: JudgedPlace) -> str:
    return f" {KEPT_OFF.format('here')}" if judged.by_insulation else ""


def _assumed_note(parts: Sequence[JudgedPart]) -> Markup:
    """Why rows that tell a time in which a device opens are not known all the same."""
    resting = [judged.evidence for judged in parts if judged.worst.level == "pass"]
    paths = tuple(dict.fromkeys(path for evidence in resting for path in evidence))
    if not paths:
        return Markup()
    return tag("p", ASSUMED.format(_capital(assumed_words(paths))))


def _insulated(completed: Completed, judged: JudgedPart) -> Markup:
    """The places of a part where insulation does what no device does, beside its slowest device."""
    apart = [each.place for each in judged.insulated if not judged.worst.by_insulation]
    if not apart:
        return Markup()
    where = _places_words(completed, apart)
    return Markup(" <small>Nothing opens in time at {}. {}</small>").format(
        where, KEPT_OFF.format("there")
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _seconds(value: float) -> str:
    return with_unit(figure_in_formula(value), "s")


# The drawing


def _marked(parts: Sequence[JudgedPart], layout: Drawing | None, drawn: Drawn | None) -> Markup:
    """The worst place of each part that is a danger or fails; where there is none, those where a
    fault lasts longest.
    """
    if layout is None or drawn is None:
        return Markup()
    shown = {group.id for group in layout.groups}
    grave = [judged for judged in parts if judged.told in _MARKED]
    opened = [
        judged
        for judged in parts
        if judged.worst.opening.within_s is not None
        and not judged.worst.by_insulation
        and _drawn_as(judged.worst.place, shown)
    ]
    slowest = max((judged.worst.opening.within_s or 0.0 for judged in opened), default=0.0)
    longest = [judged for judged in opened if judged.worst.opening.within_s == slowest]
    told = {judged.told for judged in grave}
    grave_words = " or ".join(words for level, words in _MARKED.items() if level in told)
    words = (
        f"Marked in the drawing: where a fault {grave_words}."
        if grave
        else f"Marked in the drawing: where a fault lasts longest, up to {_seconds(slowest)}."
    )
    places = [
        _drawn_as(judged.worst.place, shown) or _nearest(judged.worst.place, shown)
        for judged in grave or longest
    ]
    if "origin" in places:
        words += AHEAD
    marked = highlighted(layout, drawn, places, words)
    return (tag("p", words) + picture_html(marked)) if marked else Markup()


def _drawn_as(place: FaultPlace, shown: Collection[str]) -> str:
    """The first of the names of a place that a drawing shows; "" where it shows none."""
    return next((name for name in place.names if name in shown or f"terminal.{name}" in shown), "")


def _nearest(place: FaultPlace, shown: Collection[str]) -> str:
    """What a drawing of the board shows for a place beyond it: the charging point, else the
    origin.
    """
    part = place.id.partition(".")[0]
    return part if part in shown else "origin"


# Every place


def _whole(completed: Completed, judged: JudgedPart) -> Markup:
    rows: dict[tuple[str, ...], list[FaultPlace]] = {}
    by_id = {each.place.id: each for each in judged.places}
    for place in judged.part.places:
        cells = _cells(completed, place, by_id.get(place.id))
        rows.setdefault((_LINE.sub("L", place.id), *cells), []).append(place)
    body = [(_places_words(completed, places), *cells) for (_, *cells), places in rows.items()]
    return table_html(WHOLE_HEAD, body, sentence(judged.part.words), "plain faults-places")


def _places_words(completed: Completed, places: list[FaultPlace]) -> str:
    """One place, or the same place on every line."""
    first = _where(completed, places[0].id)
    more = [place.id.rpartition(".")[2] for place in places[1:]]
    return f"{first}, {', '.join(more)}" if more else first


def _where(completed: Completed, name: str) -> str:
    """A place in words; a device ahead of the board by what it is."""
    wiring = completed.case.wiring
    terminal = wiring.terminal(name)
    part = wiring.part(terminal.device) if terminal is not None else None
    ahead = part is not None and part.place == "beyond" and part.kind in PROTECTIVE_PARTS
    if terminal is None or part is None or not ahead:
        return spoken_terminal(wiring, name)
    opens = device_words(completed.case, part.name)
    return f"the {terminal.end} side of {opens}, {terminal.function}"


def _cells(completed: Completed, place: FaultPlace, judged: JudgedPlace | None) -> tuple[str, ...]:
    sweep = completed.case.sweep
    return (
        *(_between(sweep.currents(place, kind)) for kind in SHOWN),
        _short(completed, judged),
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


def _short(completed: Completed, judged: JudgedPlace | None) -> str:
    if judged is None:
        return ""
    opening = judged.opening
    if opening.ask:
        said = "not known"
    elif opening.nothing or opening.within_s is None:
        said = "nothing for certain"
    else:
        opens = device_words(completed.case, opening.device)
        said = f"{opens}, {figure_in_formula(opening.within_s)} s"
    if judged.by_insulation:
        return f"{said}; insulated"
    return f"{said}: too slow" if judged.level in ("fail", "advice") else said


def _volts(touched: Touched | None) -> str:
    return (
        ""
        if touched is None
        else "not known"
        if touched.volts is None
        else f"{touched.volts:.0f} V"
    )
