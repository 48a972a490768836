"""Record: the papers of a job as whole pages: one for each sheet, or all of them in one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from firstway.choosing.completing import Completed
from firstway.drawing.ink import page_stylesheet
from firstway.files.disk import text_of_file
from firstway.files.folders import room_for
from firstway.model.installation import Installation
from firstway.problems import Problem, visible
from firstway.record.looking import SiteSheet
from firstway.record.sheets import (
    NAMES,
    NOT_ENERGISED,
    RecordSheet,
    open_lines,
    sheets_of,
    site_sheet,
    status_of,
)
from firstway.record.site_sheets import SITE_SHEETS
from firstway.record.standing import Standing, standing_of
from firstway.rendering.citing import RULE_WORDS, read_as_of
from firstway.rendering.html import Markup, caution_html, caution_line, joined, tag
from firstway.rendering.policy import policy_html

_LOOK = Path(__file__).with_name("record.css")
_ALL = "all-sheets"
_BY_ITSELF = "stands by itself"  # which of how many: one of those for the site
_TO_WRITE = "........................"
_LONGEST_FOOT = 60  # letters of a name at the foot of a printed page


def papers_of(done: Completed) -> dict[str, str]:
    """Each sheet as a page by the name of its file, and one with all sheets of the work, to print
    at once.
    """
    standing = standing_of(done)
    sheets = sheets_of(done, standing)
    numbered = [(each, f"{n} of {len(sheets)}") for n, each in enumerate(sheets, 1)]
    before = [(site_sheet(done, name), _BY_ITSELF) for name in SITE_SHEETS]
    pages = {each.name: _page(done, standing, [(each, n)]) for each, n in (*before, *numbered)}
    pages[_ALL] = _page(done, standing, numbered)
    return {f"{name}.html": page for name, page in pages.items()}


def all_sheets(done: Completed) -> str:
    """The one page with every sheet."""
    return papers_of(done)[f"{_ALL}.html"]


def site_page(done: Completed, name: SiteSheet) -> tuple[Markup, str]:
    """What a survey or an inspection says, and the page of it as `papers_of` has it."""
    sheet = site_sheet(done, name)
    return sheet.body, _page(done, standing_of(done), [(sheet, _BY_ITSELF)])


def write_record(papers: dict[str, str], folder: Path) -> list[Problem]:
    """Write the papers into a folder, whole or not at all. It takes the place of papers written
    there before, for a method must not lie beside a draft; a folder that holds anything else is
    left alone.
    """
    problems = _problems_of(folder)
    if problems:
        return problems
    try:
        with room_for(folder) as room:
            room.fresh.mkdir()
            for name, page in papers.items():
                (room.fresh / name).write_text(page, encoding="utf-8", newline="\n")
            room.put_in_place()
    except OSError as error:
        return [_unwritable(folder, error.strerror or str(error))]
    return []


def _problems_of(folder: Path) -> list[Problem]:
    try:
        found = sorted(path.name for path in folder.iterdir()) if folder.exists() else []
    except OSError as error:
        return [_unwritable(folder, error.strerror or str(error))]
    others = [
        name for name in found if name.removesuffix(".html") not in (*NAMES, *SITE_SHEETS, _ALL)
    ]
    if not others:
        return []
    said = f"the folder holds more than papers of a job: {', '.join(others[:3])}"
    return [Problem(folder.as_posix(), 0, said, "name a new folder")]


def _unwritable(folder: Path, why: str) -> Problem:
    hint = "check the folder and its permissions"
    return Problem(folder.as_posix(), 0, f"the papers cannot be written ({why})", hint)


def _page(done: Completed, standing: Standing, numbered: Sequence[tuple[RecordSheet, str]]) -> str:
    """The sheets, each with its number in words."""
    title = visible(done.installation.title)
    inside = tag("style", Markup("\n" + (_style() + _foot(done)).replace("</", "<\\/")))
    across = tag("div", NOT_ENERGISED, class_="draft-across", aria_hidden="true")
    draft = standing.draft and not all(each.status for each, _ in numbered)
    once = draft and len(numbered) > 1  # a draft goes nowhere: its questions fill pages
    first = numbered[0][1]
    sheets = (
        _sheet(done, standing, each, number, first if once and number != first else "")
        for each, number in numbered
    )
    body = joined([across if draft else "", *sheets])
    page = Markup(
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport"'
        ' content="width=device-width, initial-scale=1">\n{}\n<title>{}</title>\n{}\n</head>\n'
        "<body>\n<main>\n{}\n</main>\n</body>\n</html>\n"
    ).format(policy_html(inside), title, inside, body)
    return str(page)


def _sheet(
    done: Completed, standing: Standing, sheet: RecordSheet, number: str, asked_on: str
) -> Markup:
    """`asked_on`: the sheet on which the questions stand, "" for this one."""
    installation = done.installation
    draft = standing.draft and not sheet.status
    asked = open_lines(standing, asked_on) if sheet.asks else Markup()
    band = tag("p", sheet.status or status_of(standing), class_="draft-band" if draft else "status")
    return tag(
        "section",
        tag(
            "header",
            tag("h1", installation.title),
            _title_block(installation, sheet, number),
            tag("p", f"No certificate. {caution_line(installation.edition)}"),
            class_="record-head",
        ),
        band,
        tag("h2", sheet.title),
        caution_html(),
        asked if sheet.asks_first else "",
        sheet.body,
        "" if sheet.asks_first else asked,
        class_=f"sheet-of-record {sheet.name}",
    )


def _title_block(installation: Installation, sheet: RecordSheet, number: str) -> Markup:
    """What tells one paper from another. Same file, same bytes: so the day of printing is a place
    to write, and no clock is asked.
    """
    rules = RULE_WORDS.get(installation.rules, installation.rules)
    read = read_as_of(installation.rules, installation.edition)
    cells = (
        ("Job", installation.title),
        ("Sheet", f"{number}: {sheet.title}"),
        ("Made from", made_from(installation)),
        ("Rules, edition asked for", f"{rules}, {installation.edition}"),
        *([("Rules read as of", f"{read}; confirm in the current book")] if read else []),
        ("Printed on, by", f"{_TO_WRITE} {_TO_WRITE}"),
    )
    return tag(
        "dl",
        *(tag("div", tag("dt", name), tag("dd", words)) for name, words in cells),
        class_="sheet-block",
    )


def made_from(installation: Installation) -> str:
    """The file of a job and the state it was in: papers of one state bear the same letters. What
    the file says makes them, not how its lines are laid out.
    """
    said = repr(replace(installation, name="", file=""))
    letters = sha256(said.encode()).hexdigest()
    return f"{visible(Path(installation.file).name)}, state {letters[:4]}-{letters[4:8]}"


def _foot(done: Completed) -> str:
    """What stands at the foot of each printed page, where the browser can write there."""
    name = visible(done.installation.title)
    short = name if len(name) <= _LONGEST_FOOT else f"{name[:_LONGEST_FOOT]}..."
    said = _css_text(f"{short}; {made_from(done.installation)}")
    return (
        f"@page {{ @bottom-left {{ content: {said}; }}"
        ' @bottom-right { content: "page " counter(page) " of " counter(pages); } }\n'
    )


def _css_text(words: str) -> str:
    """Words as a string of a style sheet: no sign of them can end it.

    >>> _css_text('a"b')
    '"a\\\\22 b"'
    """
    plain = (each if each.isalnum() and each.isascii() else f"\\{ord(each):x} " for each in words)
    return f'"{"".join(plain)}"'


@lru_cache(maxsize=1)
def _style() -> str:
    text, problems = text_of_file(_LOOK)
    assert not problems, problems
    return page_stylesheet("", lifelike=True) + text
