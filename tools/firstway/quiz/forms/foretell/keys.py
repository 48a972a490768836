"""Quiz, foretell: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import GivenBeside, mistakes_of_keys, places_of_keys, texts_of
from firstway.quiz.bank.question import NumberMistake
from firstway.quiz.forms.option_keys import Option, options_of_keys
from firstway.quiz.forms.spot_keys import PLACE_FORM

TESTS = ("continuity", "insulation", "voltage", "loop", "residual", "load")


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


def read(keys: Keys, beside: GivenBeside) -> AskedReading:
    installation = beside.installation
    reading = keys.inner("reading", required=True)
    found = _reading(reading, installation) if reading is not None else None
    options = options_of_keys(keys, installation) if "options" in keys.entries.values else ()
    mistakes = mistakes_of_keys(keys, installation, required=False)
    keys.asked.append("options")
    if any(option.right for option in options):
        keys.reader.say(
            keys.line_of("options"),
            f"{keys.what}: the right reading is worked, not typed",
            "remove `right:`; name the wrong ones alone",
        )
    if bool(options) == bool(mistakes):
        keys.reader.say(
            keys.line,
            f"{keys.what}: a reading in words needs `options`, a reading with a figure needs"
            " `mistakes`",
            "give one of the two",
        )
    return AskedReading(found, options, mistakes)


def _reading(keys: Keys, installation: str) -> ReadingOf | None:
    board = keys.identity("of", required=False) or installation
    mistake = keys.identity("mistake", required=False)
    alone = "test" not in keys.entries.values and "between" not in keys.entries.values
    test = keys.choice("test", TESTS, required=not (mistake and alone))
    between = texts_of(keys, "between", PLACE_FORM)
    found = ReadingOf(
        board,
        mistake,
        test,
        between,
        texts_of(keys, "open", PLACE_FORM),
        texts_of(keys, "out", PLACE_FORM),
        texts_of(keys, "bridge", PLACE_FORM),
        keys.number("test_v"),
        places_of_keys(keys, required=False),
        keys.line,
    )
    keys.finish()
    if not board:
        keys.reader.say(
            keys.line,
            f"{keys.what}: no installation is named",
            "add `installation:` to the question",
        )
    if test and test != "load" and len(between) != 2:
        keys.reader.say(
            keys.line,
            f"{keys.what}: a test stands between two terminals",
            "add `between: [F1.PE, earth-bar.1]`",
        )
    if found.bridge and len(found.bridge) != 2:
        keys.reader.say(
            keys.line_of("bridge"),
            f"{keys.what}: a test link joins two terminals",
            "write `bridge: [F2.load.L1, earth-bar.1]`",
        )
    if found.test_v is not None and not 0 < found.test_v <= 1000:
        keys.reader.say(
            keys.line_of("test_v"),
            f"{keys.what}: 'test_v' must be above 0 and at most 1000",
            "write the test voltage in volts",
        )
    return found if board else None
