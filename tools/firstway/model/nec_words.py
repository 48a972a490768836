"""Model: the words of the trade where rule set nec holds, put in place of those of the other rule
sets.
"""

from __future__ import annotations

import re
from dataclasses import fields, replace
from functools import cache, lru_cache
from typing import Any, TypeVar

from firstway.model.values import Fielded

MAIN_GROUND = "grounding bus of the existing panel"
"""Where the protective conductors begin under rule set nec."""
GROUND = "G"
"""The mark of a terminal of the equipment grounding conductor: NFPA 70 250.126 (from memory) asks
for green, the word, G, GR or the symbol.
"""
# Common practice; longest first, for the shorter stand inside them. A word in an id or a file path
# is left alone.
_PAIRS = (
    ("isolated at its origin", "isolated where the feeder begins"),
    ("tails pass", "feeder passes"),
    ("PEN", "grounded service conductor"),
    ("an earth electrode", "a grounding electrode"),
    ("an earth fault", "a ground fault"),
    ("an earth", "a ground"),
    ("an earthing", "a grounding"),
    ("main earthing terminal", MAIN_GROUND),
    ("earth electrodes", "grounding electrodes"),
    ("earth electrode", "grounding electrode"),
    ("earth bar", "ground bar"),
    ("earth lead", "ground lead"),
    ("earthing conductor", "grounding electrode conductor"),
    ("PE conductor", "equipment grounding conductor"),
    ("protective conductors", "equipment grounding conductors"),
    ("protective conductor", "equipment grounding conductor"),
    ("protective core", "equipment grounding conductor"),
    ("earthing", "grounding"),
    ("earthed", "grounded"),
    ("earth", "ground"),
    ("PE", "ground"),
    ("tails", "feeder"),
    ("armoured", "armored"),
    ("armour", "armor"),
    ("single cores", "single conductors"),
    ("origin", "existing panel"),
    ("boards", "panels"),
    ("board", "panel"),
    ("network's operator", "utility"),
    ("network operator", "utility"),
    ("network's voltage", "utility's voltage"),
    ("the network alone", "the utility alone"),
    ("distributor", "utility"),
    ("circuit-breaker", "circuit breaker"),
    ("a charging point", "an EVSE"),
    ("charging points", "EVSE"),
    ("charging point", "EVSE"),
    ("rail", "mounting rail"),
    ("authorised", "authorized"),
    ("energised", "energized"),
    ("socket-outlets", "receptacles"),
    ("socket-outlet", "receptacle"),
    ("spade", "shovel"),
    ("kilometre", "kilometer"),
    ("millimetres", "millimeters"),
    ("millimetre", "millimeter"),
    ("metres", "meters"),
    ("metre", "meter"),
    ("colours", "colors"),
    ("colour", "color"),
)


def _large(words: str) -> str:
    return words[0].upper() + words[1:]


_Value = TypeVar("_Value", bound=Fielded)


@cache  # made when the first sentence asks: most installations are of other rule sets
def _words() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple(
        (re.compile(rf"(?<![-\w.])(?<!true )(?<!mounting ){ours}(?![-\w]|\.\w)"), theirs)
        for small, term in _PAIRS
        for ours, theirs in dict.fromkeys(((small, term), (_large(small), _large(term))))
    )


@lru_cache(maxsize=4096)  # a choice of sizes writes the same sentences a hundred times
def in_nec_words(text: str) -> str:
    """A sentence in the words of rule set nec.

    >>> in_nec_words("Earth bar of the board-01, on-board charger: PE conductor")
    'Ground bar of the board-01, on-board charger: equipment grounding conductor'
    >>> in_nec_words("from origin PE to earth bar terminal 1")
    'from existing panel ground to ground bar terminal 1'
    """
    for ours, theirs in _words():
        text = ours.sub(theirs, text)
    return text


def with_nec_words(value: _Value, *names: str) -> _Value:
    """The value with these fields in the words of rule set nec; a field of several
    sentences too.
    """
    told: dict[str, Any] = {}
    for item in fields(value):
        here = getattr(value, item.name)
        if item.name in names and isinstance(here, str):
            told[item.name] = in_nec_words(here)
        elif item.name in names and isinstance(here, tuple):
            told[item.name] = tuple(in_nec_words(each) for each in here)
    return replace(value, **told)
