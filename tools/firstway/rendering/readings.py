"""Rendering: the tests of a job: a table to write in, and apart from it what to expect.

What is expected stands nowhere beside an empty field: whoever reads a figure before measuring
writes down what was read.
"""

from collections.abc import Container

from firstway.checks.expected import Expected
from firstway.checks.expecting import expected_readings
from firstway.checks.judging_readings import named
from firstway.checks.reading_limits import Limit
from firstway.checks.readings_beside import Beside, readings_beside
from firstway.checks.rule import Case
from firstway.rendering.figures import (
    FINE_UP_TO_OHM,
    figure_html,
    figure_in_formula,
    ohm_limit,
    with_unit,
)
from firstway.rendering.findings import verdict_mark
from firstway.rendering.html import Markup, counted, details_html, joined, sentence, table_html, tag
from firstway.rendering.reading_words import shown_words
from firstway.rendering.spoken_keys import with_spoken_terminals
from firstway.wiring.readings import AT_MOST

SHORT_TEST = 20  # characters: longer names end at their first comma
PHASES = ("dead", "live")
FIELDS = ("no.", "test", "where and how", "limit", "reading")
FORETOLD = ("no.", "test", "expected", "why a sound reading may differ")
SPACE = tag("span", class_="write", role="img", aria_label="space to write the reading")
DEAD_NOTE = (
    "Only on what a qualified person has isolated at its origin, locked off and proved dead. Opened"
    " here is not proved dead: prove it with a two-pole voltage indicator that was proved before"
    " and after. For tests of insulation the surge protective device is out and the charging point"
    " off the cable; note both, and the test voltage."
)
LIVE_NOTE = (
    "Live tests are for skilled persons only. What is said here about the origin is for whoever is"
    " authorised there."
)
_BESIDE = ("reading", "measured", "limit", "foretold", "verdict", "what to look for")


def readings_parts(case: Case) -> dict[str, Markup]:
    """The table of fields, the expectations folded away, and the readings of the file."""
    expected = expected_readings(case)
    return {
        "fields": fields_html(expected),
        "expected": details_html(
            "Open after testing: what each test is expected to show",
            foretold_html(expected, case),
            "foretold",
        ),
        "beside": beside_html(readings_beside(case, expected)),
    }


def _numbered(expected: tuple[Expected, ...], phase: str) -> list[tuple[str, Expected]]:
    """Tests with their number; what is listed only to be understood has none."""
    found, number = [], 0
    for line in expected:
        number += line.is_a_test
        if line.phase == phase:
            found.append((str(number) if line.is_a_test else "", line))
    return found


def fields_html(expected: tuple[Expected, ...], phases: Container[str] = PHASES) -> Markup:
    """The tests in their order, each with its limit and space for the reading; `phases` of them."""
    parts = []
    for phase, note, caption in (
        ("dead", tag("p", DEAD_NOTE), "Dead tests, in this order"),
        (
            "live",
            tag("p", tag("strong", LIVE_NOTE)),
            "Live tests, in this order; for skilled persons",
        ),
    ):
        if phase not in phases:
            continue
        rows = [
            (number, line.test, with_spoken_terminals(line.where), limit_words(line.limit), SPACE)
            for number, line in _numbered(expected, phase)
            if line.is_a_test
        ]
        parts.append(note + table_html(FIELDS, rows, caption, "plain readings"))
    return joined(parts)


def foretold_html(expected: tuple[Expected, ...], case: Case) -> Markup:
    """The tables of what each test is expected to show, and why a sound reading may differ."""
    parts = []
    for phase, caption in (("dead", "Dead tests; conductors at 20 °C"), ("live", "Live tests")):
        rows = [
            (number, _short(line), _figure(line, case), sentence(line.because))
            for number, line in _numbered(expected, phase)
        ]
        parts.append(table_html(FORETOLD, rows, caption, "plain foretold"))
    return joined(parts)


def _short(line: Expected) -> str:
    """The test and what tells it from its neighbours; the table of fields has the rest."""
    pair = (
        f", {with_spoken_terminals(' to '.join(line.between))}"
        if len(set(line.between)) == 2
        else ""
    )
    test = line.test if len(line.test) <= SHORT_TEST else line.test.partition(",")[0]
    return f"{test}, {line.of}{pair}"


def _figure(line: Expected, case: Case) -> str:
    """The figure of the working where it is the same, else what the circuit gives."""
    step = case.step(line.step, line.of) if line.step else None
    same = (
        step is not None
        and step.value is not None
        and line.shown.value is not None
        and abs(step.value - line.shown.value) <= 1e-3 * abs(step.value)
    )
    if not same or step is None:
        return shown_words(line.shown)
    figure = figure_html(step, case.installation.name)
    return "at most " + figure if line.shown.words == AT_MOST else figure


def limit_words(limit: Limit) -> str:
    """A limit as words.

    >>> limit_words(Limit(300.0, "ms")), limit_words(Limit(500.0, "ms", least=130.0))
    ('at most 300 ms', '130 to 500 ms')
    >>> limit_words(Limit(2.0, "ohm", advice=0.05414)), limit_words(Limit(9.5, "ohm", advice=9.5))
    ('at most 2 Ω; look into it above 0.05 Ω', 'at most 9.50 Ω')
    """
    if limit.value is None:
        return limit.words
    if limit.least is not None:
        return f"{_rounded(limit.least)} to {with_unit(_rounded(limit.value), limit.unit)}"
    side = "at most" if limit.at_most else "at least"
    said, advised = (
        None if value is None else with_unit(_bound(limit, value), limit.unit)
        for value in (limit.value, limit.advice)
    )
    figure = f"{side} {said}"
    if advised not in (None, said):
        figure += f"; look into it {'above' if limit.at_most else 'below'} {advised}"
    return f"{limit.words}, {figure}" if limit.words else figure


def _bound(limit: Limit, value: float) -> str:
    """A bound as instruments show it: ohms in hundredths, never rounded past the bound. From ten
    ohm on the standards print it rounded.
    """
    small = limit.unit == "ohm" and limit.at_most and 0.01 <= value < FINE_UP_TO_OHM
    return ohm_limit(value) if small and value != int(value) else _rounded(value)


def _rounded(value: float) -> str:
    return figure_in_formula(float(f"{value:.4g}"))


def beside_html(rows: tuple[Beside, ...]) -> Markup:
    """Each reading of the file, its limit, what was foretold and what the two say."""
    if not rows:
        return Markup()
    cells = [_beside_row(row) for row in rows]
    return table_html(
        _BESIDE, cells, f"{counted(len(rows), 'reading')} of the file", "plain readings-beside"
    )


def _beside_row(row: Beside) -> tuple[str, ...]:
    taken = row.taken
    measured = (
        taken.words
        if taken.value is None
        else with_unit(figure_in_formula(taken.value), taken.unit)
    )
    foretold = shown_words(row.expected.shown) if row.expected else "nothing"
    said = (
        sentence(row.message.removeprefix("not known: "))
        if row.message
        else "Its limit alone judges it."
    )
    return (
        named(taken),
        measured,
        limit_words(row.limit) or "none",
        foretold,
        verdict_mark(row.level),
        said,
    )
