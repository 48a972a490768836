"""Drawing, pictures for the hands: the dead tests of a job, each hooked up at its own board.

What an instrument shows is worked by the circuit of the job: the right one as the list of tests
foretells it, the wrong one with one thing changed.
"""

from collections.abc import Sequence
from dataclasses import replace

from firstway.calculations.adding import added
from firstway.checks.expected import Bench, Expected, live_names
from firstway.checks.expecting import expected_readings
from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_parts import Instrument, SeenBoard, SeenPoint
from firstway.drawing.hands.strokes import TEXT_SIZE, Drawables, ring, words
from firstway.drawing.sheet import Group, Lettering, Point
from firstway.frozen import dataclass
from firstway.layout.plan import Layout
from firstway.model.installation import ChargingPoint, Circuit
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known
from firstway.rendering.figures import with_unit
from firstway.rendering.reading_words import shown_words
from firstway.tables.reading import column_word
from firstway.wiring.circuit import States
from firstway.wiring.readings import READING_NOT_KNOWN, ShownReading, continuity, insulation

BOARD, POINT, CORE_END, TERMINAL = "board", "point", "core-end", "main-earth"
_LONG = "long lead, nulled with the other"
_JOINT = parts.RIGHT_SIDE + 20, parts.TOP + 50
"""The screw of the main earthing terminal that takes the conductor from the board."""
_FINE_UP_TO = 10.0
"""Ohms below which readings are told to hundredths and finer."""
DEAD_SIGN = "Isolated at its origin, locked off, proved dead|(indicator proved before and after)"
TouchedPlace = tuple[str, str]


@dataclass(frozen=True)
class TestLead:
    """A lead from a socket of the instrument to a place."""

    socket: str
    to: TouchedPlace
    kind: str


@dataclass(frozen=True)
class HookUp:
    """A dead test: what is off and out, which link is in, where the leads touch, what is shown.

    Without a point, the main earthing terminal stands beside the board; `joined` says whether the
    conductor between the two ends there. `long_lead` is the socket whose lead is a long one.
    """

    board: SeenBoard
    cores: tuple[str, ...]
    opening: str
    length: str
    leads: tuple[TestLead, ...]
    shows: str
    function: tuple[str, ...]
    names: tuple[tuple[str, str], ...]
    off: frozenset[str]
    out: frozenset[str] = frozenset()
    link: tuple[str, str] | None = None
    point: SeenPoint | None = None
    core_off: bool = False
    beside: str = ""
    joined: bool = True
    long_lead: str = ""
    wrong: tuple[Point, ...] = ()
    """Where a ring stands round what is wrong."""


# ---- the scene


def scene(of: HookUp) -> Detail:
    """The test as wide as a sheet."""
    shown = Instrument(of.shows, of.function, tuple(each.socket for each in of.leads))
    tips = {each.socket: _tip(of, each.to) for each in of.leads}
    groups = [
        group("sign", parts.padlock(8, 16), title="Locked off"),
        group("case", parts.open_case(of.board), title="Board, cover off"),
        group("cores", parts.cores(of.board, of.cores)),
        group("devices", parts.open_devices(of.board, of.off, of.out)),
        *_beside(of),
    ]
    if of.link:
        path = _link_path(of.board, *of.link)
        groups.append(group("link", parts.link(path), title="Link, put in for the test"))
    for place, each in enumerate(of.leads):
        path = _lead_path(of, shown.at(each.socket), each.to, place)
        if each.socket == of.long_lead:
            (x, y), *rest = path
            path = (x, y), *parts.coil(x, y - 15), *rest
        groups.append(
            group(
                f"lead.{place}",
                (parts.lead(path[:-1] + (_before(path),), each.kind),),
                parts.probe(path[-1], path[-2]),
                title=f"Lead {each.socket}",
            )
        )
    groups.append(group("instrument", parts.instrument(shown), title="Instrument"))
    groups.append(group("names", _names(of), parts.instrument_words(shown)))
    groups.append(group("wrong", tuple(ring(*each, 11) for each in of.wrong)))
    foot = parts.CABLE_AT + 8 + (16 if of.length else 0)
    drawn = tuple(each for each in groups if each.items)
    return Detail(400, foot + 8, drawn, {f"tip.{name}": tip for name, tip in tips.items()})


