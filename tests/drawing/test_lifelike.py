"""The lifelike view: it lies where the plan lies, joins what the graph joins, and hides nothing
that is nearer to the eye, for shipped and for drawn boards.

Outside the project: rotation matrices (numpy) project the plan anew, and a depth comparison along
rays, written here, says what is nearer; 9 px at 768 px is our own promise. The finished drawing is
read back, not its stages, wherever it can be.
"""

from __future__ import annotations

import re
import time
from collections import Counter
from functools import cache
from itertools import combinations
from math import ceil, cos, radians, sin
from xml.etree import ElementTree

import numpy as np
import pytest
from boards import drawn
from changing import done
from sampling import JOBS
from telling import Tell

from firstway.choosing.completing import Completed, completed
from firstway.drawing.labels import Bounds, meets
from firstway.drawing.lifelike.callouts import spread_out
from firstway.drawing.lifelike.eye import Eye, eye_to
from firstway.drawing.lifelike.framing import framed_for
from firstway.drawing.lifelike.lines import Tube
from firstway.drawing.lifelike.order import painting_order, thing_of_body, things_of_tube
from firstway.drawing.lifelike.picture import box_pictured, lifelike
from firstway.drawing.lifelike.scene import Scene, scene_of
from firstway.drawing.lifelike.shapes import Body
from firstway.drawing.lifelike.staging import at_stage
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import Drawn
from firstway.drawing.text_width import text_width
from firstway.layout.bending import bent_points
from firstway.layout.plan import XYZ, Layout, Solid
from firstway.layout.planning import layout_of
from firstway.rendering.html import caution_line

A_FEW, MANY = 30, 300
YAW, PITCH = 22.0, 18.0
LEAST_PX, SCREEN = 9.0, 768.0
FOUR_DEVICES, TWELVE_MODULES = "marram", "sallow"


@cache
def job(name: str | int) -> Completed | None:
    """A shipped job by its name, a drawn one by its number; None where it cannot be worked."""
    return completed(drawn(name))[0] if isinstance(name, int) else done(name)


@cache
def plan_of(name: str | int) -> Layout:
    """The plan of a job."""
    found = job(name)
    assert found is not None
    return layout_of(found.installation, found.case.wiring)


@cache
def drawing(name: str | int) -> Drawn:
    """Its lifelike view."""
    found = job(name)
    assert found is not None
    return lifelike(found, "t-lifelike")


def scene(name: str | int) -> Scene:
    """What is painted, and in which order."""
    found, plan = job(name), plan_of(name)
    assert found is not None
    return scene_of(found, plan, framed_for(found, plan).eye, "t-l")


def paper(eye: Eye, points: np.ndarray) -> np.ndarray:
    """Points turned by yaw and pitch, as rotation matrices of a right-handed frame (x right, y up,
    z to the eye), seen straight on: paper x, paper y downward, nearness in mm.
    """
    a, b = radians(-YAW * eye.side), radians(PITCH)
    about_y = np.array([[cos(a), 0, sin(a)], [0, 1, 0], [-sin(a), 0, cos(a)]])
    about_x = np.array([[1, 0, 0], [0, cos(b), -sin(b)], [0, sin(b), cos(b)]])
    turned = (points * [1, -1, 1]) @ (about_x @ about_y).T
    return np.column_stack(
        [
            eye.origin[0] + eye.scale * turned[:, 0],
            eye.origin[1] - eye.scale * turned[:, 1],
            turned[:, 2],
        ]
    )


# ---- reading the drawing back

NUMBER = re.compile(r"-?\d*\.?\d+")


def corners_of_path(data: str) -> list[tuple[float, float]]:
    """The points a path of this view passes: M, l and c in steps."""
    found: list[tuple[float, float]] = []
    for command, rest in re.findall(r"([Mlc])([^Mlcz]*)", data):
        values = [float(each) for each in NUMBER.findall(rest)]
        pairs = list(zip(values[::2], values[1::2]))
        if command == "M":
            found.append(pairs[0])
            continue
        x, y = found[-1]
        if command == "l":
            for dx, dy in pairs:
                x, y = x + dx, y + dy
                found.append((x, y))
        else:
            found.append((x + pairs[-1][0], y + pairs[-1][1]))
    return found


