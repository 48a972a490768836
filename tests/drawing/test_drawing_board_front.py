"""The board's front: to scale, every terminal and way shown, clean by the drawing lint, for shipped
and for drawn boards.

Outside the project: the module of 17.5 mm (DIN 43880, from memory), 9 px as the least text (our own
promise, counted at 768 px), the XML reader. What the file says is read back from the finished
drawing, not from its plan; that drawing and plan agree point by point is asked apart.
"""

from __future__ import annotations

import copy
import re
import subprocess
import sys
import time
from collections import Counter
from itertools import combinations
from pathlib import Path
from random import Random
from xml.etree import ElementTree

import pytest
from changing import done
from drawing_faults import faults_in
from random_installations import Data, data_of, installation_of
from sampling import JOBS
from telling import Tell

from firstway.choosing.completing import Completed, completed
from firstway.drawing.front.board_front import board_front
from firstway.model.values import is_known
from firstway.rendering.html import caution_line

MODULE_MM = 17.5  # DIN 43880, from memory
TAB_MM = 25.4  # one inch, the pitch the nec files give
ON_BOARD = (
    "main-switch",
    "spd",
    "rcbo",
    "rcd",
    "circuit-breaker",
    "fuse",
    "contactor",
    "blank",
    "line-bar",
    "neutral-bar",
    "earth-bar",
)
SIDES = ("top", "bottom", "left", "right")

Groups = dict[str, ElementTree.Element]


def groups_of(svg: str, prefix: str) -> tuple[ElementTree.Element, Groups]:
    """The drawing read back: its groups by name."""
    root = ElementTree.fromstring(svg)
    return root, {
        element.attrib["id"].removeprefix(f"{prefix}-"): element
        for element in root.iter()
        if element.tag.endswith("}g") and "id" in element.attrib
    }


def plain(name: str) -> str:
    return re.sub(r"[^A-Za-z0-9_.-]+", "-", name)


def first_rect(group: ElementTree.Element) -> dict[str, float]:
    return rects_of(group)[0]


def rects_of(group: ElementTree.Element) -> list[dict[str, float]]:
    return [
        {key: float(element.attrib[key]) for key in ("x", "y", "width", "height")}
        for element in group
        if element.tag.endswith("}rect")
    ]


def said_in(group: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in group.iter() if element.tag.endswith("}text")]


def faults_of(board: Completed) -> list[str]:
    """Everything wrong with one board's front, read back from the drawing."""
    svg = board_front(board, "b").svg
    return (
        [str(fault) for fault in faults_in(svg)] + missing_from(board, svg) + off_scale(board, svg)
    )


def missing_from(board: Completed, svg: str) -> list[str]:
    """Devices, bars and terminals of the wiring that the drawing does not show, or shows twice."""
    _, groups = groups_of(svg, "b")
    wiring = board.case.wiring.drawn
    here = {part.name: part for part in wiring.parts if part.kind in ON_BOARD}
    wanted = {plain(name) for name, part in here.items() if part.kind != "line-bar"}
    free = {
        plain(end)
        for each in wiring.conductors
        for end in (each.start, each.end)
        if each.kind == "armour" and end == "feed.armour"  # it ends outside, at its gland
    }
    wanted |= {plain(terminal.id) for terminal in wiring.terminals if terminal.device in here}
    wanted -= free
    lost = [f"not shown: {name}" for name in sorted(wanted - set(groups))]
    shown = {
        name
        for name, group in groups.items()
        if group.attrib.get("class", "").startswith("terminal")
    }
    strangers = shown - {plain(terminal.id) for terminal in wiring.terminals}
    places = Counter()
    for name in shown:
        disc = next(element for element in groups[name] if element.tag.endswith("}circle"))
        places[disc.attrib["cx"], disc.attrib["cy"]] += 1
    on_top = [f"terminals on each other at {place}" for place, count in places.items() if count > 1]
    return lost + [f"not in the file: {name}" for name in sorted(strangers)] + on_top


