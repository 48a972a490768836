"""Drawing: a rectangle on the paper, shared by the views."""

from firstway.frozen import dataclass


@dataclass(frozen=True)
class Rect:
    """A rectangle by its top left corner, in units of the drawing; y runs down."""

    x: float
    y: float
    width: float
    height: float