def groups(svg: str) -> dict[str, list[ElementTree.Element]]:
    """The fragments of each part and conductor by its name."""
    found: dict[str, list[ElementTree.Element]] = {}
    for element in ElementTree.fromstring(svg).iter():
        if element.tag.endswith("}g"):
            name = element.attrib.get("data-p") or element.attrib.get("id", "")
            found.setdefault(name.removeprefix("t-lifelike-"), []).append(element)
    return found


def tube_corners(svg: str, name: str) -> list[tuple[float, float]]:
    """Points of the middle line of a conductor, in all its fragments; at a joint a run goes on a
    little under its neighbour, which is no point of the plan.
    """
    found = []
    for group in groups(svg)[name]:
        for path in group.iter("{http://www.w3.org/2000/svg}path"):
            if "id" in path.attrib:
                found += corners_of_path(path.attrib["d"])
    return found


def to_line(point: tuple[float, float], line: np.ndarray) -> float:
    """How far a point lies from a line of many corners."""
    a, b = line[:-1], line[1:]
    step = b - a
    long = np.maximum((step**2).sum(axis=1), 1e-12)
    share = np.clip(((np.array(point) - a) * step).sum(axis=1) / long, 0, 1)
    return float(np.sqrt(((a + step * share[:, None] - np.array(point)) ** 2).sum(axis=1)).min())


# ---- it lies where the plan lies


@pytest.mark.parametrize("name", JOBS)
def test_points__are_those_of_the_plan_within_half_a_millimetre(name: str) -> None:
    plan, svg, eye = plan_of(name), drawing(name).svg, scene(name).eye
    outer, worst = plan.parts.outer, 0.0
    for laid in plan.conductors:
        if not laid.diameter_mm:
            continue
        line = np.array(bent_points(laid.points, laid.bend_mm or 0.0, 24))
        ends = [np.array(laid.points[0]), np.array(laid.points[-1])]
        seen = paper(eye, line)[:, :2]
        for corner in tube_corners(svg, f"wire.{laid.id}"):
            away = to_line(corner, seen) / eye.scale
            if away > 0.5 and not laid.inside:  # outside it goes straight on from its opening
                away = min(beyond_the_wall(eye, outer, end, corner) for end in ends)
            worst = max(worst, away)
    assert worst <= 0.5


def beyond_the_wall(eye: Eye, outer: Solid, end: np.ndarray, corner: tuple[float, float]) -> float:
    """How far a point lies from the straight out of the wall an end lies in, in mm."""
    best = 99.0
    for axis in (0, 1):
        for wall, out in ((outer.low[axis], -1), (outer.high[axis], 1)):
            if abs(end[axis] - wall) < 3:
                far = end.copy()
                far[axis] += 150 * out
                best = min(best, to_line(corner, paper(eye, np.array([end, far]))[:, :2]))
    return best / eye.scale


@pytest.mark.parametrize("name", JOBS)
def test_screws__of_devices_stand_at_their_terminals(name: str) -> None:
    plan, svg, eye = plan_of(name), drawing(name).svg, scene(name).eye
    marks = [
        (float(each.attrib["x"]), float(each.attrib["y"]))
        for each in ElementTree.fromstring(svg).iter()
        if each.attrib.get("href") == "#t-lscrew"
    ]
    shoulders = {
        spot: device.body.high[2]
        for device in plan.parts.devices
        if device.kind != "blank"
        for spot in plan.parts.spots
        if spot.startswith(f"{device.name}.")
    }
    tabs = {
        tooth.terminal
        for tooth in (plan.parts.line_bar.teeth if plan.parts.line_bar else ())
        if plan.parts.rail is None
    }
    wanted = [
        (*plan.parts.spots[name].at[:2], height)
        for name, height in shoulders.items()
        if name not in tabs
    ]
    assert len(marks) == len(wanted)
    for x, y, _ in paper(eye, np.array(wanted)):
        assert min(abs(x - a) + abs(y - b) for a, b in marks) <= 0.5 * eye.scale


