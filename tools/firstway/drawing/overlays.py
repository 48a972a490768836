"""Drawing: paths over the wiring: where a current flows, and what stays joined to the supply when
something is off.

A path is searched in the graph itself, through the poles of devices. The picture is the one wiring
diagram by reference with a still, arrowed band along the conductors: no colour for voltage, nothing
moves.
"""

import re
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from firstway.choosing.completing import Completed
from firstway.drawing.ink import paint
from firstway.drawing.labels import Bounds
from firstway.drawing.marks import frame, head_along, words_in
from firstway.drawing.numbered import shown_around
from firstway.drawing.part_words import KIND_WORDS, bar_called
from firstway.drawing.sheet import Box, Group, Point, Ref, Sheet, Strands, Stroke
from firstway.drawing.stages import Stage
from firstway.drawing.svg import (
    Drawn,
    drawn_again,
    least_width,
    numbered_part,
    plain_shapes,
    shape,
    svg_id,
    svg_number,
    svg_path_of,
)
from firstway.model.installation import Circuit as Final
from firstway.model.installation import Way
from firstway.model.nec_words import with_nec_words
from firstway.rendering.html import Markup, escape, joined
from firstway.wiring.circuit import States, WiredCircuit, circuit_of
from firstway.wiring.links import Link

OVERLAY_KINDS = (
    "load",
    "earth-fault",
    "short-circuit",
    "surge",
    "main-switch-off",
    "device-off",
    "device-off-line-only",
)
_BAND = 19.0  # under the conductor and its clear edge of 10
THROUGH = 6.0  # the band is thinner where it passes through a device


@dataclass(frozen=True)
class Leg:
    """One piece of a path: a link of the circuit between two terminals, from the first to the
    second.
    """

    link: str
    start: str
    end: str


@dataclass(frozen=True)
class Overlay:
    """A path over the wiring. `words` say it in full; `arrows` is False where things are only
    joined, nothing flows.

    `of` is the point, circuit or device it is told for.
    """

    kind: str
    title: str
    words: str
    legs: tuple[Leg, ...]
    arrows: bool = True
    of: str = ""


def overlays_of(completed: Completed) -> tuple[Overlay, ...]:
    """Every overlay this board has, kind by kind, and in a kind every point, circuit or device it
    can be told for.
    """
    circuit = circuit_of(completed.installation, completed.case.wiring.drawn)
    return tuple(found for kind in OVERLAY_KINDS for found in _told(circuit, kind))


def overlay(completed: Completed, kind: str, of: str = "") -> Overlay | None:
    """One kind of overlay, of a point, circuit or device or else the first; None where the board
    has no such thing.
    """
    circuit = circuit_of(completed.installation, completed.case.wiring.drawn)
    return next((found for found in _told(circuit, kind) if of in ("", found.of)), None)


def _told(circuit: WiredCircuit, kind: str) -> Iterator[Overlay]:
    """One kind for everything it can be told for, in the order of the file."""
    finals = circuit.installation.circuits
    if kind in ("load", "earth-fault"):
        tell = _load if kind == "load" else _earth_fault
        each = [
            (point.name, tell(circuit, final, point.name))
            for final in finals
            for point in circuit.installation.points_of(final)
        ]
    elif kind == "main-switch-off":
        each = [("", _main_switch_off(circuit))]
    elif kind == "surge":
        each = [
            (way.name, _surge(circuit, way))
            for way in circuit.installation.board.ways
            if way.device == "spd"
        ]
    else:
        tell_of = {
            "short-circuit": _short_circuit,
            "device-off": _device_off,
            "device-off-line-only": _device_off_line_only,
        }[kind]
        each = [(final.name, tell_of(circuit, final)) for final in finals]
    nec = circuit.installation.rules == "nec"
    yield from (
        replace(with_nec_words(found, "title", "words") if nec else found, of=of)
        for of, found in each
        if found
    )


# Search


def _walk(
    circuit: WiredCircuit, start: str, is_goal: Callable[[str], bool], function: str
) -> tuple[Leg, ...]:
    """The shortest way from a terminal to a goal by conductors and closed poles of one function."""
    near: dict[str, list[tuple[str, str]]] = {}
    for link in _inside(circuit):
        if _function(circuit, link.start) == function and _function(circuit, link.end) == function:
            near.setdefault(link.start, []).append((link.end, link.id))
            near.setdefault(link.end, []).append((link.start, link.id))
    came: dict[str, Leg | None] = {start: None}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        if is_goal(here):
            return _back(came, here)
        for there, link_id in near.get(here, ()):
            if there not in came:
                came[there] = Leg(link_id, here, there)
                waiting.append(there)
    return ()


