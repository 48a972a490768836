"""The symbols and the legend of colours: complete, clean by the drawing lint, and honest about what
was not confirmed.

Numbers are compared with what each docstring states; whether the standard says so was given from
memory. Colours are compared with a copy keyed apart from the table: harmonised IEC 60446 / BS 7671
Table 51, earlier UK colours and nec from memory, the nec lines by common practice.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from changing import done
from drawing_faults import faults_in

from firstway.drawing import more_symbols, symbols
from firstway.drawing.colour_legend import colour_legend
from firstway.drawing.old_meets_new import old_meets_new
from firstway.drawing.symbol_catalogue import (
    BESIDE,
    GROUPS,
    NOT_CONFIRMED,
    SINGLE_LINE,
    ShownSymbol,
    number_words,
    symbol_drawing,
)
from firstway.drawing.symbols import FAMILY
from firstway.pages.reference.colours_page import colours_page
from firstway.pages.reference.symbols_page import symbols_page
from firstway.rendering.html import caution_text

SYMBOLS = [shown for _, items in GROUPS for shown in items]
LEGEND = {
    "red-black.1": {"L1": "red", "N": "black", "PE": "green-yellow"},
    "red-black.3": {"L1": "red", "L2": "yellow", "L3": "blue", "N": "black", "PE": "green-yellow"},
    "harmonised.1": {"L1": "brown", "N": "blue", "PE": "green-yellow"},
    "harmonised.3": {"L1": "brown", "L2": "black", "L3": "grey", "N": "blue", "PE": "green-yellow"},
    "nec.1": {"L1": "black", "L2": "red", "N": "white", "PE": "green"},
}


@pytest.mark.parametrize("shown", SYMBOLS, ids=lambda shown: shown.id)
def test_symbol_drawing__is_clean_inside_its_sheet_and_the_same_twice(shown: ShownSymbol) -> None:
    svg = symbol_drawing(shown).svg
    assert [fault for fault in faults_in(svg) if fault.kind != "text too small"] == []
    assert svg == symbol_drawing(shown).svg
    width, height = (
        float(value) for value in re.search(r'viewBox="0 0 (\S+) (\S+)"', svg).groups()
    )
    for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", svg):
        assert 4 <= float(x) <= width - 4 and 4 <= float(y) <= height - 4, shown.name


def test_catalogue__holds_every_symbol_of_the_family_once_by_name() -> None:
    assert len({shown.id for shown in SYMBOLS}) == len(SYMBOLS)
    assert set(FAMILY.values()) <= {type(shown.make()) for shown in SYMBOLS}


def test_catalogue__shows_every_symbol_that_is_drawn() -> None:
    shown = {type(item.make()).__name__ for item in SYMBOLS}
    drawn = {
        name
        for module in (symbols, more_symbols)
        for name, kind in vars(module).items()
        if isinstance(kind, type) and issubclass(kind, symbols.DrawnSymbol)
    }
    missing = sorted(drawn - shown - {"DrawnSymbol"})
    assert missing == [], "put each into its family in GROUPS of drawing/symbol_catalogue.py"


@pytest.mark.parametrize("shown", SYMBOLS, ids=lambda shown: shown.id)
def test_number_words__says_only_what_the_docstring_states(shown: ShownSymbol) -> None:
    stated = re.findall(r"\d\d-\d\d-\d\d", type(shown.make()).__doc__ or "")
    words = number_words(shown)
    assert (words == NOT_CONFIRMED) == (not shown.numbers)
    assert all(number in stated for number in shown.numbers)
    assert stated or words == NOT_CONFIRMED, "cite the standard's number in the docstring"


def test_catalogue__what_is_said_to_be_in_the_single_line_drawing_is_there(root: Path) -> None:
    folder = root / "tools" / "firstway" / "drawing" / "single"
    text = "".join(path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.py")))
    for shown in SYMBOLS:
        if shown.used in (SINGLE_LINE, BESIDE):
            name = type(shown.make()).__name__
            assert len(re.findall(rf"\b{name}\b", text)) > 1, shown.name  # imported, and used


def test_symbols_page__shows_every_symbol_with_number_and_use() -> None:
    sheet = symbols_page()
    for shown in SYMBOLS:
        part = (
            sheet.parts["symbols"].partition(f'id="about-{shown.id}"')[2].partition("</figure>")[0]
        )
        assert number_words(shown) in part and shown.used in part and "<svg" in part, shown.name
    assert caution_text()[:20] in sheet.parts["caution"]


def test_colour_legend__is_clean_and_says_the_colours_keyed_apart() -> None:
    svg = colour_legend().svg
    assert faults_in(svg) == ()
    for name, colours in LEGEND.items():
        for function in ("L1", "L2", "L3", "N", "PE"):
            group = svg.partition(f'id="colours-{name}.{function}"')[2].partition("</g>\n")[0]
            assert f">{colours.get(function, '–')}</text>" in group, f"{name} {function}"


def test_colour_legend__tells_functions_apart_without_colour() -> None:
    """Black as a line and black as a neutral differ by their strokes, not by ink alone."""
    svg = colour_legend().svg
    line, neutral = (
        svg.partition(f'id="colours-{name}"')[2].partition("</g>\n")[0]
        for name in ("harmonised.3.L2", "red-black.3.N")
    )
    assert "stroke-dasharray" in neutral and "stroke-dasharray" not in line


def test_colours_page__asserts_nothing_about_the_notice_in_the_current_book() -> None:
    """Whether the mixed-colour notice is still asked for was not found either way."""
    text = " ".join(colours_page().markdown.split())
    assert "was required in editions of BS 7671 before 2022" in text and "was not confirmed" in text
    assert "a blue core may be a line or a neutral" in text and "prove dead" in text


def test_old_meets_new__every_conductor_in_both_colours() -> None:
    """Earlier UK and harmonised colours of a one-phase installation: red and brown, black and blue
    (the table's own sources).
    """
    drawn = old_meets_new(done("marram"), "old")
    assert drawn is not None and faults_in(drawn.svg) == ()
    words = re.findall(r">(L1|N|PE) ([a-z-]+)</text>", drawn.svg)
    assert words == [
        ("L1", "red"),
        ("L1", "brown"),
        ("N", "black"),
        ("N", "blue"),
        ("PE", "green-yellow"),
        ("PE", "green-yellow"),
    ]
    assert "identify by test" in drawn.alt and "authorised person" in drawn.alt
    assert old_meets_new(done("tern"), "old") is None, (
        "nothing old is drawn where the file has no earlier colours"
    )