def off_scale(board: Completed, svg: str) -> list[str]:
    """Every length of the file that the drawing does not show at its one scale (a tenth of a unit
    is rounding).
    """
    root, groups = groups_of(svg, "b")
    scale = float(root.attrib["data-units-per-mm"])
    installation = board.installation
    enclosure, bar = installation.board.enclosure, installation.board.busbar
    tabbed = is_known(bar) and bar.style == "tabs"
    upright = (
        is_known(enclosure)
        and enclosure.main_switch_end in ("top", "bottom")
        or tabbed
        and not is_known(enclosure)
    )
    wrong = []
    for part in board.case.wiring.drawn.parts:
        if part.kind in ON_BOARD[:8]:
            box = first_rect(groups[plain(part.name)])
            main_on_tabs = tabbed and part.kind == "main-switch"
            along = (
                box["height"]
                if upright and not main_on_tabs or main_on_tabs and not upright
                else box["width"]
            )
            wanted = max(part.modules, 1) * (TAB_MM if tabbed else MODULE_MM) * scale
            if abs(along - wanted) > 0.11:
                wrong.append(f"{part.name} is {along} along the rail, to scale it is {wanted:.2f}")
    box = first_rect(groups["enclosure"])
    for key, side in (("width_mm", "width"), ("height_mm", "height")):
        given = getattr(enclosure, key, None)
        if isinstance(given, float) and abs(box[side] - given * scale) > 0.11:
            wrong.append(
                f"the enclosure's {side} is {box[side]}, to scale it is {given * scale:.2f}"
            )
    return wrong


def off_the_plan(board: Completed, svg: str) -> list[str]:
    """Every terminal, device, bar and opening that is not drawn where the plan has it, to half a
    millimetre; read back by the drawing's own scale from the enclosure's corner.
    """
    root, groups = groups_of(svg, "b")
    scale = float(root.attrib["data-units-per-mm"])
    corner = first_rect(groups["enclosure"])
    plan, wrong = board.case.layout.parts, []

    def compared(what: str, drawn: tuple[float, ...], planned: tuple[float, ...]) -> None:
        away = max(abs(a - b) for a, b in zip(drawn, planned))
        if away > 0.5:
            wrong.append(f"{what} is {away:.2f} mm off its place")

    def corners(name: str) -> tuple[float, float, float, float]:
        box = first_rect(groups[plain(name)])
        x, y = (box["x"] - corner["x"]) / scale, (box["y"] - corner["y"]) / scale
        return x, y, x + box["width"] / scale, y + box["height"] / scale

    for terminal in board.case.wiring.drawn.terminals:
        spot = plan.spots.get(terminal.id)
        if spot is not None:
            disc = next(e for e in groups[plain(terminal.id)] if e.tag.endswith("}circle"))
            at = [float(disc.attrib[key]) for key in ("cx", "cy")]
            drawn = (at[0] - corner["x"]) / scale, (at[1] - corner["y"]) / scale
            compared(terminal.id, drawn, spot.at[:2])
    for name, box in [
        *((each.name, each.body) for each in plan.devices),
        *((each.name, each.box) for each in plan.bars),
    ]:
        compared(name, corners(name), (*box.low[:2], *box.high[:2]))
    for opening in plan.openings:
        if opening.side != "back":
            x0, y0, x1, y1 = corners(f"opening.{opening.name}")
            axis = 0 if opening.side in ("top", "bottom") else 1
            middle = ((x0 + x1) / 2, (y0 + y1) / 2)[axis]
            compared(f"the opening of {opening.name}", (middle,), (opening.at[axis],))
    return wrong


FURTHER = ("isolation-label", "sources-label", "colours-label", "surge-label")


