"""Files: text that YAML refuses, cut into the lines its writer meant; only to find a slip in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

from firstway.frozen import dataclass

Value = Literal["none", "plain", "flow", "quoted", "block"]
CLOSES = {"{": "}", "[": "]"}
# A key with its colon; the colon may be the last sign of the line.
_KEY = re.compile(r"""('[^']*'|"[^"]*"|[^\s'"\[\]{}#&*!|>%@`,?-][^#]*?):(?= |$)""")
_DASH = re.compile(r"-(?= |$)")
_COMMENT = re.compile(r"(^| )#.*$")
_BLOCK = re.compile(r"[|>][0-9+-]*$")


@dataclass(frozen=True)
class WrittenLine:
    """What one writer's line holds: a key, a list item, both or bare text.

    `dashes` and `column` count from 0; `value` says what follows the key (or the dash, where there
    is no key). `last` is the line where a value that runs over several lines ends.
    """

    number: int
    last: int
    dashes: tuple[int, ...]
    column: int
    key: str
    text: str
    value: Value


@dataclass(frozen=True)
class Unclosed:
    """A bracket, brace or quotation that begins in line `opened`, not closed in line `number`."""

    number: int
    opened: int
    sign: str


@dataclass
class _Open:
    """The brackets and the quotation that are open, each with the line where it begins."""

    brackets: list[tuple[str, int]]
    quote: tuple[str, int] | None = None
    before: str = ":"  # the last sign that is no space: after these a quotation may begin

    @property
    def any(self) -> bool:
        return bool(self.brackets or self.quote)


def rows_of(text: str) -> list[str]:
    """The rows as an editor counts them."""
    return [row.rstrip("\r") for row in text.split("\n")]


def written_lines(text: str) -> Iterator[WrittenLine | Unclosed]:
    """The lines in order; the first that is not closed is the last one given."""
    rows = rows_of(text)
    at = 0
    while at < len(rows):
        row = rows[at]
        if not _COMMENT.sub("", row).strip(" "):
            at += 1
            continue
        dashes, column, key, rest = _parts(row)
        value = _kind(rest)
        end: int | Unclosed = at
        if value == "block":
            end = _end_of_block(rows, at, dashes[-1] if dashes and not key else column)
        elif value in ("flow", "quoted"):
            end = _end_of_open(rows, at, len(row) - len(rest), dashes[0] if dashes else column)
        if isinstance(end, Unclosed):
            yield end
            return
        said = _COMMENT.sub("", rest).strip(" ")
        yield WrittenLine(
            at + 1,
            end + 1,
            dashes,
            column,
            key,
            said if key else _COMMENT.sub("", row).strip(" "),
            value,
        )
        at = end + 1


def _parts(row: str) -> tuple[tuple[int, ...], int, str, str]:
    """Columns of the dashes, column of what follows, its key and what stands behind it."""
    column, dashes = len(row) - len(row.lstrip(" ")), []
    while _DASH.match(row, column):
        dashes.append(column)
        column += 1
        column += len(row[column:]) - len(row[column:].lstrip(" "))
    found = _KEY.match(row, column)
    if found is None:
        return tuple(dashes), column, "", row[column:]
    return tuple(dashes), column, found[1], row[found.end() :].lstrip(" ")


def _kind(rest: str) -> Value:
    said = _COMMENT.sub("", rest).strip(" ")
    if not said:
        return "none"
    if said[0] in CLOSES:
        return "flow"
    if said[0] in "'\"":
        return "quoted"
    return "block" if _BLOCK.match(said) else "plain"


def _end_of_block(rows: list[str], at: int, column: int) -> int:
    """The last row of a text that stands further right than its key."""
    end = at
    for place in range(at + 1, len(rows)):
        row = rows[place]
        if row.strip() and len(row) - len(row.lstrip(" ")) <= column:
            break
        end = place
    return end


def _end_of_open(rows: list[str], at: int, start: int, column: int) -> int | Unclosed:
    """The row where brackets and quotation are closed, or what is not.

    Rows that go on inside the same brackets begin in one column: where one begins deeper inside
    than the one above it, the row above left a bracket open.
    """
    opened = _Open([])
    _scan(rows[at][start:], at + 1, opened)
    depth_at: dict[int, int] = {}
    place = at
    while opened.any:
        place += 1
        row = rows[place] if place < len(rows) else ""
        indent = len(row) - len(row.lstrip(" "))
        begins_anew = (
            place >= len(rows)
            or row.strip()
            and indent <= column
            and bool(_KEY.match(row, indent) or _DASH.match(row, indent))
        )
        deeper = (
            opened.quote is None
            and row.strip()
            and len(opened.brackets) > depth_at.get(indent, len(opened.brackets))
        )
        if begins_anew or deeper:
            sign, line = opened.quote or opened.brackets[-1 if deeper else 0]
            return Unclosed(_last_written(rows, place - 1), line, sign)
        if row.strip() and opened.quote is None:
            depth_at[indent] = len(opened.brackets)
        _scan(row, place + 1, opened)
    return place


def _last_written(rows: list[str], place: int) -> int:
    while place and not _COMMENT.sub("", rows[place]).strip(" "):
        place -= 1
    return place + 1


def _scan(row: str, number: int, opened: _Open) -> None:
    """Go through one row inside brackets or a quotation."""
    at = 0
    while at < len(row):
        sign = row[at]
        if opened.quote is not None:
            if sign == "\\" and opened.quote[0] == '"':
                at += 1
            elif sign == opened.quote[0]:
                if sign == "'" and row[at + 1 : at + 2] == "'":
                    at += 1
                else:
                    opened.quote, opened.before = None, sign
                    if not opened.brackets:
                        return
        elif sign == "#" and (at == 0 or row[at - 1] == " "):
            return
        elif sign in "'\"" and opened.before in "{[,:":
            opened.quote = (sign, number)
        elif sign in CLOSES:
            opened.brackets.append((sign, number))
        elif opened.brackets and sign == CLOSES[opened.brackets[-1][0]]:
            opened.brackets.pop()
            if not opened.brackets:
                return
        if sign != " " and opened.quote is None:
            opened.before = sign
        at += 1
