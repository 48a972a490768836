"""Rendering: one number for a reader: rounded in the text, whole in the attribute."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from firstway.checks.finding import Finding
from firstway.rendering.html import Markup, tag
from firstway.rendering.leaving import leaving
from firstway.rendering.symbols import unit_text
from firstway.tables.looking_up_nec import awg_of_area
from firstway.workings.shared.step import Step

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
