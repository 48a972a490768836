"""How far a source may be relied on reaches every surface: formula, step, finding, JSON, terminal,
page, desk, bank.

Which clauses were found in documents, and which are held from memory, is `clause_standing.csv`; no
outside reference knows what this project saw. Each test here fails where a surface says more than
that table.
"""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from changing import done
from desk_class import small_class

from firstway.calculations.every_formula import FORMULAS
from firstway.checks.rule import AS_TOLD
from firstway.checks.running import rules
from firstway.pages.chapters.listing import list_of_standings
from firstway.pages.jobs.working_pages import working_pages
from firstway.pages.reference.rules_page import rule_page, rules_pages
from firstway.quiz.shelf import shelf_from
from firstway.rendering.findings import findings_part, passes_part
from firstway.rendering.report import as_data, findings_text, work_text
from firstway.tables.clauses import (
    BOOKS,
    LEAST_LAST,
    NUMBER_NOT_CONFIRMED,
    cited,
    clause_numbers,
    clause_standing,
    least_standing,
    source_standing,
)
from firstway.tables.reading import STANDINGS, standings_counted

ROOT = Path(__file__).resolve().parents[1]
JOBS = ("marram", "tern", "plover", "alder")  # two of BS 7671, one of IEC 60364, one of NFPA 70
NAMES_A_BOOK = re.compile("|".join(BOOKS.values()))


def words_of(html: str) -> str:
    return unescape(re.sub(r"<[^>]+>", "", html))


def book_of(piece: str) -> str:
    return next((key for key, name in BOOKS.items() if name in piece), "")


def test_standings__are_ranked_as_the_tables_name_them() -> None:
    assert sorted(LEAST_LAST) == sorted(STANDINGS)


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_formula__is_no_surer_than_the_clauses_it_names(name: str) -> None:
    formula = FORMULAS[name]
    books = [key for key, book in BOOKS.items() if book in formula.source]
    clauses = [source_standing(formula.source, key) for key in books]
    if (
        "from memory" in clauses
        and "names no" not in formula.source
        and not formula.source.startswith("Ohm's law")
    ):
        assert formula.standing == "from memory"


@pytest.mark.parametrize("name", JOBS)
def test_findings__carry_their_standing_to_json_terminal_and_page(name: str) -> None:
    job = done(name)
    told, page = (
        findings_text(job),
        words_of(findings_part(job.findings, job.installation) + passes_part(job.findings)),
    )
    data = as_data(job)["findings"]
    assert [each["standing"] for each in data] == [
        each.standing for each in job.findings if each.level in AS_TOLD
    ]
    for finding in job.findings:
        assert finding.standing in STANDINGS, finding.id
        if finding.level != "unknown":
            assert f"{cited(finding.source, finding.edition, finding.standing)})" in told, (
                finding.id
            )
        assert finding.source in page
    assert page.count("from memory") >= sum(each.standing == "from memory" for each in job.findings)


@pytest.mark.parametrize(
    "name, rule, standing",
    [
        ("marram", "capacity", "from memory"),
        ("marram", "open-pen-outdoors", "found"),
        ("marram", "surge-first-way", "common practice"),
        ("plover", "surge-ahead-of-residual", "found"),
        ("plover", "capacity", "from memory"),
        ("alder", "nec-own-circuit", "found"),
    ],
)
def test_findings__rest_on_what_was_found_of_their_clauses(
    name: str, rule: str, standing: str
) -> None:
    """722.411.4.1, 534.4.7 and 625.40 were met in documents that quote them; 433.1.1 in none."""
    assert {finding.standing for finding in done(name).findings if finding.id == rule} == {standing}


@pytest.mark.parametrize("name", JOBS)
def test_steps__carry_their_standing_to_json_terminal_and_page(name: str) -> None:
    job = done(name)
    told = work_text(job)
    for step in (*job.case.workings, *job.case.faults):
        if NAMES_A_BOOK.search(step.source) and step.value is not None:
            assert step.standing in STANDINGS, step.identity
    for step in job.case.workings:
        if step.standing:
            assert cited(step.source, step.edition, step.standing) in told, step.identity
    pages = words_of(
        " ".join(part for sheet in working_pages(job) for part in sheet.parts.values())
    )
    assert "from memory, confirm" in pages


