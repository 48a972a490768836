"""The pages' scripts with what a browser and other people's files may hold: storage refused, full
or poisoned, two windows, saved files of other editions, cut, merged and changed. Papers, practice
quizzes and the ticks beside the chapters.

A case is one page, something in the storage, then twelve things a person does. At no moment may a
script complain or reach out; what the page shows is what it saves, and what is saved has the form
that the desk reads.
"""

from __future__ import annotations

import json
import random
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import quiz_samples as samples
import start
from conftest import watched
from frame import Tried
from in_the_browser import one_browser
from playwright.sync_api import TimeoutError as Timeout

from firstway.desk.answers.answer_files import HandedIn, opened
from firstway.desk.shared.sheets import page_html
from firstway.pages.chapters.ways_in import list_of_chapters
from firstway.pages.shared.state import STATE_SCRIPTS
from firstway.quiz.paper.page import learner_html, quiz_html
from firstway.quiz.paper.scripts import paper_script, practice_script, slim_script
from firstway.rendering.html import Markup, tag

ROOT = start.ROOT
CASES, STEPS = 300, 12
PATIENCE_MS = 60_000  # a campaign runs beside other work
LONGEST = 1000
THINGS: tuple[Any, ...] = (
    None,
    True,
    0,
    -1,
    1e308,
    "",
    "b",
    "zz",
    "a b",
    "b c a",
    "1=b 2=a",
    ";;;",
    "9" * 2000,
    "\ud800",
    "\u202e",
    "</script><img src=x onerror=boom()>",
    [],
    {},
    [[]],
    {"a": 1},
    ["b"],
    {"__proto__": {"x": 1}},
    "__proto__",
    "constructor",
)
REFUSED = """Object.defineProperty(window, "localStorage",
    { get() { throw new DOMException("refused", "SecurityError"); } });"""
FULL = """{ const real = Storage.prototype.setItem; let left = %d;
  Storage.prototype.setItem = function (name, value) { if (left-- <= 0) throw new DOMException("full", "QuotaExceededError"); real.call(this, name, value); }; }"""
UNREADABLE = (
    """Storage.prototype.getItem = () => { throw new DOMException("broken", "UnknownError"); };"""
)
SHOWN = """() => [...document.querySelectorAll(".quiz-question")].map(question => ({
    typed: [...question.querySelectorAll("input[type=text]")].map(box => box.value),
    chosen: [...question.querySelectorAll("input:checked")].map(box => box.value),
    picked: [...question.querySelectorAll("select")].map(box => box.value) }))"""


def prepared(folder: Path) -> Any:
    return one_browser()


# ---- the pages ----


def written(kind: str, path: Path) -> Path:
    """A page of its own of one kind."""
    assets = ROOT / "content/assets"
    if kind == "paper":
        body = learner_html(
            "Autumn",
            samples.one_of_each(),
            paper="autumn",
            paper_version="0123abcd",
            learner="L07",
            issue="K3F9",
        )
        script = slim_script(paper_script())
    elif kind == "quiz":
        body = quiz_html(
            "Every kind",
            samples.one_of_each(),
            "seed",
            quiz_id="every-kind",
            outcomes=samples.OUTCOMES,
            others=samples.other_figures(),
        )
        script = practice_script()
    else:
        page = SimpleNamespace(html_path="none.html", path="none.md", unnoted_text=lambda: "Words.")
        chapters = [
            SimpleNamespace(id=f"chapter-{number}", title=f"Chapter {number}")
            for number in range(1, 6)
        ]
        body = list_of_chapters(
            SimpleNamespace(
                project=SimpleNamespace(outcomes=chapters, chapter_page=lambda name: page),
                quizzes=(),
            )
        ).replace(STATE_SCRIPTS, Markup())
        script = "".join((assets / name).read_text("utf-8") for name in ("progress.js", "state.js"))
    path.write_text(
        page_html(
            kind, tag("h1", kind) + body, (assets / "quiz.css").read_text("utf-8"), script=script
        ),
        "utf-8",
    )
    return path


STORES = {
    "paper": "firstway:paper:autumn:0123abcd:L07",
    "quiz": "firstway:quiz:every-kind:",
    "ticks": "firstway.guide.record.1",
}


