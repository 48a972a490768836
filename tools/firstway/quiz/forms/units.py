"""Quiz: the ways a learner may write a unit after a number."""

from __future__ import annotations

from firstway.rendering.figures import unit_text

SPELLINGS: dict[str, tuple[str, ...]] = {
    "V": ("V", "v", "volt", "volts", "Volt", "Volts"),
    "kV": ("kV", "kv", "KV"),
    "A": ("A", "a", "amp", "amps", "Amp", "Amps", "ampere", "amperes"),
    "mA": ("mA", "ma"),
    "kA": ("kA", "ka", "KA"),
    "ohm": ("ohm", "ohms", "Ohm", "Ohms", "\u03a9", "\u2126"),
    "percent": ("%", "percent", "per cent"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "mm": ("mm",),
    "mm2": ("mm2", "mm²", "mm^2", "sq mm"),
    "s": ("s", "sec", "second", "seconds"),
    "ms": ("ms",),
    "W": ("W", "w", "watt", "watts"),
    "kW": ("kW", "kw", "KW"),
    "kWh": ("kWh", "kwh", "KWh"),
    "C": ("°C", "C", "° C", "ºC"),
    "MΩ": ("MΩ", "megohm", "megohms", "Megohm", "Mohm", "M\u2126"),
    "": (),
}


def spellings(unit: str) -> tuple[str, ...]:
    """Every way to write the unit that marking accepts; any other unit as the bank names it, and as
    it is printed.
    """
    return SPELLINGS.get(unit, tuple(dict.fromkeys((unit, unit_text(unit)))))
