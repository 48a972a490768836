"""The frame around a page: what it loads and when, and what a reader does with it by keyboard.

What a page looked like with the theme's style sheets whole is asked of the theme as it is
installed, so that a rule left out by mistake is seen.
"""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import urlsplit

import pytest

PHONE = {"viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1280, "height": 900}}
KINDS = (
    "index.html",
    "about.html",
    "chapters/own-board.html",
    "quizzes/surge.html",
    "jobs/quince/index.html",
    "jobs/marram/circuit-slipway.html",
)
QUICK = "quizzes/surge.html"
LOADED_MOST = 350_000
SEARCH = ("search_index", "/javascripts/", "iframe-worker")
SCHEME = "document.body.dataset.mdColorScheme"
pytestmark = pytest.mark.browser


def loaded(offline_page) -> list[Path]:
    """Every file that is asked for from now on."""
    found: list[Path] = []
    offline_page.page.on("request", lambda asked: found.append(Path(urlsplit(asked.url).path)))
    return found


def until(holds: Callable[[], bool]) -> None:
    """Wait until it holds. A page's own policy refuses what a browser asks again and again."""
    for _ in range(200):
        if holds():
            return
        time.sleep(0.05)
    raise AssertionError("it did not come to hold in ten seconds")


def of_search(paths: list[Path]) -> list[str]:
    return [path.name for path in paths if any(each in path.as_posix() for each in SEARCH)]


@pytest.mark.parametrize("kind", KINDS)
def test_page__loads_little_and_nothing_of_the_search(
    offline_page, built_site: Path, kind: str
) -> None:
    files = loaded(offline_page)
    offline_page.show(built_site / kind).wait_for_load_state("load")
    assert of_search(files) == []
    page = (built_site / kind).read_text("utf-8")
    drawn = re.findall(r"<svg[^>]*fw-drawing.*?</svg>", page, re.DOTALL)  # counted by the page
    size = sum(path.stat().st_size for path in files) - sum(len(each.encode()) for each in drawn)
    assert size <= LOADED_MOST


@pytest.mark.parametrize("offline_page", [PHONE, DESK], indirect=True, ids=["390", "1280"])
def test_search__comes_when_it_is_opened_and_marks_what_it_found(
    offline_page, built_site: Path
) -> None:
    files = loaded(offline_page)
    page = offline_page.show(built_site / "about.html")
    page.keyboard.press("/")
    page.keyboard.type("neutral")
    page.locator(".md-search-result__item").first.wait_for()
    assert len(of_search(files)) == 4, "the shim, the script, its worker and the index"
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "about.html" not in url)
    assert "neutral" in page.locator("article mark").first.inner_text().lower()
    assert page.locator("svg mark, math mark").count() == 0
    page.keyboard.press("s")
    page.keyboard.press("Escape")
    assert not page.locator("#__search").is_checked() and offline_page.troubles == []


NO_STORAGE = """Object.defineProperty(window, "localStorage",
  {configurable: true, get() { throw new DOMException("denied", "SecurityError"); }});"""


@pytest.mark.parametrize("storage", ["", NO_STORAGE], ids=["kept", "refused"])
@pytest.mark.parametrize(
    "offline_page", [{**PHONE, "has_touch": True}, DESK], indirect=True, ids=["390", "1280"]
)
def test_search__opens_at_a_place_on_a_page(offline_page, built_site: Path, storage: str) -> None:
    page, place = offline_page.page, "#a-worked-example"
    page.add_init_script(storage)
    page.goto((built_site / "chapters/the-device.html").as_uri() + place)
    if page.viewport_size["width"] < 960:
        page.locator("header label[for=__search].md-header__button").tap()
    else:
        page.keyboard.press("s")
    page.keyboard.type("neutral")
    page.locator(".md-search-result__item").first.wait_for(state="visible")
    page.wait_for_timeout(300)  # the theme shuts its search an eighth of a second after it comes
    assert page.locator("#__search").is_checked()
    assert page.evaluate("location.hash") == place and offline_page.troubles == []


EVERY_FRAME = """window.shown = [];
(function look() {
    if (document.body) shown.push(document.body.dataset.mdColorScheme + " " +
        document.querySelectorAll("[name=__palette]:not([hidden]):checked").length);
    requestAnimationFrame(look);
})();"""