def state_of(kind: str) -> dict[str, Any]:
    """What the page itself might have saved."""
    answers = dict(samples.RIGHT)
    if kind == "paper":
        return {
            "format": "firstway answers 2",
            "paper": "autumn",
            "paper_version": "0123abcd",
            "learner": "L07",
            "issue": "K3F9",
            "answers": answers,
            "begun": "2026-11-25T09:00:00.000Z",
            "saved": "2026-11-25T09:50:00.000Z",
        }
    if kind == "quiz":
        return {
            "format": "firstway answers 2",
            "quiz": "every-kind",
            "version": "x",
            "answers": answers,
            "variants": {"number": 1},
            "marked": ["one"],
            "handed_in": False,
        }
    return {
        "kind": "firstway-progress",
        "version": 2,
        "ticks": {"chapter-1": [1796119200000, 1]},
        "until": ["2027-03-01", 1796119200000],
        "met": [[1796119200000, "cable.drop", "cable-drop", "slip", 0, 1]],
        "results": [[1796119200000, "the-cable", 5, 8, 8]],
    }


def bent(draw: random.Random, state: Any) -> str:
    """A saved state in which something is not as it was."""
    way = draw.randrange(8)
    if way < 4 and isinstance(state, dict):
        state = json.loads(json.dumps(state))
        place = draw.choice([state, state.get("answers", state)])
        for _ in range(draw.randint(1, 4)):
            place[draw.choice([*place, "__proto__", "x"])] = draw.choice(THINGS)
        return json.dumps(state)
    text = json.dumps(state)
    if way == 4:
        return text[: draw.randrange(len(text))]
    if way == 5:
        return text + text
    if way == 6:
        start_, end = sorted(draw.randrange(len(text)) for _ in range(2))
        return text[:start_] + text[end:] + text[start_:end]
    return json.dumps(draw.choice(THINGS))


# ---- what a person does ----

ANSWER = """([picks, texts]) => {
    const seen = node => node.getClientRects().length > 0 && !node.disabled;
    const boxes = [...document.querySelectorAll(".quiz-question input, .quiz-question select, .quiz-moves button, [data-chapter] input")].filter(seen);
    picks.forEach((pick, place) => {
        const box = boxes[Math.floor(pick * boxes.length)];
        if (!box) return;
        if (box.type === "text") { box.value = box.maxLength > 0 ? texts[place].slice(0, box.maxLength) : texts[place]; box.dispatchEvent(new Event("input", { bubbles: true })); }
        else if (box.tagName === "SELECT") { box.selectedIndex = Math.floor(pick * 97) % box.options.length; box.dispatchEvent(new Event("change", { bubbles: true })); }
        else box.click();
    }); }"""
TICKED = """() => [...document.querySelectorAll("[data-chapter]:has(input:checked)")].map(each => each.dataset.chapter)"""
PRESS = """picks => { const saves = /paper-save|quiz-save|paper-copy|progress-save/;
    picks.forEach(pick => {
        const found = [...document.querySelectorAll("button, .spot rect")].filter(each => each.getClientRects().length && !each.disabled && !saves.test(each.className));
        const button = found[Math.floor(pick * found.length)];
        if (button) button.dispatchEvent(new MouseEvent("click", { bubbles: true }));
        document.querySelectorAll(".large:popover-open").forEach(large => large.hidePopover());
    }); }"""
TEXTS = (
    "4.25",
    "12,5",
    "9" * 300,
    "x",
    "",
    "\u202e1",
    "1e999",
    "<b>",
    "4.25 V",
    ";",
    "\ud83d\ude00",
)


def answered(draw: random.Random, page: Any) -> None:
    page.evaluate(
        ANSWER, [[draw.random() for _ in range(4)], [draw.choice(TEXTS) for _ in range(4)]]
    )


def pressed(draw: random.Random, page: Any) -> None:
    page.evaluate(PRESS, [draw.random() for _ in range(3)])


def loaded(draw: random.Random, page: Any, kind: str, folder: Path) -> None:
    file = folder / f"load-{draw.getrandbits(40)}.json"
    file.write_bytes(
        bent(draw, state_of(draw.choice((kind, kind, "paper", "quiz", "ticks")))).encode(
            "utf-8", "surrogatepass"
        )
    )
    page.locator("input[type=file]").first.set_input_files(file)
    page.wait_for_timeout(60)


