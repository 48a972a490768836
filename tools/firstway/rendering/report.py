"""Rendering: the working and the findings of one installation for a terminal, and the same as plain data."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from firstway.checks.finding import LEVELS, Finding
from firstway.choosing.completing import Completed
from firstway.rendering.caution import caution_line
from firstway.rendering.figures import figure_in_formula, finding_amount, same_words, with_unit
from firstway.rendering.plain import formula_text, working_text
from firstway.workings.step import RowRead, Step


def as_data(done: Completed) -> dict[str, Any]:
    """What `--json` prints (DESIGN: installation, rules, edition, caution, steps, findings)."""
    installation = done.installation
    return {
        "installation": installation.name,
        "rules": installation.rules,
        "edition": installation.edition,
        "caution": caution_line(installation.edition),
        "steps": [_step_data(step) for step in done.case.workings],
        "findings": [vars(finding) for finding in done.findings],
    }


def _step_data(step: Step) -> dict[str, Any]:
    return {
        "id": step.id, "of": step.of, "title": step.title, "symbol": step.symbol, "value": step.value,
        "low": step.low, "high": step.high, "unit": step.unit, "kind": step.kind, "inputs": list(step.inputs),
        "source": step.source, "edition": step.edition, "standing": step.standing,
        "formula": formula_text(step.figures.formula) if step.figures else None,
        "figures": dict(step.figures.values) if step.figures else None,
        "working": working_text(step), "rows": [vars(row) for row in step.rows],
        "rejected": [vars(row) for row in step.rejected], "assumed": list(step.assumed),
        "missing": list(step.missing), "ask": step.ask, "note": step.note,
    }


def work_text(done: Completed) -> str:
    """The whole working, part by part."""
    lines = [done.installation.title, caution_line(done.installation.edition)]
    for of, steps in groupby(done.case.workings, key=lambda step: step.of):
        lines += ["", of]
        for step in steps:
            lines += _step_lines(step)
    return "\n".join(lines) + "\n"


def _step_lines(step: Step) -> list[str]:
    lines = [f"  {step.title} [{step.id}]", f"      {working_text(step)}"]
    if step.value is None:
        lines.append(f"      not known: {step.ask or 'an input is missing'} ({', '.join(step.missing)})")
    lines += [f"      row: {_row(row)}" for row in step.rows]
    lines += [f"      rejected: {row.row}: {row.because}" for row in step.rejected]
    if step.assumed:
        lines.append(f"      assumed: {', '.join(step.assumed)}")
    if step.note:
        lines.append(f"      {step.note}")
    source = ", ".join(part for part in (step.source, step.edition, step.standing) if part)
    return [*lines, f"      source: {source}"]


def _row(row: RowRead) -> str:
    about = f" ({row.because})" if row.because else ""
    return f"{with_unit(figure_in_formula(row.value), row.unit)} from {row.table}: {row.row}; {row.standing}{about}"


def findings_text(done: Completed) -> str:
    """Every finding, the gravest first, and a line that counts them."""
    lines = [f"{done.installation.file}: {done.installation.title}", caution_line(done.installation.edition)]
    lines += [_finding_line(finding) for finding in done.findings]
    counts = ", ".join(f"{sum(finding.level == level for finding in done.findings)} {level}" for level in LEVELS)
    return "\n".join([*lines, counts]) + "\n"


def _finding_line(finding: Finding) -> str:
    evidence = ""
    compared = finding.limit is not None and not same_words(finding.value, finding.limit)
    if finding.value is not None:
        evidence = f" [{finding_amount(finding, finding.value)}"
        evidence += f" against {finding_amount(finding, finding.limit)}]" if compared else "]"
    source = ", ".join(part for part in (finding.source, finding.edition) if part)
    return f"{finding.level:8}{finding.place}: {finding.message}{evidence} ({finding.id}; {source})"
