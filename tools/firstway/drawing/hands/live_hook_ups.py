"""Drawing, pictures for the hands: the live tests of a job, with every cover on.

They are made for skilled persons, through an adapter that stands for the vehicle: its sockets are
the stated place. What is measured at the origin is for whoever is authorised there, and no lead is
drawn to it.
"""

from dataclasses import replace

from firstway.checks.expected import Expected, live_names
from firstway.checks.expecting import expected_readings
from firstway.checks.reading_limits import Limit
from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import (
    OfCircuit,
    display,
    finished,
    foretold,
    foretold_figure,
    in_window,
    of_board,
    of_circuit,
)
from firstway.drawing.hands.hook_up_parts import Instrument, SeenAdapter, SeenBoard
from firstway.drawing.hands.strokes import TEXT_SIZE, Drawables, words
from firstway.drawing.sheet import HAIR, LINE, Box, Disc, Lettering, Point
from firstway.frozen import dataclass
from firstway.rendering.figures import ohm_limit, with_unit
from firstway.tables.reading import table
from firstway.wiring.circuit import States
from firstway.wiring.readings import loop, phase_sequence, prospective_current

LIVE_SIGN = "Live: skilled persons only, every cover on|at the adapter's sockets, nowhere else"
AT_ORIGIN_SIGN = "Authorised person only: nothing is opened|the reading is theirs, on paper"
NO_TRIP = "no trip"
_TIME = "… ms"
"""A time that nobody foretells: only its limit is known."""
_TWICE = 2.0
"""The wrong loop reading of the picture, as a share of what is foretold."""
_KINDS = (parts.DARK, parts.LIGHT, parts.BROKEN)


@dataclass(frozen=True)
class LiveHookUp:
    """A live test: the sockets of the adapter, which of them the leads are in, what is shown.

    `at_origin`: a sealed origin stands in place of point and adapter, and a sheet with what was
    measured there in place of the instrument. `off` are the devices that stand open.
    """

    board: SeenBoard
    opening: str
    length: str
    sockets: tuple[str, ...]
    leads: tuple[tuple[str, str], ...]
    shows: str
    function: tuple[str, ...]
    beside: str
    tethered: bool = False
    at_origin: bool = False
    off: frozenset[str] = frozenset()


def live_scene(of: LiveHookUp) -> Detail:
    """The test as wide as a sheet."""
    leads = () if of.at_origin else of.leads
    shown = Instrument(of.shows, of.function, tuple(name for name, _ in leads))
    seen = SeenAdapter(of.sockets)
    way = parts.cable_way(of.board, of.opening, (parts.RIGHT_SIDE + 52, parts.FLOOR))
    groups = [
        group("sign", parts.warning_sign(8, 12), title="Warning"),
        group("board", parts.closed_board(of.board), title="Board, cover on"),
        group("fronts", parts.closed_fronts(of.board, of.off), title="Devices in the window"),
    ]
    if of.at_origin:
        groups.append(group("origin", _sealed(), title="Origin, sealed"))
    else:
        groups += [
            group("cable", (parts.cable(way),), title="Cable of the circuit"),
            group("adapter", parts.adapter(seen), title="Adapter that stands for the vehicle"),
            group("point", parts.closed_point(of.tethered), title="Point, cover on"),
        ]
    points: dict[str, Point] = {}
    for place, (name, to) in enumerate(leads):
        start, tip = shown.at(name), seen.at(to)
        level = start[1] - 8 - 6 * (len(leads) - 1 - place)
        path = (start, (start[0], level), (tip[0], level), tip)
        points[f"tip.{name}"] = tip
        groups.append(group(f"lead.{place}", (parts.lead(path, _KINDS[place]),)))
    if of.at_origin:
        groups.append(group("record", parts.written_sheet(shown), title="What was written down"))
    else:
        groups.append(group("instrument", parts.instrument(shown), title="Instrument"))
    groups.append(group("names", _names(of, shown, seen)))
    return Detail(400, parts.CABLE_AT + 32, tuple(groups), points)


def _sealed() -> Drawables:
    """The origin: closed, a seal on it."""
    x, y, wide = parts.RIGHT_SIDE, parts.TOP + 20, parts.RIGHT_SIDE_WIDE
    return (
        Box(x, y, wide, 118, "ink", LINE, "plate", 4),
        Box(x + wide / 2 - 5, y + 106, 10, 20, "ink", HAIR, "paper", 2),
        Disc(x + wide / 2, y + 122, 3.5, "ink", HAIR, "plate"),
    )


