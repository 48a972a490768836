"""Pages: for the tutor: chapter, outcome and question side by side, counted from the bank, and what
to assign.
"""

from collections import Counter
from collections.abc import Sequence

from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.pages.tutors.kind_words import kinds_in_words
from firstway.quiz.bank.question import ChapterOutcomes, Outcome, Question
from firstway.rendering.html import (
    Markup,
    caution_fold_html,
    counted,
    details_html,
    joined,
    table_html,
    tag,
)

PATH, STEPS = "teach.md", "tutors/class.md"
PRACTICE, ASSIGNED = "practice", "assigned"
_TEXT = """\
# Teach it

For the tutor who plans a class. What each chapter is for, which questions the bank holds for it,
and which of them may be assigned: a question for practice shows its answer on the page, so it is
never assigned.
{{ .for }}

{caution}

{whole}

## Chapter by chapter {{#chapters}}

{chapters}

## What to assign {{#assign}}

Questions that are assigned come without their answers. A recipe says how many of each outcome; the
paper is drawn by its seed, which you keep to yourself, and each learner gets an arrangement of
their own. Copy a recipe, put in a seed of your own (words that nobody guesses), and see {commands}
for the commands that make papers and mark them. A mark is practice, not proof of competence.

{assign}

{room}## Boards to look at together {{#boards}}

[Boards with a mistake](mistakes/index.md) each show one thing wrong, the answer folded. The
[jobs](jobs/index.md) end with readings to fill in before they are shown. The [quick
cards](cards/index.md) print on one sheet each.
"""


_WALL = "[On the wall](tutors/wall.md) puts one question up at a time, moved by a remote."
_BENCH = "[Bench tasks](bench/index.md) are sheets for work on a dead rig, with what to look for."
_SAY_WHY = "[Say why](say-why.md) asks for reasons, to answer aloud."
_WORKED = "[Worked examples](worked/index.md) fade from the whole working to doing it alone."


def teaching_page(project: Project) -> PageSheet:
    """The page for tutors."""
    by_outcome: dict[str, list[Question]] = {}
    for question in project.shelf.bank:
        by_outcome.setdefault(question.outcome, []).append(question)
    parts = {
        "caution": caution_fold_html(),
        "whole": _whole_html(project, by_outcome),
        "chapters": joined(
            _chapter_html(project, chapter, by_outcome) for chapter in project.outcomes
        ),
        "assign": _recipes_html(project.outcomes, by_outcome),
    }
    return PageSheet(
        PATH,
        "Teach it",
        _TEXT.format(
            commands=_commands(project),
            room=_room(project),
            **{name: part_mark(name) for name in parts},
        ),
        parts,
        "Chapters, outcomes and questions side by side, and what to assign to a class.",
    )


def _room(project: Project) -> str:
    """What there is for a class in a room."""
    shelf = project.shelf
    practice = any(question.use == PRACTICE for question in shelf.bank)
    there = (
        (practice and bool(shelf.chapters), _WALL),
        (bool(shelf.worked), _WORKED),
        (bool(shelf.prompts), _SAY_WHY),
        (bool(shelf.bench), _BENCH),
    )
    told = " ".join(words for is_there, words in there if is_there)
    return f"## For a class in a room {{#room}}\n\n{told}\n\n" if told else ""


def _commands(project: Project) -> str:
    """Where the commands stand: the page of the guide that tells them, where it is written."""
    there = any(page.path == STEPS for page in project.chapters)
    return f"[a class in twenty minutes]({STEPS})" if there else "the file README"


def _whole_html(project: Project, by_outcome: dict[str, list[Question]]) -> Markup:
    """Every chapter in one row: what there is for it."""
    rows = []
    for chapter in project.outcomes:
        found = [
            question for outcome in chapter.outcomes for question in by_outcome.get(outcome.id, [])
        ]
        page = project.chapter_page(chapter.id)
        title = (
            tag("a", chapter.title, href=f"{{root}}{page.html_path}")
            if page
            else f"{chapter.title} (coming)"
        )
        rows.append(
            [
                title,
                str(len(chapter.outcomes)),
                *_counts(found),
                str(sum(question.safety for question in found)),
                str(_minutes(found, PRACTICE)),
            ]
        )
    return table_html(
        ("chapter", "outcomes", "to practise", "to assign", "on safety", "minutes of practice"),
        rows,
        "What the bank holds",
        "plain rows",
    )


def _chapter_html(
    project: Project, chapter: ChapterOutcomes, by_outcome: dict[str, list[Question]]
) -> Markup:
    rows = [
        [
            outcome.text,
            *_counts(by_outcome.get(outcome.id, [])),
            _kinds(by_outcome.get(outcome.id, [])),
            _levels(by_outcome.get(outcome.id, [])),
        ]
        for outcome in chapter.outcomes
    ]
    return table_html(
        ("a learner can", "to practise", "to assign", "kinds", "difficulty"),
        rows,
        chapter.title,
        "plain rows teach",
    )


def _counts(found: Sequence[Question]) -> tuple[str, str]:
    uses = Counter(question.use for question in found)
    return str(uses[PRACTICE]), str(uses[ASSIGNED])


def _kinds(found: Sequence[Question]) -> str:
    kinds = Counter(question.kind for question in found)
    return kinds_in_words(sorted(kinds.items())) or "none yet"


def _levels(found: Sequence[Question]) -> str:
    levels = sorted({question.difficulty for question in found})
    return f"{levels[0]} to {levels[-1]}" if len(levels) > 1 else "".join(map(str, levels))


def _minutes(found: Sequence[Question], use: str) -> int:
    return round(sum(question.minutes for question in found if question.use == use))


def _recipes_html(
    chapters: Sequence[ChapterOutcomes], by_outcome: dict[str, list[Question]]
) -> Markup:
    able = [
        chapter
        for chapter in chapters
        if any(_assignable(outcome, by_outcome) for outcome in chapter.outcomes)
    ]
    none = [chapter.title for chapter in chapters if chapter not in able]
    lack = tag("p", f"Nothing to assign yet for: {'; '.join(none)}.") if none else ""
    return joined(_recipe_html(chapter, by_outcome) for chapter in able) + lack


def _recipe_html(chapter: ChapterOutcomes, by_outcome: dict[str, list[Question]]) -> Markup:
    """A recipe to copy: one question of each outcome that has one to assign; and what is
    missing.
    """
    able = [outcome for outcome in chapter.outcomes if _assignable(outcome, by_outcome)]
    missing = [outcome for outcome in chapter.outcomes if outcome not in able]
    lines = [
        f"id: {chapter.id}-class",
        f"title: {_quoted(chapter.title)}",
        "use: assigned",
        "seed: put-your-own-secret-here",
        "draw:",
        *(f"  - {{outcome: {outcome.id}, number: 1}}" for outcome in able),
    ]
    lack = (
        tag("p", f"Not assignable yet: {'; '.join(outcome.text for outcome in missing)}.")
        if missing
        else ""
    )
    recipe = tag("pre", tag("code", chr(10).join(lines)), tabindex="0")
    return details_html(
        f"{chapter.title}:"
        f" {counted(sum(len(_assignable(outcome, by_outcome)) for outcome in able), 'question')} to"
        " draw from",
        recipe + lack,
        "recipe",
    )


def _assignable(outcome: Outcome, by_outcome: dict[str, list[Question]]) -> list[Question]:
    return [question for question in by_outcome.get(outcome.id, []) if question.use == ASSIGNED]


def _quoted(text: str) -> str:
    return '"' + text.replace('"', "'") + '"'
