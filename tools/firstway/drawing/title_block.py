"""Drawing: what stands at the foot of every view: the key of its lines, the title block, the
caution.

A drawing is the same bytes every time, so no day of its making stands in it: the day is the one the
file states for the work.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from firstway.calculations.adding import added
from firstway.drawing.line_styles import Sample, line_key
from firstway.drawing.sheet import (
    FINE,
    HAIR,
    SMALLEST,
    Box,
    Drawable,
    Group,
    Lettering,
    Stroke,
)
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.model.installation import Installation
from firstway.rendering.citing import RULE_WORDS, read_as_of
from firstway.rendering.html import caution_line

MARGIN = 12.0
_STEP = 15.0  # from one line of text to the next
_PAD, _LEAST_JOB, _LONGEST_SCALE = 8.0, 190.0, 150.0
_LENGTHS_MM = (5, 10, 20, 50, 100, 200, 500)


@dataclass(frozen=True)
class Foot:
    """Groups to be put last on the sheet, and the height the sheet then has."""

    groups: tuple[Group, ...]
    bottom: float


@dataclass(frozen=True)
class _Cell:
    caption: str
    value: str
    least: float
    per_mm: float = 0.0


def foot(
    installation: Installation,
    view: str,
    width: float,
    top: float,
    samples: Sequence[Sample] = (),
    units_per_mm: float | None = None,
) -> Foot:
    """Key of line styles, title block and caution, below `top` on a sheet `width` units wide.

    `view` is the drawing's name, such as "Wiring". `samples` are the line styles it uses
    (`conductor_samples` gives those of conductors). `units_per_mm` is the scale of a drawing to
    scale: its title block has a scale bar.
    """
    groups: list[Group] = []
    y = top
    if samples:
        group, y = line_key(samples, MARGIN, y, width - 2 * MARGIN)
        groups.append(group)
    group, y = title_block(installation, view, width, y + 4, units_per_mm)
    groups.append(group)
    lines = wrapped(caution_line(installation.edition), SMALLEST, width - 2 * MARGIN)
    texts = [
        Lettering(MARGIN, y + 3 + _STEP * (index + 1), line, ink="soft")
        for index, line in enumerate(lines)
    ]
    groups.append(Group("caution", tuple(texts), classes="caution"))
    return Foot(tuple(groups), y + _STEP * len(lines) + 12)


def title_block(
    installation: Installation,
    view: str,
    width: float,
    top: float,
    units_per_mm: float | None = None,
) -> tuple[Group, float]:
    """A ruled row of job, view, edition (with the one that was read, where the file asks for a
    newer one), day the work begins and, to scale, a scale bar; and the y below it. Where the sheet
    is narrow, two rows.
    """
    rules = RULE_WORDS.get(installation.rules, installation.rules)
    read = read_as_of(installation.rules, installation.edition)
    cells = [
        _Cell("Job", installation.title, _LEAST_JOB),
        *(
            _Cell(caption, value, _least(caption, value))
            for caption, value in (
                ("Drawing", view),
                (
                    "Rules and edition",
                    f"{rules}, {installation.edition}" + (f", read as of {read}" if read else ""),
                ),
                ("Work begins", installation.work_begins.isoformat()),
            )
        ),
    ]
    if units_per_mm:
        long = _scale_mm(units_per_mm)
        said = reserved_width(f"{long} mm", SMALLEST)
        cells.append(_Cell("Scale", "", long * units_per_mm + said + 2 * _PAD + 8, units_per_mm))
    items: list[Drawable] = []
    y = top
    for row in _rows(cells, width - 2 * MARGIN):
        y = _ruled(items, row, y, width - 2 * MARGIN)
    frame = Box(MARGIN, top, width - 2 * MARGIN, y - top, line=HAIR)
    alike = sorted(items, key=_style)  # one style after the other: said once each
    return Group("title-block", (frame, *alike), "Title block", "title-block"), y


def _style(item: Drawable) -> tuple[bool, bool, bool]:
    if not isinstance(item, Lettering):
        return False, False, False
    return True, item.bold, item.ink == "soft"


def _least(caption: str, value: str) -> float:
    widest = max(reserved_width(caption, SMALLEST), reserved_width(value, SMALLEST, True))
    return widest + 2 * _PAD


def _rows(cells: Sequence[_Cell], width: float) -> list[list[_Cell]]:
    rows: list[list[_Cell]] = [[]]
    for cell in cells:
        if rows[-1] and added(each.least for each in rows[-1]) + cell.least > width:
            rows.append([])
        rows[-1].append(cell)
    return rows


def _ruled(items: list[Drawable], row: Sequence[_Cell], top: float, width: float) -> float:
    """One row; its first cell takes what room is left."""
    spare = width - added(cell.least for cell in row)
    wide = [cell.least + (spare if index == 0 else 0) for index, cell in enumerate(row)]
    lines = [wrapped(cell.value, SMALLEST, room - 2 * _PAD, True) for cell, room in zip(row, wide)]
    bottom = top + _STEP * (1 + max(map(len, lines))) + _PAD
    if top > 0 and items:
        items.append(Stroke(((MARGIN, top), (MARGIN + width, top)), width=FINE))
    x = MARGIN
    for index, (cell, room, words) in enumerate(zip(row, wide, lines)):
        if index:
            items.append(Stroke(((x, top), (x, bottom)), width=FINE))
        items.append(Lettering(x + _PAD, top + _STEP, cell.caption, ink="soft"))
        items += [
            Lettering(x + _PAD, top + _STEP * (place + 2), line, bold=True)
            for place, line in enumerate(words)
        ]
        if cell.per_mm:
            items += _scale_bar(x + _PAD, top + _STEP + 12, cell.per_mm)
        x += room
    return bottom


def _scale_mm(units_per_mm: float) -> int:
    fitting = [length for length in _LENGTHS_MM if length * units_per_mm <= _LONGEST_SCALE]
    return max(fitting, default=_LENGTHS_MM[0])


def _scale_bar(x: float, y: float, units_per_mm: float) -> list[Drawable]:
    """A bar of two halves, one filled, with its length."""
    length = _scale_mm(units_per_mm)
    half = length * units_per_mm / 2
    return [
        Box(x, y - 3, half, 6, line=HAIR, fill="ink"),
        Box(x + half, y - 3, half, 6, line=HAIR),
        Lettering(x + 2 * half + 6, y + 4.3, f"{length} mm"),
    ]
