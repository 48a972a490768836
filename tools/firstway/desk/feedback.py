"""Desk: what a learner gets back: their own answers, marks, the working of their own figures, what to read again."""

from __future__ import annotations

from html import escape
from typing import Mapping

from firstway.desk.key import Asked, PaperKey, Version
from firstway.desk.marking_class import Answer, Marked
from firstway.desk.sheets import page_html, percent, share_html, table_html
from firstway.quiz.marking import MatchKey, NumberKey, WorkingKey
from firstway.rendering.caution import caution_html, caution_line

NOT_PROOF = "This mark is not proof of competence, and it does not permit anybody to work on an installation."
VERDICTS = {"right": "Right", "part": "Partly right", "empty": "No answer", "not-a-number": "Not a number that can be read", "unit": "The unit does not fit"}


def feedback_html(key: PaperKey, own: Marked, style: str, chapters: Mapping[str, str]) -> str:
    """One learner's page. `chapters` names each chapter id."""
    share = own.points / own.out_of if own.out_of else None
    topics: dict[str, list[float]] = {}
    for answer in own.answers:
        if not answer.left_out:
            sums = topics.setdefault(key.by_id[answer.question].outcome, [0.0, 0.0])
            sums[0] += answer.mark.points
            sums[1] += answer.mark.out_of
    rows = [[escape(text), f"{topics[id_][0]:g} of {topics[id_][1]:g}", share_html(topics[id_][0] / topics[id_][1], 80)] for id_, text in key.outcomes.items() if id_ in topics]
    again = dict.fromkeys(key.by_id[answer.question].chapter for answer in own.answers if answer.mark.points < answer.mark.out_of and not answer.left_out)
    safety = [f'<a href="#question-{number}">question {number}</a>' for number, answer in enumerate(own.answers, 1) if key.by_id[answer.question].must_pass and answer.mark.points < answer.mark.out_of and not answer.left_out]
    parts = [f"<h1>{escape(key.title)}: {escape(own.code)}</h1>", caution_html(), f'<p class="soft">{escape(caution_line(key.edition))}</p>',
             f"<p><strong>{own.points:g} of {own.out_of:g} points</strong> ({percent(share)}). {NOT_PROOF}</p>",
             f"<p><strong>Safety: go back to these before anything else:</strong> {', '.join(safety)}.</p>" if safety else "",
             "".join(f"<p>{escape(note[:1].upper() + note[1:])}.</p>" for note in own.notes),
             "<h2>By topic</h2>", table_html("Points by topic", [("You can", False), ("points", True), ("share", False)], rows),
             f"<p>Read again in the guide: {escape('; '.join(chapters.get(each, each) for each in again))}.</p>" if again else "",
             "<h2>Question by question</h2>",
             *(_answer(number, key.by_id[answer.question], answer) for number, answer in enumerate(own.answers, 1))]
    return page_html(f"{key.title}: {own.code}", "\n".join(part for part in parts if part), style)


def _answer(number: int, asked: Asked, answer: Answer) -> str:
    version = asked.versions[answer.version]
    verdict = "Left out by the tutor" if answer.left_out else VERDICTS.get(answer.mark.state, "Not right")
    given = given_words(version, answer.given)
    told = "".join(f"<p>{escape(line)}</p>" for line in answer.mark.feedback.split("\n") if line)
    ends = answer.mark.state in ("empty", "not-a-number", "unit")
    told += f"<p>The answer: {escape(version.answer)}.</p>{f'<p>{escape(version.why)}</p>' if version.why else ''}" if ends else ""
    working = f'<details><summary>The working with your figures</summary><div class="working">{escape(chr(10).join(version.working))}</div></details>' if version.working else ""
    return (f'<section class="answered"><h3 id="question-{number}">Question {number}: {verdict}, {answer.mark.points:g} of {answer.mark.out_of:g}</h3><p>{escape(version.stem)}</p>'
            f"<p>You answered: {escape(given) or 'nothing'}.</p>{told}{working}</section>")


def given_words(version: Version, given: str) -> str:
    """An answer as the learner saw it: letters with their words, numbers as typed."""
    words = version.choices
    if isinstance(version.key, (NumberKey, WorkingKey)):
        return given.replace(";", "; ").strip()
    if isinstance(version.key, MatchKey):
        return "; ".join(f"{row}: {words.get(item, item)}" for row, _, item in (pair.partition("=") for pair in given.split()))
    return "; ".join(f"{letter}) {words[letter]}" if letter in words else letter for letter in given.split())