@pytest.mark.parametrize("page_name", ["about.html", "jobs/marram/index.html"])
def test_colours__are_right_in_every_frame_that_is_painted(
    offline_page, built_site: Path, page_name: str
) -> None:
    page = offline_page.page
    page.add_init_script(EVERY_FRAME)
    tried = ("dark", 0, "slate"), ("light", 2, "slate"), ("dark", 1, "default")
    for device, kept, right in tried:
        page.emulate_media(color_scheme=device)
        page.goto((built_site / page_name).as_uri())
        page.evaluate(f"__md_set('__palette', {{index: {kept}}})")
        page.reload()
        page.wait_for_timeout(100)
        told = page.evaluate("shown")
        assert {each.split()[0] for each in told} == {right}, (device, kept)
        assert told[-1] == f"{right} 1" and page.locator(f"#__palette_{kept}").is_checked()


def test_colours__show_where_the_keyboard_is(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "about.html")
    page.locator(".md-logo").first.focus()
    page.keyboard.press("Tab")
    ring = "getComputedStyle(document.activeElement.nextElementSibling).outlineStyle"
    assert page.evaluate("document.activeElement.name") == "__palette"
    assert page.evaluate(ring) == "solid"


def test_colours__turn_by_keyboard_one_step_at_a_time_and_are_kept(
    offline_page, built_site: Path
) -> None:
    page = offline_page.show(built_site / "about.html")
    page.emulate_media(color_scheme="dark")
    until(lambda: page.evaluate(SCHEME) == "slate")  # as the device
    page.locator("#__palette_0").focus()
    page.keyboard.press("Enter")
    assert page.evaluate(SCHEME) == "default"
    page.keyboard.press("ArrowRight")
    assert page.evaluate(SCHEME) == "slate"
    page.emulate_media(color_scheme="light")
    assert page.evaluate(SCHEME) == "slate", "chosen, whatever the device says"
    page = offline_page.show(built_site / "jobs/marram/index.html")
    assert page.evaluate(SCHEME) == "slate"
    assert page.locator("label[for=__palette_0].md-header__button").is_visible()
    page.keyboard.press("/")
    until(lambda: page.evaluate("Boolean(window.keyboard$)"))
    page.keyboard.press("Escape")
    page.locator("#__palette_2").focus()
    page.keyboard.press("Enter")
    assert page.evaluate(SCHEME) == "default"
    page.emulate_media(color_scheme="dark")
    page.keyboard.press("Enter")
    assert page.evaluate(SCHEME) == "default", "light, one step on from the device's"
    assert offline_page.troubles == []


@pytest.mark.parametrize("offline_page", [DESK], indirect=True, ids=["1280"])
def test_contents__follow_the_reader(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "chapters/own-board.html")
    links = page.locator(".md-sidebar--secondary li > a")
    links.nth(2).click()
    active = page.locator(".md-sidebar--secondary .md-nav__link--active")
    until(lambda: active.all_inner_texts() == [links.nth(2).inner_text()])
    assert page.locator(".md-header__title--active").count() == 1
    assert page.locator(".md-top[hidden]").count()
    page.mouse.wheel(0, -60)
    page.locator(".md-top:not([hidden])").click()
    until(lambda: page.evaluate("scrollY") == 0)
    fold = page.locator(".md-sidebar--primary label[tabindex]").first
    fold.focus()
    page.keyboard.press("Enter")
    assert page.locator("nav[aria-expanded=false]").count() == 1
    page.keyboard.press("n")
    page.wait_for_url(lambda url: "chapters/own-board" not in url)
    assert offline_page.troubles == []


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True, ids=["390"])
def test_menu__of_a_phone_opens_and_closes(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "chapters/own-board.html")
    page.locator("label[for=__drawer].md-header__button").click()
    page.locator(".md-sidebar--primary a", has_text="Inside the board").first.wait_for(
        state="visible"
    )
    page.locator(".md-overlay").click(position={"x": 380, "y": 400})
    until(lambda: not page.locator("#__drawer").is_checked())
    page = offline_page.show(built_site / "jobs/index.html")  # an index with nothing below it
    page.locator("label[for=__drawer].md-header__button").click()
    page.locator(".md-sidebar--primary a", has_text="Learn it").click()
    page.wait_for_url(lambda url: "jobs/" not in url)


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True, ids=["390"])
def test_menu__of_a_phone_is_worked_by_keyboard(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "chapters/own-board.html")
    drawer, menu = page.locator("#__drawer"), page.locator("header label[for=__drawer]")
    menu.focus()
    page.keyboard.press("Enter")
    assert drawer.is_checked() and menu.get_attribute("aria-expanded") == "true"
    within = "Boolean(document.activeElement.closest('.md-sidebar--primary'))"
    assert page.evaluate(within)
    page.keyboard.press("Escape")
    assert not drawer.is_checked()
    assert menu.evaluate("element => element === document.activeElement")
    for _ in range(8):
        page.keyboard.press("Tab")
        assert not page.evaluate(within), "shut, it takes no focus"
        assert page.evaluate("document.activeElement.checkVisibility({visibilityProperty: true})")
    link = page.locator(".md-sidebar--primary .md-nav--secondary a").nth(1)
    for _ in range(2):  # also to the place where the reader is already
        menu.click()
        page.locator(".md-sidebar--primary label[for=__toc].md-nav__link").click()
        link.click()
        until(lambda: not drawer.is_checked())
        page.evaluate("document.querySelector('#__toc').checked = false")
    until(lambda: "md-nav__link--active" in str(link.get_attribute("class")))
    assert offline_page.troubles == []


