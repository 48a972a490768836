"""Pictures for the hands: clean by the drawing lint, light and dark, small, and true to the figures
they are made from.

Outside the project: 9 px at 768 px, three weights of lines and the bytes of each topic are our own
promises; the contrast of words is that of WCAG 2.2 (1.4.3, 4.5 to 1; the formula of its glossary).
A figure is compared with the installation file, read here by PyYAML.
"""

from __future__ import annotations

import ast
import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import dist
from pathlib import Path

import pytest
import yaml
from changing import done, text_of
from drawing_faults import faults_in
from sampling import JOBS

from firstway.drawing.hands import library
from firstway.drawing.hands.bar_order import TURNS, BarFitted, bar_fitted
from firstway.drawing.hands.bars import BarEnd, bar_end
from firstway.drawing.hands.clamps import ClampedConductor, clamp
from firstway.drawing.hands.conductor_ends import TwoUnderOneScrew, under_one_screw
from firstway.drawing.hands.earth_tag import TagOnWall, tag_on_wall
from firstway.drawing.hands.frame import HALF, Made, unsaid
from firstway.drawing.hands.glands import ArmourGland, gland_panel
from firstway.drawing.hands.library import (
    OPEN_PEN_TOPIC,
    PICTURE_TOPICS,
    PICTURES,
    SURGE_TOPIC,
    TESTS_TOPIC,
    HandPicture,
    drawn_picture,
    made_for,
)
from firstway.drawing.hands.openings import (
    StuffingGland,
    ThroughSteel,
    stuffing_gland,
    through_steel,
)
from firstway.drawing.hands.residual_ring import ResidualRing, residual_ring
from firstway.drawing.hands.strokes import moved_by
from firstway.drawing.hands.surge_device_seen import SurgeDeviceInside, surge_device_inside
from firstway.drawing.hands.two_conductors import TwoInOne, two_in_one
from firstway.drawing.ink import INKS, MATERIALS, page_stylesheet, standalone_stylesheet
from firstway.drawing.sheet import Box, Disc, Drawable, Group, Lettering, Ref, Strands, Stroke
from firstway.drawing.svg import Drawn, standalone
from firstway.drawing.text_width import text_width
from firstway.model.mistakes import FLAWS

MOST_BYTES = dict.fromkeys(PICTURE_TOPICS, 15_000) | {
    TESTS_TOPIC: 30_000,
    OPEN_PEN_TOPIC: 40_000,
    SURGE_TOPIC: 40_000,
}
WEIGHTS, LEAST_CONTRAST = {1.6, 0.9, 0.5}, 4.5
JOB = "marram"


def made_pictures(jobs: tuple[str, ...] = (JOB,)) -> Iterator[tuple[str, HandPicture, Made, Drawn]]:
    """Every picture that can be made, with a name for it."""
    for picture in PICTURES:
        places = [(None, "")]
        if picture.make is None:
            places = [(done(job), of) for job in jobs for of in made_for(picture, done(job))]
        for job, of in places:
            found = drawn_picture(picture, job, of)
            assert not isinstance(found, str), found
            yield f"{picture.id} {of}".strip(), picture, *found


ALL = list(made_pictures())


@pytest.mark.parametrize(
    ("topic", "made", "drawn"),
    [(each[1].topic, *each[2:]) for each in ALL],
    ids=[e[0] for e in ALL],
)
def test_every_picture__is_clean_small_and_tells_its_point(
    topic: str, made: Made, drawn: Drawn
) -> None:
    assert faults_in(drawn.svg) == ()
    assert len(drawn.svg.encode()) <= MOST_BYTES[topic]
    assert len(drawn.alt) > 80, "the alternative text says the point of the picture"
    if "Wrong" in drawn.svg:
        assert re.search(r"\b[Ww]rong\b", drawn.alt) and re.search(r"\b[Rr]ight\b", drawn.alt)
    said = " ".join(re.findall(r"<text[^>]*>([^<]*)", drawn.svg))
    for figure in made.figures:
        assert figure.words in said
        assert figure.path or figure.row or figure.says == "not stated"


@pytest.mark.parametrize("made", [each[2] for each in ALL], ids=[e[0] for e in ALL])
def test_every_line__has_one_of_three_weights(made: Made) -> None:
    items = [item for group in made.sheet.groups for item in group.items]
    items += [item for shape in made.sheet.shapes.values() for item in shape]
    for item in items:
        if isinstance(item, Stroke):
            assert item.width in WEIGHTS or item.ink == "", item
        elif isinstance(item, (Box, Disc)):
            assert item.line in WEIGHTS or item.ink == "", item
        elif isinstance(item, Strands) and len(item.layers) == 1:
            assert item.layers[0][1] in WEIGHTS, item


@pytest.mark.parametrize("made", [each[2] for each in ALL], ids=[e[0] for e in ALL])
def test_every_point__lies_on_the_sheet(made: Made) -> None:
    for name, (x, y) in made.points.items():
        assert 0 <= x <= made.sheet.width and 0 <= y <= made.sheet.height, name


@pytest.mark.long
def test_pictures_of_every_job__are_clean() -> None:
    found = {name: faults_in(drawn.svg) for name, _, _, drawn in made_pictures(tuple(JOBS))}
    assert {name: faults for name, faults in found.items() if faults} == {}


