"""A quiz of every kind in a real browser, from a file, with the network off: by keyboard alone,
reloaded, saved, printed, narrow.
"""

from __future__ import annotations

import base64
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
import quiz_samples as samples

from firstway.quiz.paper.page import learner_html, quiz_html
from firstway.quiz.paper.scripts import paper_script, practice_script

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
LEAST_TARGET_PX = 24  # WCAG 2.2, success criterion 2.5.8
pytestmark = pytest.mark.browser
HOSTILE = (
    ' </script><script>document.title="taken"</script><img src=x'
    " onerror=\"document.title='taken'\"> \" ' & \u202eabc " + "w" * 120
)

RECORDER = """() => { window.announced = [];
    document.querySelectorAll("[role=status]").forEach(region => new MutationObserver(() => {
        if (region.textContent) window.announced.push(region.textContent); }).observe(region, {childList: true, characterData: true, subtree: true})); }"""


def document(root: Path, path: Path, body: str, scripts: tuple[str, ...], head: str = "") -> Path:
    """The body as a page that needs no other file."""
    assets = root / "content" / "assets"
    style = (assets / "quiz.css").read_text("utf-8")
    run = "".join(f"<script>{script}</script>" for script in scripts)
    path.write_text(
        '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport"'
        f' content="width=device-width"><title>Quiz</title>{head}'
        f"<style>{style}</style><main><h1>Quiz</h1>{body}</main>{run}</html>",
        "utf-8",
    )
    return path


def practice(root: Path, folder: Path, marking: str = "one-by-one", text: str = "") -> Path:
    body = quiz_html(
        "Every kind",
        samples.one_of_each(text),
        "seed",
        quiz_id="every-kind",
        outcomes=samples.OUTCOMES,
        marking=marking,
        others=samples.other_figures(),
        reread=samples.REREAD,
    )
    return document(root, folder / f"{marking}.html", body, (practice_script(),))


def assigned(root: Path, folder: Path, public_key: dict[str, object] | None = None) -> Path:
    body = learner_html(
        "Autumn paper",
        samples.one_of_each(),
        paper="autumn",
        paper_version="0123abcd",
        learner="L07",
        issue="K3F9",
        public_key=public_key,
    )
    return document(root, folder / "paper.html", body, (paper_script(),))


EARLY = """<script>(function () {
    window.early = document.querySelectorAll(".quiz-question").length;
    document.querySelector("[data-question=one] input[value=b]").click();
    if (MARKED) document.querySelector("[data-question=one] .quiz-mark-one").click();
    window.said = document.querySelector("[data-question=one] [role=status]").textContent;
})();</script>"""


def read_in_parts(root: Path, folder: Path, marking: str, marked: str) -> Path:
    """The script below the first question, as the guide's pages have it, and a learner who answers
    that question before the browser has read the next one.
    """
    html = practice(root, folder, marking).read_text("utf-8")
    script = f"<script>{practice_script()}</script>"
    before, end, after = html.replace(script, "").partition("</script>\n<li")
    path = folder / f"early-{marking}.html"
    early = EARLY.replace("MARKED", marked)
    path.write_text(f"{before}</script>{script}{early}<li{after}", "utf-8")
    assert end
    return path


@pytest.mark.parametrize(
    ("marking", "marked"), [("one-by-one", "true"), ("one-by-one", "false"), ("at-the-end", "")]
)
def test_quiz__the_first_question_is_answered_while_the_rest_is_read(
    root: Path, tmp_path: Path, offline_page, marking: str, marked: str
) -> None:
    page = offline_page.show(read_in_parts(root, tmp_path, marking, marked or "false"))
    assert page.evaluate("early") == 1, "nothing else was read"
    first = page.locator("[data-question=one]")
    assert first.locator("input[value=b]").is_checked()
    assert page.inner_text(".quiz-total") == (
        "Marked 1 of 10. Points so far: 1 of 14." if marked == "true" else ""
    )
    assert page.evaluate("said").startswith("Question 1: Right") is (marked == "true")
    page.locator("[data-question=foretell] input[value=b]").check()
    page.reload()  # it finds answers, and answers the same again only after all is back
    assert first.locator("input[value=b]").is_checked()
    assert page.locator("[data-question=foretell] input[value=b]").is_checked()
    assert first.get_attribute("data-state") == ("right" if marked == "true" else None)
    page.locator(".quiz-hand-in").click()
    page.locator(".quiz-hand-in").click()
    assert page.inner_text(".quiz-score") == "Points: 2 of 14."
    page.reload()
    assert page.inner_text(".quiz-score") == "Points: 2 of 14."


