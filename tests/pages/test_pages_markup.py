"""Text from files is printed as it stands and never becomes mark-up."""

from __future__ import annotations

import markdown
import pytest
from bs4 import BeautifulSoup

from firstway.pages.shared.markup import inert
from firstway.rendering.html import html_identity, table_html

EXTENSIONS = [
    "attr_list",
    "tables",
    "def_list",
    "admonition",
    "toc",
    "pymdownx.details",
    "pymdownx.tabbed",
    "pymdownx.blocks.caption",
]


@pytest.mark.parametrize(
    "text",
    [
        "plain words",
        "# not a heading",
        "* not a list",
        "1. not a list",
        "> not a quotation",
        "a *b* **c** _d_ __e__ `f`",
        "<script>alert(1)</script>",
        "&lt;b&gt; &amp; &nbsp;",
        "[link](javascript:alert(1))",
        "![x](y)",
        "a { .b #c }",
        "!!! note",
        "??? note",
        '=== "tab"',
        "/// caption",
        "| a | b |",
        ": definition",
        "<!--part:sources-->",
        "a\\*b",
        "{figure: a b c}",
        "---",
        "+++",
        "a\n\n# b",
    ],
)
def test_inert__is_printed_exactly(text: str) -> None:
    html = markdown.markdown(inert(text), extensions=EXTENSIONS)
    page = BeautifulSoup(html, "html.parser")
    assert page.text == " ".join(text.split())
    assert [tag.name for tag in page.find_all(True)] == ["p"]
    assert "<!--" not in html


def test_identity__holds_only_letters_digits_and_hyphens() -> None:
    assert (
        html_identity("finding", "spd-position", "F1.supply.L1", "")
        == "finding-spd-position-F1-supply-L1"
    )


def test_table_html__escapes_its_caption_and_can_be_reached_by_keyboard() -> None:
    table = BeautifulSoup(table_html(("a",), [("1",)], "x <b>"), "html.parser")
    assert table.find("b") is None
    assert table.find("div")["tabindex"] == "0"
    assert table.caption.text == "x <b>"
