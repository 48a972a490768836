"""The single-line diagram stage by stage: what stands along the path, its numbers, its places.

What is compared comes from outside the drawing: the file of the job, and the geometry that is
painted.
"""

from __future__ import annotations

import re
import time
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from boards import drawn as drawn_board
from changing import done, installation
from drawing_faults import faults_in, line_meets
from sampling import JOBS

from firstway.checks.rule import Case
from firstway.choosing.completing import Completed
from firstway.drawing.ink import page_stylesheet
from firstway.drawing.line_styles import FOOT
from firstway.drawing.painted import painted_in
from firstway.drawing.sheet import Lettering
from firstway.drawing.single import words
from firstway.drawing.single.call_outs import numbered
from firstway.drawing.single.path import supply_path
from firstway.drawing.single.places import PlacedWire, PlacedWords, places_of
from firstway.drawing.single.single_line import single_line, single_line_layout
from firstway.drawing.svg import PARTS, Drawn
from firstway.rendering.figures import shown
from firstway.wiring.deriving import wiring_of
from firstway.workings.shared.step import Workings

FOUR = ["marram", "sallow", "quince", "alder"]
MARK = 9.5  # half a call-out
every_job = pytest.mark.parametrize("name", FOUR)


def _placed(completed: Completed) -> tuple[object, ...]:
    path = supply_path(completed.installation)
    return places_of(path, numbered(path, completed)).things


def _told(completed: Completed) -> list[str]:
    return [
        item.words
        for group in single_line_layout(completed).groups
        if not group.hidden  # what a narrow screen shows in place of them
        for item in group.items
        if isinstance(item, Lettering)
    ]


@every_job
def test_call_outs__each_number_and_letter_stands_on_the_path_and_in_the_key(name: str) -> None:
    completed = done(name)
    called = numbered(supply_path(completed.installation), completed)
    on_path = [
        mark.words
        for thing in _placed(completed)
        if isinstance(thing, PlacedWords)
        for mark, _ in thing.marks
    ]
    letters = [letter for letter, _, _ in called.flags]
    assert sorted(on_path) == sorted([*(str(n) for n, _, _ in called.figures), *letters])
    told = _told(completed)
    for each in on_path:
        assert told.count(each) == 2, each


@every_job
def test_call_outs__read_down_the_page(name: str) -> None:
    """A number stands below or beside the one before it, within one column of the path."""
    marks = [
        (int(mark.words), at)
        for thing in _placed(done(name))
        if isinstance(thing, PlacedWords)
        for mark, at in thing.marks
        if not mark.flag
    ]
    assert [number for number, _ in sorted(marks)] == list(range(1, len(marks) + 1))
    for label in _placed(done(name)):
        if isinstance(label, PlacedWords):
            for (_, one), (_, two) in pairwise(label.marks):
                assert two[1] > one[1] or two[0] > one[0]


@every_job
def test_call_outs__lie_on_no_line(name: str) -> None:
    """The flags of a surge device fed from another way once lay on the line to the earth bar."""
    things = _placed(done(name))
    pieces = [
        piece for wire in things if isinstance(wire, PlacedWire) for piece in pairwise(wire.points)
    ]
    for thing in things:
        if isinstance(thing, PlacedWords):
            for mark, (x, y) in thing.marks:
                box = (x - MARK, y - MARK, x + MARK, y + (FOOT if mark.flag else MARK))
                assert not any(line_meets(*piece, box) for piece in pieces), mark.words


def test_single_line__tells_every_device_of_the_feed_and_every_board() -> None:
    """Two devices in the feed, two existing boards: each by name, with a symbol of its own."""
    job = done(
        "marram",
        (
            "through: []",
            "through: [{device: switch-fuse, standard: BS 88-3, rating_a: 63},"
            " {device: circuit-breaker, standard: IEC 60898-1, rating_a: 50}]",
        ),
        (
            "existing_boards:\n",
            "existing_boards:\n  - {name: annexe, year: 1999, colours: red-black, rcds: []}\n",
        ),
    )
    sheet = single_line_layout(job)
    ids = {group.id for group in sheet.groups}
    assert {"feed-switch", "feed-device.1", "feed-device.2"} <= ids
    told = " ".join(_told(job))
    for each in ("63 A", "50 A", "annexe", "boathouse", "boards"):
        assert each in told, each
    assert faults_in(single_line(job, "x").svg) == ()


def test_single_line__single_cores_have_no_sheath_and_armour_has_its_sample() -> None:
    ids = {group.id for group in single_line_layout(done("marram")).groups}
    assert "cable.slipway" in ids and "cable.feed" not in ids
    assert "armoured cable" in _told(done("marram"))
    assert "armoured cable" not in _told(done("quince"))