class Keyboard:
    """A learner without a pointer."""

    def __init__(self, page: object) -> None:
        self.page = page
        self.press = page.keyboard.press
        self.type = page.keyboard.type

    def reach(self, selector: str) -> None:
        """Press Tab until the field has the focus."""
        for _ in range(120):
            if self.page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            self.press("Tab")
        raise AssertionError(f"no way to {selector} by Tab")

    def mark(self, name: str) -> str:
        """Reach the question's button, press it, and read what is said."""
        self.reach(f"[data-question={name}] .quiz-mark-one")
        self.press("Enter")
        return self.page.inner_text(f"[data-question={name}] [role=status]")

    def answer(self, name: str) -> None:
        """The right answer to one of the samples."""
        field = f"[data-question={name}]"
        if name == "several":
            self.reach(f"{field} [value=a]")
            self.press("Space")
            self.press("Tab")
            self.press("Space")
        elif name == "order":
            self.reach(f'{field} [data-value=a] button[aria-label^="Move down"]')
            self.press("Enter")
            assert (
                self.page.evaluate("document.activeElement.getAttribute('aria-label')")
                == "Move down: Prove it dead"
            ), "the focus stays"
            self.press("Enter")
        elif name == "match":
            self.reach(f"{field} select")
            self.press("b")
            self.press("Tab")
            self.press("a")
        elif name in ("number", "chart", "working"):
            self.reach(f"{field} input")
            for place, figure in enumerate(samples.RIGHT[name].split(" ; ")):
                if place:
                    self.press("Tab")
                self.type(figure.replace(".", ","))
        else:
            self.reach(f"{field} input")
            self.press("ArrowDown")


def test_quiz__every_kind_by_keyboard_alone_and_a_reload_in_the_middle(
    root: Path, tmp_path: Path, offline_page
) -> None:
    page = offline_page.show(practice(root, tmp_path))
    page.evaluate(RECORDER)
    hands = Keyboard(page)
    names = list(samples.RIGHT)
    for name in names[:5]:
        hands.answer(name)
        assert re.match(r"Question \d+:\s*Right", hands.mark(name)), name
    announced = page.evaluate("announced")
    assert any("Place 2 of 3: Prove it dead" in each for each in announced) and any(
        "Place 3 of 3" in each for each in announced
    )
    assert sum("Right" in each for each in announced) >= 5
    page.reload()
    assert [
        page.locator(f"[data-question={name}]").get_attribute("data-state") for name in names[:5]
    ] == ["right"] * 5
    assert (
        page.evaluate(
            "[...document.querySelectorAll('.quiz-steps li')].map(step =>"
            " step.dataset.value).join(' ')"
        )
        == "b c a"
    )
    for name in names[5:]:
        hands.answer(name)
        assert re.match(r"Question \d+:\s*Right", hands.mark(name)), name
    hands.reach(".quiz-hand-in")
    hands.press("Enter")
    assert page.evaluate("document.activeElement.textContent") == "Your result"
    assert page.inner_text(".quiz-score") == "Points: 14 of 14."
    rows = {
        row.locator("th").inner_text(): row.locator("td").inner_text()
        for row in page.locator(".quiz-points tbody tr").all()
    }
    assert rows == {
        "Say what each part does": "7 of 7",
        "Work the figures": "6 of 6",
        "Put the work in order": "1 of 1",
    }
    assert (
        "sample" in page.inner_text(".quiz-sure")
        and not page.is_visible(".quiz-unsure")
        and not page.is_visible(".quiz-reread")
    )
    page.reload()
    assert page.inner_text(".quiz-score") == "Points: 14 of 14."
    hands.reach(".quiz-again")
    hands.press("Enter")
    assert "What drop over 22 m?" in page.inner_text("[data-question=number] legend")
    hands.reach("[data-question=number] input")
    hands.type("5.5 V")
    assert "Right: 5.50 V." in hands.mark("number")
    hands.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Other figures"
    hands.press("Enter")
    assert (
        page.evaluate("document.activeElement.textContent") == "What drop over 26 m?"
        and page.input_value("[data-question=number] input") == ""
    )
    page.reload()
    assert "What drop over 26 m?" in page.inner_text("[data-question=number] legend")
    assert offline_page.troubles == []


