"""Drawings in a real browser: the widths text really has, on a sample of drawings; and the stages
ghost what is to come.

The browser measures each text; the drawing reserved its width from a table of its own. No text may
leave the sheet or lie on another.
"""

from __future__ import annotations

from pathlib import Path

import pytest

PHONE = {"viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1280, "height": 900}}
pytestmark = pytest.mark.browser
SAMPLE = ("marram", "quince", "sallow", "alder")

TEXT_FAULTS = """drawing => {
    const outer = drawing.viewBox.baseVal, found = [];
    const seen = [...drawing.querySelectorAll("text")].filter(text => text.getClientRects().length);
    const boxes = seen.map(text => {
        const box = text.getBBox(), turn = text.getCTM(), whole = drawing.getCTM().inverse().multiply(turn);
        const corners = [[box.x, box.y], [box.x + box.width, box.y + box.height]].map(([x, y]) => new DOMPoint(x, y).matrixTransform(whole));
        const xs = corners.map(p => p.x), ys = corners.map(p => p.y);
        return {words: text.textContent, left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys) + 2.5, bottom: Math.max(...ys) - 2.5};
    });
    for (const box of boxes) {
        if (box.left < -0.5 || box.right > outer.width + 0.5 || box.top < 0 || box.bottom > outer.height) found.push(`past the edge: ${box.words}`);
    }
    boxes.forEach((one, place) => boxes.slice(place + 1).forEach(two => {
        if (one.left + 0.5 < two.right && two.left + 0.5 < one.right && one.top < two.bottom && two.top < one.bottom) found.push(`${one.words} on ${two.words}`);
    }));
    return [boxes.length, found];
}"""


@pytest.mark.parametrize("offline_page", [DESK], indirect=True)
def test_drawings__no_text_leaves_its_sheet_or_lies_on_another_with_real_widths(
    offline_page, built_site: Path
) -> None:
    drawings = texts = 0
    for name in SAMPLE:
        for file in ("index.html", "curves.html"):
            path = built_site / "jobs" / name / file
            if not path.is_file():
                continue
            page = offline_page.show(path)
            for drawing in page.locator("svg.fw-drawing").all():
                count, faults = drawing.evaluate(TEXT_FAULTS)
                assert faults == [], f"{name}/{file}, {drawing.get_attribute('id')}"
                drawings, texts = drawings + 1, texts + count
    print(f"\n{drawings} drawings, {texts} texts measured, 0 faults")
    assert drawings >= 12 and texts > 1000
    assert offline_page.troubles == []


@pytest.mark.parametrize("offline_page", [{**DESK, "java_script_enabled": True}], indirect=True)
def test_stages__what_is_to_come_is_faint_and_what_is_fitted_is_not(
    offline_page, built_site: Path
) -> None:
    """Two pictures of one drawing differ in what they paint, and the complete drawing
    stays whole.
    """
    page = offline_page.show(built_site / "jobs" / "marram" / "fitting.html")
    page.get_by_role("button", name="All stages").click()
    whole = page.locator("#marram-lifelike-drawing")
    opacities = whole.evaluate(
        "drawing => [...drawing.querySelectorAll('.conductor')].map(each =>"
        " getComputedStyle(each).opacity)"
    )
    assert set(opacities) == {"1"}
    first, last = (
        page.locator(f"#marram-lifelike-drawing-stage-{stage}")
        for stage in ("enclosure", "supply-end")
    )
    assert first.screenshot() != last.screenshot()
    stages = [
        int(
            each.locator("use").evaluate(
                "use => getComputedStyle(use).getPropertyValue('--fw-stage')"
            )
        )
        for each in (first, last)
    ]
    assert stages[0] < stages[1]


def test_stages__in_a_question_ghost_what_comes_later_too(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "quizzes" / "surge.html")
    bodies, words = (
        page.locator(f".quiz-drawing .s15{chosen}").evaluate_all(
            "groups => groups.map(each => Number(getComputedStyle(each).opacity))"
        )
        for chosen in (":not(.label)", " text")
    )
    assert bodies and all(0 < each < 0.3 for each in bodies)
    assert words and set(words) == {0}


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True)
def test_drawings__fit_a_phone_and_say_nothing_of_scrolling(offline_page, built_site: Path) -> None:
    offline_page.show(built_site / "jobs/marram/index.html")
    found = offline_page.page.evaluate(
        """() => [...document.querySelectorAll("figure.drawing")].map(figure => {
        const sheet = figure.querySelector(".sheet"), words = getComputedStyle(figure.querySelector("figcaption"), "::after");
        const wide = sheet.scrollWidth > sheet.clientWidth && getComputedStyle(sheet).overflowX !== "clip";  // else cropped
        return [figure.id, wide, parseFloat(words.fontSize) > 0];
    })"""
    )
    assert found and [name for name, scrolls, says in found if scrolls or says] == []


@pytest.mark.parametrize("path", ["jobs/marram/fitting", "chapters/fitting-it-step-by-step"])
@pytest.mark.parametrize("offline_page", [PHONE], indirect=True)
def test_stages_of_fitting__stand_one_at_a_time_on_a_screen_and_all_in_print(
    offline_page, built_site: Path, path: str
) -> None:
    page = offline_page.show(built_site / f"{path}.html")
    bar, stages = page.locator(".stage-bar"), page.locator(".stage")
    count = stages.count()

    def shown() -> list[int]:
        return [place for place in range(count) if stages.nth(place).is_visible()]

    assert count >= 12 and shown() == [0]
    bar.get_by_role("button", name="Next stage").click()
    assert shown() == [1] and f"Stage 2 of {count}" in bar.inner_text()
    page.keyboard.press("ArrowRight")
    assert shown() == [2]
    bar.get_by_role("button", name="Stage before").click()
    assert shown() == [1]
    page.evaluate("location.hash = 'stage-torque'")
    page.wait_for_timeout(100)
    assert len(shown()) == 1
    assert page.locator("h3#stage-torque").is_visible()
    page.emulate_media(media="print")
    assert shown() == list(range(count)) and not bar.is_visible()
    page.emulate_media(media="screen")
    bar.get_by_role("button", name="All stages").click()
    assert shown() == list(range(count))
    assert offline_page.troubles == []