# ---- it joins what the graph joins


def joints(svg: str) -> Counter[tuple[str, str, str]]:
    """Conductor, start and end as the names in the drawing tell them."""
    return Counter(
        (
            element.attrib["id"].removeprefix("t-lifelike-wire."),
            element.attrib["data-from"],
            element.attrib["data-to"],
        )
        for element in ElementTree.fromstring(svg).iter()
        if "data-from" in element.attrib
    )


def joints_of_graph(name: str | int) -> Counter[tuple[str, str, str]]:
    """The conductors of the graph that have an end in this enclosure."""
    found = job(name)
    assert found is not None
    laid = plan_of(name).by_id
    return Counter(
        (re.sub(r"[^A-Za-z0-9_.-]+", "-", each.id), each.start, each.end)
        for each in found.case.wiring.drawn.conductors
        if each.id in laid
    )


@pytest.mark.parametrize("name", JOBS)
def test_connections__are_those_of_the_graph(name: str) -> None:
    assert joints(drawing(name).svg) == joints_of_graph(name)


@pytest.mark.parametrize(
    "count", [A_FEW, pytest.param(MANY, marks=pytest.mark.long)], ids=("few", "many")
)
def test_connections__of_drawn_boards(count: int, tell: Tell) -> None:
    worked = circles = 0
    for number in range(count):
        if job(number) is None:
            continue
        worked += 1
        svg = drawing(number).svg
        assert joints(svg) == joints_of_graph(number), number
        assert ids_used_twice(svg) == [], number
        assert overlapping(svg) == [], number
        circles += scene(number).order.forced > 0
        for cached in (job, plan_of, drawing):
            cached.cache_clear()
    tell(f"lifelike: {worked} drawn boards; things stand round about each other in {circles}")
    assert worked > count * 0.8


@pytest.mark.parametrize("name", ("alder", "bramble"))
def test_cover__of_a_panel_bears_the_name_of_each_circuit(name: str) -> None:
    root = ElementTree.fromstring(drawing(name).svg)
    labels = next(
        each for each in root.iter() if each.attrib.get("id", "").endswith("cover.labels")
    )
    said = {each.text for each in labels.iter() if each.text}
    found = job(name)
    assert found is not None
    assert {circuit.name for circuit in found.installation.circuits} <= said


@pytest.mark.parametrize("name", ("alder", "bramble", "marram"))
def test_cover__over_a_bus_opens_only_where_a_device_stands(name: str) -> None:
    """NFPA 70 408.7 (from memory): unused openings for breakers are closed. A row on a rail has
    one window.
    """
    found, frame = job(name), framed_for(job(name), plan_of(name))
    parts, root = plan_of(name).parts, ElementTree.fromstring(drawing(name).svg)
    cover = next(each for each in root.iter() if each.attrib.get("id", "").endswith("-cover"))
    began = {
        tuple(map(float, re.findall(r"-?[\d.]+", each.attrib["d"].split("l")[0])))
        for each in cover.iter()
        if each.attrib.get("class") == "zo zsh"
    }
    standing = [each.nose for each in parts.devices if each.kind != "blank"]
    over = standing if parts.rail is None else [parts.cover.window]
    corners = [frame.eye.at((each.low[0] + frame.shift, each.low[1], 12)) for each in over]
    assert began == {(round(x, 1), round(y, 1)) for x, y in corners}
    assert ("twist-outs" in drawing(name).svg) == (parts.rail is None)
    assert found is not None and len(parts.cover.blanks) > 0