def covered_faults(board: Completed) -> list[str]:
    """What is wrong with the drawing with its cover on: devices without a label, a nose or label
    that is not where the plan has it, terminals that show through.
    """
    svg = board_front(board, "b", cover_on=True).svg
    root, groups = groups_of(svg, "b")
    scale = float(root.attrib["data-units-per-mm"])
    corner = first_rect(groups["enclosure"])
    wrong = [str(fault) for fault in faults_in(svg)]
    labels = dict(board.case.layout.parts.cover.labels)
    for part in board.case.wiring.drawn.parts:
        if part.kind not in ON_BOARD[:8]:
            continue
        label = groups.get(f"label.{plain(part.name)}")
        if label is None or part.name not in title_of(label):
            wrong.append(f"no label for {part.name}")
            continue
        box, planned = first_rect(label), labels[part.name]
        for key, axis in (("x", 0), ("y", 1)):
            if abs((box[key] - corner[key]) / scale - planned.low[axis]) > 0.5:
                wrong.append(f"the label of {part.name} is off its place")
    plates = {
        name: first_rect(group)
        for name, group in groups.items()
        if group.attrib.get("class", "").split()[:1] == ["label"]
    }
    plates["window"] = first_rect(groups["cover.window"])
    wrong += [
        f"{one} lies on {other}"
        for (one, a), (other, b) in combinations(plates.items(), 2)
        if {one, other} & set(FURTHER)
        and max(a["x"], b["x"]) < min(a["x"] + a["width"], b["x"] + b["width"])
        and max(a["y"], b["y"]) < min(a["y"] + a["height"], b["y"] + b["height"])
    ]
    crowded = "devices" in board.case.layout.parts.crowded  # `parts-fit` says that of a row
    wrong += [
        f"{name} leaves the cover"
        for name, box in plates.items()
        if not crowded
        and not (
            corner["x"] <= box["x"] <= box["x"] + box["width"] <= corner["x"] + corner["width"]
            and corner["y"]
            <= box["y"]
            <= box["y"] + box["height"]
            <= corner["y"] + corner["height"]
        )
    ]
    notes = " ".join(said_in(groups["notes"]))
    unsaid = notes.count("No room on the cover")
    drawn = sum(name in groups for name in FURTHER)
    wanted = 1 + any(w.device == "spd" for w in board.installation.board.ways)
    if drawn + unsaid < wanted:
        wrong.append("a label is neither drawn nor told")
    shown = [
        name
        for name, group in groups.items()
        if group.attrib.get("class", "").startswith("terminal")
    ]
    return wrong + [f"seen through the cover: {name}" for name in shown]


def title_of(group: ElementTree.Element) -> str:
    return next((e.text or "" for e in group if e.tag.endswith("}title")), "")


# ---- shipped boards


@pytest.mark.parametrize("name", JOBS)
def test_board_front__lies_where_the_plan_has_it(name: str) -> None:
    assert off_the_plan(done(name), board_front(done(name), "b").svg) == []


@pytest.mark.parametrize("name", JOBS)
def test_board_front__cover_on_shows_a_label_for_each_device(name: str) -> None:
    assert covered_faults(done(name)) == []


def test_board_front__cover_on_says_what_each_label_must_say() -> None:
    """BS 7671 514.12.2 (found): every six months, so says the notice; the other words are ours."""
    _, groups = groups_of(board_front(done("marram"), "b", cover_on=True).svg, "b")
    assert said_in(groups["label.F2"]) == ["F2 slipway"]
    assert "Live parts inside, 230 V" in title_of(groups["warning-label"])
    notice = " ".join(said_in(groups["test-notice"]))
    assert "Press T on F2 every 6 months" in notice
    stays = " ".join(said_in(groups["isolation-label"]))
    assert stays.startswith("The incoming terminals of Q1 stay live when it is off.")
    assert "earlier colours" in " ".join(said_in(groups["colours-label"]))
    assert " ".join(said_in(groups["surge-label"])).startswith("F1: when the window shows")
    notes = " ".join(said_in(groups["notes"]))
    assert "Off is not dead on the incoming side" in notes and "own earth electrode" not in notes
    _, tt = groups_of(board_front(done("sallow"), "b", cover_on=True).svg, "b")
    assert "has its own earth electrode" in " ".join(said_in(tt["notes"]))
    assert len(groups["cover-screws"].findall("{http://www.w3.org/2000/svg}circle")) == 4


def test_board_front__cover_on_without_blanks_shows_the_gaps() -> None:
    board = done(
        "marram",
        ("{name: S1, device: blank, modules: 4}", "{name: S1, device: blank, modules: 1}"),
        ("spare_ways_blanked: true", "spare_ways_blanked: false"),
    )
    _, groups = groups_of(board_front(board, "b", cover_on=True).svg, "b")
    assert title_of(groups["free.1"]) == "A free place that nothing closes"
    assert "open" in said_in(groups["free.1"])


