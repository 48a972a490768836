"""Files: the line where the hand slipped, in text that YAML refuses, in an installer's words.

The reader of YAML stops where it can go no further, often lines below the slip. This looks at the
lines above that place for what a hand does wrong: a colon or its space left out, a line shifted, a
brace or quotation left open, an invisible character. It is asked only about text that was refused.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Literal

from firstway.files.written_lines import CLOSES, Unclosed, WrittenLine, rows_of, written_lines
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


_LONGEST_SHOWN = 40
# Spaces that are no space to YAML, and characters without any width.
UNSEEN = re.compile(
    "[\u00a0\u00ad\u1680\u180e\u2000-\u200f\u2028\u2029\u202f\u205f\u2060-\u2064\u3000\ufeff]"
)
_NO_SPACE = re.compile(r"([A-Za-z][\w-]*):(\S.*)")
_LIKE_A_COLON = re.compile(r"([A-Za-z][\w-]*) *[\uff1a\ufe55;=] *(.*)")
_LIKE_A_DASH = re.compile(r"[\u2010-\u2015\u2212\u2022] ")
_AFTER_QUOTES = re.compile(r"""("[^"]*"|'[^']*') *[^ #]""")
_NO_COLON = re.compile(r"([A-Za-z][\w-]*) *(.*)")


def slip_before(text: str, refused_at: int) -> Slip | None:
    """The first slip in the lines up to the one where YAML gave up; None where nothing is seen."""
    found = list(written_lines(text))
    levels: list[IndentLevel] = []
    above: WrittenLine | None = None
    for place, line in enumerate(found):
        if line.number > refused_at:
            break
        if isinstance(line, Unclosed):
            slip: Slip | None = _not_closed(line)
        else:
            below = found[place + 1 :]
            slip = (
                _unseen(text, line)
                or _not_a_key(line, above, below, levels)
                or _not_one_text(line)
                or shifted(line, above, below, levels)
            )
        if slip is not None:
            return slip if slip.line <= refused_at else None
        above = line if isinstance(line, WrittenLine) else above
    return None


def unseen_name(sign: str) -> str:
    """What an invisible character is called.

    >>> unseen_name(chr(0xa0)), unseen_name(chr(0x200b))
    ('no-break space', 'zero width space')
    """
    return unicodedata.name(sign, f"U+{ord(sign):04X}").lower()


def seen(text: str) -> str:
    """The text as the eye takes it: characters without width left out, odd spaces as spaces."""
    return UNSEEN.sub(lambda sign: " " if sign[0].isspace() else "", text)


def _shown(text: str) -> str:
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."


def _unseen(text: str, line: WrittenLine) -> Slip | None:
    """In the indentation, or beside the dash or the colon, where only a space may stand."""
    row = rows_of(text)[line.number - 1]
    lead = re.match(
        rf"[ -]*({UNSEEN.pattern})|[ -]*[\w-]*({UNSEEN.pattern})?:({UNSEEN.pattern})?", row
    )
    sign = next((each for each in lead.groups() if each), None) if lead else None
    if sign is None:
        return None
    return Slip(
        line.number,
        f"an invisible character ({unseen_name(sign)}) stands where a space belongs",
        (
            "delete what stands before the word and type the spaces anew"
            if lead and lead.group(1)
            else "delete it and type a space"
        ),
    )


def _not_closed(found: Unclosed) -> Slip:
    if found.sign in CLOSES:
        begun = "" if found.opened == found.number else f" from line {found.opened}"
        return Slip(
            found.number,
            f"a `{found.sign}`{begun} is not closed in this line",
            f"put the missing `{CLOSES[found.sign]}` in its place",
        )
    return Slip(
        found.opened,
        "a quotation that begins here is not closed",
        "close it, or put the text in the other kind of quotes",
    )


