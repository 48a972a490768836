"""Drawing: the single-line diagram, from source to vehicle, with the figures of the working called
out by number.

`single_line_layout` gives the sheet, `single_line` the SVG. Symbols are placed by their terminals;
the path runs down.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from schemdraw.elements import Element

from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed
from firstway.drawing import more_symbols as more
from firstway.drawing import single_line_words as words
from firstway.drawing.part_words import function_mark
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
    PlacedDrawing,
    Ref,
    Sheet,
    Stroke,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.symbols import (
    CableSheath,
    CircuitBreaker,
    ConductorStrokes,
    ContactorSymbol,
    CutOut,
    EarthElectrode,
    EnergyMeter,
    Fuse,
    Isolator,
    OnBoardCharger,
    OpenPenDevice,
    PenSplit,
    ProtectiveEarth,
    Rcbo,
    ResidualCurrentDeviceSymbol,
    SourceSymbol,
    SurgeDevice,
    SwitchDisconnector,
    VehicleInlet,
)
from firstway.drawing.text_width import wrapped
from firstway.model.installation import (
    Circuit,
    Electrode,
    Feed,
    Installation,
    LoadLimiter,
    ServiceDevice,
    Way,
)
from firstway.model.installation import ResidualCurrentDevice as ResidualData
from firstway.model.lines import residual_device_at_origin
from firstway.model.nec_words import GROUND, in_nec_words
from firstway.model.values import Absent, is_known
from firstway.rendering.figures import full
from firstway.rendering.html import caution_line
from firstway.workings.shared.step import Step

_WIDTH = 900.0
_COLUMN = 172.0  # between ways
_LABEL = 34.0  # from the path to its labels
KEY_WIDTH = 236.0
LINE_HEIGHT = 15.0
DOOR = 7.0  # from the drop of the control link to the charging point
BRANCH = 14.0  # from the bar to a way
LINK_DASH = "6 3"
FLAGGED = ("danger", "fail")


def single_line_layout(completed: Completed, with_figures: bool = True) -> Sheet:
    """The sheet of the single-line diagram; a question about a figure shows it without figures."""
    return _SingleLine(completed, with_figures).sheet()


def single_line(completed: Completed, prefix: str = "") -> Drawn:
    """The single-line diagram as SVG; ids begin with `prefix`."""
    return drawn_from(
        single_line_layout(completed), prefix or f"{completed.installation.name}-single-line"
    )


@dataclass(frozen=True)
class _Column:
    way: Way
    x: float
    circuit: Circuit | None


class _SingleLine:
    def __init__(self, completed: Completed, with_figures: bool = True) -> None:
        self.completed = completed
        self.with_figures = with_figures
        self.installation: Installation = completed.installation
        self.groups: list[Group] = []
        self.called: list[tuple[int, Step, str]] = []
        self.flags: dict[str, list[Finding]] = _by_place(completed.findings, self.installation)
        self.flagged: list[tuple[str, str, str]] = []
        ways = self.installation.board.ways
        aside = any(
            way.device == "spd" and is_known(way.fed_from) and way.fed_from != "bar" for way in ways
        )
        self.earth_x = (
            76.0 if aside else 112.0
        )  # main earthing terminal and main protective conductor
        self.main_x = 334.0 if aside else 304.0  # the supply path
        self.columns = self._columns()
        self.y = 16.0
        self.met_y = 0.0
        self.nec = self.installation.rules == "nec"
        # where a feeder's grounding conductor leaves it for the grounding bar, under rule set nec
        self.split_y = 0.0
        self.order: tuple[float, float] | None = None  # where the limiter's control link begins
        self.doors: list[tuple[float, float]] = []  # left edge and top of each charging point

    def _columns(self) -> list[_Column]:
        """Ways from the incoming end; a way fed from another stands left of the one that
        feeds it.
        """
        ways = [way for way in self.installation.board.ways if way.device != "blank"]
        on_bar = [way for way in ways if way.fed_from == "bar" or not is_known(way.fed_from)]
        pitch = _COLUMN if len(on_bar) < 4 else max(150.0, min(_COLUMN, 560.0 / (len(on_bar) - 1)))
        columns, x = [], self.main_x
        link = (
            20.0
            if isinstance(self.installation.load_limiter, LoadLimiter) and len(on_bar) > 3
            else 0.0
        )  # room for its control link
        for way in on_bar:
            columns.append(_Column(way, x, self._circuit(way)))
            x += (
                pitch
                + (34.0 if way.device != "spd" and len(on_bar) > 2 else 0.0)
                + (link if way.device != "spd" else 0.0)
            )
        for way in ways:
            if way not in on_bar:
                feeder = next((c.x for c in columns if c.way.name == way.fed_from), self.main_x)
                columns.append(
                    _Column(way, feeder - 84 if way.device == "spd" else x, self._circuit(way))
                )
                x += pitch if way.device != "spd" else 0
        return columns

    def _circuit(self, way: Way) -> Circuit | None:
        return next((c for c in self.installation.circuits if c.name == way.feeds), None)

    # Small tools

    def add(self, name: str, *items: Drawable, title: str = "", classes: str = "") -> None:
        self.groups.append(Group(name, items, title, classes))

    def symbol(self, name: str, element: Element, x: float, title: str) -> float:
        """A symbol on the path, its supply terminal at (x, self.y); gives the y of its load
        terminal.
        """
        self.add(name, PlacedDrawing(element, x, self.y), title=title, classes="symbol")
        return self.y - float(element.anchors["load"][1])

    def wire(self, *points: tuple[float, float], dash: str = "") -> None:
        last = self.groups[-1] if self.groups else None
        if (
            last is not None
            and last.id.startswith("line.")
            and isinstance(last.items[0], Stroke)
            and not dash
            and last.items[0] == Stroke(last.items[0].points)
        ):
            (ax, ay), (bx, by) = last.items[0].points[-2:]
            if (
                points[0] == (bx, by)
                and ax == bx == points[1][0]
                and (by - ay) * (points[1][1] - by) > 0
            ):  # straight on: one stroke
                self.groups[-1] = replace(
                    last, items=(Stroke((*last.items[0].points[:-1], *points[1:])),)
                )
                return
        self.add(f"line.{len(self.groups)}", Stroke(points, dash=dash), classes="path")

    def label(
        self,
        name: str,
        x: float,
        top: float,
        lines: Sequence[str],
        figures: Sequence[tuple[str, str]] = (),
        places: Sequence[str] = (),
        width: float = 150.0,
        note: str = "",
        anchor: str = "start",
        named: bool = True,
    ) -> float:
        """Lines of text, then call-outs and flags in a row; gives the y below them."""
        items: list[Drawable] = []
        broken = [
            (line, named and index == 0)
            for index, text in enumerate(lines)
            for line in wrapped(self._said(text), SMALLEST, width, named and index == 0)
        ]
        y = top
        for line, first in broken:
            y += LINE_HEIGHT
            items.append(Lettering(x, y - 4, line, bold=first, anchor=anchor))
        if note:
            y += LINE_HEIGHT
            items.append(Lettering(x, y - 4, note, ink="soft", anchor=anchor))
        marks = self._marks(figures, places)
        step = 23.0 if anchor == "start" else -23.0
        for index, mark in enumerate(marks):
            row, column = divmod(index, max(int(width // 23), 1))
            items += mark(x + (11 if anchor == "start" else -11) + column * step, y + 11 + row * 23)
        if marks:
            y += 23.0 * (1 + (len(marks) - 1) // max(int(width // 23), 1))
        self.add(f"label.{name}", *items, classes="label")
        return y

    def _marks(self, figures: Sequence[tuple[str, str]], places: Sequence[str]) -> list["_Mark"]:
        marks: list[_Mark] = []
        for step_id, of in figures:
            step = self.completed.case.workings.find(step_id, of)
            if step is not None:
                self.called.append((len(self.called) + 1, step, of))
                marks.append(_Mark(str(len(self.called)), False))
        for place in places:
            for finding in self.flags.pop(place, []):
                letter = _letter(len(self.flagged))
                word = "Danger" if finding.level == "danger" else "Fail"
                self.flagged.append(
                    (
                        letter,
                        word,
                        (
                            f"{word}, {finding.id.replace('-', ' ')} at"
                            f" {finding.place or finding.of}: {finding.message}"
                        ),
                    )
                )
                marks.append(_Mark(letter, True))
        return marks

    def figures(self, kind: str, of: str) -> list[tuple[str, str]]:
        called = words.called_out(self.installation.rules)
        return [(step, of) for step in called[kind]] if self.with_figures else []

    # The path

    def sheet(self) -> Sheet:
        self._supply()
        self._origin()
        self._feed()
        bottoms = self._board()
        bottom = max([self.y, *bottoms]) + 10
        width = max(_WIDTH, max(column.x for column in self.columns) + 200)
        beside = (
            max((c.x for c in self.columns), default=self.main_x) + 34 + 150 <= width - KEY_WIDTH
        )
        bottom = self._key(bottom, beside, width)
        for index, line in enumerate(
            wrapped(caution_line(self.installation.edition), SMALLEST, width - 24)
        ):
            self.add(
                f"caution.{index}",
                Lettering(12, bottom + 14 + 15 * index, line, ink="soft"),
                classes="caution",
            )
            height = bottom + 14 + 15 * index + 10
        title = f"Single-line diagram: {self.installation.title}"
        return Sheet(
            width,
            height,
            tuple(self.groups),
            title,
            words.single_line_description(self.completed, self.called, self.flagged),
            "single-line",
            {"figures": len(self.called), "flags": len(self.flagged)},
            MARK_SHAPES,
            data=(("installation", self.installation.name),),
        )

    def _supply(self) -> None:
        supply = self.installation.supply
        source = SourceSymbol()
        bottom = self.symbol("source", source, self.main_x, self._said("The distributor's source"))
        star_y = self.y + 27
        self.wire((self.main_x - 13, star_y), (self.main_x - 60, star_y))
        self.add(
            "source-electrode",
            PlacedDrawing(EarthElectrode(), self.main_x - 60, star_y),
            title=self._said("Earth electrode of the source"),
            classes="symbol",
        )
        ohms = supply.source_electrode_ohm
        electrode = [
            "Source electrode",
            words.amount(ohms, "ohm").replace("ohm", "Ω") if is_known(ohms) else "not known",
        ]
        if supply.system == "grounded" and not is_known(ohms):
            electrode = [
                "Grounded at the utility's source"
            ]  # no figure of the nec's working rests on its resistance
        self.label(
            "source-electrode", self.main_x - 82, star_y - 26, electrode, anchor="end", width=160
        )
        self.label(
            "source",
            self.main_x + _LABEL,
            self.y - 4,
            words.supply_words(self.installation),
            width=290,
        )
        self.y = bottom
        lines = ("L1", "L2", "L3")[: int(supply.phases)]
        if supply.system == "grounded" and supply.phases == 1:
            lines = ("L1", "L2")
        incoming = {"TN-C-S": (*lines, "PEN"), "TT": (*lines, "N"), "grounded": (*lines, "N")}.get(
            str(supply.system), (*lines, "N", "PE")
        )
        self._cable_line(self.main_x, 58, incoming, None)
        self.add(
            "service-line", Lettering(self.main_x + _LABEL, self.y - 22, "service line", ink="soft")
        )

    def _cable_line(
        self, x: float, length: float, functions: tuple[str, ...], armoured: bool | None
    ) -> None:
        """A stretch of line with its conductor strokes; a cable has its sheath beside it."""
        self.wire((x, self.y), (x, self.y + length))
        if armoured is not None:
            self.add(
                f"sheath.{len(self.groups)}",
                PlacedDrawing(CableSheath(length, armoured), x, self.y),
                classes="symbol",
            )
        self.add(
            f"strokes.{len(self.groups)}",
            PlacedDrawing(ConductorStrokes(functions), x, self.y + length / 2),
            title=(
                "Conductors:"
                f" {', '.join(function_mark(each, self.installation.rules) for each in functions)}"
            ),
            classes="symbol",
        )
        self.y += length

    def _origin(self) -> None:
        supply = self.installation.supply
        # common practice there: the meter ahead of the service disconnect, where neutral and ground
        # are joined
        if self.nec:
            self._meter()
            self._earthing(str(supply.system))
            self._service_device(
                (
                    CircuitBreaker()
                    if getattr(supply.service_device, "device", "") == "circuit-breaker"
                    else CutOut()
                ),
                "Service disconnect",
            )
        else:
            self._earthing(str(supply.system))
            self._service_device(CutOut(), "Service device of the distributor")
            self._meter()
        upstream = residual_device_at_origin(self.installation)
        if isinstance(upstream, ResidualData):
            self._stop(
                "upstream-rcd", ResidualCurrentDeviceSymbol(), [words.residual_words(upstream)]
            )
        if supply.isolator is True:
            self._stop("isolator", Isolator(), ["Isolator"])
        if not self._senses_after_split():
            self._limiter()

    def _service_device(self, symbol: Element, title: str) -> None:
        top = self.y
        self.y = self.symbol("service-device", symbol, self.main_x, title)
        end = self.label(
            "service-device",
            self.main_x + _LABEL,
            top,
            words.service_words(self.installation),
            self.figures("supply", "supply"),
            ("supply", "origin"),
            290,
            "authorised person only",
        )
        self._down_to(end + 4)

    def _meter(self) -> None:
        top = self.y
        self.y = self.symbol("meter", EnergyMeter(), self.main_x, "Energy meter")
        self.add("meter-words", Lettering(self.main_x, top + 38, "kWh", anchor="middle"))
        self.label(
            "meter", self.main_x + _LABEL, top + 8, ["Energy meter"], note="authorised person only"
        )
        self._down_to(self.y + 8)

    def _stop(
        self, name: str, element: Element, lines: list[str], places: Sequence[str] = ()
    ) -> None:
        top = self.y
        self.y = self.symbol(name, element, self.main_x, self._said(lines[0]))
        end = self.label(name, self.main_x + _LABEL, top + 6, lines, places=places, width=290)
        self._down_to(max(end, self.y) + 8)

    def _said(self, text: str) -> str:
        return in_nec_words(text) if self.nec else text

    def _down_to(self, y: float) -> None:
        if y > self.y:
            self.wire((self.main_x, self.y), (self.main_x, y))
            self.y = y

    def _earthing(self, system: str) -> None:
        """The main earthing terminal and what earths it."""
        self.met_y = self.y + 4
        y = self.met_y + 12
        name = ["Grounding terminal", "of the service"] if self.nec else ["Main earthing terminal"]
        self.add(
            "met",
            PlacedDrawing(ProtectiveEarth(), self.earth_x, self.met_y),
            title=" ".join(name),
            classes="symbol",
        )
        self.label(
            "met",
            self.earth_x + 18,
            y - 20 - LINE_HEIGHT * ((system == "TT") + len(name) - 1),
            name,
            width=170,
        )
        if system != "TT":
            self.wire((self.main_x, self.y), (self.main_x, y))
            self.add(
                "pen-split",
                PlacedDrawing(PenSplit(), self.main_x, y),
                title=(
                    "Neutral and ground are joined here, at the service, and only here"
                    if self.nec
                    else "The supply's earth leaves the line here"
                ),
                classes="symbol",
            )
            self.wire((self.main_x - 14, y), (self.earth_x + 12, y))
            self.y = y
            self._down_to(y + 10)
        held = [
            item
            for item in self.installation.electrodes
            if item.use in ("installation", "holds-down-open-pen")
        ]
        for index, item in enumerate(held):
            x = 36.0 + 44.0 * index
            self.wire((self.earth_x - 12, y), (x, y), (x, y + 12))
            self.add(
                f"electrode.{item.name}",
                PlacedDrawing(EarthElectrode(), x, y + 12),
                title=f"Earth electrode {item.name}",
                classes="symbol",
            )
            self._electrode_label(item, 12.0, y + 40 + 60 * index, 88)

    def _electrode_label(self, item: Electrode, x: float, top: float, width: float) -> float:
        return self.label(
            f"electrode.{item.name}",
            x,
            top,
            [line for line in words.electrode_words(item) if line],
            self.figures("electrode", item.name),
            (item.name,),
            width,
        )

    def _senses_after_split(self) -> bool:
        limiter, feed = self.installation.load_limiter, self.installation.feed
        return (
            isinstance(limiter, LoadLimiter)
            and not isinstance(limiter.senses, Absent)
            and limiter.senses.place == "after-split"
            and not isinstance(feed, Absent)
        )

    def _limiter(self) -> None:
        """The limiter on the path with its current transformer; the link to the points it slows
        down is drawn when these stand.
        """
        limiter = self.installation.load_limiter
        if not isinstance(limiter, LoadLimiter):
            return
        self._down_to(self.y + 4)
        symbol, top = more.LoadLimiterSymbol(), self.y
        self.y = self.symbol(
            "load-limiter", symbol, self.main_x, "Load limiter with its current transformer"
        )
        self.order = (
            self.main_x + float(symbol.anchors["order"][0]),
            top - float(symbol.anchors["order"][1]),
        )
        lines = [*words.limiter_words(limiter), "senses the line here; dashed: its control link"]
        end = self.label(
            "load-limiter",
            self.main_x + _LABEL,
            top + 6,
            lines,
            places=("load_limiter",),
            width=290,
        )
        self._down_to(max(end, self.y) + 8)

    def _control_link(self, board_bottom: float) -> None:
        """From the limiter past the board to every charging point, dashed: it carries orders, no
        power.
        """
        if self.order is None or not self.doors:
            return
        x, y = self.order
        aside, under = self.earth_x + 11, board_bottom + 5
        points = ", ".join(point.name for point in self.installation.charging_points)
        items: list[Drawable] = [
            Stroke(
                (
                    (x, y),
                    (aside, y),
                    (aside, under),
                    (max(at for at, _ in self.doors) - DOOR, under),
                ),
                "ink",
                HAIR,
                LINK_DASH,
            )
        ]
        for door, top in self.doors:
            items.append(
                Stroke(
                    ((door - DOOR, under), (door - DOOR, top + 12), (door - 5, top + 12)),
                    "ink",
                    HAIR,
                    LINK_DASH,
                )
            )
            items.append(
                Stroke(
                    ((door, top + 12), (door - 7, top + 8), (door - 7, top + 16)),
                    "ink",
                    HAIR,
                    fill="ink",
                    closed=True,
                )
            )
        self.add(
            "control-link",
            *items,
            title=f"Control link from the load limiter to {points}",
            classes="link",
        )

    def _feed(self) -> None:
        feed = self.installation.feed
        if isinstance(feed, Absent):
            return
        if feed.from_ == "existing-board-way":
            self._through_existing(feed)
        elif feed.from_ == "connector-block":
            self._split()
        if self._senses_after_split():
            self._limiter()
        for item in feed.through:
            if isinstance(item, ServiceDevice):
                symbol: Element = CircuitBreaker() if item.device == "circuit-breaker" else Fuse()
                if item.device == "switch-fuse":
                    self.y = self.symbol(
                        "feed-switch", SwitchDisconnector(), self.main_x, "Switch of the feed"
                    )
                self._stop(
                    f"feed-device.{len(self.groups)}",
                    symbol,
                    [f"Feed: {words.device_phrase(item)}"],
                )
        lines = tuple(
            dict.fromkeys(line for circuit in self.installation.circuits for line in circuit.lines)
        ) or ("L1",)
        top = self.y
        cable = feed.cable
        armoured = (
            None
            if isinstance(cable, Absent) or cable.construction == "single-core"
            else cable.construction == "armoured"
        )
        text = words.cable_lines("Feed", feed.cable, feed.route)
        self._cable_line(self.main_x, 66, (*lines, "N", "PE"), armoured)
        end = self.label(
            "feed",
            self.main_x + _LABEL,
            top - 2,
            text,
            self.figures("feed", "feed"),
            ("feed",),
            290,
        )
        self._down_to(end + 8)

    def _split(self) -> None:
        """The connector block: the existing board branches off to the left."""
        y = self.y + 10
        self._down_to(y)
        boards = self.installation.existing_boards
        self.add(
            "connector-block",
            Disc(self.main_x, y, 3.2, "ink", 0, "ink"),
            title="Connector block",
            classes="symbol",
        )
        self.label(
            "connector-block",
            self.main_x + _LABEL,
            y - 12,
            ["Connector block"],
            note="authorised person only",
        )
        bottom = y + 24
        if boards:
            lines = [
                line
                for board in boards
                for text in words.existing_words(board)
                for line in wrapped(text, SMALLEST, 96)
            ]
            left, height = self.earth_x + 22, LINE_HEIGHT * (len(lines) + 2) + 14
            self.wire((self.main_x, y), (left + 106, y))
            self.add(
                "existing-board",
                Box(left, y - 14, 106, height, round=4, fill="panel"),
                Lettering(left + 7, y + 3, "Existing", bold=True),
                Lettering(left + 7, y + 18, "board", bold=True),
                *(
                    Lettering(left + 7, y + 33 + 15 * index, line)
                    for index, line in enumerate(lines)
                ),
                title="Existing board",
                classes="symbol",
            )
            self.add(
                "existing-earth",
                Stroke(((left, y + 14), (self.earth_x, y + 14))),
                Disc(self.earth_x, y + 14, 2.6, "ink", 0, "ink"),
                title="Protective conductor of the existing board",
                classes="path",
            )
            self.label(
                "existing-board",
                left,
                y - 12 + height,
                [],
                places=tuple(board.name for board in boards),
                width=106,
            )
            bottom = (
                y
                - 14
                + height
                + (
                    24
                    if any(mark.id == "label.existing-board" and mark.items for mark in self.groups)
                    else 6
                )
            )
        self._down_to(max(bottom, y + 24))

    def _through_existing(self, feed: Feed) -> None:
        """The feed leaves a way of the existing board: the path runs through it."""
        boards = self.installation.existing_boards
        named = [str(item) for item in feed.through if isinstance(item, str)]
        top = self.y + 8
        self._down_to(top + 8)
        ahead = [
            rcd
            for board in boards
            for rcd in board.rcds
            if is_known(rcd.covers)
            and any(name in (f"{board.name}.{part}" for part in rcd.covers) for name in named)
        ]
        lines = [
            self._said("Existing board"),
            *(line for board in boards for line in words.existing_words(board)[:1]),
            *(f"by way of {name}" for name in named),
        ]
        start = self.y
        for rcd in ahead:
            self.y = self.symbol(
                f"existing-rcd.{len(self.groups)}",
                ResidualCurrentDeviceSymbol(),
                self.main_x,
                words.residual_words(rcd),
            )
            lines.append(words.residual_words(rcd))
        end = self.label(
            "existing-board",
            self.main_x + _LABEL,
            start - 6,
            lines,
            places=tuple(board.name for board in boards),
            width=220,
        )
        self._down_to(max(end + 2, self.y + 8))
        self.groups.insert(
            0,
            Group(
                "existing-board",
                (
                    Box(
                        self.main_x - 44,
                        top,
                        44 + _LABEL + 240,
                        self.y - top,
                        fill="panel",
                        round=4,
                    ),
                ),
                self._said("Existing board"),
                "symbol",
            ),
        )
        if self.nec:  # the ground goes on with the feeder, not beside it
            self.add(
                "existing-earth",
                Stroke(
                    (
                        (self.earth_x, self.met_y + 24),
                        (self.earth_x, top + 20),
                        (self.main_x - 44, top + 20),
                    )
                ),
                title="Ground of the existing panel",
                classes="path",
            )
        else:
            self.add(
                "existing-earth",
                Stroke(((self.main_x - 44, top + 20), (self.earth_x, top + 20))),
                Disc(self.earth_x, top + 20, 2.6, "ink", 0, "ink"),
                title="Protective conductor of the existing board",
                classes="path",
            )
        self._down_to(self.y + 12)

    # The new board and what hangs on it

    def _board(self) -> list[float]:
        board_top = self.y
        self._down_to(self.y + (26 if self.nec else 10))
        self.split_y = self.y
        top = self.y
        switch = self.installation.board.main_switch
        places = (
            "board",
            "bar",
            "earth-bar",
            "neutral-bar",
            *(() if isinstance(switch, Absent) else (switch.name,)),
        )
        if isinstance(switch, Absent):
            self._down_to(self.y + 30)
        else:
            symbol = (
                Isolator()
                if switch.device == "isolator"
                else (
                    SwitchDisconnector() if switch.device != "circuit-breaker" else CircuitBreaker()
                )
            )
            self.y = self.symbol(
                f"part.{switch.name}", symbol, self.main_x, f"{switch.name}, main switch"
            )
        end = self.label(
            "main-switch",
            self.main_x + _LABEL,
            top - 4,
            words.main_switch_words(self.installation),
            self.figures("board", "board"),
            places,
            260,
        )
        self._down_to(max(end, self.y) + 12)
        bar_y = self.y
        on_bar = [
            c for c in self.columns if c.way.fed_from == "bar" or not is_known(c.way.fed_from)
        ]
        if on_bar:
            self.add(
                "bar",
                PlacedDrawing(
                    more.Bar(tuple(c.x - self.main_x for c in on_bar), BRANCH, 12.0),
                    self.main_x,
                    bar_y,
                ),
                title="Line bar",
                classes="symbol",
            )
        loads = {c.way.name: self._way(c, bar_y) for c in on_bar}
        for column in self.columns:
            if column not in on_bar:
                self._branch(column, loads, bar_y, top)
                loads[column.way.name] = self._way_symbol(
                    column, loads.get(str(column.way.fed_from), bar_y) + 22
                )
        earth_y = self._earth_bar(loads)
        board_bottom = max([earth_y + 24, *(y for y in loads.values())]) + 12
        left = min(
            [c.x - (148 if c not in on_bar else 64) for c in self.columns] + [self.main_x - 88]
        )
        right = max(c.x for c in self.columns) + _LABEL + 146
        self.groups.insert(
            0,
            Group(
                "board",
                (
                    Box(
                        left,
                        board_top,
                        right - left,
                        board_bottom - board_top,
                        line=LINE,
                        round=8,
                        fill="panel",
                    ),
                ),
                "The new panel" if self.nec else "The new board",
                "symbol",
            ),
        )
        self.add(
            "board-name", Lettering(left + 8, board_top + 17, self._said("New board"), bold=True)
        )
        bottoms = [
            self._circuit_path(c, loads[c.way.name], board_bottom)
            for c in self.columns
            if c.circuit is not None
        ]
        self._control_link(board_bottom)
        return bottoms

    def _way(self, column: _Column, bar_y: float) -> float:
        return self._way_symbol(column, bar_y + BRANCH)

    def _branch(
        self, column: _Column, loads: dict[str, float], bar_y: float, switch_top: float
    ) -> None:
        """The line to a way that another way, or the supply side, feeds."""
        feeder = next((c for c in self.columns if c.way.name == column.way.fed_from), None)
        x, y = (
            (feeder.x, loads[feeder.way.name] + 10)
            if feeder is not None and feeder.way.name in loads
            else (self.main_x, switch_top - 4)
        )
        start = loads.get(str(column.way.fed_from), bar_y) + 22
        self.add(
            f"branch.{column.way.name}",
            Stroke(((x, y), (column.x, y), (column.x, start))),
            Disc(x, y, 2.6, "ink", 0, "ink"),
            title=f"{column.way.name} is fed from {column.way.fed_from}",
            classes="path",
        )

    def _way_symbol(self, column: _Column, top: float) -> float:
        """Symbol and label of a way; gives the y of its load terminal."""
        way = column.way
        if way.device == "spd":
            symbol: Element = SurgeDevice("CT2" if way.connection == "CT2" else "CT1")
        elif way.device == "rcbo":
            symbol = Rcbo(words.switched_neutral(way))
        else:
            symbol = {
                "rcd": ResidualCurrentDeviceSymbol,
                "fuse": Fuse,
                "contactor": ContactorSymbol,
            }.get(str(way.device), CircuitBreaker)()
        self.y = top
        end = self.symbol(f"part.{way.name}", symbol, column.x, ", ".join(words.way_words(way)))
        if isinstance(symbol, Rcbo) and words.switched_neutral(way) != "none":
            self.add(
                f"neutral.{way.name}", Lettering(column.x + 16, end + 12, "N", anchor="middle")
            )
        figures = (
            self.figures("spd", way.name)
            if way.device == "spd"
            else (self.figures("device", column.circuit.name) if column.circuit else [])
        )
        aside = way.device == "spd" and way.fed_from != "bar" and is_known(way.fed_from)
        shift = (
            (32 if way.connection == "CT2" else 20)
            if way.device == "spd"
            else 34
            if way.device == "rcbo"
            else 24
        )
        below = self.label(
            f"way.{way.name}",
            column.x + (-shift if aside else shift),
            top - 6,
            words.way_words(way),
            figures,
            (way.name,),
            120,
            anchor="end" if aside else "start",
        )
        if column.circuit is not None and below + 6 > end:
            self.wire((column.x, end), (column.x, below + 6))
            return below + 6
        return end

    def _earth_bar(self, loads: dict[str, float]) -> float:
        """The earth bar of the new board: surge devices end on it, the main protective conductor
        begins it.
        """
        spds = [c for c in self.columns if c.way.device == "spd"]
        y = max([loads[c.way.name] for c in spds] + [min(loads.values()) if loads else self.y]) + 16
        circuits = [c.x for c in self.columns if c.circuit is not None]
        left = min([c.x for c in spds] + [self.main_x - 30]) - 24
        right = max([c.x for c in spds] + [left + 30]) + 12
        if any(left < x < right for x in circuits):
            right = min(x for x in circuits if x > left) - 20
        for column in spds:
            self.wire((column.x, loads[column.way.name]), (column.x, y))
        bar = self._said("earth bar")
        self.add(
            "earth-bar",
            Stroke(((left, y), (right, y)), width=BAR, butt=True),
            title=f"{bar.capitalize()} of the new {self._said('board')}",
            classes="symbol",
        )
        self.add("earth-bar-words", Lettering(left, y + 18, bar))
        feed = self.installation.feed
        if self.nec:
            self.add(
                "main-protective-conductor",
                Disc(self.main_x, self.split_y, 2.6, "ink", 0, "ink"),
                Stroke(((self.main_x, self.split_y), (left + 6, self.split_y), (left + 6, y))),
                Lettering(left + 12, self.split_y + 17, GROUND),
                title="Equipment grounding conductor, brought with the feeder",
                classes="path",
            )
            return y
        self.wire((self.earth_x, self.met_y + 24), (self.earth_x, y), (left, y))
        cpc = getattr(getattr(feed, "cable", None), "cpc_mm2", None)
        lines = (
            ["PE", f"{words.figure_in_formula(float(cpc))} mm²"]
            if isinstance(cpc, (int, float))
            else ["PE"]
        )
        self.add(
            "main-protective-conductor",
            *(
                Lettering(self.earth_x - 8, y - 20 + 15 * index, line, anchor="end")
                for index, line in enumerate(lines)
            ),
            title="Main protective conductor",
        )
        return y

    def _circuit_path(self, column: _Column, y: float, board_bottom: float) -> float:
        """From the board to the vehicle."""
        circuit, x = column.circuit, column.x
        assert circuit is not None
        self.wire((x, y), (x, board_bottom + 10))
        self.y = top = board_bottom + 10
        text = words.cable_lines(circuit.name, circuit.cable, circuit.route)
        figures = self.figures("cable", circuit.name)
        end = self.label(
            f"circuit.{circuit.name}", x + 24, top - 4, text, figures, (circuit.name,), 140
        )
        length = max(end - top + 6, 84.0)
        self._cable_line(
            x, length, words.conductor_functions(circuit), circuit.cable.construction == "armoured"
        )
        return self._point(column)

    def _point(self, column: _Column) -> float:
        circuit, x = column.circuit, column.x
        assert circuit is not None
        points = self.installation.points_of(circuit)
        point = points[0]
        box_top = self.y
        self.doors.append((x - 26, box_top))
        self.wire((x, self.y), (x, self.y + 8))
        self.y += 8
        start = self.y
        with_device = getattr(point.open_pen, "measure", None) == "device"
        if with_device:
            self.y = self.symbol(
                f"open-pen.{point.name}",
                OpenPenDevice(),
                x,
                "Open-PEN device: opens line, neutral and protective conductor",
            )
        sense_y = start + 22
        self.y = self.symbol(
            f"contactor.{point.name}",
            ContactorSymbol(),
            x,
            self._said("Contactor of the charging point"),
        )
        lines = words.point_words(point) + words.earthed_words(
            point, self.installation.electrode(str(point.earthed_by))
        )
        if len(points) > 1:
            lines.insert(1, "with " + ", ".join(other.name for other in points[1:]))
        figures = self.figures("point", circuit.name) + [
            pair for other in points for pair in self.figures("earthing", other.name)
        ]
        places = tuple(other.name for other in points)
        end = self.label(f"point.{point.name}", x + 30, box_top + 4, lines, figures, places, 136)
        bottom = max(end + 6, self.y + 8)
        self.wire((x, self.y), (x, bottom + 8))
        self.groups.insert(
            0,
            Group(
                f"part.{point.name}",
                (Box(x - 26, box_top, 26 + 170, bottom - box_top, round=6, fill="panel"),),
                f"Charging point {point.name}",
                "symbol",
            ),
        )
        electrode_end = self._point_earth(column, box_top, sense_y, with_device)
        self.y = bottom + 8
        return max(self._vehicle(column), electrode_end)

    def _point_earth(
        self, column: _Column, box_top: float, sense_y: float, with_device: bool
    ) -> float:
        """An electrode of the point's own, or one its open-PEN device measures against."""
        circuit, x = column.circuit, column.x
        assert circuit is not None
        point = self.installation.points_of(circuit)[0]
        end = 0.0
        own = (
            self.installation.electrode(str(point.earthed_by))
            if is_known(point.earthed_by)
            else None
        )
        if own is not None and own.use == "charging-point":
            y = box_top + 14
            self.wire((x - 26, y), (x - 62, y), (x - 62, y + 8))
            self.add(
                f"electrode.{own.name}",
                PlacedDrawing(EarthElectrode(), x - 62, y + 8),
                title=f"Earth electrode {own.name}",
                classes="symbol",
            )
            end = self._electrode_label(own, x - 150, y + 32, 110)
        measuring = next(
            (item for item in self.installation.electrodes if item.use == "measuring"), None
        )
        senses_earth = getattr(point.open_pen, "senses", None) == "earth-voltage"
        if (
            measuring is not None
            and with_device
            and senses_earth
            and all(m.id != f"electrode.{measuring.name}" for m in self.groups)
        ):
            self.wire((x - 14, sense_y), (x - 62, sense_y), (x - 62, sense_y + 8), dash="4 3")
            self.add(
                f"electrode.{measuring.name}",
                PlacedDrawing(EarthElectrode(), x - 62, sense_y + 8),
                title=f"Measuring electrode {measuring.name}",
                classes="symbol",
            )
            end = self._electrode_label(measuring, x - 150, sense_y + 32, 110)
        return end

    def _vehicle(self, column: _Column) -> float:
        circuit, x = column.circuit, column.x
        assert circuit is not None
        names = {point.name for point in self.installation.points_of(circuit)}
        vehicle = next((item for item in self.installation.vehicles if item.at in names), None)
        top = self.y
        self.wire((x, top - 8), (x, top))
        self.y = self.symbol(
            f"inlet.{circuit.name}", VehicleInlet(), x, "Vehicle connector and inlet"
        )
        if vehicle is None:
            self.label(f"vehicle.{circuit.name}", x + 30, top, ["vehicle"], width=140)
            return self.y + 10
        box_top = self.y + 4
        self.wire((x, self.y), (x, box_top + 8))
        self.y = box_top + 8
        self.y = self.symbol(
            f"charger.{vehicle.name}",
            OnBoardCharger(),
            x,
            "On-board charger: alternating to direct current",
        )
        end = self.label(
            f"vehicle.{vehicle.name}",
            x + 30,
            box_top + 2,
            words.vehicle_words(vehicle),
            self.figures("vehicle", vehicle.name),
            (vehicle.name,),
            136,
        )
        bottom = max(self.y + 6, end + 6)
        self.groups.insert(
            0,
            Group(
                f"part.{vehicle.name}",
                (Box(x - 26, box_top, 26 + 170, bottom - box_top, round=14, fill="panel"),),
                f"Vehicle {vehicle.name}",
                "symbol",
            ),
        )
        return bottom

    # The key

    def _key(self, bottom: float, beside: bool, width: float) -> float:
        """The figures by number, beside the path or below it; the findings by letter below."""
        rest = [finding for findings in self.flags.values() for finding in findings]
        for finding in rest:
            self.flagged.append(
                (
                    _letter(len(self.flagged)),
                    finding.level,
                    (
                        f"{'Danger' if finding.level == 'danger' else 'Fail'},"
                        f" {finding.id.replace('-', ' ')} at {finding.place or finding.of}:"
                        f" {finding.message}"
                    ),
                )
            )
        if beside:
            end = self._figures_key(width - KEY_WIDTH + 8, 12.0, 1, KEY_WIDTH - 16)
        else:
            end = self._figures_key(12.0, bottom + 6, 3, (width - 24) / 3)
        bottom = max(bottom, end) + 8
        for letter, _, text in self.flagged:
            lines = wrapped(text, SMALLEST, width - 60)
            items: list[Drawable] = [*_Mark(letter, True)(24, bottom + 8)]
            items += [
                Lettering(44, bottom + 12 + 15 * index, line) for index, line in enumerate(lines)
            ]
            self.add(f"key.{letter}", *items, classes="key finding")
            bottom += 15 * len(lines) + 10
        return bottom

    def _figures_key(self, left: float, top: float, columns: int, width: float) -> float:
        if not self.called:
            return top
        rows = -(-len(self.called) // columns)
        self.add(
            "key-title",
            Lettering(left, top + 12, "Figures of the working", bold=True),
            classes="key",
        )
        often = [step.id for _, step, _ in self.called]
        x, y, lowest = left, top + 24, top + 24
        for index, (number, step, of) in enumerate(self.called):
            if index and index % rows == 0:
                x, y = x + width, top + 24
            data = (
                ("step", step.id),
                ("of", of),
                *((("value", full(step.value)),) if step.value is not None else ()),
            )
            note = words.step_words(step, self.installation.rules) + (
                f", {of}" if often.count(step.id) > 1 else ""
            )
            notes = wrapped(note, SMALLEST, width - 40)
            self.add(
                f"key.{number}",
                *_Mark(str(number), False)(x + 11, y + 10),
                Lettering(x + 28, y + 8, words.figure_words(step), bold=True, data=data),
                *(
                    Lettering(x + 28, y + 22 + 14 * row, note, ink="soft")
                    for row, note in enumerate(notes)
                ),
                classes="key",
            )
            y += 20 + 14 * len(notes)
            lowest = max(lowest, y)
        return lowest


@dataclass(frozen=True)
class _Mark:
    """A number in a circle (a figure) or a letter on a flag (a finding), drawn at a place."""

    words: str
    flag: bool

    def __call__(self, x: float, y: float) -> list[Drawable]:
        text = Lettering(
            x,
            y + 4.3,
            self.words,
            anchor="middle",
            ink="mark" if self.flag else "ink",
            bold=self.flag,
        )
        if not self.flag:
            return [Ref(x, y, "number"), text]
        return [Ref(x, y, "flag"), text]


MARK_SHAPES: dict[str, tuple[Drawable, ...]] = {
    "number": (Disc(0, 0, 9.5, "ink", HAIR, "paper"),),
    "flag": (
        Stroke(
            ((-9.5, 12), (-9.5, -9), (9.5, -9), (9.5, 8), (-9.5, 8)), "mark", LINE, fill="paper"
        ),
    ),
}


def _letter(index: int) -> str:
    return chr(ord("A") + index) if index < 26 else _letter(index // 26 - 1) + _letter(index % 26)


def _by_place(findings: Sequence[Finding], installation: Installation) -> dict[str, list[Finding]]:
    """Findings of danger and fail by the name they are shown at."""
    known = {
        "supply",
        "feed",
        "board",
        *(way.name for way in installation.board.ways),
        *(c.name for c in installation.circuits),
        *(p.name for p in installation.charging_points),
        *(e.name for e in installation.electrodes),
        *(v.name for v in installation.vehicles),
        *(b.name for b in installation.existing_boards),
    }
    if not isinstance(installation.board.main_switch, Absent):
        known.add(installation.board.main_switch.name)
    found: dict[str, list[Finding]] = {}
    for level in FLAGGED:
        for finding in findings:
            if finding.level == level:
                at = next(
                    (
                        name
                        for name in (finding.place, finding.place.partition(".")[0], finding.of)
                        if name in known
                    ),
                    "board",
                )
                found.setdefault(at, []).append(finding)
    return found
