"""Mistakes on boards: every one is found at its place, in the graph or the file, with nothing
reported that does not follow from it.

The mistakes themselves are those met in the field (published audits of charging points, forums of
the trade); what they do to a reading is the law of the circuit, worked by hand in test_readings.
That a changed board is found and a sound one is not is the promise of the program, held here on
every shipped installation.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from random import Random
from zlib import crc32

import pytest
from changing import DIAGRAMS, changed, done
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import EVERY_JOB, JOBS, many
from telling import Tell

from firstway.checks.running import rules
from firstway.choosing.completing import Completed, completed
from firstway.choosing.mistaking import MadeMistake, made, makable, worsened
from firstway.drawing.wiring_diagram import wiring_diagram
from firstway.files.yaml_reader import Entries
from firstway.model.installation import Installation, WiringChange
from firstway.model.mistakes import Mistake, mistakes_from_yaml
from firstway.model.reading import installation_from_yaml
from firstway.model.values import is_known
from firstway.wiring.changing import changed as changed_wiring
from firstway.wiring.changing import touched
from firstway.wiring.circuit import circuit_of
from firstway.wiring.deriving import derived_wiring
from firstway.wiring.showing import reading_of, word_for

FILE = DIAGRAMS / "mistakes.yaml"
WITH_FAULTS = {"quince"}
SEED = 20261201
FAST_PAIRS, LONG_PAIRS = 30, 200
RULES = {module.RULE.id for module in rules()}


@cache
def mistakes() -> tuple[Mistake, ...]:
    found, problems = mistakes_from_yaml(FILE.read_text(encoding="utf-8"), "diagrams/mistakes.yaml")
    assert not problems, "\n".join(map(str, problems))
    return found


@cache
def possible(name: str) -> tuple[Mistake, ...]:
    """Each mistake on each circuit of the installation it applies to; not one the installation has
    already.
    """
    return tuple(each for mistake in mistakes() for each in makable(done(name), mistake))


@cache
def shown_on(mistake: str) -> str:
    """The one installation that has this mistake in the plain run, drawn by its name."""
    where = [name for name in JOBS if any(each.name == mistake for each in possible(name))]
    return where[crc32(mistake.encode()) % len(where)] if where else ""  # the long run has it


@cache
def makings(name: str) -> tuple[MadeMistake, ...]:
    """The possible ones, made; in the plain run each mistake on one installation."""
    return tuple(
        made(done(name), each)
        for each in possible(name)
        if many(some=0, all_of_them=1) or shown_on(each.name) == name
    )


def found_at_its_place(one: Mistake, worse: tuple) -> bool:
    return any(
        finding.id == one.found_by.rule and finding.place == one.found_by.place for finding in worse
    )


def test_there_are_thirty_mistakes_or_more_and_each_can_be_made() -> None:
    assert len(mistakes()) >= 30
    used = {each.name for name in EVERY_JOB for each in possible(name)}
    assert {each.name for each in mistakes()} - used == set(), (
        "a mistake no shipped installation can show"
    )


def test_every_rule_named_exists() -> None:
    for each in mistakes():
        named = {each.found_by.rule, *(each.consequences if is_known(each.consequences) else ())}
        assert named - RULES == set(), each.name


@pytest.mark.parametrize("name", [name for name in EVERY_JOB if name not in WITH_FAULTS])
def test_a_correct_board_has_no_fail_and_no_danger(name: str) -> None:
    assert [finding for finding in done(name).findings if finding.level in ("fail", "danger")] == []


@pytest.mark.parametrize("name", JOBS)
def test_every_mistake_is_found_at_its_place_and_nothing_else(name: str, tell: Tell) -> None:
    missed, beside = [], []
    for each in makings(name):
        worse = worsened(each)
        if not found_at_its_place(each.mistake, worse):
            missed.append(f"{each.mistake.name} at {each.mistake.found_by.place}")
        allowed = {
            each.mistake.found_by.rule,
            *(each.mistake.consequences if is_known(each.mistake.consequences) else ()),
        }
        asked = {
            (finding.id, finding.of)
            for finding in each.before.findings
            if finding.level == "unknown"
        }  # the same question, at another terminal
        beside += [
            f"{each.mistake.name}: {finding.id} at {finding.place}"
            for finding in worse
            if finding.id not in allowed
            and not (finding.level == "unknown" and (finding.id, finding.of) in asked)
        ]
    tell(
        f"{name}: {len(makings(name))} mistakes made, {len(makings(name)) - len(missed)} found at"
        f" their place, {len(beside)} beside"
    )
    assert missed == [] and beside == [], beside


def test_no_mistake_is_found_by_its_name() -> None:
    """The rules never see a mistake: none of their sources holds a name of one, or reads the file
    of mistakes.
    """
    folder = Path(rules()[0].__file__).parents[1]
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.py")))
    assert "mistakes" not in re.sub(r'""".*?"""', "", text, flags=re.DOTALL)
    for each in mistakes():
        assert each.name not in text and each.title not in text


@pytest.mark.parametrize("name", JOBS)
def test_the_test_that_shows_a_mistake_reads_as_told(name: str) -> None:
    for each in makings(name):
        shown = each.mistake.shown_by
        if is_known(shown):
            before = reading_of(
                circuit_of(each.before.installation, each.before.case.wiring), shown
            )
            after = reading_of(circuit_of(each.after.installation, each.after.case.wiring), shown)
            assert word_for(before, after) == shown.reads, (each.mistake.name, before, after)


# ---- pairs


def test_a_device_that_leaves_the_neutral_joined_can_be_told_in_the_drawing() -> None:
    """722.531.3 asks for all live conductors: the box says which a device opens, for from outside
    the two look alike.
    """
    one = made(
        done("marram"),
        next(each for each in possible("marram") if each.name == "neutral-not-opened"),
    )
    before, after = (
        "".join(re.findall(r">([^<>]*)</text>", wiring_diagram(each, "x").svg))
        for each in (one.before, one.after)
    )
    assert "opens L+N" in before and "opens L only" not in before
    assert "opens L only" in after and "opens L+N" not in after
    unknown = job_of(
        (DIAGRAMS / "marram.yaml")
        .read_text(encoding="utf-8")
        .replace(
            "protected_poles: 1, switched_poles: 2", "protected_poles: 1, switched_poles: unknown"
        )
    )
    assert "opens N: ask" in wiring_diagram(unknown, "x").svg


@pytest.mark.parametrize("name", ["alder", "bramble"])
def test_mistakes_under_rule_set_nec_are_told_in_the_words_of_its_trade(name: str) -> None:
    """Common practice: ground, panel, breaker; and no mistake of a terminal the job has not."""
    names = {each.name for each in possible(name)}
    assert {"earth-bar-not-joined", "neutral-bonded-in-the-panel"} <= names
    assert "main-earth-lost" not in names
    for each in makings(name):
        told = " ".join(
            str(text)
            for text in (
                each.mistake.title,
                each.mistake.told,
                each.mistake.wrong,
                each.mistake.look,
                each.mistake.right,
            )
        )
        told += " ".join(finding.message for finding in worsened(each))
        assert not re.search(
            r"(?i)\b(earth\w*|board|distributor)\b(?!-bar|\.)|\bPE\b(?!\.)",
            re.sub(r"[\w-]+\.[\w.]+", "", told),
        ), (each.mistake.name, told)


def ground(job: Completed, one: Mistake) -> frozenset[str]:
    """Every terminal and part a mistake has to do with; a bar counts as each of its positions."""
    wiring = derived_wiring(job.installation)
    found = set(touched(one.wiring, wiring)) | {one.found_by.place}
    for path in one.keys.values if isinstance(one.keys, Entries) else ():
        parts = path.split(".")
        found |= {terminal.id for terminal in wiring.terminals if terminal.device in parts} | {
            path,
            *path.split(".")[:3],
        }
        found |= {
            end
            for each in wiring.conductors
            if each.cable in parts
            for end in (each.start, each.end)
        }
    if is_known(one.order):
        found |= {
            terminal.id
            for terminal in wiring.terminals
            if terminal.device in (one.order.way, one.order.after)
        }
    for bar in ("neutral-bar", "earth-bar"):
        if bar in found:
            found |= {terminal.id for terminal in wiring.terminals_of(bar)}
    return frozenset(found)


def pairs(count: int) -> Iterator[tuple[Completed, Mistake, Mistake]]:
    draw = Random(SEED)
    given = 0
    while given < count:
        job = done(draw.choice(JOBS))
        one, other = draw.sample(possible(job.installation.name), 2)
        if one.name != other.name and not ground(job, one) & ground(job, other):
            given += 1
            yield job, one, other


def both_found(count: int) -> tuple[int, list[str]]:
    missed, found = [], 0
    for job, one, other in pairs(count):
        worse = worsened(made(job, one, other))
        if found_at_its_place(one, worse) and found_at_its_place(other, worse):
            found += 1
        else:
            missed.append(f"{job.installation.name}: {one.name} + {other.name}")
    return found, missed


def test_two_mistakes_without_a_common_terminal_are_both_found(tell: Tell) -> None:
    found, missed = both_found(FAST_PAIRS)
    tell(f"pairs: both found in {found} of {FAST_PAIRS} ({100 * found / FAST_PAIRS:.1f} %)")
    assert missed == []


@pytest.mark.long
def test_two_mistakes_without_a_common_terminal_are_both_found__two_hundred(tell: Tell) -> None:
    found, missed = both_found(LONG_PAIRS)
    tell(f"pairs: both found in {found} of {LONG_PAIRS} ({100 * found / LONG_PAIRS:.1f} %)")
    assert missed == []


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        # reversed tails supply the surge device's line from the neutral of the origin
        ("marram", "tails-reversed", "surge-device-behind-the-rcbo"),
        # the device that two circuits share the neutral of returns by the earth bar
        ("sallow", "shared-neutral", "flying-lead-on-the-earth-bar"),
    ],
)
def test_one_mistake_does_not_hide_another(name: str, one: str, other: str) -> None:
    """Whatever the other does to the way the first is looked for: on every circuit it can be
    made on.
    """
    bound = {
        which: [each for each in possible(name) if each.name == which] for which in (one, other)
    }
    assert all(bound.values())
    for first in bound[one]:
        for second in bound[other]:
            worse = worsened(made(done(name), first, second))
            assert found_at_its_place(first, worse) and found_at_its_place(second, worse)


# ---- explicit changes in an installation file


def with_wiring(name: str, *lines: str) -> str:
    return changed(name) + "\nwiring:\n" + "".join(f"  - {line}\n" for line in lines)


def job_of(text: str) -> Completed:
    found, problems = installation_from_yaml(text, "drawn.yaml", "drawn")
    assert found is not None, problems
    result, problems = completed(found)
    assert result is not None, problems
    return result


@pytest.mark.parametrize(
    ("line", "rule", "place"),
    [
        ("{remove: slipway.PE}", "protective-path", "post-1.PE"),
        ("{move: slipway.N, end: start, to: neutral-bar}", "neutral-through-device", "F2.load.N"),
        ("{swap: [post-1.L1, post-1.N]}", "line-and-neutral-crossed", "slipway.L1"),
        (
            "{add: forgotten, from: neutral-bar, to: earth-bar}",
            "neutral-and-earth-apart",
            "forgotten",
        ),
        ("{set: slipway.PE, csa_mm2: 1.5}", "size-as-stated", "slipway.PE"),
        (
            "{add: from-the-roof, from: second-supply.L1, to: F2.load.L1}",
            "live-with-switch-open",
            "F2.load.L1",
        ),
    ],
)
def test_check_reports_explicit_changes_of_a_file(line: str, rule: str, place: str) -> None:
    said = [
        finding
        for finding in job_of(with_wiring("marram", line)).findings
        if finding.id == rule and finding.place == place
    ]
    assert [finding.level for finding in said] in (["fail"], ["danger"])


@pytest.mark.parametrize(
    ("line", "message"),
    [
        (
            "{remove: slipway.Q}",
            "drawn.yaml:{line}: there is no conductor 'slipway.Q'; did you mean 'slipway.N'?",
        ),
        (
            "{swap: [post-1.L1, post-2.N]}",
            "drawn.yaml:{line}: there is no terminal 'post-2.N'; did you mean 'post-1.N'?",
        ),
        (
            "{move: slipway.N, to: neutral-bar}",
            (
                "drawn.yaml:{line}: the move of 'slipway.N' does not say which end goes where; add"
                " `end: start` or `end: end`, and `to: TERMINAL`"
            ),
        ),
        (
            "{remove: slipway.PE, set: slipway.N}",
            (
                "drawn.yaml:{line}: a change needs exactly one of remove, move, swap, add, set;"
                " write one change in one item"
            ),
        ),
        (
            "{add: slipway.N, from: met.PE, to: earth-bar}",
            "drawn.yaml:{line}: the conductor 'slipway.N' stands already; choose another name",
        ),
        (
            "{set: slipway.N}",
            (
                "drawn.yaml:{line}: nothing is set on 'slipway.N'; add csa_mm2, length_m, colour,"
                " contact or contact_ohm"
            ),
        ),
    ],
)
def test_a_change_that_cannot_be_made_is_a_problem_at_its_line(line: str, message: str) -> None:
    text = with_wiring("marram", line)
    found, _ = installation_from_yaml(text, "drawn.yaml", "drawn")
    assert found is not None
    result, problems = completed(found)
    assert result is None
    assert [str(problem) for problem in problems] == [
        message.replace("{line}", str(text.count("\n")))
    ]


# ---- the file of mistakes

GOOD = """\
- name: a
  title: A
  wiring: [{remove: feed.PE}]
  wrong: W.
  urgent: now
  found_by: {rule: earth-bar-joined, place: earth-bar}
  shown_by: none
  look: Look.
  right: A qualified person isolates the board, then joins it.
