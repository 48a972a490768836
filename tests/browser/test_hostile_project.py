"""A project whose every text is hostile, built, papered, marked, packaged and drawn: nothing of it
runs, no tag of it stands.

The judges are not ours: an HTML and an XML parser, and two browsers. What a browser would run is
asked of the browser.
"""

from __future__ import annotations

import csv
import io
import json
import shutil
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import lxml.etree
import lxml.html
import pytest
from firefox import firefox_path, started
from hostile import HACKED, PAYLOADS, TAG, made_hostile

from firstway import cli
from firstway.desk.papers.key import key_from_text

pytestmark = pytest.mark.long
RECIPE, CLASS = "quiz/papers/class-board-test.yaml", "quiz/classes/monday-evening.csv"
# Whether anything of theirs stands on a page or ran; then everything that can be pressed is
# pressed.
STANDS = f"""[...document.querySelectorAll('*')].filter(each => each.localName === '{TAG}' || each.matches('img[src=x]')
    || [...each.attributes].some(one => one.name.startsWith('on') || /^\\s*javascript:{HACKED}/i.test(one.value) || /{HACKED}/.test(one.name)))
    .map(each => each.outerHTML.slice(0, 200))"""
PRESS = """(() => { addEventListener('submit', event => event.preventDefault(), true);
    document.querySelectorAll('details').forEach(each => each.open = true);
    document.querySelectorAll('input[type=radio], input[type=checkbox], button:not(.progress-save):not([class*=save]), summary').forEach(each => { try { each.click() } catch {} }); })()"""


