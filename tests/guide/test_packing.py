"""The guide as one zip: whole, the same each time, and read from wherever it is unpacked.

What a zip may hold is asked of the standard library's reader; 120 characters leave room for the
folder it is unpacked in where a path may have 260 (MAX_PATH of Windows).
"""

from __future__ import annotations

import re
import shutil
import zipfile
from pathlib import Path

import pytest
from firefox import firefox_path, started

from firstway.cli import main

Output = pytest.CaptureFixture[str]
LARGEST, LARGEST_WITH_ENGINE = 8_000_000, 16_000_000
HARD_FOLDER = "Führer & Prüfung 100 % #1 (für ’Ü’; a+b)"


@pytest.fixture(scope="module")
def packed(built_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("packed") / "guide.zip"
    assert main(["pack", "--guide", str(built_site), "-o", str(out)]) == 0
    return out


@pytest.fixture(scope="module")
def unpacked(packed: Path) -> Path:
    folder = packed.parent / HARD_FOLDER
    with zipfile.ZipFile(packed) as archive:
        archive.extractall(folder)
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    """Its files; of the guide all but the pages that stand alone, and what leads to them."""
    return {
        path.relative_to(folder).as_posix(): re.sub(
            rb'<p class="one-file-link">.*?</p>', b"", path.read_bytes(), flags=re.DOTALL
        )
        for path in folder.rglob("*")
        if path.is_file() and path.parent.name != "one-file"
    }


def test_pack__holds_the_folder_and_a_file_on_top_that_says_what_to_open(
    packed: Path, unpacked: Path, built_site: Path
) -> None:
    assert contents(unpacked / "firstway") == contents(built_site)
    assert not any("one-file" in path for path in contents(unpacked))
    chapter = (unpacked / "firstway/chapters/own-board.html").read_text("utf-8")
    assert "one-file" not in re.sub(r"<(script|link|style)\b.*?>", "", chapter)
    assert sorted(path.name for path in unpacked.iterdir()) == ["READ-ME-FIRST.txt", "firstway"]
    named = [word for word in (unpacked / "READ-ME-FIRST.txt").read_text().split() if "/" in word]
    assert named[0] == "firstway/index.html" and all((unpacked / each).exists() for each in named)
    with zipfile.ZipFile(packed) as archive:
        assert archive.namelist()[0] == "READ-ME-FIRST.txt" and archive.testzip() is None
        assert max(map(len, archive.namelist())) <= 120
    with_engine = (built_site / "assets/engine/python.js").exists()
    assert packed.stat().st_size <= (LARGEST_WITH_ENGINE if with_engine else LARGEST)


def test_pack__same_guide_same_bytes_whenever_it_was_copied(
    packed: Path, built_site: Path, tmp_path: Path
) -> None:
    shutil.copytree(built_site, tmp_path / "copy", copy_function=shutil.copyfile)
    (tmp_path / "copy/index.html").chmod(0o600)
    assert main(["pack", "--guide", str(tmp_path / "copy"), "-o", str(tmp_path / "b.zip")]) == 0
    assert (tmp_path / "b.zip").read_bytes() == packed.read_bytes()


def small_guide(folder: Path, name: str = "index.html") -> Path:
    (folder / "guide").mkdir()
    (folder / "guide/.firstway").touch()
    (folder / "guide" / name).touch()
    return folder / "guide"


@pytest.mark.parametrize(
    "name, out, told",
    [
        ("", "a.zip", "there is no built guide here; build it first: python3 tools/start.py"),
        ("index.html", "guide/a.zip", "inside the guide"),
        ("index.html", "none/a.zip", "cannot be written"),
        ("index.html", "guide", "this place is inside the guide"),
        ("index.html", ".", "this is a folder, not a file"),
        ("x" * 107 + ".html", "a.zip", "a path of 121 characters"),
    ],
)
def test_pack__refused_in_words_writes_nothing(
    capsys: Output, tmp_path: Path, name: str, out: str, told: str
) -> None:
    guide = small_guide(tmp_path, name) if name else tmp_path
    before = contents(tmp_path)
    assert main(["pack", "--guide", str(guide), "-o", str(tmp_path / out)]) == 2
    printed = capsys.readouterr()
    assert told in printed.err and printed.out == "" and contents(tmp_path) == before


def test_pack__leaves_an_older_zip_whole_where_a_file_cannot_be_read(
    monkeypatch: pytest.MonkeyPatch, capsys: Output, tmp_path: Path
) -> None:
    guide = small_guide(tmp_path)
    (tmp_path / "a.zip").write_text("older")

    def unreadable(path: Path) -> bytes:
        raise OSError(5, "Input/output error", str(path))

    monkeypatch.setattr(Path, "read_bytes", unreadable)
    assert main(["pack", "--guide", str(guide), "-o", str(tmp_path / "a.zip")]) == 2
    assert "cannot be read" in capsys.readouterr().err
    assert (tmp_path / "a.zip").read_text() == "older"


def test_unpacked__opens_searches_and_leads_on_from_a_hard_folder(
    offline_page, unpacked: Path
) -> None:
    page = offline_page.show(unpacked / "firstway/index.html")
    page.keyboard.press("/")
    page.keyboard.type("neutral")
    found = page.locator(".md-search-result__item a").first
    found.wait_for()
    found.click()
    page.wait_for_url(lambda url: "index.html" not in url)
    assert page.locator("h1").first.is_visible() and offline_page.troubles == []
    page = offline_page.show(unpacked / "firstway/quizzes/surge.html")
    page.wait_for_selector(".quiz-live")
    assert offline_page.troubles == []


@pytest.mark.long
@pytest.mark.skipif(firefox_path() is None, reason="no Firefox found")
def test_unpacked__opens_in_firefox_too(
    unpacked: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with started(tmp_path_factory.mktemp("firefox")) as firefox:
        for name in ("index", "quizzes/surge", "jobs/marram/index"):
            firefox.show(unpacked / f"firstway/{name}.html")
            firefox.wait("document.querySelector('h1').getClientRects().length > 0")
        firefox.press("/", *"neutral")
        firefox.wait("document.querySelectorAll('.md-search-result__item').length > 0")
        assert firefox.troubles == []
