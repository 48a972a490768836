"""Checks: what a rule states of itself, and how it words a finding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterable

from firstway.checks.case import Case
from firstway.checks.finding import Finding, Level
from firstway.model.nec_words import in_nec_words
from firstway.workings.step import Step

CONFIRM = "as of A3:2024, confirm in the current book"
NOT_SEEN_IN = "2018+A4:2026"


def assumed_words(paths: Iterable[str]) -> str:
    """What is assumed, in few words.

    >>> assumed_words(["supply.ze_ohm"]), assumed_words(["rods.soil_ohm_m", "rods.length_m", "rods.rods", "supply.ze_ohm"])
    ('supply.ze_ohm is assumed', '3 figures of rods and supply.ze_ohm are assumed')
    """
    sections: dict[str, list[str]] = {}
    for path in dict.fromkeys(paths):
        sections.setdefault(path.rpartition(".")[0], []).append(path)
    names = [name for section, kept in sections.items()
             for name in ([f"{len(kept)} figures of {section}"] if section and len(kept) > 1 else kept)]
    plural = sum(map(len, sections.values())) > 1
    return f"{', '.join(names[:-1])}{' and ' if len(names) > 1 else ''}{names[-1]} {'are' if plural else 'is'} assumed"


@dataclass(frozen=True)
class Rule:
    """`level` is the worst it can say. `confirm`: its wording in A4:2026 was not seen.
    `unread`: words that follow a verdict where the text itself was known only from what others say of it.

    `rule_sets` are those it speaks of; `edition` is the one it was read in.
    """

    id: str
    title: str
    source: str
    edition: str
    level: Level
    rule_sets: tuple[str, ...] = ("bs7671",)
    confirm: bool = False
    unread: str = ""

    def says(self, case: Case, level: Level, of: str, place: str, message: str, value: float | str | None = None,
             limit: float | str | None = None, unit: str = "") -> Finding:
        """A finding; where the current wording was not seen the message says so."""
        if self.confirm and case.installation.edition == NOT_SEEN_IN and level in ("pass", "fail", "danger"):
            message = f"{message} ({'pass ' if level == 'pass' else ''}{CONFIRM})"
        if self.unread and level in ("pass", "fail", "danger"):
            message = f"{message} ({self.unread})"
        if case.installation.rules == "nec":
            message = in_nec_words(message)
        return Finding(self.id, of, place, level, value, limit, unit, message, self.source, self.edition)

    def does_not_know(self, case: Case, of: str, place: str, ask: str, limit: float | str | None = None, unit: str = "") -> Finding:
        return self.says(case, "unknown", of, place, f"not known: {ask}", None, limit, unit)

    def compares(self, case: Case, value: Step | None, limit: Step | None, place: str, passes: str, fails: str,
                 at_most: bool = True, otherwise: Level = "fail") -> Finding:
        """Value against limit (at most, or at least). A missing or assumed input is unknown, never a pass."""
        assert value is not None and limit is not None, self.id
        for step in (value, limit):
            if step.value is None:
                return self.does_not_know(case, value.of, place, step.ask or "an input is missing", limit.value, limit.unit)
        assert value.value is not None and limit.value is not None
        holds = value.value <= limit.value if at_most else value.value >= limit.value
        assumed = tuple(dict.fromkeys((*value.assumed, *limit.assumed)))
        if holds and assumed:
            return self.says(case, "unknown", value.of, place, f"would pass, but {assumed_words(assumed)}: measure it",
                             value.value, limit.value, value.unit)
        return self.says(case, "pass" if holds else otherwise, value.of, place, passes if holds else fails,
                         value.value, limit.value, value.unit)