@every_job
def test_single_line__keeps_its_size_and_its_letters(name: str, tell) -> None:
    """30 kB for up to four devices on one phase, 80 kB else; no text under 9 px at 768 px."""
    completed = done(name)
    drawn = single_line(completed, f"{name}-single-line")
    kb = len(drawn.svg.encode()) / 1000
    started = time.process_time()
    for _ in range(3):
        single_line(completed, f"{name}-single-line")
    tell(f"single-line: {name} {kb:.1f} kB, {(time.process_time() - started) / 3e-3:.1f} ms")
    board = installation(name).board
    few = len([way for way in board.ways if way.device != "blank"]) <= 3 and name != "quince"
    assert kb <= (30 if few and installation(name).supply.phases == 1 else 80)
    assert drawn.svg == single_line(completed, f"{name}-single-line").svg
    sizes = [
        item.size
        for group in single_line_layout(completed).groups
        for item in group.items
        if isinstance(item, Lettering)
    ]
    assert min(sizes) * 768 / drawn.width >= 9


COLUMN_PX = 306  # what a page on a screen of 360 px leaves for a drawing


def _on_a_phone(svg: str) -> str:
    """What the rules of a narrow screen leave: no words, no labels, no key; numbers."""
    root = ElementTree.fromstring(svg)
    for parent in list(root.iter()):
        for child in list(parent):
            kind = child.tag.rpartition("}")[2]
            classes = child.attrib.get("class", "").split()
            if "numbers" in classes:
                del child.attrib["display"]
                continue
            if parent.attrib.get("class") == "numbers" or kind == "defs":
                continue
            if kind == "text" or {"label", "key", "title-block"} & set(classes):
                if not any("numbers" in each.attrib.get("class", "") for each in child.iter()):
                    parent.remove(child)
    return ElementTree.tostring(root, encoding="unicode")


def _crossed_on_a_phone(drawn: Drawn) -> list[tuple[str, str]]:
    """Numbers whose ring another line crosses, and whose line; all else that is asked is asserted:
    it fits its column, no number is under 9 px, and the list says each of them.
    """
    reading = painted_in(_on_a_phone(drawn.svg))
    texts = [thing for thing in reading.things if thing.words]
    assert {thing.group for thing in texts} == {"p-numbers"}
    assert [thing.words for thing in texts] == [str(n + 1) for n in range(len(drawn.key))]
    classes = drawn.svg.partition('class="')[2].partition('"')[0]
    first, over, cut = (  # classes that add up
        sum(map(int, re.findall(rf"\bfw-{kind}-(\d+)", classes)))
        for kind in ("from", "over", "cut")
    )
    left, right = (place * drawn.width / PARTS for place in (first, first + over))
    end = drawn.height - cut * drawn.width / PARTS
    assert min(thing.size for thing in texts) * COLUMN_PX / (right - left) >= 9
    rings = [thing for thing in reading.things if thing.group == "p-numbers" and not thing.words]
    assert len(rings) == len(texts)
    for thing in reading.things:
        a, b, c, d = thing.bounds
        assert left <= a and c <= right and b >= 0 and d <= end, thing.group
    found = []
    for ring, number in zip(rings, texts):
        a, b, c, d = ring.bounds
        for other in reading.things:
            if other is not ring and other is not number:
                box = (a - other.reach, b - other.reach, c + other.reach, d + other.reach)
                if any(line_meets(*piece, box) for piece in other.lines):
                    found.append((number.words, other.group))
    return found


@pytest.mark.parametrize("name", JOBS)
def test_single_line__on_a_phone_a_number_stands_at_every_place(name: str) -> None:
    assert _crossed_on_a_phone(single_line(done(name), "p")) == []


@pytest.mark.parametrize("number", [1, 9, 15])
def test_single_line__on_a_phone_numbers_of_boards_at_random_stand_clear(number: int) -> None:
    """On these a ring once touched the board's edge, the next ring, the edge of a low box."""
    assert _crossed_on_a_phone(single_line(_unworked(number), "p")) == []


@pytest.mark.long
def test_single_line__on_a_phone_numbers_of_many_boards_stand_clear() -> None:
    for number in range(120):
        assert _crossed_on_a_phone(single_line(_unworked(number), "p")) == [], number


def _unworked(number: int) -> Completed:
    """A board drawn at random, of which nothing is worked."""
    made = drawn_board(number)
    return Completed(made, Case(made, workings=Workings(), wiring=wiring_of(made)), (), {})


@every_job
def test_single_line__the_list_of_a_phone_says_all_that_the_sheet_says(name: str) -> None:
    """Every figure of the working and every finding is in the list, and every device."""
    completed = done(name)
    drawn = single_line(completed, "p")
    said = " ".join(drawn.key)
    called = numbered(supply_path(completed.installation), completed)
    rules = completed.installation.rules
    for _, step, _ in called.figures:
        assert f"{words.step_words(step, rules)} {shown(step)}" in said, step.id
    for _, _, text in called.flags:
        assert text.removesuffix(".") in said
    for way in completed.installation.board.ways:
        assert way.device == "blank" or way.name in said


def test_single_line__printed_and_alone_it_shows_its_words() -> None:
    """Numbers are hidden by the drawing itself, and shown by a rule for narrow screens alone."""
    drawn = single_line(done("marram"), "p")
    assert re.search(r'<g id="p-numbers"[^>]*display="none"', drawn.svg)
    rules = page_stylesheet()
    narrow = rules.index("@media screen and (max-width:37.5rem)")
    assert rules.index(".fw-numbered .numbers") > narrow
