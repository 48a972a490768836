"""The file a reader keeps beside an installation: shown as the reader's, beside what is to be
confirmed, and changing no verdict.

That a note changes nothing is our own promise: nothing outside the project proves it. Dates are
those of ISO 8601.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import start
from bs4 import BeautifulSoup
from changing import done

from firstway.checks.running import rules
from firstway.cli import main
from firstway.model.read_copy import ENDING, LONGEST_OWN_WORDS, ReadClause, read_copy_from_yaml
from firstway.pages.made_pages import job_sheets
from firstway.pages.reference.clauses_page import clauses_page, job_clauses_page
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Project
from firstway.rendering.citing import clauses_of_source, note_words
from firstway.rendering.report import findings_text, work_text

NOTE = (
    "- {clause: 534.4.8, edition: 2018+A4:2026, day: 2026-12-02, initials: KP, in_own_words: half a"
    " metre as before}\n"
)
TOLD = "KP read it on 2026-12-02 (534.4.8 in 2018+A4:2026): half a metre as before"


def notes(text: str = NOTE) -> tuple[ReadClause, ...]:
    found, problems = read_copy_from_yaml(text, "x.read-in-my-copy")
    assert problems == []
    return found


@pytest.fixture
def beside(tmp_path: Path) -> Callable[[str], Path]:
    def made(text: str) -> Path:
        path = tmp_path / "marram.yaml"
        shutil.copy(start.ROOT / "diagrams/marram.yaml", path)
        path.with_name(f"marram{ENDING}").write_text(text, encoding="utf-8")
        return path

    return made


def test_a_note__is_read_with_clause_edition_day_initials_and_own_words_or_none() -> None:
    one, two = notes(
        NOTE + "- {clause: Table 54.8, edition: 2018+A4:2026, day: 2026-12-03, initials: KP}\n"
    )
    assert note_words(one) == TOLD
    assert note_words(two) == "KP read it on 2026-12-03 (Table 54.8 in 2018+A4:2026)"


@pytest.mark.parametrize("text", ["", "\n", "# nothing yet\n"])
def test_a_file_in_which_nothing_stands_yet__notes_nothing(text: str) -> None:
    assert notes(text) == ()


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("read: yes\n", 1, "the file must be a list of clauses"),
        ("- 534.4.8\n", 1, "a clause must be keys with values"),
        ("- {edition: 2018, day: 2026-12-02, initials: KP}\n", 1, "'clause' is missing"),
        (NOTE + "- {clause: 443.4.1, edition: 2018, initials: KP}\n", 2, "'day' is missing"),
        (
            NOTE + "- {clause: 443.4.1, edition: 2018, day: 2 December, initials: KP}\n",
            2,
            "'day' is '2 December', not a date",
        ),
        (
            NOTE
            + "- {clause: 443.4.1, edition: 2018, day: 2026-12-02, initials: KP, verdict: pass}\n",
            2,
            "unknown key 'verdict'",
        ),
        (
            NOTE + "- {clause: the one on leads, edition: 2018, day: 2026-12-02, initials: KP}\n",
            2,
            "'the one on leads' is no clause",
        ),
        (
            NOTE.replace("2018+A4:2026", "e" * 41),
            1,
            "the edition is longer than the name of an edition",
        ),
        (NOTE + NOTE, 2, "KP has noted 534.4.8 in 2018+A4:2026 already (line 1)"),
        (
            NOTE.replace("half a metre as before", "x" * (LONGEST_OWN_WORDS + 1)),
            1,
            "the words beside 534.4.8 are too many, or a quotation",
        ),
        (
            NOTE.replace("half a metre as before", "'it says \"leads shall\"'"),
            1,
            "the words beside 534.4.8 are too many, or a quotation",
        ),
    ],
)
def test_a_broken_note__is_told_at_its_line(text: str, line: int, message: str) -> None:
    found, problems = read_copy_from_yaml(text, "marram.read-in-my-copy")
    assert found == ()
    assert [(each.file, each.line, each.message) for each in problems] == [
        ("marram.read-in-my-copy", line, message)
    ]
    assert problems[0].hint


def test_check__shows_the_note_beside_the_clause_and_judges_as_without(
    beside: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    path = beside(NOTE)
    code, text = main(["check", str(path)]), capsys.readouterr().out
    bare = findings_text(done("marram")).splitlines()[2:]
    told = [line for line in text.splitlines() if TOLD in line]
    assert any(
        "(surge-leads; BS 7671 534.4.8" in line and "confirm in the current book" in line
        for line in told
    )
    assert [line.replace(f"; {TOLD}", "") for line in text.splitlines()[2:]] == bare, (
        "nothing but the note differs"
    )
    assert code == main(["check", str(start.ROOT / "diagrams/marram.yaml")])


def test_json__keeps_level_and_standing_and_names_the_note_apart(
    beside: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    main(["check", str(beside(NOTE)), "--json"])
    with_note = json.loads(capsys.readouterr().out)
    main(["check", str(start.ROOT / "diagrams/marram.yaml"), "--json"])
    without = json.loads(capsys.readouterr().out)
    seen = 0
    for part in ("steps", "findings"):
        for one, other in zip(with_note[part], without[part], strict=True):
            found = one.pop("read_in_my_copy", [])
            assert one == other
            assert bool(found) == ("534.4.8" in clauses_of_source(one["source"], "bs7671"))
            seen += len(found)
            for note in found:
                assert note == {
                    "clause": "534.4.8",
                    "edition": "2018+A4:2026",
                    "day": "2026-12-02",
                    "initials": "KP",
                    "in_own_words": "half a metre as before",
                }
    assert seen >= 2, "a finding and a step rest on the clause"


def test_a_broken_note__ends_the_command_with_its_line_and_nothing_printed(
    beside: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    path = beside(NOTE + "- {clause: leads, edition: 2018, day: 2026-12-02, initials: KP}\n")
    assert main(["check", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and f"marram{ENDING}:2: 'leads' is no clause" in err


def test_work__names_the_note_under_the_source_of_a_step() -> None:
    job = done("marram")
    source, clause = next(
        (step.source, clauses[0])
        for step in job.case.workings
        if (clauses := clauses_of_source(step.source, "bs7671"))
    )
    text = work_text(replace(job, read=notes(NOTE.replace("534.4.8", clause))))
    assert re.search(
        rf"source: {re.escape(source)}.*\n      KP read it on 2026-12-02 \({re.escape(clause)} in",
        text,
    )


# ---- pages


def test_pages_of_a_job__show_the_note_as_the_readers_and_never_as_found() -> None:
    job = replace(
        done("marram"),
        read=notes("".join(NOTE.replace("534.4.8", clause) for clause in ("534.4.8", "433.1.1"))),
    )
    guide = Guide(Project(jobs=(job,)))
    with_note, without = (
        "".join(
            "".join(sheet.parts.values())
            for sheet in job_sheets(each, guide)
            if not sheet.path.endswith("clauses.md")
        )
        for each in (job, done("marram"))
    )
    spans = BeautifulSoup(with_note, "html.parser").select("span.reader")
    assert len(spans) >= 4 and all(
        span.text.startswith("KP read it on 2026-12-02 (") for span in spans
    )
    assert re.sub(r'; <span class="reader">.*?</span>', "", with_note) == without, (
        "verdict, level and standing are those without the note"
    )
    assert (
        'from memory, confirm in the current book</span>; <span class="reader">KP read it on'
        " 2026-12-02 (433.1.1" in with_note
    )


def test_the_list_of_a_job__holds_each_clause_its_findings_rest_on_once_and_in_order() -> None:
    job = replace(done("marram"), read=notes(NOTE + NOTE.replace("534.4.8", "799.9")))
    sheet = job_clauses_page(job)
    page = BeautifulSoup(sheet.parts["clauses"], "html.parser")
    listed = [row.th.text for row in page.select("tbody tr")]
    wanted = {
        clause for finding in job.findings for clause in clauses_of_source(finding.source, "bs7671")
    }
    assert wanted and wanted <= set(listed) and len(listed) == len(set(listed))
    numbered = [
        tuple(int(piece) for piece in clause.split("."))
        for clause in listed
        if re.fullmatch(r"[\d.]+", clause)
    ]
    assert numbered == sorted(numbered)
    assert len(page.select("tbody input[type=checkbox]")) == len(listed)
    assert (
        next(row for row in page.select("tbody tr") if row.th.text == "534.4.8")
        .select_one("td .reader")
        .text
        == TOLD
    )
    assert "799.9" in sheet.parts["strays"] and "799.9" not in listed


def test_the_list_of_the_guide__holds_every_clause_a_check_names() -> None:
    sheet = clauses_page(Project(jobs=(done("marram"),)))
    for book in ("bs7671", "iec60364", "nec"):
        page = BeautifulSoup(sheet.parts[f"book-{book}"], "html.parser")
        listed = {row.th.text: row.text for row in page.select("tbody tr")}
        for module in rules():
            if book in module.RULE.rule_sets:
                for clause in clauses_of_source(module.RULE.source, book):
                    assert module.RULE.title in listed[clause] or re.search(
                        r"and \d+ more", listed[clause]
                    ), (clause, module.RULE.id)
    assert "read" not in sheet.parts, (
        "a guide in which nobody noted anything says so by leaving it out"
    )
