"""Rendering: figures, units and symbols as a reader sees them, and figures as they leave the
program.
"""

from __future__ import annotations

import json
from decimal import ROUND_HALF_UP, Decimal
from math import floor
from typing import Any

from firstway.checks.rule import Finding
from firstway.rendering.html import Markup, tag
from firstway.tables.looking_up_nec import awg_of_area
from firstway.workings.shared.step import Step

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
    "cm2": "cm²",
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
    "lbf.in": "lbf·in",
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


FINE_UP_TO_OHM = 10.0
"""Ohms below which readings are told to hundredths and finer."""


def ohm_limit(ohm: float) -> str:
    """A limit at most so large: below ten ohm hundredths, never rounded up; from there on as the
    standards print it (50 V over 30 mA is 1667 ohm in BS 7671, Table 41.5).

    >>> ohm_limit(0.05414), ohm_limit(1.394), ohm_limit(1666.67)
    ('0.05', '1.39', '1667')
    """
    if ohm >= FINE_UP_TO_OHM:
        return figure_in_formula(float(f"{ohm:.4g}"))
    return f"{floor(ohm * 100 + 1e-9) / 100:.2f}"


DIGITS = 12


def digits(value: float) -> str:
    """A number as text.

    >>> digits(0.1 + 0.2), digits(230 * 1.1), digits(16.0)
    ('0.3', '253', '16')
    """
    return f"{value:.{DIGITS}g}"


def leaving(data: Any) -> Any:
    """Plain data with every float in it rounded."""
    if isinstance(data, float):
        return float(digits(data))
    if isinstance(data, dict):
        return {key: leaving(value) for key, value in data.items()}
    return [leaving(each) for each in data] if isinstance(data, (list, tuple)) else data


def json_text(data: Any, **form: Any) -> str:
    """Data as JSON; `form` as for `json.dumps`."""
    return json.dumps(leaving(data), **form)


NOT_KNOWN = "not known"


def number_text(value: float, places: int) -> str:
    """`value` rounded half away from zero to `places` decimal places."""
    text = str(
        Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    )
    return text.replace("-", "−") if float(text) != 0 else text.lstrip("-")


def figure_in_formula(value: float) -> str:
    """A figure put into a formula: up to six significant digits, no trailing zeros, never an
    exponent.
    """
    rounded = Decimal(f"{float(value):.6g}")
    text = format(rounded, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-", "−")


def figure_put_in(value: float) -> str:
    """A figure put into a formula, rounded for the eye: four significant digits, every whole digit;
    the result is worked unrounded.

    >>> figure_put_in(0.121936)
    '0.1219'
    >>> figure_put_in(31.7543)
    '31.75'
    >>> figure_put_in(2122.48)
    '2122'
    >>> figure_put_in(18500.0)
    '18500'
    >>> figure_put_in(0.004)
    '0.004'
    """
    whole = len(f"{abs(value):.0f}")
    return figure_in_formula(float(f"{value:.{max(4, whole)}g}"))


COUNTED = {
    "conductors": "conductor",
    "modules": "module",
    "points": "point",
    "poles": "pole",
    "rods": "rod",
}
NAMED = ("type", "way")  # the figure is a name, not an amount: `type 2`


def with_unit(number: str, unit: str) -> str:
    """Number and unit as printed: a space between them, none for a plain number.

    >>> with_unit("1", "poles"), with_unit("2", "poles"), with_unit("2", "type")
    ('1 pole', '2 poles', 'type 2')
    """
    if unit in NAMED:
        return f"{unit} {number}"
    if number == "1" and unit in COUNTED:
        return f"{number} {COUNTED[unit]}"
    return f"{number} {unit_text(unit)}".strip() if unit else number


def amount_text(amount: float | str, unit: str) -> str:
    """A figure of a finding to four digits with its unit; words stand alone, unless the unit names
    what they are.

    >>> amount_text(0.90338, "kA")
    '0.9034 kA'
    >>> amount_text("not looped", "m")
    'not looped'
    >>> amount_text("1 or 2", "type")
    'type 1 or 2'
    >>> amount_text("6", "mm2")
    '6 mm²'
    """
    if not isinstance(amount, str):
        return with_unit(figure_in_formula(float(f"{amount:.4g}")), unit)
    return (
        with_unit(amount, unit) if unit in NAMED or amount.replace(".", "", 1).isdigit() else amount
    )


def finding_amount(finding: Finding, amount: float | str) -> str:
    """A figure of a finding; a size of rule set nec in AWG, its area beside it."""
    text = amount_text(amount, finding.unit)
    size = (
        awg_of_area(amount)
        if finding.unit == "mm2"
        and isinstance(amount, float)
        and finding.source.startswith("NFPA 70")
        else ""
    )
    return f"{size} AWG ({text})" if size else text


def same_words(amount: float | str | None, other: float | str | None) -> bool:
    """Both are the same words: one of them says it all."""
    return isinstance(amount, str) and amount == other


def shown(step: Step) -> str:
    """The step's value as the reader sees it, such as `4.25 V`."""
    return (
        NOT_KNOWN
        if step.value is None
        else with_unit(number_text(step.value, step.places), step.unit)
    )


def full(value: float) -> str:
    """The figure for an attribute, with every digit that leaves."""
    return repr(leaving(float(value)))


def figure_html(step: Step, installation: str) -> Markup:
    """The figure of a step for a page (DESIGN: full precision in `value`, rounding only in the
    text).
    """
    if step.value is None:
        return tag(
            "span",
            NOT_KNOWN,
            class_="figure unknown",
            data_step=step.id,
            data_of=step.of,
            data_installation=installation,
        )
    return tag(
        "data",
        shown(step),
        class_="figure",
        value=full(step.value),
        data_step=step.id,
        data_of=step.of,
        data_unit=step.unit,
        data_installation=installation,
    )
