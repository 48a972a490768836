"""What a chapter must hold: each way to leave it out or to type it by hand is a problem at its
line.

The parts are our own design: nothing outside the project proves them. Prefixes and symbols of units
are those of the SI Brochure (BIPM, 9th edition, 2019), chapters 2 and 3; how they are written after
a number, section 5.4.3.
"""

from __future__ import annotations

import pytest

from firstway.pages.chapters.chapter_check import chapter_problems, chapters_problems
from firstway.pages.chapters.directives import without_code
from firstway.pages.chapters.reading_length import MOST_WORDS, prose_words
from firstway.pages.shared.front_matter import front_matter, parted
from firstway.pages.shared.project import Chapter, LeftOut, Project
from firstway.quiz.bank.question import ChapterOutcomes as Outcomes
from firstway.quiz.bank.question import Outcome
from firstway.quiz.shelf import Shelf

WHOLE = """\
---
title: The cable
description: What a cable must carry.
chapter: the-cable
first: [own-board]
---
# The cable

For the trainee. You can choose it.
{ .lead }

{outcomes: here}

{caution: work}

## What must it carry?

Text.

## A worked example

!!! think "People often think that more is better"
    It is not.

## Check yourself

{quiz: the-cable}

{sources: here}
"""
PROJECT = Project(
    shelf=Shelf(
        tuple(
            Outcomes(name, name, (Outcome(f"{name}.a", "Do it", line=1),))
            for name in ("own-board", "the-cable", "surge")
        )
    )
)


def page(text: str) -> Chapter:
    return Chapter(
        "chapters/x.md",
        "content/chapters/x.md",
        text,
        front_matter(text, "content/chapters/x.md")[0],
    )


def told(text: str) -> list[tuple[int, str]]:
    return [(problem.line, problem.message) for problem in chapter_problems(page(text), PROJECT)]


def test_chapter_problems__a_whole_chapter_has_none() -> None:
    assert told(WHOLE) == []


@pytest.mark.parametrize(
    "old, new, line, message",
    [
        ("title: The cable\n", "", 1, "the head says no title"),
        ("description: What a cable must carry.\n", "", 1, "the head says no description"),
        ("first: [own-board]\n", "", 1, "the head does not say what to know first"),
        (
            "first: [own-board]",
            "first: [own-bord]",
            5,
            "there is no chapter 'own-bord' to know first",
        ),
        ("first: [own-board]", "first: [surge]", 5, "'surge' does not come before this chapter"),
        ("chapter: the-cable", "chapter: the-cabel", 4, "there is no chapter 'the-cabel'"),
        ("{ .lead }\n", "", 7, "missing in this chapter: a lead that says who it is for"),
        ("{outcomes: here}\n", "", 10, "missing in this chapter: its outcomes"),
        ("{caution: work}\n", "", 12, "missing in this chapter: the caution"),
        ("## A worked example", "## An example", 16, "missing in this chapter: the worked example"),
        ('!!! think "', '!!! note "', 1, "missing in this chapter: a misconception and its answer"),
        ("{quiz: the-cable}", "{quiz: own-board}", 25, "missing in this chapter: its quiz"),
        ("{sources: here}\n", "", 27, "missing in this chapter: its sources"),
        ("Text.", "It is 4.2 V.", 18, "the figure '4.2 V' is typed by hand"),
        (
            "Text.",
            "It asks (BS 7671 722.531) for it.",
            18,
            "the clause 'BS 7671 722.5' is typed by hand",
        ),
        ("Text.", "![](a.svg)", 18, "a picture has no words for those who do not see it"),
    ],
)
def test_chapter_problems__each_fault_is_told_at_its_line(
    old: str, new: str, line: int, message: str
) -> None:
    assert old in WHOLE
    assert (line, message) in told(WHOLE.replace(old, new, 1))


def test_chapters_problems__a_decision_names_jobs_that_are_there() -> None:
    text = "---\ntitle: A\nplace: 1\njobs: [gorse, gorze]\n---\n# A\n"
    head, _ = front_matter(text, "content/refresh/a.md")
    decision = Chapter("refresh/a.md", "content/refresh/a.md", text, head)
    known = Project(chapters=(decision,), left_out=(LeftOut("gorse", "Gorse", "no way yet"),))
    assert [(each.line, each.message) for each in chapters_problems(known)] == [
        (4, "there is no job 'gorze'")
    ]