def _names(of: LiveHookUp, shown: Instrument, seen: SeenAdapter) -> Drawables:
    middle = parts.RIGHT_SIDE + parts.RIGHT_SIDE_WIDE / 2
    x0, _, x1, _ = of.board.case
    board = ("board, cover on", (((x0 + x1) / 2, of.board.case[1]),))
    sign = AT_ORIGIN_SIGN if of.at_origin else LIVE_SIGN
    if of.at_origin:
        beside: Drawables = tuple(
            Lettering(middle, parts.TOP + 48 + 16 * place, text, TEXT_SIZE, "middle")
            for place, text in enumerate(
                ("cut-out, meter", "and tails", "authorised", "person only")
            )
        )
        foot: Drawables = ()
        top = parts.TOP + 20
    else:
        beside = (
            *parts.adapter_words(seen, "state C"),
            Lettering(middle - 8, parts.FLOOR - 22, of.beside, TEXT_SIZE, "middle"),
        )
        x = (parts.BOARD_LEFT + parts.RIGHT_SIDE) / 2 + 60
        foot = (Lettering(x, parts.CABLE_AT + 20, of.length, TEXT_SIZE, "middle"),)
        top = parts.TOP
    what = (
        ("origin", ((middle, top),))
        if of.at_origin
        else ("adapter", ((parts.ADAPTER_MIDDLE, top),))
    )
    return (
        *words(32, 18, sign),
        *parts.named_above((board, what), parts.TOP - 22),
        *parts.front_names(of.board),
        *beside,
        *foot,
        *parts.instrument_words(shown),
    )


def _at_point(of: OfCircuit, sockets: tuple[str, ...], **changed: object) -> LiveHookUp:
    made = LiveHookUp(
        of_board(of),
        str(of.circuit.name),
        of.length.words,
        sockets,
        (),
        "",
        (),
        str(of.point.name),
        of.point.outlet == "tethered",
    )
    return replace(made, **changed)  # type: ignore[arg-type]


def _sockets(of: OfCircuit) -> tuple[str, ...]:
    return (*live_names(of.circuit), of.earth)


# ---- the pictures


def loop_test(job: Completed, name: str) -> Made | str:
    """The earth fault loop at the point, as foretold and twice that."""
    of = of_circuit(job, name)
    if isinstance(of, str):
        return of
    line = str(of.circuit.lines[0])
    found = foretold(job, "zs", name, line, "PE")
    if found is None or found.shown.value is None:
        return f"no loop is foretold for '{name}'"
    figure = foretold_figure(found)
    right = _at_point(
        of,
        _sockets(of),
        leads=((line, line), (of.earth, of.earth)),
        shows=in_window(found.shown),
        function=("loop, no trip", f"{line} to {of.earth}"),
    )
    more = replace(found.shown, value=found.shown.value * _TWICE)
    wrong = replace(right, shows=in_window(more))
    most, of_what = _read_cold(found.limit)
    beyond = most is not None and more.value is not None and more.value > most
    bound = "" if most is None else f"{with_unit(ohm_limit(most), 'Ω')}, {of_what}"
    said = "twice what was foretold, and a poor joint"
    if bound:
        said += f" though within {bound}" if not beyond else f"; beyond {bound}"
    return finished(
        job,
        sheet_of(
            f"Earth fault loop of {name}",
            "Every cover is on. An adapter that stands for the vehicle is plugged in, in state C;"
            f" one lead is in its socket {line}, one in its earth socket. Right: the instrument"
            f" shows {figure.words}, as foretold. Wrong: it shows {wrong.shows}, {said}.",
            [
                Panel(
                    live_scene(right),
                    True,
                    f"as foretold: {figure.words}",
                    f"{f'At most {bound}. ' if bound else ''}Warm conductors read more. A range"
                    " that does not trip the device scatters.",
                    whole=True,
                ),
                Panel(
                    live_scene(wrong),
                    False,
                    f"twice as much: {wrong.shows}",
                    f"{said[:1].upper()}{said[1:]}. Isolate, lock off, prove dead, then look for"
                    " the joint.",
                    whole=True,
                ),
            ],
            (figure,),
        ),
    )


def _read_cold(limit: Limit) -> tuple[float | None, str]:
    """The bound of a loop that is read with cold conductors, and what it is."""
    if limit.advice is not None and limit.value is not None and limit.advice < limit.value:
        return limit.advice, "the limit of a reading on cold conductors"
    return limit.value, "the limit of the loop"


