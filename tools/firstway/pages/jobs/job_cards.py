"""Pages: the jobs as cards, and the installations that cannot be worked yet."""

from __future__ import annotations

from html import escape

from firstway.choosing.completing import Completed
from firstway.pages.jobs.findings_part import summary_html
from firstway.pages.shared.markup import counted, list_html
from firstway.pages.shared.project import Project

_SYSTEM_WORDS = {
    "TN-S": "TN-S",
    "TN-C-S": "TN-C-S (combined earth and neutral in the street)",
    "TT": "TT (own electrode)",
    "grounded": "grounded system",
}


def list_of_jobs(project: Project) -> str:
    """A card for each job.

    The links are relative to the guide's first page or to a page one folder below.
    """
    cards = "".join(job_card(job) for job in project.jobs)
    return f'<div class="cards">{cards}</div>' if cards else "<p>No job yet.</p>"


def job_card(job: Completed) -> str:
    """Title, what it is, and how the checks came out."""
    installation = job.installation
    return (
        f'<a class="card" href="{{root}}jobs/{escape(installation.name)}/index.html">'
        f'<span class="card-title">{escape(installation.title)}</span>'
        f'<span class="card-line">{escape(one_line(job))}</span>{summary_html(job.findings)}</a>'
    )


def one_line(job: Completed) -> str:
    """Supply, number of points and current in one line."""
    installation = job.installation
    supply = installation.supply
    phases = "three phases" if supply.phases == 3 else "one phase"
    points = counted(len(installation.charging_points), "charging point")
    return f"{_SYSTEM_WORDS.get(str(supply.system), str(supply.system))}, {phases}, {points}"


def list_of_left_out(project: Project) -> str:
    """Installations that were read but cannot be worked yet, and why."""
    if not project.left_out:
        return "<p>None.</p>"
    return list_html(
        f"<strong>{escape(item.title)}</strong>: {escape(item.why)}" for item in project.left_out
    )
