"""Quiz, foretell: what its author writes, and how that becomes a question with a key."""

from __future__ import annotations

from dataclasses import replace

from firstway.files.specs import Name, Names, Section, Sections, count, key, positive, word
from firstway.frozen import dataclass
from firstway.model.mistakes import ShownBy
from firstway.model.values import UNKNOWN, is_known
from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT, NumberMistake
from firstway.quiz.bank.written import (
    MOST_MISTAKES,
    MOST_PLACES,
    GivenBeside,
    Written,
    WrittenMistake,
    WrittenQuestion,
    mistakes_of,
    need,
)
from firstway.quiz.forms.form import Look, QuestionKind
from firstway.quiz.forms.number.form import AskedNumber, number_with
from firstway.quiz.forms.one_answer.form import choice_with
from firstway.quiz.forms.options import MOST_OPTIONS, Option, WrittenOption, options_of
from firstway.quiz.forms.sources import with_mistake
from firstway.quiz.forms.worked_question import Computed, Filled, WorkedOption, WorkedQuestion
from firstway.wiring.circuit import circuit_of
from firstway.wiring.readings import AT_MOST, ShownReading
from firstway.wiring.showing import reading_of

TESTS = ("continuity", "insulation", "voltage", "loop", "residual", "load")


@dataclass(frozen=True)
class WrittenReading(Written):
    """The test, as `shown_by` of the mistakes writes it, and the mistake made first; with a mistake
    and nothing else it is the very test that shows the mistake.
    """

    of: str = key(
        Name("small"), "the installation, where the question's own is not meant", "marram"
    )
    mistake: str = key(
        Name("small"), "the mistake that is made first", "surge-device-without-earth"
    )
    test: str = key(word(*TESTS), "the test")
    between: tuple[str, ...] = key(
        Names("place"), "the two terminals it stands on", "[F1.PE, earth-bar.1]"
    )
    open: tuple[str, ...] = key(
        Names("place"), "devices that are off; `origin` where it is isolated there", "[origin, F2]"
    )
    out: tuple[str, ...] = key(Names("place"), "parts that are taken out", "[post-1]")
    bridge: tuple[str, ...] = key(
        Names("place"), "the two terminals a test link joins", "[F2.load.L1, earth-bar.1]"
    )
    test_v: float | None = key(positive(1000), "test voltage of the insulation tester", "500")
    places: int | None = key(count(0, MOST_PLACES), "decimals the reading is shown with", "2")


@dataclass(frozen=True)
class WrittenForetold(WrittenQuestion):
    """A reading is foretold: in words, by `options`, or as a figure, by `mistakes`."""

    reading: WrittenReading = key(Section(WrittenReading), "the test", required=True)
    options: tuple[WrittenOption, ...] = key(
        Sections(WrittenOption, at_most=MOST_OPTIONS), "wrong readings, in words"
    )
    mistakes: tuple[WrittenMistake, ...] = key(
        Sections(WrittenMistake, at_most=MOST_MISTAKES), "wrong readings, as figures"
    )


@dataclass(frozen=True)
class AskedReading:
    """A reading to foretell: in words, chosen from options, or a figure with its mistakes."""

    reading: WrittenReading
    options: tuple[Option, ...]
    mistakes: tuple[NumberMistake, ...]


def read(question: WrittenForetold, beside: GivenBeside) -> AskedReading:
    options = options_of(question.options, beside)
    if any(option.right for option in options):
        beside.say(
            question.line_of("options"),
            "the right reading is worked, not typed",
            "remove `right:`; name the wrong ones alone",
        )
    if bool(question.options) == bool(question.mistakes):
        beside.say(
            question.line,
            "a reading in words needs `options`, a reading with a figure needs `mistakes`",
            "give one of the two",
        )
    reading = _reading(question.reading, beside)
    return AskedReading(reading, options, mistakes_of(question.mistakes, beside))


def _reading(written: WrittenReading, beside: GivenBeside) -> WrittenReading:
    board = written.of or beside.installation
    if not written.mistake or "between" in written.lines:
        need(written, beside, "test")
    if not board:
        beside.say(
            written.line,
            "the reading names no installation",
            "add `installation:` to the question",
        )
    if written.test not in ("", "load") and len(written.between) != 2:
        beside.say(
            written.line,
            "a test stands between two terminals",
            "add `between: [F1.PE, earth-bar.1]`",
        )
    if written.bridge and len(written.bridge) != 2:
        beside.say(
            written.line_of("bridge"),
            "a test link joins two terminals",
            "write `bridge: [F2.load.L1, earth-bar.1]`",
        )
    return replace(written, of=board)


ABOUT_SLACK_PERCENT = 15.0
"""A reading the tester gives only about, as through a surge protective device."""


def worked_reading(
    look: Look, asked: AskedReading, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """A reading with a figure is typed; one in words, or beside the author's options, is chosen."""
    wanted = asked.reading
    shown = _shown(look, wanted)
    if shown is None:
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


def _shown(look: Look, wanted: WrittenReading) -> ShownReading | None:
    job = look.job(wanted.of, wanted.line)
    if job is None:
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
                f"there is no terminal '{place}' in {wanted.of}",
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


KIND = QuestionKind(
    "foretell",
    2.0,
    WrittenForetold,
    read,
    worked_reading,
    asks=lambda own: str(own.reading),
)