def electrode_by_loop(job: Completed, name: str) -> Made | str:
    """The loop that an electrode closes: it, the network's own and the cable."""
    item = next((each for each in job.installation.electrodes if each.name == name), None)
    if item is None:
        return f"no electrode is named '{name}'"
    point = next(
        (each for each in job.installation.charging_points if each.earthed_by == name), None
    )
    if point is None:
        return f"no point is earthed by '{name}'"
    circuit = next(
        each for each in job.installation.circuits if point in job.installation.points_of(each)
    )
    of = of_circuit(job, str(circuit.name))
    if isinstance(of, str):
        return of
    line = str(circuit.lines[0])
    found = foretold(job, "zs", str(circuit.name), line, "PE")
    alone = foretold(job, "electrode", name)
    if found is None or found.shown.value is None or alone is None or alone.shown.value is None:
        return f"no loop through '{name}' is foretold"
    figure, rod = foretold_figure(found), foretold_figure(alone)
    right = _at_point(
        of,
        _sockets(of),
        leads=((line, line), (of.earth, of.earth)),
        shows=in_window(found.shown),
        function=("loop, no trip", f"{line} to {of.earth}"),
    )
    lost = loop(
        of.bench.network,
        States(off=frozenset({f"electrode.{name}"})),
        f"{point.name}.{line}",
        f"{point.name}.PE",
    )
    shows = display(lost)
    wrong = replace(right, shows=shows)
    most = alone.limit.value
    bound = (
        ""
        if most is None
        else f" The limit, {with_unit(ohm_limit(most), 'Ω')}, is the electrode's: the loop,"
        " which holds more, may read beyond it."
    )
    return finished(
        job,
        sheet_of(
            f"Electrode {name} by the loop at {point.name}",
            f"Every cover is on. Right: at the adapter's sockets {line} and earth the loop through"
            f" {name} is {figure.words}; it holds the electrode ({rod.words}), the network's own"
            f" and the cable, so the electrode is less.{bound} Wrong: the lead of {name} is lost,"
            f" and the instrument shows {shows}.",
            [
                Panel(
                    live_scene(right),
                    True,
                    f"the loop {figure.words}",
                    f"The electrode itself: {rod.words}.{bound} Only after its lead was found"
                    " whole by the ohmmeter, dead: a lost lead is never looked for with a live"
                    " test.",
                    whole=True,
                ),
                Panel(
                    live_scene(wrong),
                    False,
                    f"lead lost: {shows}",
                    "All that is earthed through it would stand at line voltage in a fault, and"
                    " during the test. Isolate at the origin.",
                    whole=True,
                ),
            ],
            (figure, rod),
        ),
    )


def residual_test_picture(job: Completed, name: str) -> Made | str:
    """The residual device at its rated current, and one that does not open."""
    of = of_circuit(job, name)
    if isinstance(of, str):
        return of
    line = str(of.circuit.lines[0])
    found = foretold(job, "rcd-time", name)
    if found is None:
        return f"the job asks for no test of a residual device of '{name}'"
    most = "" if found.limit.value is None else f"≤ {with_unit(f'{found.limit.value:g}', 'ms')}"
    rated = found.test.partition(", ")[2].partition(" alternating")[0]
    right = _at_point(
        of,
        _sockets(of),
        leads=((line, line), (of.earth, of.earth)),
        shows=_TIME,
        function=("residual, a.c.", f"{rated}, once"),
        off=frozenset({of.way}),
    )
    figure = ShownFigure(most or "trips", "the longest time allowed", f"rcd-time {name}")
    wrong = replace(right, shows=NO_TRIP, off=frozenset())
    smooth, of_smooth = _smooth(of)
    return finished(
        job,
        sheet_of(
            f"Residual device of {name} at {rated}",
            "Every cover is on; the adapter is in state C, one lead in its line socket, one in its"
            f" earth socket. Right: {of.way} opens once at {rated}, its toggle is down,"
            f" {figure.words}; both half-waves, the longer counts. Wrong: it does not trip, and its"
            " toggle stays up.",
            [
                Panel(
                    live_scene(right),
                    True,
                    f"{of.way} opens: {figure.words}",
                    "Only after the protective conductor was proved. Its toggle is down. Both"
                    " half-waves, the longer time is written down. Then"
                    " its button. If the"
                    f" point opens first, the time is the point's. {smooth}",
                    whole=True,
                ),
                Panel(
                    live_scene(wrong),
                    False,
                    NO_TRIP,
                    "The device has failed, no earth at the point, no supply at the device's"
                    " neutral, or no residual device there. Isolate it; no vehicle until the"
                    " reason is known.",
                    whole=True,
                ),
            ],
            (figure, *of_smooth),
        ),
    )