@pytest.fixture(scope="module")
def project(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The hostile project with everything made from it: site, class, package and drawings."""
    copy = tmp_path_factory.mktemp("hostile")
    counts = made_hostile(root, copy)
    assert all(counts.values()), (
        f"no payload is left in {[name for name, count in counts.items() if not count]}"
    )
    before, cli.ROOT = cli.ROOT, copy
    try:
        assert cli.main(["build", "--out", str(copy / "site")]) == 0
        make_class(copy)
        for form, name in (("qti-3.0", "a.zip"), ("qti-2.1", "b.zip"), ("scorm-1.2", "c.zip")):
            assert cli.main(["package", str(copy / RECIPE), form, "-o", str(copy / name)]) == 0
        odd = copy / f"odd <{TAG}>\"' onload={HACKED}().yaml"
        shutil.copy(copy / "diagrams/marram.yaml", odd)
        for view in cli.DRAWN_VIEWS:
            assert cli.main(["draw", str(odd), view, "-o", str(copy / f"{view}.svg")]) == 0
    finally:
        cli.ROOT = before
    yield copy
    shutil.rmtree(copy)


def make_class(copy: Path) -> None:
    """Papers, answers that are as hostile as the rest, and marks."""
    out = copy / "class"
    assert (
        cli.main(["paper", str(copy / RECIPE), "--class", str(copy / CLASS), "-o", str(out)]) == 0
    )
    key = key_from_text((out / "paper/desk/key.json").read_text(encoding="utf-8"))
    assert key is not None
    for place, (code, sheet) in enumerate(key.sheets.items()):
        answers = {key.by_id[id_].alias: PAYLOADS[place % len(PAYLOADS)] for id_, _ in sheet.asked}
        data = {
            "format": "firstway answers 2",
            "paper": key.paper,
            "paper_version": key.version,
            "learner": code,
            "issue": sheet.issue,
            "answers": answers,
        }
        (out / "answers" / f"{code}.json").write_text(json.dumps(data), encoding="utf-8")
    (out / "answers" / f"=<{TAG}>.json").write_text(
        json.dumps({"format": PAYLOADS[0]}), encoding="utf-8"
    )
    with (out / "corrections.csv").open("a", encoding="utf-8", newline="") as file:
        csv.writer(file).writerow([key.questions[0].id, "all-right", "", PAYLOADS[0]])
    assert cli.main(["mark", str(out)]) == 1, "one file is set aside"


def pages(project: Path) -> list[Path]:
    found = [
        path for folder in ("site", "class") for path in sorted((project / folder).rglob("*.html"))
    ]
    assert len(found) > 200
    return found


def some_of(paths: list[Path]) -> list[Path]:
    """At most a dozen pages of each folder, spread over it: browsers are slow, and the parser has
    seen every page.
    """
    folders = sorted({path.parent for path in paths})
    return [
        path
        for folder in folders
        for own in ([each for each in paths if each.parent == folder],)
        for path in own[:: -(-len(own) // 12)]
        if folder.parent.name != "jobs" or folder.name in ("marram", "quince", "alder")
    ]


def scorm_page(project: Path, folder: Path) -> list[Path]:
    with zipfile.ZipFile(project / "c.zip") as archive:
        archive.extractall(folder)
    return sorted(folder.rglob("*.html"))


def strangers(root: Any) -> list[str]:
    """What a parser sees of theirs."""
    found = []
    for each in root.iter():
        name = lxml.etree.QName(each).localname if isinstance(each.tag, str) else ""
        own = [
            key
            for key, value in each.attrib.items()
            if key.startswith("on")
            or HACKED in key
            or value.strip().lower().startswith(f"javascript:{HACKED}")
        ]
        if (
            name == TAG
            or own
            or name == "script"
            and (each.text or "").strip() == f"{HACKED}()"
            or name == "img"
            and each.get("src") == "x"
        ):
            found.append(f"<{name} {own}>")
    return found


def test_no_tag_of_theirs_stands_on_any_page(project: Path) -> None:
    shown = 0
    for path in pages(project):
        text = path.read_text(encoding="utf-8")
        shown += TAG in text
        assert (
            strangers(
                lxml.html.document_fromstring(
                    text.encode(), parser=lxml.html.HTMLParser(encoding="utf-8", huge_tree=True)
                )
            )
            == []
        ), path
    assert shown > 200, "the payload is on hardly any page: nothing is proved"


def test_no_tag_of_theirs_stands_in_a_package_or_a_drawing(project: Path) -> None:
    for name in ("a.zip", "b.zip", "c.zip"):
        with zipfile.ZipFile(project / name) as archive:
            texts = {path: archive.read(path) for path in archive.namelist()}
        assert any(TAG.encode() in text for text in texts.values())
        for path, text in texts.items():
            if path.endswith((".xml", ".svg")):
                assert strangers(lxml.etree.fromstring(text)) == [], f"{name}: {path}"
            elif path.endswith(".html"):
                assert strangers(lxml.html.document_fromstring(text)) == [], f"{name}: {path}"
    for view in cli.DRAWN_VIEWS:
        assert strangers(lxml.etree.fromstring((project / f"{view}.svg").read_bytes())) == [], view


def test_no_table_holds_a_formula(project: Path) -> None:
    tables = sorted((project / "class").rglob("*.csv"))
    assert tables
    for path in tables:
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))):
            assert (
                not any(cell.startswith(("=", "+", "@", "\t", "\r")) for cell in row)
                or path.name == "corrections.csv"
            ), f"{path}: {row}"


def test_the_search_shows_nothing_alive(project: Path) -> None:
    text = (project / "site/search/search_index.js").read_text(encoding="utf-8")
    found = json.loads(text[text.index("{") : text.rindex("}") + 1])["docs"]
    assert any(TAG in each["title"] for each in found)
    for each in found:
        for words in (each["title"], each["text"]):
            assert strangers(lxml.html.fragment_fromstring(words, create_parent="div")) == [], each[
                "location"
            ]


def looked_at(paths: list[Path], show: Callable[[Path], None], ask: Callable[[str], Any]) -> None:
    """Open each page, look for what is theirs, press everything, and look again."""
    for path in paths:
        show(path)
        for _ in range(2):
            assert ask(STANDS) == [], path
            assert ask(f"window.{HACKED}Ran === true") is False, path
            ask(PRESS)


def test_chromium_runs_nothing_of_theirs(project: Path, browser: Any, tmp_path: Path) -> None:
    context = browser.new_context(offline=True)
    context.add_init_script(
        f"window.{HACKED}Ran = false; window.{HACKED} = () => {{ window.{HACKED}Ran = true }}"
    )
    page = context.new_page()
    page.on("dialog", lambda dialog: dialog.accept())
    looked_at(
        [*some_of(pages(project)), *scorm_page(project, tmp_path)],
        lambda path: page.goto(path.as_uri()),
        page.evaluate,
    )
    page.goto((project / "site/index.html").as_uri())
    page.locator("input.md-search__input").click()
    page.locator("input.md-search__input").press_sequentially(HACKED)
    page.locator(".md-search-result__item").first.wait_for()
    assert page.evaluate(STANDS) == [] and page.evaluate(f"window.{HACKED}Ran") is False
    context.close()


@pytest.mark.skipif(
    firefox_path() is None,
    reason="no Firefox found; on Debian: apt-get install --no-install-recommends firefox-esr",
)
def test_firefox_runs_nothing_of_theirs(project: Path, tmp_path: Path) -> None:
    with started(tmp_path / "firefox") as firefox:
        firefox.call(
            "script.addPreloadScript",
            functionDeclaration=(
                f"() => {{ window.{HACKED}Ran = false; window.{HACKED} = () => {{"
                f" window.{HACKED}Ran = true }} }}"
            ),
        )
        looked_at(
            [*some_of(pages(project)), *scorm_page(project, tmp_path / "page")],
            firefox.show,
            firefox.ask,
        )


def test_a_title_is_shown_as_it_was_written(project: Path, browser: Any) -> None:
    page = browser.new_page()
    page.goto((project / "site/jobs/marram/index.html").as_uri())
    shown = page.evaluate("[document.title, document.querySelector('h1').firstChild.textContent]")
    assert all(PAYLOADS[0][2:60] in words for words in shown), shown
    page.close()
