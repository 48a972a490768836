"""Helpers of tests: a shipped installation with a few words of its file changed, read or worked
through.
"""

from __future__ import annotations

from functools import cache

from sampling import DIAGRAMS

from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed, completed
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.problems import Problem

Change = tuple[str, str]


@cache
def text_of(name: str) -> str:
    """The text of a shipped installation file."""
    return (DIAGRAMS / f"{name}.yaml").read_text(encoding="utf-8")


def changed(name: str, *changes: Change) -> str:
    """The text with each (old, new) put in once; a change that finds nothing is a mistake of the
    test.
    """
    text = text_of(name)
    for old, new in changes:
        assert old in text, f"{name}.yaml holds no '{old}'"
        text = text.replace(old, new, 1)
    return text


def installation(name: str, *changes: Change) -> Installation:
    """The changed file, read; it must be a good one."""
    found, problems = installation_from_yaml(changed(name, *changes), f"{name}.yaml", name)
    assert found is not None, "\n".join(str(problem) for problem in problems)
    return found


@cache
def done(name: str, *changes: Change) -> Completed:
    """The changed file, completed, worked and checked."""
    result, problems = completed(installation(name, *changes))
    assert result is not None, "\n".join(str(problem) for problem in problems)
    return result


def refused(name: str, *changes: Change) -> list[Problem]:
    """The problems of completing a file that can be read but not completed."""
    result, problems = completed(installation(name, *changes))
    assert result is None and problems
    return problems


def findings(result: Completed, rule: str) -> tuple[Finding, ...]:
    """What one rule says."""
    return tuple(finding for finding in result.findings if finding.id == rule)
