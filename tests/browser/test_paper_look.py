"""How a learner's paper looks: on a phone every letter of a drawing is there to be read; printed,
each page says whose it is.

Sizes are measured in a real browser: 96 px of CSS are an inch, a point is 1.33 px. The bounds are
ours (common practice).
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from accessibility import DRESS
from conftest import OfflinePage
from desk_class import SmallClass

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
LEAST_LETTER_PX, LEAST_PRINT_PX = 8.0, 6.9
SEEN = """question => { const sheet = question.querySelector('.sheet').getBoundingClientRect();
  const box = node => { const r = node.getBoundingClientRect(); return [r.left - sheet.left, r.top - sheet.top, r.right - sheet.left, r.bottom - sheet.top]; };
  return [...question.querySelectorAll('.sheet .spot')].map(spot => ({ letter: spot.dataset.spot, width: sheet.width, height: sheet.height,
    text: box(spot.querySelector('text')), disc: box(spot.querySelector('circle:last-of-type')), dot: box(spot.querySelector('circle')) })); }"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, root: Path) -> SmallClass:
    """One learner with every point question that is assigned."""
    folder = tmp_path_factory.mktemp("look")
    small = SmallClass(folder)
    text = small.recipe().read_text(encoding="utf-8").partition("draw:")[0]
    (folder / "recipe.yaml").write_text(
        text + "draw:\n  - {kind: point, number: 6}\n  - {kind: find-the-mistake, number: 6}\n"
        "  - {kind: read-a-chart, number: 1}\n  - {kind: one-answer, number: 4}\n",
        encoding="utf-8",
    )
    small.learners("K1")
    assert small.paper() == 0
    return small


def page_of(made: SmallClass) -> Path:
    return made.out / "paper/hand-out/small-K1.html"


def asked_by_pointing(page: Any) -> Iterator[Any]:
    questions = page.locator(".quiz-question:has(.spot)")
    assert questions.count() == 12
    yield from questions.all()


def apart(one: list[float], other: list[float]) -> bool:
    return one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True)
def test_on_a_phone_a_wiring_question_shows_all_its_letters(
    made: SmallClass, offline_page: OfflinePage
) -> None:
    """Before, half of them lay beyond the right edge, and the drawing had to be scrolled to know of
    them.
    """
    page = offline_page.show(page_of(made))
    for question in asked_by_pointing(page):
        spots = question.evaluate(SEEN)
        name = question.locator("legend").inner_text()
        assert len(spots) == question.locator(".quiz-options label").count(), name
        for spot in spots:
            left, top, right, bottom = spot["disc"]
            assert 0 <= left and 0 <= top and right <= spot["width"] and bottom <= spot["height"], (
                f"{name}: {spot['letter']} lies beyond the edge"
            )
            assert spot["text"][3] - spot["text"][1] >= LEAST_LETTER_PX, (
                f"{name}: {spot['letter']} is too small to read"
            )
            middle = (spot["text"][0] + spot["text"][2]) / 2
            for other in spots:
                if other is not spot:
                    assert not (
                        other["disc"][0] < middle < other["disc"][2]
                        and not apart(other["disc"], spot["text"])
                    ), f"{name}: {other['letter']} hides {spot['letter']}"
            dot = [(spot["dot"][0] + spot["dot"][2]) / 2, (spot["dot"][1] + spot["dot"][3]) / 2] * 2
            assert apart(spot["disc"], dot), f"{name}: {spot['letter']} hides what it points at"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True)
def test_a_drawing_opens_large_with_its_letters_and_closes(
    made: SmallClass, offline_page: OfflinePage
) -> None:
    page = offline_page.show(page_of(made))
    question = next(asked_by_pointing(page))
    large = question.locator(".large")
    assert not large.is_visible()
    question.get_by_role("button", name="Open large").tap()
    assert (
        large.is_visible()
        and large.locator("svg").evaluate("drawing => drawing.getBoundingClientRect().width") >= 900
    )
    width = large.locator("use").nth(1).evaluate("spots => spots.getBoundingClientRect().width")
    assert width > 100, "the letters stand in it too"
    large.get_by_role("button", name="Close").tap()
    assert not large.is_visible()
    first = question.locator(".sheet .spot").first
    letter = first.get_attribute("data-spot")
    first.locator("rect").tap()
    assert question.locator(f'input[value="{letter}"]').is_checked()
    assert offline_page.troubles == []


def test_a_booklet_has_labels_that_can_be_read(made: SmallClass, offline_page: OfflinePage) -> None:
    """Before, the labels of a wiring diagram were 1.3 mm high."""
    page = offline_page.page
    page.set_viewport_size({"width": 688, "height": 971})  # A4 less its margins, 96 px to the inch
    page.emulate_media(media="print")
    offline_page.show(page_of(made))
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('.sheet svg')].map(drawing =>
        Math.min(...[...drawing.querySelectorAll('text')].map(text => {
          const turned = text.getScreenCTM();
          return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(turned.a, turned.b); })))"""
    )
    assert len(sizes) == 13 and min(sizes) >= LEAST_PRINT_PX, sizes
    assert not page.locator(".enlarge:visible, .large:visible").count()


def test_each_page_of_a_booklet_bears_code_and_a_line_for_the_signature(
    made: SmallClass, offline_page: OfflinePage
) -> None:
    """Before, a loose page belonged to nobody.

    The line is painted in a colour of its own, and looked for in each page of the PDF.
    """
    page = offline_page.show(page_of(made))
    page.evaluate(
        DRESS,
        ".quiz-signed i, .quiz-sheet .quiz-fact:last-of-type i { border-color: rgb(1, 200, 3)"
        " !important; }",
    )
    made_of = page.pdf(format="A4", prefer_css_page_size=True)
    pages = len(re.findall(rb"/Type\s*/Page\b", made_of))
    signed = [
        stream
        for stream in drawn_streams(made_of)
        if re.search(rb"\.0039\d* \.7843\d* \.011[78]\d* (?:rg|RG)", stream)
    ]
    assert pages > 10 and len(signed) == pages
    text = page.locator(".quiz-signed").text_content()
    key = made.key
    assert (
        f"v{key.version}" in text
        and "Learner K1" in text
        and key.sheets["K1"].issue in text
        and "Signature" in text
    )


def drawn_streams(pdf: bytes) -> Iterator[bytes]:
    for found in re.finditer(rb"stream\r?\n(.*?)endstream", pdf, re.DOTALL):
        try:
            yield zlib.decompress(found[1])
        except zlib.error:
            continue


def test_feedback_shows_the_drawing_that_was_asked_about(
    made: SmallClass, offline_page: OfflinePage
) -> None:
    """Before, it said `c) N terminal` of a drawing that the learner no longer had."""
    made.hand_in(made.key, "K1")
    assert made.mark() == 0
    page = offline_page.page
    offline_page.show(page_of(made))
    asked = page.evaluate(
        "[...document.querySelectorAll('.sheet svg')].map(each => [each.getAttribute('aria-label'),"
        " each.querySelectorAll('path').length, each.textContent])"
    )
    page.set_viewport_size(PHONE["viewport"])
    offline_page.show(made.out / "marked/feedback/small-K1-feedback.html")
    shown = page.evaluate(
        "[...document.querySelectorAll('.answered svg')].map(each =>"
        " [each.getAttribute('aria-label'), each.querySelectorAll('path').length,"
        " each.textContent])"
    )
    assert shown == asked and len(shown) == 13
    assert (
        page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        and offline_page.troubles == []
    )
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(each => each.id)")
    assert len(ids) == len(set(ids))
