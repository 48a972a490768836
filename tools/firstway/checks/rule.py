"""Checks: what a rule states of itself, how it words a finding, and the one place where figures are
compared.

A rule hands no evidence over. Whatever it read since its turn began, of the installation, of a step
or of the wiring, is what its pass rests on; `says` turns a pass that rests on something assumed
into `unknown`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from firstway.checks.case import Case
from firstway.checks.finding import Finding, Level
from firstway.frozen import dataclass
from firstway.model.evidence import read_so_far, scope
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known
from firstway.tables.clauses import source_of, source_standing

CONFIRM_IN_A4 = "as of A3:2024, confirm in the current book"
NOT_SEEN_IN = "2018+A4:2026"
# Limits are compared unrounded. 0.1 x 3 and 0.3 differ in the last binary digit, as 40 x 0.8 and 32
# may: a thousand-millionth is what arithmetic leaves, and no instrument, table or board knows so
# small a difference.
ARITHMETIC_LEAVES = 1e-9


@dataclass(frozen=True)
class JudgedFigure:
    """A number, or what to measure or whom to ask."""

    value: float | None
    ask: str = ""


def within(value: float, limit: float) -> bool:
    """At most the limit, whatever the last binary digit says."""
    return value <= limit or math.isclose(value, limit, rel_tol=ARITHMETIC_LEAVES)


def if_known(kept: bool, *read: object) -> bool | None:
    """Whether a rule is kept; None where a value of the file that decides it is not known."""
    return kept if all(is_known(each) for each in read) else None


def assumed_words(paths: Iterable[str]) -> str:
    """What is assumed, in few words.

    >>> assumed_words(["supply.ze_ohm"])
    'supply.ze_ohm is assumed'
    >>> assumed_words(["rods.soil_ohm_m", "rods.length_m", "rods.rods", "supply.ze_ohm"])
    '3 figures of rods and supply.ze_ohm are assumed'
    """
    sections: dict[str, list[str]] = {}
    for path in dict.fromkeys(paths):
        sections.setdefault(path.rpartition(".")[0], []).append(path)
    names = [
        name
        for section, kept in sections.items()
        for name in ([f"{len(kept)} figures of {section}"] if section and len(kept) > 1 else kept)
    ]
    plural = sum(map(len, sections.values())) > 1
    return (
        f"{', '.join(names[:-1])}{' and ' if len(names) > 1 else ''}{names[-1]}"
        f" {'are' if plural else 'is'} assumed"
    )


@dataclass(frozen=True)
class Rule:
    """`level` is the worst it can say. `rule_sets` are those it speaks of; `edition` is the one its
    source is cited from.

    `confirm`: it rests on BS 7671 although its source names no clause of it. `unread`: words that
    follow a verdict where the text of A4:2026 was known only from what others say of it. `standing`
    is that of its source where no clause of the rule set and no word of the source tells it.
    """

    id: str
    title: str
    source: str
    edition: str
    level: Level
    rule_sets: tuple[str, ...] = ("bs7671",)
    confirm: bool = False
    unread: str = ""
    standing: str = ""

    @property
    def not_seen_in_a4(self) -> bool:
        """Whether it rests on a wording that A4:2026 may have changed: any but 536.4.202, which is
        told apart by `unread`.
        """
        return self.confirm or ("BS 7671" in self.source and not self.unread)

    def standing_for(self, rule_set: str) -> str:
        """How far its source may be relied on in a job of that rule set."""
        return self.standing or source_standing(self.source, rule_set)

    def says(
        self,
        case: Case,
        level: Level,
        of: str,
        place: str,
        message: str,
        value: float | str | None = None,
        limit: float | str | None = None,
        unit: str = "",
    ) -> Finding:
        """A finding. A pass that rests on something assumed is none."""
        assumed = read_so_far() if level == "pass" else ()
        if assumed:
            level, message = (
                "unknown",
                f"would pass, but {assumed_words(assumed)}: measure it or ask",
            )
        with scope():  # how a finding is worded is no evidence
            message = self._worded(case, level, message)
            if case.installation.rules == "nec":
                message = in_nec_words(message)
                value, limit = (
                    in_nec_words(each) if isinstance(each, str) else each for each in (value, limit)
                )
        return Finding(
            self.id,
            of,
            place,
            level,
            value,
            limit,
            unit,
            message,
            *source_of(self.source, self.edition, case.installation.rules),
            self.standing_for(case.installation.rules),
        )

    def _worded(self, case: Case, level: Level, message: str) -> str:
        """Where the current wording was not seen the message says so."""
        if (
            self.not_seen_in_a4
            and case.installation.edition == NOT_SEEN_IN
            and level in ("pass", "fail", "danger")
        ):
            message = f"{message} ({'pass ' if level == 'pass' else ''}{CONFIRM_IN_A4})"
        if (
            self.unread
            and case.installation.rules == "bs7671"
            and level in ("pass", "fail", "danger")
        ):
            message = f"{message} ({self.unread})"
        return message

    def passes(
        self,
        case: Case,
        of: str,
        place: str,
        message: str,
        value: float | str | None = None,
        limit: float | str | None = None,
        unit: str = "",
    ) -> Finding:
        """A pass; or not known, where something it rests on is assumed."""
        return self.says(case, "pass", of, place, message, value, limit, unit)

    def does_not_know(
        self,
        case: Case,
        of: str,
        place: str,
        ask: str,
        limit: float | str | None = None,
        unit: str = "",
        value: float | str | None = None,
    ) -> Finding:
        return self.says(case, "unknown", of, place, f"not known: {ask}", value, limit, unit)

    def decides(
        self,
        case: Case,
        of: str,
        place: str,
        kept: bool | None,
        *,
        found: float | str,
        wanted: float | str,
        holds: str,
        breaks: str,
        ask: str = "",
        unit: str = "",
        held: float | str | None = None,
    ) -> Finding:
        """A yes, a no, a word or a count; `kept` is None where it is not known.

        A rule that is broken says the worst it can. Where it holds, `wanted` was found, or `held`.
        """
        if kept is None:
            return self.does_not_know(case, of, place, ask, wanted, unit)
        if kept:
            told = wanted if held is None else held
            return self.passes(case, of, place, holds, told, wanted, unit)
        return self.says(case, self.level, of, place, breaks, found, wanted, unit)

    def compares(
        self,
        case: Case,
        of: str,
        place: str,
        value: JudgedFigure,
        limit: JudgedFigure,
        unit: str,
        holds: str,
        breaks: str,
        at_most: bool = True,
        otherwise: Level = "fail",
    ) -> Finding:
        """Value against limit (at most, or at least).

        What is missing never passes, and what is assumed neither.
        """
        for figure in (value, limit):
            if figure.value is None:
                return self.does_not_know(
                    case,
                    of,
                    place,
                    figure.ask or "an input is missing",
                    limit.value,
                    unit,
                    value.value,
                )
        assert value.value is not None and limit.value is not None
        kept = within(value.value, limit.value) if at_most else within(limit.value, value.value)
        return self.says(
            case,
            "pass" if kept else otherwise,
            of,
            place,
            holds if kept else breaks,
            value.value,
            limit.value,
            unit,
        )
