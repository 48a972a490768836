"""Pages: the page on which a reader works a job of their own: the frame that its script fills.

What stands in it without the script says what it is for, and where else the same is had.
"""

from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.record.site_sheets import SITE_SHEETS
from firstway.rendering.html import Markup, caution_html, details_html, joined, tag

OWN_JOB = "own-job.md"
OWN_JOB_HTML = "own-job.html"
_VIEWS = (
    ("lifelike", "The open board"),
    ("single-line", "Single-line diagram"),
    ("board", "Board front"),
    ("wiring", "Wiring"),
)
_TEXT = """\
# Your own job {{#own-job}}

For the installer who has a job to work, and for the trainee who asks what a change would do.
Choose a job to begin with, answer what it asks, and read what the checks say: working, checks and
drawings are made in this page, by the program that made the guide.
{{ .lead }}

**Nothing is sent anywhere.** The page asks no network. What you type stays in this window, and goes
when it is closed, unless you save the file or ask for it to be kept on this device.

{caution}

{page}
"""


def own_job_page() -> PageSheet:
    """The page; every place that its script fills bears an id that begins with `own-`."""
    parts = {"caution": caution_html(), "page": _page_html()}
    return PageSheet(
        OWN_JOB,
        "Your own job",
        NOT_SEARCHED + _TEXT.format(**{name: part_mark(name) for name in parts}),
        parts,
        "Change a job or begin one: verdicts, working and drawings in the page, with no network.",
    )


def change_link(name: str) -> Markup:
    """From the page of a job to the same job as the reader's own."""
    return tag("a", "Change this job", href=f"{{root}}{OWN_JOB_HTML}?job={name}")


def _page_html() -> Markup:
    return joined(
        (
            tag("link", rel="stylesheet", href="{root}assets/own-job.css"),
            tag("noscript", tag("p", _NO_SCRIPT, class_="missing")),
            tag("p", _WAITS, id="own-status", role="status"),
            tag(
                "div",
                _begin_html(),
                _verdict_html(),
                _work_html(),
                _told_html(),
                id="own-job-page",
                hidden=True,
            ),
            tag("script", src="{root}assets/engine/about.js", defer=True),
            tag("script", src="{root}assets/own-job.js", defer=True),
        )
    )


_NO_SCRIPT = (
    "This page needs its script, which this browser does not run. The same is had on a command"
    " line: python3 tools/start.py check FILE."
)
_WAITS = "The page is being made ready."
_KEEP = (
    "Keep what I write on this device, in this browser. Whoever uses this browser can then read it."
)


def _button(name: str, words: str) -> Markup:
    return tag("button", words, type="button", id=f"own-{name}", class_="own-button")


def _begin_html() -> Markup:
    jobs = tag("select", id="own-jobs")
    file = tag("input", type="file", id="own-file", accept=".yaml,.yml,text/plain")
    return tag(
        "section",
        tag("h2", "Begin", id="begin"),
        tag(
            "div",
            tag("p", tag("label", "A job of the guide ", jobs), _button("take", "Begin with it")),
            tag("p", tag("label", "A file of yours ", file)),
            tag("p", _button("blank", "Begin a blank job")),
            class_="own-ways",
        ),
        tag(
            "p",
            "A board somebody else fitted, or a survey before anything is ordered: begin a blank"
            " job, then ",
            tag("a", "print what to look at and in which order", href="#own-on-site"),
            ".",
        ),
        tag(
            "p",
            tag("label", tag("input", type="checkbox", id="own-keep"), f" {_KEEP}"),
            " ",
            _button("clear", "Clear what this device keeps"),
            class_="own-kept",
        ),
        aria_labelledby="begin",
    )


