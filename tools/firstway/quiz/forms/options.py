"""Quiz: the options of a question, as choices of one and of several have them: what an author
writes, how they are worked, and how they stand in a key and on a page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace

from firstway.files.specs import ByName, Flag, Prose, Section, Sections, key
from firstway.frozen import dataclass
from firstway.quiz.bank.question import AuthorWords, FigureOf, WrongWay
from firstway.quiz.bank.written import (
    GivenBeside,
    Written,
    WrittenFigure,
    WrittenQuestion,
    figure_written,
    need,
    sentence_of,
    source_needed,
    wrong_way_of,
)
from firstway.quiz.forms.answered import known_figures
from firstway.quiz.forms.form import Look
from firstway.quiz.forms.shown_question import Shown, Slots
from firstway.quiz.forms.worked_question import (
    LETTERS,
    Computed,
    Content,
    Flaw,
    WorkedOption,
    WorkedQuestion,
    content_text,
    content_value,
    option_flaws,
    text_of,
)
from firstway.quiz.marking.marking import Key
from firstway.rendering.html import Markup, joined, tag

MOST_OPTIONS = 9


@dataclass(frozen=True)
class WrittenOption(Written):
    """One thing to choose; exactly one of text, figure and arithmetic."""

    text: str = key(Prose(), "its words", "The lead is too long")
    figure: WrittenFigure | None = key(Section(WrittenFigure), "a figure of the working")
    arithmetic: str = key(Prose(), "the figure a mistake leads to", "2 * answer")
    with_: Mapping[str, WrittenFigure] = key(
        ByName(Section(WrittenFigure)),
        "symbols of the arithmetic that the answer's own step has not",
        "{I_n: {step: device-rating, of: slipway}}",
        when="arithmetic",
    )
    right: bool = key(Flag(), "whether it is right")
    mistake: str = key(Prose(), "the mistake a wrong one tests", "adds both leads twice")
    feedback: str = key(Prose(), "what is said to whoever chooses it", "Each counts once.")


@dataclass(frozen=True)
class WrittenChoice(WrittenQuestion):
    """One answer is right."""

    options: tuple[WrittenOption, ...] = key(
        Sections(WrittenOption, at_least=1, at_most=MOST_OPTIONS),
        "what is chosen from",
        required=True,
    )


@dataclass(frozen=True)
class Option:
    """One thing to choose: words, a figure of the working, or the figure a mistake leads to."""

    content: AuthorWords | FigureOf | WrongWay
    right: bool
    mistake: str
    feedback: AuthorWords
    line: int = field(repr=False)


@dataclass(frozen=True)
class AskedOptions:
    """Options to choose from."""

    options: tuple[Option, ...]
    tell_count: bool = False


def options_of(
    written: Sequence[WrittenOption], beside: GivenBeside, several: bool = False
) -> tuple[Option, ...]:
    """The options that can be shown."""
    found = (_option(each, beside, several) for each in written)
    return tuple(option for option in found if option is not None)


def _option(written: WrittenOption, beside: GivenBeside, several: bool) -> Option | None:
    given = [name for name in ("text", "figure", "arithmetic") if name in written.lines]
    if len(given) != 1:
        beside.say(
            written.line,
            f"an option has {len(given)} of text, figure and arithmetic",
            "give exactly one of the three",
        )
    if not written.right:
        need(written, beside, "mistake", "feedback")
    elif written.mistake or written.arithmetic and not several:
        beside.say(
            written.line, "the right answer names a mistake", "remove `mistake:` or `right:`"
        )
    elif written.arithmetic:
        beside.say(
            written.line,
            "the right answer is worked by arithmetic",
            "name its step under `figure:`",
        )
    content: AuthorWords | FigureOf | WrongWay | None = sentence_of(written, "text", beside)
    if written.figure is not None:
        content = figure_written(written.figure, beside)
    elif written.arithmetic:
        content = wrong_way_of(written, beside)
    if not content or len(given) != 1:
        return None
    feedback = sentence_of(written, "feedback", beside)
    return Option(content, written.right, written.mistake, feedback, written.line)


def complain_of_typed(
    question: WrittenQuestion, options: tuple[Option, ...], beside: GivenBeside
) -> None:
    """A right option in the author's words needs a source."""
    if any(option.right and isinstance(option.content, tuple) for option in options):
        source_needed(question, beside, "the right answer is typed and has no source")


@dataclass(frozen=True)
class OptionKey:
    """One option: `id` is what the learner's answer holds."""

    id: str
    right: bool
    mistake: str
    feedback: str


