"""Record: the papers of a job as whole pages: one for each sheet, or all of them in one."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from firstway.choosing.completing import Completed
from firstway.drawing.ink import page_stylesheet
from firstway.files.disk import text_of_file
from firstway.files.folders import room_for
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
from firstway.rendering.html import Markup, caution_html, caution_line, joined, tag
from firstway.rendering.policy import policy_html

_LOOK = Path(__file__).with_name("record.css")
_ALL = "all-sheets"


def papers_of(done: Completed) -> dict[str, str]:
    """Each sheet as a page by the name of its file, and one with all sheets of the work, to print
    at once.
    """
    standing = standing_of(done)
    sheets = sheets_of(done, standing)
    before = [site_sheet(done, name) for name in SITE_SHEETS]
    pages = {each.name: _page(done, standing, [each]) for each in (*before, *sheets)}
    pages[_ALL] = _page(done, standing, sheets)
    return {f"{name}.html": page for name, page in pages.items()}


def all_sheets(done: Completed) -> str:
    """The one page with every sheet."""
    return papers_of(done)[f"{_ALL}.html"]


def site_page(done: Completed, name: SiteSheet) -> tuple[Markup, str]:
    """What a survey or an inspection says, and the page of it as `papers_of` has it."""
    sheet = site_sheet(done, name)
    return sheet.body, _page(done, standing_of(done), [sheet])


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


def _page(done: Completed, standing: Standing, sheets: Iterable[RecordSheet]) -> str:
    title = visible(done.installation.title)
    inside = tag("style", Markup("\n" + _style().replace("</", "<\\/")))
    across = tag("div", NOT_ENERGISED, class_="draft-across", aria_hidden="true")
    sheets = list(sheets)
    draft = standing.draft and not all(each.status for each in sheets)
    body = joined([across if draft else "", *(_sheet(done, standing, each) for each in sheets)])
    page = Markup(
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport"'
        ' content="width=device-width, initial-scale=1">\n{}\n<title>{}</title>\n{}\n</head>\n'
        "<body>\n<main>\n{}\n</main>\n</body>\n</html>\n"
    ).format(policy_html(inside), title, inside, body)
    return str(page)


def _sheet(done: Completed, standing: Standing, sheet: RecordSheet) -> Markup:
    installation = done.installation
    draft = standing.draft and not sheet.status
    band = tag("p", sheet.status or status_of(standing), class_="draft-band" if draft else "status")
    return tag(
        "section",
        tag(
            "header",
            tag("h1", installation.title),
            tag("p", f"{sheet.title}. No certificate. {caution_line(installation.edition)}"),
            class_="record-head",
        ),
        band,
        tag("h2", sheet.title),
        caution_html(),
        sheet.body,
        open_lines(standing) if sheet.asked_below else "",
        class_="sheet-of-record",
    )


@lru_cache(maxsize=1)
def _style() -> str:
    text, problems = text_of_file(_LOOK)
    assert not problems, problems
    return page_stylesheet("", lifelike=True) + text
