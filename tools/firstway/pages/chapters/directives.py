"""Pages: what an author writes in a chapter to quote the working, a drawing, a finding or a table.

A directive is a word, a colon and its arguments in braces. Markdown's own attribute lists
(`{: .wide}`, `{ #here .wide }`) never have a word directly before a colon, so the two cannot clash.
Text in code spans and code blocks is left alone.

    {figure: marram voltage-drop slipway}
                                         in a sentence: the figure of a step, with its unit;
                                         {reading: ...} is the same
    {value: spd_limits value quantity=lead-preferred-m as=m}
                                         in a sentence: one cell of a standards table: its table,
                                         its column, `column=word` for each key of the row (in
                                         quotes where the word has spaces), and the unit to print
                                         after it
    {stated: 6 mA | iec62955}            in a sentence: a figure that no table holds, with its
                                         source (an id of sources.csv); a third field gives its
                                         standing: `| from memory`
    {clause: bs7671 722.411.4.1}         in a sentence: a clause, with its edition on tap; also
                                         {clause: SOURCE-ID}, and `| EDITION` at the end where it is
                                         not known otherwise
    {term: RCBO}                         in a sentence: a word of content/glossary.yaml, explained
                                         on tap; {term: RCBO | the RCBOs} says it in another form
    {rule: surge-first-way}              in a sentence: a link to a check
    {chapter: surge}                     in a sentence: a link to a chapter
    {caution: work}                      alone on its line: the caution box; above it, before a
                                         picture, {caution: first} for its first sentence;
                                         {caution: line}, one line that opens, where no work is
                                         described
    {edition: bs7671}                    alone: in which edition the rules were read
    {outcomes: here}                     alone: outcomes, what to know first, minutes of reading
    {step: marram voltage-drop slipway}  alone: the working of a step; {working: marram slipway} all
                                         steps, folded
    {drawing: marram wiring}             alone: a drawing (single-line, board, wiring); the wiring
                                         also with stage=ID, overlay=ID or mistake=NAME after it
    {picture: clamp marram F1}           alone: a picture for the hands; what it is made for comes
                                         after its id: an installation and a device, or nothing
                                         where its figures come from tables ({picture: ferrules});
                                         one panel of it, narrow, with panel=LETTER after it
    {chart: marram surge-with-spd}       alone: a chart (surge-with-spd, surge-without-spd,
                                         surge-leads, surge-distance, surge-ringing) of the first
                                         charging point;
                                         of a circuit: {chart: marram time-current slipway}, drop,
                                         loop; or of the board: {chart: marram heat}
    {try: marram surge}                  alone: runs to try, and a table that stands without scripts
    {runs: marram rules-of-thumb}        alone: a table of surge runs (rules-of-thumb, cascade)
    {leads: marram first-way}            alone: the board with the leads of its surge device so
                                         (first-way, last-way, on-a-tour), and what they come to
    {stages: marram}                     alone: the open board at every stage of fitting, one at a
                                         time on a screen
    {finding: quince spd-position F1}    alone: what a check says; the place may be left out
    {row: grouping_factor circuits=2 grouped_as=bunched}
                                         alone: a row of a table with its source and standing
    {table: rcd_types}                   alone: a whole small table; after it `where key=word`,
                                         `columns=a,b` and `title="What it says"`
    {question: ID}                       alone: one practice question, its answers folded
    {quiz: own-board}                    alone: a link to the quiz of a chapter
    {job: here}                          alone, at a chapter's end: its lines of the job that runs
                                         through the book (quiz/job.yaml)
    {card: spd}                          alone: a link to a quick card
    {list: jobs}                         alone: contents, chapters, decisions, cards, jobs, quizzes,
                                         sources, not-yet, gaps, standings or where-you-are
    {sources: here}                      alone, at the foot: the sources of every number quoted
                                         above; a chapter that quotes numbers must have it

`answers` gives the text with every directive answered; it never fails: what it cannot
answer is a Problem with the line of the author's file.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from firstway.files.keeping import kept_each
from firstway.files.plain_values import suggestion
from firstway.files.reads import note_read
from firstway.frozen import dataclass
from firstway.pages.chapters.answer import Answer, Complaint, answer_data, answer_from_data
from firstway.pages.chapters.answering import BLOCKS, SENTENCES
from firstway.pages.chapters.answering_blocks import unseen_html
from firstway.pages.shared.front_matter import parted
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.markup import inert_markup
from firstway.pages.shared.notes_on_tap import notes_html
from firstway.pages.shared.project import Chapter
from firstway.pages.shared.sheet import part_mark
from firstway.pages.shared.state import ticks_when_seen
from firstway.problems import Problem
from firstway.rendering.citing import sources_html
from firstway.rendering.html import Markup

CITED = "sources"
ANSWERED_EACH = "answers"
_NOTES = "notes"
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


def without_code(text: str) -> str:
    """The text with code blocks and code spans blank; its lines and columns stay."""
    lines, fence = [], ""
    for line in text.split("\n"):
        mark = _FENCE.match(line)
        if fence or mark:
            closes = fence and mark and mark[1].startswith(fence) and not line.strip(" \t`~")
            fence = ("" if closes else fence) or (mark[1] if mark and not fence else "")
            lines.append("")
        else:
            lines.append(_CODE_SPAN.sub(lambda code: " " * len(code[0]), line))
    return "\n".join(lines)


def _in_line(line: str, number: int) -> Iterator[Directive]:
    seen = _CODE_SPAN.sub(lambda code: " " * len(code[0]), line)
    for found in _DIRECTIVE.finditer(seen):
        alone = not (line[: found.start()] + line[found.end() :]).strip()
        yield Directive(
            found[1],
            _words(line[found.start(2) : found.end(2)]),
            number,
            found.start(),
            found.end(),
            alone,
        )


def _words(arguments: str) -> tuple[str, ...]:
    # Quotes hold a word with spaces together: standard="BS EN 60898-1".
    try:
        return tuple(shlex.split(arguments))
    except ValueError:
        return tuple(arguments.split())


def _foot(cited: Sequence[Any], page: Chapter) -> Markup:
    """The sources of a page; whoever comes as far has read the chapter."""
    chapter = page.front.chapter
    return sources_html(cited) + (ticks_when_seen(chapter) if chapter else Markup())


def answers(
    page: Chapter, guide: Guide, troubles: Sequence[Problem] = ()
) -> tuple[str, dict[str, Markup], list[Problem]]:
    """The page below its head with its directives answered, the parts it refers to, and every
    problem at once.

    Each answer is kept by itself, as long as what it was made from stays the same; one that adds to
    `troubles`, or is a complaint, never.
    """
    text, file = parted(page.text)[1], page.file
    lines = text.split("\n")
    found = list(directives_in(text))
    given = _given(found, page, guide, troubles)
    cited = [source for answer in given if isinstance(answer, Answer) for source in answer.sources]
    parts: dict[str, Markup] = {}
    problems = _drawn_twice(found, given, file)
    given = _with_what_they_refer_to(given)
    for directive, answer in reversed(list(zip(found, given))):
        if isinstance(answer, Complaint) and _follows_from(guide.project.broken, directive):
            continue
        if isinstance(answer, Complaint):
            problems.append(Problem(file, directive.line, answer.message, answer.hint))
            continue
        html = _foot(cited, page) if directive.word == CITED else answer.html
        if directive.word in ALONE:
            name = f"{directive.word}-{directive.line}"
            parts[name], put = html, part_mark(name)
        else:
            put = inert_markup(html)
        line = lines[directive.line - 1]
        lines[directive.line - 1] = line[: directive.start] + put + line[directive.end :]
    if cited and not any(directive.word == CITED for directive in found):
        problems.append(
            Problem(
                file,
                len(text.rstrip().split("\n")),
                "this page quotes numbers and does not list their sources",
                "put {sources: here} at its foot",
            )
        )
    notes = notes_html(
        note for answer in given if isinstance(answer, Answer) for note in answer.notes
    )
    if notes:
        parts[_NOTES] = notes
        lines.append(f"\n{part_mark(_NOTES)}\n")
    return "\n".join(lines).lstrip("\n"), parts, sorted(problems)


def _follows_from(broken: tuple[str, ...], directive: Directive) -> bool:
    """Whether a complaint only follows from an installation that must be put right first; it may
    leave any question without figures.
    """
    return bool(broken) and (
        directive.word == "question"
        or directive.arguments[:1] != ()
        and directive.arguments[0] in broken
    )


def _drawn_twice(
    found: list[Directive], given: list[Answer | Complaint], file: str
) -> list[Problem]:
    """One drawing may stand on a page only once: its parts have names."""
    drawn: dict[str, int] = {}
    problems = []
    for directive, answer in zip(found, given):
        if (
            isinstance(answer, Answer)
            and answer.draws
            and drawn.setdefault(answer.draws, directive.line) != directive.line
        ):
            problems.append(
                Problem(
                    file,
                    directive.line,
                    f"this drawing stands on the page already (line {drawn[answer.draws]})",
                    "keep one of them",
                )
            )
    return problems


def _with_what_they_refer_to(given: list[Answer | Complaint]) -> list[Answer | Complaint]:
    """A drawing that another only refers to, put before the first that needs it where the page has
    it nowhere else.
    """
    given = _with_ids_once(given)
    there = {answer.draws for answer in given if isinstance(answer, Answer)}
    done: list[Answer | Complaint] = []
    for answer in given:
        if isinstance(answer, Answer) and answer.refers_to[0] and answer.refers_to[0] not in there:
            there.add(answer.refers_to[0])
            answer = replace(answer, html=unseen_html(answer.refers_to[1]) + answer.html)
        done.append(answer)
    return done


_STEP_ID = re.compile(r' id="[a-z0-9-]+-step-[^"]*"')


def _with_ids_once(given: list[Answer | Complaint]) -> list[Answer | Complaint]:
    """A figure shown under two steps keeps its id at the first: an id stands on a page once."""
    seen: set[str] = set()

    def first(found: re.Match[str]) -> str:
        again = found[0] in seen
        seen.add(found[0])
        return "" if again else found[0]

    return [
        (
            replace(answer, html=Markup(_STEP_ID.sub(first, str(answer.html))))
            if isinstance(answer, Answer)
            else answer
        )
        for answer in given
    ]


def _given(
    found: Sequence[Directive], page: Chapter, guide: Guide, troubles: Sequence[Problem]
) -> list[Answer | Complaint]:
    """The answer to each; what is written twice in the same words is asked once."""
    asked = {repr((each.word, each.arguments, each.alone)): each for each in found}
    on = repr(page.front)

    def make(words: str) -> tuple[Any, bool]:
        told, answer = len(troubles), _answer(asked[words], page, guide)
        whole = isinstance(answer, Answer) and len(troubles) == told
        return answer_data(answer) if isinstance(answer, Answer) else answer, whole

    kept = kept_each(ANSWERED_EACH, page.path, dict.fromkeys(asked, on), make, guide.stands)
    given = list[Answer | Complaint]()
    for each in found:
        data, reads = kept[repr((each.word, each.arguments, each.alone))]
        note_read(*reads)
        given.append(data if isinstance(data, Complaint) else answer_from_data(data))
    return given


def _answer(directive: Directive, page: Chapter, guide: Guide) -> Answer | Complaint:
    word, arguments = directive.word, directive.arguments
    if word not in KNOWN:
        return Complaint(
            f"unknown directive '{word}'",
            suggestion(word, KNOWN) or f"known are: {', '.join(sorted(KNOWN))}",
        )
    if word in ALONE and not directive.alone:
        return Complaint(
            f"the directive '{word}' is a block of its own", "put it alone on its line"
        )
    if word == CITED:
        return (
            Answer(Markup())
            if arguments == ("here",)
            else Complaint("this directive has one form", "write {sources: here}")
        )
    return {**SENTENCES, **BLOCKS}[word](page, guide, arguments)
