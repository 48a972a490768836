"""Lifelike view: devices as generic solid bodies. A body up to the shoulders with its screws in
recesses, and a nose with a name plate, and by kind a lever, a test button, a window, a part that
pulls out.

No maker's look: what is drawn is what the kind of device has.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.shapes import (
    Body,
    flat,
    front_box,
    on_front,
    solid_svg,
    words_mm,
)
from firstway.drawing.svg import shape
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ, DeviceBody, Solid, TerminalSpot
from firstway.rendering.html import Markup

SCREW_RECESS = 3.1
"""Radius of a screw's recess, in mm."""
_GAP = 0.4  # mm between devices
_LEVER = 7.0  # mm a lever stands out
_Rect = tuple[float, float, float, float]


@dataclass(frozen=True)
class SeenTerminal:
    """A terminal of a device: where it is, and its letters."""

    spot: TerminalSpot
    letters: str
    tooth: float | None = None
    """How deep (z in mm) the tooth of a bar enters beside the conductor's place; None where none
    does."""


def symbol_at(eye: Eye, prefix: str, symbol: str, at: XYZ) -> Markup:
    """A small drawing of the definitions, about a point."""
    x, y = eye.at(at)
    return shape("use", href=f"#{prefix}{symbol}", x=x, y=y)


def device_bodies(
    eye: Eye,
    prefix: str,
    device: DeviceBody,
    terminals: Sequence[SeenTerminal],
    foreign: bool = False,
    changed: bool = False,
) -> tuple[Body, ...]:
    """The body with its terminals, and the nose; a `foreign` one is of another height, shape and
    colour than its neighbours; `changed`: an indicator says that a part is worn.
    """
    body, nose = _drawn_in(device.body), _drawn_in(device.nose)
    if foreign:
        low, high = nose.low, nose.high
        nose = Solid((low[0], low[1] + 3, low[2]), (high[0], high[1] - 3, high[2] - 8))
    tone = "s" if foreign else "w"
    upon, printed = _on_nose(eye, body, nose, terminals)
    rest = [each for each in terminals if each not in upon]
    return (
        _shoulders(eye, prefix, device.name, body, nose, terminals, rest, tone),
        _nose(eye, device.name, device.kind, nose, tone, changed, printed),
    )


def _drawn_in(box: Solid) -> Solid:
    """A little less than its place, so that devices beside each other show a joint."""
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    return Solid((x0 + _GAP, y0, z0), (x1 - _GAP, y1, z1))


def _shoulders(
    eye: Eye,
    prefix: str,
    name: str,
    body: Solid,
    nose: Solid,
    terminals: Sequence[SeenTerminal],
    lettered: Sequence[SeenTerminal],
    tone: str,
) -> Body:
    """Screws of all terminals, letters of those that are not printed on the nose."""
    svg, z = solid_svg(eye, body, tone), body.high[2]
    for each in terminals:
        x, y, deep = each.spot.at
        entry, deep = each.spot.out, deep if each.tooth is None else each.tooth
        if entry == "top":
            svg += symbol_at(eye, prefix, "top", (x, body.low[1], deep))
        elif entry in ("left", "right") and (entry == "right") == (eye.side > 0):
            face = body.high[0] if entry == "right" else body.low[0]
            svg += symbol_at(eye, prefix, "side", (face, y, deep))
        svg += symbol_at(eye, prefix, "screw", (x, y, z))
    said, texts, _ = _letters(eye, body, nose, terminals, lettered)
    return Body(name, body, svg + said, texts)


def _letters(
    eye: Eye,
    body: Solid,
    nose: Solid,
    terminals: Sequence[SeenTerminal],
    lettered: Sequence[SeenTerminal],
) -> tuple[Markup, tuple[Bounds, ...], list[SeenTerminal]]:
    """Letters beside the screws, where the shoulder has room that the nose leaves to see; and the
    terminals without that room.
    """
    missing: list[SeenTerminal] = []
    z, found, texts = body.high[2], Markup(), []
    taken = [_around(each.spot.at, SCREW_RECESS + 0.2, SCREW_RECESS + 0.2) for each in terminals]
    hidden = _behind_nose(eye, nose)
    for each in lettered:
        wide, high = words_mm(eye, each.letters)
        x, y = each.spot.at[:2]
        down, across = SCREW_RECESS + 0.5 + high / 2, SCREW_RECESS + 0.5 + wide / 2
        inward = 1 if each.spot.out in ("top", "left") else -1
        level = each.spot.out in ("left", "right")
        tries = (
            ((x + inward * across, y), (x, y - down), (x, y + down))
            if level
            else ((x, y + inward * down), (x - across, y), (x + across, y))
        )
        for at in tries:
            room = (at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2)
            within = (
                room[0] > body.low[0] + 0.3
                and room[2] < body.high[0] - 0.3
                and room[1] > body.low[1] + 0.2
                and room[3] < body.high[1] - 0.2
            )
            if within and not any(meets(room, other) for other in (*taken, hidden)):
                svg, bounds = on_front(eye, (at[0], at[1], z), each.letters)
                found += svg
                texts.append(bounds)
                taken.append(room)
                break
        else:
            missing.append(each)
    return found, tuple(texts), missing