def test_quiz__part_marks_and_follow_through_are_told(
    root: Path, tmp_path: Path, offline_page
) -> None:
    page = offline_page.show(practice(root, tmp_path))
    page.evaluate(
        """() => { const put = (selector, value) => { const field = document.querySelector(selector); field.value = value;
        field.dispatchEvent(new Event(field.tagName === "SELECT" ? "change" : "input")); };
        const boxes = document.querySelectorAll("[data-question=working] input");
        ["16", "20", "40"].forEach((typed, place) => { boxes[place].value = typed; boxes[place].dispatchEvent(new Event("input")); });
        put("[data-question=match] select", "b"); }"""
    )
    said = {}
    for name in ("working", "match"):
        page.click(f"[data-question={name}] .quiz-mark-one")
        said[name] = page.inner_text(f"[data-question={name}] [role=status]")
    assert (
        "Partly right." in said["working"]
        and said["working"].count("follow-through") == 2
        and "forgot a half" in said["working"]
    )
    assert "Partly right." in said["match"] and "Row 2: no answer." in said["match"]
    assert page.locator("[data-question=working]").get_attribute("data-state") == "part"
    spot = page.locator("[data-question=point] .spot[data-spot=c]")
    spot.click()
    assert (
        page.is_checked("[data-question=point] input[value=c]")
        and spot.get_attribute("data-chosen") == "true"
    )
    assert offline_page.troubles == []


def with_record(root: Path, path: Path) -> Path:
    """The page with the script of the record in front."""
    script = (root / "content/assets/progress.js").read_text("utf-8")
    path.write_text(
        path.read_text("utf-8").replace("<script>", f"<script>{script}</script><script>", 1),
        "utf-8",
    )
    return path


MET = "firstwayProgress.record().met.map(row => [row[2], row[3], row[5]])"


def test_quiz__a_miss_teaches_and_is_not_recalled(root: Path, tmp_path: Path, offline_page) -> None:
    page = offline_page.show(with_record(root, practice(root, tmp_path)))
    number, status = "[data-question=number]", "[data-question=number] [role=status]"

    def mark(typed: str) -> str:
        page.fill(f"{number} input", typed)
        page.click(f"{number} .quiz-mark-one")
        return page.inner_text(status)

    said = mark("8.5")
    assert "known mistake: twice" in said and "Try once more." in said and "4.2" not in said
    page.reload()
    assert "Try once more." in page.inner_text(status), "a reload gives no third try"
    assert "Try once more." in mark("8.5"), "the same again is no second try"
    assert page.evaluate(MET) == [["number", "slip", -1]]
    said = mark("4.25")
    assert "Right" in said and "with a hint" in said
    assert page.evaluate(MET) == [["number", "slip", -1], ["number", "hint", -1]]
    assert "Points so far: 0 of 14" in page.inner_text(".quiz-total"), "the first try counts"
    page.check("[data-question=one] .quiz-confidence [value='1']")
    wrong = page.locator("[data-question=one] .quiz-options input").last
    right = page.locator("[data-question=one] .quiz-options input").first
    wrong.check()
    page.click("[data-question=one] .quiz-mark-one")
    assert page.evaluate(MET)[-1] == ["one", "slip", 1], "sure, and wrong"
    page.click("[data-question=one] .quiz-show")
    assert "The answer:" in page.inner_text("[data-question=one] [role=status]")
    right.check()
    page.click("[data-question=one] .quiz-mark-one")
    assert len(page.evaluate(MET)) == 3, "what was told is not asked"
    page.reload()
    assert len(page.evaluate(MET)) == 3 and page.is_checked("[data-question=one] [value='1']")
    page.click(".quiz-hand-in")
    page.click(".quiz-hand-in")
    assert page.inner_text(".quiz-score") == "Points: 0 of 14."
    assert page.evaluate("firstwayProgress.summary([]).last.quiz") == "every-kind"
    assert page.evaluate("firstwayProgress.summary([]).last.answered") == 2
    assert offline_page.troubles == []


