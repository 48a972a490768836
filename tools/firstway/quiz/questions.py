"""Quiz: the bank's YAML text to questions, with every problem of the file at once.

What a kind asks for is read in `forms/KIND/keys.py`.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from firstway.files.yaml_reader import Node
from firstway.problems import Problem
from firstway.quiz.bank.keeping_nodes import kept_data_from_yaml
from firstway.quiz.bank.keys import Keys, Reader, keys_of
from firstway.quiz.bank.own_keys import GivenBeside, drawing_of_keys, sentence_of, vary_of_keys
from firstway.quiz.bank.question import DIFFICULTIES, USES, Question
from firstway.quiz.forms.registry import QUESTION_KINDS

LONGEST_MINUTES = 60.0


def questions_from_yaml(text: str, file: str) -> tuple[list[Question], list[Problem]]:
    """Read one file of the bank: `topic:` and a list of `questions:`.

    Gives the questions that could be read and every problem; a file with problems is not used.
    """
    questions, problems = _read(text, file)
    return list(questions), list(problems)


@lru_cache(maxsize=256)
def _read(text: str, file: str) -> tuple[tuple[Question, ...], tuple[Problem, ...]]:
    """Kept: a preview reads the same files again at each change."""
    data, problems = kept_data_from_yaml(text, file)
    questions, problems = _questions_from_data(data, problems, file)
    return tuple(questions), tuple(problems)


def _questions_from_data(
    data: Node | None, problems: list[Problem], file: str
) -> tuple[list[Question], list[Problem]]:
    reader = Reader(file, list(problems))
    top = keys_of(reader, data, "the bank") if data is not None else None
    if top is None:
        return [], sorted(reader.problems)
    top.text("topic", required=True)
    questions = [
        question
        for node in top.items("questions", required=True)
        if (question := _question(reader, node)) is not None
    ]
    top.finish()
    _same_ids(reader, questions)
    return questions, sorted(set(reader.problems))


def ids_used_twice(questions: list[Question]) -> list[Problem]:
    """A problem for each id that stands in two places, over all files of the bank."""
    first: dict[str, Question] = {}
    problems = []
    for question in questions:
        other = first.setdefault(question.id, question)
        if other is not question:
            problems.append(
                Problem(
                    question.file,
                    question.line,
                    f"the id '{question.id}' is used already ({other.file}:{other.line})",
                    "give this question an id of its own",
                )
            )
    return problems


def _same_ids(reader: Reader, questions: list[Question]) -> None:
    reader.problems.extend(ids_used_twice(questions))


def _question(reader: Reader, node: Node) -> Question | None:
    keys = keys_of(reader, node, "a question")
    if keys is None:
        return None
    before = len(reader.problems)
    id_ = keys.identity("id")
    keys.what = f"question {id_}" if id_ else "a question"
    installation = keys.identity("installation", required=False)
    name = keys.choice("kind", tuple(QUESTION_KINDS))
    common: dict[str, Any] = {
        "id": id_,
        "outcome": keys.identity("outcome"),
        "chapter": keys.identity("chapter"),
        "difficulty": _difficulty(keys),
        "kind": name,
        "use": keys.choice("use", USES),
        "safety": keys.flag("safety"),
        "stem": sentence_of(keys, "stem", installation),
        "why": sentence_of(keys, "why", installation),
        "file": reader.file,
        "line": keys.line,
        "installation": installation,
        "minutes": _minutes(keys),
    }
    source = keys.text("source")
    drawing = drawing_of_keys(keys, installation)
    if name:
        kind = QUESTION_KINDS[name]
        common["own"] = kind.read(keys, GivenBeside(installation, source, drawing))
        common["vary"] = vary_of_keys(keys, name, kind.varies, installation)
        common["minutes"] = common["minutes"] or kind.minutes
        keys.finish()
    return (
        Question(source=source, drawing=drawing, **common)
        if len(reader.problems) == before
        else None
    )


def _difficulty(keys: Keys) -> int:
    text = keys.choice("difficulty", tuple(str(item) for item in DIFFICULTIES))
    return int(text) if text else 0


def _minutes(keys: Keys) -> float:
    minutes = keys.number("time_minutes")
    if minutes is not None and not 0 < minutes <= LONGEST_MINUTES:
        keys.reader.say(
            keys.line_of("time_minutes"),
            f"{keys.what}: 'time_minutes' must be above 0 and at most {LONGEST_MINUTES:g}",
            "leave it out for the usual time of the kind",
        )
    return minutes or 0.0
