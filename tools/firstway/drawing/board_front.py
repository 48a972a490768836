"""Drawing: the front of a board, cover off, to scale in mm: what hangs where, dimension lines, and
a key of its terminals.

`front_layout` gives the sheet, `board_front` the SVG. One mm is `scale` units everywhere inside the
enclosure; words keep their size. A word that finds no room on its part is left to the key, where
every device stands.
"""

from collections.abc import Sequence
from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.enclosure_earth import earth_tie
from firstway.drawing.front_plan import (
    Front,
    FrontOpening,
    FrontPlan,
    FrontRoom,
    FrontSpot,
    front_plan,
    given_mm,
    module_mm,
    rail_parts,
)
from firstway.drawing.front_words import (
    ASK,
    KEY_HEAD,
    KEY_NOTE,
    KEY_TITLE,
    bar_caption,
    counted_words,
    device_lines,
    front_label_words,
    front_words,
    key_rows,
    mm,
    notes,
    opening_lines,
)
from firstway.drawing.part_words import function_mark, spoken_part
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import (
    HAIR,
    LINE,
    SMALLEST,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Point,
    Sheet,
    Stroke,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.model.installation import Installation
from firstway.model.nec_words import in_nec_words
from firstway.model.values import Absent, is_known
from firstway.rendering.html import caution_line
from firstway.wiring.graph import Part, Wiring

LARGEST_SCALE = 2.6  # units of one mm
_ACROSS = 720.0  # units the board may take; with what stands beside it the sheet stays within 1024
NARROWEST = 760.0  # of the sheet: the key needs it
_BESIDE = 250.0  # room that makes the notes stand beside the board
STEP = 14.5  # from line to line
_LABEL = 118.0  # longest line beside an opening
_COLUMNS = (0.0, 168.0, 284.0, 392.0, 508.0, 622.0)
LOOKS = {
    "bold": (True, "ink"),
    "mark": (True, "mark"),
    "plain": (False, "ink"),
    "soft": (False, "soft"),
}


def front_layout(completed: Completed) -> Sheet:
    """The sheet of the board's front."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    scale = LARGEST_SCALE
    for _ in range(3):  # the words' share of the width depends on the scale
        room = _room(installation, wiring, scale)
        plan = front_plan(installation, wiring, room)
        if not _holds(
            plan
        ):  # a strip that only makes it worse gives way: the labels go on the devices
            plan = front_plan(installation, wiring, replace(room, strip=0.0))
        scale, before = min(LARGEST_SCALE, _ACROSS / _extent(plan)), scale
        if scale == before:
            break
    return _Layout(completed, plan, scale).sheet()


def board_front(completed: Completed, prefix: str = "") -> Drawn:
    """The board's front as SVG; ids begin with `prefix`."""
    return drawn_from(front_layout(completed), prefix or f"{completed.installation.name}-board")


def _holds(plan: FrontPlan) -> bool:
    """Whether the devices with strip and bar lie inside the walls."""
    box = plan.cleared
    return (
        box.x >= 0
        and box.y >= 0
        and box.x + box.width <= plan.width
        and box.y + box.height <= plan.height
        and all(bar.fits for bar in plan.bars.values())
    )


def _extent(plan: FrontPlan) -> float:
    left, _, right, _ = _covered(plan)
    return right - left


def _covered(plan: FrontPlan) -> tuple[float, float, float, float]:
    """Everything drawn in mm: the enclosure and what does not fit in it."""
    boxes = [plan.covered, *(bar.with_name for bar in plan.bars.values())]
    return (
        min(0.0, *(box.x for box in boxes)),
        min(0.0, *(box.y for box in boxes)),
        max(plan.width, *(box.x + box.width for box in boxes)),
        max(plan.height, *(box.y + box.height for box in boxes)),
    )


# Words in boxes

Lines = tuple[str, ...]


def _strip_lines(words: str, along: float, most: int = 3) -> Lines | None:
    """A label broken to its cell; None when it does not fit level."""
    lines = wrapped(words, SMALLEST, along)
    return (
        lines
        if len(lines) <= most and all(reserved_width(line, SMALLEST) <= along for line in lines)
        else None
    )


def _room(installation: Installation, wiring: Wiring, scale: float) -> FrontRoom:
    """What words need at a scale, in mm."""
    upright = getattr(installation.board.enclosure, "main_switch_end", "") in ("top", "bottom")
    strip, module = 0.0, module_mm(installation)
    for part in rail_parts(wiring):
        words = front_label_words(installation, part)
        if not words:
            continue
        if upright:
            strip = max(
                strip,
                min(
                    max(reserved_width(line, SMALLEST) for line in wrapped(words, SMALLEST, 90)),
                    130,
                )
                + 8,
            )
            continue
        lines = _strip_lines(words, max(part.modules, 1) * module * scale - 6)
        strip = max(
            strip,
            STEP * len(lines) + 5 if lines else min(reserved_width(words, SMALLEST), 150) + 10,
        )
    return FrontRoom(
        strip / scale,
        15 / scale,
        17 / scale,
        21 / scale,
        150 / scale,
        (2 * STEP + 3) / scale,
        reserved_width("neutral bar", SMALLEST, True) / scale,
    )


def fitted(name: str, facts: Lines, width: float, height: float) -> tuple[Lines, bool] | None:
    """The fullest words that fit a window, name first, and whether they are turned; None: not even
    the name fits.
    """
    for wanted in (facts, facts[:2], facts[:1], ()):
        for turned in (False, True):
            along, across = (height, width) if turned else (width, height)
            for lines in (_each(name, wanted, along), _joined(name, wanted, along)):
                if (
                    STEP * len(lines) <= across
                    and reserved_width(lines[0], SMALLEST, True) <= along
                    and all(reserved_width(line, SMALLEST) <= along for line in lines[1:])
                ):
                    return lines, turned
    return None


def _each(name: str, facts: Lines, along: float) -> Lines:
    return (name, *(line for fact in facts for line in wrapped(fact, SMALLEST, along)))


def _joined(name: str, facts: Lines, along: float) -> Lines:
    return (name, *wrapped(", ".join(facts), SMALLEST, along)) if facts else (name,)


def _texts(
    lines: Sequence[str],
    x: float,
    y: float,
    turned: bool,
    first_bold: bool = True,
    ink: str = "ink",
) -> list[Drawable]:
    """Lines centred about a point."""
    found: list[Drawable] = []
    for index, line in enumerate(lines):
        shift = STEP * (index - (len(lines) - 1) / 2) + 4.3
        at = (x + shift, y) if turned else (x, y + shift)
        found.append(
            Lettering(
                *at,
                line,
                anchor="middle",
                bold=first_bold and index == 0,
                ink=ink,
                turn=-90 if turned else 0,
            )
        )
    return found


class _Layout:
    def __init__(self, completed: Completed, plan: FrontPlan, scale: float) -> None:
        self.completed, self.plan, self.scale = completed, plan, scale
        self.installation, self.wiring = completed.installation, completed.case.wiring.drawn
        self.dashed = {
            key: given_mm(self.installation, key) is None for key in ("width_mm", "height_mm")
        }
        self.labels = {opening: self._opening_words(opening) for opening in plan.openings}
        left, top, right, bottom = _covered(plan)
        self.margin = {side: self._label_room(side) for side in ("left", "right", "top", "bottom")}
        self.origin = (
            26 + 20 + self.margin["left"] - left * scale,
            14 + self.margin["top"] - top * scale,
        )
        board_right = self.x(right) + self.margin["right"] + 14
        self.width = max(NARROWEST, board_right)
        self.beside = self.width - board_right >= _BESIDE
        if not self.beside:  # the board stands in the middle of the sheet
            self.origin = (self.origin[0] + (self.width - board_right) / 2, self.origin[1])
        self.notes_at = board_right + 16 if self.beside else 12.0
        self.foot = self.y(bottom) + self.margin["bottom"] + 40

    def x(self, mm_: float) -> float:
        return self.origin[0] + mm_ * self.scale

    def y(self, mm_: float) -> float:
        return self.origin[1] + mm_ * self.scale

    def box(
        self,
        rect: Rect,
        ink: str = "ink",
        line: float = LINE,
        fill: str = "none",
        round_: float = 0.0,
        dash: str = "",
    ) -> Box:
        return Box(
            self.x(rect.x),
            self.y(rect.y),
            rect.width * self.scale,
            rect.height * self.scale,
            ink,
            line,
            fill,
            round_,
            dash,
        )

    # Openings and the words beside them

    def _opening_words(self, opening: FrontOpening) -> tuple[Lines, bool]:
        """Lines beside an opening and whether they are turned to fit between their neighbours."""
        words = opening_lines(self.installation, opening.name)
        if opening.side == "back":
            return wrapped(", ".join(words), SMALLEST, self.plan.width * self.scale - 20)[:2], False
        if opening.side in ("left", "right"):
            near = min(
                [
                    abs(opening.y - other.y)
                    for other in self.plan.openings
                    if other.side == opening.side and other is not opening
                ]
                + [100.0]
            )
            most = max(int(near * self.scale / STEP), 1)
            for parts in (words, (", ".join(words),), (f"{words[0]}, {words[-1]}",)):
                lines = tuple(line for part in parts for line in wrapped(part, SMALLEST, _LABEL))
                if len(lines) <= most:
                    return lines, False
            return words[:1], False
        others = [
            other.x
            for other in self.plan.openings
            if other.side == opening.side and other is not opening
        ]
        room = min([abs(opening.x - other) for other in others] + [400.0]) * self.scale - 8
        if others and any(
            len(self._level(other, room)) > 4
            for other in self.plan.openings
            if other.side == opening.side
        ):
            lines = tuple(line for part in words for line in wrapped(part, SMALLEST, 2 * _LABEL))
            return (lines if STEP * len(lines) <= room + 6 else words[:1]), True
        return self._level(opening, min(room, 150.0)), False

    def _level(self, opening: FrontOpening, room: float) -> Lines:
        """The words level; more than four lines when one is too long for the room."""
        lines = tuple(
            line
            for part in opening_lines(self.installation, opening.name)
            for line in wrapped(part, SMALLEST, room)
        )
        return (
            lines
            if all(reserved_width(line, SMALLEST) <= room for line in lines)
            else lines + ("",) * 5
        )

    def _label_room(self, side: str) -> float:
        sizes = [0.0]
        for opening, (lines, turned) in self.labels.items():
            if opening.side == side:
                long = max(reserved_width(line, SMALLEST) for line in lines)
                level = side in ("top", "bottom")
                sizes.append(10 + (long if turned or not level else STEP * len(lines)) + 4)
        return max(sizes)

    def _openings(self, behind: bool) -> list[Group]:
        """The openings in the walls, or those behind the devices."""
        groups = []
        for opening, (lines, turned) in self.labels.items():
            if (opening.side == "back") != behind:
                continue
            x, y = self.x(opening.x), self.y(opening.y)
            items = (
                self._back(x, y, lines)
                if opening.side == "back"
                else self._beside(opening, x, y, lines, turned) + self._through_wall(opening, x, y)
            )
            words = ", ".join(opening_lines(self.installation, opening.name))
            groups.append(
                Group(
                    f"opening.{opening.name.replace(', ', '.')}",
                    tuple(items),
                    f"Opening for {words}",
                    "opening",
                )
            )
        return groups

    def _back(self, x: float, y: float, lines: Lines) -> list[Drawable]:
        size = 14 * self.scale
        items: list[Drawable] = [
            Box(x - size / 2, y - size / 2, size, size, "ink", HAIR, "none", size / 2, "4 3")
        ]
        half = max(reserved_width(line, SMALLEST) for line in lines) / 2
        middle = min(
            max(x, self.x(0) + half + 6),
            max(self.x(self.plan.width) - half - 6, self.x(0) + half + 6),
        )
        first = y + size / 2 + 13
        return (
            items
            + [
                self._plate(line, middle, first - 4.3 + STEP * index, False)
                for index, line in enumerate(lines)
            ]
            + [
                Lettering(middle, first + STEP * index, line, anchor="middle")
                for index, line in enumerate(lines)
            ]
        )

    def _through_wall(self, opening: FrontOpening, x: float, y: float) -> list[Drawable]:
        """A gap in the wall with the bush or, for an armoured cable, the gland that closes it."""
        half = 7 * self.scale / 1.4
        armoured = any(
            circuit.name == opening.name and circuit.cable.construction == "armoured"
            for circuit in self.installation.circuits
        )
        inner, outer = -3.0, 7.0
        narrow = half * 0.55
        profile = (
            [
                (-half, inner),
                (half, inner),
                (half, 3.0),
                (narrow, 3.0),
                (narrow, outer),
                (-narrow, outer),
                (-narrow, 3.0),
                (-half, 3.0),
            ]
            if armoured
            else [(-half, inner), (half, inner), (half, 3.0), (-half, 3.0)]
        )
        turn = {
            "top": lambda a, b: (x + a, y - b),
            "bottom": lambda a, b: (x + a, y + b),
            "left": lambda a, b: (x - b, y + a),
            "right": lambda a, b: (x + b, y + a),
        }[opening.side]
        points = tuple(turn(a, b) for a, b in profile)
        return [Stroke(points, "ink", LINE, fill="paper", closed=True)]

    def _beside(
        self, opening: FrontOpening, x: float, y: float, lines: Lines, turned: bool
    ) -> list[Drawable]:
        """The words, clear of what stands out of the enclosure; then a leader runs to them behind
        it.
        """
        left, top, right, bottom = _covered(self.plan)
        at = {
            "left": (self.x(left), y),
            "right": (self.x(right), y),
            "top": (x, self.y(top)),
            "bottom": (x, self.y(bottom)),
        }[opening.side]
        leader: list[Drawable] = (
            [Stroke(((x, y), at), "soft", HAIR)] if abs(at[0] - x) + abs(at[1] - y) > 1 else []
        )
        return leader + self._outside(opening, *at, lines, turned)

    @staticmethod
    def _outside(
        opening: FrontOpening, x: float, y: float, lines: Lines, turned: bool
    ) -> list[Drawable]:
        if opening.side in ("left", "right"):
            sign, anchor = (-1, "end") if opening.side == "left" else (1, "start")
            return [
                Lettering(
                    x + sign * 12,
                    y + 4.3 + STEP * (index - (len(lines) - 1) / 2),
                    line,
                    anchor=anchor,
                    bold=index == 0,
                )
                for index, line in enumerate(lines)
            ]
        up = opening.side == "top"
        if turned:
            return [
                Lettering(
                    x + 4.3 + STEP * (index - (len(lines) - 1) / 2),
                    y - 12 if up else y + 12,
                    line,
                    anchor="start" if up else "end",
                    bold=index == 0,
                    turn=-90,
                )
                for index, line in enumerate(lines)
            ]
        first = y - 12 - STEP * (len(lines) - 1) if up else y + 21
        return [
            Lettering(x, first + STEP * index, line, anchor="middle", bold=index == 0)
            for index, line in enumerate(lines)
        ]

    # Enclosure, rail, dimensions

    def _enclosure(self) -> Group:
        box = self.box(
            Rect(0, 0, self.plan.width, self.plan.height),
            round_=6,
            dash="6 4" if any(self.dashed.values()) else "",
        )
        items: list[Drawable] = [box]
        for along, short in enumerate(self.plan.shortened):
            if short:
                items += self._breaks(box, along == 0)
        return Group(
            "enclosure", tuple(items), self._said("The enclosure of the board"), "enclosure"
        )

    @staticmethod
    def _breaks(box: Box, level: bool) -> list[Drawable]:
        """The mark of a wall that is drawn shortened, on both walls that are."""
        found: list[Drawable] = []
        for wall in (0, 1):
            x = box.x + box.width * (0.94 if level else wall)
            y = box.y + box.height * (wall if level else 0.94)
            found.append(Box(x - 4, y - 4, 8, 8, "none", 0, "paper"))
            for shift in (-4, 4):
                run = (
                    ((x + shift - 3, y + 7), (x + shift, y), (x + shift + 3, y - 7))
                    if level
                    else ((x - 7, y + shift + 3), (x, y + shift), (x + 7, y + shift - 3))
                )
                found.append(Stroke(run, "ink", HAIR))
        return found

    def _rail(self) -> list[Group]:
        if self.plan.rail is None:
            return []
        return [
            Group(
                "rail",
                (self.box(self.plan.rail, "soft", HAIR, "panel"),),
                "Mounting rail, 35 mm",
                "rail",
            )
        ]

    def _dimensions(self) -> list[Group]:
        groups = []
        bottom = self.y(max(self.plan.height, _covered(self.plan)[3])) + self.margin["bottom"] + 16
        width, height = (
            given_mm(self.installation, "width_mm"),
            given_mm(self.installation, "height_mm"),
        )
        groups.append(
            self._dimension(
                "width",
                (self.x(0), bottom),
                (self.x(self.plan.width), bottom),
                mm(width) if width is not None else "width not known",
                (self.y(self.plan.height) + self.margin["bottom"] + 2, bottom + 5),
            )
        )
        side = self.x(min(0.0, _covered(self.plan)[0])) - self.margin["left"] - 22
        groups.append(
            self._dimension(
                "height",
                (side, self.y(0)),
                (side, self.y(self.plan.height)),
                mm(height) if height is not None else "height not known",
                (self.x(0) - self.margin["left"] - 6, side - 5),
            )
        )
        groups.append(self._modules())
        return groups

    def _dimension(
        self, name: str, start: Point, end: Point, words: str, reach: tuple[float, float]
    ) -> Group:
        """A dimension line with its figure in a gap; `reach`: from where to where the lines beside
        it run.
        """
        level = start[1] == end[1]
        items: list[Drawable] = []
        for x, y in (start, end):
            run = ((x, reach[0]), (x, reach[1])) if level else ((reach[0], y), (reach[1], y))
            items.append(Stroke(run, "soft", HAIR))
            items.append(Stroke(((x - 4, y + 4), (x + 4, y - 4)), "ink", LINE))
        items.append(Stroke((start, end), "soft", HAIR))
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        wide = reserved_width(words, SMALLEST) + 10
        plate = (
            Box(x - wide / 2, y - 8, wide, 16, "none", 0, "paper")
            if level
            else Box(x - 8, y - wide / 2, 16, wide, "none", 0, "paper")
        )
        items += [plate, *_texts((words,), x, y, not level, first_bold=False)]
        return Group(
            f"dimension.{name}", tuple(items), f"{name.capitalize()}: {words}", "dimension"
        )

    def _modules(self) -> Group:
        """The dimension line of the module places: a tick at each, the sum above."""
        (ax, ay), (bx, by) = self.plan.scale_from, self.plan.scale_to
        start, end = (
            (self.x(min(ax, bx)), self.y(min(ay, by))),
            (
                self.x(max(ax, bx)),
                self.y(max(ay, by)),
            ),
        )
        level = start[1] == end[1]
        pitch, long = (
            self.plan.module * self.scale,
            ((end[0] - start[0]) if level else (end[1] - start[1])),
        )
        number = round(long / pitch)
        items: list[Drawable] = [Stroke((start, end), "soft", HAIR)]
        for place in range(number + 1):
            x, y = (
                (start[0] + place * pitch, start[1])
                if level
                else (start[0], start[1] + place * pitch)
            )
            big = 4 if place in (0, number) else 2.5
            items.append(
                Stroke(
                    ((x - big, y + big), (x + big, y - big)),
                    "ink" if big == 4 else "soft",
                    LINE if big == 4 else HAIR,
                )
            )
        words = f"{number} × {mm(self.plan.module)} = {mm(round(number * self.plan.module, 1))}"
        if reserved_width(words, SMALLEST) > long:
            words = f"{number} × {mm(self.plan.module)}"
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        above = not self.plan.tabbed and (
            self.plan.scale_from[1] < self.plan.row.y
            if level
            else self.plan.scale_from[0] < self.plan.row.x
        )
        shift = -12 if above else 12
        items.append(
            self._plate(words, x if level else x + shift, y + shift if level else y, not level)
        )
        items += _texts(
            (words,),
            x if level else x + shift,
            y + shift if level else y,
            not level,
            first_bold=False,
        )
        return Group("dimension.modules", tuple(items), f"Module places: {words}", "dimension")

    @staticmethod
    def _plate(words: str, x: float, y: float, turned: bool, bold: bool = False) -> Box:
        """Paper under words that may stand on a wall."""
        wide = reserved_width(words, SMALLEST, bold) + 6
        return (
            Box(x - 8, y - wide / 2, 16, wide, "none", 0, "paper")
            if turned
            else Box(x - wide / 2, y - 8, wide, 16, "none", 0, "paper")
        )

    # Devices

    def _devices(self) -> list[Group]:
        groups = []
        for part in rail_parts(self.wiring):
            front = self.plan.devices[part.name]
            groups.append(
                Group(
                    part.name,
                    tuple(self._device(part, front)),
                    spoken_part(self.completed, part.name),
                    f"part {part.kind}",
                )
            )
        return groups

    def _device(self, part: Part, front: Front) -> list[Drawable]:
        plate = "panel" if part.kind == "blank" else "plate"
        items: list[Drawable] = [
            self.box(front.rect, "ink", LINE, "panel", 2),
            self.box(front.window, "ink", HAIR, plate, 1),
        ]
        name, facts = device_lines(self.installation, part)
        label, window = front_label_words(self.installation, part), front.window
        if (
            front.label is None and part.kind not in ("main-switch", "spd") and label
        ):  # no label strip beside it
            facts = (*facts[:2], f"feeds {label.removeprefix('feeds ')}", *facts[2:])
        words = fitted(name, facts, window.width * self.scale - 5, window.height * self.scale - 4)
        if words:
            items += _texts(
                words[0],
                self.x(window.x + window.width / 2),
                self.y(window.y + window.height / 2),
                words[1],
            )
        return items

    def _strip(self) -> list[Group]:
        """The label strip: what each way feeds."""
        groups = []
        for part in rail_parts(self.wiring):
            cell, words = (
                self.plan.devices[part.name].label,
                front_label_words(self.installation, part),
            )
            if cell is None or not words:
                continue
            along, across = cell.width * self.scale, cell.height * self.scale
            found = _label_lines(words, along - 4, across - 2)
            items: list[Drawable] = [self.box(cell, "soft", HAIR, "plate")]
            if found:
                items += _texts(
                    found[0],
                    self.x(cell.x + cell.width / 2),
                    self.y(cell.y + cell.height / 2),
                    found[1],
                    first_bold=False,
                )
            groups.append(
                Group(f"label.{part.name}", tuple(items), f"Label of {part.name}: {words}", "label")
            )
        return groups

    def _free(self) -> list[Group]:
        groups = []
        for place, rect in enumerate(self.plan.free, 1):
            items: list[Drawable] = [self.box(rect, "soft", HAIR, "paper", 2, "4 3")]
            wide, high = rect.width * self.scale - 4, rect.height * self.scale - 4
            room = reserved_width("free", SMALLEST)
            if min(wide, high) >= STEP and max(wide, high) >= room:
                items += _texts(
                    ("free",),
                    self.x(rect.x + rect.width / 2),
                    self.y(rect.y + rect.height / 2),
                    wide < room,
                    False,
                    "soft",
                )
            groups.append(Group(f"free.{place}", tuple(items), "A free module place", "free"))
        return groups

    # Bars and terminals

    def _line_bar(self) -> list[Group]:
        bar = self.plan.bar
        if bar is None:
            return []
        busbar = self.installation.board.busbar
        style = "" if isinstance(busbar, Absent) else str(busbar.style)
        known = not isinstance(busbar, Absent) and is_known(busbar.style)
        items: list[Drawable] = []
        if style == "links":
            items += self._links()
        else:
            teeth = (
                []
                if style == "tabs"
                else [item for pair in self.plan.teeth for item in self._tooth(*pair, style)]
            )
            items += [*teeth, self.box(bar, "ink", LINE, "panel", 2, "" if known else "5 3")]
            items += self._tabs() if style == "tabs" else []
        items += self._caption(bar)
        return [
            Group(
                "line-bar",
                tuple(items),
                bar_caption(self.installation),
                f"part line-bar {style}".strip(),
            )
        ]

    def _tooth(self, on_bar: str, device: str, style: str) -> list[Drawable]:
        """A pin under the clamp, or a fork round the screw."""
        (ax, ay), (bx, by) = self._at(on_bar), self._at(device)
        reach = self.plan.terminals[device].radius * self.scale
        level = abs(ay - by) < 0.01
        sign = (1 if bx > ax else -1) if level else (1 if by > ay else -1)
        half = max(min(1.1 * self.scale, reach * 0.5), 1.2)
        if style == "fork":
            side = reach + 1.6
            if level:
                run = (
                    ((ax, ay), (bx - sign * (reach + 5), by)),
                    (
                        (bx + sign * 2, by - side),
                        (bx - sign * (reach + 5), by - side),
                        (bx - sign * (reach + 5), by + side),
                        (bx + sign * 2, by + side),
                    ),
                )
            else:
                run = (
                    ((ax, ay), (bx, by - sign * (reach + 5))),
                    (
                        (bx - side, by + sign * 2),
                        (bx - side, by - sign * (reach + 5)),
                        (bx + side, by - sign * (reach + 5)),
                        (bx + side, by + sign * 2),
                    ),
                )
            return [Stroke(points, "ink", LINE) for points in run]
        if level:
            left, right = sorted((ax, bx - sign * reach))
            return [Box(left, ay - half, right - left, 2 * half, "ink", HAIR, "panel")]
        top, bottom = sorted((ay, by - sign * reach))
        return [Box(ax - half, top, 2 * half, bottom - top, "ink", HAIR, "panel")]

    def _links(self) -> list[Drawable]:
        """Wire links: a loop from each terminal to the next; two wires share a terminal between
        them.
        """
        partner = dict(self.plan.teeth)
        items: list[Drawable] = []
        for conductor in self.wiring.conductors:
            if conductor.kind != "bar" or not {conductor.start, conductor.end} <= set(
                self.plan.terminals
            ):
                continue
            ends = []
            for name in (conductor.start, conductor.end):
                if name in partner:
                    ends.append((self._at(partner[name]), self._at(name)))
                elif self.plan.terminals[name].radius < 2 and name not in self.plan.bars:
                    ends.append((self._at(name), self._at(name)))
            if len(ends) == 2 and {conductor.start, conductor.end}.isdisjoint(partner.values()):
                (top, corner), (last, other) = ends
                items.append(
                    Stroke(
                        (top, corner, other, last) if top != corner else (corner, other, last),
                        "ink",
                        2.4,
                        round=9,
                    )
                )
        return items

    def _tabs(self) -> list[Drawable]:
        """The tabs of the bus, under the inner ends of the breakers, and the line each carries."""
        items: list[Drawable] = []
        for on_bar, device in self.plan.teeth:
            (ax, ay), (bx, by) = self._at(on_bar), self._at(device)
            half = 2.2 * self.scale
            if abs(ay - by) < 0.5:
                left, right = sorted((ax, bx))
                items.append(Box(left, ay - half, right - left, 2 * half, "ink", HAIR, "plate"))
            elif abs(ax - bx) < 0.5:
                top, bottom = sorted((ay, by))
                items.append(Box(ax - half, top, 2 * half, bottom - top, "ink", HAIR, "plate"))
        return items

    def _caption(self, bar: Rect) -> list[Drawable]:
        """What the bar is, along its outer side; on a tabbed board along the bus.

        The notes have it where it finds no room.
        """
        words = self._caption_words(bar)
        if not words:
            return []
        x, y = self.x(bar.x + bar.width / 2), self.y(bar.y + bar.height / 2)
        if not self.plan.tabbed and self.plan.upright:
            x = self.x(bar.x) - 10 if bar.x < self.plan.row.x else self.x(bar.x + bar.width) + 10
        elif not self.plan.tabbed:
            y = self.y(bar.y) - 10 if bar.y < self.plan.row.y else self.y(bar.y + bar.height) + 11
        plate = [] if self.plan.tabbed else [self._plate(words, x, y, self.plan.upright)]
        if (
            not self.plan.tabbed
        ):  # kept over the devices where the bar is short and off their middle
            half, box = reserved_width(words, SMALLEST) / 2, self.plan.cleared
            if self.plan.upright:
                y = min(max(y, self.y(box.y) + half), self.y(box.y + box.height) - half)
            else:
                x = min(max(x, self.x(box.x) + half), self.x(box.x + box.width) - half)
            plate = [self._plate(words, x, y, self.plan.upright)]
        return [*plate, *_texts((words,), x, y, self.plan.upright, first_bold=False)]

    def _caption_words(self, bar: Rect) -> str:
        """As much of the caption as there is room for."""
        box = bar if self.plan.tabbed else self.plan.cleared
        long = (box.height if self.plan.upright else box.width) * self.scale - (
            30 if self.plan.tabbed else 4
        )
        whole = bar_caption(self.installation)
        for words in (whole, whole.rpartition(", ")[0], whole.partition(",")[0]):
            if words and reserved_width(words, SMALLEST) <= long:
                return words
        return ""

    def _at(self, terminal: str) -> Point:
        spot = self.plan.terminals[terminal]
        return self.x(spot.x), self.y(spot.y)

    def _said(self, text: str) -> str:
        return in_nec_words(text) if self.installation.rules == "nec" else text

    def _wall_bars(self) -> list[Group]:
        """Neutral and earth bars with their names outside and numbers inside."""
        groups = []
        for name, place in self.plan.bars.items():
            rect, words = (
                place.rect,
                self._said(name.replace("-", " ")).replace("grounding bar", "ground bar"),
            )  # the walls have no room for more
            items: list[Drawable] = [
                self.box(rect, "ink", LINE, "panel", 2, "" if place.fits else "5 3")
            ]
            x, y = self.x(rect.x + rect.width / 2), self.y(rect.y + rect.height / 2)
            out = {
                "left": (self.x(rect.x) - 9, y),
                "right": (self.x(rect.x + rect.width) + 9, y),
                "top": (x, self.y(rect.y) - 9),
                "bottom": (x, self.y(rect.y + rect.height) + 10),
            }[place.side]
            turned = place.side in ("left", "right")
            items += [self._plate(words, *out, turned, bold=True), *_texts((words,), *out, turned)]
            groups.append(
                Group(
                    name,
                    tuple(items),
                    f"{words.capitalize()},"
                    f" {counted_words(len(self.wiring.terminals_of(name)), 'terminal')} in use",
                    f"part {name}",
                )
            )
            if name == "earth-bar":
                body = Rect(
                    self.x(rect.x),
                    self.y(rect.y),
                    rect.width * self.scale,
                    rect.height * self.scale,
                )
                tie = earth_tie(self.completed, body, place.side)
                groups += [tie] if tie else []
        return groups

    def _terminals(self) -> list[Group]:
        rows = self._name_rows()
        groups = []
        for terminal in self.wiring.terminals:
            spot = self.plan.terminals.get(terminal.id)
            if spot is None:
                continue
            x, y = self.x(spot.x), self.y(spot.y)
            part = self.wiring.part(terminal.device)
            radius = max(spot.radius * self.scale, 2.0)
            small = spot.radius < 2
            items: list[Drawable] = [
                Disc(x, y, radius, "ink", HAIR, "casing" if small else "paper")
            ]
            if not small and radius > 4:
                slot = radius * 0.6
                items.append(Stroke(((x - slot, y), (x + slot, y)), "soft", HAIR))
            if terminal.id in rows:
                text, bar = rows[terminal.id], self.plan.bars.get(terminal.device)
                if terminal.device == "bar" or bar is not None and not bar.fits:
                    wide = reserved_width(text.words, SMALLEST) + 4
                    left = text.x - {"middle": wide / 2, "start": 2, "end": wide - 2}[text.anchor]
                    items.append(Box(left, text.y - 11, wide, 15, "none", 0, "paper"))
                items.append(text)
            end = (
                f" {terminal.end}"
                if terminal.end in ("supply", "load")
                and part
                and part.kind
                in (
                    "main-switch",
                    "rcbo",
                    "rcd",
                    "circuit-breaker",
                    "fuse",
                    "contactor",
                )
                else ""
            )
            place = (
                f" terminal {terminal.id.rpartition('.')[2]}"
                if part and part.kind in ("neutral-bar", "earth-bar")
                else f"{end} {terminal.function}"
            )
            groups.append(
                Group(
                    terminal.id,
                    tuple(items),
                    self._said(f"{terminal.device.replace('-', ' ')}{place}"),
                    f"terminal {terminal.function}",
                )
            )
        return groups

    def _name_rows(self) -> dict[str, Lettering]:
        """The name of each terminal where it has room; neighbours that would touch are left to the
        tooltip.
        """
        found: dict[str, Lettering] = {}
        last: dict[tuple[str, str], float] = {}
        for terminal in self.wiring.terminals:
            spot = self.plan.terminals.get(terminal.id)
            part = self.wiring.part(terminal.device)
            if spot is None or not spot.inward or part is None:
                continue
            tail = terminal.id.rpartition(".")[2]
            words = (
                (tail if tail.isdigit() else "")
                if part.kind in ("neutral-bar", "earth-bar")
                else function_mark(terminal.function, self.installation.rules)
            )
            if part.kind == "line-bar":
                words = str(terminal.function)
            body = self.plan.bars.get(part.name)
            deep = min(body.rect.width, body.rect.height) / 2 if body else spot.radius
            text, along, wide = self._named(spot, words, max(deep * self.scale, 4))
            key = (terminal.device, f"{terminal.edge}{terminal.end}{spot.inward}")
            if (
                not words
                or along - wide / 2 < last.get(key, -1e9)
                or not self._has_room(part, spot, wide, words)
            ):
                continue
            last[key] = along + wide / 2
            found[terminal.id] = text
        return found

    def _named(self, spot: FrontSpot, words: str, reach: float) -> tuple[Lettering, float, float]:
        """The name beside a terminal, where it stands along its row and how much of the row it
        takes.
        """
        x, y = self.x(spot.x), self.y(spot.y)
        if spot.inward in ("up", "down"):
            return (
                Lettering(
                    x,
                    y - reach - 4 if spot.inward == "up" else y + reach + 12,
                    words,
                    anchor="middle",
                ),
                x,
                reserved_width(words, SMALLEST) + 1,
            )
        sign, anchor = (-1, "end") if spot.inward == "left" else (1, "start")
        return Lettering(x + sign * (reach + 4), y + 4.3, words, anchor=anchor), y, 13.0

    def _has_room(self, part: Part, spot: FrontSpot, wide: float, words: str) -> bool:
        """Whether a name fits between the screw and the window, and on its device."""
        front = self.plan.devices.get(part.name)
        if front is None:
            return True
        window, gap = front.window, max(spot.radius * self.scale, 4)
        level = spot.inward in ("up", "down")
        room = (
            min(abs(spot.y - window.y), abs(spot.y - window.y - window.height))
            if level
            else min(abs(spot.x - window.x), abs(spot.x - window.x - window.width))
        )
        box = front.rect
        beside = (
            min(spot.x - box.x, box.x + box.width - spot.x)
            if level
            else min(spot.y - box.y, box.y + box.height - spot.y)
        )
        return (
            room * self.scale - gap >= (15.5 if level else reserved_width(words, SMALLEST) + 5.5)
            and beside * self.scale >= wide / 2 + 0.5
        )

    # Beside the board

    def _notes(self) -> Group:
        items: list[Drawable] = []
        if self.beside:
            x, y, room = self.notes_at, self.origin[1] + 11, self.width - self.notes_at - 12
        else:
            x, y, room = 12.0, self.foot + 12, self.width - 24
        found = notes(self.completed, self.plan)
        if self.plan.bar is not None and self._caption_words(self.plan.bar) != bar_caption(
            self.installation
        ):
            found.insert(3, (f"Line bar: {bar_caption(self.installation)}.", "plain"))
        for words, look in found:
            bold, ink = LOOKS[look]
            for line in wrapped(words, SMALLEST, room, bold):
                items.append(Lettering(x, y, line, bold=bold, ink=ink))
                y += STEP
            y += 5 if self.beside else 2
        self.foot = max(self.foot + 6, y + 8) if self.beside else y + 10
        return Group("notes", tuple(items), classes="notes")

    def _key(self) -> Group:
        y = self.foot + 8
        items: list[Drawable] = [Lettering(12, y, KEY_TITLE, bold=True)]
        y += 20
        items += [Lettering(12 + x, y, words, ink="soft") for x, words in zip(_COLUMNS, KEY_HEAD)]
        items.append(Stroke(((12, y + 7), (self.width - 12, y + 7)), "ink", LINE))
        y += 24
        for name, what, cells in key_rows(self.installation):
            y = self._key_row(items, y, name, what, cells)
        for line in wrapped(KEY_NOTE, SMALLEST, self.width - 24):
            items.append(Lettering(12, y + 2, line, ink="soft"))
            y += STEP
        self.foot = y
        return Group("key", tuple(items), classes="key")

    def _key_row(
        self, items: list[Drawable], y: float, name: str, what: str, cells: tuple[str, ...]
    ) -> float:
        first = [(line, True) for line in wrapped(name, SMALLEST, _COLUMNS[1] - 10, True)]
        first += [(line, False) for line in wrapped(what, SMALLEST, _COLUMNS[1] - 10)]
        items += [
            Lettering(12, y + STEP * index, line, bold=bold)
            for index, (line, bold) in enumerate(first)
        ]
        deepest = len(first)
        if all(cell == ASK for cell in cells):
            items.append(Lettering(12 + _COLUMNS[1], y, f"{ASK}: nothing is stated", bold=True))
        else:
            ends = (*_COLUMNS[2:], self.width - 24)
            for x, end, cell in zip(_COLUMNS[1:], ends, cells):
                lines = wrapped(cell, SMALLEST, end - x - 6)
                items += [
                    Lettering(12 + x, y + STEP * index, line, bold=cell == ASK)
                    for index, line in enumerate(lines)
                ]
                deepest = max(deepest, len(lines))
        bottom = y + STEP * (deepest - 1) + 8
        items.append(Stroke(((12, bottom), (self.width - 12, bottom)), "faint", HAIR))
        return bottom + 18

    def sheet(self) -> Sheet:
        groups = [
            self._enclosure(),
            *self._openings(False),
            *self._rail(),
            *self._openings(True),
            *self._free(),
            *self._devices(),
            *self._strip(),
            *self._line_bar(),
            *self._wall_bars(),
            *self._terminals(),
            *self._dimensions(),
            self._notes(),
            self._key(),
        ]
        y = self.foot + 12
        lines = wrapped(caution_line(self.installation.edition), SMALLEST, self.width - 24)
        groups.append(
            Group(
                "caution",
                tuple(
                    Lettering(12, y + STEP * index, line, ink="soft")
                    for index, line in enumerate(lines)
                ),
                classes="caution",
            )
        )
        return Sheet(
            self.width,
            y + STEP * len(lines),
            tuple(groups),
            f"Board front: {self.installation.title}",
            front_words(self.completed, self.plan),
            "board",
            {"units per mm": self.scale},
            data=(("installation", self.installation.name), ("units-per-mm", f"{self.scale:.4f}")),
        )


def _label_lines(words: str, along: float, across: float) -> tuple[Lines, bool] | None:
    """A label level, else turned, else nothing: the key and the tooltip have it."""
    level = wrapped(words, SMALLEST, along)
    if STEP * len(level) <= across + 1 and all(
        reserved_width(line, SMALLEST) <= along for line in level
    ):
        return level, False
    turned = wrapped(words, SMALLEST, across)
    if STEP * len(turned) <= along + 1 and all(
        reserved_width(line, SMALLEST) <= across for line in turned
    ):
        return turned, True
    return None
