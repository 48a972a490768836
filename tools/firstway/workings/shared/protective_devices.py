"""Workings: a protective device by the name the graph gives it."""

from dataclasses import replace

from firstway.model.installation import (
    Amount,
    Installation,
    ResidualCurrentDevice,
    ServiceDevice,
    Trade,
    Way,
)
from firstway.model.values import is_known
from firstway.wiring.faults import PROTECTIVE_PARTS
from firstway.wiring.graph import Part, Wiring
from firstway.wiring.upstream import device_at
from firstway.workings.shared.opening_times import Device, DeviceKind

_KINDS: dict[str, DeviceKind] = {
    "fuse": "fuse",
    "switch-fuse": "fuse",
    "circuit-breaker": "circuit-breaker",
    "rcbo": "rcbo",
    "rcd": "rcd",
}

AHEAD_WORDS = {
    "service": "the service device",
    "upstream-rcd": "the residual current device at the origin",
}


def device_kind_words(wiring: Wiring, name: str) -> str:
    """A protective device as the trade speaks of it; one of the board by its name."""
    part = wiring.part(name)
    if part is None or part.place != "beyond":
        return name
    if name in AHEAD_WORDS:
        return AHEAD_WORDS[name]
    kind = {"rcd": "residual current device", "existing-way": "way"}.get(part.kind, part.kind)
    if part.path.startswith("feed") and part.kind != "existing-way":
        return f"the {kind} of the feed"
    return f"the {kind} of {name.rpartition('-')[0]}"


def device_of(installation: Installation, wiring: Wiring, name: str) -> Device | None:
    """The protective device a part of the graph is, in the board or ahead of it; None for a part
    that opens nothing in a fault.
    """
    part = wiring.part(name)
    if part is None or part.kind not in PROTECTIVE_PARTS:
        return None
    way = next((way for way in installation.board.ways if way.name == name), None)
    found = of_way(way) if way is not None else _ahead(installation, part)
    return None if found is None else replace(found, words=device_kind_words(wiring, name))


def _ahead(installation: Installation, part: Part) -> Device:
    """A device ahead of the board; of one the file says nothing about nothing is known."""
    section = device_at(installation, part)
    if isinstance(section, ResidualCurrentDevice):
        return of_residual(part.name, section)
    if isinstance(section, ServiceDevice):
        return of_service(part.name, section)
    return Device(part.name, _KINDS.get(part.kind, "circuit-breaker"), part.path)


def of_way(way: Way) -> Device | None:
    """A device of the board; None for one that opens nothing in a fault."""
    kind = _KINDS.get(str(way.device))
    return (
        None
        if kind is None
        else Device(
            way.name,
            kind,
            way.path,
            _word(way.standard),
            _number(way.rating_a),
            _word(way.curve),
            _number(way.rated_residual_current_ma),
            _word(way.delay),
            _number(way.breaking_capacity_ka),
        )
    )


def of_service(name: str, device: ServiceDevice) -> Device:
    """A fuse or a breaker ahead of the board; one of which that is not told is not known."""
    if not is_known(device.device):
        return Device(name, "circuit-breaker", device.path)
    return Device(
        name,
        _KINDS.get(_word(device.device), "fuse"),
        device.path,
        _word(device.standard),
        _number(device.rating_a),
        _word(device.curve),
        breaking_ka=_number(device.breaking_capacity_ka),
    )


def of_residual(name: str, device: ResidualCurrentDevice) -> Device:
    """A residual current device ahead of the board."""
    return Device(
        name,
        "rcd",
        device.path,
        _word(device.standard),
        residual_ma=_number(device.rated_residual_current_ma),
        delay=_word(device.delay),
    )


def _word(value: Trade) -> str:
    return str(value) if is_known(value) else ""


def _number(value: Amount) -> float | None:
    return float(value) if is_known(value) else None
