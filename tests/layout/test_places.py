"""Proves that what a file places lies there, and lengths against plane geometry worked here with
numpy: the straight line between two terminals, and square ways with their bends.
"""

from __future__ import annotations

import numpy
import pytest
from boards import drawn, planned, shipped
from changing import installation, text_of
from lying import worked_length_mm
from sampling import JOBS

from firstway.layout.measuring import in_the_way, straight_m
from firstway.layout.stated import of_bar, of_opening, of_the_row, paths_of_unknown, unstated_places

EDGES = {"left_mm": 0, "top_mm": 1}


@pytest.mark.parametrize("name", JOBS)
def test_layout_of__puts_things_where_the_file_says(name: str) -> None:
    plan, _ = shipped(name)
    box = installation(name).board.enclosure
    for key, axis in EDGES.items():
        assert plan.parts.block.low[axis] == getattr(box.row, key)  # type: ignore[union-attr]
    for bar in plan.parts.bars:
        behind = bar.name.removeprefix("neutral-bar-")
        stated = (
            getattr(box, f"{bar.kind.replace('-', '_')}_at")
            if behind == bar.name
            else installation(name).way(behind).neutral_bar_at
        )
        for key, axis in EDGES.items():
            assert bar.box.low[axis] == getattr(stated, key)
    for opening in plan.parts.openings:
        job = installation(name)
        if opening.name == "earths":  # where an electrode's lead and bonding enter, no key says
            continue
        section = job.feed if opening.name == "feed" else job.circuit(opening.name)
        axis = 0 if opening.side in ("top", "bottom") else 1
        key = "left_mm" if axis == 0 else "top_mm"
        assert opening.at[axis] == getattr(section.opening, key)  # type: ignore[union-attr]
        assert opening.hole_mm == section.opening.hole_mm  # type: ignore[union-attr]


@pytest.mark.parametrize("name", JOBS)
def test_every_shipped_file_places_what_lies_in_its_board(name: str) -> None:
    plan, wiring = shipped(name)
    job = installation(name)
    for conductor in wiring.conductors:
        if conductor.id in plan.by_id:
            assert unstated_places(job, conductor) == ()


def test_unstated_places__names_the_keys_that_are_wanted() -> None:
    job = installation("marram", ("row: {left_mm: 45, ", "row: {"), ("depth_mm: 100, ", ""))
    assert paths_of_unknown(of_the_row(job)) == (
        "board.enclosure.depth_mm",
        "board.enclosure.row.left_mm",
    )
    bare = installation("marram", ("feed_enters: top", "feed_enters: unknown"))
    assert paths_of_unknown(of_opening(bare, "feed")) == (
        "board.enclosure.feed_enters",
        "feed.opening.top_mm",
    )
    assert paths_of_unknown(of_bar(bare, "earth-bar")) == ()


@pytest.mark.parametrize("number", range(8))
def test_conductor_length__is_that_of_its_line_with_bends(number: int) -> None:
    plan, wiring = planned(drawn(number))
    conductors = {each.id: each for each in wiring.conductors}
    for laid in plan.conductors:
        if laid.inside and laid.diameter_mm:
            assert laid.length_m * 1000 == pytest.approx(worked_length_mm(laid), rel=1e-6)
            assert straight_m(plan, conductors[laid.id]) <= laid.length_m


def test_straight_m__is_the_nearest_pair_in_the_plane() -> None:
    plan, wiring = shipped("marram")
    lead = next(each for each in wiring.conductors if each.id == "lead.PE.F1")
    device = numpy.array(plan.parts.spots["F1.PE"].at[:2])
    screws = [
        numpy.array(spot.at[:2])
        for name, spot in plan.parts.spots.items()
        if name.startswith("earth-bar.")
    ]
    nearest = min(float(numpy.linalg.norm(each - device)) for each in screws)
    assert straight_m(plan, lead) == pytest.approx(nearest / 1000)


def test_in_the_way__sees_a_gland_below_a_bar_and_at_a_wall() -> None:
    opening = text_of("marram").partition("opening: {left_mm: ")[2].partition(",")[0]
    plan, _ = planned(
        installation("marram", (f"opening: {{left_mm: {opening},", "opening: {left_mm: 4,"))
    )
    feed = plan.parts.opening("feed")
    assert feed is not None
    assert [each.name for each in in_the_way(plan.parts, feed)] == ["the wall"]
    bar = next(each for each in plan.parts.bars if each.side == "top")
    middle = round(bar.box.middle(0))
    plan, _ = planned(
        installation(
            "marram", (f"opening: {{left_mm: {opening},", f"opening: {{left_mm: {middle},")
        )
    )
    feed = plan.parts.opening("feed")
    assert feed is not None
    assert [each.name for each in in_the_way(plan.parts, feed)] == ["earth-bar"]
