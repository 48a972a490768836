"""Checks: questions several rules ask of an installation."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.model.installation import Circuit, Installation, ResidualCurrentDevice, Way
from firstway.model.values import NONE, UNKNOWN, is_known


@dataclass(frozen=True)
class ResidualAhead:
    """A residual current device ahead of a place: its name, type and delay as the file gives them."""

    name: str
    residual_type: object
    delay: object
    rated_residual_current_ma: object


def residual_devices_ahead_of_board(installation: Installation) -> tuple[ResidualAhead, ...]:
    """Residual current devices between the origin and the board's incoming terminals."""
    found: list[ResidualAhead] = []
    upstream = installation.supply.upstream_rcd
    if is_known(upstream):
        found.append(_ahead("the device at the origin", upstream))
    if is_known(installation.feed):
        for item in installation.feed.through:
            if isinstance(item, str):
                found += _of_existing_way(installation, item)
    return tuple(found)


def _of_existing_way(installation: Installation, reference: str) -> list[ResidualAhead]:
    board_name, _, way = reference.partition(".")
    board = next((board for board in installation.existing_boards if board.name == board_name), None)
    if board is None:
        return []
    return [_ahead(reference, device) for device in board.rcds if is_known(device.covers) and way in device.covers]


def _ahead(name: str, device: ResidualCurrentDevice) -> ResidualAhead:
    return ResidualAhead(name, device.residual_type, device.delay, device.rated_residual_current_ma)


def residual_devices_ahead_of(installation: Installation, way: Way) -> tuple[ResidualAhead, ...]:
    """Residual current devices between the origin and a way of the board, those of the board included."""
    found = list(residual_devices_ahead_of_board(installation))
    ways = {item.name: item for item in installation.board.ways}
    at, seen = way, set()
    while is_known(at.fed_from) and at.fed_from in ways and at.name not in seen:
        seen.add(at.name)
        at = ways[str(at.fed_from)]
        if at.device in ("rcbo", "rcd"):
            found.append(ResidualAhead(at.name, at.residual_type, at.delay, at.rated_residual_current_ma))
    return tuple(found)


def cannot_tell_what_stands_ahead(installation: Installation) -> str:
    """What to find out before one may say that no residual current device stands ahead of the board; "" when it is told."""
    if not is_known(installation.feed):
        return "what the board is fed through"
    if installation.supply.upstream_rcd == UNKNOWN:
        return "whether a residual current device stands at the origin; look, and write `upstream_rcd: none` if there is none"
    through = {item.partition(".")[0] for item in installation.feed.through if isinstance(item, str)}
    for board in installation.existing_boards:
        if board.name in through and any(not is_known(device.covers) for device in board.rcds):
            return f"which ways of the board '{board.name}' its residual current device covers"
    return ""


def says_no_residual_device(installation: Installation, circuit: Circuit) -> bool:
    """Whether the file itself says that no residual current device stands on a circuit: in the board, ahead of it, or in a point."""
    way = installation.way_feeding(circuit.name)
    if way.device in ("rcbo", "rcd") or residual_devices_ahead_of(installation, way) or cannot_tell_what_stands_ahead(installation):
        return False
    return all(point.built_in_rcd == NONE for point in installation.points_of(circuit))


def surge_ways(installation: Installation) -> tuple[Way, ...]:
    return tuple(way for way in installation.board.ways if way.device == "spd")


def may_charge_outdoors(installation: Installation, point_name: str) -> bool | None:
    """True when the point is outdoors or its lead can reach outdoors; None when that is not known."""
    location = installation.point(point_name).location
    return None if not is_known(location) else location == "outdoors"
