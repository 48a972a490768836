"""Quiz, foretell: a reading, on the board as it stands or with a mistake made on it."""

from __future__ import annotations

from firstway.model.mistakes import ShownBy
from firstway.model.values import UNKNOWN, is_known
from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT
from firstway.quiz.forms.foretell.keys import AskedReading, ReadingOf
from firstway.quiz.forms.number.keys import AskedNumber
from firstway.quiz.forms.number.worked import number_with
from firstway.quiz.forms.one_answer.worked import choice_with
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.sources import with_mistake
from firstway.quiz.forms.words import Filled
from firstway.quiz.forms.worked_question import Computed, WorkedOption, WorkedQuestion
from firstway.wiring.circuit import circuit_of
from firstway.wiring.readings import AT_MOST, ShownReading
from firstway.wiring.showing import reading_of

ABOUT_SLACK_PERCENT = 15.0
"""A reading the tester gives only about, as through a surge protective device."""


def worked_reading(
    look: Look, asked: AskedReading, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """A reading with a figure is typed; one in words, or beside the author's options, is chosen."""
    wanted = asked.reading
    shown = _shown(look, wanted) if wanted else None
    if wanted is None or shown is None:
        return None
    if not shown.known or shown.words == AT_MOST:
        look.say(
            wanted.line,
            f"this reading cannot be foretold{': ' + shown.ask if shown.ask else ''}",
            "ask for another test or another board",
        )
        return None
    if asked.options:
        return _chosen(look, asked, stem, why, shown)
    if shown.value is None:
        look.say(
            wanted.line,
            f"the reading is in words: '{shown.words}'",
            "give `options:`, the wrong ones, in place of `mistakes:`",
        )
        return None
    slack = ABOUT_SLACK_PERCENT if shown.about else DEFAULT_SLACK_PERCENT
    number = AskedNumber(None, wanted.places, slack, asked.mistakes)
    return number_with(look, number, stem, why, _figure(shown))


def _shown(look: Look, wanted: ReadingOf) -> ShownReading | None:
    job = look.job(wanted.installation)
    if job is None:
        look.say(
            wanted.line,
            f"there is no installation '{wanted.installation}'",
            "name a file of diagrams/ that can be worked",
        )
        return None
    test = ShownBy(
        wanted.test,
        wanted.between or UNKNOWN,
        wanted.open or UNKNOWN,
        wanted.out or UNKNOWN,
        wanted.bridge or UNKNOWN,
        UNKNOWN if wanted.test_v is None else wanted.test_v,
        "",
    )
    if wanted.mistake:
        job, bound, reason = with_mistake(job, look.sources.mistakes, wanted.mistake)
        if job is None or bound is None:
            look.say(
                wanted.line, reason, "name a mistake of diagrams/mistakes.yaml that applies to it"
            )
            return None
        if not wanted.test:
            if not is_known(bound.shown_by):
                look.say(
                    wanted.line,
                    f"no test shows the mistake '{wanted.mistake}'",
                    "name a test, or another mistake",
                )
                return None
            test = bound.shown_by
    known = {terminal.id for terminal in job.case.wiring.terminals}
    for place in wanted.between:
        if place not in known:
            look.say(
                wanted.line,
                f"there is no terminal '{place}' in {wanted.installation}",
                "name two terminals of its wiring",
            )
            return None
    return reading_of(circuit_of(job.installation, job.case.wiring), test)


def _figure(shown: ShownReading) -> Computed:
    """The reading as a tester shows it: places as on the page of expected readings."""
    value = float(shown.value or 0.0)
    places = (
        3
        if shown.unit == "ohm" and value < 10
        else 2
        if shown.unit in ("megohm", "kA")
        else 1
        if shown.unit in ("ohm", "A")
        else 0
    )
    return Computed(value, "MΩ" if shown.unit == "megohm" else shown.unit, places)


def _chosen(
    look: Look, asked: AskedReading, stem: Filled, why: Filled, shown: ShownReading
) -> WorkedQuestion:
    """The right option is the reading itself, at place 0 of the bank; the author's wrong ones
    follow.
    """
    words = _figure(shown).text if shown.value is not None else shown.words
    right: Filled = (words[:1].upper() + words[1:],)
    options = [WorkedOption("", right, True, "", (), look.question.line, 0)]
    for place, option in enumerate(asked.options, 1):
        if isinstance(option.content, tuple):
            options.append(
                WorkedOption(
                    "",
                    look.words(option.line, option.content),
                    False,
                    option.mistake,
                    look.words(option.line, option.feedback),
                    option.line,
                    place,
                )
            )
        else:
            look.say(option.line, "a reading to choose is written in words", "write `text:`")
    return choice_with(look, stem, why, right, options)