def test_feed__says_which_of_its_single_cores_stands_before_which() -> None:
    """The depth of each end by a rotation worked here: how far it is towards the eye."""
    found, eye = plan_of("osier"), framed_for(job("osier"), plan_of("osier")).eye
    a, b = radians(-YAW * eye.side), radians(PITCH)
    said = re.findall(r">(\w+) before ([^<]*)</text>", drawing("osier").svg)
    assert len(said) == 1
    names = re.findall(r"L\d|N|PE", " ".join(said[0]))
    laid = found.by_id
    outer = {name: min(laid[f"feed.{name}"].points, key=lambda at: at[1]) for name in names}

    def towards(at: XYZ) -> float:
        x, y, z = at
        return (sin(a) * -x + cos(a) * z) * cos(b) - y * sin(b)

    assert len(names) == 5 and names == sorted(names, key=lambda each: -towards(outer[each]))


# ---- on a phone


def narrow_faults(shown: Drawn) -> list[str]:
    """What a screen of 360 px, whose page leaves a drawing 306 of them, shows amiss: rings of the
    list that are cropped, words below 9 px, a foot that is hidden but keeps its room.
    """
    root = ElementTree.fromstring(shown.svg)
    left, top, width, height = map(float, root.attrib["viewBox"].split())
    crop = Counter[str]()
    for name, steps in re.findall(r"fw-(from|over|cut)-(\d+)", root.attrib["class"]):
        crop[name] += int(steps)  # classes that add up
    step = width / 32
    first, low = left + crop["from"] * step, top + height - crop["cut"] * step
    last = first + crop["over"] * step
    parents = {each: parent for parent in root.iter() for each in parent}
    rings = [each for each in root.iter() if parents.get(each, root).get("class") == "znumber"]
    rings = [each.attrib for each in rings if each.tag.endswith("}circle")]
    wrong = []
    for number, ring in enumerate(rings, 1):
        x, y, reach = (float(ring[key]) for key in ("cx", "cy", "r"))
        whole = first <= x - reach and x + reach <= last and y + reach <= low
        if whole != (number <= len(shown.key)):
            wrong.append(f"ring {number} is {'' if whole else 'not '}whole")
    feet = [each for each in root.iter() if each.get("class") == "zfoot"]
    heads = [float(each.get("y", 0)) for foot in feet for each in foot.iter() if each.get("y")]
    if heads and min(heads) < low - 12:
        wrong.append("the foot's room stays empty")
    letters = 21.5 if "fw-wide" in root.attrib["class"].split() else 16
    if letters * 306 / (last - first) < LEAST_PX:
        wrong.append("letters are below 9 px")
    return wrong


@pytest.mark.parametrize("name", ("marram", "alder", "bramble", "quince", "sallow"))
def test_narrow__shows_each_ring_of_its_list_and_no_empty_band(name: str) -> None:
    assert narrow_faults(drawing(name)) == []
    found = job(name)
    assert found is not None
    picture, stages = box_pictured(found, "p"), stages_of(found)
    for place, _ in enumerate(stages, 1):
        assert narrow_faults(at_stage(picture, stages, place)) == [], place


# ---- nothing nearer is hidden


def depth_in(eye: Eye, box: Solid, points: np.ndarray) -> np.ndarray:
    """For points on the paper: how near the front of a body is there, nan beside it."""
    a, b = radians(-YAW * eye.side), radians(PITCH)
    about_y = np.array([[cos(a), 0, sin(a)], [0, 1, 0], [-sin(a), 0, cos(a)]])
    about_x = np.array([[1, 0, 0], [0, cos(b), -sin(b)], [0, sin(b), cos(b)]])
    turn = about_x @ about_y
    flat = np.column_stack(
        [
            (points[:, 0] - eye.origin[0]) / eye.scale,
            -(points[:, 1] - eye.origin[1]) / eye.scale,
            np.zeros(len(points)),
        ]
    )
    start, ray = (flat @ turn) * [1, -1, 1], (np.array([0, 0, 1.0]) @ turn) * [1, -1, 1]
    one, other = (np.array(box.low) - start) / ray, (np.array(box.high) - start) / ray
    enter, leave = np.minimum(one, other).max(axis=1), np.maximum(one, other).min(axis=1)
    return np.where(enter < leave - 1e-6, leave, np.nan)