def _not_a_key(
    line: WrittenLine,
    above: WrittenLine | None,
    below: list[WrittenLine | Unclosed],
    levels: list[IndentLevel],
) -> Slip | None:
    """Bare text where a key with its colon, or an item with its dash, was meant."""
    if line.text.startswith("\t"):
        return Slip(line.number, "a tab stands where only spaces can", "indent with spaces")
    if line.text.startswith("? ") or line.text == "?":
        return Slip(
            line.number, "a question mark stands before the key", "remove it; write `key: value`"
        )
    if _LIKE_A_DASH.match(line.key or line.text):
        return Slip(
            line.number,
            "the mark before this item only looks like a dash",
            "type the dash `-` and a space",
        )
    if line.key:
        return None
    if re.match(r"-[\w'\"{]", line.text) and not line.text.startswith("---"):
        return Slip(line.number, "no space stands after the dash", "write `- ` before the item")
    if line.value == "flow" and not line.dashes:
        return _item_without_dash(line, below)
    if line.value != "plain" or not _stands_for_a_key(line, above, below, levels):
        return None
    return _without_colon(line, above)


def _item_without_dash(line: WrittenLine, below: list[WrittenLine | Unclosed]) -> Slip | None:
    after = next((each for each in below if isinstance(each, WrittenLine)), None)
    if after is not None and after.dashes and after.dashes[0] <= line.column:
        return Slip(
            line.number,
            "this item of the list has no dash",
            "write `- ` before it, as in the items below",
        )
    return None


def _stands_for_a_key(
    line: WrittenLine,
    above: WrittenLine | None,
    below: list[WrittenLine | Unclosed],
    levels: list[IndentLevel],
) -> bool:
    """Text may go on below a plain value, or be an item or a value; elsewhere a key was meant."""
    after = next((each for each in below if isinstance(each, WrittenLine)), None)
    opens = (
        after is not None
        and bool(after.key or after.dashes)
        and (after.column > line.column or after.column == line.column and not after.dashes)
    )
    if line.dashes or above is None or above.value == "none":
        return opens or above is None and not line.dashes
    goes_on = above.value == "plain" and line.column > (levels[-1].column if levels else 0)
    return not goes_on


@dataclass(frozen=True)
class ColonSlip:
    """A key whose colon, or the space after it, was left out."""

    key: str
    message: str
    hint: str


def without_colon(text: str) -> ColonSlip | None:
    """What is wrong between the first word and the rest.

    >>> without_colon("current_a:32").message, without_colon("current_a 32").hint
    ("no space stands after the colon of 'current_a'", 'write `current_a: 32`')
    """
    for form, what in (
        (_NO_SPACE, "no space stands after the colon of '{}'"),
        (_LIKE_A_COLON, "the character after '{}' is not a colon"),
        (_NO_COLON, "'{}' has no colon"),
    ):
        found = form.fullmatch(text)
        if found is not None:
            return ColonSlip(
                found[1],
                what.format(found[1]),
                f"write `{found[1]}: {_shown(found[2])}`" if found[2] else f"write `{found[1]}:`",
            )
    return None


def _without_colon(line: WrittenLine, above: WrittenLine | None) -> Slip:
    slip = without_colon(re.sub(r"^(- *)+", "", line.text))
    if (
        above is not None
        and above.value == "block"
        and (slip is None or slip.message.endswith("has no colon"))
    ):
        return Slip(
            line.number,
            "this line stands too far left to go on with the text above",
            "indent it like that text",
        )
    if slip is None:
        return Slip(line.number, "this line is no key with a value", "write `key: value`")
    return Slip(line.number, slip.message, slip.hint)


def _not_one_text(line: WrittenLine) -> Slip | None:
    text = line.text
    if line.value == "plain" and line.key and (": " in text or text.endswith(":")):
        return Slip(
            line.number,
            f"the text of '{_shown(line.key)}' holds a colon",
            "put quotes around the text",
        )
    if line.value == "quoted" and _AFTER_QUOTES.match(text):
        return Slip(
            line.number,
            "text stands after the closing quotation mark",
            "put all of it inside the quotes, or none",
        )
    return None