def test_folds__leave_the_answers_shut_in_print(offline_page, built_site: Path) -> None:
    boards = sorted((built_site / "mistakes").glob("*.html"))
    board = next(path for path in boards if path.name != "index.html")
    for path, key in ((built_site / QUICK, ".quiz-answers"), (board, "details.answer")):
        page = offline_page.show(path)
        assert page.locator(key).count()
        page.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert page.locator(f"{key}[open], {key} [open]").count() == 0


def test_keys__on_a_choice_stay_on_the_page(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / QUICK)
    for wait in (False, True):  # by our keys, then by the theme's
        if wait:
            page.locator("input.md-search__input").focus()
            until(lambda: page.evaluate("Boolean(window.keyboard$)"))
            page.keyboard.press("Escape")
        page.locator("article input[type=radio]").first.focus()
        page.keyboard.press("n")
        page.keyboard.press("s")
        assert page.url.endswith(QUICK) and not page.locator("#__search").is_checked()


def test_search__lies_over_an_enlarged_drawing(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "jobs/marram/index.html")
    page.evaluate("document.querySelector('.large').showPopover()")
    page.keyboard.press("s")
    assert page.locator(".large:popover-open").count() == 0
    assert page.locator("#__search").is_checked()


def test_search__unfolds_what_it_found(offline_page, built_site: Path) -> None:
    path = built_site / "chapters/own-board.html"
    page = offline_page.show(path)
    word = page.evaluate(
        """() => {
          const words = text => text.toLowerCase().match(/[a-z]{5,}/g) || [];
          const every = words(document.querySelector("article").textContent);
          return [...document.querySelectorAll("article details > :not(summary)")].flatMap(part => {
            const copy = part.cloneNode(true);
            copy.querySelectorAll("svg, math, summary").forEach(each => each.remove());
            return words(copy.textContent);
          }).find(word => every.filter(other => other.startsWith(word)).length === 1); }"""
    )
    page.goto(f"{path.as_uri()}?h={word}")
    assert page.locator("article details[open] mark").count()


def test_folds__open_for_a_place_in_them_and_for_print(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "chapters/own-board.html")
    folds = page.locator(".md-content details:not([open])")
    count = folds.count()
    assert count
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert folds.count() == 0
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert folds.count() == count
    page.evaluate(
        "document.querySelector('.md-content details:not([open]) > :not(summary)').id = 'inside'"
    )
    page.evaluate("location.hash = 'inside'")
    page.locator("details[open] > #inside").wait_for(state="attached")


LOOK = """() => [...document.querySelectorAll("*")].flatMap(element => [null, "::before", "::after"]
  .map(part => getComputedStyle(element, part))
  .filter((style, place) => !place || style.content !== "none")
  .map(style => element.tagName + "." + element.getAttribute("class") + " " +
    [...style].filter(name => name[0] !== "-").map(name => name + ":" + style[name]).join(";")))"""


