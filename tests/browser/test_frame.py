"""The frame around a page: what it loads and when, and what a reader does with it by keyboard.

What a page looked like with the theme's style sheets whole is asked of the theme as it is
installed, so that a rule left out by mistake is seen.
"""

from __future__ import annotations

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
    assert sum(path.stat().st_size for path in files) <= LOADED_MOST


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
    page.wait_for_url(lambda url: "own-board" not in url)
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
        page.keyboard.press("/")
        page.keyboard.type("neutral")
        page.locator(".md-search-result__item").nth(3).wait_for()
        page.wait_for_timeout(500)
        return page.evaluate(found)

    whole, lean = look(undiminished, LOOK), look(built_site, LOOK)
    assert len(whole) > 300
    assert [pair for pair in zip(whole, lean, strict=True) if pair[0] != pair[1]][:3] == []
