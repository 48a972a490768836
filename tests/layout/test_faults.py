"""Proves that every mistake of the guide is to be seen: either its board is wired unlike the sound
one, or it declares a flaw at a place of that board; how an end sits in its terminal, as the
wiring has it, agrees with the flaw. The exception is named with its reason.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from boards import shipped
from changing import DIAGRAMS, done, installation
from sampling import EVERY_JOB

from firstway.choosing.mistaking import flaws_made, made, makable
from firstway.layout.faults import seen_flaws
from firstway.layout.plan import Layout
from firstway.layout.planning import layout_of
from firstway.model.mistakes import (
    FLAWS,
    Mistake,
    ShownFlaw,
    bindings,
    bound,
    mistaken,
    mistakes_from_yaml,
)
from firstway.problems import Problems
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring

UNSEEN = {
    "declaration-missing": "a paper is missing; the board may be right",
    "one-way-device-before-a-car-that-feeds-back": "its plate is told, not drawn",
    "source-without-a-label": "the labels hang away from the board",
    "modules-without-an-isolator": "it stands at the inverter; the single-line diagram shows it",
    "neutral-not-earthed-while-the-set-feeds": "the changeover stands away from the board",
}
OF_CONTACT = {
    "loose": "screw-not-tight",
    "beside-the-clamp": "tooth-beside-the-clamp",
    "insulation-under-the-clamp": "insulation-under-the-clamp",
    "cut-strands": "cut-strands",
    "high-resistance": "discoloured",
}


@cache
def mistakes() -> tuple[Mistake, ...]:
    text = (DIAGRAMS / "mistakes.yaml").read_text(encoding="utf-8")
    found, problems = mistakes_from_yaml(text, "diagrams/mistakes.yaml")
    assert not problems
    return found


def made_on(mistake: Mistake) -> tuple[str, Mistake, Layout, Wiring]:
    """The first shipped board a mistake can be made on, with it."""
    for name in EVERY_JOB:
        board = installation(name)
        for names in bindings(board, mistake):
            own = bound(mistake, names)
            changed, problems = mistaken(board, own)
            assert not problems
            wiring = wiring_of(changed)
            return name, own, layout_of(changed, wiring), wiring
    raise AssertionError(f"{mistake.name} can be made on no shipped board")


def drawn(wiring: Wiring) -> set[tuple[object, ...]]:
    """What the wiring alone lets a view draw: ends, colours and sizes of conductors, order."""
    return {(each.id, each.start, each.end, each.colour) for each in wiring.conductors} | {
        (part.name, part.kind, part.order) for part in wiring.parts
    }


@pytest.mark.parametrize("mistake", mistakes(), ids=lambda each: each.name)
def test_flaws_of__every_mistake_is_to_be_seen(mistake: Mistake) -> None:
    name, own, layout, wiring = made_on(mistake)
    flaws = seen_flaws(own, layout, wiring)
    assert [each.flaw for each in flaws] == [each.flaw for each in own.shows]
    if not flaws:
        assert drawn(wiring) != drawn(shipped(name)[1]) or own.name in UNSEEN
    for change in own.wiring:
        if change.contact in OF_CONTACT:
            said = [(each.flaw, each.conductor) for each in flaws]
            assert (OF_CONTACT[str(change.contact)], change.set) in said
    for each in flaws:
        if each.at is not None:  # in the box, on its front, or in a hole of its wall
            low, high = layout.parts.outer.low, layout.parts.outer.high
            assert all(low[axis] <= each.at[axis] <= high[axis] for axis in range(3))


def test_flaws_of__a_loose_screw_is_at_its_terminal() -> None:
    mistake = next(each for each in mistakes() if each.name == "loose-terminal")
    board = installation("marram")
    own = bound(mistake, bindings(board, mistake)[0])
    wiring = wiring_of(mistaken(board, own)[0])
    layout, _ = shipped("marram")
    (flaw,) = seen_flaws(own, layout, wiring)
    assert (flaw.flaw, flaw.of) == ("screw-not-tight", "F2.load.L1")
    assert flaw.at == layout.parts.spots["F2.load.L1"].at


def test_flaws_of__refuses_a_place_that_is_none() -> None:
    layout, wiring = shipped("marram")
    wrong = replace(mistakes()[0], shows=(ShownFlaw("coiled", "F9"),))
    with pytest.raises(LookupError, match="'F9' is no place"):
        seen_flaws(wrong, layout, wiring)


def test_flaws_made__tells_a_place_that_is_none_with_the_line_of_its_mistake() -> None:
    job = done("marram")
    mistake = next(each for each in mistakes() if each.name == "loose-terminal")
    wrong = replace(makable(job, mistake)[0], shows=(ShownFlaw("coiled", "F9"),))
    with pytest.raises(Problems) as caught:
        flaws_made(made(job, wrong))
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == (mistake.file, mistake.line)
    assert problem.message.startswith("'loose-terminal' on marram: 'F9' is no place")
    assert problem.hint


def test_mistakes_from_yaml__refuses_a_flaw_it_does_not_know() -> None:
    text = (DIAGRAMS / "mistakes.yaml").read_text(encoding="utf-8")
    _, problems = mistakes_from_yaml(text.replace("flaw: cut-strands", "flaw: frayed"), "m.yaml")
    assert len(problems) == 1 and "frayed" in problems[0].message


def test_flaws__each_word_is_used() -> None:
    assert {shown.flaw for each in mistakes() for shown in each.shows} == set(FLAWS)
