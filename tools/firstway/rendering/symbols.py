"""Rendering: how a formula's symbol and a unit are written for a reader."""

from __future__ import annotations

GREEK = {
    "alpha": "α",
    "beta": "β",
    "eta": "η",
    "theta": "θ",
    "lambda": "λ",
    "rho": "ρ",
    "pi": "π",
    "Delta": "Δ",
    "tau": "τ",
}
SUBSCRIPTS = {"dn": "Δn"}
WHOLE = {"R_R12": "(R₁+R₂)"}
_UNITS = {
    "ohm": "Ω",
    "ohm/km": "Ω/km",
    "ohm.m": "Ω·m",
    "mm2": "mm²",
    "percent": "%",
    "C": "°C",
    "kA2s": "kA²s",
    "A2s": "A²s",
    "1/K": "1/K",
    "K.m/W": "K·m/W",
    "mm": "mm",
    "A.s0.5/mm2": "A·√s/mm²",
    "m2": "m²",
    "W/m2K": "W/(m²·K)",
    "J/kgK": "J/(kg·K)",
    "kg/m2": "kg/m²",
    "Mohm": "MΩ",
    "kohm": "kΩ",
    "mohm": "mΩ",
    "mohm/m": "mΩ/m",
    "ohm/m": "Ω/m",
    "uH": "µH",
    "uH/m": "µH/m",
    "uF": "µF",
    "us": "µs",
    "m/us": "m/µs",
    "1/us3": "1/µs³",
    "x IdN": "× IΔn",
    "x rating": "× rating",
    "x design": "× design",
    "x highest": "× highest",
}


def symbol_parts(symbol: str) -> tuple[str, str]:
    """Letter and subscript of a symbol such as `I_b` or `theta_p`."""
    if symbol in WHOLE:
        return WHOLE[symbol], ""
    letter, _, below = symbol.partition("_")
    return GREEK.get(letter, letter), SUBSCRIPTS.get(below, GREEK.get(below, below))


def symbol_text(symbol: str) -> str:
    """The symbol for plain text: `Ib`, `θp`, `IΔn`."""
    return "".join(symbol_parts(symbol))


def unit_text(unit: str) -> str:
    """The unit as printed."""
    return _UNITS.get(unit, unit)
