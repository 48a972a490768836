"""Pages: the quizzes of the guide: recipes of the quiz folder to pages that mark themselves; the
whole bank is checked.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from firstway.files.keeping import KeptThing, in_use, kept, kept_each, recalled
from firstway.files.reads import note_read
from firstway.pages.quizzes.quiz_drawings import drawing_of, question_sources
from firstway.pages.quizzes.wall_page import wall_page
from firstway.pages.shared.markup import heading_id, inert
from firstway.pages.shared.project import Project, work_ahead
from firstway.pages.shared.sheet import PageSheet, part_mark, sheet_data
from firstway.problems import Problem
from firstway.quiz.bank.question import Question, outcome_texts
from firstway.quiz.forms.lint import (
    SeenQuestion,
    as_seen,
    flaws_of,
    flaws_of_bank,
    flaws_of_paper,
    flaws_of_variants,
)
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import FEWEST_VARIANTS, variants, worked
from firstway.quiz.paper.coming_back import (
    SESSIONS,
    question_path,
    question_script,
    session_html,
    session_index,
)
from firstway.quiz.paper.page import practice_html
from firstway.quiz.paper.practice_sets import (
    MANY_SETS,
    MOST_SETS,
    PracticeSet,
    practice_sets,
    set_data,
    set_from_data,
)
from firstway.quiz.paper.recipe import Recipe, questions_of
from firstway.quiz.shelf import Shelf
from firstway.rendering.html import Markup, counted
from firstway.spreading.spread import do_ahead
from firstway.spreading.workers import ONE_PROCESS, Workers

_STYLE = Markup('<link rel="stylesheet" href="{root}assets/quiz.css">')
"""Above the quiz: what is dressed late is laid out twice."""
_SCRIPT = Markup(
    '<script src="{root}assets/progress.js"></script><script src="{root}assets/quiz.js"></script>'
)
"""Right below the first question and not deferred: that is ready before the rest is read."""
_SESSION_SCRIPTS = _SCRIPT + Markup('<script src="{root}assets/session.js"></script>')
_COMING_BACK = Recipe(
    id="comes-back", title="", use="practice", seed="comes-back", variants=MANY_SETS
)
"""Every question for practice, with all its sets of figures."""
CHECKED = "quiz-checked"
_KEPT, _SETS = "quizzes", "quiz-sets"


def quiz_sheets(
    project: Project, stands: Callable[[str], str], by: Workers = ONE_PROCESS
) -> tuple[tuple[PageSheet, ...], dict[str, str], list[Problem]]:
    """Every quiz for practice as a page, the questions that come back as scripts of data by their
    paths, and what is wrong with the questions once they are worked.

    A recipe for assigned papers gives no page: a learner's paper holds no key. A quiz is kept; it
    is put together anew where one of its questions, or something it was made from, `stands`
    otherwise, of sets of figures that are kept as well.
    """
    problems: list[Problem] = []
    shelf = project.shelf
    chosen: dict[str, list[Question]] = {}
    recipes = in_reading_order(shelf)
    for recipe in recipes:
        chosen[recipe.file], found = questions_of(shelf.bank, recipe, shelf.chapters)
        problems += found
    if project.broken:  # figures of a broken installation are missing: that alone is told
        return (), {}, sorted(set(problems))
    plain = question_sources(project, drawn=False)
    practised = [question for question in shelf.bank if question.use == "practice"]
    sets = _Sets(
        [*((each, chosen[each.file]) for each in recipes), (_COMING_BACK, practised)], plain, stands
    )
    of_file = _by_file(shelf.bank)
    do_ahead(
        lambda file: (sets.of_file(file), _checks(of_file[file], file, plain, stands)),
        [file for file in of_file if recalled(CHECKED, file, "") is None],
        by,
        lambda: work_ahead(project.jobs, _most_asked(shelf.bank)),
    )
    problems += kept_bank_problems(shelf.bank, plain, stands)
    sheets: list[PageSheet] = []
    texts, pages = outcome_texts(list(shelf.chapters)), pages_of_outcomes(project)
    for recipe in recipes:
        practice = recipe.use == "practice"

        def make() -> tuple[list[PageSheet], list[Problem]]:
            made, wrong = sets.of_quiz(recipe, chosen[recipe.file])
            wrong += flaws_of_paper([each[0].options for each in made], recipe.file)
            return [quiz_sheet(recipe, made, texts, pages)] if practice else [], wrong

        of_outcomes = [(each, texts[each], pages.get(each)) for each in texts] if practice else []
        own, found = kept(
            _KEPT,
            recipe.file,
            repr((recipe, chosen[recipe.file], of_outcomes)),
            make,
            data=lambda made: None if made[1] else [sheet_data(sheet) for sheet in made[0]],
            thing=lambda data: ([PageSheet(**each) for each in data], []),
            stands=stands,
        )
        sheets += own
        problems += found
    asked = [
        (each.id, each.title, [question.id for question in chosen[each.file]])
        for each in recipes
        if each.use == "practice"
    ]
    back, files, found = _coming_back(project, sets, practised, pages, stands, asked)
    return (*back, *sheets), files, sorted({*problems, *found})


def _most_asked(questions: Sequence[Question]) -> list[str]:
    """The installations of questions, that of the most first."""
    return [name for name, _ in Counter(each.installation for each in questions).most_common()]


def _coming_back(
    project: Project,
    sets: _Sets,
    questions: Sequence[Question],
    pages: Mapping[str, tuple[str, str]],
    stands: Callable[[str], str],
    asked: Sequence[tuple[str, str, list[str]]],
) -> tuple[list[PageSheet], dict[str, str], list[Problem]]:
    """The pages whose questions are chosen while they are open, that for a class in a room, and the
    files of those questions; none where nothing is for practice. `asked` says what quizzes ask.
    """
    if not questions or not project.shelf.chapters:
        return [], {}, []
    shelf = project.shelf

    def make() -> tuple[list[PageSheet], dict[str, str], list[Problem]]:
        made, wrong = sets.of_quiz(_COMING_BACK, questions)
        index = session_index(made, shelf.chapters, shelf.confused)
        of: dict[str, list[tuple[PracticeSet, ...]]] = {}
        for each in made:
            of.setdefault(each[0].outcome, []).append(each)
        scripts = {question_path(name): question_script(own) for name, own in of.items()}
        sheets = [
            PageSheet(
                f"quizzes/{each.id}.md",
                each.title,
                f"# {each.title} {{#{each.id}-quiz}}\n\n{part_mark('quiz')}\n",
                {"quiz": _STYLE + session_html(each, index, pages, _SESSION_SCRIPTS)},
                each.introduction,
            )
            for each in SESSIONS
        ]
        sheets.append(wall_page(index, asked))
        return sheets, scripts, wrong

    return kept(
        _KEPT,
        _COMING_BACK.id,
        repr((shelf.chapters, shelf.confused, questions, pages, asked)),
        make,
        data=lambda made: None if made[2] else [[sheet_data(each) for each in made[0]], made[1]],
        thing=lambda data: ([PageSheet(**each) for each in data[0]], dict(data[1]), []),
        stands=stands,
    )


class _Sets:
    """The sets of figures of the questions of quizzes: those of one file of the bank are kept in
    one file, and made anew one by one.
    """

    def __init__(
        self,
        quizzes: Sequence[tuple[Recipe, Sequence[Question]]],
        plain: Sources,
        stands: Callable[[str], str],
    ) -> None:
        self._plain, self._drawn = plain, replace(plain, drawing_of=drawing_of)
        self._stands = stands
        self._wanted: dict[str, dict[str, tuple[Recipe, Question]]] = {}
        for recipe, questions in quizzes:
            for question in questions:
                own = self._wanted.setdefault(question.file, {})
                own[_name(recipe, question)] = recipe, question
        for file in self._wanted:
            in_use(_SETS, file)
        self._made: dict[str, tuple[dict[str, KeptThing], list[Problem]]] = {}

    def of_file(self, file: str) -> tuple[dict[str, KeptThing], list[Problem]]:
        """All of one file of the bank, by recipe and question, and what is wrong with them."""
        if file not in self._made:
            wanted, problems = self._wanted.get(file, {}), []

            def make(name: str) -> tuple[Any, bool]:
                note_read("mistakes")  # the sources hold them
                recipe, question = wanted[name]
                practice, wrong = recipe.use == "practice", list[Problem]()
                made = _sets(question, recipe, self._drawn if practice else self._plain, wrong)
                problems.extend(wrong)
                return [set_data(each) for each in made], not wrong

            of = {name: _hangs_on(*each) for name, each in wanted.items()}
            given = kept_each(_SETS, file, of, make, self._stands)
            self._made[file] = given, problems
        return self._made[file]

    def of_quiz(
        self, recipe: Recipe, questions: Sequence[Question]
    ) -> tuple[list[tuple[PracticeSet, ...]], list[Problem]]:
        """The sets of each question that could be worked, and what is wrong."""
        found, problems = [], list[Problem]()
        for question in questions:
            made, wrong = self.of_file(question.file)
            data, reads = made[_name(recipe, question)]
            note_read(*reads)
            found += [tuple(map(set_from_data, data))] if data else []
            problems += wrong
        return found, problems


def _name(recipe: Recipe, question: Question) -> str:
    return f"{recipe.id} {question.id}"


def _hangs_on(recipe: Recipe, question: Question) -> str:
    return repr((question, recipe.seed, recipe.use, recipe.variants))


def in_reading_order(shelf: Shelf) -> list[Recipe]:
    """The quick quizzes as their chapters are read, then all others by file."""
    places = {chapter.id: place for place, chapter in enumerate(shelf.chapters)}
    return sorted(shelf.recipes, key=lambda recipe: places.get(recipe.chapter, len(places)))


def pages_of_outcomes(project: Project) -> dict[str, tuple[str, str]]:
    """Outcome id to the title and address of the place that teaches it, where it is written."""
    return {
        outcome.id: (
            (
                f"{chapter.title}: {outcome.section}",
                f"{{root}}{page.html_path}#{heading_id(outcome.section)}",
            )
            if outcome.section
            else (chapter.title, f"{{root}}{page.html_path}")
        )
        for chapter in project.outcomes
        if (page := project.chapter_page(chapter.id))
        for outcome in chapter.outcomes
    }


def quiz_sheet(
    recipe: Recipe,
    sets: Sequence[Sequence[PracticeSet]],
    outcomes: Mapping[str, str],
    reread: Mapping[str, tuple[str, str]],
) -> PageSheet:
    """One quiz as a page: for each question its sets of figures, the first one shown first."""
    html = practice_html(
        recipe.title,
        sets,
        recipe.seed,
        quiz_id=recipe.id,
        outcomes=outcomes,
        introduction=recipe.introduction,
        marking=recipe.marked,
        reread=reread,
        pass_percent=recipe.pass_percent,
        script=_SCRIPT,
    )
    head = f"Quiz: {recipe.title}" if recipe.chapter else recipe.title
    text = (  # the quiz itself is `quiz-...`
        f"# {inert(head)} {{#{recipe.id}-quiz}}\n\n{part_mark('quiz')}\n"
    )
    minutes = round(sum(made[0].minutes for made in sets) / 5 + 0.5) * 5
    described = (
        f"{counted(len(sets), 'question')}, about {minutes} minutes. Marked on the page; nothing is"
        " sent anywhere."
    )
    return PageSheet(
        f"quizzes/{recipe.id}.md", recipe.title, text, {"quiz": _STYLE + html}, described
    )


def _by_file(bank: Sequence[Question]) -> dict[str, list[Question]]:
    found: dict[str, list[Question]] = {}
    for question in bank:
        found.setdefault(question.file, []).append(question)
    return found


def kept_bank_problems(
    bank: Sequence[Question], sources: Sources, stands: Callable[[str], str]
) -> list[Problem]:
    """What is wrong with the questions once they are worked: each as it stands and with its first
    other figures, and all together. What hangs on one question alone is kept.
    """
    problems: list[Problem] = []
    seen: list[SeenQuestion] = []
    for file, questions in _by_file(bank).items():
        own, found = _checks(questions, file, sources, stands)
        seen += own
        problems += found
    return [*problems, *flaws_of_bank(seen)]


def _checks(
    questions: Sequence[Question], file: str, sources: Sources, stands: Callable[[str], str]
) -> tuple[list[SeenQuestion], list[Problem]]:
    """The questions of one file as the whole bank is judged by, and what is wrong with each."""
    problems: list[Problem] = []
    own = {question.id: question for question in questions}

    def make(name: str) -> tuple[Any, bool]:
        note_read("mistakes")  # the sources hold them
        made, found = _checked(own[name], sources)
        problems.extend(found)
        return made and [made.options, made.chances], not found

    given = kept_each(CHECKED, file, {name: repr(own[name]) for name in own}, make, stands)
    return [SeenQuestion(own[name], *data) for name, (data, _) in given.items() if data], problems


def _checked(question: Question, sources: Sources) -> tuple[SeenQuestion | None, list[Problem]]:
    made, problems = worked(question, sources, question.file)
    if made is None:
        return None, problems
    problems += flaws_of(made)
    if question.vary:
        problems += flaws_of_variants(
            question,
            variants(question, sources, FEWEST_VARIANTS, question.file),
            FEWEST_VARIANTS,
        )
    return as_seen(made), problems


def _sets(
    question: Question, recipe: Recipe, sources: Sources, problems: list[Problem]
) -> tuple[PracticeSet, ...]:
    """The question with the figures of the installation, and with others as the recipe asks; an
    assigned one with the first alone, for no page of the guide shows it.
    """
    made, found = worked(question, sources, recipe.seed)
    problems += found
    if made is None:
        return ()
    if not question.vary or recipe.variants == 1 or recipe.use != "practice":
        return practice_sets(made)
    most = MANY_SETS if recipe is _COMING_BACK else min(recipe.variants, MOST_SETS)
    first, *others = variants(question, sources, most, recipe.seed) or (made,)
    return practice_sets(first, others, most)
