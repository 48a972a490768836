"""Proves where parts stand against sizes that are printed outside the project: DIN 43880 (modules
of 17.5 mm, noses of 45 mm), IEC 60715 (rail of 35 mm by 7.5 mm), and the smallest circle round
equal circles (geometry).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import cos, pi, sin

import pytest
from boards import planned, shipped
from changing import installation, text_of
from lying import unbuildable
from sampling import JOBS

from firstway.layout.entries import kept_apart
from firstway.layout.plan import Parts
from firstway.layout.sizes import round_of
from firstway.tables.reading import sources

ON_RAIL = tuple(name for name in JOBS if "rules: nec" not in text_of(name))  # theirs plug on


@pytest.mark.parametrize("name", ON_RAIL)
def test_fixed_parts__follows_the_modular_outline(name: str) -> None:
    plan, wiring = shipped(name)
    for device in plan.parts.devices:
        part = wiring.part(device.name)
        assert part is not None
        assert device.body.size(0) == pytest.approx(17.5 * part.modules)  # DIN 43880
        assert device.nose.size(1) == pytest.approx(45)  # DIN 43880
        assert device.nose.high[2] == plan.parts.outer.high[2], "noses stand in the window"
    rail = plan.parts.rail
    assert rail is not None and rail.size(1) == pytest.approx(35)  # IEC 60715
    assert rail.size(2) == pytest.approx(7.5)
    for one, other in combinations(plan.parts.devices, 2):
        assert not one.body.meets(other.body)


@pytest.mark.parametrize("name", JOBS)
def test_fixed_parts__stands_in_the_enclosure_at_buildable_places(name: str) -> None:
    plan, wiring = shipped(name)
    assert not plan.parts.crowded
    assert unbuildable(plan.parts) == []
    for terminal in wiring.terminals:
        part = wiring.part(terminal.device)
        if part and part.place == "board" and not terminal.id.endswith(".armour"):
            assert terminal.id in plan.parts.spots


def test_unbuildable__sees_a_gland_under_a_bar() -> None:
    plan, _ = shipped("marram")
    bar = next(each for each in plan.parts.bars if each.name == "neutral-bar")
    gland = plan.parts.openings[1]
    moved = replace(gland, at=(bar.box.middle(0), gland.at[1], bar.box.middle(2)))
    parts = replace(plan.parts, openings=(plan.parts.openings[0], moved))
    assert unbuildable(parts) == ["slipway lies under neutral-bar"]


def test_round_of__is_the_smallest_circle_round_equal_ones() -> None:
    # Geometry: two need twice the diameter; n in a ring touch each other and the circle.
    assert round_of(2, 11.4) == pytest.approx(22.8)
    for count in (3, 4, 5, 6):
        diameter = round_of(count, 1.0)
        ring = (diameter - 1) / 2
        one, other = (ring, 0.0), (ring * cos(2 * pi / count), ring * sin(2 * pi / count))
        assert ((one[0] - other[0]) ** 2 + other[1] ** 2) ** 0.5 == pytest.approx(1.0)
    assert round_of(7, 1.0) == pytest.approx(3.0)


def test_openings__tails_of_25_mm2_pass_theirs() -> None:
    plan, _ = shipped("marram")
    feed = plan.parts.openings[0]
    assert feed.name == "feed" and feed.hole_mm >= 2 * 11.4  # two sheathed tails of 25 mm2
    assert not feed.gland and plan.parts.openings[1].gland
    assert feed.nut_mm > feed.hole_mm


def test_line_bar__has_its_own_pitch() -> None:
    corners_of, _ = shipped("marram")
    wide, _ = planned(installation("marram", ("pitch_mm: 17.5", "pitch_mm: 27")))
    for plan, pitch in ((corners_of, 17.5), (wide, 27.0)):
        bar = plan.parts.line_bar
        assert bar is not None and bar.pitch_mm == pitch
        places = [tooth.at[0] for tooth in bar.teeth]
        assert [b - a for a, b in zip(places, places[1:])] == pytest.approx(
            [pitch] * (len(places) - 1)
        )
    first, second = corners_of.parts.line_bar, wide.parts.line_bar
    assert first and second
    assert [tooth.terminal for tooth in first.teeth].count("") == 2, "over each neutral, covered"
    assert missed(corners_of.parts) == {} and max(missed(wide.parts).values()) > 5


def missed(parts: Parts) -> dict[str, float]:
    """How far teeth stand beside the terminals they were meant for, in mm."""
    assert parts.line_bar is not None
    return {
        tooth.terminal: abs(tooth.at[0] - parts.spots[tooth.terminal].at[0])
        for tooth in parts.line_bar.teeth
        if tooth.terminal and abs(tooth.at[0] - parts.spots[tooth.terminal].at[0]) > 0.01
    }


def test_line_bar__lines_repeat_as_they_do() -> None:
    plan, _ = shipped("sallow")
    assert plan.parts.line_bar is not None
    teeth = plan.parts.line_bar.teeth
    assert [tooth.line for tooth in teeth] == ["L1", "L2", "L3"] * 3 + ["L1", "L2"]
    assert all(t.line == t.terminal[-2:] for t in teeth if t.terminal)
    blank = text_of("sallow").partition("    - {name: S1,")[2].partition("\n")[0]
    plan, _ = planned(installation("sallow", (f"    - {{name: S1,{blank}\n", "")))
    assert plan.parts.line_bar is not None
    teeth = plan.parts.line_bar.teeth
    assert [tooth.line for tooth in teeth] == ["L1", "L2", "L3"] * 3 + ["L1"]
    # F3 is to take L2 and stands where this bar has L1: what a check will tell.
    assert [(t.line, t.terminal) for t in teeth if t.line != t.terminal[-2:]] == [
        ("L1", "F3.supply.L2")
    ]


def test_cover__closes_what_no_device_fills() -> None:
    plan, _ = shipped("marram")
    cover = plan.parts.cover
    assert len(cover.blanks) == 1 and cover.blanks[0].size(0) == pytest.approx(4 * 17.5)
    assert [name for name, _ in cover.labels] == ["Q1", "F1", "F2", "S1"]
    assert cover.window.size(0) == pytest.approx(10 * 17.5 + 1)


def test_assumptions__name_their_rows() -> None:
    plan, _ = planned(installation("marram", ("width_mm: 265, ", "")))
    told = {each.what: each for each in plan.assumptions}
    width = told["width_mm"]
    assert width.row is None and width.value == plan.parts.outer.high[0]
    assert "rail-to-clamp" in told and "height_mm" not in told
    for each in plan.assumptions:
        assert each.row is None or each.row.source in sources()


@pytest.mark.parametrize(
    ("wanted", "room", "at", "fits"),
    [
        ([(10, 4), (10, 4)], (0, 40), [10, 14], True),
        ([(39, 4), (38, 4)], (0, 40), [38, 34], True),
        ([(5, 30), (6, 30)], (0, 40), None, False),
        ([], (0, 40), [], True),
    ],
    ids=["pushed on", "kept from the end", "no room", "nothing"],
)
def test_kept_apart(
    wanted: list[tuple[float, float]],
    room: tuple[float, float],
    at: list[float] | None,
    fits: bool,
) -> None:
    found, said = kept_apart(wanted, *room)
    assert said is fits and (at is None or found == at)
