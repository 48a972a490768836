"""Quiz, match: what its author writes, how that becomes a question with a key, and how it
is shown and exported.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from firstway.files.specs import Prose, Section, SectionOrText, Sections, key
from firstway.frozen import dataclass
from firstway.quiz.bank.written import (
    GivenBeside,
    Written,
    WrittenFigure,
    WrittenQuestion,
    figure_written,
    sentence_of,
    source_needed,
)
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.match import answers
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    declared,
    mapped,
    mapping,
    option_name,
    prompted,
    qti_term,
    row_name,
)
from firstway.quiz.forms.shown_question import LETTER_ROOM, Shown, Slots
from firstway.quiz.forms.worked_question import (
    FEWEST_OPTIONS,
    LETTERS,
    Content,
    Filled,
    Flaw,
    WorkedItem,
    WorkedQuestion,
    WorkedRow,
    catch_all_flaws,
    content_text,
    text_of,
    twice_flaws,
    without_stop,
)
from firstway.rendering.html import Markup, joined, tag

_FEWEST_ROWS, _MOST_ROWS = 2, 9


@dataclass(frozen=True)
class WrittenContent(Written):
    """A figure in the place of words."""

    figure: WrittenFigure = key(Section(WrittenFigure), "a figure of the working", required=True)


@dataclass(frozen=True)
class WrittenRow(Written):
    """Two that belong together."""

    text: str | WrittenContent = key(
        SectionOrText(WrittenContent), "what stands in the row", "Device", required=True
    )
    item: str | WrittenContent = key(
        SectionOrText(WrittenContent), "its right partner", "limits surges", required=True
    )
    mistake: str = key(
        Prose(), "the mistake a wrong partner tests", "takes it for the filter", required=True
    )
    feedback: str = key(Prose(), "what is said to whoever errs here", "It limits.", required=True)


@dataclass(frozen=True)
class WrittenSpare(Written):
    """An item that belongs to no row."""

    text: str | WrittenContent = key(
        SectionOrText(WrittenContent), "its words", "measures energy", required=True
    )


@dataclass(frozen=True)
class WrittenMatch(WrittenQuestion):
    """Partners are found."""

    rows: tuple[WrittenRow, ...] = key(
        Sections(WrittenRow, _FEWEST_ROWS, _MOST_ROWS), "the rows", required=True
    )
    spare: tuple[WrittenSpare, ...] = key(Sections(WrittenSpare), "items that belong to no row")


def read(question: WrittenMatch, beside: GivenBeside) -> WrittenMatch:
    for row in question.rows:
        _check(row, "text", beside)
        _check(row, "item", beside)
        sentence_of(row, "feedback", beside)
    for spare in question.spare:
        _check(spare, "text", beside)
    if any(isinstance(row.text, str) and isinstance(row.item, str) for row in question.rows):
        source_needed(question, beside, "the right partners are typed and have no source")
    return question


def _check(section: Written, name: str, beside: GivenBeside) -> None:
    """What is wrong with words, or with `{figure: {step, of}}` in their place."""
    content = getattr(section, name)
    if isinstance(content, WrittenContent):
        figure_written(content.figure, beside)
    else:
        sentence_of(section, name, beside)


def worked_match(
    look: Look, asked: WrittenMatch, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """Rows and the items to choose from; rows with the same partner share one item."""
    texts = [_content(look, row.line, row.text) for row in asked.rows]
    contents = [
        _content(look, line, content)
        for content, line in [
            *((row.item, row.line) for row in asked.rows),
            *((spare.text, spare.line) for spare in asked.spare),
        ]
    ]
    if any(item is None for item in (*texts, *contents)):
        return None
    lines = [*(row.line for row in asked.rows), *(spare.line for spare in asked.spare)]
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
        for place, (row, text, content) in enumerate(zip(asked.rows, texts, contents), 1)
        if text is not None and content is not None
    )
    answer: Filled = (
        "; ".join(
            f"{without_stop(content_text(row.content))}: {without_stop(content_text(content))}"
            for row, content in zip(rows, contents)
            if content is not None
        ),
    )
    key = answers.MatchKey(
        tuple(answers.RowKey(row.id, row.item, row.mistake, text_of(row.feedback)) for row in rows),
        tuple(item.id for item in items),
        text_of(answer),
        text_of(why),
    )
    return WorkedQuestion(look.question, stem, why, answer, key, rows=rows, items=tuple(items))


def _content(look: Look, line: int, content: str | WrittenContent) -> Content | None:
    if isinstance(content, WrittenContent):
        return look.figure(line, content.figure)
    return look.words(line, content)


def flaws(key: answers.MatchKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    rows = [(row.line, content_text(row.content)) for row in worked.rows]
    yield from twice_flaws(rows, "rows", "make them differ", mixes=False)
    for row in worked.rows:
        if not (row.mistake and row.feedback):
            yield Flaw(
                row.line, "a row without its mistake or feedback", "add `mistake:` and `feedback:`"
            )
    items = [(item.line, content_text(item.content)) for item in worked.items]
    yield from catch_all_flaws(items, "items")
    if len(items) < FEWEST_OPTIONS:
        yield Flaw(
            worked.question.line,
            f"{len(items)} items to choose from",
            f"give {FEWEST_OPTIONS} or more; some may be spare",
        )


# how it is shown and exported


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    rows = [(number, slots.marked(words)) for number, words in shown.rows]
    listed = joined(
        tag("li", tag("b", letter), " ", slots.marked(words)) for letter, words in shown.items
    )
    choices = joined(tag("option", letter) for letter, _ in shown.items)
    yield tag("ol", listed, class_="quiz-items")
    for number, words in rows:
        yield (
            tag(
                "label",
                tag("span", f"{number}. ", words),
                tag("select", tag("option", "Choose", value=""), choices),
                class_="quiz-row",
            )
        )


def room(shown: Shown) -> Markup:
    return joined((f"{number} " + LETTER_ROOM for number, _ in shown.rows), " ")


def exported(
    key: answers.MatchKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """Rows and items to pair: a point for each pair."""
    right = [f"{row_name(row.id)} {option_name(row.item)}" for row in key.rows]
    points = mapping([(pair, 1) for pair in right], answers.most_points(key))
    rows = (_choice(row_name(number), 1, words) for number, words in shown.rows)
    items = (_choice(option_name(letter), len(shown.rows), words) for letter, words in shown.items)
    body = prompted(
        "qti-match-interaction",
        shown.stem,
        {"shuffle": "false", "max-associations": len(shown.rows)},
        qti_term("qti-simple-match-set", {}, *rows),
        qti_term("qti-simple-match-set", {}, *items),
        picture=picture,
    )
    response = declared("RESPONSE", "multiple", "directedPair", right, points)
    return ItemTerms((response,), body, (mapped(),))


def _choice(name: str, most: int, words: str) -> Term:
    return qti_term("qti-simple-associable-choice", {"identifier": name, "match-max": most}, words)


def responses(key: answers.MatchKey, given: str, names: Mapping[str, str]) -> list[Response]:
    values = tuple(
        f"{row_name(row)} {names[item]}"
        for row, item in answers.row_pairs(given)
        if row.isdigit() and item in names
    )
    return [Response("RESPONSE", "multiple", "directedPair", values)]


FORM = Form(
    key=answers.MatchKey,
    marked=answers.marked,
    most_points=answers.most_points,
    fields=fields,
    room=room,
    how="Find the partner of each, then open the answer.",
    flaws=flaws,
    right=answers.right,
    wrong=answers.wrong,
    exported=exported,
    responses=responses,
    interaction="matching",
    relettered=answers.relettered,
    from_paper=answers.from_paper,
    in_words=answers.in_words,
    accepted=lambda key: "A point for each row.",
    each_counts=True,
    grouped=answers.grouped,
    chosen_words=answers.chosen_words,
)
KIND = QuestionKind("match", 2.0, WrittenMatch, read, worked_match)
