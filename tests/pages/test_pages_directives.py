"""What authors write in chapters: the syntax, and the problem for each way to get it wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from firstway.desk.papers.making import desk_sources
from firstway.pages.chapters import directives
from firstway.pages.chapters.directives import answers, directives_in
from firstway.pages.chapters.question_part import chapter_question_html
from firstway.pages.shared.glossary import Entry, glossary_from_yaml
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project
from firstway.quiz.forms.registry import QUESTION_KINDS
from firstway.quiz.forms.values import worked
from firstway.quiz.forms.worked_question import WorkedQuestion, content_text, text_of
from firstway.quiz.shelf import shelf_from
from firstway.tables.reading import table

EMPTY = Guide()


def page(text: str, file: str = "x.md") -> Chapter:
    return Chapter(file, file, text)


@pytest.mark.parametrize(
    "text, found",
    [
        ("{caution: work}", [("caution", ("work",), 1, True)]),
        ("it is {figure: a b c}, so", [("figure", ("a", "b", "c"), 1, False)]),
        ("x\n\n  {list: jobs}  \n", [("list", ("jobs",), 3, True)]),
        (
            '{value: t v standard="BS EN 60898-1"}',
            [("value", ("t", "v", "standard=BS EN 60898-1"), 1, True)],
        ),
    ],
)
def test_directives_in__reads_word_arguments_and_line(text: str, found: list[tuple]) -> None:
    read = [(item.word, item.arguments, item.line, item.alone) for item in directives_in(text)]
    assert read == found


def test_the_head_of_the_module__tells_every_directive() -> None:
    head = directives.__doc__ or ""
    missing = [word for word in directives.KNOWN if f"{{{word}: " not in head]
    assert missing == [], "tell it in the head of pages/chapters/directives.py"


@pytest.mark.parametrize(
    "text",
    [
        "`{caution: work}`",
        "``a ` {caution: work}``",
        "```\n{caution: work}\n```",
        "~~~ text\n{caution: work}\n~~~",
        "## Title { #here .wide }",
        "{: .wide }",
        "a paragraph\n{ .lead }",
        "{ key=value }",
        "{caution}",
    ],
)
def test_directives_in__leaves_code_and_attribute_lists_alone(text: str) -> None:
    """Attribute lists as in the documentation of Python-Markdown's attr_list."""
    assert list(directives_in(text)) == []


def test_answers__a_value_is_the_printed_cell_of_its_table() -> None:
    """The page prints the very row the code reads (spd_limits: BS 7671 regulation 534.4.8)."""
    row = table("spd_limits").where(quantity="lead-preferred-m")[0]
    text, _, problems = answers(
        page("{value: spd_limits value quantity=lead-preferred-m as=m}\n\n{sources: here}"), EMPTY
    )
    assert problems == []
    assert f'value="{row.text("value")}"' in text and f">{row.text('value')} m</data>" in text


def test_answers__a_value_from_memory_says_so() -> None:
    text, _, problems = answers(
        page("{value: rcd_limits value quantity=series-selectivity-ratio}\n{sources: here}"), EMPTY
    )
    assert problems == [] and "from memory" in text


@pytest.mark.parametrize(
    "clause", ["433.1.1", "512.1.5", "411.4.204", "434.5.1", "411.5.3", "Appendix 4, section 6.4"]
)
def test_answers__a_clause_from_memory_says_so(clause: str) -> None:
    """A clause nobody of this project saw in a document is never said to be found (the table of
    clauses tells which they are).
    """
    _, parts, problems = answers(
        page(f"By {{clause: bs7671 {clause}}}.\n\n{{sources: here}}"), EMPTY
    )
    text = " ".join(parts.values())
    assert (
        problems == []
        and "from memory" in text
        and "found in" not in text
        and "current book" in text
    )


@pytest.mark.parametrize("clause", ["722.314.101", "722.413.1.2", "722.512.2"])
def test_answers__a_clause_whose_number_nobody_confirmed_says_so(clause: str) -> None:
    """Tables of no document at hand hold these numbers."""
    _, parts, problems = answers(
        page(f"By {{clause: bs7671 {clause}}}.\n\n{{sources: here}}"), EMPTY
    )
    assert problems == [] and "number not confirmed, from memory" in " ".join(parts.values())


@pytest.mark.parametrize("clause", ["722.411.4.1", "722.531.3.101", "534.4.7", "443.4.1"])
def test_answers__a_clause_found_in_a_document_says_in_which_edition(clause: str) -> None:
    _, parts, problems = answers(
        page(f"By {{clause: bs7671 {clause}}}.\n\n{{sources: here}}"), EMPTY
    )
    text = " ".join(parts.values())
    assert (
        problems == []
        and "found in documents that quote edition 2018+A" in text
        and "from memory" not in text
    )


def test_answers__blocks_become_parts_in_their_place() -> None:
    text, parts, problems = answers(page("a\n\n{caution: work}\n\nb"), EMPTY)
    assert problems == []
    assert text == "a\n\n<!--part:caution-3-->\n\nb"
    assert "Electricity" in parts["caution-3"]