"""


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "urgent: now",
            "urgent: soon",
            (
                "m.yaml:5: 'urgent' is 'soon'; use one of: now, after-one-more-fault,"
                " loss-or-nuisance, paper"
            ),
        ),
        ("  wrong: W.\n", "", "m.yaml:1: 'wrong' is missing; add `wrong:`"),
        (
            "right: A qualified person isolates the board, then j",
            "right: J",
            (
                "m.yaml:1: 'a' is put right without isolation; begin `right:` with 'A qualified"
                " person isolates ...'"
            ),
        ),
        (
            "  look: Look.\n",
            "",
            (
                "m.yaml:1: 'a' says neither which test shows it nor where to look; add `shown_by:`"
                " or `look:`"
            ),
        ),
        (
            "  wiring: [{remove: feed.PE}]\n",
            "",
            "m.yaml:1: 'a' changes nothing; add `wiring:`, `keys:` or `order:`",
        ),
        ("title:", "titel:", "m.yaml:2: unknown key 'titel'; did you mean 'title'?"),
        (
            "- name: a\n  title",
            "- file: a\n  name: a\n  title",
            "m.yaml:1: unknown key 'file'; did you mean 'title'?",
        ),
    ],
)
def test_what_is_wrong_in_the_file_of_mistakes_is_told_at_its_line(
    old: str, new: str, message: str
) -> None:
    assert mistakes_from_yaml(GOOD, "m.yaml")[1] == []
    assert message in [
        str(problem) for problem in mistakes_from_yaml(GOOD.replace(old, new, 1), "m.yaml")[1]
    ]


# ---- random graphs


def random_changes(
    installation: Installation, draw: Random, count: int
) -> tuple[WiringChange, ...]:
    wiring = derived_wiring(installation)
    conductors, terminals = (
        [each.id for each in wiring.conductors],
        [each.id for each in wiring.terminals],
    )
    found = []
    for place in range(count):
        kind = draw.choice(("remove", "move", "swap", "add", "set"))
        one, other = (
            draw.choice(terminals),
            draw.choice([*terminals, "neutral-bar", "earth-bar", "second-supply.L1"]),
        )
        made_ = {
            "remove": {"remove": draw.choice(conductors)},
            "move": {
                "move": draw.choice(conductors),
                "end": draw.choice(("start", "end")),
                "to": other,
            },
            "swap": {"swap": (one, draw.choice(terminals))},
            "add": {
                "add": f"new-{place}",
                "from_": one,
                "to": other,
                "csa_mm2": 4.0,
                "length_m": 1.0,
            },
            "set": {
                "set": draw.choice(conductors),
                "csa_mm2": 1.0,
                "contact": "loose",
                "contact_ohm": 0.1,
            },
        }[kind]
        found.append(WiringChange(**made_))
    return tuple(found)


@settings(max_examples=many(20, 40), deadline=None, derandomize=True)
@given(name=st.sampled_from(JOBS), seed=st.integers(0, 10**6), count=st.integers(0, 8))
def test_random_graphs_never_stop_the_checks(name: str, seed: int, count: int) -> None:
    from dataclasses import replace

    from firstway.checks.rule import Case
    from firstway.checks.running import findings_of

    job = done(name)
    installation = replace(
        job.installation, wiring=random_changes(job.installation, Random(seed), count)
    )
    wiring, _ = changed_wiring(derived_wiring(installation), installation.wiring)
    assert findings_of(Case(installation, workings=job.case.workings, wiring=wiring))