def test_quiz__again_brings_other_figures_another_order_and_other_letters(
    root: Path, tmp_path: Path, offline_page
) -> None:
    page = offline_page.show(with_record(root, practice(root, tmp_path)))
    shown = """() => [...document.querySelectorAll(".quiz-question")].map(question =>
        [question.dataset.question, question.querySelector(".quiz-place").textContent,
         question.querySelector(".quiz-stem").textContent,
         [...question.querySelectorAll(".quiz-options label")].map(each => each.textContent)])"""
    first = page.evaluate(shown)
    page.click(".quiz-hand-in")
    page.click(".quiz-hand-in")
    seen = [first]
    for _ in range(3):
        page.click(".quiz-again")
        seen.append(page.evaluate(shown))
        assert [each[1] for each in seen[-1]] == [f"Question {n} of 10" for n in range(1, 11)]
        page.reload()
        assert page.evaluate(shown) == seen[-1], "a reload changes nothing"
        page.click(".quiz-hand-in")
        page.click(".quiz-hand-in")
    assert len({tuple(each[0] for each in turn) for turn in seen}) == 4
    assert len({each[2] for turn in seen for each in turn if each[0] == "number"}) >= 3
    for letters in ([label.strip()[0] for label in each[3]] for turn in seen for each in turn):
        assert letters == sorted(letters)
    page.click(".quiz-again")
    page.evaluate("document.querySelector('[data-question=one] .quiz-options input').click()")
    assert offline_page.troubles == []


def test_print__a_handed_in_quiz_prints_as_it_stands(
    root: Path, tmp_path: Path, offline_page
) -> None:
    page = offline_page.show(practice(root, tmp_path, "at-the-end"))
    page.fill("[data-question=number] input", "8.5")
    page.click(".quiz-hand-in")
    page.click(".quiz-hand-in")
    page.emulate_media(media="print")
    assert page.is_visible(".quiz-score") and page.is_visible("[data-question=number] input")
    assert "known mistake" in page.inner_text("[data-question=number] [role=status]")
    assert page.is_visible("[data-question=number] [role=status]")
    assert not page.locator("button:visible, .quiz-sheet:visible, .quiz-keep:visible").count()
    assert offline_page.troubles == []


def test_quiz__at_the_end_tells_nothing_before_it_is_handed_in(
    root: Path, tmp_path: Path, offline_page
) -> None:
    page = offline_page.show(practice(root, tmp_path, "at-the-end"))
    assert (
        not page.is_visible(".quiz-mark-one")
        and not page.is_visible(".quiz-mark-all")
        and not page.is_visible(".quiz-answers")
    )
    page.fill("[data-question=number] input", "8.5")
    page.press("[data-question=number] input", "Enter")
    page.click(".quiz-hand-in")
    assert "9 questions have no answer" in page.inner_text(".quiz-total")
    assert page.evaluate(
        "[...document.querySelectorAll('.quiz-question [role=status]')].every(said =>"
        " !said.textContent)"
    )
    page.click(".quiz-hand-in")
    assert page.inner_text(".quiz-score") == "Points: 0 of 14." and page.is_visible(".quiz-answers")
    assert "known mistake: twice" in page.inner_text("[data-question=number] [role=status]")
    safety = page.locator(".quiz-unsure a").all_inner_texts()
    assert [words.partition(":")[0] for words in safety] == ["Question 1", "Question 4"]
    assert [
        link.get_attribute("href") for link in page.locator(".quiz-reread a:visible").all()
    ] == [each[1] for each in samples.REREAD.values()]
    assert offline_page.troubles == []