def test_rules__say_where_the_number_of_a_clause_was_not_confirmed() -> None:
    for module in rules():
        for number in NUMBER_NOT_CONFIRMED:
            assert (
                number not in module.RULE.source
                or f"{number} (not confirmed)" in module.RULE.source
            ), module.RULE.id


def test_rules_pages__tell_the_standing_of_every_rule() -> None:
    pages = {sheet.path.removesuffix(".md"): sheet.parts["rules"] for sheet in rules_pages()}
    for module in rules():
        for rule_set in module.RULE.rule_sets:
            page = pages[rule_page(module.RULE.id, rule_set)]
            own = page.partition(f'id="rule-{module.RULE.id}"')[2].partition("</section>")[0]
            assert module.RULE.standing_for(rule_set) in words_of(
                own.rpartition('class="cite"')[2]
            ), module.RULE.id


def test_bank__says_of_each_clause_what_the_table_says() -> None:
    """`found in ...` or `from memory` after the clauses they are true of."""
    wrong = []
    for question in shelf_from(ROOT)[0].bank:
        for piece in (question.source or "").split(";"):
            book = book_of(piece) or (
                "bs7671" if re.match(r"\s*(?:Table |Appendix )?\d{3}\.\d", piece) else ""
            )
            numbers = [
                each
                for each in clause_numbers(re.split(r", (?:found|from)", piece)[0])
                if "." in each or each[0] == "A"
            ]
            said = (
                "found" if "found in" in piece else "from memory" if "from memory" in piece else ""
            )
            if (
                book
                and numbers
                and said != least_standing(clause_standing(book, each) for each in numbers)
            ):
                wrong.append(f"{question.id}: {piece.strip()}")
    assert wrong == []


def test_no_page_says_that_a_book_was_read() -> None:
    """The books were not at hand: what is known of them was found in documents that quote them, or
    is from memory.
    """
    pages = [
        ROOT / "README.md",
        *(ROOT / "content").rglob("*.md"),
        *(ROOT / "quiz/bank").glob("*.yaml"),
    ]
    assert [
        page.name
        for page in pages
        if re.search(
            r"\bread in (?:BS|IEC|NFPA|20\d\d|A\d)|\bedition it was read",
            page.read_text(encoding="utf-8"),
        )
    ] == []


def test_readme__counts_as_the_tables_do() -> None:
    """Rounded: within 5 % or 15 rows.

    The page about the guide has the exact figures, made while it is built.
    """
    counted = standings_counted()
    said = re.search(
        r"some ([\d,]+) rows of the tables ([\d,]+) are from memory, ([\d,]+) found in a source,"
        r" ([\d,]+) computed"
        r" from a published formula, ([\d,]+) assumed, ([\d,]+) common practice",
        (ROOT / "README.md").read_text(encoding="utf-8"),
    )
    assert said is not None
    of = ("from memory", "found", "computed", "assumed", "common practice")
    for told, rows in zip(
        said.groups(), (counted.total(), *(counted[each] for each in of)), strict=True
    ):
        assert int(told.replace(",", "")) == pytest.approx(rows, rel=0.05, abs=15), (
            f"{told}: there are {rows}; {dict(counted)}"
        )
    assert f"<td>{counted['found']}</td>" in list_of_standings().replace(' class="number"', "")


def test_desk__tells_the_standing_in_scheme_and_feedback(tmp_path: Path) -> None:
    made = small_class(tmp_path, "K1")
    made.hand_in(made.key, "K1")
    assert made.mark() == 0
    pages = [
        next(made.desk.glob("*scheme*.html")),
        next((made.out / "marked" / "feedback").glob("*.html")),
    ]
    for page in pages:
        sources = re.findall(r"^Source: [^<\n]*", page.read_text(encoding="utf-8"), re.MULTILINE)
        assert sources and all(line.rsplit(", ", 1)[-1] in STANDINGS for line in sources), (
            page.name,
            sources,
        )
