"""Rendering: the working and the findings of one installation for a terminal, and the same as plain
data.
"""

from __future__ import annotations

from collections.abc import Collection
from itertools import groupby
from typing import Any

from firstway.checks.questions import MakerQuestion, questions
from firstway.checks.rule import AS_TOLD, Finding
from firstway.checks.stakes import REASON, STAKE_WORDS
from firstway.checks.verdict import verdict_words
from firstway.choosing.completing import Completed
from firstway.rendering.citing import note_data, note_words, notes_of
from firstway.rendering.columns import row_words, table_words
from firstway.rendering.figures import figure_in_formula, finding_amount, same_words, with_unit
from firstway.rendering.formulas import formula_text, working_text
from firstway.rendering.html import caution_line
from firstway.tables.clauses import cited
from firstway.workings.shared.step import RowRead, Step


def as_data(done: Completed, levels: Collection[str] = AS_TOLD) -> dict[str, Any]:
    """What `--json` prints; of the findings those of these levels."""
    installation = done.installation
    return {
        "installation": installation.name,
        "rules": installation.rules,
        "edition": installation.edition,
        "caution": caution_line(installation.edition),
        "steps": [
            _step_data(step) | _noted(step.source, done)
            for step in (*done.case.workings, *done.case.lengths, *done.case.faults)
        ],
        "findings": [
            vars(finding) | _noted(finding.source, done)
            for finding in done.findings
            if finding.level in levels
        ],
    }


def _noted(source: str, done: Completed) -> dict[str, Any]:
    """What a reader noted of the clauses of a source; no key where nothing."""
    notes = notes_of(done).on(source)
    return {"read_in_my_copy": [note_data(note) for note in notes]} if notes else {}


def _noted_words(source: str, done: Completed) -> list[str]:
    return [note_words(note) for note in notes_of(done).on(source)]


def _step_data(step: Step) -> dict[str, Any]:
    return {
        "id": step.id,
        "of": step.of,
        "title": step.title,
        "symbol": step.symbol,
        "value": step.value,
        "low": step.low,
        "high": step.high,
        "unit": step.unit,
        "kind": step.kind,
        "inputs": list(step.inputs),
        "source": step.source,
        "edition": step.edition,
        "standing": step.standing,
        "formula": formula_text(step.figures.formula) if step.figures else None,
        "figures": dict(step.figures.values) if step.figures else None,
        "working": working_text(step),
        "rows": [vars(row) for row in step.rows],
        "rejected": [vars(row) for row in step.rejected],
        "assumed": list(step.assumed),
        "missing": list(step.missing),
        "ask": step.ask,
        "note": step.note,
    }


def work_text(done: Completed) -> str:
    """The whole working, part by part."""
    lines = [done.installation.title, caution_line(done.installation.edition)]
    for of, steps in groupby(done.case.workings, key=lambda step: step.of):
        lines += ["", of]
        for step in steps:
            lines += _step_lines(step, done)
    return "\n".join(lines) + "\n"


def _step_lines(step: Step, done: Completed) -> list[str]:
    lines = [f"  {step.title} [{step.id}]", f"      {working_text(step)}"]
    if step.value is None:
        lines.append(
            f"      not known: {step.ask or 'an input is missing'} ({', '.join(step.missing)})"
        )
    lines += [f"      row: {_row(row)}" for row in step.rows]
    lines += [
        f"      rejected: {row_words(row.row) if row.table else row.row}: {row.because}"
        for row in step.rejected
    ]
    if step.assumed:
        lines.append(f"      assumed: {', '.join(step.assumed)}")
    if step.note:
        lines.append(f"      {step.note}")
    source = cited(step.source, step.edition, step.standing)
    return [
        *lines,
        f"      source: {source}",
        *(f"      {words}" for words in _noted_words(step.source, done)),
    ]


def _row(row: RowRead) -> str:
    about = f" ({row.because})" if row.because else ""
    told = f"from {table_words(row.table)}: {row_words(row.row)}" if row.table else row.row
    return f"{with_unit(figure_in_formula(row.value), row.unit)} {told}; {row.standing}{about}"


def findings_text(done: Completed, levels: Collection[str] = AS_TOLD) -> str:
    """Findings of these levels in the order of what decides; all of them counted, and in words.

    What is not known is one line a device or a question; `--json` keeps each finding.
    """
    every = done.findings
    lines = [
        f"{done.installation.file}: {done.installation.title}",
        caution_line(done.installation.edition),
    ]
    for level in AS_TOLD:
        found = [finding for finding in every if finding.level == level and level in levels]
        if level == "unknown":
            lines += [_question_line(question) for question in questions(found, done.installation)]
        else:
            lines += [_finding_line(finding, done) for finding in found]
    counts = ", ".join(f"{sum(each.level == level for each in every)} {level}" for level in AS_TOLD)
    words = verdict_words(every, done.installation)
    return "\n".join([*lines, order_words(), counts, words]) + "\n"


def order_words() -> str:
    """Why the findings stand as they do."""
    return f"Order: {', '.join(AS_TOLD)}; in each {', then '.join(STAKE_WORDS.values())}: {REASON}."


def _question_line(question: MakerQuestion) -> str:
    asked = f"{', '.join(question.parts)}: {question.text}"
    return f"{'unknown':8}{asked} ({', '.join(question.rules)})"


def _finding_line(finding: Finding, done: Completed) -> str:
    source = cited(finding.source, finding.edition, finding.standing)
    told = "; ".join([finding.id, source, *_noted_words(finding.source, done)])
    return f"{finding.level:8}{finding_words(finding)} ({told})"


def finding_words(finding: Finding) -> str:
    """Place, message and evidence of a finding on one line."""
    evidence = ""
    if finding.value is not None:
        evidence = f" [{finding_amount(finding, finding.value)}"
        if finding.limit is not None and not same_words(finding.value, finding.limit):
            evidence += f" against {finding_amount(finding, finding.limit)}"
        evidence += "]"
    return f"{finding.place}: {finding.message}{evidence}"