def _before(path: Sequence[Point]) -> Point:
    """Where the handle begins: the lead ends there."""
    (x, y), (fx, fy) = path[-1], path[-2]
    long = abs(fx - x) + abs(fy - y) or 1.0
    return x + (fx - x) * 12 / long, y + (fy - y) * 12 / long


def _beside(of: HookUp) -> list[Group]:
    if of.point is not None:
        goal = of.point.entry[0], of.point.entry[1]
        way = parts.cable_way(of.board, of.opening, goal)
        return [
            group("cable", (parts.cable(way),), title="Cable of the circuit"),
            group("point", parts.open_point(of.point, of.core_off), title="Point, cover off"),
        ]
    way = parts.cable_way(of.board, of.opening, _JOINT)
    colour = of.board.cores["feed.PE"][1]
    if of.joined:
        drawn: Drawables = (parts.protective(way, colour),)
    else:  # it has come off its screw and hangs beside it
        x, y = _JOINT
        end = (x, y + 56), (x - 9, y + 42)
        drawn = (
            parts.protective((*way[:-1], *end), colour),
            parts.bare_end((end[-1], (x - 13, y + 34))),
        )
    return [group("main-conductor", drawn), group("main-earth", parts.earth_terminal())]


def _names(of: HookUp) -> Drawables:
    middle = parts.RIGHT_SIDE + parts.RIGHT_SIDE_WIDE / 2
    found = [(text, _leader(of, name)) for text, name in of.names]
    found.append((of.beside, ((middle, parts.TOP if of.point else parts.TOP + 40),)))
    drawn: tuple[Drawables, ...] = (
        words(32, 18, DEAD_SIGN),
        parts.named_above(found, parts.TOP - 22),
        parts.letters(of.point) if of.point else (),
    )
    if of.length:
        x = (parts.BOARD_LEFT + parts.RIGHT_SIDE) / 2 + 60
        drawn += ((Lettering(x, parts.CABLE_AT + 20, of.length, TEXT_SIZE, "middle"),),)
    return tuple(item for some in drawn for item in some)


def _leader(of: HookUp, name: str) -> tuple[Point, ...]:
    """The way to what a name points to: the nose of a device, the bar of a screw, or the link."""
    if name == "link" and of.link:
        path = _link_path(of.board, *of.link)
        (x0, y0), (x1, y1) = max(zip(path, path[1:]), key=lambda pair: abs(pair[0][0] - pair[1][0]))
        return ((x0 + (x1 - x0) * 0.5, (y0 + y1) / 2),)
    if name in of.board.spots:
        return parts.bar_leader(of.board, name)
    x0, y0, x1, _ = of.board.device(name).nose
    return (((x0 + x1) / 2 + 4, y0 + 4),)


def _tip(of: HookUp, to: TouchedPlace) -> Point:
    kind, name = to
    if kind == BOARD:
        return of.board.spots[name]
    if kind == TERMINAL:
        return parts.RIGHT_SIDE + 60, parts.TOP + 50
    assert of.point is not None
    return of.point.at(name) if kind == POINT else parts.core_end(of.point, name)


def _rows(board: SeenBoard) -> tuple[float, float]:
    """Top and bottom of the row of devices."""
    return min(each.body[1] for each in board.devices), max(each.body[3] for each in board.devices)


