"""Checks: every rule of the rule set on one case; the rules are the modules of the folder `rules`."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from pathlib import Path
from types import ModuleType

from firstway.checks.case import Case
from firstway.checks.finding import AS_TOLD, Finding
from firstway.checks.stakes import rank

FOLDER = Path(__file__).parent / "rules"


@cache
def rules() -> tuple[ModuleType, ...]:
    """The rule modules, by name."""
    names = sorted(module.name for module in pkgutil.iter_modules([str(FOLDER)]))
    return tuple(importlib.import_module(f"firstway.checks.rules.{name}") for name in names)


def findings_of(case: Case) -> tuple[Finding, ...]:
    """What every rule of the installation's rule set says, the gravest first (why: stakes)."""
    found = [finding for module in rules() if case.installation.rules in module.RULE.rule_sets
             for finding in module.check(case)]
    return tuple(sorted(found, key=_what_decides))


def _what_decides(finding: Finding) -> tuple[object, ...]:
    return AS_TOLD.index(finding.level), rank(finding.id), finding.id, finding.of, finding.place
