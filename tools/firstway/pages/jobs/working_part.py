"""Pages: the working: each step with its formula, the figures put in, the rows read and the sizes
rejected.

A given figure or a table value that goes into one formula is shown under that formula; results
stand alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from html import escape

from firstway.pages.shared.citing import citation_html
from firstway.pages.shared.markup import (
    counted,
    details_html,
    html_identity,
    path_words,
    sentence,
    table_html,
)
from firstway.rendering.columns import row_words, table_words
from firstway.rendering.figures import figure_html, figure_in_formula, full, with_unit
from firstway.rendering.mathml import working_mathml
from firstway.rendering.symbols import symbol_parts
from firstway.workings.shared.step import RowRead, Step, Workings

StepLink = Callable[[str], "str | None"]
"""Identity of a step to a link to its working; None for what is no step, such as a path of the
file."""

_KINDS = {
    "fact": "given",
    "formula": "worked",
    "look-up": "read in a table",
    "choice": "chosen",
    "run": "simulated",
}
ALWAYS_ALONE = (
    "design-current",
    "device-rating",
    "conductor-size",
    "protective-conductor-size",
    "external-loop-impedance",
    "electrode-resistance",
    "electrode-resistance-limit",
)


def parts_of_working(workings: Workings) -> list[tuple[str, tuple[Step, ...]]]:
    """The steps by what they are about; a part comes where its last step stands, so it rests on
    parts before it.
    """
    groups: dict[str, list[Step]] = {}
    for step in workings:
        groups.setdefault(step.of, []).append(step)
    place = {step.of: index for index, step in enumerate(workings)}
    return [(of, tuple(groups[of])) for of in sorted(groups, key=lambda of: place[of])]


def gathered_under(steps: Sequence[Step]) -> list[tuple[Step, tuple[Step, ...]]]:
    """Each step that stands alone, with the given and tabulated figures shown under it."""
    user: dict[str, str] = {}
    for step in steps:
        if step.kind in ("fact", "look-up") and step.id not in ALWAYS_ALONE:
            first = next(
                (
                    later
                    for later in steps
                    if step.identity in later.inputs and later.kind not in ("fact", "look-up")
                ),
                None,
            )
            if first is not None:
                user[step.identity] = first.identity
    return [
        (step, tuple(item for item in steps if user.get(item.identity) == step.identity))
        for step in steps
        if step.identity not in user
    ]


def part_html(steps: Sequence[Step], name: str, link: StepLink) -> str:
    """One part: every step of it.

    `link` gives the address of a step's working, or None where there is none.
    """
    ones = frozenset(step.identity for step in steps if _is_one(step))
    return "".join(
        step_html(step, under, name, link, ones) for step, under in gathered_under(steps)
    )


def _is_one(step: Step) -> bool:
    """A factor that corrects nothing: why it does not is all there is to say."""
    return step.kind == "fact" and not step.unit and step.value == 1 and "-factor-" in step.id


def step_html(
    step: Step, under: Sequence[Step], name: str, link: StepLink, ones: frozenset[str] = frozenset()
) -> str:
    """One step, complete.

    Factors of one (`ones`) stand in its formula, and once where they come from; no list repeats
    them.
    """
    here = step_identity(step)
    return "".join(
        [
            f'<section class="step" id="{here}"><h3><span class="step-title">{escape(step.title)}',
            f' <span class="kind">{_KINDS[step.kind]}</span>{assumed_mark(step)}</span>',
            f' <span class="step-result">{_equals(step)}{figure_html(step, name)}</span></h3>',
            _written(step),
            _missing(step),
            _band(step),
            f'<p class="note">{escape(sentence(step.note))}</p>' if step.note else "",
            figures_put_in_html(under, name) if under else "",
            rows_html(step.rows) if step.rows else "",
            _rejected(step),
            _foot(step, under, link, ones),
            "</section>",
        ]
    )


def step_identity(step: Step) -> str:
    """The id of a step on its page."""
    return html_identity("step", step.id, step.of)


def figures_put_in_html(steps: Sequence[Step], name: str) -> str:
    """The given and tabulated figures of one formula, each with where it comes from."""
    items = "".join(
        '<li class="step"'
        f' id="{step_identity(step)}">{_equals(step)}{figure_html(step, name)}{assumed_mark(step)}'
        f' {escape(step.title)} <span class="cite">{where_from(step)}</span></li>'
        for step in steps
    )
    return f'<ul class="put-in">{items}</ul>'


def rows_html(rows: Iterable[RowRead]) -> str:
    """Table rows a step rests on."""
    return "".join(
        f'<p class="cite">Row read: {_row_words(row)}, {_amount(row)}.'
        f" {sentence(citation_html(row.source, row.edition, row.standing))}</p>"
        for row in rows
    )


def where_from(step: Step) -> str:
    if step.value is None:
        return f"{_ask(step)} {_paths(step)}"
    lines = [
        f"{_row_words(row)}. {sentence(citation_html(row.source, row.edition, row.standing))}"
        for row in step.rows
    ]
    if not lines:
        paths = "" if _is_one(step) else _paths_of(step.inputs)
        lines = [f"{sentence(citation_html(step.source, step.edition, step.standing))} {paths}"]
    return " ".join([*lines, escape(sentence(step.note)) if step.note else ""]).strip()


def _row_words(row: RowRead) -> str:
    return escape(f"{table_words(row.table)}: {row_words(row.row)}" if row.table else row.row)


def _rejected(step: Step) -> str:
    if not step.rejected:
        return ""
    cells = [
        (escape(row_words(row.row) if row.table else row.row), escape(sentence(row.because)))
        for row in step.rejected
    ]
    table = table_html(("size", "why it was rejected"), cells, "Tried and rejected", "rows")
    return details_html(
        f"{counted(len(step.rejected), 'size')} tried and rejected", table, "rejected"
    )


def _written(step: Step) -> str:
    if step.figures is None or step.value is None:
        return ""
    return f'<div class="written" tabindex="0">{_lean(working_mathml(step))}</div>'


def _lean(mathml: str) -> str:
    """The same mathematics in two thirds of the bytes: the stylesheet aligns the cells, words are
    text, a cell is a row of itself, and a thin space parts the unit.
    """
    mathml = re.sub(r'<mtd style="text-align:(?:left|right)">', "<mtd>", mathml).replace(
        "<mrow></mrow>", ""
    )
    mathml = _CELL.sub(lambda cell: f"<mtd>{cell[1]}</mtd>" if _whole(cell[1]) else cell[0], mathml)
    mathml = re.sub(r'<mi mathvariant="normal">([^<]*)</mi>', r"<mtext>\1</mtext>", mathml)
    return mathml.replace('<mspace width="0.2em"/><mtext>', f"<mtext>{THIN_SPACE}")


_CELL = re.compile(r"<mtd><mrow>(.*?)</mrow></mtd>")
THIN_SPACE = "\u2009"


def _whole(inside: str) -> bool:
    """Whether the row that opens before this text is the one that closes after it."""
    depth = 0
    for closes in re.findall(r"<(/?)mrow>", inside):
        depth += -1 if closes else 1
        if depth < 0:
            return False
    return depth == 0


def _missing(step: Step) -> str:
    if step.value is not None:
        return ""
    return (
        f'<div class="missing"><p><strong>Not known.</strong> {_ask(step)}</p>'
        f'<p class="cite">Needed: {_paths(step)}. A missing figure is never a pass.</p></div>'
    )


def _ask(step: Step) -> str:
    return f'<span class="ask">{escape(sentence(step.ask))}</span>' if step.ask else ""


def _paths(step: Step) -> str:
    return ", ".join(path_words(path) for path in step.missing)


def _paths_of(inputs: Iterable[str]) -> str:
    return ", ".join(path_words(name) for name in inputs if " " not in name)


def _band(step: Step) -> str:
    if step.low is None or step.high is None:
        return ""
    low, high = (
        with_unit(figure_in_formula(float(f"{end:.4g}")), step.unit)
        for end in (step.low, step.high)
    )
    return f'<p class="band">Between {escape(low)} and {escape(high)}.</p>'


def assumed_mark(step: Step) -> str:
    if not step.assumed:
        return ""
    return (
        f' <span class="chip assumed" title="{escape(", ".join(step.assumed))}">assumed'
        " input</span>"
    )


def _foot(step: Step, under: Sequence[Step], link: StepLink, ones: frozenset[str]) -> str:
    if step.kind == "fact" and not step.rows and not any(link(name) for name in step.inputs):
        return (
            f'<p class="cite">{sentence(citation_html(step.source, step.edition, step.standing))}'
            f" {_paths_of(step.inputs)}</p>"
        )
    shown = {item.identity for item in under} | ones
    rests_on = [link(name) or path_words(name) for name in step.inputs if name not in shown]
    lines = []
    if step.assumed:
        lines.append(
            f"Assumed: {', '.join(path_words(path) for path in step.assumed)}. An assumed figure"
            " gives no pass."
        )
    if rests_on:
        lines.append(f"Rests on: {', '.join(rests_on)}.")
    if step.source and not step.rows:
        lines.append(sentence(f"Source: {citation_html(step.source, step.edition, step.standing)}"))
    return f'<p class="cite">{"<br>".join(lines)}</p>' if lines else ""


def symbol_html(step: Step) -> str:
    """The symbol in a line of text: quantity in italic, a word below it upright."""
    return symbol_markup(step.symbol) if step.symbol else ""


def symbol_markup(symbol: str) -> str:
    """The same of any symbol of a formula."""
    letter, below = symbol_parts(symbol)
    return f"<var>{escape(letter)}{f'<sub>{escape(below)}</sub>' if below else ''}</var>"


def _equals(step: Step) -> str:
    return f"{symbol_html(step)} = " if step.symbol and step.value is not None else ""


def _amount(row: RowRead) -> str:
    text = with_unit(figure_in_formula(row.value), row.unit)
    return f'<data class="read" value="{full(row.value)}">{escape(text)}</data>'
