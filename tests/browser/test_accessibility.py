"""Every page under axe, a checker that is not ours: nothing serious, narrow and wide, light and
dark, before and after a quiz is marked.
"""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from accessibility import Tally, axe_script, checked
from telling import Tell

PHONE = {"viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1280, "height": 900}}
KINDS = (
    "index.html",
    "teach.html",
    "tutors/*.html",
    "tutors/sample/*.html",
    "chapters/*.html",
    "cards/*.html",
    "refresh/*.html",
    "jobs/*/index.html",
    "jobs/*/circuit-*.html",
    "jobs/*/readings.html",
    "jobs/*/curves.html",
    "jobs/*/charging-*.html",
    "jobs/*/fitting.html",
    "jobs/*/paths.html",
    "jobs/*/board.html",
    "mistakes/*.html",
    "quizzes/*.html",
    "rules/*.html",
    "tables/*.html",
    "one-file/[!q]*.html",
    "one-file/quiz-*.html",
)
pytestmark = pytest.mark.browser


def one_of_each_kind(site: Path) -> list[Path]:
    """Of each kind the page with the shortest file that is no list: the run must stay short."""
    found = []
    for kind in KINDS:
        pages = [
            path
            for path in site.glob(kind)
            if path.name != "index.html" or kind.endswith("index.html")
        ]
        assert pages, f"the guide holds no {kind}"
        found.append(min(pages, key=lambda path: path.stat().st_size))
    return found


def every_page(site: Path) -> list[Path]:
    return [path for path in sorted(site.rglob("*.html")) if path.name != "404.html"]


def hand_in(page: object) -> None:
    """A quiz with its feedback shown: the first choice everywhere, handed in; other pages stay as
    they are.
    """
    page.evaluate(
        """() => { document.querySelectorAll(".quiz-question").forEach(question => {
        const choice = question.querySelector("input[type=radio], input[type=checkbox]"); if (choice) choice.click(); });
        for (let time = 0; time < 2; time += 1) { const button = document.querySelector(".quiz-hand-in"); if (button) button.click(); } }"""
    )


@pytest.mark.parametrize(
    "options, scheme", [(PHONE, "light"), (DESK, "dark")], ids=["390-light", "1280-dark"]
)
def test_axe__one_page_of_each_kind(
    browser, built_site: Path, options: dict[str, object], scheme: str
) -> None:
    tally = Tally()
    checked(browser, one_of_each_kind(built_site), axe_script(), options, (scheme,), tally)
    assert tally.runs == len(KINDS)
    assert tally.grave == []


@pytest.mark.long
@pytest.mark.parametrize("options", [PHONE, DESK], ids=["390", "1280"])
def test_axe__every_page_light_and_dark(
    browser, built_site: Path, options: dict[str, object], tell: Tell
) -> None:
    tally, began, pages = Tally(), time.monotonic(), every_page(built_site)
    checked(browser, pages, axe_script(newest=True), options, ("light", "dark"), tally)
    tell(f"{tally} ({time.monotonic() - began:.0f} s)")
    assert tally.runs == 2 * len(pages) and tally.grave == []


@pytest.mark.long
@pytest.mark.parametrize("options", [PHONE, DESK], ids=["390", "1280"])
def test_axe__every_quiz_with_its_feedback(
    browser, built_site: Path, options: dict[str, object]
) -> None:
    tally, pages = Tally(), sorted((built_site / "quizzes").glob("*.html"))
    checked(browser, pages, axe_script(newest=True), options, ("light", "dark"), tally, hand_in)
    assert tally.runs == 2 * len(pages) and tally.grave == []


BROKEN = """<!doctype html><html><head><meta charset="utf-8"><style>body { background: #fff } p { color: #ccc }</style></head>
<body><main><p>Pale words.</p><img src="data:,"><input></main></body></html>"""


def test_axe__finds_what_is_wrong_on_an_invented_page(browser, tmp_path: Path) -> None:
    path = tmp_path / "broken.html"
    path.write_text(BROKEN, encoding="utf-8")
    tally = Tally()
    checked(browser, [path], axe_script(), PHONE, ("light",), tally)
    said = " ".join(tally.grave)
    assert all(
        rule in said for rule in ("color-contrast", "html-has-lang", "image-alt", "label")
    ), said
