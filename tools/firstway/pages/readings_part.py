"""Pages: the readings to expect, in the order of testing, with limits, why one may differ, and a column to write in."""

from __future__ import annotations

from html import escape

from firstway.checks.case import Case
from firstway.checks.expecting import Beside, Expected, Limit, expected_readings, readings_beside
from firstway.pages.markup import sentence, table_html
from firstway.rendering.figures import figure_html, figure_in_formula, with_unit
from firstway.wiring.readings import AT_MOST, Shown

UNITS = {"megohm": "MΩ"}
TEST_NAMES = {"ze": "Ze,", "zs": "Zs,", "r1-plus-r2": "R1+R2,", "rcd-time": "residual current,", "electrode": "electrode,", "insulation": "insulation,"}
HEAD = ("test", "where and how", "expected", "limit", "why it may differ", "measured")
SPACE = '<span class="write" role="img" aria-label="space to write the reading"></span>'
DEAD_NOTE = ("Only on what a qualified person has isolated at its origin, locked off and proved dead. Opened here is not proved dead: "
             "prove it with a two-pole voltage indicator that was proved before and after.")
LIVE_NOTE = "Live tests are for skilled persons only. What is said here about the origin is for whoever is authorised there."


def expected_readings_part(case: Case) -> str:
    """Two tables, dead and live, and the readings of the file beside what was foretold."""
    expected = expected_readings(case)
    name = case.installation.name
    parts = [f"<p>{escape(DEAD_NOTE)}</p>", _table([line for line in expected if line.phase == "dead"], case, name, "Dead tests, in this order; conductors at 20 °C"),
             f"<p><strong>{escape(LIVE_NOTE)}</strong></p>", _table([line for line in expected if line.phase == "live"], case, name, "Live tests, in this order; for skilled persons")]
    return "".join([*parts, _beside_html(readings_beside(case, expected))])


def _table(lines: list[Expected], case: Case, name: str, caption: str) -> str:
    return table_html(HEAD, [_row(line, case, name) for line in lines], caption, "readings")


def _row(line: Expected, case: Case, name: str) -> tuple[str, ...]:
    step = case.step(line.step, line.of) if line.step else None
    agrees = step is not None and step.value is not None and line.shown.value is not None and abs(step.value - line.shown.value) <= 1e-3 * abs(step.value)
    figure = figure_html(step, name) if agrees and step is not None else escape(shown_words(line.shown))
    if agrees and line.shown.words == AT_MOST:
        figure = f"at most {figure}"
    return (escape(line.test), escape(line.where), figure, escape(limit_words(line.limit)), escape(sentence(line.because)), SPACE)


def shown_words(shown: Shown) -> str:
    """A reading as words: the figure with its unit, or what the tester says instead.

    >>> shown_words(Shown(0.43, "megohm", about=True))
    'about 0.43 MΩ'
    """
    if shown.value is None:
        words = shown.words + (f" ({shown.ask})" if shown.ask else "")
        return words or "no reading"
    places = 3 if shown.unit == "ohm" and shown.value < 10 else 2 if shown.unit in ("megohm", "kA") else 1 if shown.unit == "ohm" else 0
    text = with_unit(f"{shown.value:.{places}f}", UNITS.get(shown.unit, shown.unit))
    return f"{'about ' if shown.about else ''}{'at most ' if shown.words == AT_MOST else ''}{text}"


def limit_words(limit: Limit) -> str:
    if limit.value is None:
        return limit.words
    return f"{'at most' if limit.at_most else 'at least'} {with_unit(figure_in_formula(float(f'{limit.value:.4g}')), limit.unit)}"


def _beside_html(rows: tuple[Beside, ...]) -> str:
    if not rows:
        return ""
    cells = [(escape(f"{TEST_NAMES.get(str(row.reading.test), str(row.reading.test).replace('-', ' '))} {_place(row)}".strip()), escape(with_unit(figure_in_formula(row.value), row.unit)),
              escape(shown_words(row.expected.shown) if row.expected else "nothing"), f'<strong>{escape(row.verdict)}</strong>', escape(sentence(row.look_for)) if row.look_for else "")
             for row in rows]
    return table_html(("reading", "measured", "foretold", "they", "what to look for"), cells, "Readings of the file beside what was foretold", "readings-beside")


def _place(row: Beside) -> str:
    return next((str(value) for value in (row.reading.circuit, row.reading.at) if isinstance(value, str)), "")
