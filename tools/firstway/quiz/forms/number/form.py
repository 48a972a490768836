"""Quiz, number: what its author writes, how that becomes a question with a key, and how it
is shown and exported.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from firstway.files.specs import ByName, Number, Prose, Section, Sections, count, key, positive
from firstway.frozen import dataclass
from firstway.quiz.bank.question import (
    DEFAULT_SLACK_PERCENT,
    FigureOf,
    NumberMistake,
    WrongWay,
)
from firstway.quiz.bank.written import (
    LARGEST_SLACK_PERCENT,
    MOST_MISTAKES,
    MOST_PLACES,
    GivenBeside,
    WrittenFigure,
    WrittenMistake,
    WrittenQuestion,
    figure_written,
    mistakes_of,
    need,
    wrong_way_of,
)
from firstway.quiz.forms.answered import (
    known_figures,
    named_windows,
    spellings,
    typed_mistake,
    typed_right,
    typed_wrong,
    wrong_numbers,
)
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.number import answers
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    between,
    declared,
    figure_response,
    if_right,
    is_null,
    matches,
    middle,
    paragraphs,
    qti_term,
    text_entry,
)
from firstway.quiz.forms.shown_question import WRITING_LINE, Shown, Slots, decimal_box
from firstway.quiz.forms.worked_question import (
    AskedFigure,
    Computed,
    Figure,
    Filled,
    Flaw,
    WorkedQuestion,
    content_text,
    content_value,
    figure_flaws,
    text_of,
    window,
)
from firstway.rendering.figures import unit_text
from firstway.rendering.html import Markup, tag


@dataclass(frozen=True)
class WrittenAnswer(WrittenFigure):
    """A figure of the working, or a value that the author states with its source."""

    step: str = key(Prose(), "the step of the working", "voltage-drop")
    of: str = key(Prose(), "what the step is of", "slipway")
    value: float | None = key(Number(), "a value that no working gives", "0.5")
    arithmetic: str = key(
        Prose(),
        "plain arithmetic over figures of the working, where no step gives it",
        "I ** 2 * R",
    )
    with_: Mapping[str, WrittenFigure] = key(
        ByName(Section(WrittenFigure)),
        "symbols of that arithmetic",
        "{I: {step: design-current, of: slipway}}",
        when="arithmetic",
    )
    unit: str = key(Prose(), "its unit", "m", when="value or arithmetic")
    source: str = key(
        Prose(), "where the value comes from", "common practice", when="value or arithmetic"
    )
    places: int | None = key(count(0, MOST_PLACES), "decimals it is shown with", "2")
    slack_percent: float = key(
        positive(LARGEST_SLACK_PERCENT),
        "how far a right answer may lie off",
        "2",
        absent=DEFAULT_SLACK_PERCENT,
    )


@dataclass(frozen=True)
class WrittenNumber(WrittenQuestion):
    """A figure is worked out."""

    answer: WrittenAnswer = key(Section(WrittenAnswer), "the right figure", required=True)
    mistakes: tuple[WrittenMistake, ...] = key(
        Sections(WrittenMistake, at_most=MOST_MISTAKES),
        "wrong figures that learners come to",
        required=True,
    )


@dataclass(frozen=True)
class Stated:
    """An answer typed by the author, or by arithmetic of theirs; only with its source."""

    value: float | WrongWay
    unit: str
    places: int
    source: str


@dataclass(frozen=True)
class AskedNumber:
    """A figure to work out; `places` are those it is shown with where they are not its step's."""

    answer: FigureOf | Stated | None
    places: int | None
    slack_percent: float
    mistakes: tuple[NumberMistake, ...]


def read(question: WrittenNumber, beside: GivenBeside) -> AskedNumber:
    return number_of(question.answer, question.mistakes, beside)


def number_of(
    answer: WrittenAnswer, mistakes: tuple[WrittenMistake, ...], beside: GivenBeside
) -> AskedNumber:
    """A figure to work out, and the wrong ones that have a name."""
    found: FigureOf | Stated | None
    if answer.arithmetic:
        need(answer, beside, "unit", "places", "source")
        way = wrong_way_of(answer, beside)
        stated = answer.unit, answer.places or 0, answer.source
        found = Stated(way, *stated) if way else None
    elif answer.value is not None:
        need(answer, beside, "places", "source")
        found = Stated(answer.value, answer.unit, answer.places or 0, answer.source)
    else:
        need(answer, beside, "step", "of")
        found = figure_written(answer, beside)
    return AskedNumber(found, answer.places, answer.slack_percent, mistakes_of(mistakes, beside))