def _back(came: dict[str, Leg | None], end: str) -> tuple[Leg, ...]:
    legs: list[Leg] = []
    while (leg := came[end]) is not None:
        legs.append(leg)
        end = leg.start
    return tuple(reversed(legs))


def _inside(circuit: WiredCircuit) -> list[Link]:
    return [link for link in circuit.closed(States()) if link.kind in ("conductor", "pole")]


def _function(circuit: WiredCircuit, terminal_id: str) -> str:
    terminal = circuit.wiring.terminal(terminal_id)
    return ("PE" if terminal.function == "PEN" else terminal.function) if terminal else ""


def _reversed(legs: Sequence[Leg]) -> tuple[Leg, ...]:
    return tuple(Leg(leg.link, leg.end, leg.start) for leg in reversed(legs))


def _to(terminal: str) -> Callable[[str], bool]:
    return lambda here: here == terminal


# Paths of currents


def _device(circuit: WiredCircuit, final: Final) -> str:
    return circuit.installation.way_feeding(final.name).name


def _points(circuit: WiredCircuit, final: Final) -> str:
    return " and ".join(point.name for point in circuit.installation.points_of(final))


def _line(circuit: WiredCircuit, line: str, to: str) -> tuple[Leg, ...]:
    return _walk(circuit, f"origin.{line}", _to(to), line)


def _passed(circuit: WiredCircuit, legs: Sequence[Leg]) -> str:
    """The devices and bars of the board on a way, in their order, each once."""
    found: dict[str, str] = {}
    for end in (end for leg in legs for end in (leg.start, leg.end)):
        terminal = circuit.wiring.terminal(end)
        part = circuit.wiring.part(terminal.device) if terminal else None
        if part is None:
            continue
        if part.kind in ("neutral-bar", "earth-bar"):
            called = bar_called(circuit.wiring, part.name)
            found[part.name] = f"the {called}" if called.endswith(" bar") else called
        elif part.kind in ("main-switch", "line-bar"):
            found[part.name] = f"the {KIND_WORDS[part.kind]}"
        elif part.modules:
            found[part.name] = part.name
    words = list(found.values())
    return " and ".join([*([", ".join(words[:-1])] if words[1:] else []), *words[-1:]])


def _load(circuit: WiredCircuit, final: Final, point: str) -> Overlay | None:
    lines = [_line(circuit, line, f"{point}.{line}") for line in final.lines]
    if not lines or not all(lines):
        return None
    if final.neutral is True:
        back = _walk(circuit, f"{point}.N", _to("origin.N"), "N")
        if not back:
            return None
        three = len(lines) > 1
        words = (
            f"The load current of {point}: from the origin through {_passed(circuit, lines[0])} to"
            f" the point, and back by the neutral through {_passed(circuit, back)}. "
            + (
                "In three equal lines the neutral carries next to nothing; with one phase in use it"
                " carries as much as the line."
                if three
                else "Line and neutral carry the same current, in opposite directions."
            )
        )
        return Overlay(
            "load",
            "Path of the load current",
            words,
            (*(leg for legs in lines for leg in legs), *back),
        )
    out, home = lines[0], _reversed(lines[-1]) if len(lines) > 1 else ()
    return Overlay(
        "load",
        "Path of the load current",
        f"The load current of {point}: out by one line through"
        f" {_passed(circuit, lines[0])}, back by the other. The"
        " half cycle after, the other way round.",
        (*out, *home),
    )


def _to_earth(circuit: WiredCircuit, start: str) -> tuple[tuple[Leg, ...], str]:
    """From a protective terminal to the supply's own earth, or else to an electrode; and where that
    is.
    """
    found = _walk(circuit, start, _to("origin.PE"), "PE")
    if found:
        return found, "the supply's own earth"
    electrodes = {
        f"{item.name}.PE": item.name
        for item in circuit.installation.electrodes
        if item.use != "measuring"
    }
    found = _walk(circuit, start, lambda here: here in electrodes, "PE")
    return (found, f"electrode {electrodes[found[-1].end]} and the ground") if found else ((), "")


