"""Pages: the tests of a job: first a table to write in, then, apart from it, what to expect.

For the installer who tests and the trainee who learns to. What is expected stands nowhere beside an
empty field: whoever reads a figure before measuring writes down what was read.
"""

from firstway.checks.expecting import expected_readings
from firstway.checks.readings_beside import readings_beside
from firstway.checks.rule import Case
from firstway.choosing.completing import Completed
from firstway.drawing.hands.library import drawn_tests
from firstway.drawing.svg import shapes_once
from firstway.pages.shared.hand_picture import hand_picture_html
from firstway.pages.shared.markup import inert
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.pages.shared.state import job_name, ticks_when_seen
from firstway.rendering.html import Markup, caution_html, details_html, joined, tag
from firstway.rendering.readings import beside_html, readings_parts

READINGS_PAGE = "readings"
_APART = (
    "What to expect stands apart from the fields: test first, write down what the instrument shows,"
    " then compare."
)
_DRAWN = (
    "Each test at this job's own board: leads, links, what is off, the reading to expect, and one"
    " that is wrong. They show what is foretold: test first."
)


def readings_page(completed: Completed) -> PageSheet:
    """The page of a job's tests."""
    installation = completed.installation
    parts = {
        "caution": caution_html(),
        **readings_parts(completed.case),
        "hooked-up": _pictures_html(completed),
        "end": ticks_when_seen(job_name(installation.name)),
    }
    text = [
        f"# Tests: {inert(installation.title)}",
        (
            "For the installer who tests this board, and for the trainee who learns what a test"
            " says. The order is that of the rules; the makers' instructions come first where they"
            " differ. [Back to the job](index.md)."
        ),
        part_mark("caution"),
        "## To write in {#fields}",
        _APART,
        part_mark("fields"),
        "## What to expect {#expected}",
        "A reading beyond its limit is not to be explained away: find out why.",
        part_mark("expected"),
        "## How each is hooked up {#hooked-up}",
        _DRAWN,
        part_mark("hooked-up"),
    ]
    if parts["beside"]:
        text += ["## Readings of the file {#beside}", part_mark("beside")]
    text.append(part_mark("end"))
    return PageSheet(
        f"jobs/{installation.name}/{READINGS_PAGE}.md",
        f"Tests: {installation.title}",
        NOT_SEARCHED + "\n\n".join(text) + "\n",
        parts,
        f"The tests of {installation.title} in their order, with limits, fields and expectations.",
    )


def readings_summary(case: Case) -> Markup:
    """For the page of the job: the readings of its file, judged, or that there are none yet."""
    found = beside_html(
        readings_beside(case, expected_readings(case) if case.installation.readings else ())
    )
    return found or tag("p", "No reading stands in the file yet.")


def _pictures_html(completed: Completed) -> Markup:
    """A picture of each test, folded away: they show what the fields are to be filled without."""
    return shapes_once(
        joined(
            details_html(picture.title, hand_picture_html(made, drawn), "picture-of-test")
            for picture, made, drawn in drawn_tests(completed)
        )
    )
