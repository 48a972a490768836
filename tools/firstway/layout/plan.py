"""Layout: one plan of a board in mm, as frozen values: no words, no strokes.

x runs to the right and y down from the enclosure's outer top left corner, z from the outside of its
back towards the eye.
"""

from __future__ import annotations

from functools import cached_property
from typing import Literal

from firstway.frozen import dataclass
from firstway.tables.reading import Row
from firstway.wiring.graph import PartKind

XYZ = tuple[float, float, float]
Side = Literal["top", "bottom", "left", "right", "back"]
OUT: dict[Side, XYZ] = {
    "top": (0, -1, 0),
    "bottom": (0, 1, 0),
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
    "back": (0, 0, -1),
}
"""Which way each side faces."""
Face = Literal["top", "bottom", "left", "right", "back", "front"]
"""Which way a small piece looks; `front` is towards the eye."""
OPPOSITE: dict[Side, Side] = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}


@dataclass(frozen=True)
class Solid:
    """A body with square corners, from its least to its greatest x, y and z."""

    low: XYZ
    high: XYZ

    def size(self, axis: int) -> float:
        """How long it is along x (0), y (1) or z (2)."""
        return self.high[axis] - self.low[axis]

    def middle(self, axis: int) -> float:
        """Half way along an axis."""
        return (self.low[axis] + self.high[axis]) / 2

    def grown(self, by: float) -> Solid:
        """The same with `by` mm more on every side."""
        low, high = self.low, self.high
        return Solid(
            (low[0] - by, low[1] - by, low[2] - by), (high[0] + by, high[1] + by, high[2] + by)
        )

    def meets(self, other: Solid) -> bool:
        """Whether two bodies share room; faces that touch do not."""
        return all(
            self.low[axis] < other.high[axis] - 1e-6 and other.low[axis] < self.high[axis] - 1e-6
            for axis in range(3)
        )


@dataclass(frozen=True)
class DeviceBody:
    """A device: its body up to the shoulders, and the nose that stands in the cover's window."""

    name: str
    kind: PartKind
    body: Solid
    nose: Solid


@dataclass(frozen=True)
class TerminalSpot:
    """Where a conductor is held: the middle of its screw, and the side it leaves to."""

    terminal: str
    at: XYZ
    out: Side


@dataclass(frozen=True)
class BarBody:
    """A neutral or earth bar on its side of the enclosure; its screws are spots."""

    name: str
    kind: PartKind
    side: Side
    box: Solid


@dataclass(frozen=True)
class Tooth:
    """One tooth of the line bar: the line it carries by the bar's own order, and the device
    terminal it was meant for, "" where it serves none and is cut or covered.
    """

    at: XYZ
    line: str
    terminal: str


@dataclass(frozen=True)
class LineBar:
    """The bar that feeds the devices, cut to length with a cap at each end; of a tabbed board, its
    bus.
    """

    box: Solid
    pitch_mm: float
    teeth: tuple[Tooth, ...]
    caps: tuple[Solid, ...]


@dataclass(frozen=True)
class WallOpening:
    """Where a cable passes the wall: its middle in the wall's inner face, how wide the hole is, and
    how wide its locknut or bush is inside.

    `name` is `feed` or the circuit's; `gland` says that armour is held there, `bolt` where the tag
    under its locknut takes the conductor that earths it (None where none does).
    """

    name: str
    side: Side
    at: XYZ
    hole_mm: float
    nut_mm: float
    gland: bool
    bolt: XYZ | None = None


FittingKind = Literal[
    "mounting-screw",
    "rail-foot",
    "rail-screw",
    "bar-foot",
    "bar-screw",
    "earth-bolt",
    "bush",
    "gland",
    "earth-tag",
    "earth-tag-bolt",
    "locknut",
    "tooth-cover",
    "cover-screw",
    "warning-label",
    "test-notice",
    "inspection-label",
]
"""What a small piece of hardware is."""


@dataclass(frozen=True)
class Fitting:
    """A small piece of hardware as a body: screws, nuts, bushes and glands are round (or six-sided)
    about the axis they face; a tag is a ring as wide as its locknut with a tail to its bolt; a
    label is flat on the cover.

    `of` is the part, terminal, opening or bar it belongs to, `cover` or `enclosure`. The cover's
    own screws and labels move with it.
    """

    id: str
    kind: FittingKind
    of: str
    body: Solid
    faces: Face


@dataclass(frozen=True)
class Cover:
    """The cover with its window, the blanks that close what no device fills, and a label strip
    beside each device.
    """

    box: Solid
    window: Solid
    blanks: tuple[Solid, ...]
    labels: tuple[tuple[str, Solid], ...]


@dataclass(frozen=True)
class Assumption:
    """A size that the file does not state: the row it was taken from, None where it follows from
    others; `path` is the key that would state it, "" where no key does.
    """

    what: str
    value: float | str
    row: Row | None
    path: str


@dataclass(frozen=True)
class Parts:
    """What is screwed and clipped into the enclosure, before a conductor is laid.

    `block` is what conductors go round: all devices with their rail, or with the bus they plug on.
    `behind` is the room behind the rail, None where conductors cannot pass there. `crowded` names
    what does not find its room.
    """

    outer: Solid
    inner: Solid
    block: Solid
    rail: Solid | None
    behind: tuple[float, float] | None
    devices: tuple[DeviceBody, ...]
    spots: dict[str, TerminalSpot]
    bars: tuple[BarBody, ...]
    line_bar: LineBar | None
    openings: tuple[WallOpening, ...]
    cover: Cover
    upright: bool
    assumptions: tuple[Assumption, ...]
    crowded: tuple[str, ...]

    def opening(self, cable: str) -> WallOpening | None:
        """The opening of the feed or of a circuit."""
        return next((each for each in self.openings if each.name == cable), None)


@dataclass(frozen=True)
class Laid:
    """One conductor as it lies: corners of its middle line; the first and last are its ends.

    `radius_mm` is the least radius of that line at a bend, `bend_mm` the tightest it has (None
    where it has none). `length_m` follows the bends; `cutting_m` is what to cut, with what is
    stripped beyond the screws and some slack. `partner` is the conductor it forms a loop with,
    `loop_cm2` the area between them. `inside` says that both its ends lie in the enclosure.
    """

    id: str
    points: tuple[XYZ, ...]
    diameter_mm: float
    radius_mm: float
    bend_mm: float | None
    length_m: float
    cutting_m: float
    partner: str
    loop_cm2: float | None
    inside: bool


@dataclass(frozen=True)
class Layout:
    """The board with its conductors and its small hardware.

    `tight` are conductors that find no room for their bends, `touching` pairs that lie in the same
    place, `outside` conductors of the graph that lie wholly outside this enclosure or end free at a
    gland. `rests_on` are the assumed paths of the file.
    """

    parts: Parts
    conductors: tuple[Laid, ...]
    assumptions: tuple[Assumption, ...]
    tight: tuple[str, ...]
    touching: tuple[tuple[str, str], ...]
    outside: tuple[str, ...]
    rests_on: tuple[str, ...]
    fittings: tuple[Fitting, ...] = ()

    @cached_property
    def by_id(self) -> dict[str, Laid]:
        """The laid conductors by their ids in the graph."""
        return {each.id: each for each in self.conductors}
