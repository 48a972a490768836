"""Quiz: answers made of letters and answers made of figures, as several forms have them."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping

from firstway.quiz.forms.worked_question import Computed, Figure, WorkedMistake, text_of
from firstway.quiz.marking.typed import Windows, WrongNumber
from firstway.rendering.figures import unit_text

Relettered = Callable[[str], str]
"""From a letter as it was shown to what stands for it elsewhere."""


def pieces(typed: str) -> list[str]:
    """The letters of an answer."""
    return [piece for piece in typed.split(" ") if piece]


def in_any_order(given: str, to: Relettered) -> str:
    """The letters put through `to`, where their order means nothing."""
    return " ".join(sorted(map(to, given.split())))


def letters_from_paper(written: str) -> list[str]:
    """The letters that a person wrote on paper: `bd`, `b, d` and `B D` are one."""
    return re.findall(r"[a-z]", written.casefold())


def in_any_order_from_paper(written: str) -> str:
    """Letters from paper as marking reads them, where their order means nothing."""
    return " ".join(sorted(letters_from_paper(written)))


def letters_in_words(given: str, words: Mapping[str, str]) -> str:
    """Letters with what they said to this learner."""
    return "; ".join(
        f"{letter}) {words[letter]}" if letter in words else letter for letter in given.split()
    )


def known_figures(answer: Figure | Computed, value: float) -> dict[str, float]:
    """The figures that the arithmetic of a mistake may name without saying where they come from."""
    own = (
        dict(answer.step.figures.values)
        if isinstance(answer, Figure) and answer.step.figures
        else {}
    )
    return {**own, "answer": value}


def wrong_numbers(mistakes: tuple[WorkedMistake, ...]) -> tuple[WrongNumber, ...]:
    return tuple(
        WrongNumber(item.mistake, item.low, item.high, text_of(item.feedback)) for item in mistakes
    )


def typed_inside(low: float, high: float) -> str:
    """A number of few decimals inside a window."""
    middle = (low + high) / 2
    texts = (f"{middle:.{places}f}" for places in range(9))
    return next((text for text in texts if low <= float(text) <= high), f"{middle:.9f}")


def typed_right(key: Windows) -> str:
    return typed_inside(key.low, key.high)


def typed_mistake(key: Windows, mistake: str) -> str:
    """The number a named mistake leads to; "" where it is none of these."""
    found = (each for each in key.wrong if each.mistake == mistake)
    return next((typed_inside(each.low, each.high) for each in found), "")


def typed_wrong(key: Windows, draw: random.Random) -> str:
    """A wrong number: a named mistake more often than a slip of one's own."""
    if key.wrong and draw.random() < 0.7:
        mistake = key.wrong[draw.randrange(len(key.wrong))]
        return typed_inside(mistake.low, mistake.high)
    value = (key.low + key.high) / 2 * (11 + draw.randrange(20)) / 10
    return typed_inside(0.996 * value, 1.004 * value)


def figures_from_paper(written: str) -> str:
    """What was written on paper, as marking reads it: bars part the figures of a working."""
    return written.replace("|", ";")


def figures_in_words(given: str, words: object) -> str:
    return given.replace(";", "; ").strip()


def named_windows(key: Windows, words: object) -> list[str]:
    """Each named mistake with the figures that betray it, for the marking scheme."""
    return [f"{each.low:.4g} to {each.high:.4g} {key.unit}: {each.mistake}" for each in key.wrong]


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
    "cm2": ("cm2", "cm²", "cm^2", "sq cm"),
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
