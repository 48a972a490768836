"""Choosing: the keys of an installation that a designer may choose, and the values to try of each,
as the keys are declared (`chosen_by` and `tried` of `model/values.py`).

Never tried: what the site, a maker, a measurement or the edition settles, how a value is known, a
value the file does not know (it is to be found out), and a word that stands for a value: so no
measure is ever taken away.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from firstway.checks.rule import Finding
from firstway.choosing.moving import laid_leads_m
from firstway.files.plain_values import unit_of_key
from firstway.files.specs import Flag, Number, Spec, Word, attribute_of, specs_of
from firstway.frozen import dataclass
from firstway.model.installation import (
    Busbar,
    Cable,
    Enclosure,
    Installation,
    MainSwitch,
    ServiceDevice,
    Way,
)
from firstway.model.values import CHOOSE, NONE, Placed, is_known, key_of
from firstway.tables.looking_up import flat_twin_pair_mm2, standard_sizes_mm2
from firstway.tables.looking_up_nec import sizes_awg
from firstway.tables.reading import Gap, standard_words, table
from firstway.workings.shared.plan_of_board import PlanOfBoard

Tries = tuple[tuple[str, str], ...]
"""What is tried at once: keys by their path, each with its value as the file would say it."""
ON_THE_BAR = "place:"
"""Begins the name of a device's place on the bar, as in a study; its leads are laid there."""


@dataclass(frozen=True)
class DesignersKey:
    """A key that a designer may choose, and the section it stands in."""

    path: str
    spec: Spec
    section: Placed

    @property
    def name(self) -> str:
        """The key without the sections above it."""
        return self.path.rpartition(".")[2]

    @property
    def present(self) -> Any:
        """Its value in the file, or a word about it."""
        of: type = type(self.section)
        return getattr(self.section, attribute_of(of, self.name))


def designers_keys(installation: Installation) -> tuple[DesignersKey, ...]:
    """Every key of this installation that may be tried, in the order of the file."""
    return tuple(_keys_below(installation))


def _keys_below(section: Placed) -> Iterator[DesignersKey]:
    of: type = type(section)
    for name, spec in specs_of(of).items():
        value = getattr(section, attribute_of(of, name))
        below = [
            each
            for each in (value if isinstance(value, tuple) else (value,))
            if isinstance(each, Placed)
        ]
        if below and spec.chosen_by in ("", "designer"):
            for each in below:
                yield from _keys_below(each)
        elif _may_be_tried(spec) and (is_known(value) or value in (NONE, CHOOSE)):
            yield DesignersKey(f"{section.path}.{name}".lstrip("."), spec, section)


def _may_be_tried(spec: Spec) -> bool:
    if spec.chosen_by != "designer" or spec.tried == "by-hand":
        return False
    return spec.tried != "choices" or isinstance(spec.kind, Word | Flag)


def tries_of(
    installation: Installation, key: DesignersKey, limits: Iterable[Finding], plan: PlanOfBoard
) -> tuple[Tries, ...]:
    """The values of a key to try, its present one left out. A size of a cable whose core protects
    is tried together with that core, as the cable is made.

    `limits` are the findings whose limits may serve as values; `plan` is where leads are laid.
    """
    kind = key.spec.kind
    if isinstance(kind, Word | Flag):
        values = kind.choices if isinstance(kind, Word) else ("true", "false")
    else:
        asked = _Asked(installation, key, tuple(limits), plan)
        values = tuple(map(_written, _VALUES[key.spec.tried](asked)))
    now = _written(key.present) if is_known(key.present) else ""
    alone: tuple[Tries, ...] = tuple(
        ((key.path, value),) for value in dict.fromkeys(values) if value != now
    )
    return _as_made(key, alone)


