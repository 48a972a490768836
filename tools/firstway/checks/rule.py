"""Checks: what every rule is written with: the case it looks at, the figures it compares, what it
states of itself and how it words a finding.

A rule hands no evidence over. Whatever it read since its turn began, of the installation, of a step
or of the wiring, is what its pass rests on; `says` turns a pass that rests on something assumed
into `unknown`, and one that was worked with the network alone where another source feeds.
"""

import math
from collections.abc import Iterable, Iterator
from typing import Literal, TypeVar

from firstway.checks.one_source import why_not_worked
from firstway.frozen import dataclass
from firstway.layout.entries import opening_of
from firstway.layout.plan import Layout
from firstway.layout.planning import layout_of
from firstway.model.evidence import Kept, alone, each, note, read_so_far, scope
from firstway.model.installation import Amount, CableOpening, Installation
from firstway.model.nec_words import in_nec_words
from firstway.model.values import Absent, is_known
from firstway.tables.clauses import source_of, source_standing
from firstway.tables.reading import Gap, Read
from firstway.wiring.circuit import States, WiredCircuit, circuit_of
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring
from firstway.wiring.joined_groups import groups, inside, only_conductors
from firstway.workings.shared.book import Choices
from firstway.workings.shared.fault_places import SWEPT, swept
from firstway.workings.shared.laid import LAID, laid_steps
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import Step, Workings
from firstway.workings.shared.sweep import Sweep
from firstway.workings.working_through import workings_of, workings_on_asking

_T = TypeVar("_T")

CONFIRM_IN_A4 = "as of A3:2024, confirm in the current book"
NOT_SEEN_IN = "2018+A4:2026"
# Limits are compared unrounded. 0.1 x 3 and 0.3 differ in the last binary digit, as 40 x 0.8 and 32
# may: a thousand-millionth is what arithmetic leaves, and no instrument, table or board knows so
# small a difference.
ARITHMETIC_LEAVES = 1e-9
SEEN = ("2020", "2023")
AUTHORITY = "local code and the authority having jurisdiction decide"
Level = Literal["danger", "fail", "advice", "pass", "unknown"]
# By gravity of what a rule says; and as told: what is not known decides, advice is weighed.
LEVELS: tuple[Level, ...] = ("danger", "fail", "advice", "unknown", "pass")
AS_TOLD: tuple[Level, ...] = ("danger", "fail", "unknown", "advice", "pass")


@dataclass(frozen=True)
class Finding:
    """`of` is the named part, `place` the device or terminal; value and limit carry `unit`.

    `standing` is how far its source may be relied on: found, from memory, common practice, computed
    or assumed.
    """

    id: str
    of: str
    place: str
    level: Level
    value: float | str | None
    limit: float | str | None
    unit: str
    message: str
    source: str
    edition: str
    standing: str


Findings = Iterator[Finding]
"""What a rule says of a case, one by one."""


