"""Drawing: what the colours of conductors mean, earlier and now, drawn as the wiring diagram draws
them.
"""

from math import ceil

from firstway.drawing.line_styles import conductor_layers
from firstway.drawing.sheet import (
    HAIR,
    SMALLEST,
    Box,
    Drawable,
    Group,
    Lettering,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import reserved_width
from firstway.tables.reading import Row, table
from firstway.wiring.graph import Conductor, Function

TABLE = "conductor_colours"
_COLUMNS: tuple[tuple[str, int, str, str], ...] = (
    ("red-black", 1, "earlier UK", "one phase"),
    ("red-black", 3, "earlier UK", "three phases"),
    ("harmonised", 1, "harmonised", "one phase"),
    ("harmonised", 3, "harmonised", "three phases"),
    ("nec", 1, "nec", "120/240 V"),
)
_FUNCTIONS: tuple[Function, ...] = ("L1", "L2", "L3", "N", "PE")
_COLUMN, _FIRST, _ROW, _TOP = 172.0, 64.0, 40.0, 58.0
_BESIDE = 2
AGE_WORDS = {
    "red-black": "earlier UK colours",
    "harmonised": "harmonised colours",
    "nec": "NEC colours",
}


def colour_rows() -> tuple[Row, ...]:
    """The rows of the table the legend is drawn from."""
    return table(TABLE).rows


def _colour(age: str, lines: int, function: str) -> str | None:
    return next(
        (
            row.text("colour")
            for row in colour_rows()
            if row.text("age") == age
            and row.text("lines") == str(lines)
            and row.text("function") == function
        ),
        None,
    )


def legend_sheet() -> Sheet:
    """One column for each set of colours, two beside each other, one row for each function."""
    width, band = _FIRST + _COLUMN * _BESIDE, _TOP + _ROW * len(_FUNCTIONS) + 8
    groups = []
    for place, (age, lines, name, kind) in enumerate(_COLUMNS):
        left, top = _FIRST + place % _BESIDE * _COLUMN, place // _BESIDE * band
        if left == _FIRST:
            rows = tuple(_row_names(width, top))
            groups.append(Group(f"rows.{place}", rows, classes="heads"))
        groups.append(
            Group(
                f"head.{age}.{lines}",
                (
                    Lettering(left + _COLUMN / 2, top + 22, name, anchor="middle", bold=True),
                    Lettering(left + _COLUMN / 2, top + 38, kind, anchor="middle", ink="soft"),
                ),
                classes="heads",
            )
        )
        for row, function in enumerate(_FUNCTIONS):
            y = top + _TOP + _ROW * row + _ROW / 2
            groups.append(_sample(age, lines, function, left, y))
    return Sheet(
        width,
        band * ceil(len(_COLUMNS) / _BESIDE),
        tuple(groups),
        "Colours of conductors, earlier and now",
        legend_words(),
        "colours",
        caps="butt",
    )


def colour_legend(prefix: str = "colours") -> Drawn:
    """The legend as SVG; ids begin with `prefix`."""
    return drawn_from(legend_sheet(), prefix)


def _row_names(width: float, top: float) -> list[Drawable]:
    items: list[Drawable] = []
    for row, function in enumerate(_FUNCTIONS):
        y = top + _TOP + _ROW * row
        items += [
            Stroke(((8, y), (width - 8, y)), "faint", HAIR),
            Lettering(12, y + _ROW / 2 + 4.3, function, bold=True),
        ]
    return items


def _sample(age: str, lines: int, function: Function, left: float, y: float) -> Group:
    colour = _colour(age, lines, function)
    if colour is None:
        return Group(
            f"{age}.{lines}.{function}",
            (Lettering(left + _COLUMN / 2, y + 4.3, "–", anchor="middle", ink="soft"),),
            "None in this set",
        )
    conductor = Conductor(
        f"{age}.{lines}.{function}", "", "", function, "core", None, "", colour, None
    )
    words = colour.replace("green-and-yellow", "green-yellow")
    wide = reserved_width(words, SMALLEST) + 8
    middle = left + _COLUMN / 2
    plate = Box(middle - wide / 2, y - 7.5, wide, 15, "casing", HAIR, "paper", 4)
    return Group(
        f"{age}.{lines}.{function}",
        (
            Strands(((left + 10, y), (left + _COLUMN - 10, y)), conductor_layers(conductor)),
            plate,
            Lettering(middle, y + 4.3, words, anchor="middle"),
        ),
        f"{function}: {words}, {AGE_WORDS[age]}",
        f"conductor {function}",
    )


def legend_words() -> str:
    """The legend in words."""
    said = []
    for age, lines, name, kind in _COLUMNS:
        each = [
            f"{function} {colour}"
            for function in _FUNCTIONS
            if (colour := _colour(age, lines, function))
        ]
        said.append(f"{name}, {kind}: {', '.join(each)}.")
    return (
        "What the colours of conductors mean. "
        + " ".join(sentence[0].upper() + sentence[1:] for sentence in said)
        + " A colour proves nothing: identify, test, prove dead."
    )
