"""Pages: every page that is made from data, in the order in which they are listed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from firstway.calculations.adding import added
from firstway.choosing.completing import Completed
from firstway.files.keeping import kept
from firstway.pages.jobs.charts_part import charts_page
from firstway.pages.jobs.installation_page import installation_page
from firstway.pages.jobs.jobs_page import jobs_page
from firstway.pages.jobs.nec_pages import sheet_in_nec_words
from firstway.pages.jobs.own_job_page import own_job_page
from firstway.pages.jobs.passes_page import passes_page
from firstway.pages.jobs.paths_part import paths_page
from firstway.pages.jobs.readings_part import readings_page
from firstway.pages.jobs.stages_part import fitting_page
from firstway.pages.jobs.working_pages import working_pages
from firstway.pages.reference.clauses_page import clauses_link, clauses_page, job_clauses_page
from firstway.pages.reference.colours_page import colours_page
from firstway.pages.reference.glossary_page import glossary_page
from firstway.pages.reference.keys_page import keys_pages
from firstway.pages.reference.mistakes_pages import mistakes_sheets
from firstway.pages.reference.pictures_pages import picture_files, pictures_pages
from firstway.pages.reference.rules_page import rules_pages
from firstway.pages.reference.symbols_page import symbols_page
from firstway.pages.reference.tables_pages import table_files, tables_pages
from firstway.pages.shared.guide import PAGE_VIEWS, Guide
from firstway.pages.shared.sheet import AnySheet, PageSheet, sheet_data
from firstway.pages.tutors.coverage_page import coverage_pages
from firstway.pages.tutors.teaching_page import teaching_page
from firstway.spreading.workers import ONE_PROCESS, Workers

_KEPT = "made-pages"


def made_pages(guide: Guide, by: Workers = ONE_PROCESS) -> list[AnySheet]:
    """Every page made from data; none of what a project has not: outcomes, a glossary."""
    project = guide.project

    def group(name: str, make: Callable[[], list[PageSheet]]) -> list[PageSheet]:
        return kept(
            _KEPT,
            name,
            "",
            make,
            data=lambda sheets: [sheet_data(sheet) for sheet in sheets],
            thing=lambda data: [PageSheet(**each) for each in data],
            stands=guide.stands,
        )

    return [
        *group("jobs", lambda: [jobs_page(project)]),
        *group("own-job", lambda: [own_job_page()]),
        *guide.of_jobs,
        *guide.quizzes,
        *guide.practised,
        *group(
            "mistakes", lambda: mistakes_sheets(project.jobs, project.mistakes, guide.stands, by)
        ),
        *group("drawings", lambda: [symbols_page(), colours_page(project.jobs)]),
        *group("pictures", lambda: pictures_pages(project, guide.stands)),
        *group("rules", rules_pages),
        *group("clauses", lambda: [clauses_page(project)]),
        *group("tables", tables_pages),
        *group("words", lambda: [glossary_page(project)] if project.glossary else []),
        *group("keys", keys_pages),
        *group("teaching", lambda: [teaching_page(project)] if project.outcomes else []),
        *group("coverage", lambda: coverage_pages(project)),
    ]


def made_files(guide: Guide) -> dict[str, str]:
    """Path in the guide and text of every file that is made from data, to be taken away."""
    pictures = kept(
        _KEPT,
        "files of pictures",
        "",
        lambda: dict(picture_files(guide.project, guide.stands)),
        data=lambda made: made,
        thing=lambda data: {str(path): str(text) for path, text in data.items()},
        stands=guide.stands,
    )
    return {**dict(table_files()), **pictures}


MOST_DRAWN = 160_000
"""Characters of drawings on the page of a job."""


def job_sheets(
    job: Completed, guide: Guide, decisions: Sequence[tuple[str, str]] = ()
) -> list[PageSheet]:
    """The page of a job and the pages of its working; `decisions` that it shows: title and path."""
    name = job.installation.name
    drawings = {
        view: guide.drawings[name, view] for view in PAGE_VIEWS if (name, view) in guide.drawings
    }
    # the job's page stays small enough for a phone: where its drawings are large, one of them
    # stands with the stages of fitting
    large = added(len(drawn.svg) for drawn in drawings.values()) > MOST_DRAWN
    moved = drawings.pop("board", None) if large and "wiring" in drawings else None
    fitting = (
        [
            fitting_page(job, moved, guide.boxes.get(name)),
            paths_page(job, drawings["wiring"], guide.layouts.get(name)),
        ]
        if "wiring" in drawings
        else []
    )
    curves = charts_page(job)
    made = [
        installation_page(
            job,
            drawings,
            curves is not None,
            clauses_link(job),
            guide.layouts.get(name),
            decisions,
        ),
        *working_pages(job),
        *fitting,
        readings_page(job),
        passes_page(job),
        job_clauses_page(job),
        *([curves] if curves else []),
    ]
    return (
        [sheet_in_nec_words(sheet) for sheet in made] if job.installation.rules == "nec" else made
    )
