"""Quiz, match: its rows and items found and put in order."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.bank.question import AuthorWords, FigureOf
from firstway.quiz.forms.flaws import FEWEST_OPTIONS, Flaw, catch_all_flaws, twice_flaws
from firstway.quiz.forms.match.answers import MatchKey, RowKey
from firstway.quiz.forms.match.keys import AskedMatch
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.words import Filled, text_of
from firstway.quiz.forms.worked_question import (
    LETTERS,
    Content,
    WorkedItem,
    WorkedQuestion,
    WorkedRow,
    content_text,
    without_stop,
)


def worked_match(look: Look, asked: AskedMatch, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """Rows and the items to choose from; rows with the same partner share one item."""
    texts = [_said(look, row.line, row.text) for row in asked.rows]
    contents = [
        _said(look, line, content)
        for content, line in [
            *((row.item, row.line) for row in asked.rows),
            *((spare.content, spare.line) for spare in asked.spare),
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
    key = MatchKey(
        tuple(RowKey(row.id, row.item, row.mistake, text_of(row.feedback)) for row in rows),
        tuple(item.id for item in items),
        text_of(answer),
        text_of(why),
    )
    return WorkedQuestion(look.question, stem, why, answer, key, rows=rows, items=tuple(items))


def _said(look: Look, line: int, content: AuthorWords | FigureOf) -> Content | None:
    return (
        look.figure(line, content) if isinstance(content, FigureOf) else look.words(line, content)
    )


def flaws(key: MatchKey, worked: WorkedQuestion) -> Iterator[Flaw]:
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
