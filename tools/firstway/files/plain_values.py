"""Files: one value as it is written, to what a kind of key holds; and what was meant where another
word, figure or key was written.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from firstway.files.slips import UNSEEN, seen, unseen_name, without_colon
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
    Section,
    Sections,
    SectionsOrNames,
    Spec,
    Word,
    specs_of,
)
from firstway.files.yaml_reader import Entries, Text
from firstway.frozen import dataclass

NEAR = 0.6  # likeness of two words from which a slip of the pen is supposed


def suggestion(word: str, known: Iterable[str]) -> str:
    """`did you mean 'length_m'?` for a near miss, else nothing."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=NEAR)
    return f"did you mean '{near[0]}'?" if near else ""


# A prefix of the unit first (milli for none), then a comma moved by one place or two.
_FACTORS = (1000.0, 10.0, 100.0)
# The end of a key and the unit it tells; those that end like another stand before it.
_UNITS = {
    "ohm_m": "ohm.m",
    "k_m_per_w": "K.m/W",
    "w_per_pole": "W",
    "lbf_in": "lbf.in",
    "ka2s": "kA2s",
    "mm2": "mm2",
    "mm": "mm",
    "m": "m",
    "a": "A",
    "ma": "mA",
    "ka": "kA",
    "v": "V",
    "kv": "kV",
    "nm": "Nm",
    "ohm": "ohm",
    "kw": "kW",
    "kwh": "kWh",
    "s": "s",
    "c": "C",
    "percent": "%",
    "minutes": "min",
}
_KEYS_THAT_ARE_UNITS = {
    "ohm": "ohm",
    "megohm": "Mohm",
    "ms": "ms",
    "ka": "kA",
    "v": "V",
    "a": "A",
    "s": "s",
}


def unit_of_key(key: str) -> str:
    """The unit a key carries in its name.

    >>> unit_of_key("rated_current_ma"), unit_of_key("torque_lbf_in"), unit_of_key("soil_ohm_m")
    ('mA', 'lbf.in', 'ohm.m')
    """
    for end, unit in _UNITS.items():
        if key.endswith(f"_{end}"):
            return unit
    return _KEYS_THAT_ARE_UNITS.get(key.rpartition(".")[2], "")


def meant_figure(value: float, kind: Number) -> float | None:
    """The figure a slip of prefix or comma away that such a key usually has; None where none fits.

    >>> meant_figure(0.03, Number(at_least=4, at_most=3000))
    30.0
    >>> meant_figure(19, Number(usual=(60, 900)))
    190.0
    """
    least = kind.at_least if kind.at_least is not None else kind.above
    low, high = kind.usual or (least, kind.at_most)
    if low is None or high is None or value <= 0:
        return None
    tries = (value * factor if value <= low else value / factor for factor in _FACTORS)
    fit = (float(f"{each:.12g}") for each in tries if low <= each <= high)
    return next((each for each in fit if not kind.whole or each.is_integer()), None)


_MOST_NAMED = 12
MOST_HOMES = 3  # a key of more parts than these, such as `name`, tells nothing of where it belongs
KeyPlace = tuple[str, str]
"""The path of a section and one of its keys."""


@dataclass(frozen=True)
class Meant:
    """What to say of the key, and the keys that are therefore not missing."""

    message: str
    hint: str
    places: tuple[KeyPlace, ...] = ()
    more: bool = (
        True  # whether other unknown keys beside it are worth a word, or follow from this one
    )


@dataclass(frozen=True)
class Around:
    """One section, its path and its keys by their name in the file."""

    path: str
    specs: Mapping[str, Spec]


def meant_by(data: Entries, key: str, shown: str, here: Around, outside: Iterable[Around]) -> Meant:
    """`outside` are the sections around this one, the nearest first."""
    message, node = f"unknown key '{shown}'", data.values[key]
    if isinstance(node, Text) and not node.text:
        if key.isdigit():  # `{line_neutral: 0,82}` reads as two keys
            return Meant(message, "write numbers with a decimal point")
        slip = without_colon(key)
        if (
            slip is not None and slip.key in here.specs
        ):  # `{name boathouse}`: all of it was read as the key
            return Meant(slip.message, slip.hint, ((here.path, slip.key),))
    home = next((each for each in outside if key in each.specs), None)
    if home is not None:
        where = (
            f"beside `{here.path.partition('.')[0]}`" if not home.path else f"under `{home.path}`"
        )
        return Meant(
            f"the key '{shown}' stands too far inside",
            f"it belongs {where}: check the indentation and the brackets",
            ((home.path, key),),
            more=False,
        )
    inside = tuple(_inside(here, key))
    if 0 < len(inside) <= MOST_HOMES:
        return Meant(
            f"the key '{shown}' stands too far outside",
            f"it belongs under {' or '.join(f'`{path}`' for path, _ in inside)}:"
            " check the indentation and the brackets",
            inside,
        )
    near = difflib.get_close_matches(key, list(here.specs), n=1, cutoff=NEAR)
    return Meant(
        message, _suggestion(key, list(here.specs)), tuple((here.path, each) for each in near)
    )


def _inside(here: Around, key: str) -> Iterator[KeyPlace]:
    for name, spec in here.specs.items():
        kind = spec.kind
        if isinstance(kind, Section | Sections | SectionsOrNames) and key in specs_of(kind.of):
            yield (f"{here.path}.{name}" if here.path else name), key


def _suggestion(word: str, choices: list[str]) -> str:
    """The word that is near, or those there are."""
    more = ", ..." if len(choices) > _MOST_NAMED else ""
    named = f"remove it, or use one of: {', '.join(choices[:_MOST_NAMED])}{more}"
    return suggestion(word, choices) or named


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
    "code": (
        re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}\Z"),
        "up to 32 letters, digits, hyphens and underscores",
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