def places_to_try(installation: Installation) -> tuple[Tries, ...]:
    """Each surge protective device at each place of the bar, where it stands too: there its leads
    are laid.
    """
    ways = installation.board.ways
    return tuple(
        ((f"{ON_THE_BAR}{way.name}", str(place)),)
        for way in installation.surge_ways
        for place in range(1, len(ways) + 1)
    )


def of_another_thing(section: Placed, name: str) -> Iterator[str]:
    """The paths of what its maker states of a thing that is another one once this key of it has
    another value; none where the thing stays the same.
    """
    of: type = type(section)
    if of not in _THINGS or name in _THINGS[of]:
        return
    for each, spec in specs_of(of).items():
        value = getattr(section, attribute_of(of, each))
        declared = spec.chosen_by == "maker" or spec.tried == "limit"
        if each != name and declared and is_known(value) and value != ():
            yield f"{section.path}.{each}"


# Things that are bought, each with the keys that can change while it stays the same.
_THINGS: Mapping[type, frozenset[str]] = MappingProxyType(
    {
        Way: frozenset({"line", "fed_from"}),
        MainSwitch: frozenset(),
        ServiceDevice: frozenset(),
        Busbar: frozenset(),
        Enclosure: frozenset(specs_of(Enclosure)) - {"material"},
    }
)


@dataclass(frozen=True)
class _Asked:
    installation: Installation
    key: DesignersKey
    limits: tuple[Finding, ...]
    plan: PlanOfBoard


