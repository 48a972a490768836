"""Drawing: the wiring of a board: every part and conductor flat, where the one plan says it lies.

`wiring_layout` gives the sheet, `wiring_diagram` the SVG. Stages: the plan projected
(`wiring_view/flat.py`), the places around it (`outside.py`), words in free room (`naming.py`), then
groups of strokes (`strokes.py`). Colours of insulation are real; line styles and words say the same
without colour.
"""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.numbered import numbered_parts
from firstway.drawing.part_words import ENCLOSURE, wiring_words
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import Group, Sheet, on_whole_units
from firstway.drawing.stages import stage_classes
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.wiring_view.flat import FlatScale, flat_board, units_to_a_mm
from firstway.drawing.wiring_view.naming import NUMBERS, asked_outside, names_of, number_room
from firstway.drawing.wiring_view.outside import BAR_NAME, METER, outside_of
from firstway.drawing.wiring_view.strokes import (
    TERMINAL_SHAPES,
    WiringFrame,
    foot_groups,
    wiring_groups,
)
from firstway.wiring.graph import ORIGIN_EARTH

_MARGIN, _LEAST_WIDTH = 14.0, 620.0
_BESIDE = (0.0, 130.0)  # room beside the enclosure: more where words found no place


def wiring_layout(completed: Completed, with_foot: bool = True, tells_joints: bool = True) -> Sheet:
    """The sheet of the wiring view; a question's, in a paper that says the rest, has no foot. Its
    numbers, its titles and its alternative text tell what is joined, but not where that is asked.
    """
    view = _view(completed, _BESIDE[0])
    if view.names.missing:
        view = _view(completed, _BESIDE[1])
    groups = wiring_groups(completed, view)
    if not tells_joints:
        groups = [
            replace(each, title=each.title.partition(": ")[0])
            if each.id.startswith("wire.")
            else each
            for each in groups
        ]
    foot, height = foot_groups(completed, view) if with_foot else ([], view.height)
    scale = view.board.scale
    notes: dict[str, float] = {
        "units to a mm": scale.units,
        "left": scale.left,
        "top": scale.top,
        "labels missing": len(view.names.missing),
    }
    sheet = Sheet(
        view.width,
        height,
        _staged(completed, [*groups, *foot]),
        f"Wiring diagram: {completed.installation.title}",
        wiring_words(completed, tells_joints),
        "wiring",
        notes,
        TERMINAL_SHAPES,
        "butt",
        (("installation", completed.installation.name),),
    )
    whole = on_whole_units(sheet)
    leaving = _leaving(completed, whole) if with_foot and tells_joints else {}
    return numbered_parts(whole, leaving, whole.width, view.height)


def _leaving(completed: Completed, sheet: Sheet) -> dict[str, list[str]]:
    """The conductors of each part that they begin at, by the titles they are drawn with."""
    titles = {group.id: group.title for group in sheet.groups}
    wiring = completed.case.wiring.drawn
    found: dict[str, list[str]] = {}
    for each in wiring.conductors:
        start, title = wiring.terminal(each.start), titles.get(f"wire.{each.id}", "")
        if start and title and each.kind != "bar":
            at_meter = start.id == ORIGIN_EARTH and METER in titles
            found.setdefault(METER if at_meter else start.device, []).append(title)
    return found


def wiring_diagram(completed: Completed, prefix: str = "", with_foot: bool = True) -> Drawn:
    """The wiring view as SVG; ids begin with `prefix`."""
    return drawn_from(
        wiring_layout(completed, with_foot), prefix or f"{completed.installation.name}-wiring"
    )


def _view(completed: Completed, beside: float) -> WiringFrame:
    """Everything at its place on a sheet with this much room beside the enclosure."""
    layout, wiring = completed.case.layout, completed.case.wiring.drawn
    units = units_to_a_mm(layout)
    origin = FlatScale(units, 0.0, 0.0)
    outer = origin.rect(layout.parts.outer)
    edge = dict.fromkeys(("left", "right", "top", "bottom"), 0.0)
    for bar in layout.parts.bars:
        outside_wall = number_room(origin.rect(bar.box), bar.side, outer) < 1
        edge[bar.side] = max(edge[bar.side], BAR_NAME + (NUMBERS if outside_wall else 0.0))
    names = {True: edge["top"], False: edge["bottom"]}
    outside = outside_of(asked_outside(completed), layout, wiring, outer, origin.at, names)
    bounds = outside.bounds
    low = min(bounds.x, outer.x - max(beside, edge["left"]))
    high = max(bounds.x + bounds.width, outer.x + outer.width + max(beside, edge["right"]))
    first = min(bounds.y, outer.y - edge["top"])
    last = max(bounds.y + bounds.height, outer.y + outer.height + edge["bottom"])
    spare = max(0.0, _LEAST_WIDTH - 2 * _MARGIN - (high - low)) / 2
    left, top = _MARGIN + spare - low, _MARGIN - first
    placed = outside.moved(left, top)
    leaving = {name: way[0] for name, way in placed.ways.items()}
    board = flat_board(layout, wiring, FlatScale(units, left, top), leaving)
    sheet = Rect(
        0.0,
        0.0,
        high - low + 2 * (_MARGIN + spare),
        last - first + 2 * _MARGIN,
    )
    return WiringFrame(
        board, placed, names_of(completed, board, placed, sheet), sheet.width, sheet.height
    )


def _staged(completed: Completed, groups: list[Group]) -> tuple[Group, ...]:
    """Each group with the class of the stage it is fitted in; what belongs to none has no such
    class.
    """
    classes = dict(stage_classes(completed))
    wiring = completed.case.wiring.drawn
    devices = {terminal.id: terminal.device for terminal in wiring.terminals}
    classes |= {"line-bar": classes["bar"], ENCLOSURE: classes["earth-bar"]}
    for each in wiring.conductors:
        if each.cable and each.cable != "feed":
            classes[f"cable.{each.cable}"] = classes[each.id]
            classes[f"opening.{each.cable}"] = classes["enclosure"]
    classes["opening.feed"] = classes["enclosure"]

    def stage(name: str) -> str:
        bare = name
        for head in ("wire.", "front.", "behind.", "label."):
            bare = bare.removeprefix(head)
        return classes.get(bare) or classes.get(devices.get(bare, "")) or ""

    return tuple(
        replace(group, classes=f"{group.classes} {found}".strip())
        if (found := stage(group.id))
        else group
        for group in groups
    )
