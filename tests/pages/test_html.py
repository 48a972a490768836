"""The HTML of every page, of a learner's paper and of the desk's report: by a strict look of our
own, and by a checker that is not ours.

The rules are those of the HTML standard (WHATWG) and of WCAG 2.2 (1.1.1, 2.4.1, 2.4.6, 4.1.2). The
checker is the Nu HTML checker (npm vnu-jar, MIT); it needs Java.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections import Counter
from pathlib import Path

import pytest
import start
from strict_html import strict_faults
from telling import Tell

from firstway.cli import main
from firstway.desk.papers.key import key_from_text
from firstway.quiz.forms.registry import QUESTION_KINDS
from firstway.quiz.shelf import shelf_from

CHECKER = start.NPM_FOLDER / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
# Standards that this checker does not know yet: MathML Core, scroll-driven animations, containment
# (all W3C).
NEW_CSS = re.compile(
    r"CSS: .*(math-style|“math” is not a “display”"
    r" value|paint-order|(animation|scroll)-timeline|timeline-scope|container-type|@container)"
)
# Warnings with a reason: a finding is an article under the heading of its group, a part of a page
# is named by its label; both spellings of the ohm are accepted as typed. The checker knows no
# origin of a file and takes data for a script: what a policy refuses is tried in real browsers
# (tests/browser/test_policy.py).
MEANT = re.compile(
    r"^((?:Article|Section) lacks heading|Text run is not in Unicode Normalization Form C"
    r"|(?:Resource|Inline script|Inline style) violates Content Security Policy)"
)


@pytest.fixture(scope="module")
def desk_files(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class of two: their papers with a question of every kind, and what the desk reports when
    one hands in nothing at all.
    """
    folder = tmp_path_factory.mktemp("class")
    bank = shelf_from(root)[0].bank
    asked = [
        next((each.id for each in bank if each.kind == kind and each.use == "assigned"), None)
        for kind in QUESTION_KINDS
    ]
    rows = "".join(f"  - {id_}\n" for id_ in asked if id_)
    (folder / "recipe.yaml").write_text(
        "id: html-test\ntitle: A test of the desk\nintroduction: Answer all.\nuse: assigned\nseed:"
        " plums and anvils\nquestions:\n" + rows,
        encoding="utf-8",
    )
    (folder / "class.csv").write_text(
        'code,name\nK1,"Ada <Ümlaut> & Co"\nK2,Bo\n', encoding="utf-8"
    )
    out = folder / "out"
    assert (
        main(
            [
                "paper",
                str(folder / "recipe.yaml"),
                "--class",
                str(folder / "class.csv"),
                "-o",
                str(out),
            ]
        )
        == 0
    )
    key = key_from_text((out / "paper/desk/key.json").read_text(encoding="utf-8"))
    assert key is not None
    (out / "answers").mkdir(exist_ok=True)
    (out / "answers/K1.json").write_text(
        json.dumps(
            {
                "format": "firstway answers 2",
                "paper": key.paper,
                "paper_version": key.version,
                "learner": "K1",
                "issue": key.sheets["K1"].issue,
                "answers": {},
                "begun": "2026-11-25T09:00:00.000Z",
                "saved": "2026-11-25T09:50:00.000Z",
            }
        ),
        encoding="utf-8",
    )
    assert main(["mark", str(out)]) == 0
    assert len(list(out.rglob("hand-out/*.html"))) == 2 and (out / "marked/report.html").is_file()
    return out


def faults_under(folder: Path) -> list[str]:
    pages = sorted(folder.rglob("*.html"))
    assert pages
    return [
        f"{path.relative_to(folder).as_posix()}: {fault}"
        for path in pages
        for fault in strict_faults(path.read_text(encoding="utf-8"))
    ]


def test_guide__is_strict_html(built_site: Path) -> None:
    assert faults_under(built_site) == []


def test_desk__papers_and_reports_are_strict_html(desk_files: Path) -> None:
    assert faults_under(desk_files) == []


@pytest.mark.long
@pytest.mark.skipif(
    not CHECKER.is_file(),
    reason="the HTML checker is not installed; run: python3 tools/start.py test all",
)
@pytest.mark.skipif(
    shutil.which("java") is None,
    reason="the HTML checker needs Java; on Debian: apt-get install default-jre-headless",
)
def test_checker__finds_nothing_on_any_page(built_site: Path, desk_files: Path, tell: Tell) -> None:
    done = subprocess.run(
        [
            "java",
            "-Xmx1g",
            "-jar",
            str(CHECKER),
            "--format",
            "json",
            "--exit-zero-always",
            "--skip-non-html",
            str(built_site),
            str(desk_files),
        ],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=900,
    )
    found = json.loads(done.stderr)["messages"]
    meant = Counter(
        match[1]
        for each in found
        if (match := MEANT.match(each["message"])) and each["type"] == "info"
    )
    faults = [
        f"{each.get('url', '').rpartition('/')[2]}:{each.get('lastLine', 0)}: {each['message']}"
        for each in found
        if not NEW_CSS.search(each["message"])
        and not (each["type"] == "info" and MEANT.match(each["message"]))
    ]
    pages = len(list(built_site.rglob("*.html"))) + len(list(desk_files.rglob("*.html")))
    tell(
        f"HTML checker: {pages} pages, {len(faults)} faults; warnings that are meant: {dict(meant)}"
    )
    assert faults == []


GOOD = (
    '<!doctype html><html lang="en"><title>A</title><h1>A</h1><p id="x">B<a'
    ' href="#x">C</a></p></html>'
)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("<p ", '<p id="x"></p><p '), "the id x stands twice"),
        (('"#x"', '"#y"'), "href names y, which is nowhere on the page"),
        (("<h1>A</h1>", ""), "0 first headings"),
        (("B<", "<h2> </h2>B<"), "an empty <h2>"),
        (("B<", '<img src="a.png">B<'), "a picture without alt"),
        (("B<", '<svg role="img"></svg>B<'), "a drawing without a name"),
        (("C</a>", "</a>"), "an empty <a>"),
        (("C</a>", "C"), "</p> closes <a>"),
        (("B<", "B < C <"), "a stray <"),
        (("B<", '<input aria-describedby="z">B<'), "aria-describedby names z"),
        ((' lang="en"', ""), "<html> names no language"),
        (('id="x"', 'id="x" ID="q"'), "says an attribute twice"),
        (("C</a>", "<button>C</button></a>"), "<button> inside <a>"),
    ],
)
def test_strict__finds(change: tuple[str, str], said: str) -> None:
    assert strict_faults(GOOD) == []
    assert any(said in fault for fault in strict_faults(GOOD.replace(*change))), strict_faults(
        GOOD.replace(*change)
    )
