"""Board front: how large the board is drawn, the words outside it beside its openings, and the room
they need on the sheet.
"""

from firstway.drawing.front.lettering import STEP, Lines
from firstway.drawing.front.scene import ScaledSheet, SeenFront
from firstway.drawing.front.words import opening_lines
from firstway.drawing.sheet import SMALLEST
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.frozen import dataclass
from firstway.layout.plan import WallOpening

LARGEST_SCALE = 2.6  # units of one mm
NARROWEST = 760.0  # of the sheet: the key needs it
WIDEST = 1024.0  # a text of 12 units is 9 px at 768 px
_ACROSS, _DOWN, _SMALL = 720.0, 1000.0, 1.6  # units the board may take; a scale kept if it can be
_BESIDE = 250.0  # room that makes the notes stand beside the board
_LABEL = 118.0  # longest line beside an opening
_OFF = 8.0  # units from what stands out of the wall to the words
_HEIGHT_LINE = 46.0  # left of the board: the dimension line of its height


@dataclass(frozen=True)
class OutsideWords:
    """The words outside an opening, and how far beyond the wall they begin, in units; `turned`
    where they must stand between their neighbours.
    """

    opening: WallOpening
    lines: Lines
    beyond: float
    turned: bool = False

    @property
    def long(self) -> float:
        """The width of the longest line."""
        return max(reserved_width(line, SMALLEST, True) for line in self.lines)

    @property
    def across(self) -> float:
        """How far they reach away from the wall."""
        away = self.opening.side in ("left", "right") or self.turned
        return self.beyond + (self.long if away else STEP * len(self.lines)) + 4

    @property
    def along(self) -> float:
        """How far they reach along the wall."""
        away = self.opening.side in ("left", "right") or self.turned
        return STEP * len(self.lines) if away else self.long


@dataclass(frozen=True)
class FrontFrame:
    """The sheet round a board: how mm become units, the room of words on each side, where the notes
    begin, and where what stands below the board begins.
    """

    paper: ScaledSheet
    outside: tuple[OutsideWords, ...]
    margin: dict[str, float]
    width: float
    beside: bool
    notes_at: float
    foot: float


def front_frame(front: SeenFront) -> FrontFrame:
    """The sheet for a board."""
    whole = front.whole
    scale = min(LARGEST_SCALE, _ACROSS / whole.width, max(_SMALL, _DOWN / whole.height))
    for _ in range(4):  # the words' share of the width depends on the scale
        outside = _outside(front, scale)
        margin = {side: _room(front, outside, side, scale) for side in ("left", "right")}
        beside = _HEIGHT_LINE + margin["left"] + margin["right"] + 14
        most = (WIDEST - beside) / whole.width
        if scale <= most:
            break
        scale = most
    margin |= {side: _room(front, outside, side, scale) for side in ("top", "bottom")}
    board = beside + whole.width * scale
    width = max(NARROWEST, board)
    notes_beside = width - board >= _BESIDE
    shift = 0.0 if notes_beside else (width - board) / 2  # in the middle of the sheet
    left = _HEIGHT_LINE + margin["left"] - whole.x * scale + shift
    top = 14 + margin["top"] - whole.y * scale
    return FrontFrame(
        ScaledSheet(scale, left, top),
        outside,
        margin,
        width,
        notes_beside,
        board + 16 if notes_beside else 12.0,
        top + whole.bottom * scale + margin["bottom"] + 40,
    )


def _outside(front: SeenFront, scale: float) -> tuple[OutsideWords, ...]:
    openings = [each for each in front.plan.openings if each.side != "back"]
    found: list[OutsideWords] = []
    for side in ("left", "right", "top", "bottom"):
        here = [each for each in openings if each.side == side]
        found += (
            [_level(front, each, here, scale) for each in here]
            if side in ("left", "right")
            else _above(front, here, scale)
        )
    return tuple(found)


def _begin(front: SeenFront, opening: WallOpening, scale: float) -> float:
    return front.beyond(opening) * scale + _OFF


def _nearest(opening: WallOpening, here: list[WallOpening], axis: int, otherwise: float) -> float:
    """How far the nearest opening on the same side is, in mm."""
    return min(
        [abs(opening.at[axis] - each.at[axis]) for each in here if each is not opening]
        + [otherwise]
    )


def _level(
    front: SeenFront, opening: WallOpening, here: list[WallOpening], scale: float
) -> OutsideWords:
    """Beside a wall that stands upright: as many lines as its neighbours leave room for."""
    words = opening_lines(front.installation, opening.name)
    most = max(int(_nearest(opening, here, 1, 100.0) * scale / STEP), 1)
    for parts in (words, (", ".join(words),), (f"{words[0]}, {words[-1]}",)):
        lines = tuple(line for part in parts for line in wrapped(part, SMALLEST, _LABEL))
        if len(lines) <= most:
            return OutsideWords(opening, lines, _begin(front, opening, scale))
    return OutsideWords(opening, words[:1], _begin(front, opening, scale))


def _above(front: SeenFront, here: list[WallOpening], scale: float) -> list[OutsideWords]:
    """Beside a level wall: level where all on it find room so, else turned."""
    tried = []
    for opening in here:
        room = min(_nearest(opening, here, 0, 400.0) * scale - 8, 150.0)
        lines = tuple(
            line
            for part in opening_lines(front.installation, opening.name)
            for line in wrapped(part, SMALLEST, room)
        )
        fits = len(lines) <= 4 and all(
            reserved_width(line, SMALLEST, True) <= room for line in lines
        )
        tried.append(
            (OutsideWords(opening, lines, _begin(front, opening, scale)), fits or len(here) == 1)
        )
    if all(fits for _, fits in tried):
        return [words for words, _ in tried]
    return [_turned(front, opening, here, scale) for opening in here]


def _turned(
    front: SeenFront, opening: WallOpening, here: list[WallOpening], scale: float
) -> OutsideWords:
    words = opening_lines(front.installation, opening.name)
    room = _nearest(opening, here, 0, 400.0) * scale
    lines = tuple(line for part in words for line in wrapped(part, SMALLEST, 2 * _LABEL))
    short = STEP * len(lines) > room - 2
    return OutsideWords(opening, words[:1] if short else lines, _begin(front, opening, scale), True)


def _room(front: SeenFront, outside: tuple[OutsideWords, ...], side: str, scale: float) -> float:
    """What the words need beyond one side of the board."""
    whole = front.whole
    room = [0.0]
    for words in outside:
        opening = words.opening
        if opening.side == side:
            room.append(words.across)
        elif side in ("left", "right") and opening.side in ("top", "bottom"):
            gap = opening.at[0] - whole.x if side == "left" else whole.right - opening.at[0]
            room.append(words.along / 2 + 4 - gap * scale)
        elif side in ("top", "bottom") and opening.side in ("left", "right"):
            gap = opening.at[1] - whole.y if side == "top" else whole.bottom - opening.at[1]
            room.append(words.along / 2 + 4 - gap * scale)
    return max(room)
