"""Quiz: the bank's YAML text to questions, with every problem of the file at once.

The YAML is read once: its data is kept by content in the cache folder, since reading it takes
longest. What a kind asks for is read in `forms/KIND/form.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from firstway.files import yaml_reader
from firstway.files.keeping import digest_of_files, kept
from firstway.files.specs import Prose, SectionsByWord, key
from firstway.files.typed_reader import section_from_data
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import Question
from firstway.quiz.bank.written import (
    GivenBeside,
    WrittenQuestion,
    drawing_written,
    sentence_of,
    vary_of,
)
from firstway.quiz.forms.registry import QUESTION_KINDS

_KIND = "quiz-bank"
_SMALLEST = 2000
"""Characters below which reading costs less than keeping."""


def kept_data_from_yaml(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """As `data_from_yaml`; a text without a problem is read from the cache folder the next time."""
    if len(text) < _SMALLEST:
        return data_from_yaml(text, file)
    return kept(
        _KIND,
        file,
        text,
        lambda: data_from_yaml(text, file),
        data=lambda read: _plain(read[0]) if read[0] is not None and not read[1] else None,
        thing=lambda data: (_of(data), []),
        program=_reader(),
    )


@cache
def _reader() -> str:
    return digest_of_files((Path(str(yaml_reader.__file__)), Path(__file__)))


def _plain(node: Node) -> list[Any]:
    """[line, text, quoted], [line, keys, lines, values] or [line, values]."""
    if isinstance(node, Text):
        return [node.line, node.text, int(node.quoted)]
    if isinstance(node, Entries):
        return [
            node.line,
            list(node.values),
            [node.key_lines[key] for key in node.values],
            [_plain(each) for each in node.values.values()],
        ]
    return [node.line, [_plain(each) for each in node.values]]


def _of(data: list[Any]) -> Node:
    if len(data) == 3:
        return Text(data[1] + "", data[0], bool(data[2]))
    if len(data) == 2:
        return Items(data[0], tuple(_of(each) for each in data[1]))
    line, names, lines, values = data
    return Entries(
        line, {name: _of(value) for name, value in zip(names, values)}, dict(zip(names, lines))
    )


MOST_QUESTIONS = 400
_BEGIN = "begin with `topic:`"


class _KeysByKind(Mapping[str, type]):
    """The keys of each kind, as the registry knows them."""

    def __getitem__(self, name: str) -> type:
        return QUESTION_KINDS[name].written

    def __iter__(self) -> Iterator[str]:
        return iter(QUESTION_KINDS)

    def __len__(self) -> int:
        return len(QUESTION_KINDS)


@dataclass(frozen=True)
class BankFile:
    """One topic of the bank."""

    topic: str = key(
        Prose(), "what its questions are about", "Leads of surge devices", required=True
    )
    questions: tuple[WrittenQuestion, ...] = key(
        SectionsByWord("kind", WrittenQuestion, _KeysByKind(), MOST_QUESTIONS),
        "the questions",
        required=True,
    )


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
    if not isinstance(data, Entries):
        said = Problem(file, data.line if data else 0, "the file must be keys with values", _BEGIN)
        return [], sorted(problems if data is None else [*problems, said])
    written, own = section_from_data(data, BankFile, file)
    problems = [*problems, *own]
    questions = []
    for each in written.questions:
        question, more = _question(each, file)
        problems += more
        questions += [] if more else [question]
    return questions, sorted({*problems, *ids_used_twice(questions)})


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


def _question(written: WrittenQuestion, file: str) -> tuple[Question, list[Problem]]:
    """A question as its kind understands it, and what is wrong with it."""
    problems: list[Problem] = []

    def say(line: int, message: str, hint: str) -> None:
        problems.append(Problem(file, line, f"question {written.id}: {message}", hint))

    kind = QUESTION_KINDS[written.kind]
    beside = GivenBeside(written.installation, written.source, None, say)
    beside = replace(beside, drawing=drawing_written(written, beside))
    question = Question(
        written.id,
        written.outcome,
        written.chapter,
        written.difficulty,
        written.kind,
        written.use,
        written.safety,
        sentence_of(written, "stem", beside),
        sentence_of(written, "why", beside),
        written.source,
        file,
        written.line,
        own=kind.read(written, beside),
        installation=written.installation,
        drawing=beside.drawing,
        minutes=written.time_minutes or kind.minutes,
        vary=vary_of(written, kind.varies, beside),
        few_sets=written.few_sets,
    )
    return question, problems