def test_every_picture_function__is_registered() -> None:
    """A picture that no line of library.py names is nowhere to be seen."""
    folder = Path(library.__file__).parent
    written = ast.parse((folder / "library.py").read_text(encoding="utf-8")).body
    named = "\n".join(ast.unparse(each) for each in written if not isinstance(each, ast.ImportFrom))
    missing = [
        f"{path.name}: {function.name}"
        for path in sorted(folder.glob("*.py"))
        if path.name not in ("frame.py", "library.py")
        for function in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(function, ast.FunctionDef)
        and function.returns is not None
        and "Made" in ast.unparse(function.returns)
        and "Made" not in ast.unparse(function.args)  # it works on a picture made by another
        and not function.name.startswith("_")
        and not re.search(rf"\b{function.name}\b", named)
    ]
    assert missing == [], "give it a line of PICTURES in drawing/hands/library.py"


def test_a_picture_that_asks__tells_right_and_wrong_neither_in_words_nor_by_rings() -> None:
    for name, _, made, _ in ALL:
        asking = unsaid(made).sheet
        said = [item.words for item in asked_items(asking.groups) if isinstance(item, Lettering)]
        several = any(group.id.startswith("b.") for group in made.sheet.groups)
        assert not [each for each in said if re.match("(Right|Wrong)", each)], name
        assert not several or not [each for each in asked_items(asking.groups) if _is_ring(each)]
        assert not several or not re.search("[Rr]ight|[Ww]rong", asking.description), name


def asked_items(groups: Sequence[Group]) -> list[Drawable]:
    return [item for group in groups for item in group.items]


def _is_ring(item: Drawable) -> bool:
    """A broken line on a band of paper; an unbroken one is a turn or a field."""
    return (
        isinstance(item, Strands)
        and [layer[0] for layer in item.layers] == ["paper", "mark"]
        and item.layers[1][2] != ""
    )


CARDS = sorted((Path(__file__).parents[2] / "content" / "cards").glob("*.md"))


def test_every_card__bears_a_panel_that_is_clean() -> None:
    """A narrow one, beside its tables: a whole picture finds no room on the printed sheet."""
    for card in CARDS:
        if card.stem == "index":
            continue
        asked = re.search(r"\{picture: (.*) panel=(\w)\}", card.read_text(encoding="utf-8"))
        assert asked is not None, card.name
        name, *of = asked[1].split()
        job = done(of[0]) if of else None
        found = drawn_picture(library.BY_ID[name], job, of[1] if of else "", asked[2])
        assert not isinstance(found, str), found
        assert found[1].width <= HALF and faults_in(found[1].svg) == ()
        assert len(found[1].alt) > 40


def test_a_panel_that_is_not_there__is_refused_by_name() -> None:
    found = drawn_picture(library.BY_ID["bush"], None, "", "z")
    assert found == "'bush' has no panel 'z', only a, b"


def test_flaws_that_mistakes_show__have_pictures_of_the_work() -> None:
    assert set(library.OF_FLAW) <= set(FLAWS)
    assert set(library.OF_FLAW.values()) <= set(library.BY_ID)
    found = library.picture_of_flaw(done(JOB), "tooth-beside-the-clamp", "F2")
    assert found is not None and "F2" in found[1].title


def test_residual_ring__adds_up_what_goes_through_it() -> None:
    """By the law of currents at a node: line and neutral alone are nothing, unless part goes by
    earth outside.
    """
    for ring, through in (
        (ResidualRing(), {"line", "neutral"}),
        (ResidualRing(leaks=True), {"line", "neutral"}),
        (ResidualRing(neutral_beside=True), {"line"}),
        (ResidualRing(earth_through=True), {"line", "neutral", "earth"}),
    ):
        parts = {part.id: part.items[0] for part in residual_ring(ring).groups}
        rim = parts["ring"]
        assert isinstance(rim, Strands)
        x = (min(place for place, _ in rim.points) + max(place for place, _ in rim.points)) / 2
        low, high = (each(y for _, y in rim.points) for each in (min, max))
        inside = {
            name
            for name in ("line", "neutral", "earth")
            if isinstance(wire := parts[name], Strands)
            and any(
                low < y < high and min(x0, x1) < x < max(x0, x1)
                for (x0, y), (x1, other) in zip(wire.points, wire.points[1:])
                if y == other
            )
        }
        assert inside == through


def test_residual_ring__each_arrow_stands_above_what_it_flows_in() -> None:
    """An arrow between two conductors is read as the lower one's."""
    for ring in (ResidualRing(), ResidualRing(neutral_beside=True), ResidualRing(leaks=True)):
        parts = {part.id: part for part in residual_ring(ring).groups}
        wires = [
            (name, wire.points)
            for name in ("line", "neutral", "earth")
            if isinstance(wire := parts[name].items[0], Strands)
        ]
        below = []
        for arrow in parts["current"].items:
            assert isinstance(arrow, Stroke)
            x, y = (sum(each) / len(arrow.points) for each in zip(*arrow.points))
            under = [
                (y0, name)
                for name, points in wires
                for (x0, y0), (x1, y1) in zip(points, points[1:])
                if y0 == y1 and y0 > y and min(x0, x1) < x < max(x0, x1)
            ]
            below.append(min(under)[1])
        assert below == ["line", "neutral", "earth"][: 3 if ring.leaks else 2]