def _lead_path(of: HookUp, start: Point, to: TouchedPlace, place: int) -> tuple[Point, ...]:
    """The way of a lead, its last stretch the handle's."""
    x, y = tip = _tip(of, to)
    if to[0] == CORE_END:
        level = start[1] - 10 - 7 * place
        channel = parts.RIGHT_SIDE - 3 + 3 * place
        return start, (start[0], level), (channel, level), (channel, y), tip
    if to[0] in (POINT, TERMINAL):
        level = y - 22 - 7 * place
        return start, (start[0], level), (x, level), tip
    top, bottom = _rows(of.board)
    channel = parts.INSTRUMENT_LEFT - 6
    if y < top:
        return start, (start[0], y + 22), (x, y + 22), tip
    if y < (top + bottom) / 2:
        level = max(of.board.case[1] + 5, y - 24)
        return start, (start[0], level), (x, level), tip
    # Between the row and the case, from whichever side keeps it off the devices.
    low = of.board.case[3] - 5
    level = next((each for each in (y - 22, y + 22) if bottom + 8 < each < low), y + 24)
    over = start[1] - 9 - 7 * place
    return start, (start[0], over), (channel, over), (channel, level), (x, level), tip


def _link_path(board: SeenBoard, one: str, other: str) -> tuple[Point, ...]:
    """From a terminal to a bar, beside the devices where they lie between."""
    (x0, y0), (x1, y1) = board.spots[one], board.spots[other]
    top, bottom = _rows(board)
    above = y0 < (top + bottom) / 2
    if above == (y1 < (top + bottom) / 2):
        level = (y0 + y1) / 2
        return (x0, y0), (x0, level), (x1, level), (x1, y1)
    beside = board.case[0] + 8
    out = y0 - 12 if above else y0 + 12
    near = y1 - 12 if above else y1 + 12
    return (x0, y0), (x0, out), (beside, out), (beside, near), (x1, near), (x1, y1)


# ---- what a job gives


@dataclass(frozen=True)
class OfCircuit:
    """A circuit with what its tests are drawn from."""

    job: Completed
    bench: Bench
    layout: Layout
    circuit: Circuit
    point: ChargingPoint
    way: str

    @property
    def earth(self) -> str:
        return parts.earth_letter(str(self.job.installation.rules))

    @property
    def seen_point(self) -> SeenPoint:
        names = (*live_names(self.circuit), "PE")
        wiring = self.job.case.wiring.drawn
        colour = {each.id: each.colour for each in wiring.conductors}
        letters = tuple(self.earth if name == "PE" else name for name in names)
        return SeenPoint(
            letters, tuple(colour.get(f"{self.circuit.name}.{name}", "bare") for name in names)
        )

    @property
    def length(self) -> ShownFigure:
        """How long the cable is, as the route of the file says."""
        metres = added(float(each.length_m) for each in self.circuit.route)
        return ShownFigure(
            f"cable, {metres:g} m", "length of the route", f"circuits.{self.circuit.name}.route"
        )

    @property
    def size(self) -> ShownFigure | None:
        """How thick line and protective conductor are, so that a reading can be worked by hand;
        None where the protective conductor is no core, or a size is not known.
        """
        cable = self.circuit.cable
        if cable.protective == "armour" or not (
            is_known(cable.csa_mm2) and is_known(cable.cpc_mm2)
        ):
            return None
        return ShownFigure(
            f"line {column_word(float(cable.csa_mm2))} mm²,"
            f" {self.earth} {column_word(float(cable.cpc_mm2))} mm²",
            "size of the conductors",
            f"circuits.{self.circuit.name}.cable",
        )

    @property
    def cores(self) -> tuple[str, ...]:
        """The conductors of the circuit, and those of the surge device, which stay on its base."""
        own = (f"{self.circuit.name}.{name}" for name in (*live_names(self.circuit), "PE"))
        ends = tuple(f".{each}" for each in self.surge)
        return (*own, *(each for each in self.layout.by_id if ends and each.endswith(ends)))

    @property
    def second_lead(self) -> str:
        """A lead that no conductor of the board looks like: white is the neutral's in rule set
        nec.
        """
        return parts.BROKEN if self.job.installation.rules == "nec" else parts.LIGHT

    @property
    def surge(self) -> tuple[str, ...]:
        ways = self.job.installation.board.ways
        return tuple(str(each.name) for each in ways if each.device == "spd")

    @property
    def every_device(self) -> frozenset[str]:
        """Dead work has nothing left on."""
        return frozenset(each.name for each in self.layout.parts.devices)

    @property
    def main_switch(self) -> tuple[str, ...]:
        switch = self.job.installation.board.main_switch
        return (str(switch.name),) if is_known(switch) else ()


