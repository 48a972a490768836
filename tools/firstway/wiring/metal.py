"""Wiring: what the metal of a conductor is, as the file gives it: size, length, operating limit, and what is left open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterable

from firstway.model.installation import Cable, Installation, Lead, Stretch
from firstway.model.values import is_known
from firstway.tables.cable_columns import cable_columns
from firstway.tables.found import Gap, Read
from firstway.tables.looking_up_more import assumed_loss

NEC_OPERATING_C = 75.0  # NFPA 70 chapter 9, table 8 is printed at 75 C; 110.14(C) keeps terminals of small boards there


@dataclass(frozen=True)
class Metal:
    """`size` is the size in words; `path` the section it stands in; `missing` what the file leaves open of it."""

    csa_mm2: float | None = None
    size: str = ""
    length_m: float | None = None
    operating_c: float | None = None
    path: str = ""
    missing: tuple[str, ...] = ()


def of_cable(installation: Installation, owner: str, function: str, armour: bool = False) -> Metal:
    """A core of the cable of `owner` (`feed`, `supply`, `circuits.NAME`), as long as its route."""
    cable, route = cable_and_route(installation, owner)
    path = f"{owner}.cable"
    if cable is None:
        return Metal(path=path, missing=(path,))
    length = sum(float(part.length_m) for part in route) if route else None  # type: ignore[arg-type]
    missing = () if route else (f"{owner}.route",)
    if armour:
        open_keys = tuple(f"{path}.{key}" for key in ("cores", "csa_mm2") if not is_known(getattr(cable, key)))
        return Metal(None, "", length, operating_c(installation, cable), path, (*open_keys, *missing))
    keys = ("cpc_mm2", "egc_awg") if function == "PE" else ("csa_mm2", "size_awg")
    size, words, open_keys = _size(path, cable, *keys)
    return Metal(size, words, length, operating_c(installation, cable), path, (*open_keys, *missing))


def cable_and_route(installation: Installation, owner: str) -> tuple[Cable | None, tuple[Stretch, ...]]:
    """Cable and route of the feed, the supply's tails or a circuit; no cable where the file tells of none."""
    name = owner.partition(".")[2]
    section = installation.circuit(name) if name else getattr(installation, owner)
    if not is_known(section):
        return None, ()
    return (section.cable if is_known(section.cable) else None), section.route


def inside(installation: Installation, owner: str) -> Metal:
    """A wire between two devices of one board. Common practice: it has the size of what it serves."""
    cable, path = cable_and_route(installation, owner)[0], f"{owner}.cable"
    if cable is None:
        return Metal(path=path, missing=(path,))
    size, words, open_keys = _size(path, cable, "csa_mm2", "size_awg")
    return Metal(size, words, None, _inside_c(installation), path, open_keys)


def of_lead(installation: Installation, way: str, which: str) -> Metal:
    """A lead of a surge protective device, as stated. `which`: line, neutral or earth."""
    leads, path = installation.way(way).leads, f"board.ways.{way}.leads.{which}"
    lead = getattr(leads, which) if is_known(leads) else leads
    return _stated(installation, path, lead if is_known(lead) else None)


def _stated(installation: Installation, path: str, lead: Lead | None) -> Metal:
    if lead is None:
        return Metal(operating_c=_inside_c(installation), path=path, missing=(path,))
    size, words, open_keys = _size(path, lead, "csa_mm2", "size_awg")
    missing = () if is_known(lead.length_m) else (f"{path}.length_m",)
    return Metal(size, words, _number(lead.length_m), _inside_c(installation), path, (*open_keys, *missing))


def operating_c(installation: Installation, cable: Cable) -> float | None:
    """Highest temperature of a cable's conductors in operation, in C: the lower of its insulation's and its terminals'."""
    if installation.rules == "nec":
        return NEC_OPERATING_C
    insulation = str(cable.insulation) if is_known(cable.insulation) else None
    return _value(cable_columns(insulation, _number(cable.terminals_c)).limit)


def _inside_c(installation: Installation) -> float | None:
    return NEC_OPERATING_C if installation.rules == "nec" else bare_wire_c()


def bare_wire_c() -> float | None:
    """Highest temperature counted for a wire of which nothing else is known, in C."""
    return _value(assumed_loss("wire-c"))


def _size(path: str, section: object, mm2: str, awg: str) -> tuple[float | None, str, Iterable[str]]:
    """Size in mm2, in words (in AWG where the file gives it so and not in mm2), and the key that is not known."""
    size, gauge = _number(getattr(section, mm2)), getattr(section, awg)
    if size is not None:
        return size, f"{size:g} mm²", ()
    return (None, f"{gauge} AWG", ()) if isinstance(gauge, str) else (None, "", (f"{path}.{mm2}",))


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, (int, float)) else None


def _value(found: Read | Gap) -> float | None:
    return None if isinstance(found, Gap) else found.value
