"""Files: the line where the hand slipped, in text that YAML refuses, in an installer's words.

The reader of YAML stops where it can go no further, often lines below the slip. This looks at the
lines above that place for what a hand does wrong: a colon or its space left out, a line shifted, a
brace or quotation left open, an invisible character. It is asked only about text that was refused.
"""

from __future__ import annotations

import re
import unicodedata

from firstway.files.columns import IndentLevel, Slip, shifted
from firstway.files.written_lines import CLOSES, Unclosed, WrittenLine, rows_of, written_lines
from firstway.frozen import dataclass

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
