"""Checks: every rule of the rule set on one case; the rules are the modules of the folder
`rules`.
"""

import importlib
import pkgutil
from collections.abc import Collection
from functools import cache
from pathlib import Path
from types import ModuleType

from firstway.checks.rule import AS_TOLD, Case, Finding
from firstway.checks.stakes import rank
from firstway.model.evidence import ground, scope

RULES_FOLDER = Path(__file__).parent / "rules"


@cache
def rules() -> tuple[ModuleType, ...]:
    """The rule modules, by name."""
    return tuple(_rule_module(name) for name in _names())


@cache
def rules_of(rule_set: str) -> tuple[ModuleType, ...]:
    """The rules of one rule set, by name. Those of nec alone are named `nec_...`: no other set
    loads them.
    """
    names = [name for name in _names() if rule_set == "nec" or not name.startswith("nec_")]
    return tuple(module for module in map(_rule_module, names) if rule_set in module.RULE.rule_sets)


@cache
def _names() -> tuple[str, ...]:
    return tuple(sorted(module.name for module in pkgutil.iter_modules([str(RULES_FOLDER)])))


def _rule_module(name: str) -> ModuleType:
    return importlib.import_module(f"firstway.checks.rules.{name}")


def findings_of(
    case: Case, only: Collection[str] | None = None, of: str = ""
) -> tuple[Finding, ...]:
    """What every rule of the installation's rule set says (or only those named), the gravest first
    (why: stakes).

    With `of` only what is said of that part: a rule that has much to work is asked for no more (its
    `check_of`). Each rule looks afresh: what it reads is evidence of its own findings alone.
    """
    found: list[Finding] = []
    with ground():
        wanted = [
            module
            for module in rules_of(case.installation.rules)
            if only is None or module.RULE.id in only
        ]
        for module in wanted:
            with scope():
                about = (
                    module.check_of(case, of)
                    if of and hasattr(module, "check_of")
                    else module.check(case)
                )
                found += (finding for finding in about if of in ("", finding.of))
    # Passes of several conductors that another source takes away ask the same of the same part.
    once = {(*_what_decides(each), each.message): each for each in found}
    return tuple(sorted(once.values(), key=_what_decides))


def _what_decides(finding: Finding) -> tuple[object, ...]:
    return AS_TOLD.index(finding.level), rank(finding.id), finding.id, finding.of, finding.place
