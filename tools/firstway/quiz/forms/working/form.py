"""Quiz, working: what its author writes, how that becomes a question with a key, and how it
is shown and exported.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping, Sequence

from firstway.calculations.formula import Formula
from firstway.files.specs import ByName, Prose, Sections, count, key, positive
from firstway.frozen import dataclass
from firstway.quiz.bank.question import (
    DEFAULT_SLACK_PERCENT,
    NumberMistake,
)
from firstway.quiz.bank.written import (
    LARGEST_SLACK_PERCENT,
    MOST_MISTAKES,
    MOST_PARTS,
    MOST_PLACES,
    GivenBeside,
    WrittenFigure,
    WrittenMistake,
    WrittenQuestion,
    figure_written,
    mistakes_of,
    sentence_of,
)
from firstway.quiz.forms.answered import known_figures, spellings, wrong_numbers
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    between,
    declared,
    figure_response,
    float_value,
    middle,
    paragraphs,
    qti_term,
    text_entry,
    variable,
)
from firstway.quiz.forms.shown_question import WRITING_LINE, Shown, Slots, decimal_box
from firstway.quiz.forms.worked_question import (
    AskedFigure,
    Computed,
    Figure,
    Filled,
    Flaw,
    WorkedMistake,
    WorkedPart,
    WorkedQuestion,
    content_value,
    figure_flaws,
    text_of,
    window,
)
from firstway.quiz.forms.working import answers
from firstway.rendering.figures import unit_text
from firstway.rendering.html import Markup, joined, tag


@dataclass(frozen=True)
class WrittenPart(WrittenFigure):
    """One of the figures."""

    ask: str = key(Prose(), "what is asked", "Which drop?", required=True)
    uses: Mapping[str, int] = key(
        ByName(count(1, MOST_PARTS - 1)),
        "symbols of its formula that are earlier parts, counted from 1",
        "{I_b: 1}",
    )
    places: int | None = key(count(0, MOST_PLACES), "decimals it is shown with", "2")


@dataclass(frozen=True)
class WrittenPartMistake(WrittenMistake):
    """A wrong figure of one part."""

    part: int = key(count(1, MOST_PARTS), "the part, counted from 1", "2", required=True, absent=0)


@dataclass(frozen=True)
class WrittenWorking(WrittenQuestion):
    """Figures of one calculation are worked out, each from those before."""

    parts: tuple[WrittenPart, ...] = key(
        Sections(WrittenPart, MOST_PARTS, MOST_PARTS), "the figures in their order", required=True
    )
    slack_percent: float = key(
        positive(LARGEST_SLACK_PERCENT),
        "how far a right answer may lie off",
        "2",
        absent=DEFAULT_SLACK_PERCENT,
    )
    mistakes: tuple[WrittenPartMistake, ...] = key(
        Sections(WrittenPartMistake, at_most=MOST_MISTAKES),
        "wrong figures that learners come to",
        required=True,
    )


@dataclass(frozen=True)
class AskedWorking:
    """Three figures of one calculation."""

    installation: str
    parts: tuple[WrittenPart, ...]
    slack_percent: float
    mistakes: tuple[NumberMistake, ...]


def read(question: WrittenWorking, beside: GivenBeside) -> AskedWorking:
    for place, part in enumerate(question.parts, 1):
        for symbol, number in part.uses.items():
            if number >= place:
                beside.say(
                    part.line_of("uses"),
                    f"'{symbol[:60]}' follows from part {number}, which does not stand before it",
                    "name an earlier part, counted from 1",
                )
    if not any(part.uses for part in question.parts):
        beside.say(
            question.line_of("parts"),
            "no part follows from an earlier one",
            "add `uses: {symbol: 1}` to a later part",
        )
    for part in question.parts:
        sentence_of(part, "ask", beside)
        figure_written(part, beside)
    mistakes = mistakes_of(question.mistakes, beside)
    return AskedWorking(question.installation, question.parts, question.slack_percent, mistakes)


_OPERATORS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}


def worked_working(
    look: Look, asked: AskedWorking, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """Three figures of one calculation; a later one may be worked with the learner's own earlier
    ones.
    """
    named_figures = [look.figure(part.line, part) for part in asked.parts]
    figures = [figure for figure in named_figures if figure is not None]
    if len(figures) < len(named_figures):
        return None
    values = [float(figure.value or 0.0) for figure in figures]
    named = {f"p{place}": value for place, value in enumerate(values, 1)}
    parts, keys = [], []
    mistakes: list[WorkedMistake] = []
    for place, (part, figure) in enumerate(zip(asked.parts, figures), 1):
        places = figure.places if part.places is None else part.places
        own = [mistake for mistake in asked.mistakes if mistake.part == place]
        known = {**named, **known_figures(figure, values[place - 1])}
        found = tuple(
            made
            for mistake in own
            if (made := look.mistake(mistake, known, figure.unit, places, asked.slack_percent))
        )
        low, high = window(values[place - 1], places, asked.slack_percent)
        keys.append(
            answers.PartKey(
                unit_text(figure.unit),
                spellings(figure.unit),
                low,
                high,
                wrong_numbers(found),
                _postfix(look, part, figure, figures),
                0.5 * 10.0**-places,
                asked.slack_percent,
            )
        )
        shown = (
            figure if places == figure.places else Computed(values[place - 1], figure.unit, places)
        )
        parts.append(
            WorkedPart(
                look.words(part.line, part.ask), shown, figure.unit, places, part.line, figure
            )
        )
        mistakes += found
    answer: Filled = (
        ", ".join(f"{place}: {part.answer.text}" for place, part in enumerate(parts, 1)),
    )
    key = answers.WorkingKey(tuple(keys), text_of(answer), text_of(why))
    return WorkedQuestion(
        look.question, stem, why, answer, key, mistakes=tuple(mistakes), parts=tuple(parts)
    )


def _postfix(
    look: Look, part: WrittenPart, figure: Figure, figures: list[Figure]
) -> tuple[float | str, ...]:
    """The part's formula with the learner's earlier figures left open; empty where nothing
    follows.
    """
    if not part.uses:
        return ()
    put_in = figure.step.figures
    if put_in is None:
        look.say(
            part.line,
            f"{figure.step.id} of {figure.step.of} has no formula into which an earlier figure"
            " could be put",
            "remove `uses:`",
        )
        return ()
    for symbol, place in part.uses.items():
        earlier, own = figures[place - 1], put_in.values.get(symbol)
        if own is None:
            look.say(
                part.line,
                f"no symbol {symbol} is put into {figure.step.id} of {figure.step.of} (there:"
                f" {', '.join(sorted(put_in.values))})",
                "name one of them",
            )
        elif put_in.formula.units[symbol] != earlier.unit or abs(
            own - float(earlier.value or 0.0)
        ) > 1e-9 * max(1.0, abs(own)):
            look.say(
                part.line,
                f"{symbol} of {figure.step.id} is not the figure of part {place}",
                "name the part whose figure is put in there",
            )
    return postfix(put_in.formula, put_in.values, part.uses)


def postfix(
    formula: Formula, values: Mapping[str, float], uses: Mapping[str, int]
) -> tuple[float | str, ...]:
    """The right-hand side as a postfix list: figures as numbers, an earlier part as `p1`."""
    return tuple(_items(formula.tree, values, uses))


def _items(
    tree: ast.expr, values: Mapping[str, float], uses: Mapping[str, int]
) -> Iterator[float | str]:
    if isinstance(tree, ast.Constant) and isinstance(tree.value, (int, float)):
        yield float(tree.value)
    elif isinstance(tree, ast.Name):
        yield f"p{uses[tree.id]}" if tree.id in uses else float(values[tree.id])
    elif isinstance(tree, ast.UnaryOp):
        yield from _items(tree.operand, values, uses)
        yield "neg"
    elif isinstance(tree, ast.BinOp):
        yield from _items(tree.left, values, uses)
        yield from _items(tree.right, values, uses)
        yield _OPERATORS[type(tree.op)]
    else:
        assert isinstance(tree, ast.Call) and isinstance(tree.func, ast.Name)
        for place, argument in enumerate(tree.args):
            yield from _items(argument, values, uses)
            if place:  # min and max of several: two by two
                yield tree.func.id
        if len(tree.args) == 1 and tree.func.id not in ("min", "max"):
            yield tree.func.id


def flaws(key: answers.WorkingKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    figures = [
        AskedFigure(place, windows, content_value(part.answer), part.places, part.line)
        for place, (part, windows) in enumerate(zip(worked.parts, key.parts), 1)
    ]
    return figure_flaws(worked, figures)


# how it is shown and exported


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    yield (
        tag(
            "p",
            (
                "Work the figures in their order. A later figure worked rightly from an earlier"
                " slip still counts."
            ),
            class_="quiz-hint",
        )
    )
    for part, (ask, unit) in enumerate(shown.parts, 1):
        spoken = f", in {unit}" if unit else ""
        yield (
            tag(
                "p",
                tag("label", part, ". ", slots.marked(ask), spoken, for_=f"{place}-{part}-a"),
                " ",
                decimal_box(f"{place}-{part}"),
                class_="quiz-number",
            )
        )


def room(shown: Shown) -> Markup:
    return joined(
        Markup("<span>{}: {} {}</span> ").format(part, WRITING_LINE, unit)
        for part, (_, unit) in enumerate(shown.parts, 1)
    )


FOLLOW_THROUGH = (
    "Each figure is marked by itself here: marks for a later figure that follows from an earlier"
    " slip are given in our own pages only."
)


def exported(
    key: answers.WorkingKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A box for each figure, a point for each that lies in its window."""
    names = [f"FIGURE{place}" for place in range(1, len(key.parts) + 1)]
    boxes = (
        qti_term("p", {}, f"{ask}: ", text_entry(name), f" {unit}")
        for name, (ask, unit) in zip(names, shown.parts)
    )
    return ItemTerms(
        tuple(
            declared(name, "single", "float", [middle(part.low, part.high)])
            for name, part in zip(names, key.parts)
        ),
        (*paragraphs(shown.stem, picture), qti_term("p", {}, FOLLOW_THROUGH), *boxes),
        tuple(_one_more(name, part) for name, part in zip(names, key.parts)),
    )


