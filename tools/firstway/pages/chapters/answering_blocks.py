"""Pages: the answers to directives alone on their line that show a working, a table or a
drawing.
"""

from __future__ import annotations

import re
from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.choosing.mistaking import made, makable
from firstway.drawing.hands.library import BY_ID, drawn_picture, made_for, made_for_what
from firstway.drawing.job_charts import drop_chart, heat_chart, loop_chart, time_current_chart
from firstway.drawing.lifelike.picture import box_pictured
from firstway.drawing.lifelike.staging import at_stage
from firstway.drawing.marked_places import highlighted
from firstway.drawing.overlays import OVERLAY_KINDS, overlaid, overlay, staged
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.model.values import is_known
from firstway.pages.chapters.answer import (
    Answer,
    Complaint,
    job_named,
    rows_where,
    sources_of,
    unknown,
)
from firstway.pages.jobs.stages_part import ONE_BY_ONE
from firstway.pages.jobs.surge_part import CHARTS, chart_of
from firstway.pages.jobs.working_pages import page_of
from firstway.pages.reference.mistakes_pages import DRAWN_AS
from firstway.pages.shared.guide import PAGE_VIEWS, Guide
from firstway.pages.shared.hand_picture import hand_picture_html, sources_of_picture
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.project import Chapter
from firstway.pages.shared.provenance import folded
from firstway.rendering.citing import citation_html, notes_of
from firstway.rendering.columns import column_words, key_words, table_words
from firstway.rendering.html import Markup, counted, details_html, joined, table_html, tag
from firstway.rendering.spoken_keys import with_spoken_terminals
from firstway.rendering.working import (
    AroundWorking,
    gathered_under,
    part_html,
    parts_of_working,
    step_html,
    step_identity,
)
from firstway.tables.reading import table

CIRCUIT_CHARTS = {"time-current": time_current_chart, "drop": drop_chart, "loop": loop_chart}
LONGEST_TABLE = 40
# What the working of the job holds as well: a chapter's page stays small enough for a phone.
_LEAN = re.compile(
    r' id="[^"]*"|<details class="more rejected">.*?</details>|<p class="cite">.*?</p>| <span'
    r' class="cite">(?:(?!</?span).|<span[^>]*>.*?</span>)*</span>',
    re.DOTALL,
)
LAST = ("edition", "source", "standing")


# ---- the working


