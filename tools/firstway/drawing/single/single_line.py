"""Drawing: the single-line diagram, from source to vehicle, with the figures of the working called
out by number.

`single_line_layout` gives the sheet, `single_line` the SVG. Its stages, each with its own module
here, hand on frozen values: what stands along the path, which call-outs, where, which strokes, what
a narrow screen shows instead of words.
"""

from dataclasses import dataclass

from firstway.choosing.completing import Completed
from firstway.drawing.line_styles import FAULT_SIGN, Sample
from firstway.drawing.sheet import SMALLEST, Drawable, Group, Lettering, Sheet
from firstway.drawing.single import words
from firstway.drawing.single.call_outs import CalledOut, CallOut, numbered
from firstway.drawing.single.narrow import with_numbers
from firstway.drawing.single.path import SupplyPath, supply_path
from firstway.drawing.single.places import KEY_WIDTH, LINE_HEIGHT, SinglePlaces, places_of
from firstway.drawing.single.strokes import (
    ARMOUR,
    CONDUCTORS,
    LINK,
    NUMBER_RING,
    groups_of,
    mark,
    single_shapes,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import wrapped
from firstway.drawing.title_block import foot
from firstway.rendering.figures import full
from firstway.workings.shared.step import Step

_VIEW = "Single-line diagram"
_NOTE = 14.0  # from one line of a note to the next
_MARGIN = 12.0


def single_line_layout(completed: Completed, with_figures: bool = True) -> Sheet:
    """The sheet of the single-line diagram; a question about a figure shows it without figures."""
    installation = completed.installation
    path = supply_path(installation, with_figures)
    called = numbered(path, completed)
    places = places_of(path, called)
    return with_numbers(_sheet(completed, path, called, places), places, called, installation.rules)


def _sheet(
    completed: Completed, path: SupplyPath, called: CalledOut, places: SinglePlaces
) -> Sheet:
    installation = completed.installation
    key = _key(called, places, installation.rules)
    end = foot(installation, _VIEW, places.width, key.bottom, _samples(path, called))
    return Sheet(
        places.width,
        end.bottom,
        (*groups_of(places.things), *key.groups, *end.groups),
        f"{_VIEW}: {installation.title}",
        words.single_line_description(completed, called.figures, called.flags),
        "single-line",
        {"figures": len(called.figures), "flags": len(called.flags)},
        single_shapes(),
        data=(("installation", installation.name),),
    )


def single_line(completed: Completed, prefix: str = "") -> Drawn:
    """The single-line diagram as SVG, with numbers for narrow screens; ids begin with `prefix`."""
    return drawn_from(
        single_line_layout(completed), prefix or f"{completed.installation.name}-single-line"
    )


def _samples(path: SupplyPath, called: CalledOut) -> tuple[Sample, ...]:
    """The line styles and marks this sheet uses, told in its key."""
    earth = "G" if path.nec else "PE"
    armoured = any(way.run is not None and way.run.armoured is True for way in path.ways)
    limited = any(stop.kind == "limiter" for stop in path.stops)
    return (
        Sample(f"a stroke a conductor; dot: N, bar: {earth}", shape=CONDUCTORS),
        *([Sample("armoured cable", shape=ARMOUR)] if armoured else []),
        *([Sample("control link", shape=LINK)] if limited else []),
        *([Sample("figure of the working", shape=NUMBER_RING)] if called.figures else []),
        *([Sample("fault, told by its letter", shape=FAULT_SIGN)] if called.flags else []),
    )


@dataclass(frozen=True)
class _Key:
    groups: tuple[Group, ...]
    bottom: float


def _key(called: CalledOut, places: SinglePlaces, rules: str) -> _Key:
    """The figures by number, beside the path or below it; the findings by letter below."""
    bottom = places.bottom
    if places.beside:
        figures = _figures(called, rules, places.width - KEY_WIDTH + 8, 12.0, 1, KEY_WIDTH - 16)
    else:
        across = (places.width - 2 * _MARGIN) / 3
        figures = _figures(called, rules, _MARGIN, bottom + 6, 3, across)
    bottom = max(bottom, figures.bottom) + 8
    groups = list(figures.groups)
    for letter, _, text in called.flags:
        lines = wrapped(text, SMALLEST, places.width - 60)
        items = (
            *mark(CallOut(letter, True), (24, bottom + 8)),
            *(
                Lettering(44, bottom + 12 + LINE_HEIGHT * index, line)
                for index, line in enumerate(lines)
            ),
        )
        groups.append(Group(f"key.{letter}", items, classes="key finding"))
        bottom += LINE_HEIGHT * len(lines) + 10
    return _Key(tuple(groups), bottom)


def _figures(
    called: CalledOut, rules: str, left: float, top: float, columns: int, width: float
) -> _Key:
    """The key of figures: numbers, values and notes, each kind a group."""
    if not called.figures:
        return _Key((), top)
    rows = -(-len(called.figures) // columns)
    often = [step.id for _, step, _ in called.figures]
    numbers: list[Drawable] = []
    values: list[Drawable] = [Lettering(left, top + 12, "Figures of the working", bold=True)]
    notes: list[Drawable] = []
    x, y, lowest = left, top + 24, top + 24
    for index, (number, step, of) in enumerate(called.figures):
        if index and index % rows == 0:
            x, y = x + width, top + 24
        note = words.step_words(step, rules) + (f", {of}" if often.count(step.id) > 1 else "")
        lines = wrapped(note, SMALLEST, width - 40)
        numbers += mark(CallOut(str(number), False), (x + 11, y + 10))
        values.append(
            Lettering(
                x + 28,
                y + 8,
                words.figure_words(step),
                bold=True,
                data=_data(step, of),
                low=words.lowered(step),
            )
        )
        notes += [
            Lettering(x + 28, y + 22 + _NOTE * row, line, ink="soft")
            for row, line in enumerate(lines)
        ]
        y += 20 + _NOTE * len(lines)
        lowest = max(lowest, y)
    kinds = (("numbers", numbers), ("values", values), ("notes", notes))
    groups = tuple(Group(f"key.{name}", tuple(items), classes="key") for name, items in kinds)
    return _Key(groups, lowest)


def _data(step: Step, of: str) -> tuple[tuple[str, str], ...]:
    value = () if step.value is None else (("value", full(step.value)),)
    return (("step", step.id), ("of", of), *value)
