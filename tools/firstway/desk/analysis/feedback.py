"""Desk: what a learner gets back: their own answers, marks, the working of their own figures, what
to read again.
"""

from __future__ import annotations

from collections.abc import Mapping

from firstway.desk.marking.marking_class import Marked, MarkedAnswer
from firstway.desk.papers.key import PaperKey, Version
from firstway.desk.shared.sheets import desk_table_html, page_html, percent, share_html
from firstway.problems import visible
from firstway.quiz.forms.drawings import PageDrawings, Picture
from firstway.quiz.forms.registry import form_of
from firstway.quiz.marking.marking import ASK_AGAIN
from firstway.rendering.html import Markup, caution_html, edition_line, joined, tag

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


def feedback_html(key: PaperKey, own: Marked, style: str, chapters: Mapping[str, str]) -> Markup:
    """One learner's page. `chapters` names each chapter id."""
    share = own.points / own.out_of if own.out_of else None
    lost = [
        (number, key.by_id[answer.question])
        for number, answer in enumerate(own.answers, 1)
        if answer.mark.points < answer.mark.out_of and not answer.left_out
    ]
    again = dict.fromkeys(asked.chapter for _, asked in lost)
    safety = [
        tag("a", "question ", number, href=f"#question-{number}")
        for number, asked in lost
        if asked.safety
    ]
    parts = [
        tag("h1", f"{visible(key.title)}: {visible(own.code)}"),
        caution_html(),
        tag("p", visible(edition_line(key.edition)), class_="soft"),
        (
            tag(
                "p",
                tag("strong", f"{own.points:g} of {own.out_of:g} points"),
                f" ({percent(share)}). ",
                _NOT_PROOF,
            )
        ),
        (
            tag(
                "p",
                tag("strong", "Safety: go back to these before anything else:"),
                " ",
                joined(safety, ", "),
                ".",
            )
            if safety
            else ""
        ),
        joined(tag("p", f"{visible(note[:1].upper() + note[1:])}.") for note in own.notes),
        tag("h2", "By topic"),
        _topics(key, own),
        (
            tag(
                "p",
                (
                    "Read again in the guide:"
                    f" {visible('; '.join(chapters.get(each, each) for each in again))}."
                ),
            )
            if again
            else ""
        ),
        tag("h2", "Question by question"),
        *_answers(key, own),
    ]
    return page_html(
        f"{key.title}: {own.code}", joined((part for part in parts if part), "\n"), style
    )


def _topics(key: PaperKey, own: Marked) -> Markup:
    sums: dict[str, list[float]] = {}
    for answer in own.answers:
        if not answer.left_out:
            topic = sums.setdefault(key.by_id[answer.question].outcome, [0.0, 0.0])
            topic[0] += answer.mark.points
            topic[1] += answer.mark.out_of
    rows = [
        [
            visible(text),
            f"{sums[id_][0]:g} of {sums[id_][1]:g}",
            share_html(sums[id_][0] / sums[id_][1], 80),
        ]
        for id_, text in key.outcomes.items()
        if id_ in sums
    ]
    return desk_table_html(
        "Points by topic", [("You can", False), ("points", True), ("share", False)], rows
    )


def _answers(key: PaperKey, own: Marked) -> list[Markup]:
    drawings = PageDrawings("f")
    return [_answer(number, key, answer, drawings) for number, answer in enumerate(own.answers, 1)]


def _answer(number: int, key: PaperKey, answer: MarkedAnswer, drawings: PageDrawings) -> Markup:
    version, mark = key.by_id[answer.question].versions[answer.version], answer.mark
    verdict = "Left out by the tutor" if answer.left_out else VERDICTS.get(mark.state, "Not right")
    said = [
        *mark.feedback.split("\n"),
        *([f"The answer: {version.answer}.", version.why] if mark.state in ASK_AGAIN else []),
    ]
    given = given_words(version, answer.given)
    head = f"Question {number}: {verdict}, {mark.points:g} of {mark.out_of:g}"
    return tag(
        "section",
        tag("h3", head, id=f"question-{number}"),
        tag("p", visible(version.stem)),
        _drawing(key.pictures.get(version.drawing), drawings),
        tag("p", f"You answered: {visible(given) or 'nothing'}."),
        *(tag("p", visible(line)) for line in said if line),
        _working(version),
        class_="answered",
    )


def _drawing(picture: Picture | None, drawings: PageDrawings) -> Markup:
    """The drawing that was asked about, with its letters."""
    if picture is None:
        return Markup()
    drawings.figures += 1
    caption = tag("figcaption", visible(picture.title))
    return tag("figure", drawings.svg(picture), caption, class_="drawing")


def _working(version: Version) -> Markup:
    if not version.working:
        return Markup()
    lines = "\n".join(map(visible, version.working))
    return tag(
        "details",
        tag("summary", "The working with your figures"),
        tag("div", lines, class_="working"),
    )


def given_words(version: Version, given: str) -> str:
    """An answer as the learner saw it: letters with their words, numbers as typed."""
    return form_of(version.key).in_words(given, version.choices)