@pytest.mark.parametrize("name", ("alder", "bramble"))
def test_board_front__the_cover_of_a_panel_opens_only_where_a_device_stands(name: str) -> None:
    """NFPA 70 408.7 (from memory): unused openings for breakers are closed; so the cover is open
    at devices alone, every other place is closed, and no opening shows the bus between them.
    """
    board = done(name)
    root, groups = groups_of(board_front(board, "b", cover_on=True).svg, "b")
    scale, corner = float(root.attrib["data-units-per-mm"]), first_rect(groups["enclosure"])
    opened = rects_of(groups["cover.window"])
    parts = board.case.layout.parts
    devices = [each for each in parts.devices if each.kind != "blank"]
    noses = [first_rect(groups[plain(each.name)]) for each in devices]
    assert sorted(map(str, opened)) == sorted(map(str, noses))
    enclosure = board.installation.board.enclosure
    wired = board.case.wiring.drawn.parts
    used = sum(part.modules for part in wired if part.name in {each.name for each in devices})
    closed = [each for each in groups if each.startswith("free.")]
    assert used + len(closed) == enclosure.modules and closed
    assert all(said_in(groups[each]) == ["closed"] for each in closed)
    bus = parts.line_bar.box
    low, high = ((edge[0] * scale + corner["x"]) for edge in (bus.low, bus.high))
    assert all(each["x"] + each["width"] <= low or high <= each["x"] for each in opened)


@pytest.mark.parametrize("cover_on", (False, True))
@pytest.mark.parametrize("name", ("alder", "bramble"))
def test_board_front__of_a_panel_measures_in_inches_too_and_keeps_to_one_word(
    name: str, cover_on: bool
) -> None:
    """An inch is 25.4 mm exactly (international yard and pound, 1959); panel and ground bar are
    common practice.
    """
    root, groups = groups_of(board_front(done(name), "b", cover_on=cover_on).svg, "b")
    for side, low in (("width", "14.17"), ("height", "11.81")):
        assert re.fullmatch(rf"\d+ mm \({low} in\)", said_in(groups[f"dimension.{side}"])[0])
    words = [each.text or "" for each in root.iter() if each.tag.endswith(("}text", "}title"))]
    said = " ".join(words)
    assert "Panel front" in said and not re.search(r"\b[Bb]oards?\b|\bground(ing)? bus\b", said)
    assert ("ground bar" in said) == (not cover_on) and "grounding bar" not in said


def test_board_front__entries_stand_in_the_order_of_the_plan() -> None:
    """Sallow's two cables: the way nearer the main switch enters nearer to it."""
    _, groups = groups_of(board_front(done("sallow"), "b").svg, "b")
    at = {name: first_rect(groups[f"opening.{name}"])["x"] for name in ("yard", "gate")}
    devices = {name: first_rect(groups[name])["x"] for name in ("F2", "F3")}
    assert (at["yard"] < at["gate"]) == (devices["F2"] < devices["F3"])


def test_board_front__a_bar_of_another_pitch_misses_its_terminals_and_says_so() -> None:
    board = done("marram", ("pitch_mm: 17.5", "pitch_mm: 27"))
    svg = board_front(board, "b").svg
    _, groups = groups_of(svg, "b")
    teeth = [
        (float(e.attrib["x"]) + float(e.attrib["width"]) / 2)
        for e in groups["line-bar"]
        if e.tag.endswith("}rect")
    ]
    disc = next(e for e in groups["F1.L1"] if e.tag.endswith("}circle"))
    assert min(abs(float(disc.attrib["cx"]) - x) for x in teeth) > 2, "no tooth stands under F1 L1"
    assert any("miss terminals at its pitch" in line for line in said_in(groups["notes"]))
    assert faults_of(board) == []


