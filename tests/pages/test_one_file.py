"""Chapters and quizzes as one file each: small, whole, and leading nowhere; a card prints on one
sheet.

That a file stands alone is the HTML standard's own matter: it may fetch only what its attributes
and style sheets name, so none may name anything but data inside it. The sheet is A4 as in ISO 216;
a browser counts the pages.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from reading_ease import counted

from firstway.pages.chapters.reading_length import MOST_WORDS
from firstway.pages.gathering import gathered
from firstway.pages.shared.notes_on_tap import Note, notes_html, tap_html, with_buttons
from firstway.pages.shared.one_file import ONE_FILE_FOLDER, one_file

LARGEST = 600_000
PHONE = {"viewport": {"width": 390, "height": 844}}


@pytest.fixture(scope="module")
def alone(built_site: Path) -> dict[str, str]:
    return {
        path.name: path.read_text(encoding="utf-8")
        for path in sorted((built_site / ONE_FILE_FOLDER).glob("*.html"))
    }


def test_one_file__there_is_one_for_each_chapter_and_each_quiz_and_the_page_says_so(
    built_site: Path, alone: dict[str, str]
) -> None:
    chapters = {
        path.name
        for path in (built_site / "chapters").glob("*.html")
        if 'class="aims"' in path.read_text(encoding="utf-8")
    }
    quizzes = {
        f"quiz-{path.name}"
        for path in (built_site / "quizzes").glob("*.html")
        if 'class="quiz"' in path.read_text(encoding="utf-8")
    }
    assert chapters and quizzes and chapters | quizzes <= set(alone)
    for name in chapters:
        page = BeautifulSoup(
            (built_site / "chapters" / name).read_text(encoding="utf-8"), "html.parser"
        )
        assert page.select_one(".one-file-link a")["href"] == f"../{ONE_FILE_FOLDER}/{name}"


def test_one_file__is_small_and_names_nothing_outside_itself(alone: dict[str, str]) -> None:
    for name, html in alone.items():
        assert len(html.encode()) <= LARGEST, f"{name}: {len(html.encode())}"
        page = BeautifulSoup(html, "html.parser")
        named = [
            str(tag[key])
            for tag in page.find_all(True)
            for key in ("href", "src", "srcset", "action", "poster", "data")
            if tag.has_attr(key)
        ]
        assert [address for address in named if not address.startswith(("#", "data:"))] == [], name
        styles = " ".join(
            [style.text for style in page.find_all("style")]
            + [tag["style"] for tag in page.find_all(style=True)]
        )
        assert [
            address
            for address in re.findall(r"(?:url\(|@import)\s*['\"]?([^'\")]+)", styles)
            if not address.startswith(("data:", "#"))
        ] == [], name
        ids = [tag["id"] for tag in page.find_all(id=True)]
        assert len(ids) == len(set(ids)), name
        targets = [tag["popovertarget"] for tag in page.find_all(attrs={"popovertarget": True})] + [
            address[1:] for address in named if address.startswith("#") and len(address) > 1
        ]
        assert sorted(set(targets) - set(ids)) == [], name
        assert (
            page.find("h1")
            and page.select_one("aside.caution")
            and page.html["lang"] == "en"
            and page.title.text.strip()
        ), name
        assert not re.search(r"<!--part:|\{root\}", html), name


def test_one_file__a_font_inside_brings_its_notice(alone: dict[str, str]) -> None:
    """SIL Open Font License 1.1, condition 2: each copy contains the copyright notice and the
    licence, a header will do.
    """
    with_font = [name for name, html in alone.items() if "data:font/woff2" in html]
    assert with_font and all(
        "SIL Open Font License" in alone[name][:500]
        and "Copyright 2001" in alone[name][:500].replace("copyright", "Copyright")
        for name in with_font
    )


def test_licences__stand_beside_what_they_speak_of_and_on_the_about_page(built_site: Path) -> None:
    """The MIT licence asks that its notice goes with every copy; CC BY 4.0 and Apache 2.0 (icon
    sets) ask the same.
    """
    folder = built_site / "assets" / "licences"
    texts = {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}
    assert "Martin Donath" in texts["theme.txt"] and "MIT License" in texts["firstway.txt"]
    assert {
        "icons-material.txt",
        "icons-fontawesome.txt",
        "icons-octicons.txt",
        "icons-simple.txt",
    } < set(texts)
    about = (built_site / "about.html").read_text(encoding="utf-8")
    assert all(name in about for name in texts)


def test_one_file__a_link_elsewhere_becomes_a_word_that_says_so() -> None:
    page = (
        '<article class="md-content__inner md-typeset"><h1>T<a class="headerlink"'
        ' href="#t">#</a></h1><a class="card" href="../x.html">X</a> <a'
        ' href="#here">y</a></article>'
    )
    html = one_file(page, "T & U", "d", "", lambda path: b"")
    assert (
        '<span class="card needs-guide">X</span> <a href="#here">y</a>' in html
        and "headerlink" not in html.partition("<body")[2]
    )
    assert "<title>T &amp; U - Firstway</title>" in html


def test_one_file__a_script_cannot_end_its_own_element() -> None:
    page = (
        '<article class="md-content__inner md-typeset"><script src="../assets/a.js"'
        " defer></script></article>"
    )
    html = one_file(
        page, "T", "d", "", lambda path: b'x = "</script><b>";' if path.endswith("a.js") else b""
    )
    assert 'x = "<\\/script><b>";</script>' in html


def test_with_buttons__one_note_a_word_and_the_link_stays() -> None:
    note = Note("word-a", "A", "<p>It is so.</p>")
    html = with_buttons(
        f"<p>{tap_html('A', note, '../glossary.html#word-a')}</p>{notes_html([note, note])}"
    )
    page = BeautifulSoup(html, "html.parser")
    assert (
        page.select_one(".tap button")["popovertarget"]
        == "word-a"
        == page.select_one("[popover]")["id"]
    )
    assert (
        page.select_one(".tap a")["href"] == "../glossary.html#word-a"
        and len(page.select("[popover]")) == 1
    )


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True, ids=["390"])
def test_one_file__stands_alone_in_an_empty_folder(
    offline_page, built_site: Path, tmp_path: Path
) -> None:
    """From the file system, the network off, nothing beside it: a note opens and closes by the
    keyboard, a drawing opens large.
    """
    names = sorted(path.name for path in (built_site / ONE_FILE_FOLDER).glob("*.html"))
    for name in (names[0], next(name for name in names if name.startswith("quiz-"))):
        folder = tmp_path / name.removesuffix(".html")
        folder.mkdir()
        page = offline_page.show(Path(shutil.copy(built_site / ONE_FILE_FOLDER / name, folder)))
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, name
        if page.locator(".tap button").count():
            button = page.locator(".tap button").first
            note = page.locator(f"#{button.get_attribute('popovertarget')}")
            button.focus()
            page.keyboard.press("Enter")
            assert note.is_visible()
            page.keyboard.press("Escape")
            assert not note.is_visible() and button.evaluate(
                "button => button === document.activeElement"
            )
        if page.locator(".enlarge").count():
            page.locator(".enlarge").first.click()
            large = page.locator(".large:popover-open")
            assert (
                large.is_visible()
                and 300 <= large.locator("svg").first.bounding_box()["width"] <= 390
            )
            large.get_by_role("button", name="Close").click()
            assert page.locator(".large:popover-open").count() == 0
    assert offline_page.troubles == []


def test_progress__is_kept_saved_and_loaded_and_a_hostile_file_changes_nothing(
    offline_page, built_site: Path, tmp_path: Path
) -> None:
    page = offline_page.show(built_site / "chapters" / "index.html")
    ticks = page.locator(".way-done input")
    ticks.first.check()
    assert page.locator(".progress-count").inner_text().startswith("1 of ")
    with page.expect_download() as download:
        page.locator(".progress-save").click()
    saved = tmp_path / "saved.json"
    download.value.save_as(saved)
    page.reload()
    assert ticks.first.is_checked()
    for number, text in enumerate(
        (
            "not json",
            "[]",
            '{"kind":"firstway-progress","version":1,"done":7}',
            '{"kind":"other","version":1,"done":[]}',
        )
    ):
        hostile = tmp_path / f"hostile-{number}.json"
        hostile.write_text(text, encoding="utf-8")
        page.locator(".progress-load input").set_input_files(hostile)
        page.locator(".progress-count", has_text="That file is no saved progress").wait_for()
        assert ticks.first.is_checked()
    ticks.first.uncheck()
    page.locator(".progress-load input").set_input_files(saved)
    page.locator(".progress-count", has_text="Loaded.").wait_for()
    assert ticks.first.is_checked() and not ticks.nth(1).is_checked()
    assert offline_page.troubles == []


def test_cards__print_on_one_sheet_each(offline_page, built_site: Path) -> None:
    cards = [
        path for path in sorted((built_site / "cards").glob("*.html")) if path.name != "index.html"
    ]
    assert len(cards) == 5
    for path in cards:
        printed = offline_page.show(path).pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1, path.name


def test_chapters__reading_ease_is_printed_and_sentences_stay_short(
    root: Path, built_site: Path
) -> None:
    """Aim: under 22 words a sentence on average (plain English: common practice).

    Ease = 206.835 - 1.015 x words a sentence - 84.6 x syllables a word (R. Flesch, Journal of
    Applied Psychology, 1948, vol. 32).
    """
    project = gathered(root)[0].project
    print()
    for page in (page for page in project.chapters if page.front.chapter):
        html = (built_site / page.html_path).read_text(encoding="utf-8")
        count = counted(html)
        print(
            f"{page.front.chapter:22} {count.words:5} words, {count.words_a_sentence:4.1f} a"
            f" sentence, ease {count.ease:3.0f}"
        )
        assert count.words_a_sentence < 22, page.file
        assert count.words <= MOST_WORDS, (page.file, count.words)


def test_chapters__a_reading_time_is_the_same_wherever_it_stands(
    root: Path, built_site: Path
) -> None:
    """The list of chapters, and the head of each chapter."""
    project = gathered(root)[0].project
    listed = dict(
        re.findall(
            r'<li data-chapter="([a-z-]+)">.*?<span class="way-note">(\d+) minutes',
            (built_site / "chapters" / "index.html").read_text("utf-8"),
            re.DOTALL,
        )
    )
    chapters = [page for page in project.chapters if page.front.chapter]
    assert len(listed) == len(chapters) >= 18
    for page in chapters:
        said = re.findall(
            r"About (\d+) minutes of reading", (built_site / page.html_path).read_text("utf-8")
        )
        assert said == [listed[page.front.chapter]], page.file