def of_circuit(job: Completed, name: str) -> OfCircuit | str:
    """A circuit by its name; in words, why its tests cannot be drawn."""
    circuits = {str(each.name): each for each in job.installation.circuits}
    if name not in circuits:
        return f"no circuit is named '{name}'"
    if job.case.plan.refused:
        return f"the board cannot be laid out: {job.case.plan.refused}"
    points = job.installation.points_of(circuits[name])
    if not points:
        return f"no charging point hangs on '{name}'"
    bench = Bench(job.case, job.case.circuit)
    way = str(bench.way(circuits[name]).name)
    return OfCircuit(job, bench, job.case.layout, circuits[name], points[0], way)


def foretold(job: Completed, key: str, of: str, *between: str) -> Expected | None:
    """The first line of the list of tests with this key."""
    return next(
        (
            each
            for each in expected_readings(job.case)
            if each.key == key and each.of == of and (not between or each.between == between)
        ),
        None,
    )


def foretold_figure(line: Expected) -> ShownFigure:
    """What the instrument shows of a line, and where that comes from."""
    path = f"{line.step} {line.of}" if line.step else f"{line.key} {line.of}"
    return ShownFigure(display(line.shown), f"foretold: {line.test}", path)


def display(shown: ShownReading) -> str:
    """A reading as short as a picture says it."""
    if shown.words == READING_NOT_KNOWN:
        return "measure"
    return shown_words(shown).replace("at most ", "≤ ").replace("about ", "≈ ")


def in_window(shown: ShownReading) -> str:
    """What stands in the window of an instrument: hundredths of an ohm, for ohmmeters and loop
    testers need show no finer step (IEC 61557, from memory); the foretold figure is finer.
    """
    if shown.value is None or shown.unit != "ohm" or shown.value >= _FINE_UP_TO:
        return display(shown)
    mark = "≈ " if shown.about else ""
    return mark + with_unit(f"{shown.value:.2f}", "Ω")


def _spoken(job: Completed, text: str) -> str:
    """Words that are given room while the sheet is made, in those of the rule set."""
    return in_nec_words(text) if job.installation.rules == "nec" else text


def _short(text: str) -> str:
    """The sign of dead work, which has one line's room in every rule set."""
    return in_nec_words(text.replace("Isolated at its origin", "Isolated"))


def finished(job: Completed, made: Made) -> Made:
    """In the words of the job's rule set."""
    if job.installation.rules != "nec":
        return made
    sheet = made.sheet
    groups = tuple(
        replace(
            each,
            title=in_nec_words(each.title),
            items=tuple(
                replace(item, words=_short(item.words)) if isinstance(item, Lettering) else item
                for item in each.items
            ),
        )
        for each in sheet.groups
    )
    said = in_nec_words(sheet.title), in_nec_words(sheet.description)
    return replace(made, sheet=replace(sheet, groups=groups, title=said[0], description=said[1]))


# ---- the pictures