@pytest.mark.parametrize("name", ("sallow", "plover", "osier"))
def test_board_front__a_tooth_of_another_line_is_said(name: str) -> None:
    """The lines of a comb repeat as it was made, whatever line the file gives a way."""
    board = done(name)
    wiring, bar = board.case.wiring.drawn, board.case.layout.parts.line_bar
    assert bar is not None
    notes = " ".join(said_in(groups_of(board_front(board, "b").svg, "b")[1]["notes"]))
    for tooth in bar.teeth:
        terminal = wiring.terminal(tooth.terminal)
        wrong = terminal is not None and terminal.function != tooth.line
        assert (f"{tooth.terminal.replace('.', ' ')} carries {tooth.line}" in notes) == wrong


@pytest.mark.parametrize("name", JOBS)
def test_board_front__is_clean_complete_and_to_scale(name: str) -> None:
    assert faults_of(done(name)) == []


def test_board_front__module_is_the_standard_module() -> None:
    """DIN 43880 (from memory): a device of two modules is 35 mm wide."""
    root, groups = groups_of(board_front(done("marram"), "b").svg, "b")
    assert first_rect(groups["F2"])["width"] / float(
        root.attrib["data-units-per-mm"]
    ) == pytest.approx(35, abs=0.05)


def test_board_front__main_switch_stands_at_the_end_the_file_names() -> None:
    for name, last in (("marram", True), ("sallow", False)):
        _, groups = groups_of(board_front(done(name), "b").svg, "b")
        at = {
            part.name: first_rect(groups[part.name])["x"]
            for part in done(name).case.wiring.drawn.parts
            if part.kind in ON_BOARD[:8]
        }
        ordered = sorted(at, key=at.get, reverse=last)
        assert ordered == ["Q1", *(way.name for way in done(name).installation.board.ways)]


def test_board_front__dimension_lines_say_what_the_file_says() -> None:
    _, groups = groups_of(board_front(done("marram"), "b").svg, "b")
    assert said_in(groups["dimension.width"]) == ["265 mm"]
    assert said_in(groups["dimension.height"]) == ["235 mm"]
    assert said_in(groups["dimension.modules"]) == ["10 × 17.5 mm = 175 mm"]
    assert any("100 mm deep" in line for line in said_in(groups["notes"]))


def test_board_front__key_holds_the_makers_figures_and_asks_for_the_rest() -> None:
    key = said_in(groups_of(board_front(done("marram"), "b").svg, "b")[1]["key"])
    assert [words for words in key if words.endswith("N·m")] == ["3.5 N·m", "2.5 N·m", "2 N·m"]
    nec = said_in(groups_of(board_front(done("alder"), "b").svg, "b")[1]["key"])
    assert "45 lbf·in" in nec and not any("N·m" in words for words in nec)
    without = said_in(groups_of(board_front(done("quince"), "b").svg, "b")[1]["key"])
    assert without.count("ask the maker: nothing is stated") == 4 and not any(
        re.search(r"\d N·m", words) for words in without
    )


def test_board_front__bar_kinds_look_different() -> None:
    bars = {}
    for style in ("pin", "fork", "links"):
        board = done("sedge", ("style: pin", f"style: {style}"))
        group = groups_of(board_front(board, "b").svg, "b")[1]["line-bar"]
        bars[style] = [
            (element.tag, len(re.findall("[A-Z]", element.attrib.get("d", ""))))
            for element in group
            if not element.tag.endswith("}text")
        ]
    assert len({str(shapes) for shapes in bars.values()}) == 3


def test_board_front__says_what_stays_live() -> None:
    assert (
        "The incoming terminals of Q1 stay live when it is off." in board_front(done("marram")).svg
    )
    assert "The lugs stay live" in board_front(done("alder")).svg


def test_board_front__one_module_too_many_is_said_and_still_drawn_to_scale() -> None:
    board = done(
        "marram",
        ("{name: S1, device: blank, modules: 4}", "{name: S1, device: blank, modules: 12}"),
    )
    svg = board_front(board, "b").svg
    assert "Does not fit:" in svg and "the enclosure is 265 mm wide" in svg
    assert faults_of(board) == []


