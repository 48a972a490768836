"""Checks: every rule of the rule set on one case; the rules are the modules of the folder `rules`."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from pathlib import Path
from types import ModuleType

from firstway.checks.case import Case
from firstway.checks.finding import LEVELS, Finding

FOLDER = Path(__file__).parent / "rules"


@cache
def rules() -> tuple[ModuleType, ...]:
    """The rule modules, by name."""
    names = sorted(module.name for module in pkgutil.iter_modules([str(FOLDER)]))
    return tuple(importlib.import_module(f"firstway.checks.rules.{name}") for name in names)


def findings_of(case: Case) -> tuple[Finding, ...]:
    """What every rule of the installation's rule set says, the gravest first."""
    found = [finding for module in rules() if case.installation.rules in module.RULE.rule_sets
             for finding in module.check(case)]
    return tuple(sorted(found, key=lambda finding: (LEVELS.index(finding.level), finding.id, finding.of, finding.place)))
