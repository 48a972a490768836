"""Rendering: a number for a reader, a working as MathML and as plain text, the caution, and the
plain report.

MathML Core names the elements; unit symbols are those of the SI brochure (8th and 9th editions: a
space before the unit, upright units, quantities in italic).
"""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from xml.etree import ElementTree

import pytest
from bs4 import BeautifulSoup
from changing import done
from hypothesis import given, settings, strategies
from sampling import JOBS

from firstway.checks.verdict import verdict_words
from firstway.rendering.figures import (
    figure_html,
    figure_in_formula,
    full,
    json_text,
    number_text,
    shown,
    symbol_text,
    unit_text,
)
from firstway.rendering.formulas import working_mathml, working_text
from firstway.rendering.html import caution_html, caution_line, caution_text
from firstway.rendering.report import as_data, findings_text, work_text
from firstway.workings.shared.step import Step

# Elements of MathML Core (W3C) that a browser draws without help.
CORE = {
    "math",
    "mrow",
    "mi",
    "mn",
    "mo",
    "mfrac",
    "msup",
    "msub",
    "msqrt",
    "mspace",
    "mtable",
    "mtr",
    "mtd",
    "mtext",
    "mroot",
    "msubsup",
}


def a_step(name: str = "marram", step_id: str = "voltage-drop", of: str = "slipway") -> Step:
    found = done(name).case.step(step_id, of)
    assert found is not None
    return found


def test_figure__as_designed() -> None:
    """DESIGN 5 prints this very element, but for the last digits of binary arithmetic."""
    data = BeautifulSoup(figure_html(a_step(), "marram"), "html.parser").data
    assert data.name == "data" and data["class"] == ["figure"] and data.get_text() == "4.25 V"
    assert data["value"] == "4.2496" and a_step().value == pytest.approx(4.2496, rel=1e-12)
    assert {
        key: data[key] for key in ("data-step", "data-of", "data-unit", "data-installation")
    } == {
        "data-step": "voltage-drop",
        "data-of": "slipway",
        "data-unit": "V",
        "data-installation": "marram",
    }


def test_figure__not_known_is_no_number() -> None:
    html = figure_html(replace(a_step(), value=None), "marram")
    element = BeautifulSoup(html, "html.parser").find(class_="figure")
    assert (
        element.name == "span"
        and element.get_text() == "not known"
        and "value" not in element.attrs
    )


def test_figure__escapes_what_a_file_may_hold() -> None:
    html = figure_html(replace(a_step(), of='"><script>alert(1)</script>'), '"x&<y>')
    data = BeautifulSoup(html, "html.parser").data
    assert (
        "<script>" not in html
        and data["data-of"] == '"><script>alert(1)</script>'
        and data["data-installation"] == '"x&<y>'
    )


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(
    strategies.floats(allow_nan=False, allow_infinity=False, min_value=-1e15, max_value=1e15),
    strategies.integers(0, 6),
)
def test_number_text__is_never_further_than_half_a_unit(value: float, places: int) -> None:
    text = number_text(value, places)
    assert "e" not in text.lower() and "-" not in text, "no exponent, and a real minus sign"
    printed = text.replace("−", "-")
    assert len(printed.partition(".")[2]) == places
    assert abs(float(printed) - value) <= 0.5 * 10**-places * (1 + 1e-9) + abs(value) * 1e-15
    assert not (float(printed) == 0 and "−" in text), "no minus nought"


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(strategies.floats(allow_nan=False, allow_infinity=False, min_value=1e-9, max_value=1e12))
def test_figure_in_formula__has_six_digits_and_no_exponent(value: float) -> None:
    text = figure_in_formula(value)
    assert "e" not in text.lower()
    assert abs(float(text) - value) <= 0.5000001e-5 * value
    assert not ("." in text and text.endswith("0"))


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(strategies.floats(allow_nan=False, allow_infinity=False, allow_subnormal=False))
def test_full__reads_back_as_the_number_to_twelve_digits(value: float) -> None:
    with localcontext(prec=12, rounding=ROUND_HALF_EVEN):
        assert Decimal(full(value)) == +Decimal(value)


def test_json_text__every_figure_leaves_with_twelve_digits_and_nothing_else_changes() -> None:
    """230 V and ten per cent of it are 253 V, whatever is left in the last digits of a float."""
    data = {
        "volts": 230 * 1.1,
        "band": (0.1 + 0.2, 1 / 3),
        "count": 10**15 + 1,
        "words": "0.30000000000000004",
        "known": True,
        "none": None,
    }
    assert json.loads(json_text(data)) == {
        "volts": 253.0,
        "band": [0.3, 0.333333333333],
        "count": 10**15 + 1,
        "words": "0.30000000000000004",
        "known": True,
        "none": None,
    }


@pytest.mark.parametrize(
    "unit, text",
    [
        ("ohm", "Ω"),
        ("ohm/km", "Ω/km"),
        ("mm2", "mm²"),
        ("percent", "%"),
        ("C", "°C"),
        ("kA2s", "kA²s"),
        ("mV/A/m", "mV/A/m"),
        ("A", "A"),
        ("", ""),
    ],
)
def test_unit_text(unit: str, text: str) -> None:
    assert unit_text(unit) == text


