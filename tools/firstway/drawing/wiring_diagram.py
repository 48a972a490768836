"""Drawing: the wiring diagram of a board: every terminal and conductor of the graph, at its place.

`wiring_layout` gives the sheet, `wiring_diagram` the SVG. Colours of insulation are real; line
styles and the labels on every conductor say the same without colour.
"""

from dataclasses import replace

from firstway.calculations.adding import added
from firstway.choosing.completing import Completed
from firstway.drawing.board_plan import (
    BACK_ROOM,
    TERMINAL_WORD,
    BoardPlan,
    board_plan,
    is_comb,
)
from firstway.drawing.enclosure_earth import earth_tie
from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.labels import Field, Label, Shape
from firstway.drawing.line_styles import conductor_layers
from firstway.drawing.part_words import (
    ENCLOSURE,
    bar_words,
    drawn_device_words,
    earth_words,
    far_words,
    ferrule_key,
    function_mark,
    label_words,
    spoken_conductor,
    spoken_part,
    wiring_words,
)
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import (
    BAR,
    HAIR,
    LINE,
    SMALLEST,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Ref,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.stages import stage_classes
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.model.nec_words import in_nec_words
from firstway.rendering.html import caution_line
from firstway.wiring.graph import Conductor, Part, Terminal, Wiring

HALO = 10.0  # the gap a bar cuts in what it crosses
BEND = 5.0
PLATE = 15.0  # height of a one-line label
TERMINAL_SHAPES: dict[str, tuple[Drawable, ...]] = {
    "joined": (Disc(0, 0, 6.5, "ink", LINE, "paper"), Disc(0, 0, 2.6, "none", 0, "casing")),
    "free": (Disc(0, 0, 6.5, "ink", LINE, "paper"),),
    "on-bar": (Disc(0, 0, 3.2, "none", 0, "casing"),),
}
BACK_WORDS = "through the back"
TURN_ROUND = 7  # how often channels are widened when a label finds no place


def wiring_layout(completed: Completed) -> Sheet:
    """The sheet of the wiring diagram."""
    wiring = completed.case.wiring.drawn
    for slack in range(TURN_ROUND):
        plan = board_plan(completed.installation, wiring, slack)
        layout = _Layout(completed, plan, short_labels=slack == TURN_ROUND - 1)
        if layout.labels_placed():
            break
    return layout.sheet()


def wiring_diagram(completed: Completed, prefix: str = "") -> Drawn:
    """The wiring diagram as SVG; ids begin with `prefix`."""
    return drawn_from(wiring_layout(completed), prefix or f"{completed.installation.name}-wiring")


class _Layout:
    def __init__(self, completed: Completed, plan: BoardPlan, short_labels: bool = False) -> None:
        self.short_labels = short_labels
        self.completed = completed
        self.installation = completed.installation
        self.wiring: Wiring = completed.case.wiring.drawn
        self.plan = plan
        self.width = max(plan.width, 560.0)
        self.field = Field()
        self.labels: dict[str, Label] = {}
        self.texts: dict[str, list[Lettering]] = {}

    def cables(self) -> dict[str, tuple[Rect, bool]]:
        """Outside the enclosure: the stretch where the conductors of one cable run side by side,
        and whether they run across.
        """
        found: dict[str, tuple[Rect, bool]] = {}
        outer = self.plan.enclosure
        for name in dict.fromkeys(c.cable for c in self.wiring.conductors if c.cable):
            xs, sides = [], []
            for conductor in self.wiring.conductors:
                if conductor.cable != name:
                    continue
                for terminal in (conductor.start, conductor.end):
                    device = self._device(terminal)
                    if device in self.plan.far and (
                        name != "feed" or not self._is_earthing(terminal)
                    ):
                        for point in (
                            self.plan.paths[conductor.id][0],
                            self.plan.paths[conductor.id][-1],
                        ):
                            if (
                                abs(point[0] - self.plan.terminals[terminal][0]) < 9
                                and abs(point[1] - self.plan.terminals[terminal][1]) < 9
                            ):
                                xs.append(
                                    point[1]
                                    if self.plan.far[device][1] in ("left", "right")
                                    else point[0]
                                )
                        sides.append(self.plan.far[device][1])
            if xs and sides[0] in ("left", "right"):
                left, right = (
                    (
                        max(b.x + b.width for b, side in self.plan.far.values() if side == "left")
                        + 14,
                        outer.x - 7,
                    )
                    if sides[0] == "left"
                    else (
                        outer.x + outer.width + 7,
                        min(b.x for b, side in self.plan.far.values() if side == "right") - 14,
                    )
                )
                found[name] = (Rect(left, min(xs) - 8, right - left, max(xs) - min(xs) + 16), True)
            elif xs:
                at_top = sides[0] == "top"
                ends = [
                    self.plan.far[device][0]
                    for device in self.plan.far
                    if any(
                        self._device(end) == device
                        for c in self.wiring.conductors
                        if c.cable == name
                        for end in (c.start, c.end)
                    )
                ]
                y = (
                    min(box.y + box.height for box in ends) + 14
                    if at_top
                    else outer.y + outer.height + 7
                )
                bottom = outer.y - 7 if at_top else min(box.y for box in ends) - 14
                found[name] = (Rect(min(xs) - 8, y, max(xs) - min(xs) + 16, bottom - y), False)
        return found

    def _is_earthing(self, terminal: str) -> bool:
        part = self.wiring.part(self._device(terminal))
        return part is not None and part.kind == "main-earthing-terminal"

    def _device(self, terminal: str) -> str:
        found = self.wiring.terminal(terminal)
        return found.device if found else ""

    # Labels on conductors

    def labels_placed(self) -> bool:
        """Put a label on every conductor; False when one found no place."""
        field, plan = self.field, self.plan
        for box in (
            *plan.devices.values(),
            *(body for body, _ in plan.bars.values()),
            *(body for body, _ in plan.far.values()),
        ):
            field.take((box.x - 2, box.y - 7, box.x + box.width + 2, box.y + box.height + 7))
        for box in (body for body, side in plan.far.values() if side in ("left", "right")):
            field.take((box.x - 8, box.y - 7, box.x + box.width + 8, box.y + box.height + 7))
        outer = plan.enclosure
        for y in (outer.y, outer.y + outer.height):
            field.take((outer.x, y - 2, outer.x + outer.width, y + 2))
        for x in (outer.x, outer.x + outer.width):
            field.take((x - 2, outer.y, x + 2, outer.y + outer.height))
        for box, across in self.cables().values():
            for at in (
                (box.y - 5, box.y + box.height + 3)
                if across
                else (box.x - 5, box.x + box.width + 3)
            ):
                field.take(
                    (box.x, at - 2, box.x + box.width, at + 4)
                    if across
                    else (at - 2, box.y, at + 4, box.y + box.height)
                )
        for box in self._back_openings().values():
            told = self._back_told(box)
            beside = reserved_width(BACK_WORDS, SMALLEST) + 10
            field.take(
                (
                    box.x - (beside if told == "end" else 2),
                    box.y - 8,
                    box.x + box.width + (beside if told == "start" else 2),
                    box.y + box.height + 8,
                )
            )
        for x in (-50.0, self.width - 6):
            field.take((x, -50, x + 56, plan.height + 50))
        for _, x, y, anchor in self._rail_tags():
            field.take(
                (x - 24, y - 10, x + 3, y + 6)
                if anchor == "end"
                else (x - 3, y - 10, x + 24, y + 6)
            )
        for conductor in self.wiring.conductors:
            if conductor.id in plan.paths:
                field.take_line(plan.paths[conductor.id], conductor.id)
        self._caption_bar()
        taken = list(field.taken)
        queue = sorted(self._routed(), key=lambda c: _length(plan.paths[c.id]))
        for _ in range(2):
            without = [c for c in queue if not self._label(c)]
            if not without:
                return True
            queue = without + [c for c in queue if c not in without]  # the hardest first, once more
            field.taken, kept = list(taken), self.labels
            self.labels = {name: label for name, label in kept.items() if name == "line-bar"}
        for conductor in queue:
            self._label(conductor)
        return all(c.id in self.labels for c in queue)

    def _rail_tags(self) -> list[tuple[str, float, float, str]]:
        """The name of each line at the end of its rail: the left one, unless the feed comes in
        there.
        """
        at_left = not any(
            abs(x - left) < 1
            for line, (_, left, _) in self.plan.rails.items()
            for t in self.wiring.terminals
            if t.id.startswith(f"bar.{line}.lugs")
            for x in (self.plan.terminals[t.id][0],)
        )
        return [
            (line, left - 10 if at_left else right + 10, y, "end" if at_left else "start")
            for line, (y, left, right) in self.plan.rails.items()
        ]

    def _caption_bar(self) -> None:
        """What the line bar is: on its last rail, or beside it; the names of its lines stand at its
        end anyway.
        """
        if not self.plan.rails:
            return
        line, (y, left, right) = list(self.plan.rails.items())[-1]
        words = bar_words(self.installation)
        width = reserved_width(words, SMALLEST)
        own = frozenset(c.id for c in self.wiring.conductors if is_comb(c) and c.function == line)
        label = self.field.label_on(((left, y), (right, y)), [((words,), width + 8, PLATE)], own)
        if label is not None:
            self.labels["line-bar"] = label
            return
        for x, anchor, from_x in (
            (left - 40, "end", left - 40 - width),
            (right + 14, "start", right + 14),
        ):
            bounds = (from_x - 4, y - 10, from_x + width + 4, y + 6)
            if (
                self.plan.enclosure.x < bounds[0]
                and bounds[2] < self.plan.enclosure.x + self.plan.enclosure.width
                and self.field.free(bounds)
            ):
                self.field.take(bounds)
                self.texts["line-bar"] = [Lettering(x, y + 4.3, words, anchor=anchor)]
                return

    def _routed(self) -> list[Conductor]:
        return [c for c in self.wiring.conductors if not is_comb(c)]

    def _label(self, conductor: Conductor) -> bool:
        words = label_words(conductor, self.installation.rules)
        whole = " ".join(words)
        shapes = [
            ((whole,), reserved_width(whole, SMALLEST) + 8, PLATE),
            *(_shape(lines) for lines in _broken(words)),
        ]
        path, own = self.plan.paths[conductor.id], frozenset((conductor.id,))
        label = self.field.label_on(path, shapes, own)
        if label is None and (
            self.short_labels
            or self._between_far_places(conductor)
            or (conductor.size == "" and conductor.kind != "armour")
        ):
            label = next(
                (
                    found
                    for lines in _shrunk(words)
                    if (found := self.field.label_on(path, [_shape(lines)], own))
                ),
                None,
            )
        if label is not None:
            self.labels[conductor.id] = label
        return label is not None

    def _between_far_places(self, conductor: Conductor) -> bool:
        """A wire that is none of the board's: where there is no room its size stands in the
        alternative text alone.
        """
        return all(self._device(end) in self.plan.far for end in (conductor.start, conductor.end))

    # Groups

    def sheet(self) -> Sheet:
        plan = self.plan
        footer = wrapped(caution_line(self.installation.edition), SMALLEST, self.width - 24)
        groups = [
            self._enclosure(),
            *self._cable_groups(),
            *self._rail_line(),
            *self._bar_groups(),
            *self._far_groups(),
            *self._device_groups(),
            *self._conductor_groups(),
            *self._back_groups(),
            *self._comb_groups(),
            *self._terminal_groups(),
            *self._label_groups(),
        ]
        dot = [
            (
                f"dot: {earth_words(self.completed)}"
                if self.completed.case.wiring.conductors_at(ENCLOSURE)
                else earth_words(self.completed)
            )
        ]
        key = "; ".join(
            [
                *(word for word in dot if word),
                *(["G: equipment ground"] if self.installation.rules == "nec" else []),
                ferrule_key(self.wiring),
                *(["dashed opening: through the back of the enclosure"] if plan.back else []),
            ]
        )
        y = plan.height + 14
        lines = wrapped(key, SMALLEST, self.width - 24)
        groups.append(
            Group(
                "key",
                tuple(Lettering(12, y + 15 * index, line) for index, line in enumerate(lines)),
                classes="key",
            )
        )
        y += 15 * len(lines) + 2
        groups.append(
            Group(
                "caution",
                tuple(
                    Lettering(12, y + 15 * index, line, ink="soft")
                    for index, line in enumerate(footer)
                ),
                classes="caution",
            )
        )
        title = f"Wiring diagram: {self.installation.title}"
        notes: dict[str, float] = {
            "crossings": plan.crossings,
            "naive crossings": plan.naive_crossings,
            "labels missing": len([c for c in self._routed() if c.id not in self.labels]),
        }
        return Sheet(
            self.width,
            y + 15 * len(footer),
            self._staged(groups),
            title,
            wiring_words(self.completed),
            "wiring",
            notes,
            TERMINAL_SHAPES,
            "butt",
            (("installation", self.installation.name),),
        )

    def _staged(self, groups: list[Group]) -> tuple[Group, ...]:
        """Each group with the class of the stage it is fitted in; what belongs to none has no such
        class.
        """
        classes = dict(stage_classes(self.completed))
        devices = {terminal.id: terminal.device for terminal in self.wiring.terminals}
        classes |= {"line-bar": classes["bar"], ENCLOSURE: classes["earth-bar"]}
        classes |= {
            f"cable.{c.cable}": classes[c.id]
            for c in self.wiring.conductors
            if c.cable and c.cable != "feed"
        }

        def stage(name: str) -> str:
            bare = name.removeprefix("wire.").removeprefix("label.")
            return classes.get(bare) or classes.get(devices.get(bare, "")) or ""

        return tuple(
            (
                replace(group, classes=f"{group.classes} {found}")
                if (found := stage(group.id))
                else group
            )
            for group in groups
        )

    def _enclosure(self) -> Group:
        box = self.plan.enclosure
        return Group(
            "enclosure",
            (Box(box.x, box.y, box.width, box.height, line=LINE, round=8),),
            self._words("The enclosure of the board"),
            "enclosure",
        )

    def _rail_line(self) -> list[Group]:
        """The mounting rail shows left and right of the devices only."""
        boxes = list(self.plan.devices.values())
        if not boxes:
            return []
        left, right = min(b.x for b in boxes), max(b.x + b.width for b in boxes)
        y = boxes[0].y + boxes[0].height / 2
        items = [
            Stroke(((x, y + d), (x + 9, y + d)), "soft", HAIR)
            for x in (left - 9, right)
            for d in (-9, 9)
        ]
        return [Group("rail", tuple(items), "Mounting rail", "rail")]

    def _cable_groups(self) -> list[Group]:
        groups = []
        for name, (box, across) in self.cables().items():
            items: list[Drawable] = []
            circuit = next((c for c in self.installation.circuits if c.name == name), None)
            if circuit is None:
                continue
            for reach, dash in ((0, ""), (4, "3 3")):
                if not dash or circuit.cable.construction == "armoured":
                    low, extent = (box.y, box.height) if across else (box.x, box.width)
                    for at in (low - 2 - reach, low + extent + 2 + reach):
                        ends = (
                            ((box.x, at), (box.x + box.width, at))
                            if across
                            else ((at, box.y), (at, box.y + box.height))
                        )
                        items.append(Stroke(ends, "soft", LINE, dash))
            groups.append(Group(f"cable.{name}", tuple(items), f"Cable of {name}", "cable"))
        return groups

    def _back_openings(self) -> dict[str, Rect]:
        """Where conductors come through the back of the enclosure, drawn just inside the wall
        beyond which they lie.
        """
        outer, found = self.plan.enclosure, {}
        for side in sorted(self.plan.back):
            wall = outer.y if side == "top" else outer.y + outer.height
            xs = [
                point[0]
                for path in (self.plan.paths[c.id] for c in self._routed())
                for point, after in zip(path, path[1:])
                if point[0] == after[0] and min(point[1], after[1]) < wall < max(point[1], after[1])
            ]
            if xs:
                found[side] = Rect(
                    min(xs) - 12,
                    wall + 6 if side == "top" else wall - BACK_ROOM + 6,
                    max(xs) - min(xs) + 24,
                    BACK_ROOM - 12,
                )
        return found

    def _back_told(self, box: Rect) -> str:
        """The anchor of the words beside an opening: left of it, right of it, or "" where there is
        no room.
        """
        outer, width = self.plan.enclosure, reserved_width(BACK_WORDS, SMALLEST) + 8
        if box.x - width > outer.x + 10:
            return "end"
        return "start" if box.x + box.width + width < outer.x + outer.width - 10 else ""

    def _back_groups(self) -> list[Group]:
        """The opening, and the wall drawn over the conductors behind it."""
        outer, groups = self.plan.enclosure, []
        for side, box in self._back_openings().items():
            wall = outer.y if side == "top" else outer.y + outer.height
            anchor = self._back_told(box)
            x = box.x - 6 if anchor == "end" else box.x + box.width + 6
            told = (
                (Lettering(x, box.y + box.height / 2 + 4.3, BACK_WORDS, anchor=anchor, ink="soft"),)
                if anchor
                else ()
            )  # the key says it too
            behind = Box(
                box.x,
                wall if side == "top" else box.y + box.height,
                box.width,
                6,
                "none",
                0,
                "paper",
            )  # hidden by the back plate
            groups.append(
                Group(
                    f"back.{side}",
                    (
                        behind,
                        Stroke(((box.x, wall), (box.x + box.width, wall)), "ink", LINE),
                        Box(box.x, box.y, box.width, box.height, "ink", LINE, round=6, dash="5 4"),
                        *told,
                    ),
                    "Opening in the back of the enclosure",
                    "opening",
                )
            )
        return groups

    def _words(self, text: str) -> str:
        return (
            in_nec_words(text.replace("-bar ", " bar "))
            if self.installation.rules == "nec"
            else text
        )

    def _bar_groups(self) -> list[Group]:
        groups = []
        for name, (box, side) in self.plan.bars.items():
            words = self._words(name.replace("-", " ")).replace(
                "grounding bar", "ground bar"
            )  # a short bar has no room for more
            items: list[Drawable] = [
                Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 3)
            ]
            if side in ("left", "right"):
                x = box.x + 13 if side == "left" else box.x + box.width - 13
                turn = -90 if side == "left" else 90
                x += 4 if side == "left" else -4
                items.append(
                    Lettering(
                        x, box.y + box.height / 2, words, anchor="middle", bold=True, turn=turn
                    )
                )
            else:
                y = box.y + 15 if side == "top" else box.y + box.height - 6
                items.append(Lettering(box.x + box.width / 2, y, words, anchor="middle", bold=True))
            groups.append(
                Group(name, tuple(items), spoken_part(self.completed, name), f"part {name}")
            )
            tie = (
                earth_tie(
                    self.completed,
                    box,
                    side,
                    None if side in self.plan.back else self.plan.enclosure,
                )
                if name == "earth-bar"
                else None
            )
            groups += [tie] if tie else []
        return groups

    def _far_groups(self) -> list[Group]:
        groups = []
        for name, (box, side) in self.plan.far.items():
            part = self.wiring.part(name)
            assert part is not None
            items: list[Drawable] = [
                Box(box.x, box.y, box.width, box.height, "ink", LINE, "panel", 6)
            ]
            beside = side in ("left", "right")
            lines = far_words(
                self.installation, part, box.width - (TERMINAL_WORD + 14 if beside else 12)
            )
            y = box.y + (38 if side == "bottom" else 18 if beside else 16)
            x = box.x + (TERMINAL_WORD + 7 if side == "right" else 7)
            for index, (line, bold) in enumerate(lines):
                items.append(Lettering(x, y + 14.5 * index, line, bold=bold))
            groups.append(
                Group(name, tuple(items), spoken_part(self.completed, name), f"part {part.kind}")
            )
        return groups

    def _device_groups(self) -> list[Group]:
        groups = []
        for name, box in self.plan.devices.items():
            part = self.wiring.part(name)
            assert part is not None
            inset = 1.5
            plate = Box(
                box.x + inset,
                box.y + 36,
                box.width - 2 * inset,
                box.height - 72,
                "ink",
                HAIR,
                "plate",
                3,
            )
            items: list[Drawable] = [
                Box(
                    box.x + inset, box.y, box.width - 2 * inset, box.height, "ink", LINE, "panel", 4
                ),
                plate,
            ]
            middle, lines = (
                box.x + box.width / 2,
                drawn_device_words(self.installation, part, box.width - 8),
            )
            y = box.y + box.height / 2 - 7 * (len(lines) - 1) + 4
            for index, (line, bold) in enumerate(lines):
                items.append(Lettering(middle, y + 14 * index, line, anchor="middle", bold=bold))
            for end, edge_y in (
                (self._end_at(name, "top"), box.y + 33),
                (self._end_at(name, "bottom"), box.y + box.height - 26),
            ):
                if end:
                    items.append(Lettering(middle, edge_y, end, anchor="middle", ink="soft"))
            groups.append(
                Group(name, tuple(items), spoken_part(self.completed, name), f"part {part.kind}")
            )
        return groups

    def _end_at(self, device: str, edge: str) -> str:
        """What the terminals of one edge are: `supply` or `load`, where the device has both."""
        ends = {t.end for t in self.wiring.terminals_of(device) if t.edge == edge}
        part = self.wiring.part(device)
        if part is None or part.kind == "spd" or len(ends) != 1:
            return ""
        word = str(ends.pop())
        xs = sorted(
            self.plan.terminals[t.id][0] for t in self.wiring.terminals_of(device) if t.edge == edge
        )
        return (
            word
            if all(abs(x - self._middle(device)) > 0 for x in xs)
            and word in ("supply", "load")
            and self.plan.devices[device].width >= 80
            else ""
        )

    def _middle(self, device: str) -> float:
        box = self.plan.devices[device]
        return box.x + box.width / 2

    def _conductor_groups(self) -> list[Group]:
        """Conductors that run across lie under those that run down; each cuts a gap in what it
        crosses.
        """
        return [self._conductor(c) for c in self._routed()]

    def _conductor(self, conductor: Conductor) -> Group:
        points = self.plan.paths[conductor.id]
        return Group(
            f"wire.{conductor.id}",
            (Strands(points, conductor_layers(conductor), BEND),),
            self._words(spoken_conductor(self.wiring, conductor, with_ferrule=False)),
            f"conductor {conductor.kind} {conductor.function}",
            (("from", conductor.start), ("to", conductor.end)),
        )

    def _comb_groups(self) -> list[Group]:
        """Bars: rails first, then the teeth, which cut a gap in the rails they pass."""
        groups = []
        combs = [c for c in self.wiring.conductors if is_comb(c)]
        for conductor in sorted(
            combs, key=lambda c: self.plan.paths[c.id][0][0] == self.plan.paths[c.id][1][0]
        ):
            points = self.plan.paths[conductor.id]
            part = self.wiring.part(self._device(conductor.start))
            if part is not None and part.kind in ("neutral-bar", "earth-bar"):
                items: tuple[Drawable, ...] = (Stroke(points, "soft", BAR),)
            else:
                ink = CONDUCTOR_INKS.get(conductor.colour, ("soft",))[0]
                items = (
                    Stroke(_shortened(points, 7.5), "paper", HALO),
                    Stroke(points, "casing", BAR + 1.6),
                    Stroke(points, ink, BAR),
                )
            groups.append(
                Group(
                    f"wire.{conductor.id}",
                    items,
                    self._words(spoken_conductor(self.wiring, conductor)),
                    f"conductor bar {conductor.function}",
                    (("from", conductor.start), ("to", conductor.end)),
                )
            )
        tags = tuple(
            Lettering(x, y + 4.3, line, anchor=anchor, bold=True)
            for line, x, y, anchor in self._rail_tags()
        )
        tags += tuple(self.texts.get("line-bar", []))
        return [*groups, Group("line-bar", tags, "Line bar", "part line-bar")] if tags else groups

    def _terminal_groups(self) -> list[Group]:
        groups = []
        for terminal in self.wiring.terminals:
            x, y = self.plan.terminals[terminal.id]
            part = self.wiring.part(terminal.device)
            items: list[Drawable] = []
            if part is not None and part.kind == "line-bar":
                items.append(Ref(x, y, "on-bar"))
            else:
                left_free = (
                    part is not None
                    and part.kind in ("neutral-bar", "earth-bar")
                    and not terminal.id.rpartition(".")[2].isdigit()
                )
                joined = bool(self.wiring.conductors_at(terminal.id)) and not left_free
                items.append(Ref(x, y, "joined" if joined else "free"))
                items.append(self._terminal_text(terminal, part, x, y))
            groups.append(
                Group(
                    terminal.id,
                    tuple(items),
                    self._words(_terminal_title(terminal)),
                    f"terminal {terminal.function}",
                )
            )
        return groups

    def _terminal_text(
        self, terminal: Terminal, part: Part | None, x: float, y: float
    ) -> Lettering:
        words = function_mark(terminal.function, self.installation.rules)
        if part is not None and part.kind in ("neutral-bar", "earth-bar"):
            tail = terminal.id.rpartition(".")[2]
            words = tail if tail.isdigit() else ""
        elif terminal.id.endswith(".armour"):
            words = "arm."
        elif ".parked." in terminal.id:
            words = "off"
        side = self.plan.edges[terminal.id]
        dx, dy, anchor = {
            "up": (0, -11, "middle"),
            "down": (0, 20, "middle"),
            "left": (-10, 4.3, "end"),
            "right": (10, 4.3, "start"),
        }[side]
        return Lettering(x + dx, y + dy, words, anchor=anchor)

    def _label_groups(self) -> list[Group]:
        groups = []
        for owner, label in self.labels.items():
            plate = Box(
                label.x - label.width / 2,
                label.y - label.height / 2,
                label.width,
                label.height,
                "casing",
                HAIR,
                "paper",
                4,
            )
            items: list[Drawable] = [plate]
            for index, line in enumerate(label.lines):
                shift = 4.3 + 13.5 * (index - (len(label.lines) - 1) / 2)
                x, y = (label.x, label.y + shift) if label.upright else (label.x + shift, label.y)
                items.append(
                    Lettering(x, y, line, anchor="middle", turn=0 if label.upright else -90)
                )
            groups.append(Group(f"label.{owner}", tuple(items), classes="label"))
        return groups


