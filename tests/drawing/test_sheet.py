"""What every drawing shares: the foot with its title block, the key, weights, and lines that stay
apart in grey and for eyes that confuse colours.
"""

from __future__ import annotations

import ast
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from changing import done, installation
from drawing_faults import faults_in

from firstway.drawing.fold import fold_of
from firstway.drawing.front.board_front import front_layout
from firstway.drawing.ink import CONDUCTOR_INKS, INKS
from firstway.drawing.line_styles import (
    FAULT_SHAPES,
    FOOT,
    LEAST_CORE,
    Sample,
    arrow_head,
    conductor_layers,
    conductor_samples,
    core_width,
    fault_sign,
    line_key,
)
from firstway.drawing.sheet import (
    BAR,
    FINE,
    HAIR,
    LINE,
    Box,
    Group,
    Lettering,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.single.single_line import single_line_layout
from firstway.drawing.svg import drawn_from
from firstway.drawing.title_block import Foot, foot
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.rendering.html import caution_line
from firstway.tables.reading import table
from firstway.wiring.graph import Conductor

# Eyes. Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
# vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (2009), table for
# severity 1.0, on linear RGB; read in two public programs that carry it. Grey: relative luminance
# of IEC 61966-2-1 (sRGB). Lab: CIE 1976, white D65.
EYES = {
    "plain": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "grey": ((0.2126, 0.7152, 0.0722),) * 3,
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
CLEAR = 10.0  # a difference of Lab that nobody overlooks beside each other (common practice)
TO_SEE = 20.0  # the least difference of lightness inside a pattern (common practice)


def _lab(colour: str, eye: str) -> tuple[float, float, float]:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * each for each in colour[1:])
    raw = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in raw]
    seen = [
        min(1.0, max(0.0, sum(a * b for a, b in zip(row, linear, strict=True))))
        for row in EYES[eye]
    ]
    xyz = [
        sum(a * b for a, b in zip(row, seen, strict=True)) / white
        for row, white in (
            ((0.4124564, 0.3575761, 0.1804375), 0.95047),
            ((0.2126729, 0.7151522, 0.0721750), 1.0),
            ((0.0193339, 0.1191920, 0.9503041), 1.08883),
        )
    ]
    f = [t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29 for t in xyz]
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def _apart(first: str, second: str, eye: str) -> float:
    return (
        sum((a - b) ** 2 for a, b in zip(_lab(first, eye), _lab(second, eye), strict=True)) ** 0.5
    )


def test_lab__white_black_and_a_red_that_protanopia_darkens() -> None:
    assert _lab("#fff", "plain") == pytest.approx((100, 0, 0), abs=0.02)
    assert _lab("#000000", "grey") == pytest.approx((0, 0, 0), abs=0.01)
    assert _lab("#ff0000", "protanopia")[0] < 0.8 * _lab("#ff0000", "plain")[0]


SETS = sorted({(row.text("age"), row.text("lines")) for row in table("conductor_colours").rows})
every_eye = pytest.mark.parametrize("eye", EYES)
every_paper = pytest.mark.parametrize("paper", ["light", "dark"])


def _conductors(age: str, lines: str) -> dict[str, Conductor]:
    return {
        row.text("function"): Conductor(
            row.text("function"),
            "",
            "",
            row.text("function"),
            "core",
            6.0,
            "",
            row.text("colour"),
            None,
        )  # fmt: skip
        for row in table("conductor_colours").rows
        if (row.text("age"), row.text("lines")) == (age, lines)
    }


@every_eye
@every_paper
@pytest.mark.parametrize(("age", "lines"), SETS)
def test_lines_of_a_set_are_never_alike(age: str, lines: str, paper: str, eye: str) -> None:
    """L1 brown and L2 black above all: two lines differ in colour, and in their letters.

    The earlier UK red and blue are nearly one grey: in grey print only letters tell these apart.
    """
    wires = _conductors(age, lines)
    inks = {
        name: getattr(INKS[CONDUCTOR_INKS[wire.colour][0]], paper)
        for name, wire in wires.items()
        if name.startswith("L")
    }
    for one, other in combinations(inks, 2):
        if (age, eye, one, other) == ("red-black", "grey", "L1", "L3"):
            continue
        assert _apart(inks[one], inks[other], eye) >= CLEAR, f"{one} and {other} of {age}"


