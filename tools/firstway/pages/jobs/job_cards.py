"""Pages: the jobs as cards, and the installations that cannot be worked yet."""

from firstway.choosing.completing import Completed
from firstway.pages.shared.project import Project, told_of
from firstway.pages.shared.state import job_name, state_of
from firstway.rendering.findings import summary_html
from firstway.rendering.html import Markup, counted, joined, list_html, tag

_SYSTEM_WORDS = {
    "TN-S": "TN-S",
    "TN-C-S": "TN-C-S (combined earth and neutral in the street)",
    "TT": "TT (own electrode)",
    "grounded": "grounded system",
}


def list_of_jobs(project: Project) -> Markup:
    """A card for each job.

    The links are relative to the guide's first page or to a page one folder below.
    """
    cards = joined(map(Markup, told_of(project.jobs, "card", job_card)))
    return tag("div", cards, class_="cards") if cards else tag("p", "No job yet.")


def job_card(job: Completed) -> Markup:
    """Title and what it is. How the checks came out stands where one looks for it: some jobs are
    there to find their faults.
    """
    installation = job.installation
    return tag(
        "a",
        tag("span", installation.title, class_="card-title"),
        tag("span", one_line(job), class_="card-line"),
        state_of(job_name(installation.name), "read"),
        class_="card",
        href=f"{{root}}jobs/{installation.name}/index.html",
    )


def list_of_verdicts(project: Project) -> Markup:
    """How the checks of each job came out, for a page one folder below the first."""
    return list_html(map(Markup, told_of(project.jobs, "verdict", job_verdict)))


def job_verdict(job: Completed) -> Markup:
    """A job's name, and how many findings of each level its checks have."""
    name = job.installation.name
    link = tag("a", job.installation.title, href=f"{{root}}jobs/{name}/index.html#the-checks")
    return link + summary_html(job.findings)


def one_line(job: Completed) -> str:
    """Supply, number of points and current in one line."""
    installation = job.installation
    supply = installation.supply
    phases = "three phases" if supply.phases == 3 else "one phase"
    points = counted(len(installation.charging_points), "charging point")
    return f"{_SYSTEM_WORDS.get(str(supply.system), str(supply.system))}, {phases}, {points}"


def list_of_left_out(project: Project) -> Markup:
    """Installations that were read but cannot be worked yet, and why."""
    if not project.left_out:
        return tag("p", "None.")
    return list_html(
        Markup("<strong>{}</strong>: {}").format(item.title, item.why) for item in project.left_out
    )