def _smooth(of: OfCircuit) -> tuple[str, tuple[ShownFigure, ...]]:
    """What is done about smooth direct current, which this test does not send; its figures."""
    if of.point.dc_detection in ("rdc-dd", "rdc-pd", "rdc-md"):
        row = table("dc_detection").rows[0]
        least = of_row(row, "smooth_dc_ma", "{} mA", "smooth direct current to be detected")
        said = (
            f"Smooth d.c. is not sent here: what detects {least.words} of it in {of.point.name} is"
            " tried as its maker says."
        )
        return said, (least,)
    said = (
        "Smooth d.c. is not sent here: what opens on it, a type B device or the point itself, is"
        " tried as its maker says."
    )
    return said, ()


def fault_current(job: Completed, name: str) -> Made | str:
    """The largest current of the origin, by whoever is authorised there; the point's is less."""
    if name != "supply":
        return "the prospective current is the supply's"
    circuit = job.installation.circuits[0]
    of = of_circuit(job, str(circuit.name))
    if isinstance(of, str):
        return of
    found = _to_write(job)
    if found is None or found.shown.value is None:
        return "no prospective current is foretold"
    line, other = live_names(circuit)[0], live_names(circuit)[-1]
    here = prospective_current(
        of.bench.network, States(), f"{of.point.name}.{line}", f"{of.point.name}.{other}"
    )
    if here.value is None:
        return "no prospective current is foretold at the point"
    figure = foretold_figure(found)
    limit = found.limit.value
    bound = "" if limit is None else f" The devices bear {with_unit(f'{limit:g}', 'kA')}."
    wrong = _at_point(
        of,
        _sockets(of),
        leads=((line, line), (other, other)),
        shows=display(here),
        function=("fault current", f"{line} to {other}"),
    )
    right = replace(
        wrong, at_origin=True, shows=figure.words, function=("largest of", "the origin")
    )
    less = ShownFigure(wrong.shows, f"at {of.point.name}", f"prospective {circuit.name}")
    return finished(
        job,
        sheet_of(
            "Prospective fault current",
            "Right: the largest current of the origin is measured by whoever is authorised there"
            f" and written down: {figure.words}; cut-out, meter and tails stay closed to all"
            f" others. Wrong: {wrong.shows}, measured at the adapter of {of.point.name}, is taken"
            " for the board's; the cable between makes it less.",
            [
                Panel(
                    live_scene(right),
                    True,
                    f"measured at the origin: {figure.words}",
                    f"The largest of all pairs counts.{bound}",
                    whole=True,
                ),
                Panel(
                    live_scene(wrong),
                    False,
                    f"the point's taken for it: {wrong.shows}",
                    "The cable lies in between: the devices of the board meet more than this.",
                    whole=True,
                ),
            ],
            (figure, less),
        ),
    )


def _to_write(job: Completed) -> Expected | None:
    found = [
        each
        for each in expected_readings(job.case)
        if each.key == "prospective-fault-current" and not each.between
    ]
    return found[0] if found else None


def phase_order(job: Completed, name: str) -> Made | str:
    """The order of the lines at a point, and two of them exchanged."""
    of = of_circuit(job, name)
    if isinstance(of, str):
        return of
    found = foretold(job, "phase-sequence", str(of.point.name))
    if found is None:
        return f"'{name}' has no three lines"
    lines = tuple(each for each in live_names(of.circuit) if each != "N")
    right = _at_point(
        of,
        _sockets(of),
        leads=tuple((each, each) for each in lines),
        shows=display(found.shown),
        function=("phase", "sequence"),
    )
    swapped = [f"{of.point.name}.{lines[place]}" for place in (1, 0, 2)]
    reads = phase_sequence(of.bench.network, States(), swapped)
    wrong = replace(right, shows=display(reads))
    figure = ShownFigure(right.shows, "foretold", f"phase-sequence {of.point.name}")
    return finished(
        job,
        sheet_of(
            f"Phase sequence at {of.point.name}",
            "Every cover is on; three leads are in the adapter's sockets L1, L2 and L3, state C."
            f" Right: {right.shows}. Wrong: two lines are exchanged on the way, and the same leads"
            f" show {wrong.shows}.",
            [
                Panel(
                    live_scene(right),
                    True,
                    right.shows,
                    "Then at every other point with three lines.",
                    whole=True,
                ),
                Panel(
                    live_scene(wrong),
                    False,
                    wrong.shows,
                    "Two lines are exchanged between here and the origin. Isolate, lock off and"
                    " prove dead; then follow each line by its colour and by the ohmmeter.",
                    whole=True,
                ),
            ],
            (figure,),
        ),
    )
