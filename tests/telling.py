"""Figures that a run tells at its end: `tell("alder: 33 mistakes made, 33 found")` of a test,
whichever core it ran on.
"""

from __future__ import annotations

from collections.abc import Callable

Tell = Callable[[str], None]
