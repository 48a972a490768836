"""The small drawing of a board for a list: all that is joined, no word, no mark."""

from __future__ import annotations

import re

import pytest
from changing import done

from firstway.drawing.small_board import small_board
from firstway.drawing.svg import shapes_once

LINES = re.compile(r'<path d="([^"]+)"')


@pytest.mark.parametrize("name", ["marram", "curlew", "bramble"])
def test_small_board__has_every_conductor_once_and_tells_nothing(name: str) -> None:
    job = done(name)
    svg = str(small_board(job, "one"))
    assert "<text" not in svg and "<title" not in svg and "mark" not in svg
    laid = {each.id for each in job.case.layout.conductors if each.diameter_mm}
    laid -= {each.id for each in job.case.wiring.drawn.conductors if each.kind == "bar"}
    edges = re.findall(r'href="#(\w+)" class="casing"', svg)
    lines = dict(re.findall(r'<g id="(\w+)"><path d="([^"]+)"', svg))
    assert sum(lines[each].count("M") for each in edges) == len(laid) > 8


def test_small_board__of_two_on_a_page_the_second_refers_to_the_first() -> None:
    job = done("marram")
    both = str(shapes_once(small_board(job, "one") + small_board(job, "two")))
    defined = re.findall(r'<g id="(\w+)"', both)
    assert len(LINES.findall(both)) == len(set(LINES.findall(both))) == len(defined)
    assert set(re.findall(r'href="#(\w+)"', both)) == set(defined)
