"""What authors write in chapters: the syntax, and the problem for each way to get it wrong."""

from __future__ import annotations

import pytest

from firstway.pages.directives import answers, directives_in
from firstway.pages.guide import Guide
from firstway.tables.reading import table

EMPTY = Guide()


@pytest.mark.parametrize("text, found", [
    ("{caution: work}", [("caution", ("work",), 1, True)]),
    ("it is {figure: a b c}, so", [("figure", ("a", "b", "c"), 1, False)]),
    ("x\n\n  {list: jobs}  \n", [("list", ("jobs",), 3, True)]),
    ('{value: t v standard="BS EN 60898-1"}', [("value", ("t", "v", "standard=BS EN 60898-1"), 1, True)]),
])
def test_directives_in__reads_word_arguments_and_line(text: str, found: list[tuple]) -> None:
    read = [(item.word, item.arguments, item.line, item.alone) for item in directives_in(text)]
    assert read == found


@pytest.mark.parametrize("text", [
    "`{caution: work}`", "``a ` {caution: work}``", "```\n{caution: work}\n```", "~~~ text\n{caution: work}\n~~~",
    "## Title { #here .wide }", "{: .wide }", "a paragraph\n{ .lead }", "{ key=value }", "{caution}",
])
def test_directives_in__leaves_code_and_attribute_lists_alone(text: str) -> None:
    """Attribute lists as in the documentation of Python-Markdown's attr_list."""
    assert list(directives_in(text)) == []


def test_answers__a_value_is_the_printed_cell_of_its_table() -> None:
    """The page prints the very row the code reads (spd_limits: BS 7671 regulation 534.4.8)."""
    row = table("spd_limits").where(quantity="lead-preferred-m")[0]
    text, _, problems = answers("{value: spd_limits value quantity=lead-preferred-m as=m}\n\n{sources: here}", EMPTY, "x.md")
    assert problems == []
    assert f'value="{row.text("value")}"' in text and f'>{row.text("value")} m</data>' in text


def test_answers__a_value_from_memory_says_so() -> None:
    text, _, problems = answers("{value: rcd_limits value quantity=type-a-smooth-dc-ma as=mA}\n{sources: here}", EMPTY, "x.md")
    assert problems == [] and "from memory" in text


@pytest.mark.parametrize("clause", ["433.1.1", "512.1.5", "411.4.204", "434.5.1", "411.5.3", "Appendix 4, section 6.4"])
def test_answers__a_clause_from_memory_says_so(clause: str) -> None:
    """A clause nobody of this project saw in a document is never said to be read (the table of clauses tells which they are)."""
    _, parts, problems = answers(f"By {{clause: bs7671 {clause}}}.\n\n{{sources: here}}", EMPTY, "x.md")
    text = " ".join(parts.values())
    assert problems == [] and "from memory" in text and "read in" not in text and "current book" in text


@pytest.mark.parametrize("clause", ["722.411.4.1", "722.531.3.101", "534.4.7", "443.4.1"])
def test_answers__a_clause_found_in_a_document_says_in_which_edition(clause: str) -> None:
    _, parts, problems = answers(f"By {{clause: bs7671 {clause}}}.\n\n{{sources: here}}", EMPTY, "x.md")
    text = " ".join(parts.values())
    assert problems == [] and "read in 2018+A" in text and "from memory" not in text


def test_answers__blocks_become_parts_in_their_place() -> None:
    text, parts, problems = answers("a\n\n{caution: work}\n\nb", EMPTY, "x.md")
    assert problems == []
    assert text == "a\n\n<!--part:caution-3-->\n\nb"
    assert "Electricity" in parts["caution-3"]


@pytest.mark.parametrize("line, message, hint", [
    ("{cuation: work}", "unknown directive 'cuation'", "did you mean 'caution'?"),
    ("now {caution: work}", "the directive 'caution' is a block of its own", "put it alone on its line"),
    ("{caution: all}", "the caution box has one form", "write {caution: work}"),
    ("{figure: a b}", "a figure is named by three words", "write {figure: INSTALLATION STEP OF}"),
    ("{figure: a b c}", "unknown installation 'a'", "known are: "),
    ("{drawing: a wiring}", "unknown installation 'a'", "known are: "),
    ("{row: spd_limit quantity=x}", "unknown table 'spd_limit'", "did you mean 'spd_limits'?"),
    ("{row: spd_limits quantty=x}", "unknown column 'quantty'", "did you mean 'quantity'?"),
    ("{row: spd_limits quantity=x}", "no row of spd_limits has quantity=x", "give every key of one row"),
    ("{list: job}", "unknown list 'job'", "did you mean 'jobs'?"),
    ("{sources: there}", "this directive has one form", "write {sources: here}"),
])
def test_answers__each_mistake_is_a_problem_with_its_line(line: str, message: str, hint: str) -> None:
    problems = answers(f"---\ntitle: T\n---\n\n{line}\n", EMPTY, "content/x.md")[2]
    assert [(item.file, item.line, item.message, item.hint) for item in problems] == [("content/x.md", 5, message, hint)]


def test_answers__numbers_without_their_sources_are_a_problem() -> None:
    problems = answers("{value: spd_limits value quantity=lead-preferred-m}", EMPTY, "x.md")[2]
    assert [item.message for item in problems] == ["this page quotes numbers and does not list their sources"]
