"""Pages: the answer to each author's directive, or what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable

from firstway.pages.chapters.answer import (
    Answer,
    Answering,
    Complaint,
    job_named,
    rows_where,
    sources_of,
    unknown,
)
from firstway.pages.chapters.answering_blocks import (
    chart_block,
    drawing,
    picture_block,
    stages_block,
    step,
    whole_table,
    working,
)
from firstway.pages.chapters.answering_chapter import card, chapter, outcomes, question, quiz
from firstway.pages.chapters.answering_words import (
    SHORT_STANDING,
    clause,
    rule,
    stated_figure,
    term,
)
from firstway.pages.chapters.contents_list import list_of_contents
from firstway.pages.chapters.job_through import job_box
from firstway.pages.chapters.listing import list_of_gaps, list_of_standings
from firstway.pages.chapters.surge_tables import SOURCES_OF_RUNS, SURGE_TABLES, surge_table
from firstway.pages.chapters.surge_try import try_html
from firstway.pages.chapters.ways_in import list_of_cards, list_of_chapters, list_of_decisions
from firstway.pages.chapters.where_you_are import list_of_quizzes, where_you_are
from firstway.pages.jobs.job_cards import list_of_jobs, list_of_left_out
from firstway.pages.jobs.lead_pictures import LEAD_PICTURES, lead_picture
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter
from firstway.pages.shared.provenance import folded
from firstway.rendering.citing import (
    EDITION_NOTES,
    cited_row,
    list_of_sources,
    notes_of,
    source_title,
    standing_words,
)
from firstway.rendering.figures import figure_html, with_unit
from firstway.rendering.findings import finding_html
from firstway.rendering.html import (
    Markup,
    caution_fold_html,
    caution_html,
    caution_opening_html,
    joined,
    tag,
)
from firstway.tables.reading import Row


def figure(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{figure: INSTALLATION STEP OF}`; `reading` is the same of an expected reading."""
    if len(arguments) != 3:
        return Complaint("a figure is named by three words", "write {figure: INSTALLATION STEP OF}")
    name, step_id, of = arguments
    step = guide.project.step(name, step_id, of)
    if step:
        return Answer(figure_html(step, name), sources_of(step))
    job = job_named(guide.project, name)
    if isinstance(job, Complaint):
        return job
    return unknown("step", f"{step_id} {of}", [step.identity for step in job.case.workings])


