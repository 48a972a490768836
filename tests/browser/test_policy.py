"""What a page may run, as a real browser keeps it: nothing but what it was written to hold.

The event and the words of the policy are those of Content Security Policy, level 3 (W3C).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

pytestmark = pytest.mark.browser

KINDS = (
    "index.html",
    "chapters/own-board.html",
    "jobs/marram/index.html",
    "jobs/marram/fitting.html",
    "quizzes/surge.html",
    "one-file/own-board.html",
    "one-file/quiz-surge.html",
    "own-job.html",
    "tutors/sample/report.html",
    "tutors/sample/marking-scheme.html",
    "tutors/sample/paper-*.html",
    "tutors/sample/feedback-*.html",
)
LISTEN = """
window.refused = [];
addEventListener("securitypolicyviolation", event =>
  refused.push(event.violatedDirective + " " + event.blockedURI + " " + event.sample));
"""
INJECTED = """() => {
  const script = document.createElement("script");
  script.textContent = "window.ran = 'a script'";
  document.body.append(script);
  document.body.insertAdjacentHTML("beforeend",
    '<p id="injected" style="position:fixed" onclick="window.ran = \\'a handler\\'">x</p>' +
    '<iframe srcdoc="<script>parent.ran = \\'a frame\\'</script>"></iframe>');
  document.getElementById("injected").click();
}"""


def page_of(site: Path, kind: str) -> Path:
    return sorted(site.glob(kind))[0]


@pytest.mark.parametrize("kind", KINDS)
def test_policy__refuses_nothing_of_ours_and_whatever_was_put_in(
    offline_page, built_site: Path, kind: str
) -> None:
    offline_page.page.add_init_script(LISTEN)
    page = offline_page.show(page_of(built_site, kind))
    page.wait_for_timeout(300)
    assert page.evaluate("refused") == [] and offline_page.troubles == []
    page.evaluate(INJECTED)
    page.wait_for_timeout(200)
    assert page.evaluate("window.ran") is None
    assert page.evaluate("getComputedStyle(injected).position") == "static"
    assert len(page.evaluate("refused")) >= 3, "script, style and handler"


def test_policy__leaves_the_search(offline_page, built_site: Path) -> None:
    offline_page.page.add_init_script(LISTEN)
    page = offline_page.show(built_site / "jobs/marram/index.html")
    page.locator("input.md-search__input").click()
    page.locator("input.md-search__input").press_sequentially("diversity")
    page.wait_for_selector(".md-search-result__item")
    assert page.evaluate("refused") == [] and offline_page.troubles == []


def test_policy__a_script_where_authors_write_does_not_run(
    offline_page, built_site: Path, tmp_path: Path
) -> None:
    """The same page with a script in its article, as if our own look at it had missed one."""
    written = (built_site / "one-file/own-board.html").read_text(encoding="utf-8")
    for tried in ("<script>window.ran = 1</script>", '<img src="data:," onerror="window.ran = 1">'):
        path = tmp_path / "page.html"
        path.write_text(written.replace("</main>", f"{tried}</main>", 1), encoding="utf-8")
        page = offline_page.show(path)
        page.wait_for_timeout(200)
        assert page.evaluate("window.ran") is None
    assert offline_page.troubles, "the browser tells what it refused"


NAMES_SOMETHING = re.compile(r"<(?:script|style|link|meta\s+http-equiv)\b[^>]*>", re.IGNORECASE)
MAY_RUN = re.compile(r"<[a-z][^<>]*\s(?:style|on[a-z]+)\s*=[^<>]*>", re.IGNORECASE)


def test_pages__every_one_has_a_policy_before_anything_it_names_and_no_style_of_an_element(
    built_site: Path,
) -> None:
    without, styled = [], []
    for path in sorted(built_site.rglob("*.html")):
        text = path.read_text(encoding="utf-8")
        begin = NAMES_SOMETHING.search(text)
        first = BeautifulSoup(begin[0], "html.parser").find() if begin else None
        policy = first.get("content", "") if first and first.get("http-equiv") else ""
        named = dict(each.split(" ", 1) for each in policy.split("; ") if " " in each)
        told = " ".join(named.get(each, "") for each in ("script-src", "style-src"))
        if path.name == "own-job.html":  # the one page that runs the program, in WebAssembly
            told = told.replace("'wasm-unsafe-eval'", "")
        if named.get("default-src") != "'none'" or "unsafe" in told or not told.strip():
            without.append(path.name)
        for tag in MAY_RUN.finditer(
            text
        ):  # few: looked at closely, for a value may hold such words
            found = BeautifulSoup(tag[0], "html.parser").find()
            if found and any(name == "style" or name[:2] == "on" for name in found.attrs):
                styled.append(path.name)
    assert without == [] and styled == []
