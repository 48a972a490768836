"""Board front: what the one plan gives to be seen from the front, in mm, and how it is put on the
paper.
"""

from collections.abc import Iterable

from firstway.choosing.completing import Completed
from firstway.drawing.rect import Rect
from firstway.frozen import dataclass
from firstway.layout.plan import (
    OUT,
    XYZ,
    DeviceBody,
    Fitting,
    FittingKind,
    Parts,
    Solid,
    TerminalSpot,
    Tooth,
    WallOpening,
)
from firstway.model.installation import Installation
from firstway.model.values import Absent, is_known
from firstway.wiring.graph import Part, Wiring

SCREW, BAR_SCREW, JOINT = 3.4, 2.8, 1.2  # mm: the largest radius a screw is drawn with; of a joint
OFF_ITS_TERMINAL = 1.5  # mm beside the middle of a clamp, from which on a tooth does not meet it


@dataclass(frozen=True)
class SeenFront:
    """A board as its plan has it, with what the file says of it.

    `row` holds all module places that are drawn, `free` those without a device; `module` is the
    width of one place; `undrawn` are free places that find no room in the row.
    """

    completed: Completed
    plan: Parts
    row: Rect
    module: float
    used: int
    free: tuple[Rect, ...]
    undrawn: int
    fittings: tuple[Fitting, ...]

    @property
    def installation(self) -> Installation:
        """The job's file."""
        return self.completed.installation

    @property
    def wiring(self) -> Wiring:
        """The graph as drawings show it."""
        return self.completed.case.wiring.drawn

    @property
    def tabbed(self) -> bool:
        """Whether devices plug on tabs of a bus between two columns."""
        return self.plan.rail is None

    @property
    def devices(self) -> tuple[tuple[Part, DeviceBody], ...]:
        """The devices outward from the main switch, with their bodies."""
        parts = {part.name: part for part in self.wiring.parts}
        return tuple((parts[each.name], each) for each in self.plan.devices if each.name in parts)

    @property
    def whole(self) -> Rect:
        """What is drawn to scale: the enclosure, and what does not find its room in it."""
        boxes = [self.plan.outer, self.plan.block, *(bar.box for bar in self.plan.bars)]
        return around(face_of(box) for box in boxes)

    def given(self, key: str) -> float | None:
        """A size of the enclosure that the file states, in mm or modules."""
        value = getattr(self.installation.board.enclosure, key, None)
        return float(value) if isinstance(value, (int, float)) else None

    def pieces(self, *kinds: FittingKind, of: str = "") -> tuple[Fitting, ...]:
        """The small hardware of some kinds, in their order; of one part alone where it is named."""
        return tuple(
            each
            for kind in kinds
            for each in self.fittings
            if each.kind == kind and of in ("", each.of)
        )

    def beyond(self, opening: WallOpening) -> float:
        """How far what closes an opening stands out of the enclosure, in mm."""
        axis, step = (
            (1, OUT[opening.side][1]) if OUT[opening.side][1] else (0, OUT[opening.side][0])
        )
        outer = self.plan.outer
        return max(
            (
                (each.body.high[axis] - outer.high[axis])
                if step > 0
                else (outer.low[axis] - each.body.low[axis])
                for each in self.pieces("gland", "bush", of=opening.name)
            ),
            default=0.0,
        )

    def radius(self, spot: TerminalSpot) -> float:
        """The radius a screw is drawn with, so that its neighbours stay clear of it."""
        owner = spot.terminal.partition(".")[0]
        part = self.wiring.part(owner)
        if part is not None and part.kind == "line-bar" and not spot.terminal.endswith(".lugs"):
            return JOINT
        most = BAR_SCREW if part is not None and part.kind.endswith("-bar") else SCREW
        near = min(
            (
                abs(spot.at[0] - other.at[0]) + abs(spot.at[1] - other.at[1])
                for name, other in self.plan.spots.items()
                if name.partition(".")[0] == owner and name != spot.terminal
            ),
            default=2 * most / 0.8,
        )
        return min(most, max(0.4 * near, 1.0))

    def off_its_terminal(self, tooth: Tooth) -> float:
        """How far a tooth lies beside the terminal it was meant for, in mm."""
        spot = self.plan.spots.get(tooth.terminal)
        bar = self.plan.line_bar
        if spot is None or bar is None or self.tabbed:
            return 0.0
        along = 1 if bar.box.size(1) > bar.box.size(0) else 0
        return abs(tooth.at[along] - spot.at[along])

    def wrong_line(self, tooth: Tooth) -> bool:
        """Whether a tooth carries another line than the terminal it stands in."""
        terminal = self.wiring.terminal(tooth.terminal)
        return terminal is not None and bool(tooth.line) and terminal.function != tooth.line