def r1_plus_r2(job: Completed, name: str) -> Made | str:
    """Line and protective conductor in series, linked at the board, read at the point."""
    of = of_circuit(job, name)
    if isinstance(of, str):
        return of
    line = str(of.circuit.lines[0])
    found = foretold(job, "r1-plus-r2", name, line, "PE")
    if found is None:
        return f"the job asks for no R1+R2 of '{name}'"
    right = replace(
        _on_circuit(of, in_window(found.shown), ("continuity", "low Ω")),
        leads=(
            TestLead("1", (POINT, line), parts.DARK),
            TestLead("2", (POINT, of.earth), of.second_lead),
        ),
        link=(f"{of.way}.load.{line}", _free_screw(of)),
    )
    size = of.size
    right = replace(
        right,
        names=(*right.names, ("link", "link")),
        length=f"{right.length}, {size.words}" if size else right.length,
    )
    states = of.bench.isolated(of.circuit)
    ends = f"{of.point.name}.{line}", of.bench.earth_of(str(of.point.name))
    open_ = continuity(of.bench.network, states, *ends)
    where = _link_path(right.board, *right.link) if right.link else ()
    wrong = replace(
        right, link=None, shows=display(open_), names=right.names[:-1], wrong=where[-1:]
    )
    figure = foretold_figure(found)
    return finished(
        job,
        sheet_of(
            f"R1+R2 of {name}, read at {of.point.name}",
            f"The board without its cover, locked off and proved dead, {of.way} off. Right: a link"
            f" joins {line} of {name} to the earth bar; at {of.point.name} one probe is on {line},"
            f" the other on the protective conductor; the instrument shows {figure.words}. Wrong:"
            f" the same without the link shows {wrong.shows}.",
            [
                Panel(
                    scene(right),
                    True,
                    f"leads nulled, link in: {figure.words}",
                    "Line and protective conductor in series. Armour or steel in parallel reads"
                    " less than the cores alone. Take the link off afterwards, and count it out.",
                    whole=True,
                ),
                Panel(
                    scene(wrong),
                    False,
                    f"no link: {wrong.shows}",
                    "A core that is not joined shows the same: look for the link first, then for"
                    " the core. The circuit stays dead until it is found.",
                    whole=True,
                ),
            ],
            (figure, of.length, *((size,) if size else ())),
        ),
    )


def polarity(job: Completed, name: str) -> Made | str:
    """Line at the board to line at the point, and crossed."""
    of = of_circuit(job, name)
    if isinstance(of, str):
        return of
    names = live_names(of.circuit)
    if len(names) < 2:
        return f"'{name}' has one live conductor"
    line, other = names[0], names[-1]
    found = foretold(job, "polarity", name, line, line)
    if found is None:
        return f"the job asks for no test of polarity of '{name}'"
    right = replace(
        _on_circuit(of, in_window(found.shown), ("continuity", "low Ω")),
        leads=(
            TestLead("1", (BOARD, f"{of.way}.load.{line}"), parts.DARK),
            TestLead("2", (POINT, line), of.second_lead),
        ),
        length=f"{of.length.words}; {_LONG}",
        long_lead="2",
    )
    point = of.seen_point
    crossed = list(point.colours)
    one, two = point.terminals.index(line), point.terminals.index(other)
    crossed[one], crossed[two] = crossed[two], crossed[one]
    near = f"{of.way}.load.{line}"
    reads = continuity(
        of.bench.network, of.bench.isolated(of.circuit), near, f"{of.point.name}.{other}"
    )
    rings = tuple((x, y + 37) for x, y in (point.at(line), point.at(other)))
    wrong = replace(
        right, point=replace(point, colours=tuple(crossed)), shows=display(reads), wrong=rings
    )
    figure = foretold_figure(found)
    return finished(
        job,
        sheet_of(
            f"Polarity of {name}, by ohmmeter",
            f"The board locked off and proved dead, {of.way} off, no link in. Right: one probe on"
            f" {line} of {of.way}, the other, by a long lead that was nulled, on {line} of"
            f" {of.point.name}: {figure.words}. Wrong:"
            f" {line} and {other} are exchanged at the point, and the same probes show"
            f" {wrong.shows}.",
            [
                Panel(
                    scene(right),
                    True,
                    f"{line} to {line}: {figure.words}",
                    f"Then the same for every other conductor. From {line} to any other: open,"
                    f" but read that with the cores off {of.point.name}: its own electronics join"
                    " what they feed from.",
                    whole=True,
                ),
                Panel(
                    scene(wrong),
                    False,
                    f"{line} and {other} exchanged: {wrong.shows}",
                    f"The reading is found from {line} to {other} instead. Nothing is energised"
                    " until the cores are where they belong.",
                    whole=True,
                ),
            ],
            (figure, of.length),
        ),
    )


