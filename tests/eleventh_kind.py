"""An eleventh kind of question that lives in the tests alone: the learner writes one word.

What a folder of `quiz/forms/` holds, in one module; its facts are invented.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence

from firstway.files.specs import Prose, Texts, key
from firstway.frozen import dataclass
from firstway.quiz.bank.written import GivenBeside, WrittenQuestion, source_needed
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    declared,
    if_right,
    matches,
    paragraphs,
    qti_term,
)
from firstway.quiz.forms.shown_question import WRITING_LINE, Shown, Slots
from firstway.quiz.forms.worked_question import Filled, Flaw, WorkedQuestion, text_of
from firstway.quiz.marking.marking import Key, Mark, mark_by_sentence, mark_in_full
from firstway.rendering.html import Markup, tag


@dataclass(frozen=True)
class WordKey(Key):
    """What marks a word: its spellings, and the word of a named mistake."""

    form = "a-word"
    words: tuple[str, ...]
    mistake: str
    mistaken_word: str
    answer: str
    why: str


def marked(key: WordKey, typed: str) -> Mark:
    word = typed.strip().casefold()
    if not word:
        return mark_by_sentence(key, "empty")
    if word in key.words:
        return mark_in_full(key, 1)
    if word == key.mistaken_word:
        return mark_by_sentence(key, "mistake", mistake=key.mistake, feedback="Look again.")
    return mark_by_sentence(key, "wrong")


SCRIPT = """
forms["a-word"] = {
  marked: function (key, typed, words) {
    var word = typed.trim().toLowerCase();
    if (!word) return sentenceMark(key, words, "empty");
    if (key.words.indexOf(word) >= 0) return wholeMark(key, words);
    if (word === key.mistaken_word) return sentenceMark(key, words, "mistake", key.mistake, "Look again.");
    return sentenceMark(key, words, "wrong");
  }
};
"""


@dataclass(frozen=True)
class WrittenWord(WrittenQuestion):
    """A word is written."""

    words: tuple[str, ...] = key(Texts(), "spellings that are right", "[earth bar]", required=True)
    mistake: str = key(Prose(), "the mistake", "took it for another", required=True)
    mistaken_word: str = key(Prose(), "the word it leads to", "neutral bar", required=True)


@dataclass(frozen=True)
class AskedWord:
    words: tuple[str, ...]
    mistake: str
    mistaken_word: str


def read(question: WrittenWord, beside: GivenBeside) -> AskedWord:
    source_needed(question, beside, "the word is typed and has no source")
    return AskedWord(question.words, question.mistake, question.mistaken_word)


def worked(look: Look, asked: AskedWord, stem: Filled, why: Filled) -> WorkedQuestion | None:
    word = asked.words[0]
    key = WordKey(asked.words, asked.mistake, asked.mistaken_word, word, text_of(why))
    return WorkedQuestion(look.question, stem, why, (word,), key)


def flaws(key: WordKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    if key.mistaken_word in key.words:
        yield Flaw(worked.question.line, "the mistake is right as well", "choose another", True)


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    box = tag("input", id=f"{place}-a", type="text", maxlength=200)
    yield tag("p", tag("label", "Your word", for_=f"{place}-a"), " ", box, class_="quiz-number")


def wrong(key: WordKey, draw: random.Random) -> str:
    return draw.choice((key.mistaken_word, "no such word"))


def exported(
    key: WordKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    box = qti_term("qti-text-entry-interaction", {"response-identifier": "RESPONSE"})
    return ItemTerms(
        (declared("RESPONSE", "single", "string", [key.answer]),),
        (*paragraphs(shown.stem, picture), qti_term("p", {}, box)),
        (if_right(matches("RESPONSE")),),
    )


def responses(key: WordKey, given: str, names: Mapping[str, str]) -> list[Response]:
    return [Response("RESPONSE", "single", "string", (given,) if given else ())]


KIND = QuestionKind(
    "name-it", 1.0, WrittenWord, read, worked, varies=False, asks=lambda own: str(own.words)
)
FORM = Form(
    key=WordKey,
    marked=marked,
    fields=fields,
    room=lambda shown: WRITING_LINE,
    how="Write the word down, then open the answer.",
    flaws=flaws,
    right=lambda key: key.words[0],
    wrong=wrong,
    by_mistake=lambda key, mistake: key.mistaken_word if mistake == key.mistake else "",
    exported=exported,
    responses=responses,
    interaction="fill-in",
    accepted=lambda key: f"Accepted: {', '.join(key.words)}.",
    named_mistakes=lambda key, words: [f"{key.mistaken_word}: {key.mistake}"],
)
