"""Checks: every device of an installation that has a standard of its own, from the service to the
ways of the board.
"""

from collections.abc import Iterator

from firstway.frozen import dataclass
from firstway.model.installation import (
    Board,
    ChargingPoint,
    Installation,
    MainSwitch,
    ResidualCurrentDevice,
    ServiceDevice,
    Trade,
    Way,
)
from firstway.model.values import is_known


@dataclass(frozen=True)
class StandardDevice:
    """`of` and `place` as a finding names them; `words` as a sentence does. Kind and standard are
    read when somebody asks: what a rule reads in a turn is what that turn rests on.
    """

    of: str
    place: str
    words: str
    section: ServiceDevice | ResidualCurrentDevice | MainSwitch | Way

    @property
    def device(self) -> Trade:
        if isinstance(self.section, ResidualCurrentDevice):
            return "rcd"
        # A switch-fuse is known by its fuse: the switch beside it bears the same current.
        return "fuse" if self.section.device == "switch-fuse" else self.section.device

    @property
    def standard(self) -> Trade:
        return self.section.standard


def overcurrent_devices_ahead(job: Installation) -> Iterator[tuple[str, str, ServiceDevice]]:
    """The service device and those the feed runs through: of, words, device."""
    if is_known(job.supply.service_device):
        yield "supply", "the service device", job.supply.service_device
    if is_known(job.feed):
        for item in job.feed.through:
            if not isinstance(item, str):
                yield "feed", "the device of the feed", item


def devices_of(job: Installation) -> Iterator[StandardDevice]:
    """Every device whose kind the file tells, outward from the service."""
    for of, words, item in overcurrent_devices_ahead(job):
        yield StandardDevice(of, of, words, item)
    if is_known(job.supply.upstream_rcd):
        yield StandardDevice(
            "supply",
            "supply",
            "the residual current device at the origin",
            job.supply.upstream_rcd,
        )
    for board in job.existing_boards:
        for rcd in board.rcds:
            yield StandardDevice(
                board.name, board.name, f"a residual current device of {board.name}", rcd
            )
    if is_known(job.board.main_switch):
        switch = job.board.main_switch
        yield StandardDevice(switch.name, switch.name, switch.name, switch)
    for way in job.board.ways:
        yield StandardDevice(way.name, way.name, way.name, way)


def devices_of_board(board: Board) -> list[MainSwitch | Way]:
    """The main switch where it is told, and every way, blank ones too."""
    switch = board.main_switch
    return [*([switch] if is_known(switch) else []), *board.ways]


OPEN_ON_RESIDUAL = ("rcbo", "rcd")
"""Devices of a board that open on residual current."""


def circuits_behind(job: Installation, way: Way) -> tuple[str, ...]:
    """The circuits that a way of the board stands ahead of."""
    return tuple(
        circuit.name
        for circuit in job.circuits
        if way in chain_of(job, job.way_feeding(circuit.name))
    )


def own_residual(job: Installation, way: Way) -> Way | None:
    """The residual current device of the board that guards the circuit of a way and no other:
    the way itself, or one that feeds it; None without one.
    """
    chain = (each for each in chain_of(job, way) if each.device in OPEN_ON_RESIDUAL)
    return next((each for each in chain if len(circuits_behind(job, each)) == 1), None)


def shared_residual(job: Installation, way: Way) -> Way | None:
    """The residual current device of the board that the circuit of a way shares with others."""
    chain = (each for each in chain_of(job, way) if each.device in OPEN_ON_RESIDUAL)
    return next((each for each in chain if len(circuits_behind(job, each)) > 1), None)


def declared_inside(point: ChargingPoint) -> bool:
    """Whether the maker of a point declares the residual current device inside it to a standard
    for such devices, with its rated residual current and the poles it opens.
    """
    return is_known(point.built_in_rcd) and all(
        is_known(each)
        for each in (
            point.built_in_rcd_standard,
            point.built_in_rcd_ma,
            point.built_in_rcd_poles,
        )
    )


def chain_of(job: Installation, way: Way) -> tuple[Way, ...]:
    """The way and those it is fed from, in the order from the circuit to the bar."""
    ways = {item.name: item for item in job.board.ways}
    found = [way]
    while is_known(found[-1].fed_from) and found[-1].fed_from in ways and len(found) <= len(ways):
        found.append(ways[str(found[-1].fed_from)])
    return tuple(found)