def saved(page: Any, kind: str, folder: Path) -> list[str]:
    """Save; what is saved is what is shown, in the form that is read back."""
    button = page.locator(
        {"paper": ".paper-save", "quiz": ".quiz-save", "ticks": ".progress-save"}[kind]
    )
    shown = page.evaluate(SHOWN)
    with page.expect_download(timeout=PATIENCE_MS) as download:
        button.click()
    path = folder / "saved.json"
    download.value.save_as(path)
    content = path.read_bytes()
    state = json.loads(content)
    if kind == "ticks":
        return (
            []
            if set(state) == {"kind", "version", "ticks", "until", "met", "results"}
            and set(state["ticks"]) >= set(page.evaluate(TICKED))
            else [f"saved {content[:300]!r}"]
        )
    faults = []
    if kind == "paper":
        found = opened(content, "saved.json")
        if not isinstance(found, HandedIn) or (found.learner, found.issue, found.paper) != (
            "L07",
            "K3F9",
            "autumn",
        ):
            faults.append(f"the desk does not read {content[:300]!r}: {found}")
    faults += [
        f"an answer of no text or too long: {answer!r:.80}"
        for answer in state["answers"].values()
        if not isinstance(answer, str) or len(answer) > LONGEST
    ]
    said = " ".join(state["answers"].values())
    for question in shown:
        for value in (
            *question["chosen"],
            *(text.replace(";", " ").strip() for text in question["typed"] if len(text) < 200),
        ):
            if value not in said and value.strip() not in said:
                faults.append(f"shown and not saved: {value!r:.80}")
    return faults


def tried(browser: Any, draw: random.Random, folder: Path) -> Tried:
    """Whatever a person does and finds: no complaint, nothing shown that is not saved.

    A browser that does not answer in time is asked once more, from the same beginning: beside heavy
    work that happens. Twice is a trouble.
    """
    begun = draw.getstate()
    try:
        return once(browser, draw, folder)
    except Timeout:
        draw.setstate(begun)
    try:
        found = once(browser, draw, folder)
    except Timeout as late:
        return Tried((f"no answer in {PATIENCE_MS / 1000:g} s, twice: {str(late)[:300]}",))
    return replace(found, counts={**found.counts, "asked twice": 1})


def once(browser: Any, draw: random.Random, folder: Path) -> Tried:
    """One case."""
    kind = draw.choice(("paper", "paper", "quiz", "ticks"))
    path = written(kind, folder / f"{kind}.html")
    context = browser.new_context(offline=True, accept_downloads=True)
    context.set_default_timeout(PATIENCE_MS)
    poison = bent(draw, state_of(kind)) if draw.random() < 0.9 else json.dumps(state_of(kind))
    context.add_init_script(
        f"""try {{ if (!localStorage.getItem("poisoned")) {{ localStorage.setItem("poisoned", "1");
        localStorage.setItem({json.dumps(STORES[kind])}, {json.dumps(poison)}); }} }} catch (_) {{ }}"""
    )
    broken = draw.choice(("", "", "", REFUSED, FULL % draw.randint(0, 4), UNREADABLE))
    if broken:
        context.add_init_script(broken)
    pages = [context.new_page() for _ in range(draw.choice((1, 1, 2)))]
    seen = [watched(page) for page in pages]
    faults: list[str] = []
    saves = 0
    try:
        for page in pages:
            page.on("dialog", lambda dialog: dialog.accept())
            page.goto(path.as_uri())
        for _ in range(STEPS):
            page = draw.choice(pages)
            step = draw.choice(("answer", "answer", "answer", "load", "press", "reload", "save"))
            if step == "answer":
                answered(draw, page)
            elif step == "load":
                loaded(draw, page, kind, folder)
            elif step == "press":
                pressed(draw, page)
            elif step == "reload":
                page.reload()
            else:
                page.wait_for_timeout(50)  # what another window did arrives
                faults += saved(page, kind, folder)
                saves += 1
        # The browser's own remark on a reload that no hand has touched the page before.
        faults += [
            trouble
            for each in seen
            for trouble in each.troubles
            if "'beforeunload' confirmation" not in trouble
        ]
        faults += (
            ["the prototype is poisoned"]
            if any(page.evaluate("({}).x !== undefined || ({}).a !== undefined") for page in pages)
            else []
        )
        faults += (
            ["a handler ran"]
            if any(page.evaluate("document.images.length") for page in pages)
            else []
        )
    finally:
        context.close()
    return Tried(tuple(f"{kind}: {fault}" for fault in faults), counts={kind: 1, "saved": saves})
