"""Board front: the notes beside or below the board, and the key of its terminals."""

from collections.abc import Iterator, Sequence

from firstway.drawing.front.framing import FrontFrame
from firstway.drawing.front.lettering import STEP
from firstway.drawing.front.scene import SeenFront
from firstway.drawing.front.words import ASK, KEY_HEAD, KEY_NOTE, KEY_TITLE, key_rows
from firstway.drawing.sheet import HAIR, LINE, SMALLEST, Drawable, Group, Lettering, Stroke
from firstway.drawing.text_width import wrapped

_COLUMNS = (0.0, 168.0, 284.0, 392.0, 508.0, 622.0)
_LOOKS = {
    "bold": (True, "ink"),
    "mark": (True, "mark"),
    "plain": (False, "ink"),
    "soft": (False, "soft"),
}


def noted(frame: FrontFrame, found: Sequence[tuple[str, str]]) -> tuple[Group, float]:
    """The notes, and where what follows begins."""
    items: list[Drawable] = []
    if frame.beside:
        x, y, room = frame.notes_at, frame.paper.y(0) + 11, frame.width - frame.notes_at - 12
    else:
        x, y, room = 12.0, frame.foot + 12, frame.width - 24
    for words, look in found:
        bold, ink = _LOOKS[look]
        for line in wrapped(words, SMALLEST, room, bold):
            items.append(Lettering(x, y, line, bold=bold, ink=ink))
            y += STEP
        y += 5 if frame.beside else 2
    foot = max(frame.foot + 6, y + 8) if frame.beside else y + 10
    return Group("notes", tuple(items), classes="notes"), foot


def keyed(front: SeenFront, frame: FrontFrame, foot: float) -> tuple[Group, float]:
    """What the makers state of each terminal, and where what follows begins."""
    y, right = foot + 8, frame.width - 12
    items: list[Drawable] = [Lettering(12, y, KEY_TITLE, bold=True)]
    y += 20
    items += [Lettering(12 + x, y, words, ink="soft") for x, words in zip(_COLUMNS, KEY_HEAD)]
    items.append(Stroke(((12, y + 7), (right, y + 7)), "ink", LINE))
    y += 24
    for name, what, cells in key_rows(front.installation):
        row = [*_first_cell(y, name, what), *_cells(y, cells, frame.width)]
        bottom = max(item.y for item in row) + 8
        items += [*row, Stroke(((12, bottom), (right, bottom)), "faint", HAIR)]
        y = bottom + 18
    for line in wrapped(KEY_NOTE, SMALLEST, frame.width - 24):
        items.append(Lettering(12, y + 2, line, ink="soft"))
        y += STEP
    return Group("key", tuple(items), classes="key"), y


def _first_cell(y: float, name: str, what: str) -> list[Lettering]:
    room = _COLUMNS[1] - 10
    lines = [(line, True) for line in wrapped(name, SMALLEST, room, True)]
    lines += [(line, False) for line in wrapped(what, SMALLEST, room)]
    return [
        Lettering(12, y + STEP * index, line, bold=bold) for index, (line, bold) in enumerate(lines)
    ]


def _cells(y: float, cells: tuple[str, ...], width: float) -> Iterator[Lettering]:
    if all(cell == ASK for cell in cells):
        yield Lettering(12 + _COLUMNS[1], y, f"{ASK}: nothing is stated", bold=True)
        return
    for x, end, cell in zip(_COLUMNS[1:], (*_COLUMNS[2:], width - 24), cells):
        for index, line in enumerate(wrapped(cell, SMALLEST, end - x - 6)):
            yield Lettering(12 + x, y + STEP * index, line, bold=cell == ASK)
