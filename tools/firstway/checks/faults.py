"""Checks: the parts of a job a fault may happen on, and the words for what stands ahead of them."""

from firstway.checks.rule import Case
from firstway.frozen import dataclass
from firstway.model.installation import (
    Board,
    ChargingPoint,
    Circuit,
    ExistingBoard,
    Feed,
    Installation,
    Supply,
)
from firstway.model.values import Absent, is_known, key_of
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.protective_devices import device_kind_words

_NETWORK = "service.supply."
METAL_OF_A_CABLE = ("construction", "protective", "armour_earthed")


@dataclass(frozen=True)
class FaultPart:
    """A part of the job with its places: the tails, the feed, the board, a surge protective device,
    a circuit, a point.
    """

    of: str
    words: str
    places: tuple[FaultPlace, ...]


def fault_parts(case: Case) -> tuple[FaultPart, ...]:
    """Every place of the sweep by the part it belongs to, from the supply to the vehicle."""
    found: dict[str, list[FaultPlace]] = {}
    for place in case.sweep.every:
        if place.id.startswith(_NETWORK):
            continue  # ahead of the service device the network's own protection opens
        found.setdefault(_owner(case, place), []).append(place)
    return tuple(
        FaultPart(of, _part_words(case.installation, of), tuple(places))
        for of, places in sorted(found.items(), key=lambda each: _order(case, each[0]))
    )


def read_metal(installation: Installation, of: str) -> None:
    """Read what the file says of the metal of a part, its case and what brings it to earth: whether
    there is a place to judge at all rests on it.
    """
    circuit = next(
        (each for each in installation.circuits if of in _names(installation, each)), None
    )
    names = _names(installation, circuit) if circuit and circuit.name == of else (of,)
    boards = [each for each in installation.existing_boards if each.name == of]
    for board in boards:
        board.main_bonding_mm2, board.protective_conductor
    points = [each for each in installation.charging_points if each.name in names]
    sections: list[ExistingBoard | ChargingPoint | Board] = [
        *boards,
        *points,
        *([installation.board] if of == "board" else []),
    ]
    for section in sections:
        if is_known(section.enclosure):
            for name in type(section.enclosure).__dataclass_fields__:
                getattr(section.enclosure, name)
    feed, supply = installation.feed, installation.supply
    fed: Feed | Supply | Circuit | Absent | None = (
        feed if of == "feed" else supply if of == "supply" else circuit
    )
    if fed is not None and not isinstance(fed, Absent) and is_known(fed.cable):
        for name in METAL_OF_A_CABLE:
            getattr(fed.cable, name)


def _names(installation: Installation, circuit: Circuit) -> tuple[str, ...]:
    """A circuit and the points on it."""
    return (circuit.name, *(point.name for point in installation.points_of(circuit)))


def _owner(case: Case, place: FaultPlace) -> str:
    circuit = case.sweep.final_circuit(place)
    if circuit is not None:
        apart = {
            *(point.name for point in case.installation.points_of(circuit)),
            *(electrode.name for electrode in case.installation.electrodes),
        }
        return place.of if place.of in apart else circuit.name
    surge = {way.name for way in case.installation.board.ways if way.device == "spd"}
    ways = {way.name for way in case.installation.board.ways}
    return place.of if place.of in surge else "board" if place.of in ways else place.of


def _order(case: Case, of: str) -> tuple[int, str]:
    installation = case.installation
    groups = (
        ("supply",),
        tuple(board.name for board in installation.existing_boards),
        ("feed",),
        ("board",),
        tuple(way.name for way in installation.board.ways),
        tuple(circuit.name for circuit in installation.circuits),
        tuple(point.name for point in installation.charging_points),
    )
    return next((place for place, names in enumerate(groups) if of in names), len(groups)), of


def _part_words(installation: Installation, of: str) -> str:
    ways = {way.name for way in installation.board.ways}
    points = {point.name for point in installation.charging_points}
    electrodes = {item.name for item in installation.electrodes}
    if of in {board.name for board in installation.existing_boards}:
        return f"the board {of}"
    fixed = {"supply": "the supply's tails", "feed": "the feed", "board": "the board"}
    return fixed.get(of) or (
        f"the surge protective device {of}"
        if of in ways
        else (
            f"the charging point {of}"
            if of in points
            else f"the electrode {of}"
            if of in electrodes
            else f"the circuit {of}"
        )
    )


def of_an_existing_board(case: Case, place: FaultPlace) -> bool:
    return place.of in {board.name for board in case.installation.existing_boards}


def insulated(case: Case, place: FaultPlace) -> bool:
    """Whether double or reinforced insulation, as the file states it, keeps a line off metal at
    this place (BS 7671 412, 531.3.5.3.1).

    Not at a surge protective device that joins line to earth itself, and not inside a case of
    metal.
    """
    installation = case.installation
    if any(
        way.name == place.of and way.device == "spd" and way.connection != "CT2"
        for way in installation.board.ways
    ):
        return False
    if place.of == "supply":
        return installation.supply.double_or_reinforced_insulation is True
    if place.of == "feed":
        return (
            "armour" not in place.id.split(".")  # an end of it lies in a box
            and is_known(installation.feed)
            and installation.feed.double_or_reinforced_insulation is True
        )
    for board in installation.existing_boards:
        if board.name == place.of:
            case_of_metal = key_of(board.enclosure, "material") != "plastic"
            return board.double_or_reinforced_insulation is True and not case_of_metal
    enclosure = installation.board.enclosure
    if case.sweep.final_circuit(place) is not None or not is_known(enclosure):
        return False
    return (
        enclosure.double_or_reinforced_insulation is True
        and enclosure.material == "plastic"
        and enclosure.inner_metal_earthed is not True
        and enclosure.metal_through_wall is not True
    )


def device_words(case: Case, name: str) -> str:
    """A protective device as a finding names it."""
    return device_kind_words(case.wiring, name)


def listed(words: list[str], last: str = "and") -> str:
    """`a, b and c`.

    >>> listed(["F1"]), listed(["F1", "F2", "F3"], "nor")
    ('F1', 'F1, F2 nor F3')
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def ampere_words(ampere: float) -> str:
    """A current of a fault, with as many digits as it deserves.

    >>> ampere_words(0.1944), ampere_words(3.114), ampere_words(776.2), ampere_words(2954.0)
    ('0.19 A', '3.1 A', '776 A', '2950 A')
    """
    digits = 2 if ampere < 10 else 3
    rounded = float(f"{ampere:.{digits}g}")
    return f"{rounded:g} A" if ampere < 10 else f"{rounded:.0f} A"
