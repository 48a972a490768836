"""Record: what is looked at in a place, key by key: who may find it out, in which order, what it
decides, and what the file knows of it already.

`looked_at.csv` holds the order of the walk and the rules a key decides; help, unit and choices are
those of the key's own declaration, reasons and clauses those of the rules.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Literal

from firstway.checks.rule import Rule
from firstway.checks.running import rules
from firstway.choosing.alternatives import IN_THE_GROUND
from firstway.files.plain_values import unit_of_key
from firstway.files.schema import sections_inside
from firstway.files.specs import Flag, Sections, Spec, Word, WordList, specs_of
from firstway.frozen import dataclass
from firstway.model.installation import Installation
from firstway.model.values import CHOOSE, NONE, UNKNOWN, Absent, is_known, key_of
from firstway.rendering.figures import figure_in_formula, with_unit

SiteSheet = Literal["survey", "inspection"]
_WALK = Path(__file__).with_name("looked_at.csv")
_ASSUMED = "assumed"
_PLAIN = ("premises", "supply")  # the words of their keys say of what they speak


@dataclass(frozen=True)
class LookedAt:
    """One row of the walk. `who` is a word of `WHO`, `devices` the kinds of device that have the
    key (all where there are none), `rules` what it decides, `how` it is measured without danger.
    """

    key: str
    who: str
    station: str
    sheet: str
    devices: tuple[str, ...]
    rules: tuple[str, ...]
    how: str


@dataclass(frozen=True)
class ToFind:
    """One thing to find out in one job, or that is known. `what` is asked, and of which part;
    `said` is the value as words ("" where it is to be found out), `known` how it is known ("" where
    the file states it and no more), `decides` the rules of this rule set that hang on it.
    """

    path: str
    who: str
    station: str
    what: str
    unit: str
    spec: Spec
    said: str
    known: str
    decides: tuple[Rule, ...]
    how: str

    @property
    def assumed(self) -> bool:
        """Whether the file holds a value that nobody checked: it is asked for all the same."""
        return self.known == _ASSUMED

    @property
    def choices(self) -> tuple[str, ...]:
        """What may be written; () where it is a figure or free words."""
        kind = self.spec.kind
        words: tuple[str, ...] = ("yes", "no") if isinstance(kind, Flag) else ()
        if isinstance(kind, Word | WordList):
            words = kind.choices
        return (*words, *(["none"] if NONE in self.spec.instead else []))

    @property
    def where(self) -> str:
        """Where it means something, in the words of its declaration; "" where it was looked at
        already.
        """
        return "" if self.spec.when in _APART else self.spec.when


@cache
def walk() -> tuple[LookedAt, ...]:
    """The rows of the walk in their order."""
    with _WALK.open(encoding="utf-8", newline="") as file:
        return tuple(
            LookedAt(
                row["key"],
                row["who"],
                row["station"],
                row["sheet"],
                tuple(row["devices"].split()),
                tuple(row["rules"].split()),
                row["how"],
            )
            for row in csv.DictReader(file)
        )


def to_find(installation: Installation, sheet: SiteSheet) -> tuple[ToFind, ...]:
    """Every line of a sheet for one job, in the order of the walk; a key whose rules are those of
    other rule sets is left out, and so is one that does not apply there.
    """
    by_id = {module.RULE.id: module.RULE for module in rules()}
    found: dict[str, ToFind] = {}
    for row in walk():
        decides = tuple(
            by_id[each] for each in row.rules if installation.rules in by_id[each].rule_sets
        )
        if row.sheet not in (sheet, "both") or not decides:
            continue
        for place in _places(installation, row.key.split(".")):
            if place.applies(installation, row.devices):
                found.setdefault(place.path, _line(installation, row, place, decides))
    return tuple(found.values())


@dataclass(frozen=True)
class _Place:
    """Where a key of the walk lies in one job: the item of a list that it is a part of (a device, a
    stretch; else the section), its declaration, its value, and the words of the sections around it.
    """

    path: str
    item: Any
    spec: Spec
    value: Any
    around: tuple[str, ...]
    unit: str

    def applies(self, installation: Installation, devices: tuple[str, ...]) -> bool:
        """Whether it is asked of this device, under these rules and in this place."""
        device = key_of(self.item, "device") if devices else None
        if devices and is_known(device) and device not in devices:
            return False
        apart = _APART.get(self.spec.when)
        return apart is None or not apart(installation, self.item)


def _places(installation: Installation, key: list[str]) -> Iterator[_Place]:
    yield from _below(installation, Installation, key, "", (), "")


def _below(
    section: Any,
    of: type,
    key: list[str],
    start: str,
    around: tuple[str, ...],
    above: str,
    item: Any = UNKNOWN,
) -> Iterator[_Place]:
    """Where a key lies below a section; `section` is a word about it where the file has none."""
    name, spec = key[0], specs_of(of)[key[0]]
    value, path = key_of(section, _attribute(name)), f"{start}{name}"
    unit = unit_of_key(name) or above
    if len(key) == 1:
        yield _Place(path, item, spec, value, around, unit)
        return
    inside = sections_inside(spec.kind)[0]
    if value == NONE:  # there is none: nothing below it is asked
        yield _Place(path, item, spec, value, around, unit)
    elif not isinstance(spec.kind, Sections):
        words = (*around, spec.meaning) if start else () if name in _PLAIN else (_words(name),)
        yield from _below(value, inside, key[1:], f"{path}.", words, unit, item)
    elif isinstance(value, Absent) or not value:
        words = (*around, f"each of {spec.meaning}")
        yield from _below(UNKNOWN, inside, key[2:], f"{path}.*.", words, unit)
    else:
        for place, each in enumerate(value, 1):
            named = getattr(each, "name", "")
            words = (named,) if named else (*around, f"{_spoken(inside)} {place}")
            own = f"{path}.{named or place}."
            yield from _below(each, inside, key[2:], own, words, unit, each)


def _spoken(of: type) -> str:
    """A section by its name in the model: `residual current device`, `stretch`."""
    return re.sub(r"(?<=.)([A-Z])", r" \1", of.__name__).lower()


def _words(key: str) -> str:
    return key.replace("_", " ")


def _attribute(name: str) -> str:
    return "from_" if name == "from" else name


def _line(
    installation: Installation, row: LookedAt, place: _Place, decides: tuple[Rule, ...]
) -> ToFind:
    said, how = _said(place), installation.how_known(place.path) or ""
    known = bool(said) and how != _ASSUMED
    return ToFind(
        place.path,
        row.who,
        row.station,
        ": ".join(dict.fromkeys((*place.around, place.spec.meaning))).replace("`", ""),
        "" if isinstance(place.spec.kind, Word | WordList | Flag) else place.unit,
        place.spec,
        said if known else "",
        how if said else "",
        decides,
        row.how,
    )


def _said(place: _Place) -> str:
    """The value as words; "" where it is not known, left to choose or not declared."""
    value = place.value
    if isinstance(value, Absent):
        return "none" if value == NONE else "left to choose" if value == CHOOSE else ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return with_unit(figure_in_formula(float(value)), place.unit)
    return ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _other_method(in_the_ground: bool) -> Callable[[Installation, Any], bool]:
    def apart(installation: Installation, stretch: Any) -> bool:
        method = key_of(stretch, "method")
        if not is_known(method) or _assumed(installation, stretch):
            return False
        return (method in IN_THE_GROUND) != in_the_ground

    return apart


def _other_device(*devices: str) -> Callable[[Installation, Any], bool]:
    def apart(_: Installation, way: Any) -> bool:
        device = key_of(way, "device")
        return is_known(device) and device not in devices

    return apart


def _assumed(installation: Installation, section: Any) -> bool:
    return installation.how_known(section.path) == _ASSUMED


# Where a key means nothing, by the words of its declaration; where nothing here says so, the line
# shows those words.
_APART: Mapping[str, Callable[[Installation, Any], bool]] = {
    "nec": lambda job, _: job.rules != "nec",
    "bs7671 and iec60364": lambda job, _: job.rules == "nec",
    "TN-C-S": lambda job, _: job.supply.system != "TN-C-S" and not _assumed(job, job.supply),
    "three phases": lambda job, _: job.supply.phases != 3 and not _assumed(job, job.supply),
    "a stretch in the ground": _other_method(True),
    "a stretch in air": _other_method(False),
    "spd": _other_device("spd"),
    "an rcd or rcbo": _other_device("rcd", "rcbo"),
    "a circuit-breaker or rcbo": _other_device("circuit-breaker", "rcbo"),
    "a circuit-breaker": _other_device("circuit-breaker"),
}