def value(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{value: TABLE COLUMN key=word ... as=UNIT}`."""
    units = [word.removeprefix("as=") for word in arguments if word.startswith("as=")]
    arguments = tuple(word for word in arguments if not word.startswith("as="))
    if len(arguments) < 3 or len(units) > 1:
        return Complaint(
            "a value needs a table, a column and a key",
            "write {value: TABLE COLUMN key=word as=UNIT}",
        )
    name, column, *keys = arguments
    row = _row(name, keys)
    if isinstance(row, Complaint):
        return row
    if column not in row.cells:
        return unknown("column", column, row.cells)
    title = (
        f"{name.replace('_', ' ')}: {source_title(row.source)}; {row.edition};"
        f" {standing_words(row.standing)}"
    )
    careful = SHORT_STANDING.get(row.standing)
    mark = Markup(' <small class="careful">({})</small>').format(careful) if careful else ""
    return Answer(
        (
            tag(
                "data",
                with_unit(row.text(column), *(units or [""])),
                class_="read",
                value=row.text(column),
                data_table=name,
                data_line=row.line,
                title=title,
            )
            + mark
        ),
        (row.source,),
    )


def row_block(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{row: TABLE key=word ...}`."""
    if len(arguments) < 2:
        return Complaint("a row needs a table and a key", "write {row: TABLE key=word}")
    row = _row(arguments[0], list(arguments[1:]))
    return row if isinstance(row, Complaint) else Answer(cited_row(row), (row.source,))


def finding(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{finding: INSTALLATION ID [OF]}`."""
    if len(arguments) not in (2, 3):
        return Complaint(
            "a finding is named by two or three words", "write {finding: INSTALLATION ID OF}"
        )
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    wanted = arguments[1:]
    matching = [item for item in job.findings if (item.id, item.of)[: len(wanted)] == wanted]
    if not matching:
        return unknown(
            "finding", " ".join(wanted), [f"{item.id} {item.of}" for item in job.findings]
        )
    notes = notes_of(job)
    return Answer(joined(folded(finding_html(item, notes=notes)) for item in matching))


def caution(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{caution: work}`, `first` before a picture that the box stands below, or `line`."""
    if len(arguments) != 1 or arguments[0] not in _CAUTIONS:
        return Complaint(
            "the caution is whole, its first sentence, or one line that opens",
            "write {caution: work}, {caution: first} above it, or {caution: line}",
        )
    return Answer(_CAUTIONS[arguments[0]]())


_CAUTIONS = {"work": caution_html, "first": caution_opening_html, "line": caution_fold_html}


def edition(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{edition: bs7671}`: which edition the rules of a rule set are of, and how sure they are."""
    if len(arguments) != 1 or arguments[0] not in EDITION_NOTES:
        return unknown("rule set", " ".join(arguments), EDITION_NOTES)
    return Answer(
        tag("p", tag("strong", "Edition."), f" {EDITION_NOTES[arguments[0]]}", class_="edition")
    )


def listing(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{list: WHAT}`."""
    lists: dict[str, Callable[[], Markup]] = {
        "contents": lambda: list_of_contents(guide),
        "jobs": lambda: list_of_jobs(guide.project),
        "quizzes": lambda: list_of_quizzes(guide),
        "where-you-are": lambda: where_you_are(guide),
        "not-yet": lambda: list_of_left_out(guide.project),
        "chapters": lambda: list_of_chapters(guide),
        "decisions": lambda: list_of_decisions(guide.project),
        "cards": lambda: list_of_cards(guide.project),
        "sources": list_of_sources,
        "gaps": list_of_gaps,
        "standings": list_of_standings,
    }
    if len(arguments) != 1 or arguments[0] not in lists:
        return unknown("list", " ".join(arguments), lists)
    return Answer(lists[arguments[0]]())


def try_it(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{try: INSTALLATION surge}`."""
    if len(arguments) != 2 or arguments[1] != "surge":
        return Complaint(
            "what can be tried is named by two words", "write {try: INSTALLATION surge}"
        )
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    html = try_html(job)
    return (
        Answer(html)
        if html
        else Complaint(
            f"the figures of a run are not known in '{arguments[0]}'", "take another installation"
        )
    )


def runs_block(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{runs: INSTALLATION NAME}`."""
    if len(arguments) != 2:
        return Complaint("a table of runs is named by two words", "write {runs: INSTALLATION NAME}")
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    if arguments[1] not in SURGE_TABLES:
        return unknown("table of runs", arguments[1], SURGE_TABLES)
    html = surge_table(job, arguments[1])
    return (
        Answer(html, SOURCES_OF_RUNS)
        if html
        else Complaint(
            f"the figures of a run are not known in '{arguments[0]}', or its device is no varistor",
            "take another installation",
        )
    )


def leads_block(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{leads: INSTALLATION NAME}`."""
    if len(arguments) != 2:
        hint = "write {leads: INSTALLATION NAME}"
        return Complaint("a picture of leads is named by two words", hint)
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    if arguments[1] not in LEAD_PICTURES:
        return unknown("picture of leads", arguments[1], tuple(LEAD_PICTURES))
    html = lead_picture(job, arguments[1])
    return (
        Answer(html, SOURCES_OF_RUNS)
        if html
        else Complaint(
            f"the leads of the surge device are not known in '{arguments[0]}'",
            "take another installation",
        )
    )


SENTENCES: dict[str, Answering] = {
    "figure": figure,
    "reading": figure,
    "value": value,
    "stated": stated_figure,
    "clause": clause,
    "term": term,
    "rule": rule,
    "chapter": chapter,
}
BLOCKS: dict[str, Answering] = {
    "row": row_block,
    "table": whole_table,
    "step": step,
    "working": working,
    "drawing": drawing,
    "picture": picture_block,
    "chart": chart_block,
    "finding": finding,
    "caution": caution,
    "edition": edition,
    "list": listing,
    "try": try_it,
    "runs": runs_block,
    "leads": leads_block,
    "stages": stages_block,
    "outcomes": outcomes,
    "question": question,
    "quiz": quiz,
    "job": job_box,
    "card": card,
}


def _row(name: str, keys: list[str]) -> Row | Complaint:
    rows = rows_where(name, keys)
    if isinstance(rows, Complaint):
        return rows
    if len(rows) != 1:
        return Complaint(
            f"{'no row' if not rows else 'more than one row'} of {name} has {' '.join(keys)}",
            "give every key of one row",
        )
    return rows[0]