@pytest.mark.parametrize(
    "symbol, text",
    [
        ("I_b", "Ib"),
        ("theta_f", "θf"),
        ("R_R12", "(R₁+R₂)"),
        ("I_dn", "IΔn"),
        ("rho", "ρ"),
        ("Z_e", "Ze"),
    ],
)
def test_symbol_text(symbol: str, text: str) -> None:
    assert symbol_text(symbol) == text


def test_shown__puts_a_space_before_the_unit() -> None:
    assert shown(a_step()) == "4.25 V"
    assert shown(a_step(step_id="conductor-size")).endswith(" mm²")
    assert shown(replace(a_step(), unit="")) == "4.25"


def test_working_text__is_the_line_of_the_trade() -> None:
    assert (
        working_text(a_step())
        == "Vd = Vf + mv × Ib × L / 1000 = 0.0448 + 7.3 × 32 × 18 / 1000 = 4.25 V"
    )
    assert working_text(a_step(step_id="length")) == "L = 18.0 m"


@pytest.mark.parametrize("name", JOBS)
def test_every_working_is_well_formed_mathml(name: str) -> None:
    for step in done(name).case.workings:
        if step.figures is None:
            continue
        tree = ElementTree.fromstring(working_mathml(step))
        assert {element.tag for element in tree.iter()} <= CORE, step.identity
        assert tree.get("alttext") == working_text(step)
        assert len(tree.findall(".//mtr")) == 3, "formula, figures put in, result"
        for fraction in tree.iter("mfrac"):
            assert len(fraction) == 2
        for power in tree.iter("msup"):
            assert len(power) == 2


def test_mathml__quantities_are_italic_and_units_upright() -> None:
    tree = ElementTree.fromstring(working_mathml(a_step()))
    italic = [element.text for element in tree.iter("mi")]
    upright = [(element.text or "").strip() for element in tree.iter("mtext")]
    assert italic[:2] == ["V", "V"] and {"m", "I", "L"} <= set(italic)
    assert "V" in upright, "the unit of the result"


def test_mathml__keeps_the_order_of_the_author() -> None:
    """I² before t under the root, as the trade writes it."""
    step = done("quince").case.step("minimum-protective-conductor", "drive")
    assert step is not None
    text = "".join(ElementTree.fromstring(working_mathml(step)).find(".//mtr").itertext())
    assert text.index("I") < text.index("t") < text.index("k")


def test_mathml__refuses_a_step_without_a_formula() -> None:
    with pytest.raises(ValueError):
        working_mathml(a_step(step_id="length"))


def test_caution__defers_to_local_code_and_licensed_practice() -> None:
    for text in (caution_text(), BeautifulSoup(caution_html(), "html.parser").get_text()):
        assert (
            "local code" in text
            and "licensed" in text
            and "authorised persons only" in text
            and "responsible designer" in text
        )
    assert "\n" not in caution_line("2018+A4:2026") and "2018+A4:2026" in caution_line(
        "2018+A4:2026"
    )
    aside = BeautifulSoup(caution_html(), "html.parser").aside
    assert aside["role"] == "note" and aside["aria-label"]


@pytest.mark.parametrize("name", JOBS)
def test_reports_carry_one_caution_and_the_edition(name: str) -> None:
    result = done(name)
    for text in (work_text(result), findings_text(result)):
        assert text.count("Caution:") == 1 and result.installation.edition in text
        assert "\x1b" not in text and text.endswith("\n")


@pytest.mark.parametrize("name", JOBS)
def test_work_text_shows_every_step_with_its_source(name: str) -> None:
    result = done(name)
    text = work_text(result)
    for step in result.case.workings:
        assert f"[{step.id}]" in text and working_text(step) in text
        if step.value is None:
            assert step.ask in text


@pytest.mark.parametrize("name", JOBS)
def test_findings_text_counts_what_it_lists(name: str) -> None:
    """A line a finding; what is not known is a line a question, and names every rule that asks."""
    result = done(name)
    lines = findings_text(result).rstrip("\n").splitlines()
    listed, (order, counts, words) = [line.split()[0] for line in lines[2:-3]], lines[-3:]
    for part in counts.split(", "):
        number, level = part.split()
        assert sum(finding.level == level for finding in result.findings) == int(number)
        assert level == "unknown" or listed.count(level) == int(number)
    asking = [finding for finding in result.findings if finding.level == "unknown"]
    asked = [line for line in lines[2:-3] if line.startswith("unknown ")]
    assert all(any(finding.id in line for line in asked) for finding in asking)
    assert len(asked) <= len(asking)
    assert order.startswith("Order: ")
    assert words == verdict_words(result.findings, result.installation)


def test_findings_text__says_a_thing_once() -> None:
    for name in JOBS:
        assert "not known: ask" not in findings_text(done(name))


def test_findings_text__of_some_levels_still_counts_all() -> None:
    whole, part = findings_text(done("quince")), findings_text(done("quince"), ("fail",))
    fails = sum(each.level == "fail" for each in done("quince").findings)
    assert [line.split()[0] for line in part.splitlines()[2:-3]] == ["fail"] * fails
    assert part.splitlines()[-2:] == whole.splitlines()[-2:]


def test_as_data__is_plain_and_whole() -> None:
    import json

    for name in JOBS:
        data = as_data(done(name))
        assert json.loads(json.dumps(data, allow_nan=False)) == data
        assert len(data["steps"]) >= len(
            done(name).case.workings.steps
        )  # and those of the faults at every place
