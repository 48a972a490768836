"""Drawing, pictures for the hands: elements, panels that say right or wrong, and the sheet they
make.

An element is drawn by a pure function of a small frozen value. What is wrong is the same element
with one value changed, in a panel beside the right one. Sheets are 400 units wide: a phone shows
them whole.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field, replace

from firstway.calculations.adding import added
from firstway.drawing.hands.strokes import TEXT_SIZE, TEXT_STEP, Drawables, moved_by, sign
from firstway.drawing.sheet import (
    FINE,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Point,
    Ref,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.text_width import wrapped
from firstway.frozen import dataclass
from firstway.tables.reading import Row

SHEET_WIDTH = 400.0
HALF = 194.0
_GAP, _EDGE = SHEET_WIDTH - 2 * HALF, 6.0
KIND = "hand"


@dataclass(frozen=True)
class ShownFigure:
    """A number that a picture shows: as it is printed there, what it is, and where it comes from:
    the path of a key, or the row of a table.
    """

    words: str
    says: str
    path: str = ""
    row: Row | None = None


@dataclass(frozen=True)
class Detail:
    """Something drawn, its upper left at (0, 0). `points` are the places that a question, a test or
    another drawing may name.
    """

    width: float
    height: float
    groups: tuple[Group, ...]
    points: Mapping[str, Point] = field(default_factory=dict)


@dataclass(frozen=True)
class Panel:
    """An element with what is said of it. `right` is None where nothing is judged; `head` stands
    above, `under` below, in words.
    """

    element: Detail
    right: bool | None = None
    head: str = ""
    under: str = ""
    whole: bool = False  # as wide as the sheet


@dataclass(frozen=True)
class Made:
    """A picture as a sheet, the places in it by name (`b.strip-from` is in the second panel), and
    the figures that it shows.
    """

    sheet: Sheet
    points: Mapping[str, Point]
    figures: tuple[ShownFigure, ...] = ()
    titles: Mapping[str, str] = field(default_factory=dict)
    """What each group is, also where its tooltip stands in the first panel alone."""
    panels: Mapping[str, tuple[float, float, float, float]] = field(default_factory=dict)
    """Where each panel lies, by its letter: left, top, width, height."""


def group(name: str, *items: Drawables, title: str = "") -> Group:
    """A part of an element; its title shows as a tooltip."""
    return Group(name, tuple(each for some in items for each in some), title)


def sheet_of(
    title: str, description: str, panels: Sequence[Panel], figures: Sequence[ShownFigure] = ()
) -> Made:
    """The sheet of some panels, two in a row where they are narrow; rows are as high as their
    highest.
    """
    groups: list[Group] = []
    points: dict[str, Point] = {}
    titles: dict[str, str] = {}
    where: dict[str, tuple[float, float, float, float]] = {}
    top, place = _EDGE, 0
    while place < len(panels):
        row = [panels[place]]
        if not row[0].whole and place + 1 < len(panels) and not panels[place + 1].whole:
            row.append(panels[place + 1])
        heads = max(_head_height(panel) for panel in row)
        tall = max(panel.element.height for panel in row)
        feet = max(_foot_height(panel) for panel in row)
        for beside, panel in enumerate(row):
            letter = "abcdefghij"[place + beside]
            x = beside * (HALF + _GAP)
            groups += _panel_groups(panel, letter, x, top, top + heads, top + heads + tall)
            points |= {
                f"{letter}.{name}": (px + x, py + top + heads)
                for name, (px, py) in panel.element.points.items()
            }
            titles |= {f"{letter}.{each.id}": each.title for each in panel.element.groups}
            where[letter] = (x, top - _EDGE, _wide(panel), heads + tall + feet + _EDGE)
        if place:
            rule = Stroke(((0.0, top - 6), (SHEET_WIDTH, top - 6)), "faint", FINE)
            groups.append(Group(f"rule.{place}", (rule,)))
        top += added((heads, tall, feet, 12.0))
        place += len(row)
    shared, shapes = _shared(groups)
    sheet = Sheet(
        SHEET_WIDTH, top - 6, shared, title, description, KIND, shapes=shapes, caps="butt"
    )
    return Made(sheet, points, tuple(figures), titles, where)


def one_panel(made: Made, letter: str) -> Made:
    """One panel as a sheet of its own, with its words."""
    left, top, wide, high = made.panels[letter]
    groups = tuple(
        replace(
            each,
            items=tuple(moved_by(item, -left, -top) for item in each.items),
            title=made.titles.get(each.id, ""),
        )
        for each in made.sheet.groups
        if each.id.startswith(f"{letter}.")
    )
    used = {item.shape for each in groups for item in each.items if isinstance(item, Ref)}
    shapes = {name: items for name, items in made.sheet.shapes.items() if name in used}
    said = " ".join(
        item.words for each in groups for item in each.items if isinstance(item, Lettering)
    )
    figures = tuple(each for each in made.figures if each.words in said)
    words = " ".join(
        item.words
        for each in groups
        if each.id == f"{letter}.words"
        for item in each.items
        if isinstance(item, Lettering)
    )
    sheet = replace(
        made.sheet, width=wide, height=high, groups=groups, shapes=shapes, description=words
    )
    return replace(made, sheet=sheet, figures=figures)


_JUDGING = ("words", "wrong", "fault", "told")
"""Groups that a question leaves out; `told` are names in the drawing that would answer it."""
_NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def unsaid(made: Made) -> Made:
    """The picture for a question: several panels without heads, rings and what is said below, and
    each part told by the panel it stands in. A single panel judges nothing and stays as it is.
    """
    letters = sorted({each.id[0] for each in made.sheet.groups if each.id[1:2] == "."})
    if len(letters) < 2:
        return made
    groups = tuple(
        replace(each, title=f"{_NTH[letters.index(each.id[0])]} picture, {_told(made, each.id)}")
        if each.id[1:2] == "."
        else each
        for each in made.sheet.groups
        if each.id.partition(".")[2] not in _JUDGING
    )
    description = f"{len(letters)} pictures beside each other, without their words."
    return replace(made, sheet=replace(made.sheet, groups=groups, description=description))


def _told(made: Made, name: str) -> str:
    title = made.titles.get(name) or name[2:].replace("-", " ").replace(".", " ")
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def _wide(panel: Panel) -> float:
    return SHEET_WIDTH if panel.whole else HALF


def _head_lines(panel: Panel) -> tuple[str, ...]:
    room = _wide(panel) - 8 - (18 if panel.right is not None else 0)
    return wrapped(_verdict(panel), TEXT_SIZE, room, True) if _verdict(panel) else ()


def _verdict(panel: Panel) -> str:
    if panel.right is None:
        return panel.head
    word = "Right" if panel.right else "Wrong"
    return f"{word}: {panel.head}" if panel.head else word


def _head_height(panel: Panel) -> float:
    return TEXT_STEP * len(_head_lines(panel)) + 6 if _verdict(panel) else 0.0


def _foot_lines(panel: Panel) -> tuple[str, ...]:
    return wrapped(panel.under, TEXT_SIZE, _wide(panel) - 8) if panel.under else ()


def _foot_height(panel: Panel) -> float:
    return TEXT_STEP * len(_foot_lines(panel)) + 6 if panel.under else 0.0


def _panel_groups(
    panel: Panel, letter: str, x: float, top: float, head_end: float, foot: float
) -> list[Group]:
    judged = panel.right is not None
    ink = "mark" if panel.right is False else "ink"
    said = [
        Lettering(
            x + 4 + (18 if judged else 0),
            top + TEXT_STEP * (place + 1) - 3,
            text,
            TEXT_SIZE,
            bold=True,
        )
        for place, text in enumerate(_head_lines(panel))
    ]
    said = [replace(each, ink=ink) for each in said]
    marks = (sign(x + 11, top + TEXT_STEP - 8, bool(panel.right)),) if judged else ()
    under = [
        Lettering(x + 4, foot + TEXT_STEP * (place + 1), text, TEXT_SIZE)
        for place, text in enumerate(_foot_lines(panel))
    ]
    drawn = [  # a tooltip stands in the first panel, for what follows is the same
        replace(
            each,
            id=f"{letter}.{each.id}",
            items=_at(each.items, x, head_end),
            title=each.title if letter == "a" else "",
        )
        for each in panel.element.groups
    ]
    texts = (*marks, *said, *under)
    return [*drawn, *([Group(f"{letter}.words", texts)] if texts else [])]


def _at(items: Drawables, x: float, y: float) -> Drawables:
    return tuple(moved_by(item, x, y) for item in items)


def _shared(groups: Sequence[Group]) -> tuple[tuple[Group, ...], dict[str, Drawables]]:
    """What several panels draw alike is drawn once, and called where it stands."""
    alike: dict[Drawables, list[int]] = {}
    for place, each in enumerate(groups):
        if each.items and not any(isinstance(item, (Lettering, Ref)) for item in each.items):
            alike.setdefault(_from_its_start(each.items), []).append(place)
    shapes: dict[str, Drawables] = {}
    given = list(groups)
    for items, places in alike.items():
        if len(places) < 2:
            continue
        name = f"s{len(shapes)}"
        shapes[name] = items
        for place in places:
            ref = Ref(*_start(groups[place].items), name)
            given[place] = replace(groups[place], items=(ref,))
    return tuple(given), shapes


def _start(items: Drawables) -> Point:
    first = items[0]
    if isinstance(first, (Stroke, Strands)):
        return first.points[0]
    assert isinstance(first, (Box, Disc))
    return first.x, first.y


def _from_its_start(items: Drawables) -> Drawables:
    """Things as seen from the first point of the first; what a hair parts is the same."""
    x, y = _start(items)
    return tuple(_rounded(moved_by(item, -x, -y)) for item in items)


def _rounded(item: Drawable) -> Drawable:
    def all_of(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((round(x, 2), round(y, 2)) for x, y in points)

    if isinstance(item, Stroke):
        return replace(item, points=all_of(item.points))
    if isinstance(item, Strands):
        return replace(item, points=all_of(item.points), more=tuple(map(all_of, item.more)))
    assert isinstance(item, (Box, Disc))
    return replace(item, x=round(item.x, 2), y=round(item.y, 2))
