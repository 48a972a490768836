"""Choosing: what it would take that a finding passes: values a designer may choose, one key at a
time, then two; or what to measure, whom to ask, or why to stop.

Each proposal is the whole job changed so, worked and checked: it is shown only where the finding
passes and no other finding is worse than it was, nor new and no pass. What was read on the board as
it was says nothing of one that is changed: readings of the file are left out, before and after.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, islice
from typing import Any, Literal

from firstway.checks.questions import OUTSIDE, questions
from firstway.checks.rule import AS_TOLD, Case, Finding
from firstway.checks.running import findings_of
from firstway.choosing.completing import Completed, chosen_case, completed
from firstway.choosing.designers_keys import (
    ON_THE_BAR,
    DesignersKey,
    Tries,
    designers_keys,
    of_another_thing,
    places_to_try,
    tries_of,
)
from firstway.choosing.moving import moved_to
from firstway.choosing.trials import Trials, to_the_end
from firstway.files.plain_values import suggestion
from firstway.files.yaml_reader import Text
from firstway.frozen import dataclass
from firstway.model.agreement import disagreements
from firstway.model.installation import Installation
from firstway.model.mistakes import with_key
from firstway.model.reading import installation_from_yaml
from firstway.model.values import Absent, Placed
from firstway.problems import Problem, visible
from firstway.workings.surge.leads import LEAD_SIDES

MOST_PAIRS = 600
"""Pairs of values that are tried where no value alone serves: some 20 s of one core."""
MOST_EASED = 30
"""Whole checks that are made of values that only make the finding less grave."""
MOST_WHOLE = 250
"""Whole checks that are made of values, or of pairs, that make the finding pass."""
NeedAnswer = Literal["choose", "measure", "ask", "stop"]
_Progress = Callable[[str], None]
_Key = tuple[str, str, str]


@dataclass(frozen=True)
class FindingName:
    """A finding as a user names it; without a place all that its rule says of that part."""

    id: str
    of: str
    place: str

    def meets(self, finding: Finding) -> bool:
        """Whether it is named."""
        return (finding.id, finding.of) == (self.id, self.of) and self.place in ("", finding.place)


@dataclass(frozen=True)
class ChangedKey:
    """A key with what it says now and what it would say; `place:DEVICE` is a place on the bar."""

    key: str
    now: str
    then: str


@dataclass(frozen=True)
class Proposal:
    """Changes of the job; `said` is what the rule then says, `worsens` what else is made worse.

    `read_anew` are keys that the maker of a changed thing states: another thing has others.
    `not_judged` are findings that then have nothing to judge.
    """

    changes: tuple[ChangedKey, ...]
    said: tuple[Finding, ...]
    worsens: tuple[Finding, ...]
    not_judged: tuple[Finding, ...]
    read_anew: tuple[str, ...]


@dataclass(frozen=True)
class Needs:
    """What it would take. `proposals` where the answer is to choose; `refused` make it pass too,
    but something else worse; `eased` are told where nothing makes it pass: with them it is less
    grave, and nothing else worse.

    `reason` says what to measure, whom to ask, or why to stop. `keys` and `values` were tried one
    at a time, `pairs` two at a time; `pairs_left` were not, for there are too many; `unjudged`
    would make it pass but were not checked whole. `readings` of the file were left out.
    """

    installation: Installation
    findings: tuple[Finding, ...]
    answer: NeedAnswer
    reason: str
    proposals: tuple[Proposal, ...]
    refused: tuple[Proposal, ...]
    eased: tuple[Proposal, ...]
    keys: int
    values: int
    pairs: int
    pairs_left: bool
    unjudged: int
    readings: int


def needs_of(
    text: str, file: str, name: str, wanted: str, progress: _Progress = lambda _: None
) -> tuple[Needs | None, list[Problem]]:
    """What it would take that the finding `wanted` (`ID:OF` or `ID:OF@PLACE`) passes, of the text
    of an installation; or all that is wrong with the text or with the name.
    """
    return to_the_end(needs_tried(text, file, name, wanted), progress)


def needs_tried(
    text: str, file: str, name: str, wanted: str
) -> Trials[tuple[Needs | None, list[Problem]]]:
    """The same, value by value."""
    installation, problems = installation_from_yaml(text, file, name)
    if installation is None:
        return None, problems
    job, problems = completed(installation)
    if job is None:
        return None, problems
    named, problems = _named(job, wanted)
    if named is None:
        return None, problems
    found = tuple(each for each in job.findings if named.meets(each) and each.level != "pass")
    bare, problems = _without_readings(installation, job)
    if bare is None:
        return None, problems
    search = _Search(bare.installation, replace(installation, readings=()), bare, named)
    return (yield from search.needs(found, len(installation.readings))), []


def _named(job: Completed, wanted: str) -> tuple[FindingName | None, list[Problem]]:
    """The finding of that name, if it is one that does not pass."""
    say = lambda message, hint: (None, [Problem("finding", 0, message, hint)])
    id_, colon, rest = wanted.partition(":")
    of, _, place = rest.partition("@")
    form = "write ID:OF or ID:OF@PLACE as `check --json` names them"
    if not (id_ and colon and of):
        return say(f"'{visible(wanted)}' names no finding", form)
    named = FindingName(id_, of, place)
    if any(named.meets(each) for each in job.findings):
        if all(each.level == "pass" for each in job.findings if named.meets(each)):
            return say(f"'{visible(wanted)}' passes already", "name one that does not")
        return named, []
    # what `check` prints first is the place: it may stand for the part
    at = dict.fromkeys(
        (each.of, each.place) for each in job.findings if (each.id, each.place) == (id_, of)
    )
    if len(at) == 1 and not place:
        return _named(job, "{}:{}@{}".format(id_, *next(iter(at))))
    ids = dict.fromkeys(each.id for each in job.findings)
    if id_ not in ids:
        return say(f"no check '{visible(id_)}' says anything here", suggestion(id_, ids) or form)
    parts = dict.fromkeys(each.of for each in job.findings if each.id == id_)
    if of not in parts:
        hint = suggestion(of, parts) or f"it speaks of {', '.join(list(parts)[:8])}"
        return say(f"'{id_}' says nothing of '{visible(of)}'", visible(hint))
    places = dict.fromkeys(
        each.place for each in job.findings if (each.id, each.of) == (id_, of) and each.place
    )
    hint = suggestion(place, places) or f"it speaks of {', '.join(list(places)[:8])}"
    return say(f"'{id_}:{of}' says nothing at '{visible(place)}'", visible(hint))


def _without_readings(
    installation: Installation, job: Completed
) -> tuple[Completed | None, list[Problem]]:
    if not installation.readings:
        return job, []
    return completed(replace(installation, readings=()))


# ---- the search


class _Search:
    """Tries on one job. `given` is the installation as the file says it, `bare` that job complete,
    both without readings.
    """

    def __init__(
        self,
        complete: Installation,
        given: Installation,
        bare: Completed,
        named: FindingName,
    ) -> None:
        self._complete, self._given, self._named = complete, given, named
        self._bare = bare
        self._targets = tuple(each for each in bare.findings if named.meets(each))
        self._levels = _gravest(bare.findings)
        self._whole = 0
        self._unjudged = 0

    def needs(self, found: tuple[Finding, ...], readings: int) -> Trials[Needs]:
        """The answer of all tries; `found` is what is said now."""
        keys, singles = designers_keys(self._given), self._singles()
        open_ = [each for each in self._targets if each.level != "pass"]
        if not open_:  # a reading is judged: nothing to choose, but to measure again
            reason = "it judges what was read: put right what it shows, and read it again"
            nothing: tuple[Proposal, ...] = ()
            return Needs(
                self._complete,
                found,
                "measure",
                reason,
                nothing,
                nothing,
                nothing,
                *(0, 0, 0, False, 0),
                readings,
            )
        good, refused, moved = yield from self._one_by_one(singles)
        pairs, left, eased = 0, False, []
        unknown = all(each.level == "unknown" for each in open_)
        if not good and not unknown:
            good, pairs, left = yield from self._two_at_a_time(singles, moved, refused)
        if not good and not unknown:
            eased = yield from self._eased(moved)
        answer, reason = self._answer(found, bool(good), eased)
        return Needs(
            self._complete,
            found,
            answer,
            reason,
            tuple(good),
            tuple(refused),
            tuple(eased),
            len(keys) + len(self._given.surge_ways),
            len(singles),
            pairs,
            left,
            self._unjudged,
            readings,
        )

    def _eased(self, moved: Sequence[Tries]) -> Trials[list[Proposal]]:
        """Values with which the finding is less grave, though it does not pass."""
        before = max(self._targets, key=_gravity)
        found: list[Proposal] = []
        asked = 0
        for number, tries in enumerate(moved, 1):
            yield f"what makes it less grave: value {number} of {len(moved)}"
            case = self._case(tries)
            said = self._said(case) if case else ()
            if not said or _gravity(max(said, key=_gravity)) >= _gravity(before):
                continue
            asked += 1
            if case is None or asked > MOST_EASED:
                break
            proposal = self._proposal(tries, case)
            if proposal is not None and not proposal.worsens:
                found.append(proposal)
        return found

    def _answer(
        self, found: Sequence[Finding], chosen: bool, eased: Sequence[Proposal]
    ) -> tuple[NeedAnswer, str]:
        """What to do: to choose, where anything serves; what is not known is told beside it."""
        if eased and not chosen:
            found = eased[0].said
        asked = questions((each for each in found if each.level == "unknown"), self._complete)
        advised = questions((each for each in found if each.level == "advice"), self._complete)
        asked += tuple(each for each in advised if each.whom in OUTSIDE)
        reason = "; ".join(each.text for each in asked)
        if chosen:
            return "choose", reason
        if asked:
            return ("ask" if asked[0].whom.startswith("ask") else "measure"), reason
        return "stop", "; ".join(dict.fromkeys(each.message for each in found))

    def _singles(self) -> list[Tries]:
        """Every value of every key, those of the part that is judged first."""
        plan, keys = self._bare.case.plan, designers_keys(self._given)
        every = [
            each
            for key in keys
            for each in tries_of(self._complete, self._as_complete(key), self._targets, plan)
        ]
        every += places_to_try(self._complete)
        return sorted(every, key=lambda tries: self._named.of not in tries[0][0])

    def _as_complete(self, key: DesignersKey) -> DesignersKey:
        """The key with the value that was chosen where the file leaves it open."""
        section = _section_at(self._complete, key.path.rpartition(".")[0])
        return DesignersKey(key.path, key.spec, section)

    def _one_by_one(
        self, singles: Sequence[Tries]
    ) -> Trials[tuple[list[Proposal], list[Proposal], list[Tries]]]:
        """What serves, what is refused, and what at least changes what the finding says."""
        good: list[Proposal] = []
        refused: list[Proposal] = []
        moved: list[Tries] = []
        for number, tries in enumerate(singles, 1):
            yield f"value {number} of {len(singles)}"
            case = self._case(tries)
            if case is None:
                continue
            said = self._said(case)
            if _passes(said):
                proposal = self._proposal(tries, case)
                if proposal is not None:
                    (refused if proposal.worsens else good).append(proposal)
            elif said and _figures(said) != _figures(self._targets):
                moved.append(tries)
        return good, refused, moved

    def _two_at_a_time(
        self, singles: Sequence[Tries], moved: Sequence[Tries], refused: Sequence[Proposal]
    ) -> Trials[tuple[list[Proposal], int, bool]]:
        """Pairs of values that both move the finding, and a value that was refused with another of
        the parts it worsens; no more than MOST_PAIRS.
        """
        good: list[Proposal] = []
        every = self._pairs(singles, moved, refused)
        tried = 0
        for tried, (tries, worse) in enumerate(islice(every, MOST_PAIRS), 1):
            yield f"pair {tried} of at most {MOST_PAIRS}"
            case = self._case(tries)
            if case is None or not _passes(self._said(case)) or self._still_worse(case, worse):
                continue
            proposal = self._proposal(tries, case)
            if proposal is not None and not proposal.worsens:
                good.append(proposal)
        return good, tried, next(every, None) is not None

    def _still_worse(self, case: Case, worse: Iterable[Finding]) -> bool:
        """Whether a rule that refused the first value of a pair refuses the pair as well."""
        rules = {each.id for each in worse}
        return any(map(self._is_worse, findings_of(case, rules))) if rules else False

    def _pairs(
        self, singles: Sequence[Tries], moved: Sequence[Tries], refused: Sequence[Proposal]
    ) -> Iterator[tuple[Tries, tuple[Finding, ...]]]:
        """Each pair, with what its first value alone makes worse."""
        seen: set[frozenset[tuple[str, str]]] = set()
        with_refused = (
            (first, second, proposal.worsens)
            for proposal in sorted(refused, key=lambda each: len(each.worsens))
            for first in (tuple((each.key, each.then) for each in proposal.changes),)
            for second in singles
            if _touches(second, first, proposal.worsens)
        )
        both_move = ((*pair, ()) for pair in combinations(moved, 2))
        for first, second, worse in _in_turn(with_refused, both_move):
            paths = [path for path, _ in (*first, *second)]
            together = frozenset((*first, *second))
            if len(set(paths)) == len(paths) and together not in seen:
                seen.add(together)
                yield (*first, *second), worse

    def _case(self, tries: Tries) -> Case | None:
        """The job changed so; None where the file would be refused."""
        changed = _changed(self._given, self._complete, tries)
        if changed is None or disagreements(changed):
            return None
        return chosen_case(changed, {})[0]

    def _said(self, case: Case) -> tuple[Finding, ...]:
        """What the rule alone says then, of what was asked."""
        named = self._named
        return tuple(each for each in findings_of(case, (named.id,), named.of) if named.meets(each))

    def _is_worse(self, finding: Finding) -> bool:
        before = self._levels.get(_key(finding), "pass")
        return AS_TOLD.index(finding.level) < AS_TOLD.index(before)

    def _proposal(self, tries: Tries, case: Case) -> Proposal | None:
        """The whole job checked; None where so many were that no more are."""
        if self._whole >= MOST_WHOLE:
            self._unjudged += 1
            return None
        self._whole += 1
        after = findings_of(case)
        now = _gravest(after)
        worse = tuple(filter(self._is_worse, after))
        gone = tuple(each for each in self._bare.findings if _key(each) not in now)
        changes = tuple(
            ChangedKey(path, _shown_at(self._complete, path), value) for path, value in tries
        )
        leads = tuple(_moved_leads(self._complete, case.installation, tries))
        said = tuple(filter(self._named.meets, after))
        return Proposal((*changes, *leads), said, worse, gone, _read_anew(self._complete, tries))


def _changed(given: Installation, complete: Installation, tries: Tries) -> Installation | None:
    """The installation as the file would say it with these values; None where it cannot."""
    for path, value in tries:
        if not path.startswith(ON_THE_BAR):
            given, problems = with_key(given, path, Text(value, 0), given.file)
            if problems:
                return None
    for path, value in tries:
        if path.startswith(ON_THE_BAR):
            device = path.removeprefix(ON_THE_BAR)
            given, problems = moved_to(given, device, int(value), given.file)
            if problems:
                return None
            given = _in_whole_mm(given, device)
    return given


def _in_whole_mm(installation: Installation, device: str) -> Installation:
    """Leads of a device that were laid, in figures somebody can cut to: rounded up."""
    for path in _lead_paths(device):
        shown = _shown_at(installation, path)
        if _is_figure(shown):
            whole = f"{math.ceil(round(float(shown) * 1000, 6)) / 1000:g}"
            installation, _ = with_key(installation, path, Text(whole, 0), installation.file)
    return installation


def _lead_paths(device: str) -> tuple[str, ...]:
    return tuple(f"board.ways.{device}.leads.{side}.length_m" for side in LEAD_SIDES)


def _is_figure(shown: str) -> bool:
    return shown.replace(".", "", 1).isdigit()


def _moved_leads(before: Installation, after: Installation, tries: Tries) -> Iterator[ChangedKey]:
    """The leads of a device that was moved, as long as they are laid there."""
    for path, _ in tries:
        if path.startswith(ON_THE_BAR):
            for key in _lead_paths(path.removeprefix(ON_THE_BAR)):
                now, then = _shown_at(before, key), _shown_at(after, key)
                if now != then:
                    yield ChangedKey(key, now, then)


def _read_anew(installation: Installation, tries: Tries) -> tuple[str, ...]:
    """What the makers of things that are to be others state of those that were to be."""
    changed = [path for path, _ in tries if not path.startswith(ON_THE_BAR)]
    found = (
        each
        for path in changed
        for each in of_another_thing(
            _section_at(installation, path.rpartition(".")[0]), path.rpartition(".")[2]
        )
        if each not in changed
    )
    return tuple(dict.fromkeys(found))


def _section_at(installation: Installation, path: str) -> Placed:
    """The section at a path; items of a list by their name, or by place from 1."""
    value: Any = installation
    for part in filter(None, path.split(".")):
        if isinstance(value, tuple):
            named = (each for each in value if getattr(each, "name", None) == part)
            value = next(named, None) or value[int(part) - 1]
        else:
            value = getattr(value, part)
    assert isinstance(value, Placed), path
    return value


def _shown_at(installation: Installation, path: str) -> str:
    """What a key says now, as the file would say it."""
    if path.startswith(ON_THE_BAR):
        names = [way.name for way in installation.board.ways]
        return str(names.index(path.removeprefix(ON_THE_BAR)) + 1)
    section, _, key = path.rpartition(".")
    try:
        value = getattr(_section_at(installation, section), key)
    except (AttributeError, AssertionError):
        return "unknown"
    if isinstance(value, Absent):
        return value.value
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:.12g}" if isinstance(value, int | float) else str(value)


def _in_turn(one: Iterable[Any], other: Iterable[Any]) -> Iterator[Any]:
    """An item of each in turn, and what is left of the longer."""
    turns = [iter(one), iter(other)]
    while turns:
        for each in tuple(turns):
            try:
                yield next(each)
            except StopIteration:
                turns.remove(each)


def _touches(tries: Tries, first: Tries, worse: Iterable[Finding]) -> bool:
    """Whether a value belongs to what the first one changes, or to a part it worsens."""
    parts = {".".join(path.split(".")[:2]) for path, _ in first}
    names = {name for each in worse for name in (each.of, each.place.split(".")[0])}
    return any(
        ".".join(path.split(".")[:2]) in parts or not names.isdisjoint(path.split("."))
        for path, _ in tries
    )


def _passes(said: Sequence[Finding]) -> bool:
    """Whether the finding is there, and passes: one that is gone has passed nothing."""
    return bool(said) and all(each.level == "pass" for each in said)


def _gravity(finding: Finding) -> int:
    """The higher the graver."""
    return -AS_TOLD.index(finding.level)


def _figures(said: Iterable[Finding]) -> set[tuple[Any, ...]]:
    return {(each.place, each.level, each.value, each.limit, each.message) for each in said}


def _key(finding: Finding) -> _Key:
    return finding.id, finding.of, finding.place


def _gravest(findings: Iterable[Finding]) -> Mapping[_Key, Any]:
    """The gravest level of each rule at each place."""
    found: dict[_Key, Any] = {}
    for each in findings:
        before = found.get(_key(each), AS_TOLD[-1])
        found[_key(each)] = min(before, each.level, key=AS_TOLD.index)
    return found
