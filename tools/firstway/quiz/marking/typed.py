"""Quiz: what a learner typed, as a number and a unit, against its window and those of named
mistakes.

`quiz/scripts/marking.js` holds the same grammar; both run through `tests/quiz_cases.json`: change
them together.
"""

from __future__ import annotations

import math
import re

from firstway.frozen import dataclass

_LONGEST_ANSWER = 200
"""Characters of an answer that are read; the rest is cut away unread."""

MINUS_SIGNS = "\u2010\u2011\u2012\u2013\u2212\ufe63\uff0d"
SPACES = (
    "\t\n\r\f\v\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007"
    "\u2008\u2009\u200a\u200b\u202f\u205f\u3000\ufeff"
)
NO_UNIT = "0123456789+-/.,*^=()<>:;"
"""A unit begins with none of these: `3-4`, `1/2` and `12 34` are no numbers."""
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")

_PLAIN = str.maketrans({**dict.fromkeys(MINUS_SIGNS, "-"), **dict.fromkeys(SPACES, " ")})
_NUMBER = re.compile(
    r"([+-]?) ?"
    r"([0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]*)?"  # 12 345,6
    r"|[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]*"  # 12,345.6
    r"|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]*"  # 12.345,6
    r"|[0-9]{1,3}(?:,[0-9]{3}){2,}|[0-9]{1,3}(?:\.[0-9]{3}){2,}"  # 1,234,567
    r"|[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"  # 4.25 and 4,25 and .5
    r"(?: ?[eE] ?([+-]?) ?([0-9]{1,3})(?![0-9])"  # 4.25e0
    r"| ?[x×*·] ?10 ?(?:\^ ?([+-]?) ?([0-9]{1,3})(?![0-9])|([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,3})))?"
    r"(?![0-9.,])"
)


def plain_typed(typed: str) -> str:
    """The answer cut to length, with one kind of space and one kind of minus sign."""
    return re.sub(" +", " ", typed[:_LONGEST_ANSWER].translate(_PLAIN)).strip(" ")


def number_and_unit(typed: str) -> tuple[float | None, str]:
    """The number and whatever stands after it; None when no number stands first.

    A lone comma or point is the decimal mark. Spaces, or the other mark, may group thousands.
    """
    text = plain_typed(typed)
    match = _NUMBER.match(text)
    if match is None:
        return None, ""
    sign, digits, sign_e, digits_e, sign_power, digits_power, raised = match.groups()
    exponent = (
        (sign_e or "") + digits_e
        if digits_e
        else (sign_power or "") + digits_power
        if digits_power
        else ""
    )
    if raised:
        exponent = raised.translate(_RAISED)
    value = float(sign + _with_point(digits) + ("e" + exponent if exponent else ""))
    unit = text[match.end() :].strip(" ")
    if not math.isfinite(value) or unit[:1] in NO_UNIT and unit:
        return None, ""
    return value, unit


def _with_point(digits: str) -> str:
    digits = digits.replace(" ", "")
    marks = [character for character in digits if character in ".,"]
    if not marks:
        return digits
    if len(marks) > 1 and len(set(marks)) == 1:
        return digits.replace(marks[0], "")
    whole, _, part = digits.rpartition(marks[-1])
    return f"{whole.replace(',', '').replace('.', '') or '0'}.{part or '0'}"


@dataclass(frozen=True)
class WrongNumber:
    """The window of a named mistake."""

    mistake: str
    low: float
    high: float
    feedback: str


@dataclass(frozen=True)
class Windows:
    """What marks a figure: the window of right answers and those of named mistakes.

    Bounds belong to the window.
    """

    unit: str
    spellings: tuple[str, ...]
    low: float
    high: float
    wrong: tuple[WrongNumber, ...]


@dataclass(frozen=True)
class FoundNumber:
    """What a typed number deserves, and its value where it can be read."""

    state: str
    mistake: str = ""
    feedback: str = ""
    value: float | None = None


def found_number(key: Windows, typed: str) -> FoundNumber:
    """What a typed number deserves by its windows alone."""
    if not plain_typed(typed):
        return FoundNumber("empty")
    value, unit = number_and_unit(typed)
    if value is None:
        return FoundNumber("not-a-number")
    if unit and unit not in key.spellings:
        return FoundNumber("unit")
    if key.low <= value <= key.high:
        return FoundNumber("right", value=value)
    for wrong in key.wrong:
        if wrong.low <= value <= wrong.high:
            return FoundNumber("mistake", wrong.mistake, wrong.feedback, value)
    return FoundNumber("wrong", value=value)
