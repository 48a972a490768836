"""Rendering: a working as HTML: each step with its formula, the figures put in, the rows read and
the sizes rejected.

A given figure or a table value that goes into one formula is shown under that formula; results
stand alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from firstway.checks.rule import assumed_words
from firstway.choosing.completing import Completed
from firstway.frozen import dataclass
from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.rendering.citing import (
    NO_NOTES,
    ReaderNotes,
    citation_html,
    notes_of,
    sources_html,
)
from firstway.rendering.columns import row_words, table_words
from firstway.rendering.figures import figure_html, figure_in_formula, full, symbol_parts, with_unit
from firstway.rendering.formulas import working_mathml
from firstway.rendering.html import (
    Markup,
    counted,
    details_html,
    escape,
    html_identity,
    joined,
    path_words,
    sentence,
    table_html,
    tag,
)
from firstway.rendering.spoken_keys import in_trade_words, path_in_words, with_spoken_terminals
from firstway.workings.shared.step import RowRead, Step, Workings

StepLink = Callable[[str], "str | None"]
"""Identity of a step to a link to its working; None for what is no step, such as a path of the
file."""


SaysKey = Callable[[str], Markup]
"""A path of the file as its reader is told it."""


@dataclass(frozen=True)
class AroundWorking:
    """What a working hangs in: its installation's name, how its steps are linked, what its reader
    noted, and how a key is told.
    """

    name: str
    link: StepLink
    notes: ReaderNotes = NO_NOTES
    says_key: SaysKey = path_words


_KINDS = {
    "fact": "given",
    "formula": "worked",
    "look-up": "read in a table",
    "choice": "chosen",
    "run": "simulated",
}
_FIXED_PARTS = {"feed": "The feed", "board": "The board", "supply": "The supply"}
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


def part_title(of: str, installation: Installation) -> str:
    """Heading of one part of the working."""
    if of in _FIXED_PARTS:
        return _FIXED_PARTS[of]
    switch = installation.board.main_switch
    if is_known(switch) and switch.name == of:
        return f"Main switch {of}"
    kinds = (
        ("Circuit", installation.circuits),
        ("Device", installation.board.ways),
        ("Charging point", installation.charging_points),
        ("Electrode", installation.electrodes),
        ("Vehicle", installation.vehicles),
    )
    kind = next((word for word, items in kinds if any(item.name == of for item in items)), "")
    if not kind and "." in of:
        said = with_spoken_terminals(of).removeprefix("the ")
        return f"Conductor: {said}"
    return f"{kind} {of}".strip()


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


def part_html(steps: Sequence[Step], around: AroundWorking) -> Markup:
    """One part: every step of it."""
    ones = frozenset(step.identity for step in steps if _is_one(step))
    return joined(step_html(step, under, around, ones) for step, under in gathered_under(steps))


def key_in_words(path: str) -> Markup:
    """A key of the file for a reader who has no file before them."""
    said = path_in_words(path)
    return escape(said) if said else path_words(path)


def whole_working(
    done: Completed, wrapped: Callable[[str, Sequence[Step], Markup], Markup]
) -> tuple[list[Markup], Markup]:
    """Every part of a working on one page, each `wrapped` with its title and its steps, which link
    to those they rest on; and the sources of all. Keys are told in words.
    """
    workings, installation = done.case.workings, done.installation

    def link(name: str) -> Markup | None:
        step_id, _, of = name.partition(" ")
        step = workings.find(step_id, of)
        return (
            tag("a", with_spoken_terminals(step.title), href=f"#{step_identity(step)}")
            if step
            else None
        )

    around = AroundWorking(installation.name, link, notes_of(done), key_in_words)
    parts = [
        wrapped(part_title(of, installation), steps, part_html(steps, around))
        for of, steps in parts_of_working(workings)
    ]
    cited = (each for step in workings for each in (step.source, *(r.source for r in step.rows)))
    return parts, sources_html(cited)


def _is_one(step: Step) -> bool:
    """A factor that corrects nothing: why it does not is all there is to say."""
    return step.kind == "fact" and not step.unit and step.value == 1 and "-factor-" in step.id


def step_html(
    step: Step,
    under: Sequence[Step],
    around: AroundWorking,
    ones: frozenset[str] = frozenset(),
) -> Markup:
    """One step, complete.

    Factors of one (`ones`) stand in its formula, and once where they come from; no list repeats
    them.
    """
    kind = tag("span", _KINDS[step.kind], class_="kind")
    return tag(
        "section",
        tag(
            "h3",
            tag(
                "span",
                with_spoken_terminals(step.title),
                " ",
                kind,
                assumed_mark(step),
                class_="step-title",
            ),
            " ",
            tag("span", _equals(step), figure_html(step, around.name), class_="step-result"),
        ),
        _written(step),
        _missing(step, around),
        _band(step),
        tag("p", sentence(in_trade_words(step.note)), class_="note") if step.note else "",
        figures_put_in_html(under, around) if under else "",
        rows_html(step.rows, around.notes),
        _rejected(step),
        _foot(step, under, around, ones),
        class_="step",
        id=step_identity(step),
    )


def step_identity(step: Step) -> str:
    """The id of a step on its page."""
    return html_identity("step", step.id, step.of)


def figures_put_in_html(steps: Sequence[Step], around: AroundWorking) -> Markup:
    """The given and tabulated figures of one formula, each with where it comes from."""
    items = joined(
        tag(
            "li",
            _equals(step),
            figure_html(step, around.name),
            assumed_mark(step),
            f" {with_spoken_terminals(step.title)} ",
            tag("span", where_from(step, around), class_="cite"),
            class_="step",
            id=step_identity(step),
        )
        for step in steps
    )
    return tag("ul", items, class_="put-in")


def rows_html(rows: Iterable[RowRead], notes: ReaderNotes) -> Markup:
    """Table rows a step rests on."""
    return joined(
        tag(
            "p",
            "Row read: ",
            _row_words(row),
            ", ",
            _amount(row),
            ". ",
            sentence(citation_html(row.source, row.edition, row.standing, notes)),
            class_="cite",
        )
        for row in rows
    )


def where_from(step: Step, around: AroundWorking) -> Markup:
    """What to ask for where it is missing; else the rows read, or source and keys, and its note."""
    notes = around.notes
    if step.value is None:
        return Markup("{} {}").format(_ask(step), _keys(step.missing, around))
    lines = [
        f"{_row_words(row)}. "
        + sentence(citation_html(row.source, row.edition, row.standing, notes))
        for row in step.rows
    ]
    if not lines:
        paths = Markup() if _is_one(step) else _keys(step.inputs, around)
        lines = [cited_step(step, notes) + " " + paths]
    return joined([*lines, sentence(in_trade_words(step.note)) if step.note else ""], " ").strip()


def cited_step(step: Step, notes: ReaderNotes) -> Markup:
    """Where a step comes from, as a sentence."""
    return sentence(citation_html(step.source, step.edition, step.standing, notes))


def _row_words(row: RowRead) -> str:
    return f"{table_words(row.table)}: {row_words(row.row)}" if row.table else row.row


def _rejected(step: Step) -> Markup:
    if not step.rejected:
        return Markup()
    cells = [
        (row_words(row.row) if row.table else row.row, sentence(row.because))
        for row in step.rejected
    ]
    table = table_html(("size", "why it was rejected"), cells, "Tried and rejected", "plain rows")
    return details_html(
        f"{counted(len(step.rejected), 'size')} tried and rejected", table, "rejected"
    )


def _written(step: Step) -> Markup:
    if step.figures is None or step.value is None:
        return Markup()
    return tag("div", working_mathml(step), class_="written", tabindex="0")


def _missing(step: Step, around: AroundWorking) -> Markup:
    if step.value is not None:
        return Markup()
    return tag(
        "div",
        tag("p", tag("strong", "Not known."), " ", _ask(step)),
        tag(
            "p",
            "Needed: ",
            _keys(step.missing, around),
            ". A missing figure is never a pass.",
            class_="cite",
        ),
        class_="missing",
    )


def _ask(step: Step) -> Markup:
    if not step.ask:
        return Markup()
    return tag("span", sentence(in_trade_words(step.ask)), class_="ask")


def _keys(names: Iterable[str], around: AroundWorking) -> Markup:
    """The keys among what a step rests on."""
    return joined((around.says_key(name) for name in names if " " not in name), ", ")


_BANDS = {
    "fault-current-at-board": (
        "{low} with impedances added as plain numbers; at most {high}: as the file states, or were"
        " the source wholly reactive. What must break or bear it is compared with {high}."
    )
}
"""What the ends of a band are, where a reader would take one of them for the whole."""


def _band(step: Step) -> Markup:
    if step.low is None or step.high is None:
        return Markup()
    low, high = (
        with_unit(figure_in_formula(float(f"{end:.4g}")), step.unit)
        for end in (step.low, step.high)
    )
    said = _BANDS.get(step.id, "Between {low} and {high}.")
    return tag("p", said.format(low=low, high=high), class_="band")


def assumed_mark(step: Step) -> Markup:
    """Stands beside a figure that rests on something assumed."""
    if not step.assumed:
        return Markup()
    return Markup(' <span class="chip assumed" title="{}">assumed input</span>').format(
        in_trade_words(assumed_words(step.assumed))
    )


def _foot(step: Step, under: Sequence[Step], around: AroundWorking, ones: frozenset[str]) -> Markup:
    link, notes = around.link, around.notes
    if step.kind == "fact" and not step.rows and not any(link(name) for name in step.inputs):
        return tag(
            "p",
            cited_step(step, notes),
            " ",
            _keys(step.inputs, around),
            class_="cite",
        )
    shown = {item.identity for item in under} | ones
    rests_on = [link(name) or around.says_key(name) for name in step.inputs if name not in shown]
    lines = []
    if step.assumed:
        lines.append(
            Markup("Assumed: {}. An assumed figure gives no pass.").format(
                _keys(step.assumed, around)
            )
        )
    if rests_on:
        lines.append(Markup("Rests on: {}.").format(joined(rests_on, ", ")))
    if step.source and not step.rows:
        lines.append(
            sentence("Source: " + citation_html(step.source, step.edition, step.standing, notes))
        )
    return tag("p", tag("br").join(lines), class_="cite") if lines else Markup()


def symbol_html(step: Step) -> Markup:
    """The symbol in a line of text: quantity in italic, a word below it upright."""
    return symbol_markup(step.symbol) if step.symbol else Markup()


def symbol_markup(symbol: str) -> Markup:
    """The same of any symbol of a formula."""
    letter, below = symbol_parts(symbol)
    return tag("var", letter, tag("sub", below) if below else "")


def _equals(step: Step) -> Markup:
    return (
        Markup("{} = ").format(symbol_html(step))
        if step.symbol and step.value is not None
        else Markup()
    )


def _amount(row: RowRead) -> Markup:
    text = with_unit(figure_in_formula(row.value), row.unit)
    return tag("data", text, class_="read", value=full(row.value))