def _by_main_earth(circuit: WiredCircuit, before: str = " and ") -> str:
    """The part of the way from the earth bar to the supply's earth; a feeder's grounding conductor
    runs it under rule set nec.
    """
    under_nec = circuit.installation.rules == "nec"
    feeder = "equipment grounding conductor of the feeder"
    return f"{before}the {feeder if under_nec else 'main earthing terminal'}"


def _earth_fault(circuit: WiredCircuit, final: Final, point: str) -> Overlay | None:
    line = final.lines[0]
    out = _line(circuit, line, f"{point}.{line}")
    back, where = _to_earth(circuit, f"{point}.PE")
    if not out:
        return None
    if not back:
        return Overlay(
            "earth-fault",
            "Path of an earth fault",
            f"A fault from {line} to the metal of {point}. No conductor of this board leads back to"
            " an earth: the path is not closed here and nothing would clear the fault.",
            out,
        )
    through = (
        ""
        if where.startswith("the supply")
        else (
            " Such a path has tens of ohms: the residual current device must clear it, the"
            " overcurrent device cannot."
        )
    )
    return Overlay(
        "earth-fault",
        "Path of an earth fault",
        f"A fault from {line} to the metal of {point}: out by the line through"
        f" {_passed(circuit, out)}, back by the protective conductor, the earth"
        f" bar{_by_main_earth(circuit)} to {where}.{through}",
        (*out, *back),
    )


def _short_circuit(circuit: WiredCircuit, final: Final) -> Overlay | None:
    device = _device(circuit, final)
    line = final.lines[0]
    out = _line(circuit, line, f"{device}.load.{line}")
    other = "N" if final.neutral is True else final.lines[-1]
    start = f"{device}.load.{other}" if circuit.wiring.terminal(f"{device}.load.{other}") else ""
    back = _walk(circuit, start, _to(f"origin.{other}"), other) if start and other != line else ()
    if not out or not back:
        return None
    return Overlay(
        "short-circuit",
        "Path of a short circuit",
        f"A short circuit between {line} and {other} just behind {device}: the largest current this"
        " device must break. Nothing limits it but the supply, the tails and the bar.",
        (*out, *back),
    )


def _surge(circuit: WiredCircuit, way: Way) -> Overlay | None:
    lines = [t for t in circuit.wiring.terminals_of(way.name) if t.function.startswith("L")]
    if not lines:
        return None
    line = lines[0].function
    out = _line(circuit, line, f"{way.name}.{line}")
    back, where = _to_earth(circuit, f"{way.name}.PE")
    if not out or not back:
        return None
    gap = "its varistor and its spark gap" if way.connection == "CT2" else "its element to earth"
    return Overlay(
        "surge",
        "Path of a surge to earth",
        f"A surge on {line} leaves through {way.name}, {gap}, and its earth lead to the earth"
        f" bar{_by_main_earth(circuit, ', ')} and {where}. What stands across {way.name} and its"
        " leads stands between line and the earth of the board: the leads must be short.",
        (*out, Leg(f"surge.{way.name}", f"{way.name}.{line}", f"{way.name}.PE"), *back),
    )


# What stays joined


def _joined(circuit: WiredCircuit, opened: Callable[[Link], bool]) -> tuple[Leg, ...]:
    """Every live conductor and pole still joined to the origin, outward from it."""
    near: dict[str, list[Link]] = {}
    for link in _inside(circuit):
        if not opened(link) and _function(circuit, link.start) not in ("PE", ""):
            near.setdefault(link.start, []).append(link)
            near.setdefault(link.end, []).append(link)
    seen = [t.id for t in circuit.wiring.terminals_of("origin") if t.function not in ("PE", "PEN")]
    legs: dict[str, Leg] = {}
    for here in seen:
        for link in near.get(here, ()):
            there = link.end if link.start == here else link.start
            legs.setdefault(link.id, Leg(link.id, here, there))
            if there not in seen:
                seen.append(there)
    return tuple(legs.values())


def _main_switch_off(circuit: WiredCircuit) -> Overlay | None:
    switch = next((part.name for part in circuit.wiring.parts if part.kind == "main-switch"), "")
    if not switch:
        return None
    return Overlay(
        "main-switch-off",
        f"What stays connected with {switch} off",
        f"{switch} is off. The band marks what is still joined to the supply: the tails and the"
        f" supply terminals of {switch} stay live. To work there is for authorised persons only."
        " Off is not dead: isolate, lock off, prove.",
        _joined(circuit, lambda link: link.opened_by == switch),
        arrows=False,
    )


