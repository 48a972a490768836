"""Wiring: what the metal of a conductor is, as the file gives it: size, length, operating limit,
and what is left open.
"""

from firstway.calculations.adding import added
from firstway.frozen import dataclass
from firstway.model.installation import Cable, Installation, Stretch
from firstway.model.values import Absent, is_known, path_of
from firstway.tables.cable_columns import cable_columns
from firstway.tables.reading import Gap, Read, assumed_loss

NEC_OPERATING_C = 75.0
"""Operating temperature in C counted under rule set nec: NFPA 70 chapter 9, table 8 is printed at
75 C, and 110.14(C) keeps terminals of small boards there.
"""


@dataclass(frozen=True)
class Metal:
    """`size` is the size in words; `path` the section it stands in; `missing` what the file leaves
    open of it.
    """

    csa_mm2: float | None = None
    size: str = ""
    length_m: float | None = None
    operating_c: float | None = None
    path: str = ""
    missing: tuple[str, ...] = ()


def of_cable(installation: Installation, owner: str, function: str, armour: bool = False) -> Metal:
    """A core of the cable of `owner` (`feed`, `supply`, or the name of a circuit), as long as its
    route.
    """
    cable, route = cable_and_route(installation, owner)
    if isinstance(cable, Absent):
        return Metal(path=cable.path, missing=(cable.path,))
    length = added(float(part.length_m) for part in route) if route else None
    missing = () if route else (f"{cable.path.rpartition('.')[0]}.route",)
    warm = operating_c(installation, cable)
    if armour:
        keys = tuple(
            value.path for value in (cable.cores, cable.csa_mm2) if isinstance(value, Absent)
        )
        return Metal(None, "", length, warm, cable.path, (*keys, *missing))
    size, words, keys = (
        _size(cable, "cpc_mm2", "egc_awg")
        if function == "PE"
        else _size(cable, "csa_mm2", "size_awg")
    )
    return Metal(size, words, length, warm, cable.path, (*keys, *missing))


def cable_and_route(
    installation: Installation, owner: str
) -> tuple[Cable | Absent, tuple[Stretch, ...]]:
    """Cable and route of the feed, the supply's tails or a circuit."""
    section = (
        getattr(installation, owner) if owner in ("feed", "supply") else installation.circuit(owner)
    )
    return (section, ()) if isinstance(section, Absent) else (section.cable, section.route)


def metal_inside(installation: Installation, owner: str) -> Metal:
    """A wire between two devices of one board.

    Common practice: it has the size of what it serves.
    """
    cable = cable_and_route(installation, owner)[0]
    if isinstance(cable, Absent):
        return Metal(path=cable.path, missing=(cable.path,))
    size, words, keys = _size(cable, "csa_mm2", "size_awg")
    return Metal(size, words, None, inside_c(installation), cable.path, keys)


def of_lead(installation: Installation, way: str, which: str) -> Metal:
    """A lead of a surge protective device, as stated. `which`: line, neutral or earth."""
    return stated_metal(installation, installation.way(way).leads, which)


def stated_metal(installation: Installation, section: object, key: str) -> Metal:
    """A wire whose length and size stand in a section of their own."""
    path = path_of(section, key)
    lead = section if isinstance(section, Absent) else getattr(section, key)
    if isinstance(lead, Absent):
        return Metal(operating_c=inside_c(installation), path=path, missing=(path,))
    size, words, keys = _size(lead, "csa_mm2", "size_awg")
    length = lead.length_m
    missing = (length.path,) if isinstance(length, Absent) else ()
    return Metal(size, words, metal_number(length), inside_c(installation), path, (*keys, *missing))


def of_size(
    installation: Installation, section: object, key: str, length_m: float | None = None
) -> Metal:
    """A wire of which one key gives the size in mm2; its length is known elsewhere or
    not at all.
    """
    value = section if isinstance(section, Absent) else getattr(section, key)
    size = metal_number(value)
    return Metal(
        size,
        "" if size is None else f"{size:g} mm²",
        length_m,
        inside_c(installation),
        path_of(section, key),
        (value.path,) if isinstance(value, Absent) else (),
    )


def operating_c(installation: Installation, cable: Cable) -> float | None:
    """Highest temperature of a cable's conductors in operation, in C: the lower of its insulation's
    and its terminals'.
    """
    if installation.rules == "nec":
        return NEC_OPERATING_C
    insulation = str(cable.insulation) if is_known(cable.insulation) else None
    return _value(cable_columns(insulation, metal_number(cable.terminals_c)).limit)


def inside_c(installation: Installation) -> float | None:
    """Operating temperature in C of the wires inside the board; None where the table has a gap."""
    return NEC_OPERATING_C if installation.rules == "nec" else bare_wire_c()


def bare_wire_c() -> float | None:
    """Highest temperature counted for a wire of which nothing else is known, in C."""
    return _value(assumed_loss("wire-c"))


def metal_number(value: object) -> float | None:
    """A number of the file; None for a word about one."""
    return float(value) if isinstance(value, (int, float)) else None


def _size(section: object, mm2: str, awg: str) -> tuple[float | None, str, tuple[str, ...]]:
    """Size in mm2, in words (in AWG where the file gives it so and not in mm2), and the key that is
    not known.
    """
    size, gauge = metal_number(getattr(section, mm2)), getattr(section, awg)
    if size is not None:
        return size, f"{size:g} mm²", ()
    return (
        (None, f"{gauge} AWG", ())
        if isinstance(gauge, str)
        else (None, "", (path_of(section, mm2),))
    )


def _value(found: Read | Gap) -> float | None:
    return None if isinstance(found, Gap) else found.value
