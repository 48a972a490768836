"""Quiz: what a worked question, a file of the bank and a paper must satisfy before a learner sees
them.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from firstway.calculations.adding import added
from firstway.problems import Problem
from firstway.quiz.bank.cues import blind_rules_that_pay
from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT, Question
from firstway.quiz.forms.words import text_of
from firstway.quiz.forms.worked_question import (
    WorkedMistake,
    WorkedOption,
    WorkedQuestion,
    content_text,
    content_value,
    window,
)
from firstway.quiz.marking.marking import (
    MatchKey,
    NumberKey,
    OneAnswerKey,
    OrderKey,
    SeveralAnswersKey,
    WorkingKey,
)

FEWEST_OPTIONS = 3
FEWEST_TO_BALANCE = 10
"""Questions below which places of the right answer are not counted: a few may fall together by
chance."""
PAPER_DEVIATIONS, FILE_DEVIATIONS = 3.0, 4.0
"""Standard deviations of the binomial count at one place that are taken for chance (common
practice: three)."""
_ALIKE = 0.9
"""Share of words that two stems have in common (Jaccard) from which on they count as alike."""

_CATCH_ALL = re.compile(
    r"\b(?:all|none|both|neither|any) of (?:the )?(?:above|these|them)\b|\ball the above\b",
    re.IGNORECASE,
)
_NEGATIVE = re.compile(
    r"(?:\b(?:which|what|who|whom)\b|^(?:where|name|choose|pick|tick|find|point)\b)(?:["
    r" \t]+[\w'-]+){0,6}?[ \t]+"
    r"(?:not|never|cannot|\w+n't)\b|\bexcept\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"(?<=[.?!])\s+")
_MARKED = re.compile(r"\b(?:NOT|NEVER|CANNOT|EXCEPT)\b")
_DECIMALS = re.compile(r"[0-9]\.([0-9]+)")
_WORD = re.compile(r"[A-Za-z0-9_.-]+")

Flaw = tuple[int, str, str]


def flaws_of(worked: WorkedQuestion) -> list[Problem]:
    """Every flaw of one worked question, each with its line."""
    found = [
        *_flaws_of_stem(worked),
        *_flaws_of_windows(worked),
        *_flaws_of_options(worked),
        *_flaws_of_match(worked),
    ]
    return sorted(
        {
            Problem(worked.question.file, line, f"question {worked.id}: {message}", hint)
            for line, message, hint in found
        }
    )


def flaws_of_variants(
    question: Question, made: Sequence[WorkedQuestion], fewest: int
) -> list[Problem]:
    """Every flaw of the variants of a question, and a problem where too few of them worked out."""
    found = [flaw for worked in made for flaw in flaws_of(worked)]
    if question.vary and made and len(made) < fewest:
        found.append(
            Problem(
                question.file,
                question.vary[0].line,
                f"question {question.id}: {len(made)} of its variants work out and differ",
                f"vary other keys or values: {fewest} are needed",
            )
        )
    return sorted(set(found))


def is_sound(worked: WorkedQuestion) -> bool:
    """Whether right and wrong can be told apart in this variant."""
    texts = [content_text(option.content) for option in worked.options]
    return (
        not windows_that_meet(worked)
        and len(set(texts)) == len(texts)
        and not list(_figures_in_the_right_window(worked))
    )


def windows_that_meet(worked: WorkedQuestion) -> list[tuple[WorkedMistake, str]]:
    """Each mistake whose window meets that of the right answer or of an earlier mistake of the same
    figure, and which one.
    """
    if isinstance(worked.key, WorkingKey):
        windows = {
            place: [(part.low, part.high, "the right answer")]
            for place, part in enumerate(worked.key.parts, 1)
        }
    elif isinstance(worked.key, NumberKey):
        windows = {0: [(worked.key.low, worked.key.high, "the right answer")]}
    else:
        return []
    found = []
    for mistake in worked.mistakes:
        found += [
            (mistake, name)
            for low, high, name in windows[mistake.part]
            if mistake.low <= high and low <= mistake.high
        ]
        windows[mistake.part].append((mistake.low, mistake.high, f"'{mistake.mistake}'"))
    return found


# the sentences


def _flaws_of_stem(worked: WorkedQuestion) -> Iterator[Flaw]:
    line = worked.question.line
    if not worked.why:
        yield line, "nothing says why the answer is right", "add `why:`"
    if any(_asks_unmarked(sentence) for sentence in _SENTENCE.split(text_of(worked.stem))):
        yield (
            line,
            "the stem asks for what is not so without saying it loudly",
            "write NOT in capitals, or ask for what is so",
        )


def _asks_unmarked(sentence: str) -> bool:
    """Whether a sentence asks for what is not so, in small letters."""
    asks = _NEGATIVE.search(sentence)
    is_question = (
        sentence.endswith("?")
        or asks is not None
        and asks.start() == 0
        and not sentence.lower().startswith(("which", "what", "who"))
    )
    return asks is not None and is_question and not _MARKED.search(asks.group(0))


# numbers


def _flaws_of_windows(worked: WorkedQuestion) -> Iterator[Flaw]:
    line = worked.question.line
    if isinstance(worked.key, NumberKey):
        value = content_value(worked.answer)
        if not worked.key.low < round(value, worked.places) < worked.key.high:
            yield line, "the rounded answer lies outside its window", "check `places:`"
    if isinstance(worked.key, WorkingKey):
        for part, key in zip(worked.parts, worked.key.parts):
            if not key.low < round(float(part.answer.value or 0.0), part.places) < key.high:
                yield part.line, "the rounded answer lies outside its window", "check `places:`"
    if isinstance(worked.key, (NumberKey, WorkingKey)) and not worked.mistakes:
        yield line, "no wrong number is foreseen", "add one under `mistakes:`"
    for mistake, name in windows_that_meet(worked):
        yield (
            mistake.line,
            (
                f"the mistake '{mistake.mistake}' cannot be told from {name} here"
                f" ({mistake.value.text})"
            ),
            "choose another mistake or another installation",
        )
    for mistake in worked.mistakes:
        if not mistake.feedback:
            yield (
                mistake.line,
                f"the mistake '{mistake.mistake}' has no feedback",
                "add `feedback:`",
            )


# options, spots and steps


def _flaws_of_options(worked: WorkedQuestion) -> Iterator[Flaw]:
    line, options = worked.question.line, worked.options
    if not isinstance(worked.key, (OneAnswerKey, SeveralAnswersKey, OrderKey)):
        return
    texts = [content_text(option.content) for option in options]
    for option, text in zip(options, texts):
        if texts.count(text) > 1:
            yield (
                option.line,
                f"two options read '{text[:60]}'",
                "make them differ, or choose other figures",
            )
        if _CATCH_ALL.search(text):
            yield option.line, f"'{text[:60]}' points at other options", "say what is meant"
    if len(options) < FEWEST_OPTIONS:
        yield line, f"{len(options)} options", f"give {FEWEST_OPTIONS} or more"
    if isinstance(worked.key, OrderKey):
        return
    rights = sum(option.right for option in options)
    if isinstance(worked.key, OneAnswerKey) and rights != 1:
        yield line, f"{rights} options are right", "exactly one must be"
    if isinstance(worked.key, SeveralAnswersKey) and not 2 <= rights < len(options):
        yield (
            line,
            f"{rights} of {len(options)} options are right",
            "two or more must be, and one must not",
        )
    for option in options:
        if not option.right and not (option.mistake and option.feedback):
            yield (
                option.line,
                "a wrong option without its mistake or feedback",
                "add `mistake:` and `feedback:`",
            )
    if any(not isinstance(option.content, tuple) for option in options):
        yield from _flaws_of_figures(worked, texts)


def _flaws_of_figures(worked: WorkedQuestion, texts: list[str]) -> Iterator[Flaw]:
    line = worked.question.line
    if any(isinstance(option.content, tuple) for option in worked.options):
        yield line, "words and figures stand side by side as options", "use one kind"
        return
    decimals = {len(match.group(1)) if (match := _DECIMALS.search(text)) else 0 for text in texts}
    units = {
        option.content.unit for option in worked.options if not isinstance(option.content, tuple)
    }
    if len(decimals) > 1 or len(units) > 1:
        yield line, "the options differ in decimals or units", "show them alike"
    sizes = [content_value(option.content) for option in worked.options]
    if sizes != sorted(sizes):
        yield line, "the options are not in order of size", "sort them"
    for option in _figures_in_the_right_window(worked):
        yield (
            option.line,
            f"'{content_text(option.content)}' is right as well, within rounding",
            "choose another mistake or other figures",
        )


def _figures_in_the_right_window(worked: WorkedQuestion) -> Iterator[WorkedOption]:
    """Wrong figures that nobody who rounds could tell from the right one."""
    if not isinstance(worked.key, OneAnswerKey) or any(
        isinstance(option.content, tuple) for option in worked.options
    ):
        return
    for right in worked.options:
        if right.right:
            low, high = window(
                content_value(right.content), _decimals(right), DEFAULT_SLACK_PERCENT
            )
            yield from (
                option
                for option in worked.options
                if not option.right and low <= content_value(option.content) <= high
            )


def _decimals(option: WorkedOption) -> int:
    match = _DECIMALS.search(content_text(option.content))
    return len(match.group(1)) if match else 0


# partners


def _flaws_of_match(worked: WorkedQuestion) -> Iterator[Flaw]:
    if not isinstance(worked.key, MatchKey):
        return
    rows = [content_text(row.content) for row in worked.rows]
    for row, text in zip(worked.rows, rows):
        if rows.count(text) > 1:
            yield row.line, f"two rows read '{text[:60]}'", "make them differ"
        if not (row.mistake and row.feedback):
            yield (
                row.line,
                "a row without its mistake or feedback",
                "add `mistake:` and `feedback:`",
            )
    for item in worked.items:
        if _CATCH_ALL.search(content_text(item.content)):
            yield (
                item.line,
                f"'{content_text(item.content)[:60]}' points at other items",
                "say what is meant",
            )
    if len(worked.items) < FEWEST_OPTIONS:
        yield (
            worked.question.line,
            f"{len(worked.items)} items to choose from",
            f"give {FEWEST_OPTIONS} or more; some may be spare",
        )


# a file of the bank, a paper


def flaws_of_bank(worked: Sequence[WorkedQuestion]) -> list[Problem]:
    """Flaws of the bank as a whole: right answers that gather at one place in a file, and questions
    alike.
    """
    found: list[Problem] = []
    for file in sorted({one.question.file for one in worked}):
        own = [one for one in worked if one.question.file == file]
        found += [
            Problem(file, 1, message, "vary the size of the wrong figures, or ask some otherwise")
            for message in _crowded_places(own, FILE_DEVIATIONS)
        ]
    found += [
        Problem(
            "quiz/bank", 0, message, "reword options until length, commas and words tell nothing"
        )
        for message in blind_rules_that_pay(worked)
    ]
    return sorted([*found, *_alike([one.question for one in worked])])


def flaws_of_paper(worked: Sequence[WorkedQuestion], file: str) -> list[Problem]:
    """Flaws of a paper as it is shown: right answers that gather at one place."""
    return [
        Problem(file, 1, message, "choose another `seed:`, or other questions")
        for message in _crowded_places(worked, PAPER_DEVIATIONS)
    ]


def _crowded_places(worked: Iterable[WorkedQuestion], deviations: float) -> list[str]:
    """Where the right answer stands too often, of all questions with one right option."""
    choices = [one for one in worked if isinstance(one.key, OneAnswerKey)]
    if len(choices) < FEWEST_TO_BALANCE:
        return []
    found = []
    counts = Counter(option.id for one in choices for option in one.options if option.right)
    for letter, count in sorted(counts.items()):
        shares = [
            1 / len(one.options)
            for one in choices
            if any(option.id == letter for option in one.options)
        ]
        expected, spread = added(shares), math.sqrt(added(share * (1 - share) for share in shares))
        if count > expected + deviations * spread:
            found.append(
                f"the right answer stands at place {letter} in {count} of {len(choices)} choices,"
                f" {expected:.1f} were expected"
            )
    return found


def _alike(questions: Sequence[Question]) -> Iterator[Problem]:
    """Two questions of one outcome that ask the same of the same drawing or reading."""
    by_outcome: dict[str, list[tuple[Question, frozenset[str]]]] = {}
    for question in questions:
        by_outcome.setdefault(question.outcome, []).append((question, _tokens(question)))
    for group in by_outcome.values():
        for (one, words), (other, others) in combinations(group, 2):
            if len(words & others) >= _ALIKE * len(words | others) and _beside(one) == _beside(
                other
            ):
                yield Problem(
                    other.file,
                    other.line,
                    f"question {other.id}: it asks the same as {one.id} ({one.file}:{one.line})",
                    "ask something else, or vary one of them",
                )


def _tokens(question: Question) -> frozenset[str]:
    parts = [
        part.lower() if isinstance(part, str) else str(part).replace(" ", "_")
        for part in question.stem
    ]
    return frozenset(_WORD.findall(" ".join(parts)))


def _beside(question: Question) -> tuple[object, ...]:
    """What a question is about beside its stem."""
    drawing = question.drawing
    shown = (
        (drawing.view, drawing.of, drawing.stage, drawing.overlay, drawing.mistake, drawing.chart)
        if drawing
        else ()
    )
    return (
        question.kind,
        shown,
        str(question.answer) if question.kind in ("foretell", "number", "read-a-chart") else "",
        tuple(str(part.answer) for part in question.parts),
    )