_LEAST_FACE, _LEAST_WIDE = 17.0, 20.0
"""mm of the height and of the width of a nose that its lever or its part takes at least."""


@dataclass(frozen=True)
class _Printed:
    """Letters of terminals printed on a nose, and how much of it they take at each side, in mm."""

    places: tuple[tuple[tuple[float, float], str], ...] = ()
    left: float = 0.0
    right: float = 0.0
    bottom: float = 0.0


def _on_nose(
    eye: Eye, body: Solid, nose: Solid, terminals: Sequence[SeenTerminal]
) -> tuple[list[SeenTerminal], _Printed]:
    """Rows of terminals whose letters have no room on the shoulder: they are printed at that edge
    of the nose, in the order of their screws.
    """
    upon: list[SeenTerminal] = []
    places: list[tuple[tuple[float, float], str]] = []
    taken = {"left": 0.0, "right": 0.0, "bottom": 0.0}
    for side in taken:
        row = [each for each in terminals if each.spot.out == side]
        missing = _letters(eye, body, nose, terminals, row)[2]
        more, size = _row_on_nose(eye, nose, side, row, taken) if missing else ((), 0.0)
        if more:
            upon += row
            places += more
            taken[side] = size
    return upon, _Printed(tuple(places), **taken)


def _row_on_nose(
    eye: Eye, nose: Solid, side: str, row: Sequence[SeenTerminal], taken: Mapping[str, float]
) -> tuple[Sequence[tuple[tuple[float, float], str]], float]:
    """The places of a row of letters, none where they have no room; and what they take."""
    high = words_mm(eye, "N")[1]
    widest = max(words_mm(eye, each.letters)[0] for each in row)
    level = side == "bottom"
    size = (high if level else widest) + 1.6
    along = 0 if level else 1
    if level and nose.size(1) - 2 * high - 10.5 < _LEAST_FACE:
        return (), 0.0
    if not level and nose.size(0) - sum(taken.values()) - size - 3 < _LEAST_WIDE:
        return (), 0.0
    end = nose.low[0] + 0.6 if level else nose.low[1] + high + 6.0
    most = nose.high[along] - 0.6
    found = []
    for each in sorted(row, key=lambda each: each.spot.at[along]):
        half = (words_mm(eye, each.letters)[0] if level else high) / 2
        at = min(max(each.spot.at[along], end + half), most - half)
        if at - half < end - 0.01:
            return (), 0.0
        end = at + half + (0.6 if level else 1.2)
        edge = nose.low[0] + size / 2 + 0.3 if side == "left" else nose.high[0] - size / 2 - 0.3
        spot = (at, nose.high[1] - 0.9 - high / 2) if level else (edge, at)
        found.append((spot, each.letters))
    return found, size


def _around(at: XYZ, wide: float, high: float) -> _Rect:
    return at[0] - wide, at[1] - high, at[0] + wide, at[1] + high


def _behind_nose(eye: Eye, nose: Solid) -> _Rect:
    """What of the shoulders' plane the nose hides."""
    out = nose.size(2)
    # a point of the nose's front falls on the shoulders' plane this much further on
    across = eye.right[2] / eye.right[0] * out
    down = (eye.down[2] - eye.down[0] * eye.right[2] / eye.right[0]) / eye.down[1] * out
    return (
        nose.low[0] + min(across, 0.0),
        nose.low[1] + min(down, 0.0),
        nose.high[0] + max(across, 0.0),
        nose.high[1] + max(down, 0.0),
    )


# The nose


