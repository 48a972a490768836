"""One slip of the hand at a time, on every line of a sound file.

Each is named in its own line in words of the trade, or harmless. What a person who types YAML by
hand gets wrong is common practice; the promise is ours: a slip is told where it is.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from changing import text_of
from sampling import many

from firstway.files.yaml_reader import data_from_yaml
from firstway.model.reading import installation_from_yaml

NO_BREAK, NO_WIDTH, WIDE_COLON = "\u00a0", "\u200b", "\uff1a"
BLOCK_KEY = re.compile(r"^( *(?:- )?)([a-z0-9_]+):( |$)")
FLOW_KEY = re.compile(r"[{,] *([a-z0-9_]+): ")
NAMES = ("marram", "sedge", "plover")
EVERY = many(21, 7)  # of some 1700 slips a file; the run of all of them is one number away
KINDS = 22


def slips_of_block(line: str) -> Iterator[tuple[str, str]]:
    found, indent = BLOCK_KEY.match(line), len(line) - len(line.lstrip())
    if found is None:
        return
    colon = found.end(2)
    yield "no colon", line[:colon] + line[colon + 1 :]
    if found[3]:
        yield "no space after the colon", line[: colon + 1] + line[colon + 2 :]
        yield "no-break space after the colon", line[: colon + 1] + NO_BREAK + line[colon + 2 :]
        yield "another colon", line[:colon] + WIDE_COLON + line[colon + 1 :]
    yield "one space more", " " + line
    yield "two spaces more", "  " + line
    yield "question mark", line[:indent] + "? " + line[indent:]
    yield "a sign without width", line[: found.start(2) + 1] + NO_WIDTH + line[found.start(2) + 1 :]
    if indent:
        yield "one space less", line[1:]
        yield "no-break space before", NO_BREAK + line[1:]
        yield "tab before", "\t" + line[indent:]


def slips_of_flow(line: str) -> Iterator[tuple[str, str]]:
    code = line.split(" #")[0]
    for place, sign in enumerate(code):
        if sign in "{}[]":
            yield f"no {sign}", line[:place] + line[place + 1 :]
    for found in FLOW_KEY.finditer(code):
        colon = found.end() - 2
        yield "no space in braces", line[: colon + 1] + line[colon + 2 :]
        yield "no colon in braces", line[:colon] + line[colon + 1 :]
        yield "no-break space in braces", line[: colon + 1] + NO_BREAK + line[colon + 2 :]
        yield "semicolon in braces", line[:colon] + ";" + line[colon + 1 :]
        if found[0][0] == ",":
            yield "no comma", line[: found.start()] + line[found.start() + 1 :]
    if code.lstrip().startswith("- "):
        yield "no space after the dash", line.replace("- ", "-", 1)
        yield "no dash", line.replace("- ", "  ", 1)


def slips(name: str) -> list[tuple[str, int, str]]:
    """What is wrong, in which line, and the text with it."""
    lines = text_of(name).splitlines()
    # What is shifted into the text above it becomes text: nobody can see what was meant.
    prose = range(
        2, next(place for place, line in enumerate(lines) if line.startswith("rules:")) + 2
    )
    return [
        (what, number, "\n".join([*lines[: number - 1], new, *lines[number:]]) + "\n")
        for number, line in enumerate(lines, 1)
        if line.split("#")[0].strip() and number not in prose
        for what, new in (*slips_of_block(line), *slips_of_flow(line))
    ]


def last_line_of_item(text: str, line: int) -> int:
    """The last line of the item in braces around `line`: a brace may be missing anywhere in it."""
    lines = text.splitlines()
    indent = len(lines[line - 1]) - len(lines[line - 1].lstrip())
    while (
        line < len(lines)
        and len(lines[line]) - len(lines[line].lstrip()) > indent
        and not lines[line].lstrip().startswith("- ")
    ):
        line += 1
    return line


@pytest.mark.parametrize("name", NAMES)
def test_a_slip_is_named_in_its_own_line_or_changes_nothing(name: str) -> None:
    sound, _ = installation_from_yaml(text_of(name), f"{name}.yaml", name)
    assert sound is not None
    every = slips(name)
    assert len(every) > 700 and len({what for what, _, _ in every}) == KINDS, (
        "kinds of slips are missing"
    )
    for what, number, text in every[NAMES.index(name) :: EVERY]:
        installation, problems = installation_from_yaml(text, f"{name}.yaml", name)
        if installation is not None:
            assert replace(installation, lines_of={}) == replace(sound, lines_of={}), (
                f"{what} in line {number} is read as something else"
            )
            continue
        lines = {problem.line for problem in problems}
        last = last_line_of_item(text, number) if what in ("no }", "no ]") else number
        assert len(lines) == 1 and number <= min(lines) <= last, (
            f"{what} in line {number}: {[str(each) for each in problems]}"
        )


# The words of the reader of YAML, as its own sources have them: none may reach a person.
PARSER_WORDS = re.compile(
    r"<\w|\bexpected\b|\bfound\b|token|scalar|mapping\b|sequence|\bstream|\bnode\b|context"
    r"|indicator|scann|pars(e|ing)|YAML \("
)


@pytest.mark.parametrize(
    "text",
    "a: ?|a: ? b|? a|?|? [a]|{?}|{? a: b}|{a: ?}|- ? a|a: !x 1|a: !!str 1|a: !<x> 1|a: !|a: &b c"
    "|a: &|a: *b|*|a: @b|a: `b`|a: %b|%a|%YAML 9.9\n---\na: b|a: >b|a: >9x\n b|a: - b|- - a\nb"
    '|a: \'b|a: "\\q"'
    "|a: \"\\u12\"|a: 'b' c|a: [b|a: b]|a: [b}|a: {b: c|a: [,]|a: {,}|a: [b,, c]|a: 'b\n---\nc'"
    "|--- a\n--- b|...\na|a: b\n...\nc| a: b\nc: d|a: b: c|a:\n b\n  c: d|a: b\n  c: d|\ta: b"
    "|a:\n\tb: c|a\nb: c|{a: b}: c|[a]: b|a: \u2028b|a:\u00a0b\nc: d|\ufeffa: \ufeffb".split("|"),
)
def test_no_word_of_the_parser_reaches_a_person(text: str) -> None:
    for problem in (*data_from_yaml(text, "x.yaml")[1], *installation_from_yaml(text, "x.yaml")[1]):
        assert not PARSER_WORDS.search(str(problem)), problem
        assert problem.line >= 1 and problem.hint


def test_no_word_of_the_parser_reaches_a_person__signs_put_anywhere() -> None:
    chance = random.Random(8)
    text = text_of("marram")
    for _ in range(150):
        at, sign = (
            chance.randrange(len(text)),
            chance.choice("?:-!&*|>%@`'\"{}[],#\t\\" + NO_BREAK + NO_WIDTH),
        )
        for problem in installation_from_yaml(text[:at] + sign + text[at:], "x.yaml")[1]:
            assert not PARSER_WORDS.search(str(problem)), problem
            assert problem.line >= 1 and problem.hint
