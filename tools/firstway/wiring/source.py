"""Wiring: the source, its impedances as the file gives them, the earth it brings, and earth
electrodes, as links.
"""

import math
from functools import partial

from firstway.calculations.earthing import ROD_RESISTANCE, SEVERAL_RODS
from firstway.calculations.phasors import line_phasor
from firstway.model.evidence import alone, resting
from firstway.model.installation import Electrode, Installation
from firstway.model.values import Absent, is_known
from firstway.tables.reading import Gap, read_one
from firstway.wiring.graph import ORIGIN_EARTH, Wiring
from firstway.wiring.links import CUT_OUT, STAR, TRUE_EARTH, Link, LinkKind
from firstway.wiring.upstream import SERVICE

COMBINED = ("TN-C-S", "grounded")
"""Supply systems whose neutral and protective conductor are one up to the origin."""
Ohm = float | Absent
"""A resistance in ohm of the file, or the word that stands for it."""


def supply_links(installation: Installation, wiring: Wiring) -> list[Link]:
    """Source, impedances and the earth it brings. They are those at the origin: what lies between
    adds none.

    Half of the loop of line and neutral is the line; where line and earth alone are known, half of
    theirs.
    """
    supply = installation.supply
    loop, line_neutral = alone(
        lambda: _loop(installation, supply.line_neutral_loop_ohm, "line_neutral")
    )
    earth, line_earth = alone(lambda: _loop(installation, supply.ze_ohm, "line_earth"))
    if supply.system == "grounded" and not is_known(earth):
        # Neutral and grounding bus are bonded at the service: the fault returns through the neutral
        # of the supply (NFPA 70 250.24(B)).
        earth, line_earth = loop, line_neutral
    combined = supply.system in COMBINED
    half, shares, unknown = (
        _half(loop, earth, combined),
        (*line_neutral, *line_earth),
        (*_open(loop), *_open(earth)),
    )
    own, between_lines = alone(lambda: _line(installation, loop, half))
    # What a fault drives hangs on the voltage; where it is assumed, so is every current of a fault.
    driven = [
        (line, *alone(partial(_driven, installation, place)))
        for place, line in enumerate(_lines(wiring))
    ]
    found = [
        _link(
            f"supply.{line}",
            STAR,
            f"{SERVICE}.supply.{line}",
            own,
            (*shares, *between_lines, *read),
            unknown,
            volts,
        )
        for line, volts, read in driven
    ]
    neutral = f"{SERVICE}.supply.N"
    if combined:
        pen = half if own is None or half is None else 2 * half - own
        found += [
            _link("supply.PEN", STAR, CUT_OUT, pen, shares, unknown),
            _link("supply.N", CUT_OUT, neutral, _rest(loop, half, 2), shares, _open(loop)),
            _link("supply.PE", CUT_OUT, ORIGIN_EARTH, _rest(earth, half, 2), shares, _open(earth)),
        ]
    else:
        found.append(
            _link("supply.N", STAR, neutral, _rest(loop, half, 1), line_neutral, _open(loop))
        )
        if supply.system == "TN-S":
            found.append(
                _link("supply.PE", STAR, ORIGIN_EARTH, _rest(earth, half, 1), shares, _open(earth))
            )
    far, seen = alone(lambda: supply.source_electrode_ohm)
    return [
        *found,
        _link("supply.electrode", STAR, TRUE_EARTH, far, seen, _open(far), kind="earth"),
    ]


def _link(
    identity: str,
    start: str,
    end: str,
    ohm: object,
    evidence: tuple[str, ...],
    missing: tuple[str, ...],
    volts: complex = 0j,
    kind: LinkKind = "supply",
) -> Link:
    value = float(ohm) if isinstance(ohm, (int, float)) else None
    link = Link(
        identity,
        start,
        end,
        value,
        kind,
        "supply",
        volts=volts,
        evidence=evidence,
        missing=missing if value is None else (),
    )
    return resting(link, "ohm", "missing")