def middle_line(tube: Tube, place: int) -> np.ndarray:
    """Many points of a piece of a tube."""
    share = np.linspace(0.08, 0.92, 9)[:, None]
    curve = np.array(tube.pieces[place])
    if len(curve) == 2:
        return curve[0] + (curve[1] - curve[0]) * share
    a, b, c, d = curve
    rest = 1 - share
    return rest**3 * a + 3 * share * rest**2 * b + 3 * share**2 * rest * c + share**3 * d


TOLERANCE = 3.0  # mm: bodies that touch, and a tube's own thickness


def hidden_though_nearer(found: Scene) -> list[str]:
    """Points of conductors over which something is painted that lies behind them."""
    eye, things, wrong = found.eye, found.order.things, []
    lines = {
        place: paper(eye, middle_line(found.tubes[thing.tube], thing.place))
        for place, thing in enumerate(things)
        if thing.body is None
    }
    for early, points in lines.items():
        tube = found.tubes[things[early].tube]
        for late in range(early + 1, len(things)):
            other = things[late]
            if other.body is not None:
                if other.body.bore is not None:
                    continue
                near = depth_in(eye, other.body.box, points)
                bad = near < points[:, 2] - tube.radius - TOLERANCE
                if bad.sum() > 2:
                    wrong.append(f"{other.body.name} over {tube.name} {things[early].place}")
            elif other.tube != things[early].tube:
                over = found.tubes[other.tube]
                far = np.hypot(*(points[:, None, :2] - lines[late][None, :, :2]).transpose(2, 0, 1))
                at = far.argmin(axis=1)
                close = far.min(axis=1) < 0.6 * max(over.radius, tube.radius) * eye.scale
                gap = points[:, 2] - lines[late][at, 2]
                if (close & (gap > tube.radius + over.radius)).sum() > 1:
                    wrong.append(f"{over.name} over {tube.name} {things[early].place}")
        for late in range(early):
            other = things[late]
            if other.body is None or other.body.bore is not None:
                continue
            near = depth_in(eye, other.body.box, points)
            deep = near - other.body.box.size(2) * 1.2 - 8
            if (deep > points[:, 2] + tube.radius + TOLERANCE).sum() > 2:
                wrong.append(f"{tube.name} {things[early].place} over {other.body.name}")
    return wrong


@pytest.mark.parametrize("name", JOBS)
def test_nothing_nearer_is_hidden(name: str) -> None:
    found = scene(name)
    touching = {frozenset(pair) for pair in plan_of(name).touching}
    wrong = [
        each
        for each in hidden_though_nearer(found)
        if not any(all(f"wire.{one}" in each for one in pair) for pair in touching)
    ]
    if found.order.forced == 0:
        assert wrong == []
    assert len(wrong) <= 6


def small_scene(side: int) -> tuple[Eye, list[Body], list[Tube]]:
    """Worked by hand: a rod before a block, one behind it, one above it, one to its right."""
    eye = eye_to(side, 1.0)
    block = Body("block", Solid((0, 0, 0), (40, 40, 40)), "")
    rods: list[tuple[str, XYZ, XYZ]] = [
        ("before", (-20, 20, 50), (60, 20, 50)),
        ("behind", (-20, 20, -10), (60, 20, -10)),
        ("above", (-20, -8, 20), (60, -8, 20)),
        ("right", (48, -20, 20), (48, 60, 20)),
    ]
    return eye, [block], [Tube(name, 3, ("blue",), "N", ((a, b),)) for name, a, b in rods]


@pytest.mark.parametrize("side", [1, -1])
def test_painting_order__of_a_case_worked_by_hand(side: int) -> None:
    eye, bodies, tubes = small_scene(side)
    things = [thing_of_body(eye, body) for body in bodies]
    for number, tube in enumerate(tubes):
        things += things_of_tube(eye, number, tube)
    order = painting_order(eye, things)
    at = {
        each.body.name if each.body else tubes[each.tube].name: place
        for place, each in enumerate(order.things)
    }
    assert order.forced == 0
    assert at["behind"] < at["block"] < at["before"]
    assert at["block"] < at["above"]  # the eye looks from above
    # from the right a rod to the right stands in front, from the left it is hidden
    assert (at["block"] < at["right"]) == (side > 0)


