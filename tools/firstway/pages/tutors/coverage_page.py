"""Pages: for the tutor: what the ready papers ask, recipe by outcome by kind by difficulty.

Counts alone; no question is shown.
"""

from collections.abc import Sequence

from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.pages.tutors.kind_words import kinds_in_words
from firstway.quiz.bank.question import DIFFICULTIES, AskedCount, Question, asked_of
from firstway.quiz.paper.practice_sets import ENOUGH_SETS
from firstway.quiz.paper.recipe import Recipe, questions_of
from firstway.rendering.html import Markup, caution_fold_html, counted, joined, table_html, tag

_PATH = "tutors/coverage.md"
_TEXT = """\
# What the ready papers cover

For the tutor who chooses a paper: each recipe for a class by outcome, kind and difficulty, counted
from the bank. What is asked is not shown: it is for the learners' papers alone. Difficulty: 1 name
or recognise, 2 explain, 3 apply or calculate, 4 judge.
{{ .for }}

{caution}

{papers}

{few}

`paper` prints the same lines for a recipe of your own when it makes the papers.
"""


def coverage_pages(project: Project) -> list[PageSheet]:
    """The page; none in a project without recipes to assign."""
    papers = []
    for recipe in project.shelf.recipes:
        if recipe.use == "assigned":
            questions, _ = questions_of(project.shelf.bank, recipe, project.outcomes)
            papers.append(
                _paper_html(
                    recipe,
                    questions,
                    asked_of(
                        questions,
                        [
                            (chapter.title, outcome.id, outcome.text)
                            for chapter in project.outcomes
                            for outcome in chapter.outcomes
                        ],
                    ),
                )
            )
    if not papers:
        return []
    parts = {
        "caution": caution_fold_html(),
        "papers": joined(papers),
        "few": _few_html(project.shelf.bank),
    }
    return [
        PageSheet(
            _PATH,
            "What the ready papers cover",
            _TEXT.format(**{name: part_mark(name) for name in parts}),
            parts,
            "Recipes for a class by outcome, kind and difficulty.",
        )
    ]


def _few_html(bank: Sequence[Question]) -> Markup:
    """Questions of the guide that bring few other figures when they come back, each with why."""
    rows = [
        [question.id, question.chapter.replace("-", " "), question.few_sets]
        for question in bank
        if question.few_sets and question.use == "practice"
    ]
    if not rows:
        return Markup()
    told = "Where a figure is asked for, a question that comes back brings other figures: at least"
    return (
        tag("h2", "Questions with few sets of figures", id="few-sets")
        + tag("p", f"{told} {ENOUGH_SETS} sets of them, but for these.")
        + table_html(
            ("question", "chapter", "why"),
            rows,
            "Questions of the guide with few sets of figures",
            "plain rows",
        )
    )


def _paper_html(recipe: Recipe, questions: list[Question], asked: list[AskedCount]) -> Markup:
    rows = [
        [
            row.chapter,
            row.outcome,
            kinds_in_words(row.kinds),
            *(str(dict(row.difficulties).get(level, "")) for level in DIFFICULTIES),
            str(row.safety or ""),
        ]
        for row in asked
    ]
    drawings = sum(question.drawing is not None for question in questions)
    facts = Markup("{}, {}, {}. Recipe: <code>quiz/papers/{}.yaml</code>.").format(
        counted(len(questions), "question"),
        counted(drawings, "drawing"),
        counted(len(asked), "outcome"),
        recipe.id,
    )
    heads = (
        "chapter",
        "a learner can",
        "kinds",
        *(f"difficulty {level}" for level in DIFFICULTIES),
        "safety",
    )
    table = table_html(heads, rows, recipe.title, "plain rows")
    return tag("h2", recipe.title, id=recipe.id) + tag("p", facts) + table
