"""Board front: the front of a board drawn from its plan, to scale in mm: cover off with devices,
bars, screws and openings, or cover on with every label.

`front_layout` gives the sheet, `board_front` the SVG. One mm is `scale` units everywhere inside the
enclosure; words keep their size. A word that finds no room on its part is left to the notes and the
key, where every device stands.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.front.beside import keyed, noted
from firstway.drawing.front.cover import covered, covered_words, notes_of_cover
from firstway.drawing.front.devices import (
    device_fronts,
    free_places,
    taken_by_devices,
    terminals,
    wishes_of_terminals,
)
from firstway.drawing.front.dimensions import (
    enclosure_dimensions,
    places_dimension,
    places_line,
)
from firstway.drawing.front.framing import FrontFrame, front_frame
from firstway.drawing.front.hardware import (
    CAPTION,
    enclosure,
    fixings,
    line_bar,
    rail,
    taken_by_bars,
    taken_by_fixings,
    taken_by_line_bar,
    wall_bars,
    wishes_of_bars,
    wishes_of_line_bar,
)
from firstway.drawing.front.lettering import TakenBoxes, outline, settled
from firstway.drawing.front.openings import (
    openings_in_back,
    openings_in_walls,
    taken_by_openings,
    wishes_of_openings,
)
from firstway.drawing.front.scene import SeenFront, seen_front
from firstway.drawing.front.words import bar_caption, front_words, notes
from firstway.drawing.numbered import numbered_parts
from firstway.drawing.part_words import in_words_of
from firstway.drawing.sheet import Group, Sheet
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.title_block import foot
from firstway.model.nec_words import in_nec_words


def front_layout(completed: Completed, *, cover_on: bool = False, numbers: bool = True) -> Sheet:
    """The sheet of the board's front; LookupError where the plan finds no row for a size."""
    front = seen_front(completed)
    frame = front_frame(front)
    groups, said, words = _with_cover(front, frame) if cover_on else _without_cover(front, frame)
    if front.installation.rules == "nec":
        said = [(in_nec_words(each), look) for each, look in said]
    note_group, y = noted(frame, said)
    right = frame.notes_at - 8 if frame.beside else frame.width
    besides = [
        *(each.title for each in groups if each.classes == "dimension"),
        *(each for each, _ in said),
    ]
    groups = (*groups, note_group)
    if not cover_on:
        key_group, y = keyed(front, frame, y)
        groups = (*groups, key_group)
    head, scale = in_words_of(front.installation, "Board front"), frame.paper.scale
    view = f"{head}, cover {'on' if cover_on else 'off'}"
    ends = foot(front.installation, view, frame.width, y, units_per_mm=scale)
    sheet = Sheet(
        frame.width,
        ends.bottom,
        (*groups, *ends.groups),
        f"{head}{', cover on' if cover_on else ''}: {front.installation.title}",
        words,
        "board",
        {"units per mm": scale},
        data=(("installation", front.installation.name), ("units-per-mm", f"{scale:.4f}")),
    )
    return numbered_parts(sheet, {}, right, frame.foot, besides) if numbers else sheet


def board_front(
    completed: Completed, prefix: str = "", *, cover_on: bool = False, numbers: bool = True
) -> Drawn:
    """The board's front as SVG; ids begin with `prefix`."""
    return drawn_from(
        front_layout(completed, cover_on=cover_on, numbers=numbers),
        prefix or f"{completed.installation.name}-board",
    )


_Made = tuple[tuple[Group, ...], list[tuple[str, str]], str]


def _without_cover(front: SeenFront, frame: FrontFrame) -> _Made:
    field = TakenBoxes(
        (
            *outline(frame.paper.body(front.plan.outer), 4.0),
            *taken_by_devices(front, frame),
            *taken_by_line_bar(front, frame),
            *taken_by_bars(front, frame),
            *taken_by_openings(front, frame),
            *taken_by_fixings(front, frame),
            *(outline(frame.paper.body(front.plan.rail)) if front.plan.rail else ()),
        )
    )
    over = (*taken_by_bars(front, frame), *taken_by_openings(front, frame))
    within = frame.paper.rect(front.whole)
    first = settled(
        (
            *wishes_of_terminals(front, frame),
            *wishes_of_line_bar(front, frame),
            *wishes_of_openings(front, frame),
            *wishes_of_bars(front, frame),
        ),
        field,
        within,
    )
    line = places_line(front, frame, field)
    groups = (
        enclosure(front, frame),
        *fixings(front, frame),
        *openings_in_walls(front, frame),
        *rail(front, frame),
        *openings_in_back(front, frame, first),
        *free_places(front, frame),
        *device_fronts(front, frame, over),
        *line_bar(front, frame, first),
        *wall_bars(front, frame, first),
        *terminals(front, frame, first),
        *enclosure_dimensions(front, frame),
        *places_dimension(front, frame, line),
    )
    said = notes(front)
    if front.plan.line_bar is not None:
        caption = bar_caption(front.installation)
        shown = first.get(CAPTION, ())
        if not shown or shown[0].words != caption:
            said.insert(3, (f"Line bar: {caption}.", "plain"))
    return groups, said, front_words(front)


def _with_cover(front: SeenFront, frame: FrontFrame) -> _Made:
    groups = (
        *openings_in_walls(front, frame, cover_on=True),
        *covered(front, frame),
        *enclosure_dimensions(front, frame),
    )
    return groups, notes_of_cover(front, frame), covered_words(front)
