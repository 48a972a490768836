"""Every mistake of the guide is to be seen: in some view the picture of the board that has it
differs from the sound one in the place of the mistake. What no picture can show is named with its
reason.

The views are read back as they are drawn: groups by their names, apart from how they were made.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from xml.etree import ElementTree

import pytest
from changing import DIAGRAMS, done
from sampling import EVERY_JOB, JOBS

from firstway.checks.rule import Case
from firstway.choosing.completing import Completed
from firstway.choosing.mistaking import makable
from firstway.drawing.asked_view import with_flaws
from firstway.drawing.hands.close_up import (
    CLOSE_HIGH,
    CLOSE_WIDE,
    CloseUp,
    close_up_pair,
    close_ups,
)
from firstway.drawing.lifelike.picture import lifelike
from firstway.drawing.text_width import text_width
from firstway.drawing.wiring_diagram import wiring_diagram
from firstway.layout.faults import seen_flaws
from firstway.model.mistakes import Mistake, mistaken, mistakes_from_yaml
from firstway.model.values import is_known

UNSEEN = {
    "declaration-missing": "a paper is missing; nothing on the board differs",
    "one-way-device-before-a-car-that-feeds-back": "its plate is told, not drawn",
    "source-without-a-label": "the labels hang away from the board",
    "modules-without-an-isolator": "it stands at the inverter; the single-line diagram shows it",
    "neutral-not-earthed-while-the-set-feeds": "the changeover stands away from the board",
    "two-earths-by-the-armour": "the gland is drawn alike; the words of the armour tell it",
}
SVG = "{http://www.w3.org/2000/svg}"
VIEWS = ("lifelike", "wiring")


@cache
def mistakes() -> tuple[Mistake, ...]:
    """All of them."""
    text = (DIAGRAMS / "mistakes.yaml").read_text(encoding="utf-8")
    found, problems = mistakes_from_yaml(text, "diagrams/mistakes.yaml")
    assert not problems
    return found


def changed(job: Completed, mistake: Mistake) -> Completed:
    """The job with a bound mistake, not checked anew."""
    installation, problems = mistaken(job.installation, mistake)
    assert not problems
    return Completed(installation, Case(installation, job.log), (), job.log)


def groups(svg: str) -> dict[str, str]:
    """What is drawn of each part, conductor and close-up, by its name, without words for tooltips
    and what merely moved elsewhere with the height of words.
    """
    found: dict[str, str] = {}
    for group in ElementTree.fromstring(svg).iter(f"{SVG}g"):
        name = group.attrib.get("data-p") or group.attrib.get("id", "").removeprefix("x-")
        if name:
            text = re.sub(r'(id|href)="#?x?-?l?\d+[^"]*"', "", ElementTree.tostring(group).decode())
            found[name] = found.get(name, "") + text
    return found


@cache
def sound(name: str, view: str) -> dict[str, str]:
    """The groups of a view of a shipped job."""
    job = done(name)
    drawn = lifelike(job, "x") if view == "lifelike" else wiring_diagram(job, "x")
    return groups(drawn.svg)


def places(mistake: Mistake) -> set[str]:
    """Names of what a mistake changes, as views name them."""
    found = {
        f"close-up.{shown.flaw}.{shown.at.partition(':')[0].removeprefix('opening.')}"
        for shown in mistake.shows
    }
    for change in mistake.wiring:
        for key in ("move", "set", "remove", "add"):
            if is_known(getattr(change, key)):
                found.add(f"wire.{getattr(change, key)}")
        if isinstance(change.swap, tuple):
            found |= {f"at {terminal}" for terminal in change.swap}
    if is_known(mistake.order):
        found.add(str(mistake.order.way))
    return {re.sub(r"[^A-Za-z0-9_.\- ]+", "-", each) for each in found}


def at_place(place: str, view: dict[str, str]) -> str:
    """What a view draws there; at a terminal, the conductors that end there."""
    if not place.startswith("at "):
        exact = view.get(place, "")
        head = place.rpartition(".")[0] if place.startswith("close-up.") else ""
        return exact or "".join(text for name, text in view.items() if head and head in name)
    end = place.removeprefix("at ")
    return " ".join(
        name
        for name, text in sorted(view.items())
        if f'from="{end}"' in text or f'to="{end}"' in text
    )


def seen_in(name: str, mistake: Mistake) -> list[str]:
    """The views that differ where the mistake is."""
    job = changed(done(name), mistake)
    flaws = seen_flaws(mistake, job.case.layout, job.case.wiring)
    found = []
    for view in VIEWS:
        drawn = groups(with_flaws(view, job, "x", flaws).svg)
        if any(
            at_place(each, drawn) != at_place(each, sound(name, view)) for each in places(mistake)
        ):
            found.append(view)
    return found


def boards_of(mistake: Mistake) -> Iterator[tuple[str, Mistake]]:
    """The shipped jobs it can be made on, bound."""
    for name in EVERY_JOB:
        for own in makable(done(name), mistake)[:1]:
            yield name, own


@pytest.mark.parametrize("mistake", mistakes(), ids=lambda each: each.name)
def test_mistakes__each_is_to_be_seen(mistake: Mistake) -> None:
    name, own = next(boards_of(mistake))
    assert bool(seen_in(name, own)) == (mistake.name not in UNSEEN)


@pytest.mark.long
@pytest.mark.parametrize("name", JOBS)
def test_mistakes__each_is_to_be_seen_on_every_job(name: str) -> None:
    unseen = {
        mistake.name
        for mistake in mistakes()
        for own in makable(done(name), mistake)[:1]
        if not seen_in(name, own)
    }
    assert unseen <= set(UNSEEN)


def close_ups_of(mistake: Mistake) -> tuple[tuple[CloseUp, ...], tuple[CloseUp, ...], str]:
    """Its close-ups as found and as they should be, and the edition of its job."""
    name, own = next(boards_of(mistake))
    job = changed(done(name), own)
    flaws = seen_flaws(own, job.case.layout, job.case.wiring)
    return close_ups(job, flaws), close_ups(done(name), flaws, right=True), job.installation.edition


@pytest.mark.parametrize(
    "mistake", [each for each in mistakes() if each.shows], ids=lambda each: each.name
)
def test_close_ups__differ_from_what_should_be_and_keep_to_their_frame(mistake: Mistake) -> None:
    wrong, right, edition = close_ups_of(mistake)
    assert len(wrong) == len(right) == len(mistake.shows)
    for one, other in zip(wrong, right):
        assert one.items != other.items and one.words != other.words
        pair = close_up_pair(one, other, "x", edition)
        assert len(pair.svg.encode()) <= 15_000
        assert pair == close_up_pair(one, other, "x", edition), "the same bytes every time"
        for shown in (one, other):
            for item in shown.items:
                words = getattr(item, "words", "")
                if not words:
                    continue
                wide = text_width(words, 12, item.bold)
                left = item.x - (wide / 2 if item.anchor == "middle" else 0)
                assert 0 < left and left + wide < CLOSE_WIDE and 9 < item.y < CLOSE_HIGH, words