def _lines(wiring: Wiring) -> list[str]:
    return [
        terminal.function
        for terminal in wiring.terminals_of("origin")
        if terminal.function.startswith("L")
    ]


def _driven(installation: Installation, place: int) -> complex:
    supply = installation.supply
    return line_phasor(float(supply.line_to_earth_v), place, supply.phases)


def _loop(installation: Installation, ohm: Ohm, which: str) -> Ohm:
    """An impedance as the file gives it, or else voltage over the prospective current of the same
    fault.
    """
    given = installation.supply.prospective_fault_current_ka
    current = getattr(given, which) if is_known(given) else given
    if is_known(ohm) or not is_known(current):
        return ohm
    return float(installation.supply.line_to_earth_v) / (float(current) * 1000)


def _half(loop: Ohm, earth: Ohm, combined: bool) -> float | None:
    """What is counted as the line's share; with a combined conductor no more than half of the
    smaller loop.
    """
    known = [
        float(each)
        for each in ((loop, earth) if combined or not is_known(loop) else (loop,))
        if is_known(each)
    ]
    return min(known) / 2 if known else None


def _line(installation: Installation, loop: Ohm, half: float | None) -> float | None:
    """A line's share: half, but with two lines and a neutral half of what the current between the
    lines leaves.
    """
    supply = installation.supply
    current = getattr(supply.prospective_fault_current_ka, "line_line", None)
    if (
        supply.system != "grounded"
        or half is None
        or not isinstance(current, (int, float))
        or not is_known(supply.line_to_line_v)
    ):
        return half
    return min(float(supply.line_to_line_v) / (2 * float(current) * 1000), 2 * half)


def _rest(whole: Ohm, half: float | None, shares: int) -> float | None:
    """What a loop has left when the shares of the line, and of the combined conductor, are taken
    off.
    """
    return None if not is_known(whole) or half is None else max(float(whole) - shares * half, 0.0)


def _open(value: object) -> tuple[str, ...]:
    return (value.path,) if isinstance(value, Absent) else ()


# Electrodes


def electrode_links(installation: Installation, wiring: Wiring) -> list[Link]:
    """The way from each electrode of the wiring to true earth."""
    return [
        _electrode(item) for item in installation.electrodes if wiring.terminal(f"{item.name}.PE")
    ]


def _electrode(item: Electrode) -> Link:
    ohm, evidence = alone(lambda: electrode_ohm(item))
    link = Link(
        f"electrode.{item.name}",
        f"{item.name}.PE",
        TRUE_EARTH,
        ohm,
        "earth",
        item.name,
        evidence=evidence,
        missing=() if ohm is not None else _unknown_of(item),
    )
    return resting(link, "ohm", "missing")


def _unknown_of(item: Electrode) -> tuple[str, ...]:
    """What to find out about an electrode: its resistance, where nothing of its rods is told."""
    rods = (item.rods, item.length_m, item.diameter_mm, item.soil_ohm_m, item.spacing_m)
    missing = tuple(each.path for each in rods if isinstance(each, Absent))
    return missing if len(missing) < len(rods) else _open(item.resistance_ohm)


def electrode_ohm(item: Electrode) -> float | None:
    """Resistance as measured, or from rods and soil by BS 7430; None where that is not known."""
    if is_known(item.resistance_ohm):
        return float(item.resistance_ohm)
    rods, length, diameter = item.rods, item.length_m, item.diameter_mm
    rho = item.soil_ohm_m
    if not (is_known(rods) and is_known(length) and is_known(diameter) and is_known(rho)):
        return None
    one = ROD_RESISTANCE.value({"rho": rho, "L": length, "d": diameter / 1000, "pi": math.pi})
    if rods == 1:
        return one
    factor = read_one("rods_in_line", "lambda", rods=int(rods))
    if isinstance(factor, Gap) or not is_known(item.spacing_m):
        return None
    return SEVERAL_RODS.value(
        {
            "R": one,
            "lambda_n": factor.value,
            "rho": rho,
            "pi": math.pi,
            "s": float(item.spacing_m),
            "n": float(rods),
        }
    )