def _verdict_html() -> Markup:
    """First of all what the job may not do yet; the form stands below it, all else below that."""
    return tag(
        "section",
        tag("h2", "What follows", id="what-follows"),
        tag("div", id="own-problems"),
        tag("div", id="own-verdict", role="status"),
        tag("div", id="own-changed"),
        tag("p", tag("a", "What the checks say", href="#own-checks"), class_="own-on"),
        aria_labelledby="what-follows",
        id="own-first",
    )


def _work_html() -> Markup:
    return tag(
        "section",
        tag("h2", "The job", id="the-job"),
        tag(
            "p",
            _button("save", "Save the file"),
            " ",
            _button("papers", "Save the papers of this job"),
            " ",
            _button("back", "One step back"),
            class_="own-tools",
        ),
        tag(
            "p",
            "Begin with what you know. What you leave empty is not known, and that is never a pass."
            " A circuit, a device or a part of a route is added, copied or taken out"
            " at the end of its list.",
            class_="explained",
        ),
        tag("div", id="own-form"),
        tag(
            "details",
            tag("summary", "The file as text"),
            tag("label", "The file. Comments and the order of the lines stay.", for_="own-text"),
            tag("textarea", id="own-text", rows=24, spellcheck="false", autocomplete="off"),
            class_="more",
            id="own-as-text",
        ),
        aria_labelledby="the-job",
    )


def _told_html() -> Markup:
    drawings = joined(
        tag(
            "details",
            tag("summary", title),
            tag("div", data_drawing=view, class_="own-drawing"),
            class_="more",
        )
        for view, title in _VIEWS
    )
    return tag(
        "section",
        tag("h2", "What the checks say", id="own-checks"),
        tag("div", id="own-findings"),
        tag("h2", "On site: a board somebody else fitted, a survey", id="own-on-site"),
        tag("p", _ON_SITE, class_="explained"),
        *(_site_sheet(name, title) for name, (title, _) in SITE_SHEETS.items()),
        tag("h2", "What would it take?", id="own-what-it-takes"),
        tag("p", _TRIED, class_="explained"),
        tag(
            "p",
            tag("label", "A finding ", tag("select", id="own-finding")),
            " ",
            _button("needs", "What would it take?"),
            class_="own-entry",
        ),
        tag(
            "p",
            tag("label", "A circuit ", tag("select", id="own-circuit")),
            " ",
            _button("alternatives", "Sizes and methods side by side"),
            class_="own-entry",
        ),
        tag("pre", id="own-tried", class_="own-tried", tabindex=0, hidden=True),
        tag("h2", "The drawings", id="own-drawings"),
        tag("p", _LIVE, class_="explained"),
        drawings,
        tag("h2", "The working", id="own-the-working"),
        details_html("Every step, with formula and source", tag("div", id="own-working"), "own"),
        tag("h2", "Tests and readings", id="own-tests"),
        details_html("Every test in its order", tag("div", id="own-readings"), "own"),
        tag("h2", "A surge at the vehicle", id="own-the-surge"),
        details_html("With the device of the board and without", tag("div", id="own-surge"), "own"),
        aria_labelledby="own-checks",
        id="own-told",
    )


def _site_sheet(name: str, title: str) -> Markup:
    """Folded until somebody asks for it: the program makes it then."""
    save = tag(
        "button", "Save this sheet, to print", type="button", class_="own-button", data_save=name
    )
    sheet = tag("div", data_sheet=name, class_="own-sheet")
    return details_html(title, joined((tag("p", save), sheet)), "own")


_ON_SITE = (
    "What nobody knows yet is a line to fill in, in the order one walks, with who may look and what"
    " it decides; what the file knows stands there with how it is known. Type what was found into"
    " the form above, and the findings follow."
)
_TRIED = (
    "Values that a designer may choose are tried on the whole job; a fact of the site, a"
    " measurement and a maker's word never are. It takes up to a minute, and longer on a phone; a"
    " change of the job ends it."
)
_LIVE = (
    "Fit only with the supply isolated at its origin, locked off and proved dead. Check every"
    " drawing against the makers' before anything is drilled."
)
