"""Desk: what a learner gets back: their own answers, marks, the working of their own figures, what
to read again.
"""

from __future__ import annotations

from collections.abc import Mapping

from firstway.desk.marking.marking_answer import MarkedAnswer
from firstway.desk.marking.marking_class import Marked
from firstway.desk.papers.key import PaperKey, Version
from firstway.desk.sheets import desk_table_html, page_html, percent, share_html, told_html
from firstway.quiz.forms.drawings import PageDrawings, Picture
from firstway.quiz.marking.marking import MatchKey, NumberKey, WorkingKey
from firstway.rendering.caution import caution_html, edition_line

_NOT_PROOF = (
    "This mark is not proof of competence, and it does not permit anybody to work on an"
    " installation."
)
VERDICTS = {
    "right": "Right",
    "part": "Partly right",
    "empty": "No answer",
    "not-a-number": "Not a number that can be read",
    "unit": "The unit does not fit",
}
NOT_TOLD = ("empty", "not-a-number", "unit")
"""States whose own words ask for another try and keep the answer back."""


def feedback_html(key: PaperKey, own: Marked, style: str, chapters: Mapping[str, str]) -> str:
    """One learner's page. `chapters` names each chapter id."""
    share = own.points / own.out_of if own.out_of else None
    lost = [
        (number, key.by_id[answer.question])
        for number, answer in enumerate(own.answers, 1)
        if answer.mark.points < answer.mark.out_of and not answer.left_out
    ]
    again = dict.fromkeys(asked.chapter for _, asked in lost)
    safety = [
        f'<a href="#question-{number}">question {number}</a>'
        for number, asked in lost
        if asked.safety
    ]
    parts = [
        f"<h1>{told_html(key.title)}: {told_html(own.code)}</h1>",
        caution_html(),
        f'<p class="soft">{told_html(edition_line(key.edition))}</p>',
        (
            f"<p><strong>{own.points:g} of {own.out_of:g} points</strong> ({percent(share)})."
            f" {_NOT_PROOF}</p>"
        ),
        (
            "<p><strong>Safety: go back to these before anything else:</strong>"
            f" {', '.join(safety)}.</p>"
            if safety
            else ""
        ),
        "".join(f"<p>{told_html(note[:1].upper() + note[1:])}.</p>" for note in own.notes),
        "<h2>By topic</h2>",
        _topics(key, own),
        (
            "<p>Read again in the guide:"
            f" {told_html('; '.join(chapters.get(each, each) for each in again))}.</p>"
            if again
            else ""
        ),
        "<h2>Question by question</h2>",
        *_answers(key, own),
    ]
    return page_html(f"{key.title}: {own.code}", "\n".join(part for part in parts if part), style)


def _topics(key: PaperKey, own: Marked) -> str:
    sums: dict[str, list[float]] = {}
    for answer in own.answers:
        if not answer.left_out:
            topic = sums.setdefault(key.by_id[answer.question].outcome, [0.0, 0.0])
            topic[0] += answer.mark.points
            topic[1] += answer.mark.out_of
    rows = [
        [
            told_html(text),
            f"{sums[id_][0]:g} of {sums[id_][1]:g}",
            share_html(sums[id_][0] / sums[id_][1], 80),
        ]
        for id_, text in key.outcomes.items()
        if id_ in sums
    ]
    return desk_table_html(
        "Points by topic", [("You can", False), ("points", True), ("share", False)], rows
    )


def _answers(key: PaperKey, own: Marked) -> list[str]:
    drawings = PageDrawings("f")
    return [_answer(number, key, answer, drawings) for number, answer in enumerate(own.answers, 1)]


def _answer(number: int, key: PaperKey, answer: MarkedAnswer, drawings: PageDrawings) -> str:
    version, mark = key.by_id[answer.question].versions[answer.version], answer.mark
    verdict = "Left out by the tutor" if answer.left_out else VERDICTS.get(mark.state, "Not right")
    said = [
        *mark.feedback.split("\n"),
        *([f"The answer: {version.answer}.", version.why] if mark.state in NOT_TOLD else []),
    ]
    given = given_words(version, answer.given)
    return "".join(
        [
            (
                f'<section class="answered"><h3 id="question-{number}">Question {number}:'
                f" {verdict}, {mark.points:g} of {mark.out_of:g}</h3><p>"
                f"{told_html(version.stem)}</p>"
            ),
            _drawing(key.pictures.get(version.drawing), drawings),
            f"<p>You answered: {told_html(given) or 'nothing'}.</p>",
            *(f"<p>{told_html(line)}</p>" for line in said if line),
            _working(version),
            "</section>",
        ]
    )


def _drawing(picture: Picture | None, drawings: PageDrawings) -> str:
    """The drawing that was asked about, with its letters."""
    if picture is None:
        return ""
    drawings.figures += 1
    caption = f"<figcaption>{told_html(picture.title)}</figcaption>"
    return f'<figure class="drawing">{drawings.svg(picture)}{caption}</figure>'


def _working(version: Version) -> str:
    if not version.working:
        return ""
    lines = "\n".join(map(told_html, version.working))
    return (
        "<details><summary>The working with your figures</summary>"
        f'<div class="working">{lines}</div></details>'
    )


def given_words(version: Version, given: str) -> str:
    """An answer as the learner saw it: letters with their words, numbers as typed."""
    words = version.choices
    if isinstance(version.key, (NumberKey, WorkingKey)):
        return given.replace(";", "; ").strip()
    if isinstance(version.key, MatchKey):
        return "; ".join(
            f"{row}: {words.get(item, item)}"
            for row, _, item in (pair.partition("=") for pair in given.split())
        )
    return "; ".join(
        f"{letter}) {words[letter]}" if letter in words else letter for letter in given.split()
    )
