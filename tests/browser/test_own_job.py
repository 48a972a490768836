"""The page of one's own job, opened from the file system with the network off.

What it says is held to the command line's: both are our own program, so nothing here is proof.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from accessibility import Tally, axe_script, checked
from conftest import OfflinePage
from firefox import Firefox, firefox_path, started

from firstway.cli import main
from firstway.site.fetched import engine_package

PAGE = "own-job.html"
VIEWS = ("single-line", "board", "wiring", "lifelike")
READY_S = 120
needs_engine = pytest.mark.skipif(
    engine_package() is None,
    reason="the Python of the page is not here; python3 tools/start.py test brings it",
)


def opened(offline_page: OfflinePage, site: Path, job: str = "marram") -> Any:
    page: Any = offline_page.page
    page.goto((site / PAGE).as_uri() + f"?job={job}")
    page.wait_for_selector("#own-form .own-question")
    return page


def judged(page: Any) -> None:
    page.wait_for_selector("#own-verdict .may-not", timeout=READY_S * 1000)


def told(page: Any, what: str, text: str) -> str:
    question = {"ask": "print", "what": what, "text": text, "file": "marram.yaml"}
    answer = page.evaluate("question => window.ownJobAsk(question)", question)
    return answer.get("printed") or json.dumps(answer["problems"])


def said_by(*arguments: str) -> str:
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        main(list(arguments))
    return said.getvalue()


@needs_engine
def test_own_job__a_change_in_the_form_is_worked_and_told(
    offline_page: OfflinePage, built_site: Path, root: Path
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    file = root / "diagrams/marram.yaml"
    text = file.read_text("utf-8")
    assert page.input_value("#own-text") == text
    assert told(page, "work", text) == said_by("work", str(file), "--json")
    assert told(page, "single-line", text) == said_by("draw", str(file), "single-line")
    page.evaluate(
        "document.querySelectorAll('#own-form details').forEach(each => { each.open = true })"
    )
    field = page.locator("#own-q-circuits-slipway-route-1-length_m")
    field.fill("31")
    field.press("Tab")
    page.wait_for_selector("#own-changed details", timeout=20_000)
    after = page.input_value("#own-text")
    differ = [
        new for old, new in zip(text.splitlines(), after.splitlines(), strict=True) if old != new
    ]
    assert len(differ) == 1 and "length_m: 31" in differ[0]
    assert ", was " in page.text_content("#own-changed")
    page.select_option("#own-q-circuits-slipway-route-1-length_m-known", "assumed")
    assumed = page.locator("#own-changed li", has_text="is assumed").first
    assumed.wait_for(state="attached", timeout=30_000)  # many things differ, so they are folded
    assert "slipway.route.1.length_m: assumed" in page.input_value("#own-text")
    assert offline_page.troubles == []


@pytest.mark.long
@needs_engine
def test_own_job__an_entry_is_copied_named_and_taken_out_by_the_keyboard(
    offline_page: OfflinePage, built_site: Path
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    text = page.input_value("#own-text")
    page.evaluate(
        "document.querySelectorAll('#own-form details').forEach(each => { each.open = true })"
    )
    name = page.locator("#own-copy-circuits-slipway")
    name.focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert "name first" in page.inner_text("#own-status") and page.input_value("#own-text") == text
    name.focus()
    page.keyboard.type("second")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("#own-problems .missing", timeout=20_000)
    assert "no way feeds the circuit 'second'" in page.inner_text("#own-problems")
    copied = page.input_value("#own-text").splitlines()
    assert [line for line in text.splitlines() if line not in copied] == []
    out = page.locator("#own-form [data-path='circuits/second'] button", has_text="Take it out")
    out.last.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#own-problems .missing", state="detached", timeout=20_000)
    assert page.input_value("#own-text") == text
    assert offline_page.troubles == []


# What the page asks of the program, in its order, for a test to read.
WATCHED = """window.asked = []; const given = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (message, ...others) {
      if (message.question) window.asked.push(JSON.parse(message.question).ask);
      return given.call(this, message, ...others);
    };"""


@needs_engine
def test_own_job__a_change_ends_what_is_being_tried(
    offline_page: OfflinePage, built_site: Path
) -> None:
    """Sizes side by side, which take many seconds; what a finding needs is tried the same way."""
    offline_page.page.add_init_script(WATCHED)
    page = opened(offline_page, built_site)
    judged(page)
    page.click("#own-alternatives")
    page.locator("#own-tried", has_text="Being tried: ").wait_for(timeout=READY_S * 1000)
    before = page.inner_text("#own-verdict")
    page.locator("#own-as-text summary").click()
    page.fill("#own-text", page.input_value("#own-text").replace("title: ", "title: Other ", 1))
    page.locator("#own-verdict .may-not", has_text="Other ").wait_for(timeout=30_000)
    page.get_by_text("Now: ").wait_for(timeout=30_000)
    assert page.inner_text("#own-verdict") != before
    assert page.locator("#own-tried").is_hidden(), "it was said of the job before the change"
    asked = page.evaluate("window.asked")
    assert asked.count("go-on") > 0 and "go-on" not in asked[asked.index("read") :], asked
    assert offline_page.troubles == []


# The next question becomes one that nobody can answer, while a test says so.
BROKEN = """window.broken = 0; const given = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (message, ...others) {
      if (message.question && window.broken-- > 0) message.question = '{"ask": "nonsense"}';
      return given.call(this, message, ...others);
    };"""


@pytest.mark.long
@needs_engine
def test_own_job__a_program_that_stops_is_said_and_started_again_with_nothing_lost(
    offline_page: OfflinePage, built_site: Path
) -> None:
    offline_page.page.add_init_script(BROKEN)
    page = opened(offline_page, built_site)
    judged(page)
    page.get_by_text("Now: ").wait_for(timeout=60_000)
    page.locator("#own-as-text summary").click()
    first = page.input_value("#own-text").replace("title: ", "title: One ", 1)
    page.evaluate("window.broken = 1")
    page.fill("#own-text", first)
    page.locator("#own-problems", has_text="The program stopped").wait_for(timeout=30_000)
    assert page.input_value("#own-text") == first
    page.locator("#own-status", has_text="ready again").wait_for(timeout=READY_S * 1000)
    page.fill("#own-text", first.replace("title: One ", "title: Two ", 1))
    page.locator("#own-verdict .may-not", has_text="Two ").wait_for(timeout=60_000)
    page.locator("#own-problems .missing").wait_for(timeout=60_000, state="detached")
    page.get_by_text("Now: ").wait_for(timeout=60_000)
    page.evaluate("window.broken = 1")
    page.evaluate("document.querySelector('[data-path=circuits]').open = true")
    page.evaluate("document.querySelector('#own-form [data-path=supply]').open = true")
    page.select_option("#own-q-supply-isolator", "false")
    page.locator("#own-q-supply-isolator").blur()
    page.locator("#own-problems", has_text="The program stopped").wait_for(timeout=30_000)
    assert "title: Two " in page.input_value("#own-text")
    page.click("#own-back")
    page.locator("#own-verdict .may-not", has_text="One ").wait_for(timeout=READY_S * 1000)
    assert offline_page.troubles == []


@pytest.mark.long
@needs_engine
def test_own_job__every_job_as_the_command_line(
    offline_page: OfflinePage, built_site: Path, root: Path
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    for path in sorted((root / "diagrams").glob("*.yaml")):
        if path.name == "mistakes.yaml":
            continue
        text = path.read_text("utf-8")
        for what, command in (
            ("work", ("work", str(path), "--json")),
            ("findings", ("check", str(path))),
            *((view, ("draw", str(path), view)) for view in VIEWS),
        ):
            question = {"ask": "print", "what": what, "text": text, "file": str(path)}
            answer = page.evaluate("question => window.ownJobAsk(question)", question)
            assert answer["printed"] == said_by(*command), (path.name, what)


@pytest.mark.long
@needs_engine
def test_own_job__broken_files_have_the_problems_of_the_command_line(
    offline_page: OfflinePage, built_site: Path, root: Path
) -> None:
    from firstway.engine.asking import answered

    page = opened(offline_page, built_site)
    judged(page)
    for path in sorted((root / "tests/invalid").glob("*.yaml")):
        text = path.read_bytes().decode("utf-8", "replace")
        question = {"ask": "judge", "text": text, "file": path.name}
        own = page.evaluate("question => window.ownJobAsk(question)", question)
        assert own["problems"] == json.loads(answered(json.dumps(question)))["problems"], path.name


def test_own_job__form_and_text_are_there_at_once_and_fit_a_phone(
    offline_page: OfflinePage, built_site: Path
) -> None:
    page = opened(offline_page, built_site)
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert "slipway" in page.input_value("#own-text")
    assert page.inner_text("#own-status")


@pytest.mark.long
@needs_engine
def test_own_job__storage_refused_or_poisoned_is_said_and_nothing_lost(
    offline_page: OfflinePage, built_site: Path
) -> None:
    page = offline_page.page
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage',"
        " {get() { throw new DOMException('no', 'SecurityError') }})"
    )
    page = opened(offline_page, built_site)
    page.click("#own-keep")
    assert "keeps nothing" in page.inner_text("#own-status")
    assert "slipway" in page.input_value("#own-text")


@pytest.mark.long
@needs_engine
def test_own_job__storage_that_is_full_is_said_and_nothing_lost(
    offline_page: OfflinePage, built_site: Path
) -> None:
    offline_page.page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }"
    )
    page = opened(offline_page, built_site)
    page.click("#own-keep")
    assert "keeps nothing" in page.inner_text("#own-status")
    assert not page.is_checked("#own-keep") and "slipway" in page.input_value("#own-text")


@pytest.mark.long
@needs_engine
@pytest.mark.parametrize(
    ("written", "said"),
    [
        pytest.param("# x\n" * 1_300_000, "larger than", id="five megabytes"),
        pytest.param(b"\xff\xfe\x00 no text", "not UTF-8 text", id="no text"),
        pytest.param("title: Caf\u00e9\n".encode("latin-1"), "not UTF-8 text", id="Latin-1"),
        pytest.param("[" * 5_000, "put right first", id="nested"),
        pytest.param("title: &a [*a, *a]\nrules: *a\n", "put right first", id="aliases"),
        pytest.param("", "put right first", id="empty"),
    ],
)
def test_own_job__a_file_that_is_none_is_said(
    offline_page: OfflinePage, built_site: Path, tmp_path: Path, written: str | bytes, said: str
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    path = tmp_path / "theirs.yaml"
    path.write_bytes(written.encode() if isinstance(written, str) else written)
    page.set_input_files("#own-file", str(path))
    page.get_by_text(said).first.wait_for(timeout=30_000)
    page.select_option("#own-jobs", "osier")
    page.click("#own-take")
    page.get_by_text("Now: ").wait_for(timeout=60_000)
    assert "osier" in page.input_value("#own-text").casefold()
    assert offline_page.troubles == []


@pytest.mark.long
@needs_engine
def test_own_job__what_a_file_says_is_text_and_no_page(
    offline_page: OfflinePage, built_site: Path, tmp_path: Path, root: Path
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    text = (root / "diagrams/marram.yaml").read_text("utf-8")
    evil = "<img src=x onerror='document.title=1'><b id=theirs>"
    lines = [f'title: "{evil}"' if each.startswith("title:") else each for each in text.split("\n")]
    path = tmp_path / "<b>theirs.yaml"
    path.write_text("\n".join(lines), "utf-8")
    page.set_input_files("#own-file", str(path))
    page.get_by_text(evil).first.wait_for(timeout=60_000)
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    page.wait_for_selector("#own-working math", state="attached", timeout=60_000)
    assert page.evaluate("document.getElementById('theirs')") is None
    assert page.title() != "1" and offline_page.troubles == []


@pytest.mark.long
@needs_engine
def test_own_job__its_papers_are_those_of_the_command_line(
    offline_page: OfflinePage, built_site: Path, root: Path, tmp_path: Path
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    with page.expect_download(timeout=60_000) as saved:
        page.click("#own-papers")
    assert saved.value.suggested_filename == "marram-papers.html"
    said_by("record", str(root / "diagrams/marram.yaml"), "-o", str(tmp_path / "papers"))
    own = Path(saved.value.path()).read_text("utf-8")
    assert own == (tmp_path / "papers" / "all-sheets.html").read_text("utf-8")
    assert "not to be energised" in own and offline_page.troubles == []


@pytest.mark.long
@needs_engine
def test_own_job__a_blank_survey_and_an_inspection_on_a_phone_are_those_of_the_command_line(
    offline_page: OfflinePage, built_site: Path, root: Path, tmp_path: Path
) -> None:
    offline_page.page.set_viewport_size({"width": 390, "height": 844})
    page = opened(offline_page, built_site)
    judged(page)
    page.get_by_role("link", name="print what to look at").click()
    assert "own-on-site" in page.url
    blank, foreign = tmp_path / "own.yaml", root / "tests/engine/survey/pellmoor.yaml"
    said_by("blank", str(blank))
    for file, title, sheet in (
        (blank, "Not named yet", "survey"),
        (foreign, "House on Pellmoor Green", "inspection"),
    ):
        if file == blank:
            page.click("#own-blank")
        else:
            page.set_input_files("#own-file", str(file))
        page.locator("#own-verdict .may-not", has_text=title).wait_for(timeout=60_000)
        page.evaluate(
            "sheet => { document.querySelector(`[data-sheet=${sheet}]`).closest('details').open ="
            " true }",
            sheet,
        )
        shown = page.locator(f"[data-sheet={sheet}] .looked li")
        shown.first.wait_for(timeout=60_000)
        assert shown.count() > 30
        with page.expect_download(timeout=60_000) as saved:
            page.click(f"[data-save={sheet}]")
        out = tmp_path / sheet
        said_by("record", str(file), "-o", str(out))
        own = Path(saved.value.path()).read_text("utf-8")
        assert own == (out / f"{sheet}.html").read_text("utf-8")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
    told = page.text_content("[data-sheet=inspection]")
    assert "feeds something else too: freezer socket" in told
    assert offline_page.troubles == []


def tabbed_to(page: Any, where: str, most: int = 400) -> None:
    """Tab after Tab, until what is wanted has the focus."""
    for _ in range(most):
        if page.evaluate("where => !!document.activeElement?.matches(where)", where):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not come to {where}")


@pytest.mark.long
@needs_engine
def test_own_job__from_the_survey_to_the_verdict_and_the_papers_by_the_keyboard(
    offline_page: OfflinePage, built_site: Path
) -> None:
    page = opened(offline_page, built_site)
    judged(page)
    page.get_by_text("Now: ").wait_for(timeout=60_000)
    before = page.inner_text("#own-verdict")
    tabbed_to(page, "#own-form [data-path=supply] > summary")
    page.keyboard.press("Enter")
    tabbed_to(page, "#own-q-supply-isolator")
    page.keyboard.press("n")  # from "yes" to "no"
    page.keyboard.press("Tab")
    page.locator("#own-changed details").wait_for(timeout=60_000, state="attached")
    page.get_by_text("Now: ").wait_for(timeout=60_000)
    assert "isolator: false" in page.input_value("#own-text")
    assert page.inner_text("#own-verdict").split(":")[0] == before.split(":")[0]
    tabbed_to(page, "details:has([data-sheet=survey]) > summary")
    page.keyboard.press("Enter")
    page.locator("[data-sheet=survey] .looked li").first.wait_for(timeout=60_000)
    tabbed_to(page, "[data-save=survey]")
    with page.expect_download(timeout=60_000) as sheet:
        page.keyboard.press("Enter")
    assert sheet.value.suggested_filename == "marram-survey.html"
    page.keyboard.press("Home")
    page.evaluate("document.activeElement.blur()")
    page.locator("#own-take").focus()
    tabbed_to(page, "#own-papers")
    with page.expect_download(timeout=120_000) as papers:
        page.keyboard.press("Enter")
    assert papers.value.suggested_filename == "marram-papers.html"
    assert offline_page.troubles == []


@pytest.mark.long
@needs_engine
def test_own_job__says_no_key_but_in_the_text(
    offline_page: OfflinePage, built_site: Path, root: Path
) -> None:
    """Two plain notes, all folds open: what a reader sees holds words of the trade; the verdict
    stands before the form, and what is counted is the same wherever it stands.
    """
    page = opened(offline_page, built_site)
    judged(page)
    for name in ("tansel", "hollinbeck"):
        path = root / f"tests/engine/survey/{name}.yaml"
        page.set_input_files("#own-file", str(path))
        title = path.read_text("utf-8").splitlines()[0].removeprefix("title: ")
        page.locator("#own-verdict .may-not", has_text=title).wait_for(timeout=60_000)
        page.get_by_text("Now: ").wait_for(timeout=60_000)
        page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
        page.wait_for_selector("#own-working math", state="attached", timeout=60_000)
        page.wait_for_selector("[data-sheet=inspection] h3", state="attached", timeout=60_000)
        words = page.evaluate(SHOWN)
        keys = re.compile(r"\b(?:supply|feed|board|circuits|electrodes)\.[a-z]\w*\b|[a-z]+_mm2\b")
        assert not [each for each in words if keys.search(each)], name
        questions = re.search(r"(\d+) questions? (?:is|are) open", page.inner_text("#own-verdict"))
        checks = re.search(r"not known (\d+)", page.inner_text("#own-status"))
        assert questions and checks
        told = f"{checks[1]} checks lack a figure; {questions[1]} questions would settle that"
        assert told in page.inner_text("#own-findings")
    first, form = (page.locator(each).bounding_box() for each in ("#own-verdict", "#own-form"))
    assert first and form and first["y"] < form["y"]
    assert offline_page.troubles == []


# Every text of the page but the file itself, and but what only the printed sheets show.
SHOWN = """() => {
  const walker = document.createTreeWalker(
    document.getElementById("own-job-page"), NodeFilter.SHOW_TEXT), found = [];
  while (walker.nextNode()) {
    if (!walker.currentNode.parentElement.closest("textarea, .keys-of-it, svg"))
      found.push(walker.currentNode.data);
  }
  return found;
}"""


@pytest.mark.long
@needs_engine
def test_own_job__six_surveys_on_a_phone_end_in_sheets_that_say_what_stops_them(
    offline_page: OfflinePage, built_site: Path, root: Path
) -> None:
    offline_page.page.set_viewport_size({"width": 390, "height": 844})
    page = opened(offline_page, built_site)
    judged(page)
    for path in sorted((root / "tests/engine/survey").glob("[!n]*.yaml")):
        page.set_input_files("#own-file", str(path))
        title = path.read_text("utf-8").splitlines()[0].removeprefix("title: ")
        page.locator("#own-verdict .may-not", has_text=title).wait_for(timeout=60_000)
        page.get_by_text("Now: ").wait_for(timeout=60_000)
        with page.expect_download(timeout=120_000) as saved:
            page.click("#own-papers")
        papers = unescape(Path(saved.value.path()).read_text("utf-8"))
        assert title in papers and "not to be energised" in papers, path.name
        assert page.input_value("#own-text") == path.read_text("utf-8"), "no fact was changed"
        wider = page.evaluate("document.documentElement.scrollWidth")
        assert wider <= 390, f"{path.name} scrolls sideways"
    assert offline_page.troubles == []


@pytest.mark.long
@needs_engine
@pytest.mark.parametrize("width", [390, 1280])
def test_own_job__axe_finds_nothing_on_a_page_at_work(
    browser: Any, built_site: Path, width: int
) -> None:
    def at_work(page: Any) -> None:
        judged(page)
        page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
        page.wait_for_selector("#own-working math", state="attached", timeout=60_000)
        page.wait_for_selector("[data-sheet=inspection] h3", state="attached", timeout=60_000)

    tally, options = Tally(), {"viewport": {"width": width, "height": 900}}
    paths = [built_site / PAGE]
    checked(browser, paths, axe_script(newest=True), options, ("light", "dark"), tally, at_work)
    assert tally.runs == 2 and tally.grave == []


@pytest.fixture
def firefox(tmp_path: Path) -> Iterator[Firefox]:
    with started(tmp_path / "firefox") as found:
        yield found


@pytest.mark.long
@needs_engine
@pytest.mark.skipif(
    firefox_path() is None,
    reason="no Firefox found; on Debian: apt-get install --no-install-recommends firefox-esr",
)
def test_own_job__in_firefox_as_the_command_line(
    firefox: Firefox, built_site: Path, root: Path
) -> None:
    firefox.size(390, 844)
    firefox.show(built_site / PAGE)
    firefox.wait("document.querySelector('#own-verdict .may-not') !== null", READY_S)
    for job in ("marram", "tern"):
        file = str(root / f"diagrams/{job}.yaml")
        text = Path(file).read_text("utf-8")
        for what, command in (
            ("work", ("work", file, "--json")),
            ("findings", ("check", file)),
            *((view, ("draw", file, view)) for view in VIEWS),
        ):
            question = json.dumps({"ask": "print", "what": what, "text": text, "file": file})
            own = firefox.ask(f"window.ownJobAsk({question}).then(told => told.printed)")
            assert own == said_by(*command), (job, what)
    assert firefox.troubles == []
