"""Desk: the sample of the guide: an invented class sits a test, is marked, and its report and some
feedback pages are shown.

The questions are for practice: what is assigned to real classes stands nowhere in the guide. What
went wrong is planted, so a reader can see that the report finds it.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from firstway.desk.analysis.class_analysis import analysis_of
from firstway.desk.analysis.class_report import report_html
from firstway.desk.analysis.feedback import feedback_html
from firstway.desk.analysis.simulating import Planted, simulated
from firstway.desk.answers.answer_files import HandedIn, SetAside
from firstway.desk.marking.marking_class import ClassMarks, class_marks
from firstway.desk.marking_run import chapter_titles
from firstway.desk.papers.class_list import learners_from_csv
from firstway.desk.papers.drawing_lots import draws_of
from firstway.desk.papers.editions import Editions
from firstway.desk.papers.key import PaperKey
from firstway.desk.papers.making import Pool, Setting, edition_of, page_style, paper_key, pools_of
from firstway.desk.papers.marking_scheme import scheme_html
from firstway.desk.shared.sheets import feedback_style, paper_style, style_of
from firstway.files.disk import text_of_file
from firstway.problems import Problem
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.sources import Sources
from firstway.quiz.paper.recipe import questions_of, recipe_from_yaml
from firstway.quiz.paper.scripts import paper_script, slim_script
from firstway.quiz.shelf import Shelf

RECIPE, CLASS = "quiz/classes/sample-test.yaml", "quiz/classes/monday-evening.csv"
VARIANTS = 3
NO_SECRET = "00" * 32
"""A sample proves nothing of anybody: its issue codes need no secret."""
PLANTED = Planted(
    mistakes={
        "using the device rating for the load current": 0.55,
        "taking surge protection for protection against shock": 0.35,
    },
    hard=("surge-thicker", "fault-smallest-current"),
    copies={"M08": "M28"},
)
ABSENT, LATE, TWICE, DAMAGED = ("M09", "M31"), "M14", "M05", "M33"
_CLOSES = "2026-11-23T20:15:00Z"
SHOWN_PAPER, SHOWN_FEEDBACK = "M01", ("M01", "M02", "M14")


def sample_questions(root: Path, shelf: Shelf) -> tuple[list[Question], list[Problem]]:
    """The questions of the sample; none in a project without it."""
    if not (root / RECIPE).is_file() or not (root / CLASS).is_file():
        return [], []
    recipe, problems = recipe_from_yaml(text_of_file(root / RECIPE)[0], RECIPE)
    return questions_of(shelf.bank, recipe, shelf.chapters) if recipe else ([], problems)


def sample_pages(
    root: Path, shelf: Shelf, sources: Sources
) -> tuple[dict[str, str], list[Problem]]:
    """File name to page: report, marking scheme, one learner's paper, three feedback pages."""
    made, problems = sample_paper(root, shelf, sources)
    if made is None:
        return {}, problems
    key, pools, introduction = made
    marks = sample_marks(key)
    style, titles = style_of(root), chapter_titles(root)
    setting = Setting(
        key,
        pools,
        introduction,
        paper_style(page_style(root, key.pictures.values())),
        slim_script(paper_script()),
    )
    own = {each.code: each for each in marks.marked}
    pages: dict[str, str] = {
        "report.html": report_html(marks, analysis_of(marks), style),
        "marking-scheme.html": scheme_html(key, style),
        f"paper-{SHOWN_PAPER}.html": setting.page(key.sheets[SHOWN_PAPER]),
    }
    pages |= {
        f"feedback-{code}.html": feedback_html(key, own[code], feedback_style(root), titles)
        for code in SHOWN_FEEDBACK
    }
    return pages, []


def sample_paper(
    root: Path, shelf: Shelf, sources: Sources
) -> tuple[tuple[PaperKey, list[Pool], str] | None, list[Problem]]:
    """The sample's key with its questions, worked, and what its papers say first."""
    recipe, problems = recipe_from_yaml(text_of_file(root / RECIPE)[0], RECIPE)
    learners, found = learners_from_csv(text_of_file(root / CLASS)[0], CLASS)
    if recipe is None or problems or found:
        return None, [*problems, *found]
    questions, problems = questions_of(shelf.bank, recipe, shelf.chapters)
    draws = draws_of(recipe.seed, recipe.id)
    pools, found = pools_of(questions, sources, draws, VARIANTS)
    if problems or found:
        return None, [*problems, *found]
    return (
        paper_key(recipe, pools, shelf, learners, draws, NO_SECRET, edition_of(questions, sources)),
        pools,
        recipe.introduction,
    ), []


def sample_marks(key: PaperKey) -> ClassMarks:
    """The class, marked, with what happens in every class: two stay away, one is late, one hands in
    twice, one file is damaged.
    """
    files = simulated(key, [code for code in key.sheets if code not in ABSENT], PLANTED, "sample")
    late = replace(files[LATE], saved="2026-11-23T20:31:00.000Z")
    earlier = replace(
        files[TWICE],
        file=f"{key.paper}-{TWICE}-answers (1).json",
        saved="2026-11-23T19:25:00.000Z",
        answers=dict(list(files[TWICE].answers.items())[:9]),
    )
    handed_in: list[HandedIn] = [
        late if code == LATE else own for code, own in files.items() if code != DAMAGED
    ]
    aside = [
        SetAside(
            files[DAMAGED].file,
            "damaged: this is not whole JSON (cut off, or changed by another program)",
        )
    ]
    return class_marks(Editions(key), [*handed_in, earlier], (), aside, closes=_CLOSES)