# ---- words


def texts_in(svg: str) -> list[tuple[str, Bounds]]:
    """Every word in the drawing but the numbers of narrow screens, with what it covers."""
    found = []
    tree = ElementTree.fromstring(svg)
    numbers = {
        text
        for group in tree.iter()
        if group.attrib.get("class") == "znumber"
        for text in group.iter()
    }
    above = {child: parent for parent in tree.iter() for child in parent}
    for each in tree.iter("{http://www.w3.org/2000/svg}text"):
        if each in numbers:
            continue
        given, holder = dict(each.attrib), above.get(each)
        while holder is not None:  # groups may say it for all their texts
            given = {**holder.attrib, **given}
            holder = above.get(holder)
        bold = "font-weight" in given or "zf" in each.attrib.get("class", "")
        words, size = each.text or "", 12.0
        hold = given.get("text-anchor", "middle")
        if "transform" in each.attrib:
            values = [float(v) for v in NUMBER.findall(each.attrib["transform"])]
            a, b, _, d, x, y = values
            wide, high = text_width(words, 12.8, bold) * a, 12.8 * d
            lean = abs(b) * text_width(words, 12.8, bold) / 2 * 0.5
        else:
            x, y, wide, high, lean = (
                float(each.attrib["x"]),
                float(each.attrib["y"]),
                text_width(words, size, bold),
                size,
                0.0,
            )
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[hold]
        found.append((words, (left, y - 0.7 * high + lean, left + wide, y - lean)))
    return found


def overlapping(svg: str) -> list[tuple[str, str]]:
    """Pairs of words that lie upon each other."""
    return [(a, b) for (a, one), (b, other) in combinations(texts_in(svg), 2) if meets(one, other)]


def leaders(svg: str) -> list[list[tuple[float, float]]]:
    """The leaders of call-outs."""
    return [corners_of_path(data) for data in re.findall(r'class="zlead" d="([^"]*)"', svg)]


def crossed(svg: str) -> list[str]:
    """Words that a leader runs through, looked for at points of it."""
    found = []
    for one, other in leaders(svg):
        for place in range(1, 200):
            share = place / 200
            x, y = (one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share)
            found += [
                words for words, (a, b, c, d) in texts_in_cached(svg) if a < x < c and b < y < d
            ]
    return sorted(set(found))


@cache
def texts_in_cached(svg: str) -> tuple[tuple[str, Bounds], ...]:
    """The same, read once."""
    return tuple(texts_in(svg))


@pytest.mark.parametrize("name", JOBS)
def test_words__lie_on_no_others_and_no_leader_crosses_them(name: str) -> None:
    svg = drawing(name).svg
    assert overlapping(svg) == []
    assert crossed(svg) == []


@pytest.mark.parametrize("name", JOBS)
def test_words__are_nine_pixels_high_on_a_screen_of_768_and_inside_the_sheet(name: str) -> None:
    drawn_ = drawing(name)
    assert 12 * min(SCREEN / drawn_.width, 1) >= LEAST_PX
    for size in re.findall(r'font-size="([\d.]+)"', drawn_.svg):
        assert float(size) >= 12
    for words, (a, b, c, d) in texts_in(drawn_.svg):
        assert a >= 0 and b >= 0 and c <= drawn_.width and d <= drawn_.height, words


@pytest.mark.parametrize("name", JOBS)
def test_key__says_what_the_numbers_stand_for(name: str) -> None:
    drawn_ = drawing(name)
    numbers = re.findall(r'<g class="znumber">.*?<text[^>]*>(\d+)</text>', drawn_.svg)
    assert [int(each) for each in numbers] == list(range(1, len(numbers) + 1))
    of_cover = re.findall(r"<text[^>]*>(cover, taken off|blanks|twist-outs)</text>", drawn_.svg)
    # a narrow screen shows no more of the cover than stands before the box
    beyond = [each for each in of_cover if not any(k.startswith(each) for k in drawn_.key)]
    assert len(numbers) == len(drawn_.key) + len(beyond)
    assert all(drawn_.key)


