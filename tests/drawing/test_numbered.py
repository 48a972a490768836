"""What a narrow screen shows of flat views: numbers that hide nothing and stand clear of each
other, and a list that says every word of the drawing that is left out.
"""

import re
from itertools import combinations

import pytest
from changing import done
from sampling import JOBS

from firstway.drawing.front.board_front import front_layout
from firstway.drawing.numbered import WORDED, shown_around
from firstway.drawing.sheet import Box, Lettering, Sheet
from firstway.drawing.svg import drawn_from
from firstway.drawing.wiring_diagram import wiring_layout

COLUMN_PX = 340  # what a page 390 px wide leaves a drawing


def sheets(name: str) -> list[Sheet]:
    job = done(name)
    return [wiring_layout(job), front_layout(job), front_layout(job, cover_on=True)]


def numbers(sheet: Sheet) -> list[Lettering]:
    return [each for each in sheet.group("numbers").items if isinstance(each, Lettering)]


@pytest.mark.parametrize("name", JOBS)
def test_with_numbers__are_readable_and_stand_apart(name: str) -> None:
    for sheet in sheets(name):
        assert sheet.narrow is not None
        found = numbers(sheet)
        assert [each.words for each in found] == [
            str(place) for place in range(1, len(sheet.narrow.key) + 1)
        ]
        for each in found:
            assert each.size * COLUMN_PX / sheet.narrow.right >= 9
        for one, other in combinations(found, 2):
            apart = max(abs(one.x - other.x), abs(one.y - other.y))
            assert apart >= 1.2 * one.size, (sheet.kind, one.words, other.words)


@pytest.mark.parametrize("name", JOBS)
def test_with_numbers__each_device_is_said_and_stands_on_its_body(name: str) -> None:
    for sheet in sheets(name):
        assert sheet.narrow is not None
        said = "\n".join(sheet.narrow.key)
        for way in done(name).installation.board.ways:
            assert re.search(rf"(?m)^{re.escape(way.name)}\b", said), (sheet.kind, way.name)
            body = next(each for each in sheet.group(way.name).items if isinstance(each, Box))
            assert any(
                body.x < each.x < body.x + body.width and body.y < each.y < body.y + body.height
                for each in numbers(sheet)
            ), (sheet.kind, way.name)


@pytest.mark.parametrize("name", JOBS)
def test_with_numbers__every_conductor_of_the_wiring_is_said(name: str) -> None:
    sheet = wiring_layout(done(name))
    assert sheet.narrow is not None
    said = " ".join(sheet.narrow.key)
    for group in sheet.groups:
        if "conductor" in group.classes.split() and "bar" not in group.classes.split():
            assert group.title in said or group.title[0].upper() + group.title[1:] in said


def test_shown_around__shows_what_is_asked_for_and_room_for_words() -> None:
    sheet = wiring_layout(done("marram"))
    body = next(each for each in sheet.group("Q1").items if isinstance(each, Box))
    left, top, right, bottom = shown_around(sheet, [sheet.group("Q1")]) or (0, 0, 0, 0)
    assert left < body.x < body.x + body.width < right and right - left <= WORDED
    assert top < body.y < body.y + body.height < bottom
    assert shown_around(sheet, []) is None


def test_with_numbers__elsewhere_are_not_seen() -> None:
    svg = drawn_from(wiring_layout(done("marram")), "w").svg
    assert re.search(r'<g class="numbers on-paper" display="none"', svg)