def _nose(
    eye: Eye, name: str, kind: str, nose: Solid, tone: str, changed: bool, printed: _Printed
) -> Body:
    """Name plate at the top, or at the left of a nose that is wider than high, beside it what the
    kind has, and what is `printed` at its lower edge.
    """
    x0, y0, x1, y1 = nose.low[0], nose.low[1], nose.high[0], nose.high[1]
    z = nose.high[2]
    said = next(  # the call-out says it too
        (each for each in (name, name.rpartition("-")[2]) if words_mm(eye, each)[0] < x1 - x0 - 1),
        "",
    )
    wide, high = words_mm(eye, said or "F1")
    plate_high, plate_wide = high + 3.2, wide + 3.0
    if (x1 - x0) > 1.05 * (y1 - y0) and y1 - y0 < 34:
        plate = (x0 + 1.5, y0 + 2, x0 + 1.5 + plate_wide, y1 - 2)
        room = (x0 + plate_wide + 3, y0 + 1.5, x1 - 1.5, y1 - 1.5)
    else:
        plate = (x0 + 1.5, y0 + 1.8, x1 - 1.5, y0 + 1.8 + plate_high)
        room = (x0 + 1.5, y0 + plate_high + 3.2, x1 - 1.5, y1 - 1.8)
    room = (
        room[0] + printed.left,
        room[1],
        room[2] - printed.right,
        min(room[3], y1 - printed.bottom - 0.7) if printed.bottom else room[3],
    )
    svg = solid_svg(eye, nose, tone, "ze", "ze") + front_box(eye, *plate, z, "zd zhi")
    middle = ((plate[0] + plate[2]) / 2, (plate[1] + plate[3]) / 2, z)
    word, *bounds = on_front(eye, middle, said) if said else (Markup(),)
    more, texts = _FACES.get(kind, _plain)(eye, room, z)
    for at, letters in printed.places:
        letter, covers = on_front(eye, (*at, z), letters)
        more += letter
        texts = (*texts, covers)
    if changed:
        more += _flag(eye, room, z)
    box = Solid(nose.low, (nose.high[0], nose.high[1], z + _LEVER))
    return Body(name, box, svg + word + more, (*bounds, *texts))


_Face = tuple[Markup, tuple[Bounds, ...]]


def _lever(eye: Eye, slot: _Rect, z: float) -> Markup:
    """A lever that is down: off."""
    x0, y0, x1, y1 = slot
    low = y0 + (y1 - y0) * 0.52
    knob = Solid((x0 + 0.8, low, z), (x1 - 0.8, min(low + 8.0, y1 - 0.6), z + _LEVER))
    return front_box(eye, *slot, z, "ze zk2") + solid_svg(eye, knob, "k", "ze", "zd")


def _window(eye: Eye, rect: _Rect, z: float) -> Markup:
    return front_box(eye, *rect, z, "zd zglass")


def _main_switch(eye: Eye, room: _Rect, z: float) -> _Face:
    x0, y0, x1, y1 = room
    middle, half = (x0 + x1) / 2, min((x1 - x0) / 2 - 0.5, 15.0)
    slot = (middle - half, y0 + 1, middle + half, min(y1 - 5.5, y0 + 24))
    window = (middle - 3.5, slot[3] + 1.2, middle + 3.5, min(slot[3] + 4.6, y1))
    return _lever(eye, slot, z) + _window(eye, window, z), ()


def _with_lever(test: float) -> Callable[[Eye, _Rect, float], _Face]:
    """A lever and a window, and for a residual current device its test button, `test` its share of
    the width.
    """

    def face(eye: Eye, room: _Rect, z: float) -> _Face:
        x0, y0, x1, y1 = room
        wide = x1 - x0
        size = words_mm(eye, "T")
        button = max(size[0], size[1]) + 2.4
        beside = bool(test) and wide > button + 13
        centre = x0 + wide * (0.3 if beside else 0.5)
        half = min(6.5, wide / 2 - 0.8)
        slot = (centre - half, y0 + 1, centre + half, min(y1 - (0.5 if beside else 6.0), y0 + 23))
        svg = _lever(eye, slot, z)
        if not beside:
            if test:  # no room for its letter
                svg += front_box(eye, centre - 3, slot[3] + 1.4, centre + 3, y1, z, "ze zz2")
            else:
                svg += _window(eye, (centre - 3, slot[3] + 1.6, centre + 3, y1 - 0.6), z)
            return svg, ()
        at = x0 + wide * (0.3 + 0.7 / 2) + half / 2
        button = min(button * (1 + test), x1 - at + button / 2)
        key = (at - button / 2, y0 + 2, at + button / 2, y0 + 2 + button)
        word, bounds = on_front(eye, (at, y0 + 2 + button / 2, z), "T")
        svg += front_box(eye, *key, z, "ze zz2") + word
        svg += _window(eye, (at - 4, key[3] + 2, at + 4, key[3] + 5.6), z)
        return svg, (bounds,)

    return face