def test_quiz__a_saved_file_is_loaded_elsewhere(
    root: Path, tmp_path: Path, offline_page, browser
) -> None:
    path = practice(root, tmp_path)
    page = offline_page.show(path)
    hands = Keyboard(page)
    for name in samples.RIGHT:
        hands.answer(name)
    with page.expect_download() as download:
        page.click(".quiz-save")
    saved = tmp_path / "saved.json"
    download.value.save_as(saved)
    state = json.loads(saved.read_text("utf-8"))
    assert {
        name: typed.replace(",", ".") for name, typed in state["answers"].items()
    } == samples.RIGHT and state["format"] == "firstway answers 2"
    older = tmp_path / "older.json"
    older.write_text(
        json.dumps(
            {
                "format": "firstway answers 1",
                "quiz": "every-kind",
                "version": "0",
                "answers": {"one": "o1234567", "number": "9,9"},
                "handed_in": True,
            }
        ),
        "utf-8",
    )
    context = browser.new_context(offline=True)
    try:
        other = context.new_page()
        other.goto(path.as_uri())
        other.set_input_files(".quiz-load input", saved)
        other.wait_for_function("document.querySelector('.quiz-kept').textContent")
        assert other.inner_text(".quiz-kept") == "Your answers are back."
        other.click(".quiz-hand-in")
        assert other.inner_text(".quiz-score") == "Points: 14 of 14."
        other.evaluate("document.querySelector('.quiz-kept').textContent = ''")
        other.set_input_files(".quiz-load input", older)
        other.wait_for_function("document.querySelector('.quiz-kept').textContent")
        assert (
            "older edition" in other.inner_text(".quiz-kept")
            and other.input_value("[data-question=number] input") == "9,9"
        )
        assert not other.is_visible(".quiz-result")
    finally:
        context.close()
    assert offline_page.troubles == []


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True)
def test_quiz__fits_a_phone_with_hostile_text(root: Path, tmp_path: Path, offline_page) -> None:
    page = offline_page.show(practice(root, tmp_path, text=HOSTILE))
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.title() == "Quiz" and page.locator("img").count() == 0
    page.locator("[data-question=point] .spot[data-spot=a]").tap()
    assert page.is_checked("[data-question=point] input[value=a]")
    targets = page.evaluate(
        """() => [...document.querySelectorAll("button, select, input[type=text], .quiz-options label, .spot-reach")]
        .map(each => [each.outerHTML.slice(0, 80), each.getBoundingClientRect()]).filter(([_, box]) => box.width)
        .map(([words, box]) => [words, Math.min(box.width, box.height)])"""
    )
    assert len(targets) > 30
    for words, least in targets:
        assert least >= LEAST_TARGET_PX, words
    for name in samples.RIGHT:
        page.locator(f"[data-question={name}] .quiz-mark-one").tap()
    page.locator(".quiz-hand-in").tap()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert offline_page.troubles == []


def pages_of(page: object) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4")))


@pytest.mark.parametrize("make", [practice, assigned])
def test_print__the_answer_sheet_is_a_page_of_its_own(
    root: Path, tmp_path: Path, offline_page, make
) -> None:
    page = offline_page.show(make(root, tmp_path))
    whole = pages_of(page)
    page.add_style_tag(content=".quiz-sheet { display: none !important; }")
    assert whole >= 3 and pages_of(page) == whole - 1
    page.emulate_media(media="print")
    assert not page.locator(
        "button:visible, input:visible, select:visible, .quiz-foot:visible"
    ).count()
    assert page.locator("legend:visible").count() == 10


