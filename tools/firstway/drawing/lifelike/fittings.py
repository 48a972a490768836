"""Lifelike view: the small hardware of the plan: screws and feet, bushes, glands with their nut and
tag, covers of teeth.

Each piece stands in the group of what it belongs to.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from firstway.drawing.lifelike.devices import symbol_at
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.shapes import AXES, Body, cylinder_svg, drawn_wall, solid_svg
from firstway.frozen import dataclass
from firstway.layout.plan import OUT, XYZ, Fitting, Parts, Solid

INSULATING = ("neutral-bar",)
"""Bars whose feet insulate."""
_TAIL = 7.0
"""Half of how wide the tail of a tag is, in mm."""


@dataclass(frozen=True)
class _Work:
    eye: Eye
    prefix: str
    parts: Parts


def fitting_bodies(
    eye: Eye, prefix: str, parts: Parts, fittings: Sequence[Fitting]
) -> tuple[Body, ...]:
    """Everything small that is fitted in the box; what is on the cover is drawn with it."""
    work = _Work(eye, prefix, parts)
    return tuple(
        body
        for each in (_on_drawn_wall(parts, each) for each in fittings)
        if (make := _MADE.get(each.kind)) is not None
        for body in [make(work, each)]
    )


def _on_drawn_wall(parts: Parts, fitting: Fitting) -> Fitting:
    """A tag and its bolt lie on the wall as it is drawn: a thin one is drawn thicker."""
    by = drawn_wall(parts) - parts.inner.low[0]
    if not fitting.kind.startswith("earth-tag") or by <= 0 or fitting.faces == "front":
        return fitting
    body, out = fitting.body, OUT[fitting.faces]  # it looks inward
    low = body.low[0] + out[0] * by, body.low[1] + out[1] * by, body.low[2] + out[2] * by
    high = body.high[0] + out[0] * by, body.high[1] + out[1] * by, body.high[2] + out[2] * by
    return replace(fitting, body=Solid(low, high))


def _screw(work: _Work, fitting: Fitting) -> Body:
    """A round head that looks at the eye, or a bolt along its own axis."""
    body = fitting.body
    if fitting.faces != "front":
        axis = AXES[fitting.faces]
        one, other = (list(_middle(body)) for _ in (0, 1))
        one[axis], other[axis] = body.low[axis], body.high[axis]
        ends = (one[0], one[1], one[2]), (other[0], other[1], other[2])
        radius = body.size(0 if axis else 1) / 2
        svg = cylinder_svg(work.eye, axis, *ends, radius, "z")
        return Body(_home(work, fitting), body, svg)
    at = body.middle(0), body.middle(1), body.high[2]
    return Body(_home(work, fitting), body, symbol_at(work.eye, work.prefix, "cross", at))


def _middle(body: Solid) -> XYZ:
    return body.middle(0), body.middle(1), body.middle(2)


def _foot(work: _Work, fitting: Fitting) -> Body:
    tone = "w" if _kind_of_bar(work, fitting.of) in INSULATING else "z"
    return Body(
        _home(work, fitting), fitting.body, solid_svg(work.eye, fitting.body, tone, "ze", "zd")
    )


def _tooth_cover(work: _Work, fitting: Fitting) -> Body:
    return Body("line-bar", fitting.body, solid_svg(work.eye, fitting.body, "k", "ze", "zd"))


def _tag(work: _Work, fitting: Fitting) -> Body:
    """The tail of the ring that lies under the locknut, to its bolt."""
    eye, body = work.eye, fitting.body
    opening = work.parts.opening(fitting.of)
    if opening is not None and opening.bolt is not None:
        body = _tail(body, opening.at, opening.bolt, AXES[opening.side])
    return Body(_home(work, fitting), body, solid_svg(eye, body, "z", "ze", "zd"))


def _tail(ring: Solid, at: XYZ, bolt: XYZ, axis: int) -> Solid:
    """From the middle of an opening to the far end of its tag, as wide as a tail is."""
    low, high = list(ring.low), list(ring.high)
    long = max((each for each in (0, 1, 2) if each != axis), key=lambda i: abs(bolt[i] - at[i]))
    across = 3 - axis - long
    low[across], high[across] = bolt[across] - _TAIL, bolt[across] + _TAIL
    if bolt[long] > at[long]:
        low[long] = at[long]
    else:
        high[long] = at[long]
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _kind_of_bar(work: _Work, name: str) -> str:
    return next((each.kind for each in work.parts.bars if each.name == name), "")


def _home(work: _Work, fitting: Fitting) -> str:
    """The group a piece stands in."""
    if fitting.of in ("enclosure", "rail", "cover"):
        return fitting.of
    if any(each.name == fitting.of for each in work.parts.openings):
        return f"opening.{fitting.of}"
    device = fitting.of.partition(".")[0]
    return device if device != "bar" else "line-bar"


_MADE: dict[str, Callable[[_Work, Fitting], Body]] = {
    "mounting-screw": _screw,
    "rail-foot": _foot,
    "rail-screw": _screw,
    "bar-foot": _foot,
    "earth-bolt": _screw,
    "earth-tag": _tag,
    "earth-tag-bolt": _screw,
    "tooth-cover": _tooth_cover,
}
