"""Quiz, foretell: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.specs import Name, Names, Section, Sections, count, key, positive, word
from firstway.quiz.bank.own_keys import GivenBeside, mistakes_of, need
from firstway.quiz.bank.question import NumberMistake
from firstway.quiz.bank.written import (
    MOST_MISTAKES,
    MOST_PLACES,
    Written,
    WrittenMistake,
    WrittenQuestion,
)
from firstway.quiz.forms.option_keys import MOST_OPTIONS, Option, WrittenOption, options_of

TESTS = ("continuity", "insulation", "voltage", "loop", "residual", "load")


@dataclass(frozen=True)
class WrittenReading(Written):
    """The test; with a mistake and nothing else it is the very test that shows the mistake."""

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
class ReadingOf:
    """A reading to foretell: the test as `shown_by` of the mistakes writes it, and the mistake made
    first.

    With a mistake and nothing else it is the very test that shows the mistake. `installation` is
    the board.
    """

    installation: str
    mistake: str = ""
    test: str = ""
    between: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    bridge: tuple[str, ...] = ()
    test_v: float | None = None
    places: int | None = None
    line: int = 0


@dataclass(frozen=True)
class AskedReading:
    """A reading to foretell: in words, chosen from options, or a figure with its mistakes."""

    reading: ReadingOf | None
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


def _reading(written: WrittenReading, beside: GivenBeside) -> ReadingOf | None:
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
    return ReadingOf(
        board,
        written.mistake,
        written.test,
        written.between,
        written.open,
        written.out,
        written.bridge,
        written.test_v,
        written.places,
        written.line,
    )