def insulation_test(job: Completed, name: str) -> Made | str:
    """The cable alone; the board with the surge device out, and with it left in."""
    of = of_circuit(job, name)
    if isinstance(of, str):
        return of
    line = str(of.circuit.lines[0])
    found = foretold(job, "insulation", name, line, "PE")
    if found is None:
        return f"the job asks for no test of insulation of '{name}'"
    volts = found.test.removeprefix("insulation, ")
    figure = foretold_figure(found)
    cable = replace(
        _on_circuit(of, figure.words, ("insulation", volts)),
        leads=(
            TestLead("+", (CORE_END, line), parts.DARK),
            TestLead("−", (CORE_END, of.earth), of.second_lead),
        ),
        core_off=True,
    )
    panels = [
        Panel(
            scene(cable),
            True,
            f"the cable alone: {figure.words}",
            f"{of.way} off, the point off the cable. Each live conductor to earth, then every two"
            f" of them; then let it discharge. {_least(found)}",
            whole=True,
        )
    ]
    figures = [figure, of.length]
    told = ""
    if of.surge:
        device = of.surge[0]
        right, wrong, low = _on_bus(of, device, volts)
        inside = foretold(job, "surge-in", device)
        limit = inside.limit.words.partition("; ")[2] if inside else ""
        panels += [
            Panel(
                scene(right),
                True,
                f"the board, {device} out: {right.shows}",
                "Cartridge or leads out as its maker says, and whatever else holds electronics."
                f" {_ended(limit)}"
                + _spoken(
                    job, "Then every other line, and N once nothing upstream joins it to earth."
                )
                + " Let it discharge. Put back what came out, and write that down.",
                whole=True,
            ),
            Panel(
                scene(wrong),
                False,
                f"{device} left in: {wrong.shows}",
                f"The instrument measures {device}, not the wiring: it conducts at this voltage,"
                " and may be harmed.",
                whole=True,
            ),
        ]
        figures.append(low)
        told = (
            f" Right, at the board: the cartridge of {device} is out, one probe on its line"
            f" terminal, one on the earth bar: {right.shows}. Wrong: the same with the cartridge"
            f" left in: {wrong.shows}."
        )
    return finished(
        job,
        sheet_of(
            f"Insulation of {name}, {volts}",
            f"The board locked off and proved dead. Right: {of.way} is off, the cores of the cable"
            f" are off the terminals of {of.point.name}; one probe on {line}, one on the"
            f" protective conductor: {figure.words}.{told}",
            panels,
            figures,
        ),
    )


def _on_bus(of: OfCircuit, device: str, volts: str) -> tuple[HookUp, HookUp, ShownFigure]:
    """From the line terminal of the surge device to the earth bar, with it out and in."""
    spots = of.layout.parts.spots
    line = next(each for each in spots if each.startswith(f"{device}.L"))
    test = float(volts.partition(" ")[0])
    switches = frozenset({"origin", of.way, *of.main_switch})
    points = frozenset(str(each.name) for each in of.job.installation.charging_points)

    def reads(out: frozenset[str]) -> ShownReading:
        states = States(open=switches, out=points | out)
        return insulation(of.bench.network, states, [line], ["earth-bar.1"], test)

    right = replace(
        _on_circuit(of, display(reads(frozenset(of.surge))), ("insulation", volts)),
        leads=(
            TestLead("+", (BOARD, line), parts.DARK),
            TestLead("−", (BOARD, _free_screw(of)), of.second_lead),
        ),
        core_off=True,
    )
    low = reads(frozenset())
    shows = "low" if low.value is None else display(low)
    said = "its maker's voltage at 1 mA decides how low" if low.value is None else "with it left in"
    names = tuple(
        (text.replace("out", "in") if key == device else text, key) for text, key in right.names
    )
    x0, y0, x1, y1 = right.board.device(device).nose
    where = ((x0 + x1) / 2, (y0 + y1) / 2)
    wrong = replace(right, out=frozenset(), shows=shows, names=names, wrong=(where,))
    return right, wrong, ShownFigure(shows, said, f"surge-in {device}")


