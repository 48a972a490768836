"""Drawing, pictures for the hands: the dead tests of a job, each hooked up at its own board.

What an instrument shows is worked by the circuit of the job: the right one as the list of tests
foretells it, the wrong one with one thing changed.
"""

from dataclasses import replace

from firstway.checks.expected import Expected, live_names
from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.dead_scene import (
    BOARD,
    CORE_END,
    EARTH_JOINT,
    POINT,
    TERMINAL,
    HookUp,
    TestLead,
    link_way,
    scene,
)
from firstway.drawing.hands.frame import Made, Panel, ShownFigure, sheet_of
from firstway.drawing.hands.hook_up_job import (
    OfCircuit,
    display,
    finished,
    foretold,
    foretold_figure,
    free_screw,
    in_window,
    of_board,
    of_circuit,
    spoken,
)
from firstway.rendering.figures import with_unit
from firstway.wiring.circuit import States
from firstway.wiring.readings import ShownReading, continuity, insulation

LONG_LEAD = "long lead, nulled with the other"


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
        link=(f"{of.way}.load.{line}", free_screw(of)),
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
    where = link_way(right.board, *right.link) if right.link else ()
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
        length=f"{of.length.words}; {LONG_LEAD}",
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
            f"{of.way} off, and off the cable like the point, unless its maker says that it bears"
            " this voltage. Each live conductor to earth, then every two; then let it discharge."
            f" {_least(found)}",
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
                + spoken(
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
            TestLead("−", (BOARD, free_screw(of)), of.second_lead),
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
    if job.installation.electrode_of_board is not None:
        return "the board stands on an earth of its own: no conductor joins it to that of the house"
    switches = of.every_device
    right = HookUp(
        of_board(of),
        ("feed.PE",),
        "feed",
        LONG_LEAD,
        (
            TestLead("1", (BOARD, free_screw(of)), parts.DARK),
            TestLead("2", (TERMINAL, ""), of.second_lead),
        ),
        in_window(found.shown),
        ("continuity", "low Ω"),
        ((spoken(job, "earth bar"), free_screw(of)),),
        switches,
        beside=spoken(job, "main earthing terminal"),
        long_lead="2",
    )
    states = of.bench.at_origin()
    lost = replace(states, off=frozenset({"feed.PE"}))
    ends = "earth-bar.1", of.bench.network.wiring.main_earth
    reads = continuity(of.bench.network, lost, *ends)
    joint = EARTH_JOINT[0], EARTH_JOINT[1] + 12
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
                    " Less than the last digit shows as nought; more than foretold and more than"
                    " that digit: leads not nulled, or a poor joint.",
                    whole=True,
                ),
            ],
            (figure,),
        ),
    )


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


def _least(line: Expected) -> str:
    """The least value of an insulation test; where the rules hold none, so."""
    limit = line.limit
    if limit.value is None:
        return _ended(limit.words).strip()
    return f"At least {with_unit(f'{limit.value:g}', limit.unit)}."


def _ended(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}. " if text else ""