@dataclass(frozen=True)
class OptionsKey(Key):
    """What marks a choice."""

    options: tuple[OptionKey, ...]
    answer: str
    why: str


def right_options(key: OptionsKey) -> str:
    return " ".join(sorted(option.id for option in key.options if option.right))


def wrong_options(key: OptionsKey) -> list[OptionKey]:
    return [option for option in key.options if not option.right]


def named_options(key: OptionsKey, words: Mapping[str, str]) -> list[str]:
    """The mistakes that have a name, for the marking scheme."""
    return [f"{words.get(option.id, option.id)}: {option.mistake}" for option in wrong_options(key)]


def options_html(shown: Shown, place: str, slots: Slots, kind: str) -> Iterator[Markup]:
    """A radio button or a box to tick for each option; a spot of the drawing leads to it too."""
    if kind == "checkbox":
        yield tag("p", f"Tick {shown.tell_count or 'every right one'}.", class_="quiz-hint")
    if shown.points_at_drawing:
        yield tag("p", "Choose a letter here, or point at it in the drawing.", class_="quiz-hint")
    labels = (
        tag(
            "label",
            tag("input", type=kind, name=place, value=letter),
            tag("b", letter),
            " ",
            slots.marked(words),
        )
        for letter, words in shown.choices
    )
    yield tag("div", *labels, class_="quiz-options")


def option_letters(shown: Shown) -> Markup:
    """The letters to mark on the answer sheet."""
    return joined(tag("b", letter) for letter, _ in shown.choices)


_DECIMALS = re.compile(r"[0-9]\.([0-9]+)")


def worked_options(look: Look, options: Sequence[Option], right: Content) -> list[WorkedOption]:
    """The options with their figures, in the order of the bank."""
    found = [
        (option_content(look, option, right), look.words(option.line, option.feedback))
        for option in options
    ]
    return [
        WorkedOption("", content, option.right, option.mistake, feedback, option.line, place)
        for place, (option, (content, feedback)) in enumerate(zip(options, found))
        if content is not None
    ]


def option_content(look: Look, option: Option, right: Content | None) -> Content | None:
    if isinstance(option.content, FigureOf):
        return look.figure(option.line, option.content)
    if not isinstance(option.content, WrongWay):
        return look.words(option.line, option.content)
    if right is None or isinstance(right, tuple):
        look.say(
            option.line,
            "arithmetic needs a right answer that is a figure",
            "give the right option a `figure:`",
        )
        return None
    known = known_figures(right, float(right.value or 0.0))
    led = look.led_to(option.content, known, option.line)
    return None if led is None else Computed(led, right.unit, right.places)


def lettered_options(look: Look, options: Sequence[WorkedOption]) -> tuple[WorkedOption, ...]:
    """Options in the order shown, with their letters: figures by size, words by seed."""
    if options and all(not isinstance(option.content, tuple) for option in options):
        ordered = sorted(options, key=lambda option: (content_value(option.content), option.place))
    else:
        by_place = {option.place: option for option in options}
        ordered = [
            by_place[place]
            for place, _ in look.shuffled(range(max(by_place, default=-1) + 1))
            if place in by_place
        ]
    return tuple(replace(option, id=letter) for option, letter in zip(ordered, LETTERS))


def keys_of_options(options: Sequence[WorkedOption]) -> tuple[OptionKey, ...]:
    return tuple(
        OptionKey(item.id, item.right, item.mistake, text_of(item.feedback)) for item in options
    )


def decimals_of(option: WorkedOption) -> int:
    """How many decimals an option shows."""
    match = _DECIMALS.search(content_text(option.content))
    return len(match.group(1)) if match else 0


def chosen_flaws(worked: WorkedQuestion) -> Iterator[Flaw]:
    """Flaws of options that are right or wrong."""
    yield from option_flaws(worked)
    for option in worked.options:
        if not option.right and not (option.mistake and option.feedback):
            yield Flaw(
                option.line,
                "a wrong option without its mistake or feedback",
                "add `mistake:` and `feedback:`",
            )
    contents = [option.content for option in worked.options]
    figures = [content for content in contents if not isinstance(content, tuple)]
    line = worked.question.line
    if figures and len(figures) < len(contents):
        yield Flaw(line, "words and figures stand side by side as options", "use one kind")
    elif figures:
        decimals = {decimals_of(option) for option in worked.options}
        if len(decimals) > 1 or len({figure.unit for figure in figures}) > 1:
            yield Flaw(line, "the options differ in decimals or units", "show them alike")
        sizes = [content_value(figure) for figure in figures]
        if sizes != sorted(sizes):
            yield Flaw(line, "the options are not in order of size", "sort them")