def _opened_by(circuit: WiredCircuit, final: Final) -> str:
    """Which device opens the neutral of a circuit, nearest first; "" where none does."""
    point = circuit.installation.points_of(final)[0].name
    by = {link.id: link.opened_by for link in circuit.links if link.opened_by}
    back = _walk(circuit, f"{point}.N", _to("origin.N"), "N")
    first = next((by[leg.link] for leg in back if leg.link in by), "")
    return f", which {first} opens" if first else ""


def _device_off(circuit: WiredCircuit, final: Final) -> Overlay | None:
    device, point = _device(circuit, final), _points(circuit, final)
    legs = _joined(circuit, lambda link: bool(link.opened_by) and link.opened_by == device)
    touched = {leg.link for leg in legs}
    left = sorted(
        {c.function for c in circuit.wiring.conductors if c.cable == final.name and c.id in touched}
    )
    words = (
        f"{device} is off. The cable to {point} is joined to the supply by {' and '.join(left)}"
        f" still{_opened_by(circuit, final)}: a neutral can bear a voltage."
        if left
        else (
            f"{device} is off and opens every live conductor of the cable to {point}. The band"
            " marks what stays joined to the supply."
        )
    )
    return Overlay(
        "device-off",
        f"What stays connected with {device} off",
        f"{words} The bar and the supply side of {device} stay live.",
        legs,
        arrows=False,
    )


def _device_off_line_only(circuit: WiredCircuit, final: Final) -> Overlay | None:
    """The same board with a device that opens the line only, beside one that opens both."""
    device, point = _device(circuit, final), _points(circuit, final)
    poles = [
        link
        for link in circuit.links
        if link.kind == "pole" and link.of == device and link.opened_by == device
    ]
    if not any(_function(circuit, link.start) == "N" for link in poles):
        return None
    legs = _joined(
        circuit, lambda link: link.opened_by == device and _function(circuit, link.start) != "N"
    )
    return Overlay(
        "device-off-line-only",
        f"What would stay connected if {device} opened the line only",
        f"Not this board: if {device} left its neutral closed, the neutral of the cable and the"
        f" neutral terminal of {point} would stay joined to the supply. A neutral can bear a"
        " voltage: when the supply's neutral is lost, or when a fault elsewhere raises it.",
        legs,
        arrows=False,
    )


# The picture


def overlaid(sheet: Sheet, drawn: Drawn, what: Overlay) -> Drawn:
    """The wiring diagram by reference with the band of an overlay along its conductors."""
    groups = {group.id: group for group in sheet.groups}
    words = words_in(sheet.groups) if what.arrows else None
    marks = [_marks(groups, leg, words) for leg in what.legs]
    return _referring(
        sheet,
        drawn,
        svg_id(f"{drawn.id}-{what.kind}", what.of) if what.of else f"{drawn.id}-{what.kind}",
        what.title,
        what.words,
        marks,
    )


def staged(
    sheet: Sheet, drawn: Drawn, stages: Sequence[Stage], place: int, whole: bool = False
) -> Drawn:
    """The wiring diagram at one stage (counted from 1): what is new is marked, what is fitted
    plain, what comes ghosted. A narrow screen shows what is new, or the `whole`.
    """
    stage = stages[place - 1]
    groups = {group.id: group for group in sheet.groups}
    marks = [
        (Markup(), mark)
        for name in (*stage.shows, *stage.parts)
        if name in groups and (mark := _framed(groups[name]))
    ]
    marks += [_marks(groups, Leg(name, "", "")) for name in stage.conductors]
    words = (
        f"Stage {place} of {len(stages)}: {stage.title}. {_new_words(stage, groups)} What was"
        " fitted before is plain; what comes later is faint."
    )
    return _referring(
        sheet,
        drawn,
        f"{drawn.id}-stage-{stage.id}",
        f"Stage {place}: {stage.title}",
        words,
        marks,
        place,
        None
        if whole
        else shown_around(sheet, [groups[name] for name in _new_names(stage) if name in groups]),
    )


