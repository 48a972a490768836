"""Pages: the page of one job, in the order a job is worked: understand, work, judge, fit, test,
hand over.
"""

from collections.abc import Iterable, Mapping, Sequence

from firstway.choosing.completing import Completed
from firstway.drawing.front.words import live_words
from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.model.installation import Installation
from firstway.model.values import Absent, is_known
from firstway.pages.jobs.charts_part import CHARTS_PAGE as CURVES
from firstway.pages.jobs.faults_part import faults_part
from firstway.pages.jobs.fitting_part import handover_part, terminals_table
from firstway.pages.jobs.job_cards import one_line
from firstway.pages.jobs.own_job_page import change_link
from firstway.pages.jobs.passes_page import PASSES
from firstway.pages.jobs.readings_part import READINGS_PAGE as TESTS
from firstway.pages.jobs.readings_part import readings_summary
from firstway.pages.jobs.stages_part import STAGES_PAGE as FITTING
from firstway.pages.jobs.stages_part import fitting_link
from firstway.pages.jobs.surge_part import surge_part
from firstway.pages.jobs.working_pages import key_results_html, pages_list_html
from firstway.pages.shared.markup import inert
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.citing import EDITION_NOTES, RULE_WORDS, notes_of, sources_html
from firstway.rendering.findings import findings_part
from firstway.rendering.html import Markup, caution_html, caution_opening_html, tag

_FRONT_ELSEWHERE = (
    f" [The board's front, to scale]({FITTING}.md#board-front), stands with the stages of fitting."
)


def installation_page(
    completed: Completed,
    drawings: Mapping[str, Drawn],
    with_curves: bool,
    clauses: str,
    wiring: Drawing | None,
    decisions: Sequence[tuple[str, str]] = (),
) -> PageSheet:
    """The page of a complete installation; `with_curves` where it has a page of charts; `drawings`
    by view (`lifelike`, `single-line`, `board`, `wiring`).

    `clauses` links to the clauses to confirm; `wiring` is the wiring drawing as a value, to mark
    places in it; `decisions` are the title and path of each that the job shows.
    """
    installation = completed.installation
    parts: dict[str, Markup] = {
        "about": about_html(completed),
        "caution": caution_html(),
        "caution-opening": caution_opening_html(),
        "findings": findings_part(
            completed.findings, installation, notes_of(completed), f"{PASSES}.html"
        ),
        "faults": faults_part(completed, wiring, drawings.get("wiring")),
        "readings": readings_summary(completed.case),
        "handover": handover_part(installation),
        "sources": sources_part(completed),
        "surge": surge_part(completed),
        "key-results": key_results_html(completed),
        "working-pages": pages_list_html(completed),
    }
    if "board" in drawings:  # a large board's page has no room for front and list
        parts["torque"] = terminals_table(
            installation, _devices(installation), "Terminals and torque, as the makers state them"
        )
    for view, drawn in drawings.items():
        parts[f"drawing-{view}"] = picture_html(drawn)
    front = "" if "board" in drawings else _FRONT_ELSEWHERE
    text = "\n\n".join(
        [
            f"# {inert(installation.title)}",
            part_mark("about"),
            "## The job {#the-job}",
            inert(installation.story) if isinstance(installation.story, str) else "",
            *_decided(decisions),
            part_mark("caution-opening" if "lifelike" in drawings else "caution"),
            *_drawing(
                "## The open board {#open-board}",
                "lifelike",
                drawings,
                (
                    "The board as it is planned, its cover beside it. The drawings below show the"
                    " same plan: flat, to scale, and as a circuit."
                ),
            ),
            *([part_mark("caution")] if "lifelike" in drawings else []),
            *_drawing("## Single-line diagram {#single-line}", "single-line", drawings),
            "## The working {#the-working}",
            (
                "Results are worked from the job's figures and from tables named beside them."
                " [How to read the working](../../reading-the-working.md) explains the"
                " marks. Every step, with formula, rows read and sizes rejected, stands on these"
                " pages:"
            ),
            part_mark("working-pages"),
            *(
                [f"[Curves]({CURVES}.md): when the devices open, and what a longer cable would do."]
                if with_curves
                else []
            ),
            "### What decides the job {#key-results}",
            part_mark("key-results"),
            "## What the checks say {#the-checks}",
            part_mark("findings"),
            "## A fault at every place {#faults}",
            part_mark("faults"),
            *_drawing(
                "## Board front {#board-front}",
                "board",
                drawings,
                (
                    "What hangs where, before any conductor is laid in. Check it against the"
                    " makers' drawings before anything is drilled."
                ),
            ),
            *_drawing(
                "## Wiring {#wiring}",
                "wiring",
                drawings,
                (
                    "Fit only with the supply isolated at its origin, locked off and proved"
                    f" dead. {' '.join(live_words(installation))}{front}"
                    f" {fitting_link(completed)}."
                ).replace("  ", " "),
            ),
            "## A surge at this board {#surge}",
            (
                "One strong surge, run with the cables and leads of this job. [Why surge"
                " protection protects the"
                " vehicle](../../chapters/why-surge-protection-protects-the-vehicle.md) explains"
                " the waves."
            ),
            part_mark("surge"),
            "## Tests and readings {#readings}",
            (
                f"[Every test in its order]({TESTS}.md), with its limit and a field to write in;"
                " what to expect stands apart. Live tests are for skilled persons. A reading"
                " beyond the limit is not to be explained away: find out why."
            ),
            part_mark("readings"),
            "## Terminals and torque {#torque}",
            (
                "Tighten with a calibrated driver to the maker's figure, and record it. Where"
                " the maker states nothing, ask; do not guess. [The stages of"
                f" fitting]({FITTING}.md#stage-torque) say when"
                f"{'' if 'torque' in parts else ', and hold the list'}."
            ),
            *([part_mark("torque")] if "torque" in parts else []),
            "## What to hand over {#handover}",
            part_mark("handover"),
            "## Sources and edition {#sources}",
            clauses,
            part_mark("sources"),
        ]
    )
    return PageSheet(
        f"jobs/{installation.name}/index.md",
        installation.title,
        text + "\n",
        parts,
        _description(installation),
    )