def test_chapter_problems__a_chapter_of_a_thousand_words_is_the_longest() -> None:
    """Our own aim.

    Of the words of `WHOLE` that count none is in a table, a heading or a caption.
    """
    own = prose_words(WHOLE)
    room = "word " * (MOST_WORDS - own)
    assert told(WHOLE.replace("Text.", f"Text. {room}", 1)) == []
    assert told(WHOLE.replace("Text.", f"Text. {room} more", 1)) == [
        (1, "the chapter has 1,001 words of prose, more than 1,000")
    ]
    looked_up = "\n".join(
        ["| " + "word " * 900 + "|"] * 2 + ["", "/// table-caption", "word " * 900, "///"]
    )
    assert told(WHOLE.replace("Text.", f"Text. {room}\n\n{looked_up}", 1)) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("one two", 2),
        ("one {term: RCBO} two", 3),
        ("one {term: RCBO | of the devices}", 4),
        ("at {figure: marram voltage-drop slipway}", 2),
        ("{drawing: marram single-line}", 0),
        ("# A heading", 0),
        ("- an item", 2),
        ('!!! think "People think"', 3),
        ("see [the board](a-b.md)", 3),
        ("x\n{ .lead }", 1),
    ],
)
def test_prose_words__counts_what_is_read_in_sentences(text: str, words: int) -> None:
    assert prose_words(text) == words


def test_chapter_problems__an_outcome_names_a_heading_that_is_there() -> None:
    """Who missed it is led there."""

    def of(section: str) -> Project:
        outcomes = (Outcome("the-cable.a", "Do it", section, 3),)
        chapters = PROJECT.outcomes
        own = [
            Outcomes(each.id, each.title, outcomes) if each.id == "the-cable" else each
            for each in chapters
        ]
        return Project(shelf=Shelf(tuple(own)))

    assert chapter_problems(page(WHOLE), of("What must it carry?")) == []
    (problem,) = chapter_problems(page(WHOLE), of("What must it cary?"))
    assert (problem.file, problem.line) == ("quiz/outcomes.yaml", 3)
    assert problem.hint == "did you mean 'What must it carry?'?"


def test_chapter_problems__a_part_out_of_order() -> None:
    moved = WHOLE.replace("{caution: work}\n", "", 1).replace(
        "## A worked example", "{caution: work}\n\n## A worked example"
    )
    assert (15, "out of order: a section") in told(moved)


@pytest.mark.parametrize(
    "text",
    [
        "32 A",
        "32A",
        "32-A",
        "0.5 mm",
        "6 mm²",
        "16mm2",
        "30 mA",
        "230 V",
        "1.2 µs",
        "40 ms",
        "1.44 Ω",
        "0.35 ohm",
        "5 %",
        "12 per cent",
        "70 °C",
        "22 kW",
        "7.4 kWh",
        "2 N·m",
        "50 Hz",
        "3 to 5 s",
        "half of 10 metres",
        "30 milliamperes",
        "a 6 kA fault",
        "−5 °C",
    ],
)
def test_bare__finds_a_number_with_a_unit(text: str) -> None:
    """SI Brochure 5.4.3: a number, a space, the symbol of the unit; symbols of chapters 2 and 3,
    kWh and mm2 of the trade.
    """
    assert any(
        "is typed by hand" in message
        for _, message in told(WHOLE.replace("Text.", f"So {text} here.", 1))
    )


@pytest.mark.parametrize(
    "text",
    [
        "`32 A`",
        "{stated: 6 mA | iec62955}",
        "{figure: marram voltage-drop slipway}",
        "[32 A](a.md)",
        "since 2015 or 2018",
        "type 2",
        "CT2",
        "mode 3",
        "2018+A3:2024",
        "two poles",
        "4 modules",
        "IEC 61851-1",
        "A 3-pole switch",
        "1 in 20",
        "{clause: bs7671 722.531.3}",
        "I = 32",
        "phase L1",
        "8/20 µs",
        "4. A device",
    ],
)
def test_bare__leaves_codes_directives_links_years_and_counts_alone(text: str) -> None:
    assert told(WHOLE.replace("Text.", f"So {text} here.", 1)) == []


def test_chapters_problems__two_files_of_one_chapter_and_pages_of_none() -> None:
    other = Chapter("chapters/y.md", "content/chapters/y.md", WHOLE, front_matter(WHOLE, "y")[0])
    free = page("---\ntitle: T\n---\n# T\n\nIt is 4 V.\n")
    problems = chapters_problems(Project(shelf=PROJECT.shelf, chapters=(page(WHOLE), other, free)))
    assert [(item.file, item.line, item.message) for item in problems] == [
        (
            "content/chapters/y.md",
            4,
            "the chapter 'the-cable' is written already, in content/chapters/x.md",
        )
    ]


def test_without_code__blanks_code_and_keeps_lines_and_columns() -> None:
    assert without_code("a `32 A` b\n```\n5 V\n```\nc") == "a        b\n\n\n\nc"


def test_parted__keeps_the_line_numbers_of_the_rest() -> None:
    head, rest = parted(WHOLE)
    assert head.split("\n")[3] == "chapter: the-cable" and rest.split("\n")[6] == "# The cable"


def test_front_matter__first_must_be_a_list() -> None:
    problems = front_matter("---\nfirst: own-board\n---\n", "x.md")[1]
    assert [(item.line, item.message) for item in problems] == [(2, "'first' must be a list")]