def in_one(drawn: Drawn, again: Drawn) -> Drawn:
    """A drawing that refers to another, made one that stands alone: the other is put where it is
    referred to.
    """
    reference = shape("use", href=f"#{drawn.id}").removesuffix("/>")
    found = re.search(f"{re.escape(reference)}([^>]*)/>", again.svg)
    if found is None:
        return again
    inner = re.sub(
        r' role="img" aria-labelledby="[^"]*"', ' aria-hidden="true"', drawn.svg.strip(), count=1
    )
    inner = re.sub(
        r"<title id=.*?</title>\n?<desc id=.*?</desc>\n?", "", inner, count=1, flags=re.DOTALL
    )
    stage = re.search(r'class="([^"]*)"', found[1])
    inner = re.sub(
        r'(fw-least-\d+[^"]*)"',
        rf'\1 {stage[1] if stage else ""}" width="{svg_number(drawn.width)}"'
        f' height="{svg_number(drawn.height)}"',
        inner,
        count=1,
    )
    alt = f"{again.alt} {drawn.alt}"
    svg = again.svg.replace(found[0], inner).replace(
        f">{escape(again.alt)}<", f">{escape(alt)}<", 1
    )
    return replace(again, svg=svg, alt=alt)


def _new_names(stage: Stage) -> Iterable[str]:
    """The groups of what is new."""
    names = (
        *stage.shows,
        *("line-bar" if name == "bar" else name for name in stage.parts),
        *(f"wire.{name}" for name in stage.conductors),
    )
    return dict.fromkeys(names)


def _new_words(stage: Stage, groups: dict[str, Group]) -> str:
    """What is new, as the drawing's own groups call it; pieces of a bar go in with their bar."""
    found = [groups[name] for name in _new_names(stage) if name in groups]
    new = [
        group.title or group.id.replace("-", " ")
        for group in found
        if "conductor bar" not in group.classes
    ]
    return f"New: {'; '.join(new)}." if new else "Nothing new is fitted."


def _referring(
    sheet: Sheet,
    drawn: Drawn,
    prefix: str,
    title: str,
    words: str,
    marks: Sequence[tuple[Markup, Markup]],
    stage: int = 0,
    to: Bounds | None = None,
) -> Drawn:
    """The drawing once more by reference, between what is painted under and over it; after
    `stage` it is ghosted; a narrow screen crops it `to` these bounds.
    """
    under, over = (
        plain_shapes(joined(dict.fromkeys(pair[side] for pair in marks))) for side in (0, 1)
    )
    return drawn_again(
        sheet,
        drawn,
        prefix,
        title,
        words,
        f"fw-again {least_width(sheet.width)}{numbered_part(sheet, to)}",
        shape("g", under, opacity="0.5"),
        over,
        f"fw-stage-{stage}" if stage else None,
    )


def _marks(
    groups: dict[str, Group], leg: Leg, words: Sequence[Bounds] | None = None
) -> tuple[Markup, Markup]:
    """What is painted under the drawing, so that the colours of the insulation stay true, and what
    over it: an arrow beside these words, None for none.
    """
    wire = groups.get(f"wire.{leg.link}")
    points = points_of_group(wire) if wire else ()
    if not points:
        ends = [_place_of(groups, leg.start), _place_of(groups, leg.end)]
        points = tuple(end for end in ends if end)
        return Markup(), _through(points) if len(points) == 2 else Markup()
    assert wire is not None
    if leg.start and dict(wire.data).get("from") != leg.start:
        points = tuple(reversed(points))
    on_body = len(wire.items) == 1 and isinstance(
        wire.items[0], Stroke
    )  # a piece of the neutral or earth bar: its body hides what lies under
    return (
        (Markup(), _through(points))
        if on_body
        else (_band(points), Markup() if words is None else head_along(points, words))
    )


def _band(points: Sequence[Point]) -> Markup:
    return shape(
        "path",
        d=svg_path_of(points, bend=5.0),
        stroke=paint("mark"),
        stroke_width=_BAND,
        stroke_linecap="round",
    )


def _through(points: Sequence[Point]) -> Markup:
    return shape(
        "path",
        d=svg_path_of(points),
        stroke=paint("mark"),
        stroke_width=THROUGH,
        stroke_opacity="0.5",
    )


def _framed(group: Group) -> Markup:
    box = next((item for item in group.items if isinstance(item, Box)), None)
    return frame(box) if box else Markup()


def points_of_group(group: Group) -> tuple[Point, ...]:
    """The course of a conductor's group."""
    return next(
        (
            item.points
            for item in reversed(group.items)
            if isinstance(item, (Strands, Stroke)) and len(item.points) > 1
        ),
        (),
    )


def _place_of(groups: dict[str, Group], terminal: str) -> Point | None:
    """Where a terminal is drawn."""
    found = groups.get(terminal)
    return (
        next(((item.x, item.y) for item in found.items if isinstance(item, Ref)), None)
        if found
        else None
    )
