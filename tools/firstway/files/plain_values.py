"""Files: one value as it is written, to what a kind of key holds."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from firstway.files.near import meant_figure, suggestion, unit_of_key
from firstway.files.slips import UNSEEN, seen, unseen_name
from firstway.files.specs import (
    LONGEST_NUMBER,
    LONGEST_TEXT,
    Day,
    Flag,
    Kind,
    Name,
    NameForm,
    Number,
    Prose,
    Word,
)

_NUMBER_FORM = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,2})?\Z")
NAME_FORMS: Mapping[NameForm, tuple[re.Pattern[str], str]] = {
    "name": (
        re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*(\.[A-Za-z0-9][A-Za-z0-9_-]*)?\Z"),
        "letters, digits, hyphens and underscores",
    ),
    "small": (
        re.compile(r"[a-z0-9]+(?:[.-][a-z0-9]+)*\Z"),
        "small letters, digits, dots and hyphens",
    ),
    "place": (
        re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*(?:\.[A-Za-z0-9_-]+)*\Z"),
        "letters, digits, hyphens, underscores and dots",
    ),
}
"""How a name of each form is written, and its signs in words."""
_LONGEST_SHOWN = 60


@dataclass(frozen=True)
class Unfit:
    """Why a value cannot stand: what is said after the path of its key, and what to do."""

    why: str
    hint: str


def short(text: str) -> str:
    """Text of a file, as much of it as a message may hold."""
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."


def plain_value(text: str, kind: Kind, name: str) -> Any:
    """The value of a key of this name and kind, or `Unfit`."""
    if not text.strip():
        return Unfit("is empty", "write the value or remove the key")
    if isinstance(kind, Prose):
        too_long = Unfit(f"is longer than {LONGEST_TEXT} characters", "shorten it")
        return text.strip() if len(text) <= LONGEST_TEXT else too_long
    if (unseen := UNSEEN.search(text)) is not None:
        return Unfit(
            f"holds an invisible character ({unseen_name(unseen[0])})",
            f"type it anew: {short(seen(text).strip())}",
        )
    return (
        _number(text, kind, name) if isinstance(kind, Number) else _OF_WORDS[type(kind)](text, kind)
    )


def _choice(text: str, kind: Word) -> str | Unfit:
    if text in kind.choices:
        return text
    hint = suggestion(text, kind.choices) or "use one of: " + ", ".join(kind.choices)
    return Unfit(f"is '{short(text)}'", hint)


def _truth(text: str, kind: Flag) -> bool | Unfit:
    is_truth = text in ("true", "false")
    return text == "true" if is_truth else Unfit(f"is '{short(text)}'", "write true or false")


def _day(text: str, kind: Day) -> date | Unfit:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return Unfit(f"is '{short(text)}', not a date", "write it as 2026-12-01")


def _name(text: str, kind: Name) -> str | Unfit:
    form, signs = NAME_FORMS[kind.form]
    if form.match(text):
        return text
    return Unfit(f"is '{short(text)}', which cannot be a name", f"use {signs}")


_OF_WORDS: Mapping[type, Any] = {Word: _choice, Flag: _truth, Day: _day, Name: _name}


def _number(text: str, kind: Number, name: str) -> float | int | Unfit:
    if not _NUMBER_FORM.match(text) or len(text) > LONGEST_NUMBER:
        pointed = text.replace(",", ".", 1)
        is_comma = len(text) <= LONGEST_NUMBER and _NUMBER_FORM.match(pointed)
        return Unfit(
            f"is '{short(text)}', not a number",
            f"write {pointed}" if is_comma else "write the number alone; its unit is in the key",
        )
    value = float(text)
    if not math.isfinite(value):
        return Unfit(
            f"is {short(text)}, larger than any figure here", "write the figure that is meant"
        )
    has_prefix = unit_of_key(name) not in ("", "%")
    bound = _bound_broken(value, kind, has_prefix)
    if bound:
        meant = meant_figure(value, kind) if has_prefix else None
        guess = f"; did you mean {meant:g}?" if meant is not None else ""
        return Unfit(f"is {short(text)}", bound + guess)
    if kind.whole and not value.is_integer():
        return Unfit(f"is {short(text)}", "write a whole number")
    return int(value) if kind.whole else value


def _bound_broken(value: float, kind: Number, has_prefix: bool) -> str:
    """What a figure must be, where it is not; "" where it may stand."""
    if kind.or_zero and value == 0:
        return ""
    if kind.above is not None and not value > kind.above:
        return f"it must be more than {kind.above:g}"
    if kind.at_least is not None and value < kind.at_least:
        return f"it must be {'0, or ' if kind.or_zero else ''}{kind.at_least:g} or more"
    if kind.at_most is not None and value > kind.at_most:
        return f"it must be {kind.at_most:g} or less{'; check the unit' if has_prefix else ''}"
    return ""