def test_spread__keeps_order_and_room_and_moves_as_little_as_it_must() -> None:
    at = spread_out([10, 12, 50], [10, 10, 10], 0, 100)
    assert at == pytest.approx([6, 16, 50])  # the two share what they must move
    assert spread_out([98, 99], [10, 10], 0, 100) == pytest.approx([85, 95])


PLATE = re.compile(
    r'<rect class="zd zhi" x="([-\d.]+)" y="([-\d.]+)" width="([\d.]+)" height="([\d.]+)"'
)


@pytest.mark.parametrize("name", JOBS)
def test_letters__stand_on_no_screw_of_a_bar_and_on_no_other_conductor(name: str) -> None:
    found, plan = scene(name), plan_of(name)
    bars = {bar.name: bar.box.high[2] for bar in plan.parts.bars}
    screws = [
        (spot.at[0], spot.at[1], bars[each.partition(".")[0]])
        for each, spot in plan.parts.spots.items()
        if each.partition(".")[0] in bars
    ]
    lines = [
        paper(found.eye, np.vstack([middle_line(tube, each) for each in range(len(tube.pieces))]))
        for tube in found.tubes
    ]
    plates = [[float(each) for each in plate] for plate in PLATE.findall(drawing(name).svg)]
    assert plates
    for x, y, wide, high in plates:

        def inside(points: np.ndarray) -> bool:
            across = (points[:, 0] > x) & (points[:, 0] < x + wide)
            return bool((across & (points[:, 1] > y) & (points[:, 1] < y + high)).any())

        assert not inside(paper(found.eye, np.array(screws))), (x, y)
        assert sum(map(inside, lines)) <= 1, (x, y)


# ---- the drawing as a whole


def ids_used_twice(svg: str) -> list[str]:
    """Names that stand twice."""
    return [
        name for name, number in Counter(re.findall(r' id="([^"]*)"', svg)).items() if number > 1
    ]


@pytest.mark.parametrize("name", JOBS)
def test_drawing__is_whole(name: str) -> None:
    found, drawn_ = job(name), drawing(name)
    assert found is not None
    root = ElementTree.fromstring(drawn_.svg)
    assert root.attrib["role"] == "img"
    assert ids_used_twice(drawn_.svg) == []
    ids = set(re.findall(r' id="([^"]*)"', drawn_.svg))
    assert set(re.findall(r'href="#([^"]*)"', drawn_.svg)) <= ids
    assert set(root.attrib["aria-labelledby"].split()) <= ids
    caution = caution_line(found.installation.edition)
    assert drawn_.alt.endswith(caution)
    assert caution.split()[0] in "".join(text for text, _ in texts_in(drawn_.svg))
    assert "style=" not in drawn_.svg and "<style" not in drawn_.svg
    for device in plan_of(name).parts.devices:
        assert f"t-lifelike-{device.name}" in ids, device.name


def test_drawing__is_the_same_each_time() -> None:
    found = job("tern")
    assert found is not None
    assert lifelike(found).svg == lifelike(found).svg


@pytest.mark.parametrize(
    ("name", "most_bytes", "most_ms"),
    [(FOUR_DEVICES, 45_000, 50), (TWELVE_MODULES, 110_000, 120)],
    ids=("four-devices", "three-phase"),
)
def test_drawing__keeps_to_its_budget(
    name: str, most_bytes: int, most_ms: float, tell: Tell
) -> None:
    found, plan = job(name), plan_of(name)
    assert found is not None
    from firstway.drawing.lifelike.picture import picture_of

    best = 1e9
    for _ in range(4):
        start = time.process_time()
        drawn_ = picture_of(found, plan, f"{name}-lifelike").drawn
        best = min(best, (time.process_time() - start) * 1000)
    size = len(drawn_.svg.encode())
    tell(f"lifelike {name}: {size} bytes of {most_bytes}, {ceil(best)} ms of {most_ms}")
    assert size <= most_bytes  # times are told: a busy machine is no fault of the drawing
