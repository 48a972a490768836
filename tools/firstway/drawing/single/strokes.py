"""Drawing, single-line, fourth stage: what is placed as groups of strokes, symbols and texts."""

from collections.abc import Iterable, Iterator, Sequence

from firstway.drawing.line_styles import FAULT_SHAPES, arrow_head, fault_sign
from firstway.drawing.sheet import (
    BAR,
    HAIR,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    PlacedDrawing,
    Point,
    Ref,
    Stroke,
)
from firstway.drawing.single.call_outs import CallOut
from firstway.drawing.single.places import (
    PlacedBar,
    PlacedBox,
    PlacedLink,
    PlacedSymbol,
    PlacedText,
    PlacedWire,
    PlacedWords,
    Thing,
)
from firstway.drawing.single.words import UP_SYMBOL
from firstway.drawing.symbols import ConductorStrokes

NUMBER_RING, CONDUCTORS, ARMOUR, LINK = "number", "conductors", "armour", "link"
_LINK_DASH, _SENSE_DASH = "6 3", "4 3"
_JOINT = 2.6


def single_shapes() -> dict[str, tuple[Drawable, ...]]:
    """Shapes of the sheet: the ring of a number, the sign for a fault, samples for the key."""
    sheath = [
        Stroke(((-14, side * away), (14, side * away)), "ink", HAIR, dash)
        for away, dash in ((5.5, ""), (9.0, "5 3"))
        for side in (-1, 1)
    ]
    return {
        NUMBER_RING: (Disc(0, 0, 9.5, "ink", HAIR, "paper"),),
        CONDUCTORS: (
            Stroke(((0, -11), (0, 11))),
            PlacedDrawing(ConductorStrokes(("N", "PE")), 0, 0),
        ),
        ARMOUR: (Stroke(((-14, 0), (14, 0))), *sheath),
        LINK: (Stroke(((-15, 0), (8, 0)), "ink", HAIR, _LINK_DASH), arrow_head((0, 0), (15, 0))),
        **FAULT_SHAPES,
    }


def groups_of(things: Sequence[Thing]) -> tuple[Group, ...]:
    """Boxes lie under the path, the path under everything else; what is named keeps its name."""
    boxes = [thing for thing in things if isinstance(thing, PlacedBox)]
    rest = [
        thing
        for thing in things
        if not isinstance(thing, PlacedBox)
        and not (isinstance(thing, PlacedWire) and not thing.name)
        and not (isinstance(thing, PlacedWords) and not (thing.lines or thing.marks))
    ]
    # a board round a whole part of the path lies under what stands in it
    widest = sorted(boxes, key=lambda box: -box.width * box.height)
    return (*map(_box, widest), _path(things), *(_group(thing) for thing in rest))


def mark(what: CallOut, at: Point) -> tuple[Drawable, ...]:
    """A number in its ring or a letter on its flag."""
    if what.flag:
        return fault_sign(*at, what.words)
    return Ref(*at, NUMBER_RING), Lettering(at[0], at[1] + 4.3, what.words, anchor="middle")


def _path(things: Iterable[Thing]) -> Group:
    lines = [thing.points for thing in things if isinstance(thing, PlacedWire) and not thing.name]
    return Group("path", tuple(Stroke(line) for line in _joined(lines)), classes="path")


def _joined(lines: Iterable[tuple[Point, ...]]) -> Iterator[tuple[Point, ...]]:
    """Lines that go straight on downwards are one stroke."""
    last: tuple[Point, ...] = ()
    for line in lines:
        if last and line[0] == last[-1] and last[-2][0] == line[0][0] == line[1][0]:
            last = (*last[:-1], *line[1:])
            continue
        if last:
            yield last
        last = line
    if last:
        yield last


def _box(box: PlacedBox) -> Group:
    frame = Box(box.x, box.y, box.width, box.height, round=box.round, fill="panel")
    return Group(box.name, (frame, *_texts(box.texts)), box.title, "symbol")


def _group(thing: Thing) -> Group:
    if isinstance(thing, PlacedSymbol):
        drawn = PlacedDrawing(thing.element, thing.x, thing.y)
        return Group(thing.name, (drawn,), thing.title, "symbol")
    if isinstance(thing, PlacedWords):
        marks = [item for what, at in thing.marks for item in mark(what, at)]
        return Group(thing.name, (*_texts(thing.lines), *marks), classes="label")
    if isinstance(thing, PlacedBar):
        bar = Stroke(thing.ends, width=BAR, butt=True)
        return Group(thing.name, (bar,), thing.title, "symbol")
    if isinstance(thing, PlacedLink):
        dashed = [Stroke(line, "ink", HAIR, _LINK_DASH) for line in thing.lines]
        heads = [arrow_head(start, tip) for start, tip in thing.tips]
        return Group("control-link", (*dashed, *heads), thing.title, "link")
    assert isinstance(thing, PlacedWire)
    line = [Stroke(thing.points, dash=_SENSE_DASH if thing.senses else "")] if thing.points else []
    dots = [Disc(x, y, _JOINT, "ink", 0, "ink") for x, y in thing.dots]
    return Group(thing.name, (*line, *dots, *_texts(thing.texts)), thing.title, "path")


def _texts(lines: Iterable[PlacedText]) -> tuple[Lettering, ...]:
    return tuple(
        Lettering(
            line.x,
            line.y,
            line.words,
            anchor=line.anchor,
            bold=line.look == "bold",
            low=(1, 2) if line.words.startswith(f"{UP_SYMBOL} ") else (0, 0),
            ink="soft" if line.look == "soft" else "ink",
        )
        for line in lines
    )
