"""Quiz: what a worked question, a file of the bank and a paper must satisfy before a learner sees
them.

First stand the cues by which a reader who knows nothing could choose: length, commas, words like
"since". A blind rule takes the option that has most (or least) of one cue, and among equals that
which has most (or least) of a second. Over the whole bank no such rule may do clearly better than
choosing at random: item writers call such cues testwise (common practice).
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import combinations, product

from firstway.calculations.adding import added
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.registry import QUESTION_KINDS, form_of
from firstway.quiz.forms.worked_question import Flaw, WorkedQuestion, content_text, text_of

MOST_GAIN = 0.06
"""Share of questions by which a blind rule may do better than chance."""
FEWEST_TO_JUDGE = 40
"""Questions below which the best of many rules does well by chance alone."""
REASON_WORDS = frozenset({"since", "because", "so"})
LINKING_WORDS = REASON_WORDS | {"as", "for", "which"}
ABSOLUTE_WORDS = frozenset(
    "always never only all every any nothing none no everything whatever ever nobody"
    " anybody alone".split()
)
_FILLING = frozenset(
    "the a an of to in is it its and or on at by with that this what which how you be are do does"
    " from for as".split()
)
_WORD_OF_CUES = re.compile(r"[a-z0-9']+")

Cue = Callable[[str, str], float]
"""How much of a cue an option has: (option, stem) -> amount."""


def _words(text: str) -> set[str]:
    return set(_WORD_OF_CUES.findall(text.lower()))


def _shared(option: str, stem: str) -> int:
    return len((_words(option) & _words(stem)) - _FILLING)


CUES: dict[str, Cue] = {
    "length": lambda option, stem: len(option),
    "words": lambda option, stem: len(option.split()),
    "a reason word": lambda option, stem: bool(_words(option) & REASON_WORDS),
    "a linking word": lambda option, stem: bool(_words(option) & LINKING_WORDS),
    "a semicolon": lambda option, stem: ";" in option,
    "a comma": lambda option, stem: "," in option,
    "an absolute word": lambda option, stem: bool(_words(option) & ABSOLUTE_WORDS),
    "words of the stem": lambda option, stem: _shared(option, stem),
    "share of the stem": (
        lambda option, stem: _shared(option, stem) / max(1, len(_words(option) - _FILLING))
    ),
}

CueStep = tuple[str, int]
"""A cue and a direction: +1 takes the most of it, -1 the least."""


_STEPS = tuple(product(CUES, (1, -1)))
BLIND_RULES: tuple[tuple[CueStep, ...], ...] = (
    *((step,) for step in _STEPS),
    *(pair for pair in product(_STEPS, _STEPS) if pair[0][0] != pair[1][0]),
)
"""Every rule of one cue, and of two cues the second of which parts equals."""


@dataclass(frozen=True)
class SeenQuestion:
    """What the whole bank is judged by of one worked question: the letters of its options with
    whether each is right, and how likely each of `BLIND_RULES` gets it right (`chances`; none
    where it has not one right answer and options in words).
    """

    question: Question
    options: tuple[tuple[str, bool], ...]
    chances: tuple[float, ...] = ()


def as_seen(worked: WorkedQuestion) -> SeenQuestion:
    """The same of a question just worked."""
    in_words = worked.question.kind == "one-answer" and all(
        isinstance(each.content, tuple) for each in worked.options
    )
    return SeenQuestion(
        worked.question,
        letters_of(worked),
        _chances(worked) if in_words else (),
    )


def letters_of(worked: WorkedQuestion) -> tuple[tuple[str, bool], ...]:
    """The letters of its options, with whether each is right."""
    return tuple((each.id, each.right) for each in worked.options)


def _chances(worked: WorkedQuestion) -> tuple[float, ...]:
    """Equals at the end of a rule are chosen among at random."""
    stem, every = text_of(worked.stem), range(len(worked.options))
    texts = [content_text(each.content) for each in worked.options]
    amounts = {step: [step[1] * CUES[step[0]](text, stem) for text in texts] for step in _STEPS}

    def chance(rule: tuple[CueStep, ...]) -> float:
        left = list(every)
        for step in rule:
            most = max(amounts[step][each] for each in left)
            left = [each for each in left if amounts[step][each] == most]
        return sum(worked.options[each].right for each in left) / len(left)

    return tuple(map(chance, BLIND_RULES))


def blind_rules_that_pay(bank: Sequence[SeenQuestion]) -> list[str]:
    """What to say of the blind rules that gain too much, over the whole bank and over its assigned
    part.
    """
    choices = [one for one in bank if one.chances]
    assigned = [one for one in choices if one.question.use == "assigned"]
    return [*_paying("the bank", choices), *_paying("its assigned part", assigned)]


def _paying(name: str, choices: Sequence[SeenQuestion]) -> Iterator[str]:
    if len(choices) < FEWEST_TO_JUDGE:
        return
    chance = added(1 / len(choice.options) for choice in choices) / len(choices)
    shares = (added(column) / len(choices) for column in zip(*(one.chances for one in choices)))
    best = max(zip(shares, BLIND_RULES), key=lambda each: each[0])
    if best[0] > chance + MOST_GAIN:
        told = ", then ".join(
            f"{'most' if direction > 0 else 'least'} {cue}" for cue, direction in best[1]
        )
        yield (
            f"of {len(choices)} choices in {name} a reader who knows nothing gets {best[0]:.0%}"
            f" right by '{told}', {chance:.0%} by chance"
        )


FEWEST_TO_BALANCE = 10
"""Questions below which places of the right answer are not counted: a few may fall together by
chance."""
PAPER_DEVIATIONS, FILE_DEVIATIONS = 3.0, 4.0
"""Standard deviations of the binomial count at one place that are taken for chance (common
practice: three)."""
_ALIKE = 0.9
"""Share of words that two stems have in common (Jaccard) from which on they count as alike."""

_NEGATIVE = re.compile(
    r"(?:\b(?:which|what|who|whom)\b|^(?:where|name|choose|pick|tick|find|point)\b)(?:["
    r" \t]+[\w'-]+){0,6}?[ \t]+"
    r"(?:not|never|cannot|\w+n't)\b|\bexcept\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"(?<=[.?!])\s+")
_MARKED = re.compile(r"\b(?:NOT|NEVER|CANNOT|EXCEPT)\b")
_WORD = re.compile(r"[A-Za-z0-9_.-]+")


def flaws_of(worked: WorkedQuestion) -> list[Problem]:
    """Every flaw of one worked question, each with its line."""
    own = form_of(worked.key).flaws(worked.key, worked)
    return sorted(
        {
            Problem(worked.question.file, line, f"question {worked.id}: {message}", hint)
            for line, message, hint, _ in (*_flaws_of_stem(worked), *own)
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
    return not any(flaw.mixes for flaw in form_of(worked.key).flaws(worked.key, worked))


# the sentences


def _flaws_of_stem(worked: WorkedQuestion) -> Iterator[Flaw]:
    line = worked.question.line
    if not worked.why:
        yield Flaw(line, "nothing says why the answer is right", "add `why:`")
    if any(_asks_unmarked(sentence) for sentence in _SENTENCE.split(text_of(worked.stem))):
        yield Flaw(
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


# a file of the bank, a paper


def flaws_of_bank(bank: Sequence[SeenQuestion]) -> list[Problem]:
    """Flaws of the bank as a whole: right answers that gather at one place in a file, and questions
    alike.
    """
    found: list[Problem] = []
    for file in sorted({one.question.file for one in bank}):
        own = [one.options for one in bank if one.question.file == file]
        found += [
            Problem(file, 1, message, "vary the size of the wrong figures, or ask some otherwise")
            for message in _crowded_places(own, FILE_DEVIATIONS)
        ]
    found += [
        Problem(
            "quiz/bank", 0, message, "reword options until length, commas and words tell nothing"
        )
        for message in blind_rules_that_pay(bank)
    ]
    return sorted([*found, *_alike([one.question for one in bank])])


def flaws_of_paper(options: Iterable[Sequence[tuple[str, bool]]], file: str) -> list[Problem]:
    """Flaws of a paper as it is shown: right answers that gather at one place; of each question the
    letters of its options, with whether each is right (`letters_of`).
    """
    return [
        Problem(file, 1, message, "choose another `seed:`, or other questions")
        for message in _crowded_places(options, PAPER_DEVIATIONS)
    ]


def _crowded_places(asked: Iterable[Sequence[tuple[str, bool]]], deviations: float) -> list[str]:
    """Where the right answer stands too often, of all questions with one right option."""
    choices = [one for one in asked if sum(right for _, right in one) == 1]
    if len(choices) < FEWEST_TO_BALANCE:
        return []
    found = []
    counts = Counter(each for one in choices for each, right in one if right)
    for letter, count in sorted(counts.items()):
        shares = [1 / len(one) for one in choices if any(each == letter for each, _ in one)]
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
        (
            *(drawing.view, drawing.of, drawing.stage, drawing.overlay),
            *(drawing.mistake, drawing.chart, drawing.picture, drawing.part),
        )
        if drawing
        else ()
    )
    return question.kind, shown, QUESTION_KINDS[question.kind].asks(question.own)