def _shape(lines: tuple[str, ...]) -> Shape:
    return lines, max(reserved_width(line, SMALLEST) for line in lines) + 6, 13.5 * len(lines) + 1.5


def _broken(words: tuple[str, ...]) -> list[tuple[str, ...]]:
    """The words in two lines, then each on its own."""
    shapes: list[tuple[str, ...]] = [(" ".join(words[:-1]), words[-1])] if len(words) > 1 else []
    return [*shapes, words] if len(words) > 2 else shapes


def _shrunk(words: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Where no size is known, or no room for it all: function and size, or the function alone."""
    return [(" ".join(words[:2]),), words[:2], words[:1]] if len(words) > 2 else [words[:1]]


def _shortened(
    points: tuple[tuple[float, float], ...], by: float
) -> tuple[tuple[float, float], ...]:
    """A straight line less a piece at both ends."""
    (ax, ay), (bx, by_) = points[0], points[-1]
    if abs(bx - ax) + abs(by_ - ay) <= 2 * by + 1:
        return (((ax + bx) / 2, (ay + by_) / 2), ((ax + bx) / 2, (ay + by_) / 2 + 0.1))
    dx, dy = (bx > ax) - (bx < ax), (by_ > ay) - (by_ < ay)
    return (ax + dx * by, ay + dy * by), (bx - dx * by, by_ - dy * by)


def _length(points: tuple[tuple[float, float], ...]) -> float:
    return added(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in zip(points, points[1:]))


def _terminal_title(terminal: Terminal) -> str:
    end = "" if terminal.end == "both" else f" {terminal.end}"
    tail = terminal.id.rpartition(".")[2]
    return f"{terminal.device}{end} {terminal.function}" + (
        f", {tail}" if tail != terminal.function else ""
    )
