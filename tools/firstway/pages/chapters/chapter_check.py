"""Pages: what a chapter must hold, and what must not stand in it. Every complaint names its line;
all come at once.

Checked are the pages that say `chapter:` in their head. A chapter that is not written yet is no
problem.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from firstway.files.plain_values import suggestion
from firstway.frozen import dataclass
from firstway.pages.chapters.directives import without_code
from firstway.pages.chapters.reading_length import MOST_WORDS, prose_words
from firstway.pages.shared.front_matter import parted
from firstway.pages.shared.project import Chapter, Project, names_of_jobs
from firstway.problems import Problem

_UNIT = (
    "mA|kA|A|mV|kV|V|kVA|VA|mW|kWh|kW|Wh|W|mΩ|kΩ|MΩ|Ω|ohms?|mm²|mm2|mm|cm|km|m|µs|us|ms|"
    "ns|s|min|h|kHz|MHz|Hz|°C|°F|K|J|"
    "kJ|N·m|N\\.m|Nm|kg|%|per\\s?cent|percent|"
    "amps?|ampères?|amperes?|milliamps?|milliamperes?|kiloamperes?|volts?|kilovolts?|"
    "watts?|kilowatts?|kilowatt-hours?|"
    "metres?|millimetres?|centimetres?|kilometres?|"
    "seconds?|milliseconds?|microseconds?|minutes?|hours?|degrees?|kelvins?|joules?"
)
BARE = re.compile(
    r"(?<![\w.,/:-])[-−]?\d+(?:[.,]\d+)*(?:\s?(?:to|or|and|–|-)\s?\d+(?:[.,]\d+)*)?[\s"
    rf" -]?(?:{_UNIT})(?![\w²-])"
)
TYPED_CLAUSE = re.compile(
    r"(?:BS 7671|IEC 60364|NEC|NFPA"
    r" 70|[Rr]egulations?|[Cc]lauses?|[Ss]ections?)\s+(?:regulations?\s+|clauses?\s+|sections?\s+)?"
    r"\d{2,3}(?:\.\d|(?=\W|$))"
)
_LINK = re.compile(r"!?\[[^\]]*\]\([^)]*\)")
_PICTURE = re.compile(r"!\[\s*\]\(")
_DIRECTIVE = re.compile(r"\{[a-z][a-z-]*:[^{}\n]*\}")
_ATTRIBUTES = re.compile(r"\{:?[^{}\n]*\}")


NO_TYPED_FIGURES = (
    "refresh/",
    "cards/",
)  # pages that are no chapters, and quote numbers all the same


@dataclass(frozen=True)
class ChapterPart:
    """One part of a chapter: how it is known in a line, and what to write where it is missing;
    `none_before`: the first such line is the one that counts.
    """

    name: str
    is_here: Callable[[str, str], bool]
    write: str
    none_before: bool = False


_PARTS = (
    ChapterPart("its title", lambda line, _: line.startswith("# "), "begin with `# Title`"),
    ChapterPart(
        "a lead that says who it is for",
        lambda line, _: line.strip() == "{ .lead }",
        "end the first paragraph with a line `{ .lead }`",
    ),
    ChapterPart(
        "its outcomes",
        lambda line, _: line.strip() == "{outcomes: here}",
        "put {outcomes: here} after the lead",
    ),
    ChapterPart(
        "the caution",
        lambda line, _: line.strip() == "{caution: work}",
        "put {caution: work} after the outcomes",
    ),
    ChapterPart(  # the caution stands before the first work is described
        "a section",
        lambda line, _: line.startswith("## "),
        "put a heading `## ...` after the caution",
        none_before=True,
    ),
    ChapterPart(
        "the worked example",
        lambda line, _: line.strip() == "## A worked example",
        "put the heading `## A worked example`",
    ),
    ChapterPart(
        "the last section",
        lambda line, _: line.strip() == "## Check yourself",
        "put the heading `## Check yourself`",
    ),
    ChapterPart(
        "its quiz",
        lambda line, name: line.strip() == f"{{quiz: {name}}}",
        "put {quiz: CHAPTER-ID} under it",
    ),
    ChapterPart(
        "its sources", lambda line, _: line.strip() == "{sources: here}", "end with {sources: here}"
    ),
)


def chapters_problems(project: Project) -> list[Problem]:
    """Every problem of every chapter that is written."""
    written = [page for page in project.chapters if page.front.chapter]
    problems = [problem for page in written for problem in chapter_problems(page, project)]
    problems += [
        problem
        for page in project.chapters
        if page.path.startswith(NO_TYPED_FIGURES) and not page.front.chapter
        for problem in _of_text(page)
    ]
    problems += [problem for page in project.chapters for problem in _of_jobs(page, project)]
    first: dict[str, Chapter] = {}
    for page in written:
        if first.setdefault(page.front.chapter, page) is not page:
            problems.append(
                Problem(
                    page.file,
                    page.front.lines["chapter"],
                    f"the chapter '{page.front.chapter}' is written already, in"
                    f" {first[page.front.chapter].file}",
                    "name another, or keep one of the two",
                )
            )
    return problems


def chapter_problems(page: Chapter, project: Project) -> list[Problem]:
    """Every problem of one chapter."""
    own = [*_of_head(page, project), *_of_length(page), *_of_parts(page), *_of_text(page)]
    return sorted([*own, *_of_sections(page, project)])


def _of_sections(page: Chapter, project: Project) -> Iterator[Problem]:
    """Each outcome names a heading that is there: who missed it is led to that place."""
    lines = without_code(parted(page.text)[1]).split("\n")
    headings = [line.removeprefix("## ").strip() for line in lines if line.startswith("## ")]
    chapter = project.outcomes_of(page.front.chapter)
    for outcome in chapter.outcomes if chapter else ():
        if outcome.section and outcome.section not in headings:
            yield Problem(
                "quiz/outcomes.yaml",
                outcome.line,
                f"{page.file} has no heading '{outcome.section}'",
                suggestion(outcome.section, headings) or "name a heading of it, without its ##",
            )


def _of_length(page: Chapter) -> Iterator[Problem]:
    words = prose_words(page.text)
    if words > MOST_WORDS:
        yield Problem(
            page.file,
            1,
            f"the chapter has {words:,} words of prose, more than {MOST_WORDS:,}",
            "shorten it; a table or a drawing often says the same in less",
        )


def _of_head(page: Chapter, project: Project) -> Iterator[Problem]:
    front, ids = page.front, [chapter.id for chapter in project.outcomes]
    for key, words in (("title", front.title), ("description", front.description)):
        if not words:
            yield Problem(
                page.file,
                1,
                f"the head says no {key}",
                f"write `{key}:` between the lines of hyphens",
            )
    if front.chapter not in ids:
        yield Problem(
            page.file,
            front.lines["chapter"],
            f"there is no chapter '{front.chapter}'",
            suggestion(front.chapter, ids) or "name an id of quiz/outcomes.yaml",
        )
    if "first" not in front.lines:
        yield Problem(
            page.file,
            1,
            "the head does not say what to know first",
            "write `first: [CHAPTER-ID]`, or `first: []` for nothing",
        )
    for name in front.first:
        if name not in ids:
            yield Problem(
                page.file,
                front.lines["first"],
                f"there is no chapter '{name}' to know first",
                suggestion(name, ids) or "name an id of quiz/outcomes.yaml",
            )
        elif front.chapter in ids and ids.index(name) >= ids.index(front.chapter):
            yield Problem(
                page.file,
                front.lines["first"],
                f"'{name}' does not come before this chapter",
                "name only chapters that are read earlier",
            )


def _of_jobs(page: Chapter, project: Project) -> Iterator[Problem]:
    """Each job that a decision says shows it is there; one that must be put right first is told."""
    known = [
        *names_of_jobs(project.jobs),
        *project.broken,
        *(each.name for each in project.left_out),
    ]
    for name in page.front.jobs:
        if name not in known:
            yield Problem(
                page.file,
                page.front.lines["jobs"],
                f"there is no job '{name}'",
                suggestion(name, known) or "name a file of diagrams/, without its ending",
            )


def _of_parts(page: Chapter) -> Iterator[Problem]:
    """Each part is there, in order; a part out of order is told at its line."""
    lines = without_code(parted(page.text)[1]).split("\n")
    last = 0
    for part in _PARTS:
        places = [
            number for number, line in enumerate(lines, 1) if part.is_here(line, page.front.chapter)
        ]
        after = [number for number in places if number > last]
        if not places:
            yield Problem(page.file, last or 1, f"missing in this chapter: {part.name}", part.write)
        elif not after or (part.none_before and places[0] < last):
            yield Problem(page.file, places[0], f"out of order: {part.name}", part.write)
        last = after[0] if after else last
    if not any(re.match(r"(?:!!!|\?\?\?\+?) think\b", line) for line in lines):
        yield Problem(
            page.file,
            1,
            "missing in this chapter: a misconception and its answer",
            'put a box `!!! think "People often think that ..."`',
        )


def _of_text(page: Chapter) -> Iterator[Problem]:
    for number, line in enumerate(without_code(parted(page.text)[1]).split("\n"), 1):
        if _PICTURE.search(line):
            yield Problem(
                page.file,
                number,
                "a picture has no words for those who do not see it",
                "write them between the square brackets",
            )
        bare = _ATTRIBUTES.sub(" ", _DIRECTIVE.sub(" ", _LINK.sub(" ", line)))
        for found in TYPED_CLAUSE.finditer(bare):
            yield Problem(
                page.file,
                number,
                f"the clause '{found[0]}' is typed by hand",
                "write {clause: bs7671 NUMBER}, which names its edition",
            )
        if line.startswith("# "):
            continue
        for found in BARE.finditer(bare):
            yield Problem(
                page.file,
                number,
                f"the figure '{' '.join(found[0].split())}' is typed by hand",
                "quote it: {figure: ...}, {value: ...} or {stated: 6 mA | SOURCE-ID}",
            )