def protective_continuity(job: Completed, name: str) -> Made | str:
    """From the earth bar of the board to the main earthing terminal."""
    found = foretold(job, "continuity", name)
    of = of_circuit(job, str(job.installation.circuits[0].name))
    if isinstance(of, str):
        return of
    if found is None or name != "board":
        return f"the job asks for no continuity of '{name}'"
    switches = of.every_device
    right = HookUp(
        of_board(of),
        ("feed.PE",),
        "feed",
        _LONG,
        (
            TestLead("1", (BOARD, _free_screw(of)), parts.DARK),
            TestLead("2", (TERMINAL, ""), of.second_lead),
        ),
        in_window(found.shown),
        ("continuity", "low Ω"),
        ((_spoken(job, "earth bar"), _free_screw(of)),),
        switches,
        beside=_spoken(job, "main earthing terminal"),
        long_lead="2",
    )
    states = of.bench.at_origin()
    lost = replace(states, off=frozenset({"feed.PE"}))
    ends = "earth-bar.1", of.bench.network.wiring.main_earth
    reads = continuity(of.bench.network, lost, *ends)
    joint = _JOINT[0], _JOINT[1] + 12
    wrong = replace(right, joined=False, shows=display(reads), wrong=(joint,))
    figure = foretold_figure(found)
    return finished(
        job,
        sheet_of(
            "Protective conductor: earth bar to main earthing terminal",
            "The board locked off and proved dead. Right: one probe on its earth bar, the other on"
            f" the main earthing terminal: {figure.words}, the leads nulled. Wrong: the conductor"
            f" between them has come off that terminal, and the same probes show {wrong.shows}."
            " Pipe or steel in parallel can hide it: one end is parted for the test, and joined"
            " again.",
            [
                Panel(
                    scene(right),
                    True,
                    f"leads nulled: {figure.words}",
                    "First of all tests: nothing is made live before this is known. What is"
                    " opened at the other end is isolated and proved dead too. Where pipe or steel"
                    " joins both ends as well, part one end of the conductor, read along it alone,"
                    " and join it again at once: in parallel a missing one reads as if it were"
                    " there.",
                    whole=True,
                ),
                Panel(
                    scene(wrong),
                    False,
                    f"not joined: {wrong.shows}",
                    "Every metal part of this board would become live in a fault and stay so."
                    " A reading above what is foretold: leads not nulled, or a poor joint.",
                    whole=True,
                ),
            ],
            (figure,),
        ),
    )


def of_board(of: OfCircuit) -> SeenBoard:
    return parts.seen_board(of.job, of.layout)


def _on_circuit(of: OfCircuit, shows: str, function: tuple[str, ...]) -> HookUp:
    """The board of a circuit as every dead test of it finds it."""
    names = [(f"{each} off", each) for each in of.main_switch]
    names += [(f"{each} out", each) for each in of.surge[:1]]
    names.append((f"{of.way} off", of.way))
    return HookUp(
        of_board(of),
        of.cores,
        str(of.circuit.name),
        of.length.words,
        (),
        shows,
        function,
        tuple(names),
        of.every_device,
        frozenset(of.surge),
        point=of.seen_point,
        beside=str(of.point.name),
    )


def _free_screw(of: OfCircuit) -> str:
    """The last screw of the earth bar: the first ones are taken."""
    return [each for each in of.layout.parts.spots if each.startswith("earth-bar.")][-1]


def _least(line: Expected) -> str:
    """The least value of an insulation test; where the rules hold none, so."""
    limit = line.limit
    if limit.value is None:
        return _ended(limit.words).strip()
    return f"At least {with_unit(f'{limit.value:g}', limit.unit)}."


def _ended(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}. " if text else ""
