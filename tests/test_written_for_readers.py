"""What a reader sees is written as the trade and the SI write it: signs of units, roots and powers,
and the words of the rule set.

Signs of units and the space before them: SI Brochure (BIPM, 9th edition, 2019), section 5.4.3 and
table 4. That NFPA 70 says panel, ground and utility where BS 7671 says board, earth and distributor
is common knowledge of both trades.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from changing import done
from desk_class import small_class
from sampling import JOBS

from firstway.calculations.every_formula import FORMULAS
from firstway.checks.running import rules
from firstway.choosing.completing import Completed
from firstway.drawing.part_words import opens_words
from firstway.pages.made_pages import job_sheets
from firstway.pages.shared.guide import Guide
from firstway.rendering.columns import column_words, row_words
from firstway.rendering.formulas import formula_text, working_text
from firstway.tables.looking_up import next_rating_up_a
from firstway.tables.reading import sources, table, table_names
from firstway.wiring.deriving import wiring_of

ROOT = Path(__file__).resolve().parents[1]
OF_NEC = [name for name in JOBS if done(name).installation.rules == "nec"]
RAW_UNIT = re.compile(r"(?<![\w.])\d[\d.,]* ?(?:C|[Mmk]?ohm|u[HFs]|k?A2s|m?m2)\b(?![/(])")
RAW_SIGN = re.compile(r"sqrt\(|\^[23]\b|\d x \d")
# True earth, names with a hyphen and file paths apart.
BRITISH = re.compile(
    r"(?<![-\w.])(?<!true )(?:charging"
    r" points?|boards?|rails?|distributor|earth(?:ing|ed)?|tails|metres?|colours?)(?![-\w]|\.\w)"
)


def sentences(job: Completed) -> list[str]:
    steps = [
        text
        for step in (*job.case.workings, *job.case.faults)
        for text in (step.title, step.note, step.ask)
    ]
    return [
        *steps,
        *(str(text) for each in job.findings for text in (each.message, each.value, each.limit)),
    ]


@pytest.mark.parametrize("name", JOBS)
def test_sentences_of_a_job__write_units_as_signs(name: str) -> None:
    job = done(name)
    written = [
        *sentences(job),
        *(row_words(row.row) for step in job.case.workings for row in step.rows),
    ]
    assert [text for text in written if RAW_UNIT.search(text)] == []


@pytest.mark.parametrize("name", JOBS)
def test_workings__write_roots_and_powers_as_signs_and_figures_for_the_eye(name: str) -> None:
    for step in done(name).case.workings:
        line = working_text(step)
        assert not RAW_SIGN.search(line), line
        for figure in re.findall(r"\d+\.\d+", line if step.figures else ""):
            digits = figure.replace(".", "").lstrip("0")
            assert len(digits) <= 4 or line.count(figure) == 1 and f"= {figure}" in line, (
                f"{figure} in {line}"
            )


def test_texts_of_the_data__write_units_as_signs() -> None:
    texts = [text for each in sources().values() for text in (each.title, each.note)]
    texts += [cell for row in table("gaps").rows for cell in row.cells.values()]
    texts += [module.__doc__ or "" for module in rules()] + [
        module.RULE.title for module in rules()
    ]
    texts += [
        text
        for formula in FORMULAS.values()
        for text in (formula.source, formula.valid, formula_text(formula))
    ]
    assert [text for text in texts if RAW_UNIT.search(text) or RAW_SIGN.search(text)] == []


def test_heads_of_tables__are_words_with_signs() -> None:
    for name in table_names():
        for column in table(name).columns:
            words = column_words(column)
            assert "_" not in words and not re.search(r"\b(?:mm2|ohm|csa|uh|ka|ma|kv)\b", words), (
                f"{name}: {words}"
            )


@pytest.mark.parametrize("name", OF_NEC)
def test_sentences_of_a_job_of_nec__use_its_words(name: str) -> None:
    assert [text for text in sentences(done(name)) if BRITISH.search(text)] == []


def test_elsewhere__says_of_marram_what_its_file_states() -> None:
    """The chapter: "the next standard rating above, and the maker of this board lets its devices be
    loaded to their rating".
    """
    job = done("marram")
    text = (ROOT / "content/chapters/elsewhere.md").read_text(encoding="utf-8")
    assert (
        "is the next standard rating above, and the maker of this board\nlets its devices be loaded"
        " to their rating for hours" in text
    )
    assert job.installation.board.assembly.rated_diversity_factor == 1
    rating, set_current = (
        job.case.workings.value(step, "slipway") for step in ("device-rating", "design-current")
    )
    above = next_rating_up_a("rcbo", "IEC 61009-1", set_current or 0)
    assert getattr(above, "value", None) == rating


@pytest.mark.parametrize("name", OF_NEC)
def test_findings_of_a_job_of_nec__cite_its_own_book(name: str) -> None:
    cited = [finding.source for finding in done(name).findings if "NFPA 70" in finding.source]
    assert (
        cited and [source for source in cited if "BS 7671" in source or "IEC 60364" in source] == []
    )


@pytest.mark.parametrize("name", OF_NEC)
def test_pages_of_a_job_of_nec__use_its_words(name: str) -> None:
    for sheet in job_sheets(done(name), Guide()):
        for part, html in sheet.parts.items():
            seen = re.sub(
                r"<svg\b.*?</svg>|<code\b.*?</code>|<script\b.*?</script>",
                "",
                html.replace(".<wbr>", ".x"),
                flags=re.DOTALL,
            )
            texts = re.split(r"<[^>]*>", seen) if part != "caution" else []
            assert [text for text in texts if BRITISH.search(text)] == [], f"{sheet.path}, {part}"


@pytest.mark.parametrize("name, words", [("marram", "opens L+N"), ("sallow", "opens 3L+N")])
def test_drawings__count_the_lines_a_device_opens(name: str, words: str) -> None:
    installation = done(name).installation
    parts = wiring_of(installation).parts
    told = [
        each
        for part in parts
        if part.path.startswith("board.ways")
        for each in opens_words(installation, part)
    ]
    assert words in told


def test_papers__speak_of_no_file(tmp_path: Path) -> None:
    """A learner has a paper and no installation file; the caution box stands there once."""
    made = small_class(tmp_path, "K1")
    page = next((made.out / "paper" / "hand-out").glob("*.html")).read_text(encoding="utf-8")
    assert page.count('class="caution"') == 1 and "Edition of the rules: " in page
    assert "file asks for" not in page and "each finding" not in page


def test_makers_are_never_he() -> None:
    texts = [
        path
        for folder in ("content", "quiz/bank", "diagrams", "tools/firstway")
        for path in (ROOT / folder).rglob("*")
        if path.suffix in (".md", ".yaml", ".py", ".csv")
        and re.search(
            r"(?is)\bmakers?\b.{0,120}\b(?:he|his|him)\b", path.read_text(encoding="utf-8")
        )
    ]
    assert texts == []
