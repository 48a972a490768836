"""Quiz: questions answered by choosing: options, several options, an order, partners, a spot of a
drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from firstway.model.mistakes import Mistake
from firstway.quiz.bank.keys import suggestion
from firstway.quiz.bank.question import AuthorWords, FigureOf, Option, SpotAt, StagesOf, WrongWay
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.sources import bound_mistake
from firstway.quiz.forms.words import Figure, Filled, text_of
from firstway.quiz.forms.worked_question import (
    LETTERS,
    Computed,
    Content,
    WorkedItem,
    WorkedOption,
    WorkedQuestion,
    WorkedRow,
    content_text,
    content_value,
)
from firstway.quiz.forms.working_numbers import places_of
from firstway.quiz.marking.marking import (
    MatchKey,
    OneAnswerKey,
    OptionKey,
    OrderKey,
    RowKey,
    SeveralAnswersKey,
    StepKey,
)

MOST_STEPS = 7
OTHER_GROUPS = ("enclosure", "rail", "line-bar")
"""Groups of the wiring drawing that are neither terminal, part nor conductor."""


# options


def worked_choice(look: Look, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """One answer of several options."""
    rights = [option for option in look.question.options if option.right]
    right = _content(look, rights[0], None) if rights else None
    if right is None:
        if not rights:
            look.say(look.question.line, "no option is right", "mark one option with `right: true`")
        return None
    return choice_with(look, stem, why, right, _options(look, right))


def choice_with(
    look: Look, stem: Filled, why: Filled, right: Content, options: list[WorkedOption]
) -> WorkedQuestion:
    """A question of one answer with its options at hand."""
    ordered = _lettered(look, options)
    key = OneAnswerKey(_option_keys(ordered), without_stop(content_text(right)), text_of(why))
    return WorkedQuestion(look.question, stem, why, right, key, options=ordered)


def worked_several(look: Look, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """Several right answers; arithmetic counts from the first right figure."""
    first = next((option for option in look.question.options if option.right), None)
    right = _content(look, first, None) if first else None
    if right is None:
        return None
    ordered = _lettered(look, _options(look, right))
    answer: Filled = (
        "; ".join(without_stop(content_text(option.content)) for option in ordered if option.right),
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        answer,
        SeveralAnswersKey(_option_keys(ordered), text_of(answer), text_of(why)),
        options=ordered,
    )


def _options(look: Look, right: Content) -> list[WorkedOption]:
    found = []
    for place, option in enumerate(look.question.options):
        content, feedback = _content(look, option, right), look.words(option.line, option.feedback)
        if content is not None:
            found.append(
                WorkedOption(
                    "", content, option.right, option.mistake, feedback, option.line, place
                )
            )
    return found


def _content(look: Look, option: Option, right: Content | None) -> Content | None:
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
    own = (
        dict(right.step.figures.values) if isinstance(right, Figure) and right.step.figures else {}
    )
    led = look.led_to(option.content, {**own, "answer": float(right.value or 0.0)}, option.line)
    return None if led is None else Computed(led, right.unit, places_of(right))


def _lettered(look: Look, options: Sequence[WorkedOption]) -> tuple[WorkedOption, ...]:
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
    return tuple(_with_letter(option, letter) for option, letter in zip(ordered, LETTERS))


def _with_letter(option: WorkedOption, letter: str) -> WorkedOption:
    return WorkedOption(
        letter,
        option.content,
        option.right,
        option.mistake,
        option.feedback,
        option.line,
        option.place,
        option.spot,
    )


def _option_keys(options: Sequence[WorkedOption]) -> tuple[OptionKey, ...]:
    return tuple(
        OptionKey(item.id, item.right, item.mistake, text_of(item.feedback)) for item in options
    )


def without_stop(text: str) -> str:
    return text.removesuffix(".")


# an order


def worked_order(look: Look, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """Steps to put in order; they are never shown in the right order at first."""
    steps = (
        _steps_of_stages(look, look.question.steps)
        if isinstance(look.question.steps, StagesOf)
        else [
            (look.words(step.line, step.text), look.words(step.line, step.because), step.line)
            for step in look.question.steps
        ]
    )
    if not steps:
        return None
    shown = look.shuffled(steps)
    if [place for place, _ in shown] == list(range(len(steps))):
        shown = [*shown[1:], shown[0]]
    options = tuple(
        WorkedOption(letter, text, False, "", because, line, place)
        for letter, (place, (text, because, line)) in zip(LETTERS, shown)
    )
    right = sorted(options, key=lambda option: option.place)
    answer: Filled = (
        "; ".join(
            f"{place}. {without_stop(content_text(option.content))}"
            for place, option in enumerate(right, 1)
        ),
    )
    # A stage tells its reason in a whole sentence: it follows the step, not the word `because`.
    stages = isinstance(look.question.steps, StagesOf)
    keys = tuple(
        StepKey(
            option.id,
            without_stop(content_text(option.content))
            + (f". {without_stop(text_of(option.feedback))}" if stages else ""),
            "" if stages else without_stop(text_of(option.feedback)),
        )
        for option in right
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        answer,
        OrderKey(keys, text_of(answer), text_of(why)),
        options=options,
    )


def _steps_of_stages(look: Look, wanted: StagesOf) -> list[tuple[Filled, Filled, int]]:
    job = look.job(wanted.job)
    if job is None:
        look.say(
            wanted.line,
            f"there is no installation '{wanted.job}'",
            "name a file of diagrams/ that can be worked",
        )
        return []
    if look.sources.stages_of is None:
        look.say(wanted.line, "the stages of a job are not at hand here", "write `steps:`")
        return []
    stages = {stage.id: stage for stage in look.sources.stages_of(job)}
    for name in wanted.only:
        if name not in stages:
            look.say(
                wanted.line,
                f"there is no stage '{name}' of {wanted.job}",
                f"the stages are: {', '.join(stages)}",
            )
    kept = [stage for name, stage in stages.items() if not wanted.only or name in wanted.only]
    if len(kept) > MOST_STEPS:
        look.say(
            wanted.line,
            f"{len(kept)} stages are too many to put in order",
            f"keep at most {MOST_STEPS} with `only:` (there: {', '.join(stages)})",
        )
    return [((stage.title,), (stage.reason,), wanted.line) for stage in kept]


# partners


def worked_match(look: Look, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """Rows and the items to choose from; rows with the same partner share one item."""
    question = look.question
    texts = [_said(look, row.line, row.text) for row in question.rows]
    contents = [
        _said(look, line, content)
        for content, line in [
            *((row.item, row.line) for row in question.rows),
            *((spare.content, spare.line) for spare in question.spare),
        ]
    ]
    if any(item is None for item in (*texts, *contents)):
        return None
    lines = [*(row.line for row in question.rows), *(spare.line for spare in question.spare)]
    first = {
        content_text(content): place
        for place, content in reversed(list(enumerate(contents)))
        if content is not None
    }
    letters: dict[str, str] = {}
    items: list[WorkedItem] = []
    for place, content in look.shuffled(contents):
        if content is not None and first[content_text(content)] == place:
            letters[content_text(content)] = LETTERS[len(items)]
            items.append(WorkedItem(LETTERS[len(items)], content, place, lines[place]))
    rows = tuple(
        WorkedRow(
            str(place),
            text,
            letters[content_text(content)],
            row.mistake,
            look.words(row.line, row.feedback),
            row.line,
        )
        for place, (row, text, content) in enumerate(zip(question.rows, texts, contents), 1)
        if text is not None and content is not None
    )
    answer: Filled = (
        "; ".join(
            f"{without_stop(content_text(row.content))}: {without_stop(content_text(content))}"
            for row, content in zip(rows, contents)
            if content is not None
        ),
    )
    key = MatchKey(
        tuple(RowKey(row.id, row.item, row.mistake, text_of(row.feedback)) for row in rows),
        tuple(item.id for item in items),
        text_of(answer),
        text_of(why),
    )
    return WorkedQuestion(question, stem, why, answer, key, rows=rows, items=tuple(items))


def _said(look: Look, line: int, content: AuthorWords | FigureOf) -> Content | None:
    return (
        look.figure(line, content) if isinstance(content, FigureOf) else look.words(line, content)
    )


# spots


def worked_point(look: Look, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """A lettered spot of the drawing."""
    return _worked_spots(look, stem, why, look.question.spots, lambda spot: spot.right)


def worked_find(look: Look, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """The place of a mistake that was made in the drawing; it comes from the mistake itself unless
    a spot is marked right.
    """
    question, drawing = look.question, look.question.drawing
    job = look.job(drawing.of) if drawing else None
    if drawing is None or job is None:
        look.say(
            question.line,
            f"there is no installation '{drawing.of if drawing else ''}'",
            "name a file of diagrams/ that can be worked",
        )
        return None
    bound, reason = bound_mistake(job, look.sources.mistakes, drawing.mistake)
    if bound is None:
        look.say(
            drawing.line, reason, "name a mistake of diagrams/mistakes.yaml that applies to it"
        )
        return None
    right = next((spot.place for spot in question.spots if spot.right), bound.found_by.place)
    spots = question.spots
    if all(spot.place != right for spot in spots):
        spots = (*spots, SpotAt(right, True, "", (), drawing.line))
    _complain_of_ambiguity(look, bound, spots, right)
    return _worked_spots(look, stem, why, spots, lambda spot: spot.place == right)


def _complain_of_ambiguity(
    look: Look, mistake: Mistake, spots: Sequence[SpotAt], right: str
) -> None:
    """A conductor the mistake moved, cut or added is its place as well: it cannot be a
    wrong spot.
    """
    changed = {
        str(getattr(change, key))
        for change in mistake.wiring
        for key in ("remove", "move", "set", "add")
    }
    for spot in spots:
        if spot.place != right and spot.place in changed:
            look.say(
                spot.line,
                f"the spot '{spot.place}' is a place of the mistake too",
                "choose another spot, or mark this one right",
            )


def _complain_of_places(look: Look, spots: Sequence[SpotAt]) -> None:
    """Without the drawing itself: whether the wiring knows the places."""
    drawing = look.question.drawing
    job = look.job(drawing.of) if drawing and drawing.view == "wiring" else None
    if job is None or drawing is None:
        return
    wiring = job.case.wiring.drawn
    known = {
        *(each.id for each in wiring.terminals),
        *(each.name for each in wiring.parts),
        *(each.id for each in wiring.conductors),
        *OTHER_GROUPS,
    }
    for spot in spots:
        if spot.place not in known and not drawing.mistake:
            look.say(
                spot.line,
                f"the drawing does not show '{spot.place}'",
                suggestion(spot.place, sorted(known))
                or "name a terminal, part or conductor that is drawn",
            )


def _worked_spots(
    look: Look,
    stem: Filled,
    why: Filled,
    spots: Sequence[SpotAt],
    is_right: Callable[[SpotAt], bool],
) -> WorkedQuestion | None:
    shown = look.shuffled(spots)
    places, letters = [spot.place for _, spot in shown], list(LETTERS[: len(shown)])
    drawn = look.pictured(places, letters)
    if drawn is None:
        _complain_of_places(look, spots)
    words = dict(
        zip(
            (place for place in places if drawn is None or place not in drawn.missing),
            drawn.words if drawn else places,
        )
    )
    options = tuple(
        WorkedOption(
            letter,
            (words.get(spot.place, spot.place),),
            is_right(spot),
            "" if is_right(spot) else spot.mistake,
            look.words(spot.line, spot.feedback),
            spot.line,
            place,
            spot.place,
        )
        for letter, (place, spot) in zip(letters, shown)
    )
    right = next((option for option in options if option.right), None)
    if right is None:
        look.say(look.question.line, "no spot is right", "mark one with `right: true`")
        return None
    key = OneAnswerKey(
        _option_keys(options), f"{right.id}, {content_text(right.content)}", text_of(why)
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        right.content,
        key,
        options=options,
        drawing=drawn.drawn if drawn else None,
    )