def _spd(eye: Eye, room: _Rect, z: float) -> _Face:
    """Parts that pull out, each with grip lines, a sign of the surge and a window that tells its
    state.
    """
    x0, y0, x1, y1 = room
    number = max(1, round((x1 - x0) / 17.5 / (2 if x1 - x0 < 40 else 1)))
    wide, svg = (x1 - x0) / number, Markup()
    for place in range(number):
        a, b = x0 + place * wide + 0.5, x0 + (place + 1) * wide - 0.5
        middle = (a + b) / 2
        svg += front_box(eye, a, y0, b, y1, z, "ze zw2")
        low = y1 - y0 < 25
        for grip in () if low else (y0 + 1.8, y0 + 3.2):
            svg += flat(eye, ((a + 2, grip, z), (b - 2, grip, z)), "zd", closed=False)
        top = y0 + (0.8 if low else 6.5)
        bolt = (
            (middle - 0.5, top),
            (middle - 3.2, top + 5.5),
            (middle + 0.4, top + 5.5),
            (middle - 1.6, top + 10.5),
        )
        svg += flat(eye, ((x, y, z) for x, y in bolt), "ze", closed=False)
        head = (
            (middle - 2.3, top + 12),
            (middle - 2.6, top + 8.8),
            (middle - 0.1, top + 9.8),
        )
        svg += flat(eye, ((x, y, z) for x, y in head), "zx zline")
        svg += _window(eye, (middle - 3.5, y1 - 5.5, middle + 3.5, y1 - 1.8), z)
    return svg, ()


def _flag(eye: Eye, room: _Rect, z: float) -> Markup:
    """The window of the first part filled by the flag of its state."""
    x0, _, x1, y1 = room
    number = max(1, round((x1 - x0) / 17.5 / (2 if x1 - x0 < 40 else 1)))
    middle = x0 + (x1 - x0) / number / 2
    a, b, c, d = middle - 3.5, y1 - 5.5, middle + 3.5, y1 - 1.8
    cross = flat(eye, ((a, b, z), (c, d, z)), "zd", closed=False)
    return front_box(eye, a, b, c, d, z, "ze zk3") + cross


def _fuse(eye: Eye, room: _Rect, z: float) -> _Face:
    """A carrier that tilts out."""
    x0, y0, x1, y1 = room
    grip = Solid((x0 + 1, y0 + 1, z), (x1 - 1, y1 - 4, z + 4))
    middle = (x0 + x1) / 2
    return (
        solid_svg(eye, grip, "w", "ze", "zd")
        + flat(eye, ((x0 + 3, y0 + 4, z + 4), (x1 - 3, y0 + 4, z + 4)), "zd", closed=False)
        + front_box(eye, middle - 2, y1 - 3, middle + 2, y1 - 0.6, z, "zd zglass"),
        (),
    )


def _contactor(eye: Eye, room: _Rect, z: float) -> _Face:
    x0, y0, x1, y1 = room
    middle = (x0 + x1) / 2
    return (
        front_box(eye, x0 + 1, y0 + 1, x1 - 1, y1 - 1, z, "ze zw2")
        + front_box(eye, middle - 3, y0 + 5, middle + 3, y0 + 15, z, "ze zk2")
        + _window(eye, (middle - 4, y1 - 7, middle + 4, y1 - 3), z),
        (),
    )


def _plain(eye: Eye, room: _Rect, z: float) -> _Face:
    return front_box(eye, *room, z, "zd zw2"), ()


_FACES: dict[str, Callable[[Eye, _Rect, float], _Face]] = {
    "main-switch": _main_switch,
    "spd": _spd,
    "rcbo": _with_lever(0.0001),
    "rcd": _with_lever(0.35),
    "circuit-breaker": _with_lever(0.0),
    "fuse": _fuse,
    "contactor": _contactor,
}
