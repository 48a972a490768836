"""Record: what is looked at in a place, key by key: who may find it out, in which order, what it
decides, and what the file knows of it already.

`looked_at.csv` holds the order of the walk and the rules a key decides; help, unit and choices are
those of the key's own declaration, reasons and clauses those of the rules.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
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
_BESIDES = Path(__file__).with_name("looked_besides.csv")
_WORDS = Path(__file__).with_name("said_words.csv")
_ASSUMED = "assumed"
_PLAIN = ("premises", "supply")  # the words of their keys say of what they speak


@dataclass(frozen=True)
class LookedAt:
    """One row of the walk. `who` is a word of `WHO`, `devices` the kinds of device that have the
    key (all where there are none), `rules` what it decides, `asked` the question in words of the
    trade where the key's own meaning is not that, `how` it is measured without danger.
    """

    key: str
    who: str
    station: str
    sheet: str
    devices: tuple[str, ...]
    rules: tuple[str, ...]
    asked: str
    how: str


@dataclass(frozen=True)
class Besides:
    """What is noted of a place though no key of the file holds it."""

    station: str
    who: str
    asked: str


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
    rules: str

    @property
    def assumed(self) -> bool:
        """Whether the file holds a value that nobody checked: it is asked for all the same."""
        return self.known == _ASSUMED

    @property
    def choices(self) -> tuple[str, ...]:
        """What may be written, as words of the trade; () where it is a figure or free words. Those
        of other rule sets are left out.
        """
        kind = self.spec.kind
        if isinstance(kind, Flag):
            return ("yes", "no")
        if not isinstance(kind, Word | WordList):
            return ()
        key = self.path.rpartition(".")[2]
        words = [*kind.choices, *(["none"] if NONE in self.spec.instead else [])]
        told = [_word(key, each, self.rules) for each in words]
        return tuple(each for each in told if each)

    @property
    def where(self) -> str:
        """Where it means something; "" where that needs no words."""
        return _WHERE.get(self.spec.when, "")


@cache
def _words_said() -> Mapping[tuple[str, str], tuple[str, str]]:
    """Choices of the file by key and word: the rule sets that have them, and how they are said."""
    with _WORDS.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file)
        return {(row["key"], row["word"]): (row["rules"], row["said"]) for row in rows}


def choice_words(key: str, word: str) -> str:
    """A choice as words of the trade, whichever rule set has it; as it stands where it is one.

    >>> choice_words("delay", "S"), choice_words("material", "steel")
    ('time-delayed (S)', 'steel')
    """
    return _words_said().get((key, word), ("", word))[1]


def _word(key: str, word: str, rule_set: str) -> str:
    """A choice as words of the trade; "" where the rule set does not have it."""
    of, said = _words_said().get((key, word), ("", word.replace("-", " ")))
    return said if not of or rule_set in of.split() else ""


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
                row["asked"],
                row["how"],
            )
            for row in csv.DictReader(file)
        )


@cache
def besides() -> tuple[Besides, ...]:
    """What is noted besides, on both sheets."""
    with _BESIDES.open(encoding="utf-8", newline="") as file:
        return tuple(Besides(**row) for row in csv.DictReader(file))


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
        if row.sheet not in (sheet, "both") or row.rules and not decides:
            continue
        if row.key.partition(".")[0] in _SPOKEN_OF and not _spoken_of(installation, row.key):
            continue
        for place in _places(installation, row.key.split(".")):
            if "*" in place.path and row.key.rpartition(".")[2] in _ONCE_NAMED:
                continue
            if place.applies(installation, row.devices):
                found.setdefault(place.path, _line(installation, row, place, decides))
    return tuple(found.values())


# Asked of a source that somebody has named; of one that may be there the first few are enough.
_ONCE_NAMED = frozenset(
    "lines changeover_at changeover_neutral neutral_earth_switch electrode network_protection"
    " fault_current_a residual_type residual_type_declared surge_dc surge_ac isolator_dc".split()
)


# Of these nothing is asked where the file does not speak of them.
_SPOKEN_OF = ("load_limiter", "shared_limit")


def _spoken_of(installation: Installation, key: str) -> bool:
    section = getattr(installation, key.partition(".")[0])
    return not isinstance(section, Absent) and not _assumed(installation, section)


@dataclass(frozen=True)
class _Around:
    """What a key of the walk lies in: the section (a word about it where the file has none), the
    item of a list that it is a part of, how both are called in full and by their names alone, the
    unit that holds below, and each condition met on the way with the section it speaks of.
    """

    section: Any
    start: str = ""
    words: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    unit: str = ""
    item: Any = UNKNOWN
    whens: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True)
class _Place:
    """Where a key of the walk lies in one job: its declaration, its value, what is around it."""

    path: str
    spec: Spec
    value: Any
    around: _Around

    def applies(self, installation: Installation, devices: tuple[str, ...]) -> bool:
        """Whether it is asked of this device, under these rules and in this place."""
        device = key_of(self.around.item, "device") if devices else None
        if devices and is_known(device) and device not in devices:
            return False
        return not any(
            _APART[when](installation, section)
            for when, section in self.around.whens
            if when in _APART
        )


def _places(installation: Installation, key: list[str]) -> Iterator[_Place]:
    yield from _below(installation, Installation, key, _Around(installation))


def _below(job: Installation, of: type, key: list[str], around: _Around) -> Iterator[_Place]:
    """Where a key lies below a section."""
    name, spec = key[0], specs_of(of)[key[0]]
    value, path = key_of(around.section, _attribute(name)), f"{around.start}{name}"
    here = replace(
        around,
        unit=unit_of_key(name) or around.unit,
        whens=(*around.whens, (spec.when, around.section)),
    )
    if len(key) == 1 or value == NONE:  # where there is none, nothing below it is asked
        yield _Place(path, spec, value, here)
        return
    inside = sections_inside(spec.kind)[0]
    below = replace(here, section=value, start=f"{path}.")
    if not isinstance(spec.kind, Sections):
        first = () if name in _PLAIN else (_words(name),)
        words = (*here.words, spec.meaning) if around.start else first
        names = here.names if around.start else first
        yield from _below(job, inside, key[1:], replace(below, words=words, names=names))
    elif isinstance(value, Absent) or not value:
        each = f"each {_spoken(inside)}"
        words, names = (*here.words, each), (*here.names, each)
        none = replace(below, section=UNKNOWN, start=f"{path}.*.", words=words, names=names)
        yield from _below(job, inside, key[2:], none)
    else:
        for place, each in enumerate(value, 1):
            yield from _below(job, inside, key[2:], _item(job, below, inside, each, place))


def _item(job: Installation, around: _Around, of: type, item: Any, place: int) -> _Around:
    """An item of a list: by its name, by its place, or by its kind where all of it is assumed."""
    named, start = getattr(item, "name", ""), f"{around.start}{getattr(item, 'name', '') or place}."
    if named:
        kind = _KINDS.get(of.__name__, "") if _assumed(job, item) else ""
        words: tuple[str, ...] = (kind or named,)
        names = words
    else:
        spoken = f"{_spoken(of)} {place}"
        words, names = (*around.words, spoken), (*around.names, spoken)
    return replace(around, section=item, item=item, start=start, words=words, names=names)


_KINDS = {"Circuit": "the circuit", "ChargingPoint": "the point", "Way": "the device"}


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
    said, how = _said(place, installation.rules), installation.how_known(place.path) or ""
    known = bool(said) and how != _ASSUMED
    return ToFind(
        place.path,
        row.who,
        row.station,
        _question(place, row, installation.rules),
        "" if isinstance(place.spec.kind, Word | WordList | Flag) else place.around.unit,
        place.spec,
        said if known else "",
        how if said else "",
        decides,
        row.how,
        installation.rules,
    )


def _question(place: _Place, row: LookedAt, rule_set: str) -> str:
    """What is asked: in words of the trade where the walk has them, else the meaning of the key."""
    itself = place.path.count(".") == row.key.count(".")  # else a section around it is none
    if row.asked and itself and rule_set != "nec":
        return ": ".join((*place.around.names, row.asked))
    return ": ".join(dict.fromkeys((*place.around.words, place.spec.meaning))).replace("`", "")


def _said(place: _Place, rule_set: str) -> str:
    """The value as words; "" where it is not known, left to choose or not declared."""
    value, key = place.value, place.path.rpartition(".")[2]
    if isinstance(value, Absent):
        return "none" if value == NONE else "left to choose" if value == CHOOSE else ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return with_unit(figure_in_formula(float(value)), place.around.unit)
    if isinstance(value, tuple):
        return ", ".join(_said_word(place, key, str(each), rule_set) for each in value)
    return _said_word(place, key, str(value), rule_set)


def _said_word(place: _Place, key: str, word: str, rule_set: str) -> str:
    """A choice in words of the trade; a name or free words as they stand."""
    chosen = isinstance(place.spec.kind, Word | WordList)
    return (_word(key, word, rule_set) or word) if chosen else word


def _stated(job: Installation, section: Any, name: str) -> Any:
    """What the file states of a section and nobody assumed; else `unknown`."""
    value = key_of(section, name)
    path = f"{getattr(section, 'path', '')}.{name}"
    return UNKNOWN if job.how_known(path) == _ASSUMED else value


def _other_than(name: str, *right: str | bool) -> Callable[[Installation, Any], bool]:
    def apart(job: Installation, section: Any) -> bool:
        value = _stated(job, section, name)
        return is_known(value) and value not in right

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
    "two lines or three": lambda job, _: (
        job.rules != "nec" and job.supply.phases == 1 and not _assumed(job, job.supply)
    ),
    "a stretch in the ground": _other_than("method", *IN_THE_GROUND),
    "a stretch in air": lambda job, section: _stated(job, section, "method") in IN_THE_GROUND,
    "an enclosure of class II": _other_than("double_or_reinforced_insulation", True),
    "an rcd that feeds other ways": _other_than("device", "rcd"),
    "a residual current device inside": lambda job, section: (
        _stated(job, section, "built_in_rcd") == NONE
    ),
    "type 1": lambda job, section: _stated(job, section, "type") in (2, 3),
    "lightning_protection: true": _other_than("lightning_protection", True),
    "spd": _other_than("device", "spd"),
    "an rcd or rcbo": _other_than("device", "rcd", "rcbo"),
    "a circuit-breaker or rcbo": _other_than("device", "circuit-breaker", "rcbo"),
    "a circuit-breaker": _other_than("device", "circuit-breaker"),
    "a point indoors": _other_than("location", "indoors"),
    "an armoured cable": _other_than("construction", "armoured"),
    "an enclosure of metal": _other_than("material", "steel", "aluminium"),
    "a measure is there": lambda job, section: _stated(job, section, "measure") == NONE,
    "meter_box: true": _other_than("meter_box", True),
    "under_stairs: true": _other_than("under_stairs", True),
    "mounting: free-standing": _other_than("mounting", "free-standing"),
    "a board outdoors": lambda job, _: _other_than("location", "outdoors")(job, job.board.place),
    "a point of three lines": lambda job, _: all(
        len(point.lines) < 3 for point in job.charging_points
    ),
    "changeover: true": _other_than("changeover", True),
    "shared_mains: true": _other_than("shared_mains", True),
    "works_without_network: true": _other_than("works_without_network", True),
    "photovoltaic": _other_than("kind", "photovoltaic"),
    "board.place.building: detached": lambda job, _: _other_than("building", "detached")(
        job, job.board.place
    ),
}
# The same as words, while it is not known whether it applies.
_WHERE = {
    "three phases": "on three phases",
    "two lines or three": "on three phases",
    "a point indoors": "at a point indoors",
    "an armoured cable": "on an armoured cable",
    "an enclosure of metal": "on an enclosure of metal",
    "a measure is there": "where there is such a measure",
    "board.place.building: detached": "at a board in another building",
    "meter_box: true": "where it hangs in a meter box",
    "under_stairs: true": "under stairs",
    "mounting: free-standing": "of a pillar",
    "a board outdoors": "of a board outdoors",
    "a point of three lines": "of points of three lines",
    "changeover: true": "where there is a changeover",
    "shared_mains: true": "where mains of the building are shared",
    "works_without_network: true": "of a source that works without the network",
    "photovoltaic": "of photovoltaic modules",
}