@pytest.mark.parametrize(
    "line, message, hint",
    [
        ("{cuation: work}", "unknown directive 'cuation'", "did you mean 'caution'?"),
        (
            "now {caution: work}",
            "the directive 'caution' is a block of its own",
            "put it alone on its line",
        ),
        (
            "{caution: all}",
            "the caution is whole, its first sentence, or one line that opens",
            "write {caution: work}, {caution: first} above it, or {caution: line}",
        ),
        (
            "{figure: a b}",
            "a figure is named by three words",
            "write {figure: INSTALLATION STEP OF}",
        ),
        ("{figure: a b c}", "unknown installation 'a'", "known are: "),
        ("{drawing: a wiring}", "unknown installation 'a'", "known are: "),
        ("{picture: ferules}", "unknown picture 'ferules'", "did you mean 'ferrules'?"),
        (
            "{picture: bush panel=c}",
            "'bush' has no panel 'c', only a, b",
            "name one of them after `panel=`",
        ),
        (
            "{picture: ferrules marram}",
            "the picture 'ferrules' is made for nothing else",
            "write {picture: ferrules}",
        ),
        (
            "{picture: clamp}",
            "the picture 'clamp' is made for a device",
            "write {picture: clamp INSTALLATION NAME}",
        ),
        ("{row: spd_limit quantity=x}", "unknown table 'spd_limit'", "did you mean 'spd_limits'?"),
        ("{row: spd_limits quantty=x}", "unknown column 'quantty'", "did you mean 'quantity'?"),
        (
            "{row: spd_limits quantity=x}",
            "no row of spd_limits has quantity=x",
            "give every key of one row",
        ),
        ("{list: job}", "unknown list 'job'", "did you mean 'jobs'?"),
        ("{sources: there}", "this directive has one form", "write {sources: here}"),
        (
            "so {stated: 6 mA}",
            "a stated figure needs its source",
            "write {stated: 6 mA | SOURCE-ID}",
        ),
        (
            "so {stated: six | iec62955}",
            "a stated figure needs its source",
            "write {stated: 6 mA | SOURCE-ID}",
        ),
        ("so {stated: 6 mA | iec6295}", "unknown source 'iec6295'", "did you mean 'iec62955'?"),
        (
            "so {stated: 6 mA | iec62955 | guessed}",
            "unknown standing 'guessed'",
            "known are: found, from memory, common practice, computed, assumed",
        ),
        ("so {clause: bs7617 722.1}", "unknown book 'bs7617'", "did you mean 'bs7671'?"),
        (
            "so {clause: iec60364 999.9}",
            "the edition of IEC 60364 999.9 is not known",
            "write {clause: iec60364 999.9 | EDITION}",
        ),
        ("so {clause: iec6295}", "unknown source 'iec6295'", "did you mean 'iec62955'?"),
        ("so {rule: surge-lead}", "unknown rule 'surge-lead'", "did you mean 'surge-leads'?"),
        (
            "so {term: a | b | c}",
            "a term is one entry of the glossary",
            "write {term: WORD} or {term: WORD | as it is said here}",
        ),
        ("{table: rcd_type}", "unknown table 'rcd_type'", "did you mean 'rcd_types'?"),
        (
            "{table: rcd_types columns=residual_tipe}",
            "unknown column 'residual_tipe'",
            "did you mean 'residual_type'?",
        ),
        ("{table: current_capacity}", "", "say which: `where key=word`, at most 40 rows"),
        ("{step: a b}", "a step is named by three words", "write {step: INSTALLATION STEP OF}"),
        (
            "{working: a}",
            "a working is named by two words",
            "write {working: INSTALLATION CIRCUIT}",
        ),
        (
            "{drawing: a wiring stage=b overlay=c}",
            "a drawing is named by two words",
            "write {drawing: INSTALLATION VIEW}, and stage=, overlay= or mistake= after it",
        ),
        ("{outcomes: there}", "this directive has one form", "write {outcomes: here}"),
        (
            "{outcomes: here}",
            "this page is no chapter",
            "put `chapter:` with an id of quiz/outcomes.yaml into its head",
        ),
        ("{question: none}", "unknown practice question 'none'", "known are: "),
        ("{card: spdd}", "unknown card 'spdd'", "did you mean 'spd'?"),
        ("{edition: bs7617}", "unknown rule set 'bs7617'", "did you mean 'bs7671'?"),
    ],
)
def test_answers__each_mistake_is_a_problem_with_its_line(
    line: str, message: str, hint: str
) -> None:
    problems = answers(page(f"---\ntitle: T\n---\n\n{line}\n", "content/x.md"), EMPTY)[2]
    assert [(item.file, item.line) for item in problems] == [("content/x.md", 5)]
    assert problems[0].message == message or not message
    assert problems[0].hint.startswith(hint) and (problems[0].hint == hint or hint.endswith(": "))