def test_rod__has_its_top_in_a_pit_below_the_ground_wherever_it_is_drawn() -> None:
    for name, letters in (("site", "a"), ("rod-place", "abcd")):
        of = _made(name)
        for letter in letters:
            rod = next(each for each in of.sheet.groups if each.id == f"{letter}.rod").items[0]
            if isinstance(rod, Ref):  # drawn from the first point of its shape
                shape = of.sheet.shapes[rod.shape][0]
                assert isinstance(shape, Stroke)
                tops = [rod.y + y for _, y in shape.points]
            else:
                bodies = groups_of(of, f"{letter}.rod")
                tops = [y for _, y in bodies[0].points]
            assert min(tops) > of.points[f"{letter}.rod"][1]
    pit = next(each for each in _made("rod-place").sheet.groups if each.id == "a.pit")
    assert pit.items


def groups_of(of: Made, name: str) -> list[Stroke]:
    """The bodies of a group."""
    group = next(each for each in of.sheet.groups if each.id == name)
    return [each for each in group.items if isinstance(each, Stroke)]


def test_site__no_pipe_lies_nearer_to_the_rod_than_the_distance_that_is_told() -> None:
    of = _made("site")
    services = next(each for each in of.sheet.groups if each.id == "a.services")
    discs = [each.x for each in services.items if isinstance(each, Disc)]
    assert max(discs) == pytest.approx(of.points["a.pipe"][0])


def test_ids__stand_once() -> None:
    assert len({picture.id for picture in PICTURES}) == len(PICTURES)


@pytest.mark.parametrize("device", ["Q1", "F1", "F2"])
def test_clamp__shows_and_draws_what_the_file_states(device: str) -> None:
    board = yaml.safe_load(text_of(JOB))["board"]
    stated = next(
        each["terminals"]
        for each in (board["main_switch"], *board["ways"])
        if each["name"] == device
    )
    made, drawn = next(each[2:] for each in ALL if each[0] == f"clamp {device}")
    said = re.findall(r"<text[^>]*>([^<]*)", drawn.svg)
    assert f"strip {stated['strip_mm']} mm" in said
    assert f"screw: {stated['torque_nm']:g} N·m" in said
    # as drawn: the bare length against the thickness of the insulation, whatever the scale
    wire = next(
        item
        for group in made.sheet.groups
        for item in group.items
        if isinstance(item, Strands) and len(item.layers) > 1
    )
    bare = dist(made.points["a.insulation-end"], made.points["a.tip"])
    outer_mm = {16: 7.2, 25: 8.8, 6: 4.8, 10: 6.0}  # BS 7211, overall diameters
    assert any(
        bare / wire.layers[1][1] == pytest.approx(stated["strip_mm"] / each, rel=0.001)
        for each in outer_mm.values()
    )


@pytest.mark.parametrize(
    ("of", "cage"),
    [
        (ClampedConductor(12, 6, 4.8), "on it"),
        (ClampedConductor(12, 6, 4.8, cut_strands=3), "on it"),
        (ClampedConductor(12, 6, 4.8, loose_mm=2.0), "below it"),
        (ClampedConductor(12, 6, 4.0, "tooth"), "on it"),
        (ClampedConductor(12, 6, 4.0, "tooth", below=True), "above it"),
    ],
)
def test_clamp__its_cage_lies_against_the_copper_unless_it_is_loose_or_missed(
    of: ClampedConductor, cage: str
) -> None:
    """Every drawing of a clamp is made of this one, close-ups of mistakes too."""
    parts = {part.id: part.items for part in clamp(of, 4.0, 100.0, 100.0, 30.0)}
    bodies = [each for each in parts["cage"] if isinstance(each, Stroke) and each.fill == "zz3"]
    floor = max(bodies, key=lambda each: max(y for _, y in each.points))
    copper = next(
        each for each in parts["conductor"] if isinstance(each, Stroke) and each.fill == "zc1"
    )
    between = min(y for _, y in floor.points) - max(y for _, y in copper.points)
    assert ("on it" if abs(between) < 0.01 else "below it" if between > 0 else "above it") == cage


def test_clamp__asks_the_maker_where_a_figure_is_not_stated() -> None:
    job = done(JOB, ("torque_nm: 2.5, strip_mm: 12", "torque_nm: undeclared, strip_mm: undeclared"))
    picture = next(each for each in PICTURES if each.id == "clamp")
    found = drawn_picture(picture, job, "F1")
    assert not isinstance(found, str)
    assert "strip: ask the maker" in found[1].svg and "torque: ask the maker" in found[1].svg


