"""Drawing: a rectangle on the paper, shared by the views."""

from firstway.frozen import dataclass


@dataclass(frozen=True)
class Rect:
    """A rectangle by its top left corner, in units of the drawing or in mm; y runs down."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """x of its right side."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """y of its lower side."""
        return self.y + self.height

    @property
    def middle(self) -> tuple[float, float]:
        """The point in its middle."""
        return self.x + self.width / 2, self.y + self.height / 2
