"""Pages: the answer to each author's directive, or what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from html import escape
from typing import Callable, Iterable

from firstway.drawing.job_charts import heat_chart
from firstway.pages.citing import cited_row, list_of_sources, source_title, standing_words
from firstway.pages.contents_list import list_of_contents
from firstway.pages.findings_part import finding_html
from firstway.pages.guide import VIEWS, Guide
from firstway.pages.listing import list_of_gaps, list_of_jobs, list_of_left_out, list_of_quizzes
from firstway.pages.picture import picture_html
from firstway.pages.surge_part import CHARTS, chart_of
from firstway.pages.surge_try import try_html
from firstway.rendering.caution import caution_html
from firstway.rendering.figures import figure_html, with_unit
from firstway.tables.reading import Row, table, table_names
from firstway.workings.step import Step


SHORT_STANDING = {"from memory": "from memory", "common practice": "common practice", "assumed": "assumed"}


@dataclass(frozen=True)
class Answer:
    """HTML, and the ids of the sources it rests on."""

    html: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Complaint:
    """What is wrong with a directive; the caller knows file and line."""

    message: str
    hint: str


Answering = Callable[[Guide, tuple[str, ...]], "Answer | Complaint"]


def figure(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{figure: INSTALLATION STEP OF}`."""
    if len(arguments) != 3:
        return Complaint("a figure is named by three words", "write {figure: INSTALLATION STEP OF}")
    name, step_id, of = arguments
    step = guide.step(name, step_id, of)
    if step:
        return Answer(figure_html(step, name), _sources_of(step))
    job = guide.job(name)
    if job is None:
        return _unknown("installation", name, _names(guide))
    return _unknown("step", f"{step_id} {of}", [step.identity for step in job.case.workings])


def value(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{value: TABLE COLUMN key=word ... as=UNIT}`."""
    units = [word.removeprefix("as=") for word in arguments if word.startswith("as=")]
    arguments = tuple(word for word in arguments if not word.startswith("as="))
    if len(arguments) < 3 or len(units) > 1:
        return Complaint("a value needs a table, a column and a key", "write {value: TABLE COLUMN key=word as=UNIT}")
    name, column, *keys = arguments
    row = _row(name, keys)
    if isinstance(row, Complaint):
        return row
    if column not in row.cells:
        return _unknown("column", column, row.cells)
    title = f"{name.replace('_', ' ')}: {source_title(row.source)}; {row.edition}; {standing_words(row.standing)}"
    careful = SHORT_STANDING.get(row.standing)
    mark = f' <small class="careful">({careful})</small>' if careful else ""
    return Answer(f'<data class="read" value="{escape(row.text(column))}" data-table="{escape(name)}"'
                  f' data-line="{row.line}" title="{escape(title)}">{escape(with_unit(row.text(column), *units or [""]))}</data>{mark}', (row.source,))


def row_block(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{row: TABLE key=word ...}`."""
    if len(arguments) < 2:
        return Complaint("a row needs a table and a key", "write {row: TABLE key=word}")
    row = _row(arguments[0], list(arguments[1:]))
    return row if isinstance(row, Complaint) else Answer(cited_row(row), (row.source,))


def drawing(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{drawing: INSTALLATION VIEW}`."""
    if len(arguments) != 2:
        return Complaint("a drawing is named by two words", "write {drawing: INSTALLATION VIEW}")
    name, view = arguments
    if guide.job(name) is None:
        return _unknown("installation", name, _names(guide))
    if (name, view) not in guide.drawings:
        return _unknown("view", view, VIEWS)
    return Answer(picture_html(guide.drawings[name, view]))


def finding(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{finding: INSTALLATION ID [OF]}`."""
    if len(arguments) not in (2, 3):
        return Complaint("a finding is named by two or three words", "write {finding: INSTALLATION ID OF}")
    job = guide.job(arguments[0])
    if job is None:
        return _unknown("installation", arguments[0], _names(guide))
    wanted = arguments[1:]
    matching = [item for item in job.findings if (item.id, item.of)[: len(wanted)] == wanted]
    if not matching:
        return _unknown("finding", " ".join(wanted), [f"{item.id} {item.of}" for item in job.findings])
    return Answer("".join(finding_html(item) for item in matching))


def caution(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{caution: work}`."""
    if arguments != ("work",):
        return Complaint("the caution box has one form", "write {caution: work}")
    return Answer(caution_html())


def listing(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{list: WHAT}`."""
    lists: dict[str, Callable[[Guide], str]] = {
        "contents": list_of_contents, "jobs": list_of_jobs, "quizzes": list_of_quizzes, "not-yet": list_of_left_out,
        "sources": lambda _: list_of_sources(), "gaps": lambda _: list_of_gaps()}
    if len(arguments) != 1 or arguments[0] not in lists:
        return _unknown("list", " ".join(arguments), lists)
    return Answer(lists[arguments[0]](guide))


def chart(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{chart: INSTALLATION NAME}`."""
    if len(arguments) != 2:
        return Complaint("a chart is named by two words", "write {chart: INSTALLATION NAME}")
    name, wanted = arguments
    job = guide.job(name)
    if job is None:
        return _unknown("installation", name, _names(guide))
    if wanted not in (*CHARTS, "heat"):
        return _unknown("chart", wanted, (*CHARTS, "heat"))
    drawn = heat_chart(job, f"{name}-heat") if wanted == "heat" else chart_of(job, wanted)
    return Answer(picture_html(drawn)) if drawn else Complaint(f"the figures of this chart are not known in '{name}'", "take another installation")


def try_it(guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{try: INSTALLATION surge}`."""
    if len(arguments) != 2 or arguments[1] != "surge":
        return Complaint("what can be tried is named by two words", "write {try: INSTALLATION surge}")
    job = guide.job(arguments[0])
    if job is None:
        return _unknown("installation", arguments[0], _names(guide))
    html = try_html(job)
    return Answer(html) if html else Complaint(f"the figures of a run are not known in '{arguments[0]}'", "take another installation")


SENTENCES: dict[str, Answering] = {"figure": figure, "value": value}
BLOCKS: dict[str, Answering] = {"row": row_block, "drawing": drawing, "finding": finding, "caution": caution,
                                "list": listing, "chart": chart, "try": try_it}


def _sources_of(step: Step) -> tuple[str, ...]:
    return (step.source, *(row.source for row in step.rows))


def _row(name: str, keys: list[str]) -> Row | Complaint:
    if name not in table_names():
        return _unknown("table", name, table_names())
    pairs = dict(key.partition("=")[::2] for key in keys)
    columns = table(name).columns
    for column in pairs:
        if column not in columns:
            return _unknown("column", column, columns)
    rows = table(name).where(**pairs)
    if len(rows) != 1:
        return Complaint(f"{'no row' if not rows else 'more than one row'} of {name} has {' '.join(keys)}",
                         "give every key of one row")
    return rows[0]


def _unknown(what: str, word: str, known: Iterable[str]) -> Complaint:
    choices = list(known)
    near = get_close_matches(word, choices, 1)
    some = ", ".join(choices[:12]) + (" ..." if len(choices) > 12 else "")
    return Complaint(f"unknown {what} '{word}'", f"did you mean '{near[0]}'?" if near else f"known are: {some}")


def _names(guide: Guide) -> list[str]:
    return [job.installation.name for job in guide.jobs]
