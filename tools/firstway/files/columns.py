"""Files: a line that stands in no column of the lines above it, in text that YAML refuses."""

from __future__ import annotations

from typing import Literal

from firstway.files.written_lines import Unclosed, WrittenLine
from firstway.frozen import dataclass


@dataclass(frozen=True)
class Slip:
    """Where the hand slipped, what is wrong there, and what to do about it."""

    line: int
    message: str
    hint: str


ColumnKind = Literal["item", "key", "key after a dash"]


@dataclass
class IndentLevel:
    """Lines that stand in one column, one below another."""

    column: int
    first: int
    kind: ColumnKind
    lines: int = 1
    left: IndentLevel | None = None  # the one further right that the line above closed


def shifted(
    line: WrittenLine,
    above: WrittenLine | None,
    below: list[WrittenLine | Unclosed],
    levels: list[IndentLevel],
) -> Slip | None:
    """A line that stands in no column of the lines above; `levels` is kept up to date."""
    has_value_above = above is not None and above.value != "none"
    for place, column in enumerate((*line.dashes, *((line.column,) if line.key else ()))):
        is_item = place < len(line.dashes)
        kind: ColumnKind = "item" if is_item else "key after a dash" if line.dashes else "key"
        left = _left_behind(levels, column, is_item)
        if levels and levels[-1].column == column and (levels[-1].kind == "item") == is_item:
            levels[-1].lines += 1
            levels[-1].left = left
        elif left is not None and not (levels and levels[-1].column == column):
            return _odd_one(left, column, line, below)
        elif levels and place == 0 and has_value_above and levels[-1].column < column:
            return _under_a_value(levels, column, line, above, below)
        else:
            levels.append(IndentLevel(column, line.number, kind))
    return None


def _left_behind(levels: list[IndentLevel], column: int, is_item: bool) -> IndentLevel | None:
    """Close the levels further right, and a list that a key in its column ends; the last closed."""
    left = None
    while levels and levels[-1].column > column:
        left = levels.pop()
    if levels and levels[-1].column == column and levels[-1].kind == "item" and not is_item:
        levels.pop()
    return left


def _under_a_value(
    levels: list[IndentLevel],
    column: int,
    line: WrittenLine,
    above: WrittenLine | None,
    below: list[WrittenLine | Unclosed],
) -> Slip:
    top = levels[-1]
    lines = _lines_at(column, line, below)
    if above is not None and top.left is not None and top.left.column == column and lines > 1:
        return Slip(
            above.number,
            f"this line is indented by {_spaces(top.column)},"
            f" the lines above and below it by {_spaces(column)}",
            f"indent it by {_spaces(column)}",
        )
    if len(levels) > 1 and lines > top.lines:
        return _too_far(top, column)
    return Slip(
        line.number,
        f"this line is indented by {_spaces(column)}, and the line above has its value already",
        f"indent it by {_spaces(top.column)}, or close what is open above",
    )


def _odd_one(
    left: IndentLevel, column: int, line: WrittenLine, below: list[WrittenLine | Unclosed]
) -> Slip:
    """Two columns where one was meant: that with fewer lines slipped; of two alike the odd one."""
    lines = _lines_at(column, line, below)
    if left.lines < lines or left.lines == lines and left.column % 2 > column % 2:
        return _too_far(left, column)
    return Slip(
        line.number,
        f"this line is indented by {_spaces(column)}, the lines above it by {_spaces(left.column)}",
        f"indent it by {_spaces(left.column)}, or as far as the key it belongs beside",
    )


def _too_far(left: IndentLevel, column: int) -> Slip:
    if left.kind == "key after a dash":
        return Slip(
            left.first,
            f"the word after the dash stands in column {left.column + 1},"
            f" the lines below it in column {column + 1}",
            "put them in one column",
        )
    return Slip(
        left.first,
        f"this line is indented by {_spaces(left.column)}, the lines below it by {_spaces(column)}",
        f"indent it by {_spaces(column)}",
    )


def _lines_at(column: int, line: WrittenLine, below: list[WrittenLine | Unclosed]) -> int:
    """How many lines stand in this column: this one and those below that belong beside it."""
    lines = 1
    for each in below:
        first = -1 if isinstance(each, Unclosed) else each.dashes[0] if each.dashes else each.column
        if first < column:
            break
        lines += (
            first == column
            and isinstance(each, WrittenLine)
            and bool(each.key or each.dashes)
            and bool(each.dashes) == bool(line.dashes)
        )
    return lines


def _spaces(number: int) -> str:
    return "no spaces" if number == 0 else "1 space" if number == 1 else f"{number} spaces"