def unlike(whole: str, lean: str) -> str:
    """What differs of one element."""
    pairs = zip(whole.split(";"), lean.split(";"))
    return "; ".join(f"{one} not {other}" for one, other in pairs if one != other)


# What has not been in view yet is as high as was guessed, and when it has been is not sure.
WHOLE = """() => document.querySelectorAll(".quiz-question").forEach(
  question => { question.style.contentVisibility = "visible"; })"""


@pytest.fixture(scope="module")
def undiminished(built_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Pages of the guide with the theme's style sheets as the theme brings them."""
    whole = tmp_path_factory.mktemp("undiminished")
    for name in ("assets", "search"):
        shutil.copytree(built_site / name, whole / name)
    theme = Path(str(find_spec("material").origin)).parent / "templates/assets/stylesheets"
    for path in (whole / "assets/stylesheets").glob("*.css"):
        assert path.stat().st_size < (theme / path.name).stat().st_size / 2
        shutil.copyfile(theme / path.name, path)
    for kind in KINDS:
        (whole / kind).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(built_site / kind, whole / kind)
    return whole


@pytest.mark.parametrize(
    "kind",
    [QUICK, *(pytest.param(each, marks=pytest.mark.long) for each in KINDS if each != QUICK)],
)
@pytest.mark.parametrize(
    "offline_page",
    [PHONE, pytest.param({**DESK, "color_scheme": "dark"}, marks=pytest.mark.long)],
    indirect=True,
    ids=["390-light", "1280-dark"],
)
def test_styles__nothing_looks_otherwise_for_the_rules_left_out(
    offline_page, built_site: Path, undiminished: Path, kind: str
) -> None:
    offline_page.page.emulate_media(reduced_motion="reduce")  # or a look may be on its way

    def look(folder: Path, found: str) -> list[str]:
        page = offline_page.show(folder / kind)
        page.evaluate(WHOLE)
        page.keyboard.press("/")
        page.keyboard.type("neutral")
        page.locator(".md-search-result__item").nth(3).wait_for()
        page.keyboard.press(
            "Shift"
        )  # or what was typed came before the script that marks the focus
        before: list[str] = []
        for _ in range(40):  # until nothing changes any more: a machine that is busy takes longer
            page.wait_for_timeout(500)
            now = page.evaluate(found)
            if now == before:
                break
            before = now
        return now

    whole, lean = look(undiminished, LOOK), look(built_site, LOOK)
    assert len(whole) > 300
    told = [unlike(*pair) for pair in zip(whole, lean, strict=True) if pair[0] != pair[1]]
    assert told[:3] == []


def test_print__a_sheet_to_work_on_has_no_answers_and_no_controls(
    browser, built_site: Path
) -> None:
    for path, hidden in (
        ("the-job.html", ".job-show"),
        ("say-why.html", ".say-why > details.more"),
        ("mistakes/board-02.html", "details.answer, .find-mistake button, .find-mistake select"),
    ):
        page = browser.new_page()
        page.goto((built_site / path).as_uri())
        page.emulate_media(media="print")
        assert page.locator(hidden).count() > 0, path
        shown = page.locator(hidden).evaluate_all(
            "all => all.filter(e => e.checkVisibility()).length"
        )
        assert shown == 0, path
        page.close()


def test_wall__a_tall_drawing_shows_every_letter_that_is_asked(browser, built_site: Path) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto((built_site / "tutors/wall.html").as_uri() + "#quiz=inside-the-board")
    page.locator(".wall-where").wait_for()
    for _ in range(40):
        if page.locator(".wall-tall .spot").count():
            break
        page.keyboard.press("PageDown")
    outside = page.evaluate(
        """() => { const f = document.querySelector(".wall-tall .sheet").getBoundingClientRect();
        return [f.width, [...document.querySelectorAll(".wall-tall .spot")].filter(each => {
          const s = each.getBoundingClientRect();
          return s.left < f.left || s.right > f.right || s.top < f.top || s.bottom > f.bottom;
        }).length]; }"""
    )
    page.close()
    assert outside[0] > 640 and outside[1] == 0, outside
