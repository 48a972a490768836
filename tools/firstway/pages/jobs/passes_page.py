"""Pages: every check of a job that passed, with its figures and its source.

There are more than a hundred; on the page of the job they would bury what decides.
"""

from firstway.choosing.completing import Completed
from firstway.pages.shared.markup import inert
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.rendering.citing import notes_of
from firstway.rendering.findings import passes_part
from firstway.rendering.html import caution_fold_html

PASSES = "passes"  # the page of a job that holds them


def passes_page(completed: Completed) -> PageSheet:
    """The page of a job's passes."""
    installation = completed.installation
    parts = {
        "caution": caution_fold_html(),
        "passes": passes_part(completed.findings, notes_of(completed)),
    }
    text = [
        f"# What passes: {inert(installation.title)}",
        (
            "For the installer who is asked what was checked, and for the trainee who wants to see"
            " what a pass rests on. [What does not pass, and what is not"
            " known](index.md#the-checks) decides."
        ),
        part_mark("caution"),
        part_mark("passes"),
    ]
    return PageSheet(
        f"jobs/{installation.name}/{PASSES}.md",
        f"What passes: {installation.title}",
        NOT_SEARCHED + "\n\n".join(text) + "\n",
        parts,
        f"Every check of {installation.title} that passed, with its figures and its source.",
    )
