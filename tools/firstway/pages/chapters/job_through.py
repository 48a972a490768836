"""Pages: one job that runs through the chapters: a blank or two at each chapter's end, and the
sheet that fills up. Without scripts each line stands with its answer folded.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.pages.chapters.answer import Answer, Complaint
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.problems import Problem
from firstway.quiz.bank.tasks import JOB_FILE, JobBlank
from firstway.quiz.forms.registry import data_of_key
from firstway.quiz.forms.worked_question import WorkedQuestion, html_of
from firstway.quiz.marking.marking import MARK_WORDS
from firstway.quiz.paper.page import json_for_page
from firstway.quiz.paper.practice_sets import practice_sets
from firstway.rendering.figures import unit_text
from firstway.rendering.html import Markup, caution_fold_html, details_html, joined, tag

THE_JOB = "the-job.md"
JOB_TITLE = "The job through the book"
_TEXT = """\
# {title}

For the trainee: one job, {job}, from the survey to handing over. Each chapter ends with a line or
two of it to work; here they stand on one sheet.
{{ .for }}

{caution}

{sheet}

A figure of yours is kept on this device with your record, and moves to another with its file.
"""
_STYLE = tag("link", rel="stylesheet", href="{root}assets/tasks.css")
_SCRIPTS = tag("script", src="{root}assets/progress.js", defer=True) + tag(
    "script", src="{root}assets/job.js", defer=True
)


def job_box(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{job: here}`: the lines of this chapter, to be worked."""
    job = guide.project.shelf.job
    if arguments != ("here",):
        return Complaint("this directive has one form", "write {job: here}")
    blanks = [each for each in job.blanks if each.chapter == page.front.chapter] if job else []
    if job is None or not blanks:
        return Complaint(
            "the job through the book has no line for this page",
            f"give {JOB_FILE} a blank of this chapter",
        )
    known = [(each, made) for each in blanks if (made := guide.questions.get(each.question))]
    data = {
        "words": MARK_WORDS,
        "keys": {each.question: data_of_key(made.key) for each, made in known},
    }
    return Answer(
        _STYLE
        + tag(
            "section",
            tag(
                "p",
                tag("a", JOB_TITLE, href=f"{{root}}{THE_JOB.removesuffix('.md')}.html"),
                class_="quick-head",
            ),
            joined(_blank_html(each, made) for each, made in known),
            tag("script", json_for_page(data), type="application/json", class_="job-data"),
            class_="job-box quick",
            aria_label=JOB_TITLE,
        )
        + _SCRIPTS
    )


def _blank_html(blank: JobBlank, worked: WorkedQuestion) -> Markup:
    unit, name = unit_text(worked.unit), f"job-{blank.question}"
    return tag(
        "div",
        tag("p", html_of(worked.stem), class_="quick-stem"),
        tag(
            "p",
            tag("label", f"{blank.line_of_sheet}: ", for_=name),
            tag("input", type="text", id=name, inputmode="decimal", maxlength=40),
            f" {unit} ",
            tag("button", "Enter it on the sheet", type="button"),
            class_="job-field",
            hidden=True,
        ),
        tag("div", role="status", class_="job-said"),
        details_html("Answer and why", practice_sets(worked)[0].fold, "more"),
        class_="job-blank",
        data_question=blank.question,
    )


def job_page(guide: Guide) -> tuple[list[PageSheet], list[Problem]]:
    """The sheet of the one job; none where the project has no such job."""
    project = guide.project
    through = project.shelf.job
    if through is None or project.broken:
        return [], []
    job = project.job(through.installation)
    if job is None:
        said = f"there is no installation '{through.installation}'"
        return [], [Problem(JOB_FILE, 1, said, "name a file of diagrams/")]
    titles = {chapter.id: chapter.title for chapter in project.outcomes}
    rows = joined(
        _row_html(guide, chapter, titles[chapter], own)
        for chapter in titles
        if (own := [each for each in through.blanks if each.chapter == chapter])
    )
    sheet = (
        _STYLE
        + tag("p", role="status", class_="job-count")
        + tag(
            "table",
            tag(
                "thead",
                tag(
                    "tr",
                    *(
                        tag("th", head, scope="col")
                        for head in ("Chapter", "Line", "Yours", "Worked")
                    ),
                ),
            ),
            tag("tbody", rows),
            class_="plain job-sheet",
        )
        + tag(
            "p",
            "All of this job, drawn and worked: ",
            tag(
                "a", job.installation.title, href=f"{{root}}jobs/{through.installation}/index.html"
            ),
            ".",
        )
        + _SCRIPTS
    )
    text = _TEXT.format(
        title=JOB_TITLE,
        job=job.installation.title,
        caution=part_mark("caution"),
        sheet=part_mark("sheet"),
    )
    parts = {"caution": caution_fold_html(), "sheet": sheet}
    described = "One job from survey to handing over, a line or two a chapter, on one sheet."
    return [PageSheet(THE_JOB, JOB_TITLE, text, parts, described)], []


def _row_html(guide: Guide, chapter: str, title: str, own: Sequence[JobBlank]) -> Markup:
    page = guide.project.chapter_page(chapter)
    way = tag("a", title, href=f"{{root}}{page.html_path}") if page else title
    return joined(
        tag(
            "tr",
            tag("th", way, scope="row") if not place else tag("td"),
            tag("td", each.line_of_sheet),
            tag("td", class_="job-yours", data_line=each.question),
            tag("td", _worked(guide.questions.get(each.question))),
        )
        for place, each in enumerate(own)
    )


def _worked(made: WorkedQuestion | None) -> Markup:
    return (
        tag("details", tag("summary", "show"), practice_sets(made)[0].fold, class_="more job-show")
        if made
        else Markup()
    )
