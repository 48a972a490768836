"""Pages: tasks for the hands on a rig that was proved dead, a sheet or two of A4 each, with what an
assessor looks for and lines to sign on paper.
"""

from __future__ import annotations

from firstway.pages.chapters.quoting import Quoting
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.markup import inert
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.problems import Problem
from firstway.quiz.bank.tasks import BenchTask
from firstway.rendering.html import Markup, caution_html, joined, tag

BENCH = "bench/"
BENCH_INDEX = f"{BENCH}index.md"
_INDEX = """\
# Bench tasks

For the tutor with a bench, and for the trainee at it: work for the hands on a training rig. The rig
is supplied by nothing, isolated, and proved dead by the learner before the cover comes off. Each
task prints on one or two sheets of A4.
{{ .for }}

{caution}

{tasks}

What the assessor ticks and signs is on paper: this guide keeps nothing of it, and a sheet is no
proof of competence by itself.
"""
_TEXT = """\
# {title}

For the trainee at a dead rig, with an assessor beside. About {minutes} minutes.
{{ .for }}

{caution}

{body}

{foot}
"""
_STYLE = tag("link", rel="stylesheet", href="{root}assets/tasks.css")
_DEAD = (
    "Training rig alone: no supply is connected. Isolate, lock off, and prove dead by an approved"
    " voltage indicator that was proved before and after, even on a rig. Stop if anything reads."
)


def bench_pages(guide: Guide) -> tuple[list[PageSheet], list[Problem]]:
    """The list of tasks and a page each; none where there is no task."""
    tasks = guide.project.shelf.bench
    if not tasks:
        return [], []
    pages, problems = [], []
    for task in tasks:
        page, found = _page(guide, task)
        pages.append(page)
        problems += found
    index = PageSheet(
        BENCH_INDEX,
        "Bench tasks",
        _INDEX.format(caution=part_mark("caution"), tasks=part_mark("tasks")),
        {"caution": caution_html(), "tasks": _list_html(guide, tasks)},
        f"{len(tasks)} tasks for the hands on a dead rig, to print.",
    )
    return [index, *pages], problems


def _list_html(guide: Guide, tasks: tuple[BenchTask, ...]) -> Markup:
    titles = {chapter.id: chapter.title for chapter in guide.project.outcomes}
    return tag(
        "ul",
        joined(
            tag(
                "li",
                tag("a", task.title, class_="way-title", href=f"{task.id}.html"),
                " ",
                tag(
                    "span",
                    f"{task.minutes} minutes; {titles.get(task.chapter, task.chapter)}",
                    class_="way-note",
                ),
            )
            for task in tasks
        ),
        class_="way-list",
    )


def _page(guide: Guide, task: BenchTask) -> tuple[PageSheet, list[Problem]]:
    path = f"{BENCH}{task.id}.md"
    quoting = Quoting(guide, path, task.file)

    def said(text: str, key: str) -> Markup:
        return quoting.words(text, task.lines_of.get(key, task.line or 1))

    def listed(kind: str, key: str, texts: tuple[str, ...]) -> Markup:
        items = (said(text, f"{key}.{place}") for place, text in enumerate(texts, 1))
        return tag(kind, joined(tag("li", item) for item in items))

    looked_for = joined(
        tag(
            "tr",
            tag("td", quoting.words(each.text, each.line)),
            tag("td", "must" if each.must else ""),
            tag(
                "td",
                tag("span", class_="bench-box"),
                tag("span", "not yet seen", class_="unseen-words"),
            ),
        )
        for each in task.looked_for
    )
    pictures = joined(
        quoting.block("picture", picture.split(), task.lines_of.get(f"pictures.{place}", 1))
        for place, picture in enumerate(task.pictures, 1)
    )
    chapter = quoting.linked(task.chapter, task.line)
    parts = {
        "caution": _STYLE + caution_html(),
        "purpose": tag("p", said(task.purpose, "purpose")) + tag("p", "Chapter: ", chapter),
        "needs": listed("ul", "needs", task.needs),
        "hold": tag(
            "div",
            tag("p", tag("strong", "Dead rig. "), _DEAD),
            tag("p", tag("strong", "Hold point. "), said(task.hold, "hold")),
            tag("p", "Seen by the assessor: ", tag("span", class_="bench-line")),
            class_="bench-hold",
        ),
        "steps": listed("ol", "steps", task.steps),
        "looked-for": tag(
            "table",
            tag(
                "thead",
                tag("tr", *(tag("th", head, scope="col") for head in ("Seen", "Must", "Tick"))),
            ),
            tag("tbody", looked_for),
            class_="plain bench-marks",
        ),
        "signed": _signed(),
        **({"pictures": tag("div", pictures, class_="bench-pictures")} if pictures else {}),
    }
    heads = {
        "purpose": "What it is for",
        "needs": "What is needed",
        "hold": "Before you touch it",
        "steps": "Steps",
        "looked-for": "What the assessor looks for",
        "signed": "Signed on paper",
        "pictures": "Pictures",
    }
    parts["foot"] = quoting.foot()
    body = "\n\n".join(
        f"## {head} {{#{name}}}\n\n{part_mark(name)}"
        for name, head in heads.items()
        if name in parts
    )
    text = _TEXT.format(
        title=inert(task.title),
        minutes=task.minutes,
        caution=part_mark("caution"),
        body=body,
        foot=part_mark("foot"),
    )
    described = f"{task.title}: a bench task of about {task.minutes} minutes, to print."
    return PageSheet(path, task.title, text, parts, described), quoting.problems


def _signed() -> Markup:
    rows = ("Learner", "Day", "Assessor", "Result, and what to do again")
    lines = joined(tag("p", f"{row}: ", tag("span", class_="bench-line")) for row in rows)
    said = "Nothing on this page is kept. The signed sheet of paper is the record."
    return tag("div", lines, tag("p", said, class_="cite"), class_="bench-signed")
