"""One page of each kind under axe, a checker that is not ours: nothing serious, narrow and wide,
light and dark. Every page, and every quiz with its feedback, is a campaign: pages_under_axe.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from accessibility import DESK, PHONE, Tally, axe_script, checked

KINDS = (
    "index.html",
    "teach.html",
    "tutors/[!w]*.html",
    "tutors/wall.html",
    "worked/*.html",
    "the-job.html",
    "say-why.html",
    "bench/*.html",
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
