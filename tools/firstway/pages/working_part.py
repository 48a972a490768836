"""Pages: the working: each step with its formula, the figures put in, the rows read and the sizes rejected."""

from __future__ import annotations

from html import escape
from typing import Iterable

from firstway.pages.citing import citation_html, source_title, standing_html
from firstway.pages.markup import counted, details_html, identity, path_words, table_html
from firstway.rendering.figures import figure_html, figure_in_formula, full, with_unit
from firstway.rendering.mathml import symbol_mathml, working_mathml
from firstway.workings.step import RowRead, Step, Workings

KINDS = {"fact": "given", "formula": "worked", "look-up": "read in a table", "choice": "chosen", "run": "simulated"}


def parts_of_working(workings: Workings) -> list[tuple[str, tuple[Step, ...]]]:
    """The steps by what they are about, in the reader's order."""
    groups: dict[str, list[Step]] = {}
    for step in workings:
        groups.setdefault(step.of, []).append(step)
    return [(of, tuple(steps)) for of, steps in groups.items()]


def at_a_glance_html(steps: Iterable[Step], name: str) -> str:
    """Every result of one part in a small table, each linked to its working."""
    rows = [(f'<a href="#{step_identity(step)}">{escape(step.title)}</a>', _symbol(step),
             figure_html(step, name) + _marks(step)) for step in steps]
    return table_html(("what", "symbol", "result"), rows, "Results at a glance", "glance")


def step_html(step: Step, name: str, workings: Workings) -> str:
    """One step, complete."""
    unknown = " step-unknown" if step.value is None else ""
    pieces = [
        f'<section class="step{unknown}" id="{step_identity(step)}" aria-labelledby="{step_identity(step)}-title">',
        f'<h4 id="{step_identity(step)}-title"><span class="step-title">{escape(step.title)}</span>',
        f' <span class="step-result">{_equals(step)}{figure_html(step, name)}</span></h4>',
        _marks_line(step),
        _written(step),
        _missing(step),
        _band(step),
        f'<p class="note">{escape(step.note)}</p>' if step.note else "",
        rows_html(step.rows, "Read in the table") if step.rows else "",
        _rejected(step),
        _foot(step, workings),
        "</section>",
    ]
    return "".join(pieces)


def step_identity(step: Step) -> str:
    """The id of a step on its page."""
    return identity("step", step.id, step.of)


def rows_html(rows: Iterable[RowRead], caption: str) -> str:
    """Table rows a step rests on."""
    cells = [(escape(row.table.replace("_", " ")), escape(row.row), _amount(row), escape(source_title(row.source)),
              escape(row.edition), standing_html(row.standing)) for row in rows]
    return table_html(("table", "row", "value", "source", "edition", "standing"), cells, caption, "rows")


def _rejected(step: Step) -> str:
    if not step.rejected:
        return ""
    cells = [(escape(row.row), _amount(row), escape(row.because)) for row in step.rejected]
    table = table_html(("size", "value", "why it was rejected"), cells, "Tried and rejected", "rows")
    return details_html(f"{counted(len(step.rejected), 'size')} tried and rejected", table, "rejected")


def _written(step: Step) -> str:
    if step.figures is None or step.value is None:
        return ""
    return f'<div class="written wide" tabindex="0" role="group" aria-label="Working of {escape(step.title)}">{working_mathml(step)}</div>'


def _missing(step: Step) -> str:
    if step.value is not None:
        return ""
    paths = ", ".join(path_words(path) for path in step.missing)
    needed = f"<p>Needed: {paths}.</p>" if paths else ""
    ask = f'<p class="ask">{escape(step.ask)}</p>' if step.ask else ""
    return f'<div class="missing"><p><strong>Not known.</strong> A missing figure is never a pass.</p>{needed}{ask}</div>'


def _band(step: Step) -> str:
    if step.low is None or step.high is None:
        return ""
    low, high = (with_unit(figure_in_formula(float(f"{end:.4g}")), step.unit) for end in (step.low, step.high))
    return f'<p class="band">Between {escape(low)} and {escape(high)}.</p>'


def _marks_line(step: Step) -> str:
    return f'<p class="marks"><span class="kind">{KINDS[step.kind]}</span>{_marks(step)}</p>'


def _marks(step: Step) -> str:
    if not step.assumed:
        return ""
    paths = ", ".join(step.assumed)
    return f' <span class="chip assumed" title="{escape(paths)}">assumed input</span>'


def _foot(step: Step, workings: Workings) -> str:
    lines = []
    if step.assumed:
        lines.append(f"Assumed: {', '.join(path_words(path) for path in step.assumed)}. An assumed figure gives no pass.")
    if step.inputs:
        lines.append(f"Rests on: {', '.join(_input(item, workings) for item in step.inputs)}.")
    lines.append(f"Source: {citation_html(step.source, step.edition, step.standing)}.")
    return f'<p class="cite">{"<br>".join(lines)}</p>'


def _input(name: str, workings: Workings) -> str:
    step_id, _, of = name.partition(" ")
    step = workings.find(step_id, of)
    if step is None:
        return path_words(name)
    return f'<a href="#{step_identity(step)}">{escape(step.title)}</a>'


def _symbol(step: Step) -> str:
    return f"<math>{symbol_mathml(step.symbol)}</math>" if step.symbol else ""


def _equals(step: Step) -> str:
    return f"<math>{symbol_mathml(step.symbol)}<mo>=</mo></math> " if step.symbol and step.value is not None else ""


def _amount(row: RowRead) -> str:
    text = with_unit(figure_in_formula(row.value), row.unit)
    return f'<data class="read" value="{full(row.value)}">{escape(text)}</data>'