def _pattern(wire: Conductor) -> tuple[str, ...]:
    """What is left of a conductor without any colour: the dash of each layer and how wide it is."""
    layers = conductor_layers(wire)[2:]
    return tuple(f"{dash or 'whole'} {width / layers[0][1]:.1f}" for _, width, dash in layers)


@every_eye
@every_paper
@pytest.mark.parametrize(("age", "lines"), [*SETS, ("bare", "1")])
def test_neutral_and_protective_differ_by_a_pattern_that_is_seen(
    age: str, lines: str, paper: str, eye: str
) -> None:
    wires = _conductors("nec" if age == "bare" else age, lines)
    if age == "bare":
        wires["PE"] = replace(wires["PE"], colour="bare")
    patterns = {_pattern(wire) for wire in wires.values()}
    assert len(patterns) == 3  # lines are alike: whole
    for name in ("N", "PE"):
        inks = [ink for ink, _, _ in conductor_layers(wires[name])[2:]]
        assert len(inks) == 2
        light = [_lab(getattr(INKS[ink], paper), eye)[0] for ink in inks]
        assert abs(light[0] - light[1]) >= TO_SEE, f"{name} of {age}: {inks}"


def test_core_width__grows_with_the_conductor_and_keeps_a_least() -> None:
    assert core_width(8.8) > core_width(4.8) > core_width(3.5, 0.2) == LEAST_CORE
    assert core_width(8.8, 2.0) == pytest.approx(17.6)
    wire = _conductors("harmonised", "1")["PE"]
    assert {width for _, width, _ in conductor_layers(wire, 8.0)[2:]} == {8.0}


def test_conductor_samples__one_for_each_function_lines_first() -> None:
    wires = done("marram").case.wiring.drawn.conductors
    assert [each.words for each in conductor_samples(wires, "bs7671")] == [
        "L1 brown", "N blue", "PE green-and-yellow", "armour",
    ]  # fmt: skip
    assert [each.words for each in conductor_samples(_conductors("nec", "1").values(), "nec")] == [
        "L1 black", "L2 red", "N white", "G green",
    ]  # fmt: skip


def _drawn(groups: tuple[Group, ...], width: float, height: float) -> str:
    sheet = Sheet(width, height, groups, "A sheet", "A sheet.", "x", shapes=FAULT_SHAPES)
    return drawn_from(sheet, "x").svg


def _words(made: Foot) -> list[str]:
    return [
        item.words for group in made.groups for item in group.items if isinstance(item, Lettering)
    ]


@pytest.mark.parametrize("width", [420.0, 560.0, 900.0, 1024.0])
@pytest.mark.parametrize("name", ["marram", "sallow", "quince", "sedge"])
def test_foot__says_job_view_edition_and_the_day_of_the_file(name: str, width: float) -> None:
    job = installation(name)
    samples = conductor_samples(_conductors("harmonised", "3").values(), job.rules)
    made = foot(job, "Wiring", width, 10.0, samples, 1.7)
    assert faults_in(_drawn(made.groups, width, made.bottom)) == ()
    words = _words(made)
    told = " ".join(words)
    for part in (job.title, "Wiring", job.edition, job.work_begins.isoformat(), "50 mm"):
        assert str(part) in told
    assert " ".join(w for g in made.groups if g.classes == "caution" for w in _words(
        Foot((g,), 0))) == caution_line(job.edition)  # fmt: skip


@pytest.mark.parametrize(("scale", "length"), [(1.7, 50), (0.4, 200), (3.9, 20), (12.0, 10)])
def test_foot__the_scale_bar_is_as_long_as_it_says(scale: float, length: int) -> None:
    made = foot(installation("marram"), "Board front", 900, 0, (), scale)
    block = next(group for group in made.groups if group.id == "title-block")
    halves = [item for item in block.items if isinstance(item, Box)][1:]
    assert sum(item.width for item in halves) == pytest.approx(length * scale)
    assert f"{length} mm" in _words(made)
    without = foot(installation("marram"), "Single-line", 900, 0)
    assert not any(words.endswith(" mm") for words in _words(without))


def test_line_key__keeps_within_its_width_and_shows_each_style() -> None:
    samples = [Sample(f"style {n}", (("ink", LINE, "6 3"),)) for n in range(9)]
    samples.append(Sample("a fault", shape="fault"))
    group, bottom = line_key(samples, 12, 10, 300)
    assert faults_in(_drawn((group,), 324, bottom)) == ()
    assert len([item for item in group.items if isinstance(item, Stroke)]) == 9


