"""Quiz, working: what its author writes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from firstway.files.yaml_reader import Node
from firstway.quiz.bank.keys import Keys, keys_of
from firstway.quiz.bank.own_keys import (
    MOST_PARTS,
    GivenBeside,
    figure_of_keys,
    mistakes_of_keys,
    part_number,
    places_of_keys,
    sentence_of,
    slack_of_keys,
)
from firstway.quiz.bank.question import AuthorWords, FigureOf, NumberMistake


@dataclass(frozen=True)
class WorkingPart:
    """One of the three figures of a working.

    `uses` maps symbols of its formula to earlier parts, counted from 1.
    """

    ask: AuthorWords
    answer: FigureOf
    uses: Mapping[str, int]
    places: int | None
    line: int


@dataclass(frozen=True)
class AskedWorking:
    """Three figures of one calculation."""

    parts: tuple[WorkingPart, ...]
    slack_percent: float
    mistakes: tuple[NumberMistake, ...]


def read(keys: Keys, beside: GivenBeside) -> AskedWorking:
    installation = beside.installation
    parts = tuple(
        part
        for place, node in enumerate(keys.items("parts", required=True), 1)
        if (part := _part(keys, node, installation, place))
    )
    if len(parts) != MOST_PARTS and "parts" in keys.entries.values:
        keys.reader.say(
            keys.line_of("parts"), f"{keys.what}: {len(parts)} parts", f"give exactly {MOST_PARTS}"
        )
    if parts and not any(part.uses for part in parts):
        keys.reader.say(
            keys.line_of("parts"),
            f"{keys.what}: no part follows from an earlier one",
            "add `uses: {symbol: 1}` to a later part",
        )
    return AskedWorking(
        parts, slack_of_keys(keys), mistakes_of_keys(keys, installation, parts=True)
    )


def _part(question: Keys, node: Node, installation: str, place: int) -> WorkingPart | None:
    keys = keys_of(question.reader, node, f"{question.what}, part {place}")
    if keys is None:
        return None
    ask, answer, places = (
        sentence_of(keys, "ask", installation),
        figure_of_keys(keys, installation),
        places_of_keys(keys, required=False),
    )
    uses: dict[str, int] = {}
    inner = keys.inner("uses")
    for symbol in inner.entries.values if inner else ():
        assert inner is not None
        if place == 1:
            keys.reader.say(
                inner.line_of(symbol),
                f"{keys.what}: nothing stands before the first part",
                "remove `uses:`",
            )
            inner.asked.append(symbol)
        else:
            uses[symbol] = part_number(inner, symbol, place - 1)
    keys.finish()
    return WorkingPart(ask, answer, uses, places, keys.line) if ask and answer else None
