"""Drawings made for questions: nothing in them answers, and every place asked for is there,
lettered and free of text.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from drawing_faults import faults_in

from firstway.choosing.completing import Completed, completed
from firstway.drawing.painted import painted_in
from firstway.drawing.question_spots import RADIUS, asked, drawn_for
from firstway.model.reading import installation_from_yaml

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("marram", "quince", "sallow", "osier", "alder")


def job(name: str) -> Completed:
    path = ROOT / "diagrams" / f"{name}.yaml"
    installation, problems = installation_from_yaml(
        path.read_text(encoding="utf-8"), path.name, name
    )
    assert installation is not None, problems
    done, problems = completed(installation)
    assert done is not None, problems
    return done


@pytest.fixture(scope="module", params=JOBS)
def each(request: pytest.FixtureRequest) -> Completed:
    return job(request.param)


def test_every_terminal_and_conductor_can_be_pointed_at(each: Completed) -> None:
    drawn = drawn_for(each, "wiring", "ask")
    assert drawn is not None
    wiring = each.case.wiring.drawn
    places = [terminal.id for terminal in wiring.terminals if wiring.conductors_at(terminal.id)]
    places += [part.name for part in wiring.parts] + [
        conductor.id for conductor in wiring.conductors if conductor.kind != "bar"
    ]
    for start in range(0, len(places), 6):
        some = places[start : start + 6]
        with_spots, spots, missing = asked(each, drawn, some, "abcdef")
        assert not missing
        assert [spot.place for spot in spots] == some
        assert len({spot.words for spot in spots}) == len(spots), (
            "a list must tell the places apart"
        )
        middles = [(spot.x + spot.width / 2, spot.y + spot.height / 2) for spot in spots]
        assert all(
            RADIUS <= x <= drawn.width - RADIUS and RADIUS <= y <= drawn.height - RADIUS
            for x, y in middles
        )
        assert all(
            abs(ax - bx) > 2 * RADIUS - 1 or abs(ay - by) > 2 * RADIUS - 1
            for index, (ax, ay) in enumerate(middles)
            for bx, by in middles[:index]
        )
        assert with_spots.svg.count('class="spot"') == len(spots)


def test_a_disc_hides_no_text_of_the_drawing(each: Completed) -> None:
    drawn = drawn_for(each, "wiring", "ask")
    assert drawn is not None
    places = [
        terminal.id
        for terminal in each.case.wiring.drawn.terminals
        if terminal.device.startswith(("F", "Q"))
    ][:6]
    _, spots, _ = asked(each, drawn, places, "abcdef")
    texts = [thing for thing in painted_in(drawn.svg).things if thing.words]
    for spot in spots:
        x, y = spot.x + spot.width / 2, spot.y + spot.height / 2
        hidden = [
            text.words
            for text in texts
            if text.bounds[0] - RADIUS < x < text.bounds[2] + RADIUS
            and text.bounds[1] - RADIUS + 3 < y < text.bounds[3] + RADIUS - 3
        ]
        assert not hidden, (spot.place, hidden)


def test_a_single_line_that_asks_holds_no_figure_and_no_finding() -> None:
    quince = job("quince")
    drawn = drawn_for(quince, "single-line", "ask")
    assert (
        drawn is not None
        and "data-step" not in drawn.svg
        and "Danger" not in drawn.svg
        and "Fail" not in drawn.svg
    )
    assert not faults_in(drawn.svg)


def test_a_stage_or_a_path_stands_alone() -> None:
    marram = job("marram")
    for keys in ({"stage": "surge-leads"}, {"overlay": "earth-fault"}):
        drawn = drawn_for(marram, "wiring", "ask", **keys)
        assert drawn is not None
        reading = painted_in(drawn.svg)
        assert len(reading.ids) == len(set(reading.ids))
        used = [
            element.attrib["href"][1:]
            for element in reading.root.iter()
            if element.tag.endswith("use")
        ]
        assert set(used) <= set(reading.ids)
        with_spots, spots, missing = asked(marram, drawn, ["F2", "F1.PE"], "ab")
        assert len(spots) == 2 and not missing


def test_what_a_job_has_not_is_not_drawn() -> None:
    marram = job("marram")
    assert drawn_for(marram, "wiring", "ask", stage="no-such-stage") is None
    assert drawn_for(marram, "wiring", "ask", overlay="no-such-path") is None
    assert drawn_for(marram, "chart", "ask", chart="no-such-chart") is None
    drawn = drawn_for(marram, "wiring", "ask")
    assert drawn is not None and asked(marram, drawn, ["F9.L1"], "a")[2] == ("F9.L1",)


def test_same_question_same_bytes() -> None:
    marram = job("marram")
    assert drawn_for(marram, "wiring", "ask") == drawn_for(replace(marram), "wiring", "ask")


def test_a_numbered_symbol_can_be_pointed_at_by_its_name() -> None:
    quince = job("quince")
    drawn = drawn_for(quince, "single-line", "ask")
    assert drawn is not None and not asked(quince, drawn, ["existing-rcd"], "a")[2]
    assert (
        drawn_for(quince, "chart", "ask", chart="heat") is None
        or "heat" in drawn_for(quince, "chart", "ask", chart="heat").id
    )