def test_board_front__free_places_and_their_blanks_are_said() -> None:
    board = done(
        "marram", ("{name: S1, device: blank, modules: 4}", "{name: S1, device: blank, modules: 1}")
    )
    _, groups = groups_of(board_front(board, "b").svg, "b")
    assert sum(name.startswith("free.") for name in groups) == 3
    assert any("closed with blanks" in line for line in said_in(groups["notes"]))


def test_board_front__unknown_size_is_said_not_drawn_as_known() -> None:
    board = done("marram", ("width_mm: 265, ", ""))
    svg = board_front(board, "b").svg
    assert (
        "width not known" in svg
        and "Width not known: ask the maker" in svg
        and faults_of(board) == []
    )


def test_board_front__alternative_text_tells_where_everything_is() -> None:
    drawn = board_front(done("marram"))
    for words in (
        "On the rail, from the right end: Q1",
        "joins Q1 L1, F1 L1, F2 L1",
        "Neutral bar on the bottom side, 3 terminals",
        "opening at the bottom",
        "Terminals of F2: torque 2 N·m",
        caution_line("2018+A4:2026"),
    ):
        assert words in drawn.alt, words
    root = ElementTree.fromstring(drawn.svg)
    described = next(element for element in root if element.tag.endswith("}desc"))
    assert described.text == drawn.alt and root.attrib["role"] == "img"


def test_board_front__hostile_names_are_only_text() -> None:
    board = done("sedge", ("title: ", "title: <script>&\"' "))
    assert "<script>" not in board_front(board).svg
    ElementTree.fromstring(board_front(board).svg)


# ---- size, time, sameness


def test_board_front__small_board_and_twelve_modules_keep_size_and_time(tell: Tell) -> None:
    """20 ms of CPU and 30 kB for a four-device board, 60 ms and 80 kB for twelve modules of three
    phases; times are printed, size decides.
    """
    said = []
    for name, largest, longest in (
        ("marram", 30_000, 20),
        ("plover", 80_000, 60),
        ("sallow", 80_000, 60),
    ):
        board = done(name)
        board_front(board)
        times = []
        for _ in range(5):
            start = time.process_time()
            size = len(board_front(board).svg.encode())
            times.append((time.process_time() - start) * 1000)
        assert size <= largest, f"{name}: {size} bytes"
        said.append(f"{name} {size / 1000:.1f} kB, {min(times):.1f} ms of {longest}")
    tell("board front: " + "; ".join(said))