def test_answers__numbers_without_their_sources_are_a_problem() -> None:
    problems = answers(page("{value: spd_limits value quantity=lead-preferred-m}"), EMPTY)[2]
    assert [item.message for item in problems] == [
        "this page quotes numbers and does not list their sources"
    ]


def test_answers__a_stated_figure_names_its_source_and_asks_for_the_list() -> None:
    text, _, problems = answers(page("so {stated: 6 mA | iec62955 | from memory} of it"), EMPTY)
    assert (
        'value="6" data-source="iec62955"' in text
        and ">6 mA</data>" in text
        and "(from memory)" in text
    )
    assert [item.message for item in problems] == [
        "this page quotes numbers and does not list their sources"
    ]


@pytest.mark.parametrize(
    "written, short, read",
    [
        ("bs7671 722.411.4.1", "BS 7671 722.411.4.1", "2018+A3:2024. Confirm in the current book"),
        ("iec60364 534.4.8", "IEC 60364 534.4.8", "2015. Confirm in the current national text"),
        ("nec 625.41", "NEC 625.41", "2020. Confirm with the authority having jurisdiction"),
        ("nec 220.57 | 2023", "NEC 220.57", "2023. Confirm with the authority having jurisdiction"),
        ("iec62955", "IEC 62955", "edition 2018"),
    ],
)
def test_answers__a_clause_names_its_edition(written: str, short: str, read: str) -> None:
    """Editions are those of the checks and of sources.csv."""
    text, parts, problems = answers(page(f"({{clause: {written}}})\n\n{{sources: here}}"), EMPTY)
    assert problems == [] and f">{short}</a>)" in text and read in parts["notes"]


def test_answers__a_table_prints_the_cells_of_its_file() -> None:
    parts = answers(
        page(
            '{table: rcd_types columns=residual_type,smooth_dc title="What each sees"}\n\n{sources:'
            " here}"
        ),
        EMPTY,
    )[1]
    for row in table("rcd_types").rows:
        assert (
            f'<th scope="row">{row.text("residual_type")}</th><td>{row.text("smooth_dc")}</td>'
            in parts["table-1"]
        )
    assert "What each sees" in parts["table-1"] and "smooth d.c." in parts["table-1"]


def test_answers__a_word_opens_its_note_and_leads_to_the_glossary() -> None:
    entry = Entry("RCBO", "A device.", ("breaker with both",), standard="IEC 61009-1")
    guide = Guide(Project(glossary=(entry,)))
    text, parts, problems = answers(
        page("the {term: rcbo} and {term: breaker with both | another}; {term: RBCO}"), guide
    )
    assert (
        text.count('data-note="word-rcbo"') == 2
        and ">another</a>" in text
        and parts["notes"].count("popover=") == 1
    )
    assert [(item.message, item.hint) for item in problems] == [
        ("unknown term 'RBCO'", "did you mean 'RCBO'?; or add it to content/glossary.yaml")
    ]


@pytest.mark.parametrize(
    "words, message",
    [
        ("- {term: A, meaning: m}", "the word 'A' names no origin"),
        ("- {term: A, meaning: m, source: iec6295}", "the word 'A': there is no source 'iec6295'"),
        ("- {term: A, standard: s}", "'words.1.meaning' is missing"),
        ("- {term: A, meaning: m, standard: s, untit: V}", "unknown key 'untit'"),
        (
            (
                "- {term: A, meaning: m, standard: s}\n  - {term: B, meaning: m, standard: s, also:"
                " [a]}"
            ),
            "the word 'a' stands twice (first in line 2)",
        ),
    ],
)
def test_glossary_from_yaml__tells_what_is_wrong(words: str, message: str) -> None:
    assert message in [
        item.message
        for item in glossary_from_yaml(f"words:\n  {words}\n", "content/glossary.yaml")[1]
    ]


@pytest.fixture(scope="module")
def practice_of_each_kind() -> dict[str, WorkedQuestion]:
    root = Path(__file__).resolve().parents[2]
    shelf, sources = shelf_from(root)[0], desk_sources(root)
    first = {
        kind: next(each for each in shelf.bank if each.kind == kind and each.use == "practice")
        for kind in QUESTION_KINDS
    }
    return {
        kind: made for kind, question in first.items() if (made := worked(question, sources)[0])
    }


@pytest.mark.parametrize("kind", QUESTION_KINDS)
def test_question__of_every_kind_is_shown_with_its_answer_folded(
    kind: str, practice_of_each_kind: dict[str, WorkedQuestion]
) -> None:
    """A learner without a script reads the question, its drawing too, and finds the answer behind a
    fold.
    """
    found = practice_of_each_kind[kind]
    page = BeautifulSoup(chapter_question_html(found), "html.parser")
    answer = page.find_all("details")[-1].extract().get_text()
    assert text_of(found.stem).split()[0] in page.get_text()
    assert content_text(found.answer) in answer or found.key.answer in answer
    assert (page.find("svg") is not None) == (found.drawing is not None)