class Case(Kept):
    """A complete installation (no size left to choose), and what follows from it: workings,
    wiring and layout, each made when somebody asks, and once.

    Everything here is made apart from what is read around it, and says again at each reading what
    it rests on.
    """

    def __init__(
        self,
        installation: Installation,
        choices: Choices | None = None,
        *,
        workings: Workings | None = None,
        wiring: Wiring | None = None,
    ) -> None:
        self.installation = installation
        self._choices = choices
        super().__init__()
        for key, given in (("workings", workings), ("wiring", wiring)):
            if given is not None:
                self.give(key, given)

    def told(self, choices: Choices) -> "Case":
        """The same installation, with the sizes that were rejected in its workings; what was worked
        of its wiring stays.
        """
        case = Case(self.installation, choices)
        # they hang on what was told, or on this very case
        again = ("workings", "plan", "lengths", "findings", "expected readings")
        case._made = {key: made for key, made in self._made.items() if key not in again}
        return case

    @property
    def workings(self) -> Workings:
        return self.kept(
            "workings", lambda: workings_of(self.installation, self._choices, self.plan)
        )

    def work_on_asking(self) -> None:
        """Work only what is asked for by its name, for one who asks for a few steps."""
        self.kept(
            "workings", lambda: workings_on_asking(self.installation, self._choices, self.plan)
        )

    @property
    def plan(self) -> PlanOfBoard:
        """Wiring and plan of the board, for whatever asks for a place or a length."""
        return self.kept(
            "plan",
            lambda: PlanOfBoard(
                self.installation, lambda: self.wiring, lambda: self.kept("layout", self._laid)
            ),
        )

    def _laid(self) -> Layout:
        return layout_of(self.installation, self.wiring)

    @property
    def layout(self) -> Layout:
        """Where everything of the board lies, in mm: the one plan of all views (LookupError where
        `plan.refused` says why it cannot be laid).

        It notes the assumed keys it rests on; keys of places that are not stated at all are told by
        `layout/stated.py`.
        """
        found = self.plan.layout
        note(*found.rests_on)
        return found

    def opening(self, name: str) -> CableOpening | Absent:
        """What the file states of the opening of the feed, or of a circuit."""
        return opening_of(self.installation, name)

    @property
    def lengths(self) -> Workings:
        """The steps of conductors as they lie; beside the workings, for they are many."""
        return self.kept("lengths", lambda: laid_steps(self.plan, self.workings))

    @property
    def wiring(self) -> Wiring:
        return self.kept("wiring", lambda: wiring_of(self.installation))

    @property
    def circuit(self) -> WiredCircuit:
        """The wiring as an electrical circuit."""
        return self.kept("circuit", lambda: circuit_of(self.installation, self.wiring))

    def joined(
        self,
        states: States = States(),
        conductors_only: bool = False,
        without: tuple[str, ...] = (),
    ) -> dict[str, str]:
        """Each terminal with its group: through closed poles and conductors, or
        conductors alone.
        """
        keep = only_conductors if conductors_only else inside
        return self.kept(
            ("joined", states, conductors_only, without),
            lambda: groups(self.circuit, states, keep, without),
        )

    @property
    def sweep(self) -> Sweep:
        """A fault at every place; each is worked when somebody asks for it, and rests on the links
        that carry it.
        """
        return self.kept("sweep", lambda: alone(lambda: Sweep(self.installation, self.circuit))[0])

    @property
    def faults(self) -> Workings:
        """The steps of the sweep. They stand beside the workings, for they are many."""
        return self.kept("faults", lambda: swept(self.sweep))

    @property
    def edition_year(self) -> int:
        """The edition the file names as adopted (rule set nec)."""
        return int(self.installation.edition)

    @property
    def parts(self) -> tuple[tuple[str, str], ...]:
        """The feed and each circuit, with the device that guards it."""
        job = self.installation
        return (
            ("feed", "feed"),
            *((each.name, job.way_feeding(each.name).name) for each in job.circuits),
        )

    def step(self, step_id: str, of: str) -> Step | None:
        if step_id in LAID:
            return self.workings.find(step_id, of) or self.lengths.find(step_id, of)
        return (self.faults if step_id in SWEPT else self.workings).find(step_id, of)

    def each(self, items: Iterable[_T]) -> Iterator[_T]:
        """Items that a rule judges one by one: a finding about one does not rest on another's keys.

        A loop that adds up over its turns is a plain `for`.
        """
        return each(items)


@dataclass(frozen=True)
class JudgedFigure:
    """A number, or what to measure or whom to ask."""

    value: float | None
    ask: str = ""


def of_file(value: Amount, ask: str) -> JudgedFigure:
    """A number of the installation file."""
    return JudgedFigure(float(value), "") if is_known(value) else JudgedFigure(None, ask)


def of_step(case: Case, step_id: str, of: str, ask: str = "an input is missing") -> JudgedFigure:
    """A number of the working; `ask` serves where the step was not worked."""
    step = case.step(step_id, of)
    if step is None or step.value is None:
        return JudgedFigure(None, (step.ask if step else "") or ask)
    return JudgedFigure(step.value)


def highest_of_step(case: Case, step_id: str, of: str, ask: str) -> JudgedFigure:
    """The upper end of a number's band where it has one: for what must bear the most that
    can come.
    """
    found, step = of_step(case, step_id, of, ask), case.step(step_id, of)
    return (
        found
        if step is None or step.high is None or found.value is None
        else JudgedFigure(step.high)
    )


def of_table(found: Read | Gap) -> JudgedFigure:
    """A number of a table; a gap is not known."""
    return (
        JudgedFigure(None, f"{found.message}: look it up in the current standard")
        if isinstance(found, Gap)
        else JudgedFigure(found.value)
    )


def times(one: JudgedFigure, other: JudgedFigure) -> JudgedFigure:
    """Two figures multiplied; what the first of them asks where it is not known."""
    if one.value is None or other.value is None:
        return JudgedFigure(None, one.ask or other.ask)
    return JudgedFigure(one.value * other.value)


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
        """A finding. A pass that rests on something assumed is none; nor is one that was worked
        with the network alone where another source feeds.
        """
        if level == "pass" and (why := why_not_worked(case.installation, self.id, of, place)):
            level, message = "unknown", f"not known: {why}"
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


@dataclass(frozen=True)
class NecRule(Rule):
    """A rule of rule set nec.

    Where the file's edition is not one whose wording was seen, the finding says so.
    """

    rule_sets: tuple[str, ...] = ("nec",)

    def _worded(self, case: Case, level: Level, message: str) -> str:
        edition = case.installation.edition
        if level in ("pass", "fail", "danger") and edition not in SEEN:
            return (
                f"{message} (read in the {self.edition} edition; confirm in the adopted text of"
                f" {edition})"
            )
        if level == "pass" and edition != self.edition:
            return f"{message} (as of NEC {self.edition}, confirm the adopted edition)"
        return message
