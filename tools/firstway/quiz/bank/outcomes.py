"""Quiz: the outcomes of the guide by chapter, read from `quiz/outcomes.yaml`."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.yaml_reader import Node, data_from_yaml
from firstway.problems import Problem
from firstway.quiz.bank.keys import Keys, Reader, keys_of, suggestion
from firstway.quiz.bank.question import Question


@dataclass(frozen=True)
class Outcome:
    """What a learner can do after a chapter. Its id never changes meaning: answer files hold it."""

    id: str
    chapter: str
    text: str
    line: int


@dataclass(frozen=True)
class ChapterOutcomes:
    """A chapter of the guide and its outcomes, in reading order."""

    id: str
    title: str
    outcomes: tuple[Outcome, ...]


def outcomes_from_yaml(text: str, file: str) -> tuple[list[ChapterOutcomes], list[Problem]]:
    """Read the chapters with their outcomes, and every problem of the file."""
    data, problems = data_from_yaml(text, file)
    reader = Reader(file, list(problems))
    top = keys_of(reader, data, "the outcomes") if data is not None else None
    if top is None:
        return [], sorted(reader.problems)
    chapters = [
        chapter
        for node in top.items("chapters", required=True)
        if (chapter := _chapter(reader, node))
    ]
    top.finish()
    _same_ids(reader, chapters)
    return chapters, sorted(set(reader.problems))


def outcome_texts(chapters: list[ChapterOutcomes]) -> dict[str, str]:
    """Outcome id to its sentence, in reading order."""
    return {outcome.id: outcome.text for chapter in chapters for outcome in chapter.outcomes}


def unknown_outcomes(questions: list[Question], chapters: list[ChapterOutcomes]) -> list[Problem]:
    """A problem for each question whose outcome or chapter stands in no chapter."""
    of_chapter = {outcome.id: chapter.id for chapter in chapters for outcome in chapter.outcomes}
    names = [chapter.id for chapter in chapters]
    problems = []
    for question in questions:
        if question.outcome not in of_chapter:
            problems.append(
                _problem(
                    question,
                    f"there is no outcome '{question.outcome}'",
                    question.outcome,
                    list(of_chapter),
                )
            )
        elif question.chapter not in names:
            problems.append(
                _problem(
                    question, f"there is no chapter '{question.chapter}'", question.chapter, names
                )
            )
        elif of_chapter[question.outcome] != question.chapter:
            problems.append(
                Problem(
                    question.file,
                    question.line,
                    f"question {question.id}: the outcome"
                    f" '{question.outcome}' belongs to the chapter"
                    f" '{of_chapter[question.outcome]}'",
                    "name that chapter, or another outcome",
                )
            )
    return problems


def _problem(question: Question, message: str, word: str, known: list[str]) -> Problem:
    return Problem(
        question.file,
        question.line,
        f"question {question.id}: {message}",
        suggestion(word, known) or "add it to quiz/outcomes.yaml",
    )


def _chapter(reader: Reader, node: Node) -> ChapterOutcomes | None:
    keys = keys_of(reader, node, "a chapter")
    if keys is None:
        return None
    id_, title = keys.identity("id"), keys.text("title", required=True)
    outcomes = tuple(
        outcome
        for item in keys.items("outcomes", required=True)
        if (outcome := _outcome(keys, item, id_))
    )
    keys.finish()
    return ChapterOutcomes(id_, title, outcomes)


def _outcome(chapter: Keys, node: Node, chapter_id: str) -> Outcome | None:
    keys = keys_of(chapter.reader, node, f"chapter {chapter_id}, an outcome")
    if keys is None:
        return None
    id_, text = keys.identity("id"), keys.text("text", required=True)
    keys.finish()
    return Outcome(id_, chapter_id, text, keys.line)


def _same_ids(reader: Reader, chapters: list[ChapterOutcomes]) -> None:
    seen: dict[str, int] = {}
    for outcome in (outcome for chapter in chapters for outcome in chapter.outcomes):
        first = seen.setdefault(outcome.id, outcome.line)
        if first != outcome.line:
            reader.say(
                outcome.line,
                f"the outcome '{outcome.id}' stands twice (first in line {first})",
                "give it an id of its own",
            )
