"""Pages: what an author writes in a chapter to quote the working, a drawing, a finding or a table.

A directive is a word, a colon and its arguments in braces. Markdown's own attribute lists
(`{: .wide}`, `{ #here .wide }`) never have a word directly before a colon, so the two cannot clash.
Text in code spans and code blocks is left alone.

    {figure: marram voltage-drop slipway}      in a sentence: the figure of a step, with its unit
    {value: spd_limits value quantity=lead-preferred-m as=m}
                                               in a sentence: one cell of a standards table: its table, its
                                               column, `column=word` for each key of the row (in quotes where
                                               the word has spaces), and the unit to print after it
    {caution: work}                            alone on its line: the caution box
    {drawing: marram wiring}                   alone: a drawing (single-line, wiring)
    {chart: marram surge-with-spd}             alone: a chart (surge-with-spd, surge-without-spd, surge-leads,
                                               surge-distance) of the first charging point, or heat of the board
    {try: marram surge}                        alone: runs to try, and a table that stands without scripts
    {finding: quince spd-position F1}          alone: what a check says; the place may be left out
    {row: grouping_factor circuits=2 grouped_as=bunched}
                                               alone: a row of a table with its source and standing
    {list: jobs}                               alone: contents, jobs, quizzes, sources, not-yet or gaps
    {sources: here}                            alone, at the foot: the sources of every number quoted above;
                                               a chapter that quotes numbers must have it

`answers` gives the text with every directive answered; it never fails: what it cannot
answer is a Problem with the line of the author's file.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Iterator

from firstway.pages.answering import BLOCKS, SENTENCES, Answer, Complaint
from firstway.pages.citing import sources_html
from firstway.pages.guide import Guide
from firstway.pages.sheet import part_mark
from firstway.problems import Problem

CITED = "sources"
ALONE = (*BLOCKS, CITED)
KNOWN = (*SENTENCES, *ALONE)
_DIRECTIVE = re.compile(r"\{([a-z][a-z-]*):[ \t]*([^{}\n]*)\}")
_FENCE = re.compile(r"[ \t]*(`{3,}|~{3,})")
_CODE_SPAN = re.compile(r"(?<!`)(`+)(?!`).+?(?<!`)\1(?!`)")


@dataclass(frozen=True)
class Directive:
    """`line` counts from 1; `start` and `end` are places in that line."""

    word: str
    arguments: tuple[str, ...]
    line: int
    start: int
    end: int
    alone: bool


def directives_in(text: str) -> Iterator[Directive]:
    """Every directive of a chapter, in reading order."""
    fence = ""
    for number, line in enumerate(text.split("\n"), start=1):
        mark = _FENCE.match(line)
        if fence:
            fence = "" if mark and mark[1].startswith(fence) and not line.strip(" \t`~") else fence
        elif mark:
            fence = mark[1]
        else:
            yield from _in_line(line, number)


def _in_line(line: str, number: int) -> Iterator[Directive]:
    seen = _CODE_SPAN.sub(lambda code: " " * len(code[0]), line)
    for found in _DIRECTIVE.finditer(seen):
        alone = not (line[: found.start()] + line[found.end():]).strip()
        yield Directive(found[1], _words(line[found.start(2):found.end(2)]), number, found.start(), found.end(), alone)


def _words(arguments: str) -> tuple[str, ...]:
    # Quotes hold a word with spaces together: standard="BS EN 60898-1".
    try:
        return tuple(shlex.split(arguments))
    except ValueError:
        return tuple(arguments.split())


def answers(text: str, guide: Guide, file: str) -> tuple[str, dict[str, str], list[Problem]]:
    """The text with its directives answered, the parts it refers to, and every problem at once."""
    lines = text.split("\n")
    found = list(directives_in(text))
    given = [_answer(directive, guide) for directive in found]
    cited = [source for answer in given if isinstance(answer, Answer) for source in answer.sources]
    parts: dict[str, str] = {}
    problems: list[Problem] = []
    for directive, answer in reversed(list(zip(found, given))):
        if isinstance(answer, Complaint) and directive.arguments[:1] and directive.arguments[0] in guide.broken:
            continue
        if isinstance(answer, Complaint):
            problems.append(Problem(file, directive.line, answer.message, answer.hint))
            continue
        html = sources_html(cited) if directive.word == CITED else answer.html
        if directive.word in ALONE:
            name = f"{directive.word}-{directive.line}"
            parts[name], html = html, part_mark(name)
        line = lines[directive.line - 1]
        lines[directive.line - 1] = line[: directive.start] + html + line[directive.end:]
    if cited and not any(directive.word == CITED for directive in found):
        problems.append(Problem(file, 0, "this page quotes numbers and does not list their sources",
                                "put {sources: here} at its foot"))
    return "\n".join(lines), parts, sorted(problems)


def _answer(directive: Directive, guide: Guide) -> Answer | Complaint:
    word, arguments = directive.word, directive.arguments
    if word not in KNOWN:
        near = get_close_matches(word, KNOWN, 1)
        return Complaint(f"unknown directive '{word}'",
                         f"did you mean '{near[0]}'?" if near else f"known are: {', '.join(sorted(KNOWN))}")
    if word in ALONE and not directive.alone:
        return Complaint(f"the directive '{word}' is a block of its own", "put it alone on its line")
    if word == CITED:
        return Answer("") if arguments == ("here",) else Complaint("this directive has one form", "write {sources: here}")
    return {**SENTENCES, **BLOCKS}[word](guide, arguments)
