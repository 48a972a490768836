"""Quiz: what a worked question must satisfy before a learner sees it."""

from __future__ import annotations

import re

from firstway.problems import Problem
from firstway.quiz.marking import NumberKey
from firstway.quiz.values import WorkedQuestion, content_text

FEWEST_OPTIONS = 3
_CATCH_ALL = re.compile(r"\b(?:all|none|both|neither) of (?:the )?(?:above|these|them)\b", re.IGNORECASE)
_DECIMALS = re.compile(r"[0-9]\.([0-9]+)")


def flaws_of(worked: WorkedQuestion) -> list[Problem]:
    """Every flaw of one worked question, each with its line."""
    found = _flaws_of_number(worked) if isinstance(worked.key, NumberKey) else _flaws_of_choice(worked)
    if not worked.why:
        found.append((worked.question.line, "nothing says why the answer is right", "add `why:`"))
    return sorted(Problem(worked.question.file, line, f"question {worked.id}: {message}", hint)
                  for line, message, hint in found)


Flaw = tuple[int, str, str]


def _flaws_of_number(worked: WorkedQuestion) -> list[Flaw]:
    key, line = worked.key, worked.question.line
    assert isinstance(key, NumberKey)
    value = float(worked.answer.value or 0.0)  # type: ignore[union-attr]
    found: list[Flaw] = []
    if not key.low < round(value, worked.places) < key.high:
        found.append((line, "the rounded answer lies outside its window", "check `places:`"))
    if not worked.mistakes:
        found.append((line, "no wrong number is foreseen", "add one under `mistakes:`"))
    windows = [(key.low, key.high, "the right answer")]
    for mistake in worked.mistakes:
        for low, high, name in windows:
            if mistake.low <= high and low <= mistake.high:
                found.append((mistake.line, f"the mistake '{mistake.mistake}' cannot be told from {name} here"
                              f" ({mistake.value.text})", "choose another mistake or another installation"))
        windows.append((mistake.low, mistake.high, f"'{mistake.mistake}'"))
        if not mistake.feedback:
            found.append((mistake.line, f"the mistake '{mistake.mistake}' has no feedback", "add `feedback:`"))
    return found


def _flaws_of_choice(worked: WorkedQuestion) -> list[Flaw]:
    line, options = worked.question.line, worked.options
    found: list[Flaw] = []
    rights = [option for option in options if option.right]
    if len(rights) != 1:
        found.append((line, f"{len(rights)} options are right", "exactly one must be"))
    if len(options) < FEWEST_OPTIONS:
        found.append((line, f"{len(options)} options", f"give {FEWEST_OPTIONS} or more"))
    texts = [content_text(option.content) for option in options]
    for option, text in zip(options, texts):
        if texts.count(text) > 1:
            found.append((option.line, f"two options read '{text[:60]}'", "make them differ, or choose other figures"))
        if _CATCH_ALL.search(text):
            found.append((option.line, f"'{text[:60]}' points at other options", "say what is meant"))
        if not option.right and not (option.mistake and option.feedback):
            found.append((option.line, "a wrong option without its mistake or feedback", "add `mistake:` and `feedback:`"))
    if all(isinstance(option.content, tuple) for option in options):
        found.extend(_flaws_of_length(worked, texts))
    else:
        found.extend(_flaws_of_figures(worked, texts))
    return found


def _flaws_of_length(worked: WorkedQuestion, texts: list[str]) -> list[Flaw]:
    rights = [len(text) for option, text in zip(worked.options, texts) if option.right]
    wrongs = [len(text) for option, text in zip(worked.options, texts) if not option.right]
    if rights and wrongs and max(rights) > max(wrongs):
        return [(worked.question.line, "the right answer is the longest option", "shorten it or lengthen another")]
    return []


def _flaws_of_figures(worked: WorkedQuestion, texts: list[str]) -> list[Flaw]:
    if any(isinstance(option.content, tuple) for option in worked.options):
        return [(worked.question.line, "words and figures stand side by side as options", "use one kind")]
    decimals = {match.group(1).__len__() if (match := _DECIMALS.search(text)) else 0 for text in texts}
    units = {option.content.unit for option in worked.options}  # type: ignore[union-attr]
    found: list[Flaw] = []
    if len(decimals) > 1 or len(units) > 1:
        found.append((worked.question.line, "the options differ in decimals or units", "show them alike"))
    sizes = [float(option.content.value or 0.0) for option in worked.options]  # type: ignore[union-attr]
    if sizes != sorted(sizes):
        found.append((worked.question.line, "the options are not in order of size", "sort them"))
    return found
