"""Rendering: a reading as an instrument shows it, in words."""

from firstway.rendering.figures import with_unit
from firstway.wiring.readings import AT_MOST, ShownReading

NO_OHM = 0.0005
"""Below it an ohmmeter shows nothing but noughts, and hundredths are all it has of them."""
_UNITS = {"megohm": "MΩ"}


def shown_words(shown: ShownReading) -> str:
    """A reading as words: the figure with its unit, or what the tester says instead.

    >>> shown_words(ShownReading(0.43, "megohm", about=True))
    'about 0.43 MΩ'
    >>> shown_words(ShownReading(0.00002, "ohm"))
    '0.00 Ω'
    """
    if shown.value is None:
        words = shown.words + (f" ({shown.ask})" if shown.ask else "")
        return words or "no reading"
    unit = shown.unit
    places = (
        3
        if unit == "ohm" and NO_OHM <= shown.value < 10
        else 2
        if unit in ("megohm", "kA") or (unit == "ohm" and shown.value < NO_OHM)
        else 1
        if unit == "ohm"
        else 0
    )
    text = with_unit(f"{shown.value:.{places}f}", _UNITS.get(unit, unit))
    return f"{'about ' if shown.about else ''}{'at most ' if shown.words == AT_MOST else ''}{text}"
