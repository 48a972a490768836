"""A drawing opened large on a phone: fitted, moved, made larger; a part that is tapped or chosen is
named and marked in all drawings of the page. Without a script it is whole.
"""

import re
from pathlib import Path

import pytest

JOB = "jobs/marram/index.html"
PHONE = {"width": 390, "height": 844}


def view_box(page) -> list[float]:
    words = page.locator(".large:popover-open > svg").get_attribute("viewBox")
    return [float(each) for each in words.split()]


@pytest.fixture
def opened(offline_page, built_site: Path):
    page = offline_page.show(built_site / JOB)
    page.set_viewport_size(PHONE)
    page.locator("#figure-marram-wiring-drawing .enlarge").focus()
    page.keyboard.press("Enter")
    page.locator(".large:popover-open select").wait_for()
    return page


def test_opened__is_fitted_and_obeys_keys(opened) -> None:
    _, _, wide, high = whole = view_box(opened)
    box = opened.locator(".large:popover-open > svg").bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= PHONE["width"]
    assert box["y"] + box["height"] <= PHONE["height"]
    opened.keyboard.press("+")
    x, y, nearer, _ = view_box(opened)
    assert nearer < wide and x > 0 and y > 0
    opened.keyboard.press("ArrowRight")
    assert view_box(opened)[0] > x
    opened.keyboard.press("-")
    opened.keyboard.press("0")
    assert view_box(opened) == whole == [0, 0, wide, high]


def test_opened__closes_by_escape_and_focus_returns(opened) -> None:
    opened.keyboard.press("Escape")
    assert opened.locator(".large:popover-open").count() == 0
    assert opened.evaluate("document.activeElement.matches('.enlarge')")


def test_opened__pans_under_one_finger_and_pinches_under_two(opened) -> None:
    opened.keyboard.press("+")
    before = view_box(opened)
    opened.evaluate(
        """() => {
            const svg = document.querySelector(".large:popover-open > svg");
            svg.setPointerCapture = () => {};
            const send = (name, id, x, y) => svg.dispatchEvent(
                new PointerEvent(name, {pointerId: id, clientX: x, clientY: y, bubbles: true}));
            send("pointerdown", 1, 200, 400); send("pointermove", 1, 160, 360);
            window.panned = svg.getAttribute("viewBox");
            send("pointerdown", 2, 260, 460);
            send("pointermove", 2, 270, 470); send("pointermove", 2, 340, 540);
        }"""
    )
    panned = [float(each) for each in opened.evaluate("window.panned").split()]
    assert panned[0] > before[0] and panned[1] > before[1] and panned[2] == before[2]
    assert view_box(opened)[2] < before[2]


def test_a_part__chosen_by_keyboard_is_named_and_marked_in_all_drawings(opened) -> None:
    chosen = opened.locator(".large:popover-open select")
    chosen.focus()
    opened.keyboard.type("F1")
    title = chosen.evaluate("each => each.selectedOptions[0].textContent")
    said = opened.locator(".large:popover-open .named").text_content()
    assert title.startswith("F1, surge protective device") and said.startswith(title)
    assert re.search(r"spd lead length 0\.\d+\sm", said)
    marked = opened.evaluate("[...document.querySelectorAll('.fw-chosen')].map(e => e.id)")
    assert {"marram-wiring-F1", "marram-board-F1"} <= set(marked)


def test_a_protective_conductor__is_not_told_by_the_figures_of_its_line(opened) -> None:
    chosen = opened.locator(".large:popover-open select")
    said = opened.locator(".large:popover-open .named")
    chosen.select_option("marram-wiring-wire.feed.L1")
    assert "conductor size 25" in said.text_content()
    chosen.select_option("marram-wiring-wire.feed.PE")
    assert said.text_content().startswith("PE 16") and "size" not in said.text_content()


def test_a_part__tapped_in_the_page_is_named_and_marked(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / JOB)
    page.set_viewport_size(PHONE)
    figure = page.locator("#figure-marram-board-drawing")
    figure.scroll_into_view_if_needed()
    box = page.evaluate(
        """() => { const g = document.getElementById("marram-board-Q1");
           g.scrollIntoView({block: "center"}); const b = g.getBoundingClientRect();
           return [b.x + b.width / 2, b.y + b.height / 2]; }"""
    )
    page.mouse.click(*box)
    assert figure.locator(".sheet ~ .named").text_content().startswith("Q1, main switch")
    assert page.evaluate("document.getElementById('marram-wiring-Q1').matches('.fw-chosen')")


def test_stages__one_follows_the_other_opened(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "jobs/marram/fitting.html")
    page.set_viewport_size(PHONE)
    page.locator("figure:has(.fw-again) .enlarge").first.click()
    page.locator(".large:popover-open button:has-text('Next')").click()
    large = page.locator(".large:popover-open > svg")
    assert large.get_attribute("aria-label").startswith("Stage 2")
    page.keyboard.press("Escape")
    assert "Stage 2" in page.evaluate("document.activeElement.getAttribute('aria-label')")


def test_the_script__is_small(built_site: Path) -> None:
    assert (built_site / "assets" / "view.js").stat().st_size <= 6 * 1024
