"""Layout: the small hardware of a board, each piece as a body in its place: screws, feet, glands
with their nuts and tags, covers of teeth, and where labels stand on the cover.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from firstway.layout.plan import (
    OPPOSITE,
    OUT,
    XYZ,
    BarBody,
    Face,
    Fitting,
    FittingKind,
    Parts,
    Side,
    Solid,
    WallOpening,
)
from firstway.layout.sizes import Sizes

_CLEAR = 3.0  # mm between labels, and from a label to the edge of the cover
_NOTICES: tuple[FittingKind, ...] = ("warning-label", "test-notice", "inspection-label")


def fittings_of(parts: Parts, sizes: Sizes) -> tuple[Fitting, ...]:
    """All small hardware of a board in the order in which it is fitted: what holds the enclosure,
    the rail and the bars, then glands, covers of teeth, and what is on the cover.

    Sizes in mm come from `board_sizes.csv` (assumed; nothing is judged on them).
    """
    return (
        *_mounting(parts, sizes),
        *_rail(parts, sizes),
        *(piece for bar in parts.bars for piece in _bar(parts, bar, sizes)),
        *(piece for opening in parts.openings for piece in _entry(parts, opening, sizes)),
        *_teeth(parts, sizes),
        *_on_the_cover(parts, sizes),
    )


def _mounting(parts: Parts, sizes: Sizes) -> Iterator[Fitting]:
    """A screw into the wall in each corner of the back, moved along where an opening is there."""
    head, high, inset = (
        sizes("mounting-screw-head"),
        sizes("screw-head-height"),
        sizes("mounting-screw-inset"),
    )
    low, top = parts.inner.low, parts.inner.high
    taken = [nut_room(each, 10.0) for each in parts.openings]
    corners = [(x, y) for y in (False, True) for x in (False, True)]
    for number, (right, down) in enumerate(corners, 1):
        for shift in range(0, 120, 8):
            x = top[0] - inset - shift if right else low[0] + inset + shift
            y = top[1] - inset if down else low[1] + inset
            body = _head((x, y, low[2]), "front", head, high)
            if not any(body.meets(each) for each in taken):
                break
        yield Fitting(f"mounting-screw.{number}", "mounting-screw", "enclosure", body, "front")


def _rail(parts: Parts, sizes: Sizes) -> Iterator[Fitting]:
    """A foot under each end of the rail, and the screw that holds the rail on it."""
    rail = parts.rail
    if rail is None:
        return
    axis = 1 if parts.upright else 0
    inset, head = sizes("rail-screw-inset"), sizes("rail-screw-head")
    for number, u in enumerate((rail.low[axis] + inset, rail.high[axis] - inset), 1):
        v = rail.middle(1 - axis)
        x, y = (u, v) if axis == 0 else (v, u)
        low, high = parts.inner.low[2], rail.low[2]
        half = head / 2
        foot = Solid((x - half, y - half, low), (x + half, y + half, high))
        yield Fitting(f"rail-foot.{number}", "rail-foot", "rail", foot, "front")
        # the screw sits in the trough of the rail, a plate's thickness above its back
        screw = _head((x, y, high + 1), "front", head, sizes("screw-head-height"))
        yield Fitting(f"rail-screw.{number}", "rail-screw", "rail", screw, "front")


def _bar(parts: Parts, bar: BarBody, sizes: Sizes) -> Iterator[Fitting]:
    """A foot under each end of a bar, the head of each clamping screw, and for an earth bar the
    bolt that joins it to the metal of the enclosure.
    """
    axis = 1 if bar.side in ("left", "right") else 0
    wide, height = sizes("bar-foot-width"), sizes("screw-head-height")
    spots = [spot for name, spot in parts.spots.items() if name.startswith(f"{bar.name}.")]
    inner = parts.inner.low[2]
    for number, end in enumerate((bar.box.low[axis], bar.box.high[axis] - wide), 1):
        low, high = list(bar.box.low), list(bar.box.high)
        low[axis], high[axis] = end, end + wide
        low[2], high[2] = inner, bar.box.low[2]
        foot = Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
        yield Fitting(f"bar-foot.{bar.name}.{number}", "bar-foot", bar.name, foot, "front")
    for spot in spots:
        at = (spot.at[0], spot.at[1], bar.box.high[2])
        body = _head(at, "front", sizes("bar-screw-head"), height)
        yield Fitting(f"bar-screw.{spot.terminal}", "bar-screw", spot.terminal, body, "front")
    stud = parts.spots.get("enclosure.PE")
    if bar.kind == "earth-bar" and stud:
        at = (stud.at[0], stud.at[1], inner)
        body = _head(at, "front", sizes("earth-bolt-head"), sizes("earth-bolt-height"))
        yield Fitting("earth-bolt.enclosure", "earth-bolt", "enclosure.PE", body, "front")


def _entry(parts: Parts, opening: WallOpening, sizes: Sizes) -> Iterator[Fitting]:
    """What closes an opening: gland outside, locknut inside and, where armour is earthed, the tag
    under it with its bolt; else a bush with a rim on both faces of the wall.
    """
    name, nut = opening.name, opening.nut_mm
    inward: Face = "front" if opening.side == "back" else OPPOSITE[opening.side]
    depth = {"left": 0, "right": 0, "top": 1, "bottom": 1, "back": 2}[opening.side]
    wall = abs(
        parts.inner.low[depth] - parts.outer.low[depth]
        if opening.side in ("left", "top", "back")
        else parts.outer.high[depth] - parts.inner.high[depth]
    )
    outside = _moved(opening.at, opening.side, wall)
    if not opening.gland:
        rim = sizes("bush-rim")
        yield Fitting(f"bush.{name}", "bush", name, _head(opening.at, inward, nut, rim), inward)
        body = _head(outside, opening.side, nut, rim)
        yield Fitting(f"bush-outside.{name}", "bush", name, body, opening.side)
        return
    body = _head(outside, opening.side, nut, sizes("gland-length"))
    yield Fitting(f"gland.{name}", "gland", name, body, opening.side)
    base = opening.at
    if opening.bolt:
        thick = sizes("earth-tag-thickness")
        ring = _head(base, inward, nut, thick)
        bolt = _moved(opening.bolt, opening.side, _away(opening, opening.bolt))
        tail = _head(bolt, inward, sizes("earth-bolt-head"), thick)
        yield Fitting(f"earth-tag.{name}", "earth-tag", name, _both(ring, tail), inward)
        base, bolt = _moved(base, inward, thick), _moved(bolt, inward, thick)
        head = _head(bolt, inward, sizes("earth-bolt-head"), sizes("earth-bolt-height"))
        yield Fitting(f"earth-tag-bolt.{name}", "earth-tag-bolt", name, head, inward)
    body = _head(base, inward, nut, sizes("locknut-thickness"))
    yield Fitting(f"locknut.{name}", "locknut", name, body, inward)


def _teeth(parts: Parts, sizes: Sizes) -> Iterator[Fitting]:
    """A cover on each tooth of the line bar that serves no device."""
    bar = parts.line_bar
    if bar is None or parts.rail is None:
        return
    across = 0 if parts.upright else 1
    after = bar.box.middle(across) > parts.block.middle(across)
    edge = bar.box.low[across] if after else bar.box.high[across]
    gap = edge - parts.block.high[across] if after else parts.block.low[across] - edge
    half, reach = sizes("tooth-cover-width") / 2, min(sizes("tooth-cover-length"), gap)
    for number, tooth in enumerate(bar.teeth, 1):
        if not tooth.terminal:
            low = [value - half for value in tooth.at]
            high = [value + half for value in tooth.at]
            low[across], high[across] = (edge - reach, edge) if after else (edge, edge + reach)
            low[2], high[2] = bar.box.low[2], bar.box.high[2]
            body = Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
            facing: Side = ("left" if after else "right") if parts.upright else (
                "top" if after else "bottom"
            )  # fmt: skip
            yield Fitting(f"tooth-cover.{number}", "tooth-cover", "bar", body, facing)


def _on_the_cover(parts: Parts, sizes: Sizes) -> Iterator[Fitting]:
    """Screws in the corners of the cover; the warning label and notices where the cover is free, as
    far as they find room.
    """
    box, head, inset = parts.cover.box, sizes("cover-screw-head"), sizes("cover-screw-inset")
    front = box.high[2]
    taken = [parts.cover.window, *(strip for _, strip in parts.cover.labels)]
    number = 0
    for y in (box.low[1] + inset, box.high[1] - inset):
        for x in (box.low[0] + inset, box.high[0] - inset):
            number += 1
            body = _head((x, y, front), "front", head, sizes("screw-head-height"))
            taken.append(body)
            yield Fitting(f"cover-screw.{number}", "cover-screw", "cover", body, "front")
    for kind in _NOTICES:
        what = "warning-label" if kind == "warning-label" else "notice"
        size = sizes(f"{what}-width"), sizes(f"{what}-height")
        place = _free_place(box, size, taken)
        if place:
            taken.append(place)
            yield Fitting(kind, kind, "cover", place, "front")


def _free_place(box: Solid, size: tuple[float, float], taken: Sequence[Solid]) -> Solid | None:
    """The first free place for a label, beginning below the window at the left, then above."""
    wide, high = size
    front, most = box.high[2], (box.high[0] - wide - _CLEAR, box.high[1] - high - _CLEAR)
    flat = [Solid((each.low[0], each.low[1], 0), (each.high[0], each.high[1], 1)) for each in taken]
    edges = [each.high[1] + _CLEAR for each in taken[:1]] + [_CLEAR * 6, _CLEAR, most[1]]
    columns = [_CLEAR * 6, _CLEAR, *(each.high[0] + _CLEAR for each in taken), most[0]]
    for y in edges:
        for x in columns:
            place = Solid((x, y, 0), (x + wide, y + high, 1)).grown(_CLEAR - 0.1)
            if x <= most[0] and y <= most[1] and not any(place.meets(each) for each in flat):
                return Solid((x, y, front), (x + wide, y + high, front))
    return None


# Bodies


def nut_room(opening: WallOpening, deep: float) -> Solid:
    """What the locknut or bush of an opening takes up inside and outside, `deep` mm each way."""
    half = opening.nut_mm / 2
    axis = {"left": 0, "right": 0, "top": 1, "bottom": 1, "back": 2}[opening.side]
    low, high = [each - half for each in opening.at], [each + half for each in opening.at]
    low[axis], high[axis] = opening.at[axis] - deep, opening.at[axis] + deep
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _head(at: XYZ, facing: Face, wide: float, high: float) -> Solid:
    """A body `wide` across and `high` mm from a face, the way that face looks."""
    out = (0.0, 0.0, 1.0) if facing == "front" else OUT[facing]
    low, high_end = [], []
    for value, step in zip(at, out):
        if step:
            ends = sorted((value, value + step * high))
            low.append(ends[0])
            high_end.append(ends[1])
        else:
            low.append(value - wide / 2)
            high_end.append(value + wide / 2)
    return Solid((low[0], low[1], low[2]), (high_end[0], high_end[1], high_end[2]))


def _moved(at: XYZ, facing: Face, by: float) -> XYZ:
    out = (0.0, 0.0, 1.0) if facing == "front" else OUT[facing]
    return at[0] + out[0] * by, at[1] + out[1] * by, at[2] + out[2] * by


def _away(opening: WallOpening, point: XYZ) -> float:
    """How far a point lies from the wall of an opening."""
    axis = {"left": 0, "right": 0, "top": 1, "bottom": 1, "back": 2}[opening.side]
    return abs(point[axis] - opening.at[axis])


def _both(one: Solid, other: Solid) -> Solid:
    """The least body round two."""
    lows = [min(pair) for pair in zip(one.low, other.low)]
    highs = [max(pair) for pair in zip(one.high, other.high)]
    return Solid((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))
