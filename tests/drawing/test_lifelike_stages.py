"""The lifelike view by stage: what is new is named where it is seen, words meet nothing and lie
within the picture, and all stages are one drawing repeated.

Outside the project: 9 px at 768 px is our own promise; which comes first, bar or devices, is common
practice.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations
from xml.etree import ElementTree

import pytest
from changing import done
from sampling import JOBS
from telling import Tell

from firstway.drawing.labels import meets
from firstway.drawing.lifelike.picture import BoxPicture, box_pictured
from firstway.drawing.lifelike.staging import at_stage
from firstway.drawing.part_words import in_words_of, spoken_terminal
from firstway.drawing.stages import Stage, stages_of
from firstway.drawing.svg import Drawn
from firstway.drawing.text_width import text_width
from firstway.model.values import is_known

SVG = "{http://www.w3.org/2000/svg}"
HARDWARE = {
    "enclosure": ("into the wall", "bush"),
    "rail": ("rail screw", "insulates the bar"),
    "earth": ("screw to the metal",),
    "bar": ("teeth", "end caps", "on a free tooth"),
    "devices": ("RCBO", "SPD"),
    "outgoing": ("locknut", "earth tag", "through its gland"),
    "torque": ("N·m",),
    "labels": ("blanks", "of each way", "voltage inside"),
    "tails": ("free, capped",),
    "supply-end": ("authorised person only",),
}
"""What the issue names as hardware that was only words, at Marram."""


@cache
def picture(name: str) -> BoxPicture:
    """The whole drawing of a shipped job."""
    return box_pictured(done(name), f"{name}-lifelike")


@cache
def staged(name: str) -> tuple[tuple[Stage, Drawn], ...]:
    """Its stages with their drawings."""
    stages = stages_of(done(name))
    return tuple(
        (stage, at_stage(picture(name), stages, place)) for place, stage in enumerate(stages, 1)
    )


@pytest.mark.parametrize("stage", HARDWARE)
def test_at_stage__names_the_hardware_that_is_new(stage: str) -> None:
    shown = next(drawn for each, drawn in staged("marram") if each.id == stage)
    for words in HARDWARE[stage]:
        assert words in " ".join(shown.key), stage


@pytest.mark.parametrize("name", JOBS)
def test_at_stage__each_new_conductor_in_the_box_is_called_out(name: str) -> None:
    tubes = {each.name for each in picture(name).scene.tubes}
    wiring = done(name).case.wiring.drawn
    for stage, drawn in staged(name):
        words = " ".join(drawn.key)
        for conductor in wiring.conductors:
            if conductor.id in stage.conductors and f"wire.{conductor.id}" in tubes:
                if conductor.kind != "armour":
                    ends = (conductor.start, conductor.end)
                    said = " to ".join(spoken_terminal(wiring, each) for each in ends)
                    assert in_words_of(done(name).installation, said) in words, (stage.id, words)


@pytest.mark.parametrize("name", JOBS)
def test_at_stage__words_meet_nothing_and_lie_in_the_picture(name: str) -> None:
    for stage, drawn in staged(name):
        tree = ElementTree.fromstring(drawn.svg)
        left, top, width, height = map(float, tree.attrib["viewBox"].split())
        found = []
        for group in tree.iter(f"{SVG}g"):
            if group.attrib.get("class") != "zwords":
                continue
            for text in group.iter(f"{SVG}text"):
                x, y, words = float(text.attrib["x"]), float(text.attrib["y"]), text.text or ""
                wide = text_width(words, 12, text.attrib.get("font-weight") == "700")
                hold = text.attrib.get("text-anchor", "middle")
                start = {"start": x, "middle": x - wide / 2, "end": x - wide}[hold]
                found.append((words, (start, y - 9, start + wide, y + 2)))
        for words, (a, b, c, d) in found:
            inside = left <= a and c <= left + width and top <= b and d <= top + height
            assert inside, (stage.id, words)
        for (one, a), (other, b) in combinations(found, 2):
            assert not meets(a, b), (stage.id, one, other)
        assert width * 0.75 <= 730, "12 units are 9 px in the column of a screen of 768"


@pytest.mark.parametrize("name", JOBS)
def test_at_stage__is_the_one_drawing_again(name: str, tell: Tell) -> None:
    whole = picture(name).drawn
    for place, (_, drawn) in enumerate(staged(name), 1):
        uses = re.findall(rf'<use href="#{whole.id}"[^>]*class="fw-stage-(\d+)"', drawn.svg)
        assert uses == [str(place)]
        for run in re.findall(r'href="#([^"]+)"', drawn.svg):
            assert f'id="{run}"' in whole.svg
        assert "<script" not in drawn.svg and len(drawn.svg) < 12_000
    tell(
        f"lifelike {name}: {len(whole.svg)} bytes, its {len(staged(name))} stages"
        f" {sum(len(drawn.svg) for _, drawn in staged(name))} more"
    )


@pytest.mark.parametrize("name", JOBS)
def test_stages_of__a_clamped_bar_follows_its_devices(name: str) -> None:
    ids = [stage.id for stage, _ in staged(name)]
    busbar = done(name).installation.board.busbar
    clamped = is_known(busbar) and busbar.style in ("pin", "fork")
    assert (ids.index("devices") < ids.index("bar")) == clamped
    later = [name for name, place in picture(name).stages.items() if place > len(ids)]
    assert not later