def _luminance(colour: str) -> float:
    figures = colour[1:] if len(colour) == 7 else "".join(2 * each for each in colour[1:])
    parts = [int(figures[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    lit = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * lit[0] + 0.7152 * lit[1] + 0.0722 * lit[2]


def _contrast(one: str, other: str) -> float:
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("dark", [False, True])
def test_words__are_legible_light_dark_and_so_in_grey(dark: bool) -> None:
    used = {
        item.ink
        for _, _, made, _ in ALL
        for group in made.sheet.groups
        for item in group.items
        if isinstance(item, Lettering)
    }
    own = re.findall(r"color:(#[0-9a-f]{6});background:(#[0-9a-f]{6})", standalone_stylesheet())
    for ink in used:
        words = own[dark][0] if ink == "ink" else getattr(INKS[ink], ("light", "dark")[dark])
        assert _contrast(words, own[dark][1]) >= LEAST_CONTRAST, ink


def _painted(made: Made) -> Iterator[Drawable]:
    """What is painted, in order, shapes put where they are called."""
    for group in made.sheet.groups:
        for item in group.items:
            if isinstance(item, Ref):
                shape = made.sheet.shapes[item.shape]
                yield from (moved_by(each, item.x, item.y) for each in shape)
            else:
                yield item


def _fill_at(items: list[Drawable], x: float, y: float) -> str:
    """The tone of the body that is seen there."""
    found = "paper"
    for item in items:
        if isinstance(item, Box) and item.fill != "none":
            if item.x < x < item.x + item.width and item.y < y < item.y + item.height:
                found = item.fill
        elif isinstance(item, Stroke) and item.fill != "none":
            if _holds(item.points, x, y):
                found = item.fill
    return found


def _holds(outline: Sequence[tuple[float, float]], x: float, y: float) -> bool:
    """Whether a ray to the right leaves the outline an odd number of times."""
    sides = zip(outline, [*outline[1:], outline[0]])
    return (
        sum(
            (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0)
            for (x0, y0), (x1, y1) in sides
        )
        % 2
        == 1
    )


@pytest.mark.parametrize("dark", [False, True])
def test_words_on_a_body__are_legible_there_too(dark: bool) -> None:
    own = re.findall(r"color:(#[0-9a-f]{6});background:(#[0-9a-f]{6})", standalone_stylesheet())
    weak = set()
    for name, _, made, _ in ALL:
        items = list(_painted(made))
        for place, item in enumerate(items):
            if not isinstance(item, Lettering):
                continue
            wide = text_width(item.words, item.size, item.bold)
            x = item.x + {"start": wide / 2, "middle": 0, "end": -wide / 2}[item.anchor]
            under = _fill_at(items[:place], x, item.y - item.size / 3)
            words = own[dark][0] if item.ink == "ink" else _colour(item.ink, dark)
            if _contrast(words, _colour(under, dark)) < LEAST_CONTRAST:
                weak.add((name, item.words, under))
    assert weak == set()


def _colour(ink: str, dark: bool) -> str:
    tone = INKS[ink] if ink in INKS else MATERIALS[ink.removeprefix("z")]
    return tone.dark if dark else tone.light


def test_a_paper__has_every_colour_that_a_picture_in_it_is_drawn_in() -> None:
    """A page of questions has a smaller style than the guide: a tone it lacks is drawn black, or
    not at all.
    """
    style = page_stylesheet("", lifelike=False)
    known = set(re.findall(r"(--fw-[a-z0-9]+):", style))
    used = {name for *_, drawn in ALL for name in re.findall(r"var\((--fw-[a-z0-9]+)\)", drawn.svg)}
    assert used - known == set()


def test_standalone__names_its_colours() -> None:
    text = standalone(ALL[0][3])
    assert 'fill="var(' not in text and 'stroke="var(' not in text


def _made(name: str) -> Made:
    return next(made for each, _, made, _ in ALL if each == name)


def test_ferrules__barrels_are_drawn_to_one_scale_and_follow_the_table() -> None:
    made = _made("ferrules")
    stated = {row["csa_mm2"]: float(row["barrel_mm"]) for row in _rows("ferrule")}
    drawn = {
        csa: dist(made.points[f"a.{csa}.barrel-from"], made.points[f"a.{csa}.barrel-to"])
        for csa in stated
    }
    scales = {drawn[csa] / barrel for csa, barrel in stated.items()}
    assert max(scales) == pytest.approx(min(scales))


def test_ferrule_cut_open__is_stripped_beyond_its_barrel_as_the_table_has_it() -> None:
    made = _made("ferrules")
    sizes = {row["quantity"]: float(row["value"]) for row in _rows("board_sizes")}
    barrel = next(float(row["barrel_mm"]) for row in _rows("ferrule") if row["csa_mm2"] == "6")
    bare = dist(made.points["b.insulation-end"], made.points["b.tip"])
    assert bare / dist(made.points["b.barrel-from"], made.points["b.tip"]) == pytest.approx(
        (barrel + sizes["ferrule-strip-more-least"]) / barrel
    )
    # the end of the insulation lies inside the collar
    assert made.points["b.collar-from"][0] < made.points["b.insulation-end"][0]
    assert made.points["b.insulation-end"][0] < made.points["b.barrel-from"][0]


# Two guides of the trade, searched for the colours of DIN 46228-4; 35 mm² is not among them.
COLLARS = {
    "1.5": "black", "2.5": "blue", "4": "grey", "6": "yellow", "10": "red", "16": "blue",
    "25": "yellow",
}  # fmt: skip


def test_ferrules__collars_are_those_of_published_lists() -> None:
    table = {row["csa_mm2"]: row["collar_colour"] for row in _rows("ferrule")}
    assert {size: table[size] for size in COLLARS} == COLLARS


def test_bar_pitch__is_drawn_as_the_table_has_it() -> None:
    made = _made("bar-pitch")
    sizes = {row["quantity"]: float(row["value"]) for row in _rows("board_sizes")}
    right = dist(made.points["a.first"], made.points["a.second"])
    wrong = dist(made.points["b.first"], made.points["b.second"])
    assert wrong / right == pytest.approx(sizes["wider-bar-pitch"] / sizes["module-width"])
    assert made.points["a.last"] == pytest.approx(made.points["a.last-clamp"])
    assert made.points["b.last"][0] > made.points["b.last-clamp"][0] + 1


def test_after_drilling__right_and_wrong_are_the_gap_against_the_probe() -> None:
    made = _made("after-drilling")
    for letter in "abcd":
        gap = dist(made.points[f"{letter}.gap-from"], made.points[f"{letter}.gap-to"])
        probe = dist(made.points[f"{letter}.probe-from"], made.points[f"{letter}.probe-to"])
        assert (gap < probe) == (letter in "ac")


def test_gland__has_the_thread_of_the_table() -> None:
    """The cable of the file: three cores; its size is chosen, here read from what the picture of
    the job says beside the table's limits.
    """
    made = _made("gland-indoors slipway")
    (figure,) = made.figures
    assert figure.row is not None
    cable = done(JOB).installation.circuits[0].cable
    assert isinstance(cable.csa_mm2, float) and isinstance(cable.cores, int)
    rows = [row for row in _rows("gland_size") if row["construction"] == "armoured"]
    first = next(
        row
        for row in rows
        if int(row["cores_up_to"]) >= cable.cores and float(row["csa_up_to_mm2"]) >= cable.csa_mm2
    )
    assert figure.words == f"thread M{first['thread_mm']}"


def test_gland_faults__are_one_gland_with_one_thing_changed() -> None:
    """Right: paint ends beyond the tag's bolt, the wires reach up over the cone."""
    made = _made("gland-faults slipway")
    assert {name for name in made.points if name.endswith("wrong")} == {
        "b.wrong", "c.wrong", "d.wrong",
    }  # fmt: skip
    right = ArmourGland(20, 30, outdoors=True)
    cases = {
        "right": gland_panel(right),
        "short": gland_panel(replace(right, wires_short=True)),
        "paint": gland_panel(right, paint_under_tag=True),
    }
    bare, reach = {}, {}
    for name, detail in cases.items():
        parts = {part.id: part.items for part in detail.groups}
        paint = [item for item in parts["paint"] if isinstance(item, Stroke)][1]
        bare[name] = min(x for x, _ in paint.points) > detail.points["earth"][0]
        wires = parts["armour"][-1]
        assert isinstance(wires, Strands)
        reach[name] = min(y for _, y in wires.points) < detail.points["cone"][1]
    assert bare == {"right": True, "short": True, "paint": False}
    assert reach == {"right": True, "short": False, "paint": True}


def test_plates_screw__presses_with_its_head() -> None:
    """The head lies on the plate, or nothing is pressed."""
    for terminal in (TwoUnderOneScrew("plate", 4.0, 4.0), TwoUnderOneScrew("plate", 4.0, 1.8)):
        detail = under_one_screw(terminal)
        outlines = {
            part.id: [item for item in part.items if isinstance(item, Stroke)][-1].points
            for part in detail.groups
            if part.id in ("screw", "plate")
        }
        head_low = max(y for _, y in outlines["screw"])
        plate = [y for _, y in outlines["plate"]]
        assert min(plate) <= head_low <= max(plate)


def test_one_screw__its_ring_does_not_cut_the_conductor_that_is_wrong() -> None:
    for terminal in ("tunnel", "plate"):
        parts = {
            p.id: p.items for p in under_one_screw(TwoUnderOneScrew(terminal, 4.0, 1.8)).groups
        }
        (ring,) = parts["wrong"]
        assert isinstance(ring, Strands)
        xs, ys = zip(*ring.points)
        middle, inside = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2), (max(xs) - min(xs)) / 2
        thin = [each for each in parts["conductors"] if isinstance(each, Disc)][7:]
        assert len(thin) == 7
        for strand in thin:  # the ring's band of paper reaches 2 inward
            assert dist(middle, (strand.x, strand.y)) + strand.radius < inside - 2, terminal


def test_two_in_one__are_right_where_both_are_pressed() -> None:
    """Read back from the strokes: the screw's end, or the cage, against the height of each."""
    cases = [
        TwoInOne("tunnel", 3.0, 3.0), TwoInOne("tunnel", 3.0, 3.0, aside_mm=1.55),
        TwoInOne("cage", 3.0, 3.0), TwoInOne("cage", 3.6, 2.0),
    ]  # fmt: skip
    for of in cases:
        detail = two_in_one(of)
        parts = {part.id: part.items for part in detail.groups}
        strands = [each for each in parts["conductors"] if isinstance(each, Disc)]
        thread = next(each for each in parts["screw"] if isinstance(each, Box))
        pressed = []
        for some in (strands[:7], strands[7:]):
            top = min(each.y - each.radius for each in some)
            level = top == pytest.approx(min(each.y - each.radius for each in strands), abs=0.5)
            below = thread.x < some[0].x < thread.x + thread.width or of.terminal == "cage"
            pressed.append(level and below)
        assert all(pressed) != ("wrong" in detail.points), of
        if "wrong" in detail.points:
            assert (
                detail.points["wrong"] == detail.points[("first", "second")[pressed.index(False)]]
            )


def test_crimp_tool__has_the_ferrule_in_the_die_marked_with_its_size() -> None:
    made = _made("crimp-tool")
    sizes = {row["csa_mm2"] for row in _rows("ferrule")}
    marks = [
        item
        for group in made.sheet.groups
        if group.id == "a.marks"
        for item in group.items
        if isinstance(item, Lettering)
    ]
    assert {each.words for each in marks} <= sizes
    (own,) = (each for each in marks if each.x == made.points["a.die"][0])
    said = [
        item.words for g in made.sheet.groups for item in g.items if isinstance(item, Lettering)
    ]
    assert f"ferrule of {own.words} mm² in it" in said
    for letter, whole in (("b", True), ("c", False)):
        reach = [made.points[f"{letter}.{name}"][0] for name in ("pressed-to", "barrel-to")]
        assert (reach[0] == reach[1]) == whole


def test_ferrule_length__a_longer_barrel_stands_out_by_what_it_is_longer() -> None:
    made = _made("ferrule-length")
    bare = {
        letter: dist(made.points[f"{letter}.insulation-end"], made.points[f"{letter}.tip"])
        for letter in "ab"
    }
    mouth = made.points["a.strip-from"][0]
    assert bare["a"] == pytest.approx(made.points["a.tip"][0] - mouth)
    assert made.points["b.tip"][0] - HALF - 12 == pytest.approx(made.points["a.tip"][0])
    assert bare["b"] > 1.2 * bare["a"]


def test_bars_end__its_cap_goes_over_it() -> None:
    parts = {part.id: part.items for part in bar_end(BarEnd(True)).groups}
    (bar,), cap = parts["body"], parts["cap"][0]
    assert isinstance(bar, Stroke) and isinstance(cap, Stroke)
    (bx, by), (cx, cy) = zip(*bar.points), zip(*cap.points)
    assert min(cx) < max(bx) < max(cx)
    assert min(cy) < min(by) and max(by) < max(cy)


def test_bar_order__wrong_is_one_screw_that_nobody_turned() -> None:
    right, wrong = (
        {part.id: part.items for part in bar_fitted(BarFitted(turned, "in")).groups}
        for turned in ((TURNS, TURNS, TURNS), (TURNS, 0, TURNS))
    )
    assert len(right["turns"]) == len(wrong["turns"]) + 2  # a course and its head
    assert set(wrong) - set(right) == {"wrong"}


def test_earth_tag__paint_parts_it_from_the_steel_only_where_that_is_wrong() -> None:
    for on_paint in (False, True):
        detail = tag_on_wall(TagOnWall(on_paint))
        (paint,) = (part.items for part in detail.groups if part.id == "paint")
        for place in ("wall", "rim"):  # on both sides of the bolt
            x, y = detail.points[place]
            between = [
                item
                for item in paint
                if isinstance(item, Stroke)
                and min(a for a, _ in item.points) < x < max(a for a, _ in item.points)
                and min(b for _, b in item.points) < y - 1
            ]
            assert bool(between) == on_paint, place
        gap = y - detail.points["tag"][1]
        assert (gap > 1) == on_paint


def test_stuffing_gland__its_seal_is_pressed_by_body_nut_and_sheath() -> None:
    """They have corners in common, and it reaches the sheath where the cable is thick enough."""
    for sheath_mm in (5.2, 3.4):
        detail = stuffing_gland(StuffingGland(4.4, sheath_mm))
        shapes = {
            part.id: part.items[0].points
            for part in detail.groups
            if part.items and isinstance(part.items[0], Stroke)
        }
        corners = {
            name: {(round(x, 1), round(y, 1)) for x, y in shapes[name]}
            for name in ("seal", "nut", "body")
        }
        assert len(corners["seal"] & corners["nut"]) == 2
        assert len(corners["seal"] & corners["body"]) == 2
        inner = min(x for x, _ in shapes["seal"])
        assert (inner == pytest.approx(detail.points["sheath"][0])) == (sheath_mm > 4.4)


@pytest.mark.parametrize(
    ("of", "circles", "wrong"),
    [
        (ThroughSteel(True, closed=True), False, False),
        (ThroughSteel(False), True, False),
        (ThroughSteel(False, sawn=True), False, True),
        (ThroughSteel(False, sawn=True, closed=True), False, False),
    ],
)
def test_opening__a_field_circles_where_steel_is_whole_round_one_conductor(
    of: ThroughSteel, circles: bool, wrong: bool
) -> None:
    """BS 7671 521.5.1, from memory: steel surrounds line and neutral together, never one alone.
    That a cut between the holes suffices is common practice.
    """
    detail = through_steel(of)
    assert any(part.id.startswith("field.") for part in detail.groups) == circles
    assert ("wrong" in detail.points) == wrong


def test_opening__has_a_covered_edge() -> None:
    """What the picture of a bush calls wrong is in no picture that is right."""
    detail = through_steel(ThroughSteel(True))
    (opening,) = (part for part in detail.groups if part.id == "opening")
    cover, hole = (item for item in opening.items if isinstance(item, Stroke))
    assert min(y for _, y in cover.points) < min(y for _, y in hole.points)


def test_probe__is_one_where_right_and_wrong_are_compared() -> None:
    made = _made("after-drilling")
    for one, other in ("ab", "cd"):
        sizes = [
            dist(made.points[f"{letter}.probe-from"], made.points[f"{letter}.probe-to"])
            for letter in (one, other)
        ]
        assert sizes[0] == pytest.approx(sizes[1])


@pytest.mark.parametrize("name", ["surge-along-cable", "surge-by-way"])
def test_surge_stills__are_as_high_as_the_volts_that_are_printed(name: str) -> None:
    """Read back from the drawing: the one that is told most of, and what stands at the board and
    at the end before and after the front has gone its way.
    """
    made = _made(f"{name} post-1")
    low, high = (float(figure.words.removesuffix(" V")) for figure in made.figures[:2])

    def drawn_v(letter: str, place: str) -> float:
        base, top = made.points[f"{letter}.base"][1], made.points[f"{letter}.tallest"][1]
        return max(low, high) * (base - made.points[f"{letter}.{place}"][1]) / (base - top)

    last = {place: max(drawn_v(letter, place) for letter in "fg") for place in LAST}
    assert last["low-at-vehicle"] == pytest.approx(low, rel=0.002)
    assert last["high-at-vehicle"] == pytest.approx(high, rel=0.002)
    # half way: nothing yet at the end; back at the board: more at the end than at the board
    assert drawn_v("b", "low-at-vehicle") == pytest.approx(0, abs=1)
    assert drawn_v("b", "low-at-board") > 100
    assert drawn_v("e", "low-at-vehicle") > 1.5 * drawn_v("e", "low-at-board")


@pytest.mark.parametrize(("job", "width_mm"), [("marram", 265), ("sallow", 340)])
def test_spd_leads__are_drawn_as_long_as_is_printed(job: str, width_mm: float) -> None:
    """The scale is that of the enclosure's width in the file; depth comes on top of what is seen
    from the front, twice at most.
    """
    found = drawn_picture(library.BY_ID["spd-leads"], done(job), "F1")
    assert not isinstance(found, str)
    made, _ = found
    groups = {each.id: each for each in made.sheet.groups}
    depth_mm = done(job).installation.board.enclosure.depth_mm
    printed = [float(each.words.split()[0]) for each in made.figures]
    short, tour = printed[:4], printed[4:]
    for letter, (lead_m, whole_m, _, _) in (("a", short), ("b", tour)):
        (box,) = made.sheet.shapes[groups[f"{letter}.enclosure"].items[0].shape]
        per_mm = box.width / width_mm
        (points,) = (  # what both panels share is drawn once, elsewhere
            item.points
            for name, each in groups.items()
            if name.startswith((f"{letter}.before.", f"{letter}.behind."))
            for item in each.items
            if isinstance(item, Strands)
        )
        seen_mm = sum(dist(one, other) for one, other in zip(points, points[1:])) / per_mm
        assert seen_mm - 20 < 1000 * lead_m < seen_mm + 2 * depth_mm  # bends cut corners
        assert whole_m > lead_m
    assert tour[0] > 5 * short[0] and tour[2] > 2 * short[2] and tour[3] > short[3] + 300


def test_spd_leads__of_a_device_no_bar_feeds_are_refused() -> None:
    assert "no surge protective device" in drawn_picture(
        library.BY_ID["spd-leads"], done("quince"), "F2"
    )


@pytest.mark.parametrize("job", ["marram", "sallow"])
def test_surge_device__shows_what_the_file_states(job: str) -> None:
    """Both connections; PyYAML reads the file here."""
    way = next(
        each for each in yaml.safe_load(text_of(job))["board"]["ways"] if each["name"] == "F1"
    )
    found = drawn_picture(library.BY_ID["surge-device"], done(job), "F1")
    assert not isinstance(found, str)
    said = re.findall(r"<text[^>]*>([^<]*)", found[1].svg)
    wanted = {
        f"type {way['type']}", way["connection"], f"Up {way['protection_level_kv']:g} kV",
        f"In {way['nominal_discharge_current_ka']:g} kA", f"Uc {way['continuous_voltage_v']:g} V",
        f"fuse {way['backup_fuse_max_a']:g} A", f"Isccr {way['short_circuit_rating_ka']:g} kA",
    }  # fmt: skip
    assert wanted <= set(said), wanted - set(said)
    assert faults_in(found[1].svg) == ()


def test_surge_device__is_asked_of_the_maker_where_its_label_is_not_known() -> None:
    job = done(JOB, ("backup_fuse_max_a: 125", "backup_fuse_max_a: undeclared"))
    found = drawn_picture(library.BY_ID["surge-device"], job, "F1")
    assert not isinstance(found, str)
    said = re.findall(r"<text[^>]*>([^<]*)", found[1].svg)
    assert said[said.index("fuse: ?") + 1] == "ask the maker"


def test_surge_device__worn_has_fallen_open_ahead_of_every_varistor() -> None:
    """One value changed: healthy, each path from above is unbroken; worn, none is."""
    for worn in (False, True):
        detail = surge_device_inside(SurgeDeviceInside("CT1", worn))
        (parts,) = (each for each in detail.groups if each.id == "parts")
        ways = [item for item in parts.items if isinstance(item, Strands)]
        assert len(ways) == 2
        for way in ways:
            (_, upper), (hinge, tip), (lower, _) = (way.points, *way.more)
            assert hinge == lower
            assert (tip == upper) != worn


def test_heat_in_row__shows_its_steps_with_their_band() -> None:
    """Against the steps as the pages print them; every device of the file stands in the row."""
    job = done(JOB)
    found = drawn_picture(library.BY_ID["heat-in-row"], job, "board")
    assert not isinstance(found, str)
    said = " ".join(re.findall(r"<text[^>]*>([^<]*)", found[1].svg))
    loss, rise = (job.case.step(each, "board") for each in ("enclosure-loss", "enclosure-rise"))
    assert loss is not None and rise is not None
    for step, places in ((loss, 1), (rise, 0)):
        assert step.low is not None and step.high is not None and step.figure is not None
        assert f"({step.low:.{places}f} to {step.high:.{places}f})" in said
        assert f"{float(step.figure):.{places}f} {step.unit}" in said
    assert re.findall(r"\b[QFS]\d\b", said)[:3] == ["F2", "F1", "Q1"]


LAST = ("low-at-vehicle", "high-at-vehicle")


def _rule(quantity: str) -> float:
    rows = [row for row in _rows("rule_limits") if row["rule_set"] == "bs7671"]
    return next(float(row["value"]) for row in rows if row["quantity"] == quantity)


def test_site__is_drawn_to_one_scale_from_the_table() -> None:
    points = _made("site").points
    ground = points["a.ground"][1]
    drawn = {
        "reach-lowest-m": ground - points["a.lowest"][1],
        "reach-highest-m": ground - points["a.highest"][1],
        "buried-depth-usual-m": points["a.cable"][1] - ground,
        "tape-above-cable-m": points["a.cable"][1] - points["a.tape"][1],
        "rod-depth-least-m": points["a.rod-end"][1] - ground,
        "buried-separation-m": points["a.rod"][0] - points["a.pipe"][0],
    }
    scales = [units / _rule(quantity) for quantity, units in drawn.items()]
    assert scales == pytest.approx([scales[0]] * len(scales))


def test_trench__right_is_the_table_and_each_wrong_lacks_one_thing() -> None:
    points = _made("trench").points

    def measured(letter: str) -> tuple[float, float, float]:
        top, tape, cable, sand = (
            points[f"{letter}.{e}"][1] for e in ("top", "tape", "cable", "sand")
        )
        return cable - top, cable - tape, cable - sand

    deep, tape, sand = measured("a")
    wanted = [_rule(each) for each in ("tape-above-cable-m", "sand-round-cable-m")]
    deep_m = _rule("buried-depth-usual-m")
    assert [tape / deep, sand / deep] == pytest.approx([each / deep_m for each in wanted])
    assert measured("b")[0] < deep / 2
    assert measured("c") == pytest.approx((deep, 0, sand))
    assert measured("d") == pytest.approx((deep, tape, 0))


def test_guard__shows_the_heights_of_the_table() -> None:
    points = _made("guard").points
    low, high = (points["a.ground"][1] - points[f"a.{each}"][1] for each in ("low", "high"))
    assert low / high == pytest.approx(_rule("reach-lowest-m") / _rule("reach-highest-m"))


def test_pilot_states__are_drawn_as_the_table_has_them() -> None:
    """IEC 61851-1, annex A, as three adapter manuals print it: +12, +9, +6, +3, 0 and -12 V."""
    points = _made("pilot-states post-1").points
    levels = {"a": (12, 12), "b": (9, -12), "c": (6, -12), "d": (3, -12), "e": (0, 0)}
    scale = (points["a.zero"][1] - points["a.high"][1]) / 12
    for letter, volts in (levels | {"f": (-12, -12)}).items():
        zero = points[f"{letter}.zero"][1]
        drawn = [(zero - points[f"{letter}.{each}"][1]) / scale for each in ("high", "low")]
        assert drawn == pytest.approx(volts), letter


def test_pilot_states__only_a_ready_vehicle_closes_the_contactor() -> None:
    """IEC 61851-1, annex A: states C and D; D where the point answers for ventilation."""
    drawn = next(drawn for name, _, _, drawn in ALL if name == "pilot-states post-1")
    said = re.findall(r">(open|closed)<", drawn.svg)
    assert said == ["open", "open", "closed", "closed", "open", "open"]


HAND_TASKS = yaml.safe_load((Path(__file__).parent / "hand_tasks.yaml").read_text(encoding="utf-8"))


def test_hand_tasks__name_pictures_that_exist_and_say_what_became_of_each_gap() -> None:
    """Twelve tasks as a reader of the trade wrote them from the pictures alone. What was read is
    kept; a picture that is taken away or renamed leaves its task without one.
    """
    assert len(HAND_TASKS) == 12
    known = {each.id for each in PICTURES}
    for task in HAND_TASKS:
        named = {*task["pictures"], *task.get("drawn_since", ())}
        assert named <= known, named - known
        assert len(task["read"]) > 150, task["task"]
        for gap in task["gaps"]:
            assert gap["became"] in ("mended", "mended in words", "left"), gap
            assert ("why" in gap) == (gap["became"] == "left"), gap


def test_hand_tasks__were_read_by_a_second_reader() -> None:
    """The same tasks from the mended pictures; what was found then says what became of it."""
    again = yaml.safe_load(
        (Path(__file__).parent / "hand_tasks_read_again.yaml").read_text(encoding="utf-8")
    )
    assert [each["task"] for each in again["tasks"]] == [each["task"] for each in HAND_TASKS]
    told = [gap for task in again["tasks"] for gap in (*task["gaps"], *task["not_closed"])]
    found = told + again["others"]
    assert all(each["became"] in ("mended", "mended in words", "left") for each in found)
    assert all("because" in each for each in told if each["became"] == "left")
    named = {name for task in again["tasks"] for name in task["pictures"]}
    named |= {each["drawn_since"] for each in told if "drawn_since" in each}
    assert named <= {each.id for each in PICTURES}
    assert not [
        each
        for each in again["others"]
        if each["weight"] in ("danger", "wrong") and each["became"] == "left"
    ]


def _rows(name: str) -> list[dict[str, str]]:
    path = Path(library.__file__).parents[2] / "tables" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_page__shows_a_picture_no_wider_than_a_column() -> None:
    assert ".sheet>svg.fw-hand{max-width:35rem" in page_stylesheet()


def test_hand_pictures__were_read_alone_by_a_third_reader() -> None:
    text = (Path(__file__).parent / "hand_pictures_read_alone.yaml").read_text(encoding="utf-8")
    read = yaml.safe_load(text)
    for flaw in read["flaws"]:
        assert {name.strip() for name in flaw["picture"].split(",")} <= set(library.BY_ID), flaw
        assert flaw["found"] and flaw["became"] in ("mended", "mended in words", "left")
        assert flaw["became"] != "left" or flaw["weight"] in ("unclear", "small"), flaw