def _one_more(name: str, part: answers.PartKey) -> Term:
    """A point more where a figure lies in its window."""
    more = qti_term("qti-sum", {}, variable("SCORE"), float_value("1"))
    counted = qti_term("qti-set-outcome-value", {"identifier": "SCORE"}, more)
    inside = between(name, part.low, part.high)
    return qti_term("qti-response-condition", {}, qti_term("qti-response-if", {}, inside, counted))


def responses(key: answers.WorkingKey, given: str, names: Mapping[str, str]) -> list[Response]:
    boxes = enumerate(answers.boxes_of(key, given), 1)
    return [figure_response(f"FIGURE{place}", box) for place, box in boxes]


FORM = Form(
    key=answers.WorkingKey,
    marked=answers.marked,
    most_points=answers.most_points,
    fields=fields,
    room=room,
    how="Work the figures on paper, then open the answer.",
    flaws=flaws,
    right=answers.right,
    wrong=answers.wrong,
    by_mistake=answers.by_mistake,
    legible=answers.legible,
    exported=exported,
    responses=responses,
    interaction="other",
    accepted=lambda key: (
        "A point for each figure; one that follows rightly from the learner's own earlier figure"
        " counts."
    ),
    named_mistakes=answers.named_mistakes,
)
KIND = QuestionKind(
    "working",
    5.0,
    WrittenWorking,
    read,
    worked_working,
    asks=lambda own: str([str(part.meant(own.installation)) for part in own.parts]),
)
