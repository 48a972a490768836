"""Calculations: sums that are the same on every Python.

The built-in `sum` adds floats one after the other up to Python 3.11 and with a correction from
3.12 on, so its last digits differ.
"""

import math
from collections.abc import Iterable


def added(values: Iterable[float]) -> float:
    """The exact sum of plain numbers, rounded once; what is beyond every float is infinite.

    >>> added([0.1] * 10), added([]), added([1e308, 1e308])
    (1.0, 0.0, inf)
    """
    every = list(values)
    try:
        return math.fsum(every)
    except (OverflowError, ValueError):  # beyond the largest float; infinities of both signs
        return _one_by_one(every)


def added_phasors(values: Iterable[complex | float]) -> complex | float:
    """The same for plain numbers that may be complex: each part by itself."""
    every = list(values)
    real = [each for each in every if not isinstance(each, complex)]
    if len(real) == len(every):
        return added(real)
    return complex(added(each.real for each in every), added(each.imag for each in every))


def _one_by_one(values: Iterable[float]) -> float:
    whole = 0.0
    for each in values:
        whole += each
    return whole