def _written(value: Any) -> str:
    """A value as the file would say it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:.12g}" if isinstance(value, int | float) else str(value)


# Values by where they come from


def _sizes(asked: _Asked) -> Iterable[float]:
    section, name = asked.key.section, asked.key.name
    made_as = section.construction if isinstance(section, Cable) else "single-core"
    sizes = [read.value for read in standard_sizes_mm2(str(made_as))]
    if name != "csa_mm2":
        pairs = (flat_twin_pair_mm2(size) for size in sizes)
        own = standard_sizes_mm2("single-core")
        sizes = [*sizes, *(read.value for read in own)]
        if made_as == "flat-twin-and-earth":
            sizes += [pair.value for pair in pairs if not isinstance(pair, Gap)]
    return sorted(set(sizes))


def _gauges(asked: _Asked) -> Iterable[Any]:
    return sizes_awg()


def _cores(asked: _Asked) -> Iterable[float]:
    """From as many as the part has live conductors, with one more for a core that protects."""
    live = _live_conductors(asked.installation, asked.key.section.path)
    least = live + (key_of(asked.key.section, "protective") == "core")
    return range(least, max(least, 5) + 1)


def _live_conductors(installation: Installation, path: str) -> int:
    part = path.split(".")
    if part[0] == "circuits":
        circuit = installation.circuit(part[1])
        return len(circuit.lines) + (circuit.neutral is not False)
    return 4 if installation.supply.phases == 3 else 2


def _ratings(asked: _Asked) -> Iterable[float]:
    """Ratings of the standard of the device; of a bar, those of every device beside it."""
    own = key_of(asked.key.section, "standard") if hasattr(asked.key.section, "standard") else None
    standards = [own] if own is not None else _standards(asked.installation)
    return _ratings_of(standards)


def _standards(installation: Installation) -> list[Any]:
    board = installation.board
    devices = (board.main_switch, *board.ways)
    return [key_of(each, "standard") for each in devices]


def _ratings_of(standards: Iterable[Any]) -> list[float]:
    known = {standard_words(str(each))[0] for each in standards if is_known(each)}
    return sorted(
        {
            row.number("rating_a")
            for standard in known
            for row in table("standard_ratings").where(standard=standard)
        }
    )


def _settings(asked: _Asked) -> Iterable[float]:
    """Ratings of the devices beside it below what is set now, and the limit in whole amperes: a
    thing is never set higher than its file says it may be.
    """
    most = float(asked.key.present) if is_known(asked.key.present) else math.inf
    kind = asked.key.spec.kind
    least = kind.at_least or 0.0 if isinstance(kind, Number) else 0.0
    named = (math.floor(each) for each in _numbers(asked))
    values = {*_ratings_of(_standards(asked.installation)), *named}
    return sorted(each for each in values if least <= each < most)


def _residual_currents(asked: _Asked) -> Iterable[float]:
    rows = table("electrode_limit").rows
    return sorted({row.number("rated_residual_current_ma") for row in rows})


def _counts(asked: _Asked) -> Iterable[float]:
    kind = asked.key.spec.kind
    assert isinstance(kind, Number) and kind.at_least is not None and kind.at_most is not None
    return range(int(kind.at_least), int(kind.at_most) + 1)


def _rods(asked: _Asked) -> Iterable[float]:
    """One, and as many as the table of rods in a line has."""
    return (1, *(row.number("rods") for row in table("rods_in_line").rows))


def _holes(asked: _Asked) -> Iterable[float]:
    return sorted({row.number("thread_mm") for row in table("gland_size").rows})


def _limits(asked: _Asked) -> Iterable[float]:
    """The limit that is named, in three digits, rounded to either side."""
    for each in _numbers(asked):
        step = 10.0 ** (math.floor(math.log10(each)) - 2)
        yield from (round(side(each / step) * step, 9) for side in (math.floor, math.ceil))


def _numbers(asked: _Asked) -> Iterator[float]:
    unit = unit_of_key(asked.key.name)
    for each in asked.limits:
        if isinstance(each.limit, int | float) and each.unit == unit and each.limit > 0:
            yield float(each.limit)


def _feeding(asked: _Asked) -> Iterable[str]:
    """The bar, and every other device on it that is no surge protective device."""
    ways = asked.installation.board.ways
    own = key_of(asked.key.section, "name")
    others = (way.name for way in ways if way.device not in ("spd", "blank") and way.name != own)
    return ("bar", *others)


def _laid(asked: _Asked) -> Iterable[float]:
    """As long as the lead is laid where its device stands, in whole cm, rounded up."""
    _, _, device, _, side, _ = asked.key.path.split(".")
    if asked.plan.refused:
        return ()
    laid = laid_leads_m(asked.plan, asked.installation.way(device)).get(side)
    return () if laid is None else (math.ceil(laid * 100) / 100,)


_VALUES: Mapping[str, Callable[[_Asked], Iterable[Any]]] = MappingProxyType(
    {
        "sizes": _sizes,
        "gauges": _gauges,
        "cores": _cores,
        "ratings": _ratings,
        "settings": _settings,
        "residual-currents": _residual_currents,
        "counts": _counts,
        "rods": _rods,
        "limit": _limits,
        "laid": _laid,
        "feeding": _feeding,
        "holes": _holes,
    }
)


def _as_made(key: DesignersKey, alone: tuple[Tries, ...]) -> tuple[Tries, ...]:
    """Sizes of a cable whose core protects as cables are made: the core goes with the size, and has
    no other for a size that stays.
    """
    cable = key.section
    if not isinstance(cable, Cable) or cable.protective != "core" or not is_known(cable.cpc_mm2):
        return alone
    if key.name == "cpc_mm2":
        core = _core_of(cable, cable.csa_mm2) if is_known(cable.csa_mm2) else None
        return tuple(each for each in alone if each[0][1] == core)
    if key.name != "csa_mm2":
        return alone
    cores = ((each[0], _core_of(cable, float(each[0][1]))) for each in alone)
    return tuple((size, (f"{cable.path}.cpc_mm2", core)) for size, core in cores if core)


def _core_of(cable: Cable, size_mm2: float) -> str | None:
    """The protective core that a cable of that size is made with; None where no table knows."""
    if cable.construction != "flat-twin-and-earth":
        return _written(size_mm2)
    pair = flat_twin_pair_mm2(size_mm2)
    return None if isinstance(pair, Gap) else _written(pair.value)