def step(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{step: INSTALLATION STEP OF}`."""
    if len(arguments) != 3:
        return Complaint("a step is named by three words", "write {step: INSTALLATION STEP OF}")
    name, step_id, of = arguments
    job = job_named(guide.project, name)
    if isinstance(job, Complaint):
        return job
    wanted = job.case.workings.find(step_id, of)
    if wanted is None:
        return unknown("step", f"{step_id} {of}", [each.identity for each in job.case.workings])
    under = next(
        (under for each, under in gathered_under(job.case.workings.about(of)) if each is wanted), ()
    )
    html = _named(step_html(wanted, under, _around(job)), name)
    if not page.has_sections:  # on a page without sections its title is the next heading above
        html = Markup(re.sub(r"<(/?)h3>", r"<\1h2>", str(html)))
    whole = tag(
        "p",
        tag(
            "a",
            "This step in the whole working",
            href=f"{_address(job, of)}#{step_identity(wanted)}",
        ),
        class_="cite step-whole",
    )
    return Answer(
        folded(html.removesuffix("</section>") + whole + Markup("</section>")),
        tuple(source for each in (wanted, *under) for source in sources_of(each)),
    )


def working(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{working: INSTALLATION OF}`: every step about a circuit, or a part of the job, folded."""
    if len(arguments) != 2:
        return Complaint("a working is named by two words", "write {working: INSTALLATION CIRCUIT}")
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    parts = dict(parts_of_working(job.case.workings))
    if arguments[1] not in parts:
        return unknown("part of the working", arguments[1], parts)
    steps = parts[arguments[1]]
    body = Markup(_LEAN.sub("", str(part_html(steps, _around(job)))))
    body += tag(
        "p",
        tag(
            "a",
            "The same with the source of each step, and the sizes rejected",
            href=_address(job, arguments[1]),
        ),
    )
    html = details_html(
        f"The whole calculation of {arguments[1]}: {counted(len(steps), 'step')}",
        body,
        "whole-working",
    )
    return Answer(html, tuple(source for each in steps for source in sources_of(each)))


def _around(job: Completed) -> AroundWorking:
    def link(name: str) -> str | None:
        step_id, _, of = name.partition(" ")
        found = job.case.workings.find(step_id, of)
        return (
            None
            if found is None
            else tag(
                "a",
                with_spoken_terminals(found.title),
                href=f"{_address(job, of)}#{step_identity(found)}",
            )
        )

    return AroundWorking(job.installation.name, link, notes_of(job))


def _address(job: Completed, of: str) -> str:
    return f"{{root}}jobs/{job.installation.name}/{page_of(of, job.installation)}.html"


def _named(html: Markup, name: str) -> Markup:
    # Two jobs may have steps of one name: on a chapter's page the id begins with the job's.
    return html.replace(' id="step-', Markup(' id="{}-step-').format(name))


# ---- a table


def whole_table(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{table: NAME}`, `{table: NAME where key=word columns=a,b title="What it says"}`."""
    if not arguments:
        return Complaint(
            "a table needs its name",
            "write {table: NAME}, and `where key=word` or `columns=a,b` after it",
        )
    name, *words = arguments
    titles = [word.removeprefix("title=") for word in words if word.startswith("title=")]
    keys = [word for word in words if "=" in word and not word.startswith(("columns=", "title="))]
    wanted = [
        column
        for word in words
        if word.startswith("columns=")
        for column in word.removeprefix("columns=").split(",")
    ]
    if any("=" not in word and word != "where" for word in words):
        return Complaint(
            "after the table come `where key=word` and `columns=a,b`",
            "write {table: NAME where key=word columns=a,b}",
        )
    rows = rows_where(name, keys)
    if isinstance(rows, Complaint):
        return rows
    for column in wanted:
        if column not in table(name).columns:
            return unknown("column", column, table(name).columns)
    if not 0 < len(rows) <= LONGEST_TABLE:
        return Complaint(
            f"{len(rows) or 'no'} rows of {name} have {' '.join(keys) or 'no condition'}",
            f"say which: `where key=word`, at most {LONGEST_TABLE} rows",
        )
    pairs = {key.partition("=")[0] for key in keys}
    own = wanted or [
        column
        for column in table(name).columns
        if column not in (*LAST, *pairs) and any(row.cells[column] for row in rows)
    ]
    cells = [[key_words(row.cells[column]) or "—" for column in own] for row in rows]
    title = (
        titles[0]
        if titles
        else (
            f"{table_words(name)}{': ' if keys else ''}"
            f"{', '.join(key.partition('=')[2] for key in keys)}"
        )
    )
    cited = dict.fromkeys(citation_html(row.source, row.edition, row.standing) for row in rows)
    return Answer(
        tag(
            "figure",
            table_html([column_words(column) for column in own], cells, title, "plain rows"),
            tag("figcaption", joined(cited, "; ")),
            class_="cited",
        ),
        tuple(row.source for row in rows),
    )


# ---- pictures for the hands


def picture_block(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{picture: ID}`, `{picture: ID INSTALLATION NAME}`; with `panel=LETTER` one panel of it,
    narrow, beside what follows.
    """
    panel = next((word[6:] for word in arguments if word.startswith("panel=")), "")
    arguments = tuple(word for word in arguments if not word.startswith("panel="))
    if not arguments or arguments[0] not in BY_ID:
        return unknown("picture", " ".join(arguments[:1]), BY_ID)
    picture, of = BY_ID[arguments[0]], arguments[1:]
    if picture.make is not None and of:
        return Complaint(
            f"the picture '{picture.id}' is made for nothing else",
            f"write {{picture: {picture.id}}}",
        )
    if picture.make is None and len(of) != 2:
        return Complaint(
            f"the picture '{picture.id}' is made for {made_for_what(picture)}",
            f"write {{picture: {picture.id} INSTALLATION NAME}}",
        )
    job = job_named(guide.project, of[0]) if of else None
    if isinstance(job, Complaint):
        return job
    found = drawn_picture(picture, job, of[1] if of else "", panel)
    if isinstance(found, str):
        whole = drawn_picture(picture, job, of[1] if of else "")
        known = ", ".join(made_for(picture, job)) if job else ""
        return Complaint(
            found,
            f"it can be made for: {known or 'nothing here'}"
            if isinstance(whole, str)
            else "name one of them after `panel=`",
        )
    made_as, drawn = found
    html = hand_picture_html(made_as, drawn)
    if panel:
        html = tag("div", html, class_="beside")
    return Answer(html, sources_of_picture(made_as), draws=drawn.id)


# ---- drawings and charts


def drawing(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{drawing: INSTALLATION VIEW}`, for the wiring also `stage=ID`, `overlay=ID` or
    `mistake=NAME` after it.
    """
    options = dict(word.partition("=")[::2] for word in arguments if "=" in word)
    words = [word for word in arguments if "=" not in word]
    if len(words) != 2 or len(options) > 1:
        return Complaint(
            "a drawing is named by two words",
            "write {drawing: INSTALLATION VIEW}, and stage=, overlay= or mistake= after it",
        )
    name, view = words
    if not options and (name, view) in guide.drawings:  # of the job nothing else is asked
        drawn = guide.drawings[name, view]
        return Answer(picture_html(drawn), draws=drawn.id)
    job = job_named(guide.project, name)
    if isinstance(job, Complaint):
        return job
    if (name, view) not in guide.drawings:
        return unknown("view", view, PAGE_VIEWS)
    drawn = guide.drawings[name, view]
    ((option, wanted),) = options.items()
    if option not in ("stage", "overlay", "mistake"):
        return unknown("word of a drawing", option, ("stage", "overlay", "mistake"))
    if view != "wiring":
        return Complaint(
            f"only the wiring is drawn with {option}=",
            f"write {{drawing: {name} wiring {option}={wanted}}}",
        )
    return {"stage": _stage, "overlay": _overlay, "mistake": _mistake}[option](
        guide, job, drawn, wanted
    )


def _stage(guide: Guide, job: Completed, drawn: Drawn, wanted: str) -> Answer | Complaint:
    stages = stages_of(job)
    place = next((place for place, stage in enumerate(stages, 1) if stage.id == wanted), 0)
    if not place:
        return unknown("stage", wanted, [stage.id for stage in stages])
    return _again(staged(guide.layouts[job.installation.name], drawn, stages, place), drawn)


def stages_block(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{stages: INSTALLATION}`: the open board at every stage of fitting, one at a time on a
    screen; each refers to the one drawing.
    """
    if len(arguments) != 1:
        return Complaint("stages are named by their installation", "write {stages: INSTALLATION}")
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    picture, stages = box_pictured(job, f"{arguments[0]}-lifelike"), stages_of(job)
    shown = joined(
        tag("h3", f"{place}. {stage.title}", id=f"stage-{stage.id}")
        + tag("div", picture_html(at_stage(picture, stages, place)), class_="stage")
        for place, stage in enumerate(stages, 1)
    )
    whole = picture.drawn
    return Answer(
        tag("div", shown, class_="stages-alone") + ONE_BY_ONE, refers_to=(whole.id, whole.html)
    )


def _overlay(guide: Guide, job: Completed, drawn: Drawn, wanted: str) -> Answer | Complaint:
    if wanted not in OVERLAY_KINDS:
        return unknown("overlay", wanted, OVERLAY_KINDS)
    found = overlay(job, wanted)
    if found is None:
        return Complaint(
            f"the board of '{job.installation.name}' has no path of this kind",
            "take another installation",
        )
    return _again(overlaid(guide.layouts[job.installation.name], drawn, found), drawn)


def _mistake(guide: Guide, job: Completed, drawn: Drawn, wanted: str) -> Answer | Complaint:
    mistake = next((each for each in guide.project.mistakes if each.name == wanted), None)
    if mistake is None:
        return unknown("mistake", wanted, [each.name for each in guide.project.mistakes])
    bound = next(iter(makable(job, mistake)), None)
    if bound is None:
        return Complaint(
            f"the mistake '{wanted}' cannot be made on '{job.installation.name}'",
            "take another installation",
        )
    layout = wiring_layout(made(job, bound).after)
    after = drawn_from(layout, f"{job.installation.name}-{wanted}")
    changed = [
        str(getattr(change, key))
        for change in bound.wiring
        for key in ("move", "set", "add")
        if is_known(getattr(change, key))
    ]
    marked = highlighted(
        layout,
        after,
        (*DRAWN_AS.get(bound.found_by.place, (bound.found_by.place,)), *changed),
        f"{bound.title}. Marked: {bound.found_by.place}.",
    )
    if marked is None:
        return Answer(picture_html(after), draws=after.id)
    return _again(
        Drawn(
            marked.svg,
            marked.alt,
            marked.width,
            marked.height,
            marked.id,
            f"A mistake, marked: {bound.title}",
        ),
        after,
    )


def _again(again: Drawn, whole: Drawn) -> Answer:
    if "fw-worded" not in again.svg:  # its numbers have their list where it stands alone
        again = replace(again, key=whole.key, besides=whole.besides)
    return Answer(picture_html(again), draws=again.id, refers_to=(whole.id, whole.html))


def unseen_html(svg: Markup) -> Markup:
    """A drawing that is only referred to: it takes no room, and no one meets it twice."""
    return tag("div", svg, class_="unseen", aria_hidden="true")


def chart_block(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{chart: INSTALLATION NAME}`, or `{chart: INSTALLATION NAME CIRCUIT}` for a chart of a
    circuit.
    """
    if len(arguments) not in (2, 3):
        return Complaint(
            "a chart is named by two or three words",
            "write {chart: INSTALLATION NAME}, or {chart: INSTALLATION time-current CIRCUIT}",
        )
    job = job_named(guide.project, arguments[0])
    if isinstance(job, Complaint):
        return job
    wanted, of = arguments[1], arguments[2:]
    if wanted in CIRCUIT_CHARTS:
        circuits = {circuit.name: circuit for circuit in job.installation.circuits}
        if of and of[0] not in circuits:
            return unknown("circuit", of[0], circuits)
        circuit = circuits[of[0]] if of else job.installation.circuits[0]
        drawn = CIRCUIT_CHARTS[wanted](job, circuit, f"{arguments[0]}-{circuit.name}-{wanted}")
    elif wanted in (*CHARTS, "heat") and not of:
        drawn = (
            heat_chart(job, f"{arguments[0]}-heat") if wanted == "heat" else chart_of(job, wanted)
        )
    else:
        return unknown("chart", " ".join(arguments[1:]), (*CHARTS, *CIRCUIT_CHARTS, "heat"))
    if drawn is None:
        return Complaint(
            f"the figures of this chart are not known in '{arguments[0]}'",
            "take another installation",
        )
    return Answer(picture_html(drawn), draws=drawn.id)