def test_paper__answers_are_collected_and_saved(root: Path, tmp_path: Path, offline_page) -> None:
    page = offline_page.show(assigned(root, tmp_path))
    hands = Keyboard(page)
    for name in samples.RIGHT:
        hands.answer(name)
    page.reload()
    assert page.inner_text(".quiz-total") == "Answered: 10 of 10. Not saved to a file yet."
    with page.expect_download() as download:
        page.click(".paper-save")
    saved = tmp_path / "saved.json"
    download.value.save_as(saved)
    state = json.loads(saved.read_text("utf-8"))
    assert download.value.suggested_filename == "autumn-L07-answers.json"
    assert {
        name: typed.replace(",", ".") for name, typed in state.pop("answers").items()
    } == samples.RIGHT
    assert all(
        re.fullmatch(r"20\d\d-\d\d-\d\dT\d\d:\d\d:\d\d\.\d\d\dZ", state.pop(time))
        for time in ("begun", "saved")
    )
    assert state == {
        "format": "firstway answers 2",
        "paper": "autumn",
        "paper_version": "0123abcd",
        "learner": "L07",
        "issue": "K3F9",
    }
    assert page.inner_text(".quiz-total") == "Answered: 10 of 10."
    assert offline_page.troubles == []


OPEN = """const crypto = require("crypto"), fs = require("fs"), file = JSON.parse(fs.readFileSync(0, "utf8"));
const key = crypto.privateDecrypt({ key: crypto.createPrivateKey({ key: file.jwk, format: "jwk" }), oaepHash: "sha256",
  padding: crypto.constants.RSA_PKCS1_OAEP_PADDING }, Buffer.from(file.key, "base64"));
const sealed = Buffer.from(file.sealed, "base64"), opener = crypto.createDecipheriv("aes-256-gcm", key, Buffer.from(file.iv, "base64"));
opener.setAuthTag(sealed.subarray(-16));
process.stdout.write(Buffer.concat([opener.update(sealed.subarray(0, -16)), opener.final()]));"""
MAKE = """const { publicKey, privateKey } = require("crypto").generateKeyPairSync("rsa", { modulusLength: 3072 });
process.stdout.write(JSON.stringify([publicKey.export({ format: "jwk" }), privateKey.export({ format: "jwk" })]));"""


@pytest.mark.skipif(
    shutil.which("node") is None, reason="node is not installed: apt-get install nodejs"
)
def test_paper__sealed_answers_open_with_the_tutors_key_alone(
    root: Path, tmp_path: Path, offline_page
) -> None:
    """Sealed by the browser, opened by node's OpenSSL: two implementations of RSA-OAEP (RFC 8017)
    and AES-GCM (NIST SP 800-38D).
    """
    public, private = json.loads(
        subprocess.run(
            ["node", "-e", MAKE], capture_output=True, text=True, check=True, timeout=60
        ).stdout
    )
    page = offline_page.show(assigned(root, tmp_path, public))
    page.fill("[data-question=number] input", "4.25")
    with page.expect_download() as download:
        page.click(".paper-save")
    saved = tmp_path / "sealed.json"
    download.value.save_as(saved)
    sealed = json.loads(saved.read_text("utf-8"))
    assert (
        sorted(sealed) == ["format", "iv", "key", "learner", "paper", "sealed"]
        and sealed["format"] == "firstway sealed answers 1"
    )
    assert len(base64.b64decode(sealed["iv"])) == 12 and len(base64.b64decode(sealed["key"])) == 384
    opened = subprocess.run(
        ["node", "-e", OPEN],
        input=json.dumps({**sealed, "jwk": private}),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert json.loads(opened.stdout)["answers"] == {"number": "4.25"}
    page.set_input_files(".quiz-load input", saved)
    page.wait_for_function("document.querySelector('.quiz-kept').textContent.includes('sealed')")
    assert offline_page.troubles == []
