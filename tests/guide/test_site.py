"""The built guide, read back by an HTML parser apart from the code that wrote it.

What holds for every page comes from the HTML standard (ids unique in a document, every link
resolves, every control named: WCAG 2.2 success criteria 2.4.1, 4.1.2) and from the promise that no
page asks a network.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from decimal import Decimal
from html import unescape
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from bs4 import BeautifulSoup

from firstway.pages.gathering import gathered
from firstway.pages.shared.one_file import ONE_FILE_FOLDER
from firstway.pages.shared.project import Project
from firstway.rendering.html import caution_text
from firstway.rendering.working import step_identity

PAGE_WITHOUT_DRAWINGS = 120_000
PAGE_WITH_DRAWINGS = 300_000
# forty questions with their answers on one page: above the aim, for a mock is one sitting
MOCK_WITHOUT_DRAWINGS = 150_000
NO_CAUTION = {"404.html", "jobs/index.html"}
# nothing is done there: it is worked, listed, asked, or told of words; one line opens
NO_WORK_DESCRIBED = re.compile(
    r"(about|reading-the-working|symbols|colours|glossary|teach|say-why|the-job)\.html"
    r"|(chapters|mistakes|cards|refresh)/index\.html"
    r"|(quizzes|worked|tutors|rules|tables|what-the-file-says)/[^/]+\.html"
    r"|jobs/[^/]+/(passes|clauses|curves|board|supply-and-feed|(circuit|charging)-[^/]+)\.html"
)
LOCAL_SCHEMES = {"", "data"}


@pytest.fixture(scope="module")
def sources(built_site: Path) -> dict[str, str]:
    """Every page's HTML by its path; the same pages as one file each are asked in
    test_one_file.py.
    """
    pages = {
        path.relative_to(built_site).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(built_site.rglob("*.html"))
        if path.parent.name != ONE_FILE_FOLDER
    }
    assert {"index.html", "404.html", "about.html", "jobs/index.html"} <= set(pages)
    return pages


@pytest.fixture(scope="module")
def pages(sources: dict[str, str]) -> dict[str, BeautifulSoup]:
    return {path: BeautifulSoup(html, "html.parser") for path, html in sources.items()}


@pytest.fixture(scope="module")
def project(root: Path) -> Project:
    found, _, problems = gathered(root)
    assert problems == []
    return found.project


def addresses(page: BeautifulSoup) -> list[str]:
    """Everything a browser may follow or fetch."""
    found = [
        tag.get(name)
        for tag in page.find_all(True)
        for name in ("href", "src", "xlink:href", "action", "poster", "data", "srcset")
        if tag.get(name)
    ]
    styled = " ".join(
        [tag.get("style", "") for tag in page.find_all(style=True)]
        + [tag.text for tag in page.find_all("style")]
    )
    return found + re.findall(r"url\(\s*['\"]?([^'\")]+)", styled)


def test_addresses__lead_nowhere_outside(pages: dict[str, BeautifulSoup]) -> None:
    outside = [
        (path, address)
        for path, page in pages.items()
        for address in addresses(page)
        if urlsplit(address).scheme not in LOCAL_SCHEMES or address.startswith(("//", "/"))
    ]
    assert outside == []


def test_stylesheets_and_scripts__fetch_nothing_outside(built_site: Path) -> None:
    for path in sorted(built_site.rglob("*.css")):
        for address in re.findall(
            r"(?:url\(|@import)\s*['\"]?([^'\");]+)", path.read_text(encoding="utf-8")
        ):
            if address.startswith(("data:", "#")):
                continue
            assert not urlsplit(address).netloc, f"{path.name}: {address}"
            assert (path.parent / unquote(urlsplit(address).path)).is_file(), (
                f"{path.name}: {address}"
            )
    own = sorted((built_site / "assets").glob("*.js"))
    assert own, "the guide's own scripts are missing"
    for path in own:
        text = path.read_text(encoding="utf-8").replace(
            "http://www.w3.org/2000/svg", ""
        )  # a name, not an address
        assert not re.search(r"https?://|fetch\(|XMLHttpRequest|sendBeacon|WebSocket", text), (
            path.name
        )


def test_links__every_file_and_every_anchor_is_there(
    built_site: Path, pages: dict[str, BeautifulSoup]
) -> None:
    broken = []
    ids = {path: {tag["id"] for tag in page.find_all(id=True)} for path, page in pages.items()}
    for path, page in pages.items():
        for address in addresses(page):
            parts = urlsplit(address)
            if parts.scheme == "data":
                continue
            target = (
                (built_site / path).parent / unquote(parts.path)
                if parts.path
                else built_site / path
            )
            target = (target / "index.html" if target.is_dir() else target).resolve()
            if not target.is_file() or not target.is_relative_to(built_site.resolve()):
                broken.append(f"{path}: {address}: no such file")
            elif parts.fragment and target.suffix == ".html":
                if (
                    unquote(parts.fragment)
                    not in ids[target.relative_to(built_site.resolve()).as_posix()]
                ):
                    broken.append(f"{path}: {address}: no such place")
    assert broken == []


def test_ids__are_unique_and_every_reference_is_met(pages: dict[str, BeautifulSoup]) -> None:
    for path, page in pages.items():
        ids = [tag["id"] for tag in page.find_all(id=True)]
        assert sorted(name for name, count in Counter(ids).items() if count > 1) == [], path
        wanted = {
            name
            for tag in page.find_all(True)
            for attribute in ("aria-labelledby", "aria-describedby", "for")
            for name in str(tag.get(attribute) or "").split()
        }
        assert sorted(name for name in wanted - set(ids) if not name.startswith("__")) == [], path


def test_pages__hold_no_unanswered_directive(sources: dict[str, str]) -> None:
    for path, html in sources.items():
        text = re.sub(r"<(script|style|code)\b.*?</\1>", "", html, flags=re.DOTALL)
        assert not re.search(r"<!--part:|\{root\}|\{[a-z][a-z-]*:[ \t]", text), path


def test_figures__equal_the_working_and_only_the_text_is_rounded(
    pages: dict[str, BeautifulSoup], project: Project
) -> None:
    seen = 0
    for path, page in pages.items():
        for tag in page.find_all("data", class_="figure"):
            step = project.step(tag["data-installation"], tag["data-step"], tag["data-of"])
            assert step is not None and step.value is not None, f"{path}: {tag}"
            assert math.isclose(float(tag["value"]), step.value, rel_tol=5e-12), f"{path}: {tag}"
            assert tag["data-unit"] == step.unit
            printed = Decimal(tag.text.split()[0].replace("−", "-"))
            half_of_last_place = Decimal(1).scaleb(printed.as_tuple().exponent) / 2
            assert abs(printed - Decimal(tag["value"])) <= half_of_last_place, f"{path}: {tag}"
            seen += 1
    assert seen > 50


def test_jobs__show_every_step_and_every_finding_once(
    pages: dict[str, BeautifulSoup], project: Project
) -> None:
    assert project.jobs
    for job in project.jobs:
        folder = f"jobs/{job.installation.name}/"
        steps = [
            tag["id"]
            for path, page in pages.items()
            if path.startswith(folder)
            for tag in page.select(".step")
        ]
        assert sorted(steps) == sorted(step_identity(step) for step in job.case.workings)
        shown = [
            (tag["data-finding"], tag["data-of"], tag["data-place"], tag["data-level"])
            for page in ("index.html", "passes.html")
            for tag in pages[folder + page].select("[data-finding]")
        ]
        assert sorted(shown) == sorted(
            (item.id, item.of, item.place, item.level) for item in job.findings
        )


def test_findings__say_the_verdict_in_a_word(pages: dict[str, BeautifulSoup]) -> None:
    """WCAG 2.2, 1.4.1: colour is never the only carrier."""
    words = {
        "danger": "Danger",
        "fail": "Fails",
        "advice": "Advice",
        "unknown": "Not known",
        "pass": "Passes",
    }
    for page in pages.values():
        for tag in page.select("article[data-finding]"):
            assert tag.select_one(".verdict").text == words[tag["data-level"]]


def test_caution__stands_whole_on_every_page_that_describes_work(
    pages: dict[str, BeautifulSoup],
) -> None:
    """Elsewhere it is one line that opens, and the line says the first sentence."""
    first = caution_text().partition(". ")[0]
    for path, page in pages.items():
        if path in NO_CAUTION:
            continue
        boxes = page.select("aside.caution")
        whole = [each for each in boxes if caution_text() in " ".join(each.get_text(" ").split())]
        assert whole, path
        box = whole[0]
        if NO_WORK_DESCRIBED.fullmatch(path):
            assert first in box.select_one("details > summary").text, path
        else:
            assert box.find("details") is None and box.find_parent("details") is None, path


def test_caution__comes_before_the_first_picture_at_least_by_its_first_sentence(
    sources: dict[str, str],
) -> None:
    first = caution_text().partition(". ")[0]
    for path, html in sources.items():
        article = html.partition("<article")[2]
        picture = article.find('<figure class="drawing"')
        if picture >= 0 and path not in NO_CAUTION:
            assert first in article[:picture], path


def test_pages__stay_small(sources: dict[str, str]) -> None:
    for path, html in sources.items():
        assert len(html.encode()) <= PAGE_WITH_DRAWINGS, path
        without = re.sub(
            r'<figure class="drawing".*?</figure>|<svg[^>]*fw-drawing.*?</svg>',
            "",
            html,
            flags=re.DOTALL,
        )
        most = MOCK_WITHOUT_DRAWINGS if path == "quizzes/mock.html" else PAGE_WITHOUT_DRAWINGS
        assert len(without.encode()) <= most, f"{path}: {len(without.encode())}"


def test_pages__name_every_control_and_have_one_first_heading(
    pages: dict[str, BeautifulSoup],
) -> None:
    for path, page in pages.items():
        assert page.html["lang"] == "en"
        assert page.title.text.strip()
        assert len(page.find_all("h1")) == 1, path
        for tag in page.find_all(attrs={"role": "dialog"}):
            assert tag.get("aria-label") or tag.get("aria-labelledby"), path
        for tag in page.find_all(["input", "textarea", "select"]):
            labelled = (
                tag.get("aria-label") or tag.get("aria-labelledby") or tag.find_parent("label")
            )
            assert (
                labelled
                or (tag.get("id") and page.find("label", attrs={"for": tag["id"]}))
                or tag.get("type") == "hidden"
                or tag.get("aria-hidden") == "true"
            ), f"{path}: {tag}"
        for tag in page.find_all("svg", attrs={"role": "img"}):
            assert tag.get("aria-label") or tag.get("aria-labelledby"), path
        for tag in page.find_all("img"):
            assert tag.has_attr("alt"), path


def test_headings__go_down_one_level_at_a_time(pages: dict[str, BeautifulSoup]) -> None:
    """WCAG 2.2, 1.3.1."""
    for path, page in pages.items():
        article = page.find("article", class_="md-content__inner")
        levels = (
            [int(tag.name[1]) for tag in article.find_all(re.compile(r"^h[1-6]$"))]
            if article
            else [1]
        )
        assert levels[0] == 1, path
        assert all(after - before <= 1 for before, after in zip(levels, levels[1:])), (
            f"{path}: {levels}"
        )


def test_search__finds_titles_and_chapters_in_a_small_index(
    built_site: Path, project: Project
) -> None:
    script = (built_site / "search" / "search_index.js").read_text(encoding="utf-8")
    index = json.loads(script.partition("=")[2])
    titles = {entry["title"] for entry in index["docs"]}
    assert {job.installation.title for job in project.jobs} <= titles
    by_hand = [page for page in project.chapters if page.front.title and page.path != "index.md"]
    assert {page.front.title for page in by_hand} <= {unescape(title) for title in titles}
    assert len(script.encode()) <= 60_000 + 4_000 * len(project.jobs) + 5_000 * len(by_hand)


def test_site__holds_nothing_a_reader_cannot_use(built_site: Path) -> None:
    names = [
        path.relative_to(built_site).as_posix() for path in built_site.rglob("*") if path.is_file()
    ]
    assert [
        name for name in names if name.endswith((".map", ".py", ".yaml", "search_index.json"))
    ] == []
    assert not any("lunr" in name for name in names)
    assert "assets/maths.LICENSE.txt" in names
    assert (built_site / "assets" / "maths.woff2").stat().st_size <= 45_000


def test_pages__name_no_tool_that_made_them(sources: dict[str, str]) -> None:
    assert not any('name="generator"' in html for html in sources.values())


def test_chapters__fold_where_a_figure_comes_from_and_leave_what_to_confirm_in_the_open(
    pages: dict[str, BeautifulSoup],
) -> None:
    """Of a step or a finding a chapter shows the working; its source is one tap away, but never
    that it is from memory.
    """
    folds = 0
    for path, page in pages.items():
        if not path.startswith("chapters/"):
            continue
        for part in page.select("article.md-content__inner section.step, article.finding"):
            assert all(cite.find_parent("details") for cite in part.select(".cite")), path
            fold = part.select_one("details.from")
            if fold is None:
                continue
            folds += 1
            assert not fold.has_attr("open")
            said = fold.summary.text
            assert all(mark.text in said for mark in fold.select(".cite .careful")), (path, said)
    assert folds > 60