def test_fault_sign__one_flag_whose_letter_can_be_read() -> None:
    group = Group("a", fault_sign(40, 40, "B"))
    svg = _drawn((group,), 80, 80)
    assert faults_in(svg) == () and svg.count("<use href=") == 1 and ">B<" in svg
    foot_of_pole = FAULT_SHAPES["fault"][0]
    assert isinstance(foot_of_pole, Stroke) and foot_of_pole.points[0][1] == FOOT


def test_arrow_head__points_away_from_where_the_line_comes() -> None:
    tip, one, two = arrow_head((0.0, 0.0), (30.0, 0.0)).points
    assert tip == (30.0, 0.0) and one[0] == two[0] == 22.0 and one[1] == -two[1] != 0


def test_weights__are_three() -> None:
    assert (LINE, HAIR, FINE) == (1.6, 0.9, 0.5) and BAR > 2 * LINE


def typed_weights(source: str) -> list[int]:
    """Lines where a weight is a figure; 0 is no line."""
    places = {"Stroke": (2, "width"), "Box": (5, "line"), "Disc": (4, "line")}
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            place, word = places.get(node.func.id, (99, ""))
            if any(isinstance(each, ast.Starred) for each in node.args[:place]):
                place = 99  # a point stands for two
            given = [
                *node.args[place : place + 1],
                *(k.value for k in node.keywords if k.arg == word),
            ]
            found += [
                each.lineno
                for each in given
                if isinstance(each, ast.Constant) and each.value not in (0, 0.0)
            ]
    return found


def test_weights__are_named_in_every_drawing(root: Path) -> None:
    folder = root / "tools" / "firstway" / "drawing"
    assert [
        f"{path.relative_to(folder).as_posix()}:{line}"
        for path in sorted(folder.rglob("*.py"))
        for line in typed_weights(path.read_text(encoding="utf-8"))
    ] == []
    assert typed_weights('Stroke(points, "ink", 1.5)') == [1]
    assert typed_weights("Box(1, 2, 3, 4, line=2)") == [1]
    assert typed_weights("Disc(1, 2, 3, line=HAIR)") == []


def test_group_of_lines_alone__says_the_ink_they_are_drawn_in() -> None:
    """An SVG shape without a stroke is not seen (SVG 1.1, 11.4: the initial value is none)."""
    pieces = Strands(((0.0, 0.0), (9.0, 0.0)), (("ink", LINE, ""),))
    sheet = Sheet(10, 10, (Group("lines", (pieces,)),), "Lines", "Lines alone", "hand")
    assert 'stroke="currentColor"' in drawn_from(sheet, "x").svg


@pytest.mark.parametrize("name", ("sallow", "quince", "alder"))
def test_fold__parts_what_one_page_cannot_hold_and_cuts_no_word(name: str) -> None:
    """A page of A4 (ISO 216) has 182 by 230 mm for a drawing: none of its letters of 12 units is
    printed below 5.3 points, our own promise, whole or in two parts.
    """
    points = 72 / 25.4
    for made in (
        front_layout(done(name)),
        wiring_layout(done(name)),
        single_line_layout(done(name)),
    ):
        fold = fold_of(made)
        parts = (fold, made.height - fold) if fold else (made.height,)
        scale = min(182 * points / made.width, *(230 * points / high for high in parts))
        assert 12 * scale >= 5.3, (made.title, fold)
        words = [item for group in made.groups for item in group.items]
        level = [each for each in words if isinstance(each, Lettering) and not each.turn]
        cut = [each.words for each in level if each.y - each.size < fold < each.y + 3]
        assert not cut, made.title


def test_fold__parts_no_sheet_whose_letters_would_be_no_larger_in_parts() -> None:
    """A page of A4 (ISO 216) has 182 by 230 mm: a wide sheet of that shape is as wide as it."""
    assert fold_of(Sheet(1820, 2290, (), "Wide", "A wide sheet", "wiring")) == 0
    assert fold_of(Sheet(900, 2290, (), "Tall", "A tall sheet", "wiring")) > 0


def test_fold__stands_between_a_board_and_its_notes() -> None:
    sheet = front_layout(done("sallow"))
    notes = sheet.group("notes").items[0]
    board = sheet.group("enclosure").items[0]
    assert isinstance(notes, Lettering) and isinstance(board, Box)
    assert board.y + board.height < fold_of(sheet) < notes.y
