"""Pages: the page that lists the jobs."""

from firstway.pages.jobs.job_cards import list_of_jobs, list_of_left_out, list_of_verdicts
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.pages.shared.state import STATE_SCRIPTS
from firstway.rendering.html import details_html

_TEXT = """\
# Jobs

Each job is one file of data. Everything on its page comes from that file: the drawings, every
figure of the working, what the checks say, the expected readings. Some jobs have faults, left in on
purpose: find them before you read what the checks say. [Your own job](../own-job.md): change one of
them, or begin one.

{jobs}

## What the checks say {{#the-checks}}

{verdicts}
"""

_NOT_YET = """
## Read, but not worked yet

These jobs are in the guide's data. Their pages come when their working is complete.

{left_out}
"""


def jobs_page(project: Project) -> PageSheet:
    """All jobs, and those that cannot be worked yet."""
    parts = {
        "jobs": list_of_jobs(project) + STATE_SCRIPTS,
        "verdicts": details_html("How many findings each job has", list_of_verdicts(project)),
        "left-out": list_of_left_out(project),
    }
    text = _TEXT.format(jobs=part_mark("jobs"), verdicts=part_mark("verdicts"))
    if project.left_out:
        text += _NOT_YET.format(left_out=part_mark("left-out"))
    return PageSheet("jobs/index.md", "Jobs", text, parts, "Every job of the guide.")