def _decided(decisions: Sequence[tuple[str, str]]) -> list[str]:
    links = ", ".join(f"[{inert(title)}](../../{path})" for title, path in decisions)
    return [f"What is decided here has a page of its own: {links}."] if links else []


def about_html(completed: Completed) -> Markup:
    """The line under the title: what it is, and who the page is for."""
    installation = completed.installation
    return tag(
        "div",
        tag(
            "p",
            f"{one_line(completed)}. Rules asked for: ",
            rules_words(installation),
            ".",
            class_="lead",
        ),
        tag(
            "p",
            (
                "For the installer who works a job like this, and for the trainee who wants to"
                " see why."
            ),
            class_="for",
        ),
        tag("p", change_link(installation.name), class_="change-this-job"),
        class_="about",
    )


def rules_words(installation: Installation) -> str:
    """Rule set and edition as the trade writes them."""
    return (
        f"{RULE_WORDS.get(installation.rules, installation.rules)}, edition {installation.edition}"
    )


def sources_part(completed: Completed) -> Markup:
    """Every source the page rests on, and what the edition means."""
    installation = completed.installation
    note = EDITION_NOTES.get(installation.rules, "")
    return tag(
        "p",
        "The file asks for ",
        rules_words(installation),
        ". Each step and each finding names its edition and how far its source may be relied on. ",
        note,
        class_="edition",
    ) + sources_html(_source_ids(completed))


def _drawing(heading: str, view: str, drawings: Mapping[str, Drawn], before: str = "") -> list[str]:
    if view not in drawings:
        return []
    return [heading, *([before] if before else []), part_mark(f"drawing-{view}")]


def _source_ids(completed: Completed) -> Iterable[str]:
    for step in completed.case.workings:
        yield step.source
        for row in step.rows:
            yield row.source
    for finding in completed.findings:
        yield finding.source


def _description(installation: Installation) -> str:
    story = installation.story if is_known(installation.story) else installation.title
    return " ".join(str(story).split())[:160]


def _devices(installation: Installation) -> tuple[str, ...]:
    """The devices that have terminals, main switch first."""
    switch = installation.board.main_switch
    return (
        *(() if isinstance(switch, Absent) else (switch.name,)),
        *(way.name for way in installation.board.ways if way.device != "blank"),
    )
