"""Pages as a phone shows them: the one with the most drawings of each kind; all of them are a
campaign: narrow_pages.
"""

from pathlib import Path

from widths import faults_on_a_phone

KINDS = (
    "chapters/*.html",
    "cards/*.html",
    "refresh/*.html",
    "jobs/*/index.html",
    "jobs/*/fitting.html",
    "jobs/*/paths.html",
    "jobs/*/readings.html",
    "mistakes/board-*.html",
    "pictures/*.html",
    "quizzes/*.html",
    "tables/*.html",
    "colours.html",
    "symbols.html",
)


def test_at_390_px__no_drawing_is_wider_than_its_column(offline_page, built_site: Path) -> None:
    found = []
    for kind in KINDS:
        pages = sorted(built_site.glob(kind), key=lambda path: path.stat().st_size)
        assert pages, f"the guide holds no {kind}"
        found += faults_on_a_phone(offline_page.page, pages[-1])
    assert found == []


def test_faults_on_a_phone__sees_what_is_too_wide(offline_page, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(
        '<article><div class="sheet" style="overflow-x:auto"><svg id="a" viewBox="0 0 900 90"'
        ' style="min-width:900px"><text y="20" font-size="12">a</text></svg></div>'
        '<div class="sheet"><svg id="b" viewBox="0 0 900 90" style="width:100%">'
        '<text y="20" font-size="12">b</text></svg></div></article>',
        encoding="utf-8",
    )
    told = " ".join(faults_on_a_phone(offline_page.page, page))
    assert "drawing a: 900 px" in told and "words of b" in told