def seen_front(completed: Completed) -> SeenFront:
    """The board from its plan."""
    installation, plan = completed.installation, completed.case.layout.parts
    parts = {part.name: part for part in completed.case.wiring.drawn.parts}
    blank_devices = {face_of(each.nose) for each in plan.devices if each.kind == "blank"}
    free = tuple(
        place for each in plan.cover.blanks if (place := face_of(each)) not in blank_devices
    )
    bodies = [face_of(each.body) for each in plan.devices]
    used = sum(max(parts[each.name].modules, 1) for each in plan.devices)
    places = getattr(installation.board.enclosure, "modules", None)
    spare = int(places) - used if isinstance(places, (int, float)) else 0
    return SeenFront(
        completed,
        plan,
        around([*bodies, *free]) if bodies or free else face_of(plan.block),
        _module(completed, plan),
        used,
        free,
        max(spare, 0) - len(free),
        completed.case.layout.fittings,
    )


def _module(completed: Completed, plan: Parts) -> float:
    """The pitch of tabs, or the width of a module, as the devices of the plan have it."""
    bar = completed.installation.board.busbar
    if plan.rail is None and is_known(bar) and is_known(bar.pitch_mm):
        return float(bar.pitch_mm)
    sized = [each for each in plan.devices if plan.rail or each.kind != "main-switch"]
    along = 1 if plan.upright else 0
    wired = completed.case.wiring.drawn
    for each in sized:
        part = wired.part(each.name)
        if part is not None:
            return each.body.size(along) / max(part.modules, 1)
    return 0.0


def face_of(solid: Solid) -> Rect:
    """A body as it is seen from the front, in mm."""
    return Rect(solid.low[0], solid.low[1], solid.size(0), solid.size(1))


def around(boxes: Iterable[Rect]) -> Rect:
    """The least rectangle round others."""
    found = list(boxes)
    x, y = min(box.x for box in found), min(box.y for box in found)
    right, bottom = max(box.right for box in found), max(box.bottom for box in found)
    return Rect(x, y, right - x, bottom - y)


def misfit_teeth(front: SeenFront) -> tuple[tuple[str, float, str], ...]:
    """The teeth that do not suit: terminal, how far beside it in mm (0 where it meets it), and the
    other line it carries ("" where it carries the right one).
    """
    bar, busbar = front.plan.line_bar, front.installation.board.busbar
    if bar is None or isinstance(busbar, Absent) or busbar.style == "links":
        return ()
    found = []
    for tooth in bar.teeth:
        off = front.off_its_terminal(tooth)
        line = tooth.line if front.wrong_line(tooth) else ""
        if off > OFF_ITS_TERMINAL or line:
            found.append((tooth.terminal, off if off > OFF_ITS_TERMINAL else 0.0, line))
    return tuple(found)


@dataclass(frozen=True)
class ScaledSheet:
    """How mm become units of the sheet: `scale` units a mm, from the enclosure's corner on."""

    scale: float
    left: float
    top: float

    def x(self, mm: float) -> float:
        """Across."""
        return self.left + mm * self.scale

    def y(self, mm: float) -> float:
        """Down."""
        return self.top + mm * self.scale

    def at(self, point: XYZ) -> tuple[float, float]:
        """A point of the plan."""
        return self.x(point[0]), self.y(point[1])

    def rect(self, box: Rect) -> Rect:
        """A rectangle in mm."""
        return Rect(self.x(box.x), self.y(box.y), box.width * self.scale, box.height * self.scale)

    def body(self, solid: Solid) -> Rect:
        """A body of the plan."""
        return self.rect(face_of(solid))
