"""Calculations: the voltages of the lines of a supply as complex numbers, and how large such a
number is: the same to the last bit on every machine.

Sine, cosine and `abs` of a complex number are rounded differently by one library of mathematics and
another; a square root is not (IEEE 754). A last bit of a source, or which of two like lines is
taken first, is a tenth of a microampere of what a pole without resistance carries: enough to be
seen in the digits that leave.
"""

from __future__ import annotations

import math

_SIXTY = math.sqrt(3) / 2  # the sine of 60 degrees
_THIRDS = (complex(1, 0), complex(-0.5, -_SIXTY), complex(-0.5, _SIXTY))
_HALVES = (complex(1, 0), complex(-1, 0))


def line_phasor(volts: float, place: int, phases: int) -> complex:
    """The voltage in V of the line at a place from 0: each of three lags the one before it by 120
    degrees; the two of one phase are opposite.

    >>> line_phasor(120.0, 1, 1), line_phasor(230.0, 0, 3)
    ((-120+0j), (230+0j))
    >>> abs(line_phasor(230.0, 1, 3) - line_phasor(230.0, 2, 3)) / 230
    1.7320508075688772
    """
    return volts * (_HALVES if phases == 1 else _THIRDS)[place]


def magnitude(value: complex | float) -> float:
    """How large a voltage or a current is.

    >>> magnitude(3 - 4j), magnitude(-2.5)
    (5.0, 2.5)
    """
    return math.sqrt(value.real * value.real + value.imag * value.imag)