def worked_number(
    look: Look, asked: AskedNumber, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """A number question, its answer a step or a stated value."""
    stated = asked.answer
    answer: Figure | Computed | None
    if isinstance(stated, Stated):
        way, line = stated.value, look.question.line
        value = way if isinstance(way, float) else look.led_to(way, {}, line)
        answer = None if value is None else Computed(value, stated.unit, stated.places)
    else:
        answer = look.figure(look.question.line, stated) if stated else None
    return number_with(look, asked, stem, why, answer) if answer else None


def number_with(
    look: Look, asked: AskedNumber, stem: Filled, why: Filled, answer: Figure | Computed
) -> WorkedQuestion:
    """A number question with its answer at hand."""
    value, unit, slack = float(answer.value or 0.0), answer.unit, asked.slack_percent
    places = answer.places if asked.places is None else asked.places
    known = known_figures(answer, value)
    if places != answer.places:
        answer = Computed(value, unit, places)
    low, high = window(value, places, slack)
    mistakes = tuple(
        item
        for mistake in asked.mistakes
        if (item := look.mistake(mistake, known, unit, places, slack))
    )
    key = answers.NumberKey(
        unit_text(unit),
        spellings(unit),
        low,
        high,
        wrong_numbers(mistakes),
        content_text(answer),
        text_of(why),
    )
    return WorkedQuestion(
        look.question, stem, why, answer, key, mistakes=mistakes, unit=unit, places=places
    )


def flaws(key: answers.NumberKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    value = content_value(worked.answer)
    figure = AskedFigure(0, key, value, worked.places, worked.question.line)
    return figure_flaws(worked, [figure])


# how it is shown and exported


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    label = "Your answer" + (f", in {shown.unit}" if shown.unit else "")
    yield (
        tag(
            "p",
            tag("label", label, for_=f"{place}-a"),
            " ",
            decimal_box(place, f"{place}-h"),
            " ",
            tag("span", "A decimal point or a comma will do.", class_="quiz-hint", id=f"{place}-h"),
            class_="quiz-number",
        )
    )


def room(shown: Shown) -> Markup:
    return WRITING_LINE + f" {shown.unit}"


UNIT_FAMILIES: tuple[tuple[str, ...], ...] = (
    ("mV", "V", "kV"),
    ("mA", "A", "kA"),
    ("mΩ", "Ω", "kΩ"),
    ("mm", "m", "km"),
    ("W", "kW", "MW"),
    ("ms", "s"),
    ("mm²", "cm²"),
    ("Wh", "kWh"),
    ("%", "V"),
)
"""Units a learner might take one for another."""


def units_of(unit: str) -> tuple[str, ...]:
    """The units to choose from; none where there is nothing to take it for."""
    return next((family for family in UNIT_FAMILIES if unit in family), ())


def exported(
    key: answers.NumberKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A figure to type, and its unit to choose."""
    response = declared("RESPONSE", "single", "float", [middle(key.low, key.high)])
    inside, beside = between("RESPONSE", key.low, key.high), f" {shown.unit}"
    box, units = text_entry("RESPONSE"), units_of(shown.unit)
    if not units:
        asked = qti_term("p", {}, box, *((beside,) if shown.unit else ()))
        return ItemTerms(
            (response,), (*paragraphs(shown.stem, picture), asked), (if_right(inside),)
        )
    names = {unit: f"unit-{place}" for place, unit in enumerate(units, 1)}
    choices = (qti_term("qti-inline-choice", {"identifier": names[unit]}, unit) for unit in units)
    to_choose = qti_term(
        "qti-inline-choice-interaction",
        {"response-identifier": "UNIT", "shuffle": "false"},
        *choices,
    )
    fits = qti_term("qti-or", {}, is_null("UNIT"), matches("UNIT"))
    return ItemTerms(
        (response, declared("UNIT", "single", "identifier", [names[shown.unit]])),
        (*paragraphs(shown.stem, picture), qti_term("p", {}, box, " ", to_choose)),
        (if_right(qti_term("qti-and", {}, inside, fits)),),
    )


def responses(key: answers.NumberKey, given: str, names: Mapping[str, str]) -> list[Response]:
    return [figure_response("RESPONSE", given)]


FORM = Form(
    key=answers.NumberKey,
    marked=answers.marked,
    fields=fields,
    room=room,
    how="Work it out on paper, then open the answer.",
    flaws=flaws,
    right=typed_right,
    wrong=typed_wrong,
    by_mistake=typed_mistake,
    exported=exported,
    responses=responses,
    interaction="numeric",
    accepted=lambda key: f"Accepted from {key.low:.4g} to {key.high:.4g} {key.unit}.",
    named_mistakes=named_windows,
)
KIND = QuestionKind(
    "number",
    3.0,
    WrittenNumber,
    read,
    worked_number,
    asks=lambda own: str(own.answer),
)