def test_board_front__same_bytes_in_another_process(root: Path) -> None:
    text = (
        "import sys; from pathlib import Path; from firstway.cli import _done; from"
        " firstway.drawing.front.board_front import board_front;"
        "sys.stdout.buffer.write(board_front(_done(Path(sys.argv[1]))).svg.encode())"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", text, str(root / "diagrams" / "sallow.yaml")],
            capture_output=True,
            check=True,
            env={"PYTHONPATH": str(root / "tools"), "PYTHONHASHSEED": seed, "PYTHONUTF8": "1"},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(runs) == 1
    assert board_front(done("sallow")).svg == board_front(done("sallow")).svg


@pytest.mark.parametrize("name", ("alder", "bramble"))
def test_board_front__the_directory_on_the_cover_says_what_each_circuit_is_for(name: str) -> None:
    """The clear and specific use of each circuit (NFPA 70 408.4(A), from memory): a name such as
    garage says a place alone.
    """
    job = done(name)
    _, groups = groups_of(board_front(job, "b", cover_on=True).svg, "b")
    said = " ".join(said_in(groups["test-notice"]))
    for circuit in job.installation.circuits:
        way = job.installation.way_feeding(circuit.name).name
        points = " and ".join(point.name for point in job.installation.points_of(circuit))
        assert f"{way} vehicle charging, {circuit.name}: {points}" in said
        assert {way, circuit.name} <= set(" ".join(said_in(groups[f"label.{way}"])).split())


# ---- drawn boards


def drawn_board(seed: int) -> Completed:
    """A board at random: 2 to 18 modules, one or three phases or nec, everything on any side."""
    draw = Random(f"board front {seed}")
    data = draw.choice((_one_phase, _one_phase, _three_phase, _nec))(draw)
    enclosure = data["board"]["enclosure"]
    enclosure.update(
        feed_enters=draw.choice((*SIDES, "back")),
        circuits_leave=draw.choice((*SIDES, "back")),
        neutral_bar=draw.choice(SIDES),
        earth_bar=draw.choice(SIDES),
        main_switch_end=draw.choice(("left", "right", "left", "right", "top", "bottom")),
        spare_ways_blanked=draw.choice((True, False)),
    )
    used = sum(way["modules"] for way in data["board"]["ways"]) + (
        2 if data["board"]["main_switch"] == "none" else data["board"]["main_switch"]["modules"]
    )
    enclosure["modules"] = max(1, used + draw.choice((0, 0, 1, 4, -2)))
    for key in ("row", "neutral_bar_at", "earth_bar_at"):  # the places of other sides
        enclosure.pop(key, None)
    for part in (data["feed"], *data["circuits"]):
        part.pop("opening", None)
    enclosure["width_mm"] = round(enclosure["modules"] * 17.5 + draw.choice((30, 70, 120, 400)))
    enclosure["height_mm"] = draw.choice((130, 200, 235, 320, 900))
    if draw.random() < 0.15:
        enclosure.pop(draw.choice(("width_mm", "height_mm", "depth_mm", "modules")))
    result, problems = completed(installation_of(data, f"board-{seed}"))
    assert result is not None, problems
    return result


def _one_phase(draw: Random) -> Data:
    data = data_of("marram")
    return _filled(draw, data, draw.randint(1, 6), (1, 2), draw.choice(("pin", "fork", "links")))


def _three_phase(draw: Random) -> Data:
    data = data_of("plover")
    return _filled(draw, data, draw.randint(1, 2), (4,), draw.choice(("pin", "fork", "links")))


def _nec(draw: Random) -> Data:
    data = data_of(draw.choice(("alder", "bramble")))
    for key in ("load_limiter", "vehicles", "readings", "known_by", "wiring"):
        data.pop(key, None)
    if draw.random() < 0.5:
        data["board"]["ways"].append(
            {"name": "S1", "device": "blank", "modules": draw.randint(1, 4)}
        )
    return data


def _filled(draw: Random, data: Data, circuits: int, modules: tuple[int, ...], style: str) -> Data:
    """The base board with that many circuits, blanks, and an SPD or none."""
    for key in ("load_limiter", "vehicles", "readings", "known_by", "wiring"):
        data.pop(key, None)
    board, way, circuit, point = (
        data["board"],
        data["board"]["ways"][1],
        data["circuits"][0],
        data["charging_points"][0],
    )
    board["ways"] = board["ways"][:1] if draw.random() < 0.8 else []
    data["circuits"], data["charging_points"] = [], []
    names = draw.sample(
        ("slip", "drive", "north-car-park-post-row", "bay", "yard", "workshop-wall", "hall"),
        circuits,
    )
    for place, name in enumerate(names, 2):
        own, run, post = copy.deepcopy((way, circuit, point))
        own.update(
            name=draw.choice((f"F{place}", f"F{place}", f"breaker-{place}")),
            feeds=name,
            modules=draw.choice(modules),
            rating_a=40,
        )
        own.pop("let_through", None)
        run.update(name=name, supplies=[f"p-{name}"])
        run["cable"].update(csa_mm2=10, cpc_mm2=10)
        post.update(name=f"p-{name}", current_a=16)
        post.pop("power_kw", None)
        if draw.random() < 0.3:
            own["terminals"] = draw.choice(
                ({"torque_nm": 2.0}, {"strip_mm": "undeclared", "conductors": 2})
            )
        board["ways"].append(own)
        data["circuits"].append(run)
        data["charging_points"].append(post)
    if draw.random() < 0.5:
        board["ways"].append({"name": "S1", "device": "blank", "modules": draw.randint(1, 4)})
    board["busbar"].update(style=style, joins_at=draw.choice(("top", "bottom")))
    if draw.random() < 0.2:
        board["busbar"].pop("style")
    return data


def _violations(seeds: range) -> tuple[Counter[str], list[str]]:
    counts: Counter[str] = Counter()
    found: list[str] = []
    for seed in seeds:
        board = drawn_board(seed)
        counts["boards"] += 1
        counts["modules"] += sum(
            max(part.modules, 1)
            for part in board.case.wiring.drawn.parts
            if part.kind in ON_BOARD[:8]
        )
        counts["terminals"] += len(board.case.wiring.drawn.terminals)
        wrong = [*faults_of(board), *off_the_plan(board, board_front(board, "b").svg)]
        found += [f"seed {seed}: {fault}" for fault in (*wrong, *covered_faults(board))]
    return counts, found


def _told(tell: Tell, counts: Counter[str], found: list[str]) -> None:
    tell(
        f"board front: {counts['boards']} drawn boards, {counts['modules']} modules,"
        f" {counts['terminals']} terminals, {len(found)} violations"
    )


def test_board_front__some_drawn_boards_have_no_violation(tell: Tell) -> None:
    counts, found = _violations(range(8))
    _told(tell, counts, found)
    assert found == []


@pytest.mark.long
def test_board_front__three_hundred_drawn_boards_have_no_violation(tell: Tell) -> None:
    counts, found = _violations(range(1000, 1300))
    _told(tell, counts, found)
    assert found == []


@pytest.mark.parametrize("name", ("marram", "sallow", "alder"))
def test_board_front__real_text_widths_leave_no_text_on_text_or_past_the_edge(
    name: str, browser: object
) -> None:
    """Measured by the browser's own fonts at 768 px: every text in the drawing, none on another,
    none under 9 px high.
    """
    page = browser.new_page(viewport={"width": 768, "height": 900})
    page.set_content(
        "<body"
        f" style='margin:0;font-family:sans-serif'>{board_front(done(name), 'b').svg}<style>"
        f"svg{{width:100%}}</style></body>"
    )
    found = page.evaluate("""() => {
        const edge = document.querySelector('svg').getBoundingClientRect();
        const texts = [...document.querySelectorAll('text')].map(t => ({words: t.textContent, box: t.getBoundingClientRect(),
            size: parseFloat(getComputedStyle(t).fontSize) * edge.width / document.querySelector('svg').viewBox.baseVal.width}));
        const faults = [];
        texts.forEach(({words, box, size}, place) => {
            if (box.left < edge.left || box.right > edge.right || box.top < edge.top || box.bottom > edge.bottom) faults.push('past the edge: ' + words);
            if (size < 8.99) faults.push('too small: ' + words);
            texts.slice(place + 1).forEach(other => {
                const o = other.box, a = 1.5;
                if (box.left + a < o.right && o.left + a < box.right && box.top + a < o.bottom && o.top + a < box.bottom
                    && Math.min(box.bottom, o.bottom) - Math.max(box.top, o.top) > 4) faults.push(words + ' on ' + other.words);
            });
        });
        return [texts.length, faults];
    }""")
    page.close()
    assert found[0] > 40 and found[1] == []


# ---- the checks above can fail


def test_off_scale__finds_a_device_drawn_too_wide() -> None:
    svg = board_front(done("marram"), "b").svg
    _, groups = groups_of(svg, "b")
    wide = first_rect(groups["F2"])["width"]
    head, _, tail = svg.partition('id="b-F2"')
    tail = tail.replace(f'width="{wide:g}"', f'width="{wide + 3:g}"', 1)
    assert any("F2" in words for words in off_scale(done("marram"), head + 'id="b-F2"' + tail))


def test_missing_from__finds_a_terminal_left_out() -> None:
    svg = re.sub(
        r'<g id="b-F2\.load\.N".*?</g>\n', "", board_front(done("marram"), "b").svg, flags=re.DOTALL
    )
    assert missing_from(done("marram"), svg) == ["not shown: F2.load.N"]


def test_off_the_plan__finds_a_terminal_drawn_elsewhere() -> None:
    svg = board_front(done("marram"), "b").svg
    head, mark, tail = svg.partition('id="b-F2.load.N"')
    found = re.search(r'cx="([0-9.]+)"', tail)
    assert found is not None
    tail = tail.replace(found[0], f'cx="{float(found[1]) + 2:g}"', 1)
    assert any("F2.load.N" in words for words in off_the_plan(done("marram"), head + mark + tail))
