"""What decides comes first, questions are one line a device, the last line says what may not be.

What weighs more, a shock before a fire before convenience, is common practice; that every rule has
its place, and that presentation loses nothing, is ours.
"""

from __future__ import annotations

import pytest
from changing import done
from sampling import EVERY_JOB

from firstway.checks.questions import questions
from firstway.checks.rule import AS_TOLD, Finding
from firstway.checks.running import rules
from firstway.checks.stakes import RULES_AT_STAKE, STAKES, rank, stake_of
from firstway.checks.verdict import NOTHING_AGAINST, verdict_words


def test_every_rule_says_what_is_at_stake() -> None:
    known = {module.RULE.id for module in rules()}
    assert known - set(STAKES) == set(), "name what is at stake in checks/stakes.py"


def test_no_rule_stands_under_two_stakes() -> None:
    """The later would win, and the rule would leave the page where it is looked for."""
    named = [rule for rules_named in RULES_AT_STAKE.values() for rule in rules_named.split()]
    assert sorted(named) == sorted(STAKES)


def test_a_rule_nobody_placed_is_not_buried() -> None:
    assert stake_of("brand-new") == "shock" and rank("brand-new") < min(map(rank, STAKES))


# Common practice: what a person waits for last is what hurts least.
@pytest.mark.parametrize(("sooner", "later"), [
    ("disconnection-time", "torque-stated"), ("loop-impedance", "surge-distance"),
    ("capacity", "voltage-drop"), ("open-pen-outdoors", "breaking-capacity"),
    ("breaking-capacity", "enclosure-heat"), ("service-capacity", "surge-leads"),
    ("means-of-earthing", "data-pair-insulation"), ("voltage-drop", "surge-first-way"),
])  # fmt: skip
def test_what_can_shock_comes_before_what_can_burn_before_the_rest(sooner: str, later: str) -> None:
    assert rank(sooner) < rank(later)


@pytest.mark.parametrize("name", EVERY_JOB)
def test_findings_stand_in_the_order_of_what_decides(name: str) -> None:
    places = [(AS_TOLD.index(each.level), rank(each.id)) for each in done(name).findings]
    assert places == sorted(places)


@pytest.mark.parametrize("name", EVERY_JOB)
def test_questions_lose_no_finding_and_ask_each_maker_once(name: str) -> None:
    job = done(name)
    unknown = [each for each in job.findings if each.level == "unknown"]
    asked = questions(unknown, job.installation)
    assert {each for question in asked for each in question.findings} == set(unknown)
    makers = [question.whom for question in asked if question.whom.startswith("ask the maker")]
    assert len(makers) == len(set(makers))
    assert [question.rank for question in asked] == sorted(question.rank for question in asked)
    assert not any("not known" in question.text or "\n" in question.text for question in asked)


@pytest.mark.parametrize("name", ["quince", "sallow"])
def test_questions__many_become_few(name: str) -> None:
    """More than twenty findings that do not know, on two boards whose makers say little."""
    job = done(name)
    unknown = [each for each in job.findings if each.level == "unknown"]
    assert len(unknown) >= 20 and len(questions(unknown, job.installation)) <= len(unknown) / 2


def test_questions__what_rests_on_one_assumption_is_measured_once() -> None:
    job = done("sallow")
    asked = questions((each for each in job.findings if each.level == "unknown"), job.installation)
    assumed = [question for question in asked if "assumed" in question.text]
    assert [each.text for each in assumed] == ["measure: electrodes.rods, which is assumed"]
    assert len(assumed[0].findings) >= 7


def finding(level: str, rule: str, place: str, message: str) -> Finding:
    return Finding(
        rule,
        place,
        place,
        level,
        None,
        None,
        "",
        message,
        "",
        "",
        "",
    )


DANGER = finding("danger", "means-of-earthing", "board", "no earth")
FAIL = finding("fail", "capacity", "slipway", "the cable is too thin")
TORQUE = finding(
    "unknown", "torque-stated", "F2", "not known: the torque of the terminals of F2; ask its maker"
)
WARM = finding(
    "unknown",
    "device-when-warm",
    "F2",
    "not known: ask the maker for the rated current of F2 at 37 C",
)
POST = finding(
    "unknown",
    "residual-type",
    "F2",
    "not known: whether post-1 detects 6 mA of direct current; ask its maker",
)
LOOP = finding(
    "unknown",
    "loop-impedance",
    "F2",
    "not known: measure the loop with a tester, or ask the distributor",
)


def test_questions__one_line_a_device_and_the_named_part_is_asked_about() -> None:
    asked = questions([POST, TORQUE, WARM, LOOP], done("marram").installation)
    assert [(each.parts, each.text) for each in asked] == [
        (("F2",), "measure the loop with a tester, or ask the distributor"),
        (("post-1",), "ask the maker of post-1: whether post-1 detects 6 mA of direct current"),
        (
            ("F2",),
            (
                "ask the maker of F2: (1) the torque of the terminals of F2;"
                " (2) the rated current of F2 at 37 C"
            ),
        ),
    ]


def test_questions__the_maker_named_is_asked_wherever_the_finding_stands() -> None:
    backup = finding(
        "unknown", "surge-backup", "Q1", "not known: whether the maker of F1 allows F2 ahead"
    )
    [asked] = questions([backup], done("marram").installation)
    assert asked.whom == "ask the maker of F1" and asked.parts == ("F1",)


def test_questions__of_a_lead_is_told_under_its_device() -> None:
    places = ("lead.PE.F1", "lead.N.F1", "F1.PE", "link.N.F2", "earth-bar.2", "lead.PE.F1:end")
    asked = [finding("unknown", "surge-lead-laid", at, "not known: where it lies") for at in places]
    [question] = questions(asked, done("marram").installation)
    assert question.parts == ("F1", "F2", "earth-bar")


@pytest.mark.parametrize(("found", "begins", "also"), [
    ([DANGER, FAIL],
     "Must stay off: 1 danger and 1 fail stand against it; put right first board: no earth.", ""),
    ([FAIL],
     "Must stay off: 1 fail stands against it; put right first slipway: the cable is too thin", ""),
    ([FAIL, TORQUE], "Must stay off: 1 fail", "Cannot be called safe yet: 1 question is open"),
    ([LOOP, TORQUE, WARM], "Cannot be called safe yet: 2 questions are open, about shock or fire;"
                           " first F2: measure the loop", ""),
    ([], NOTHING_AGAINST, ""),
])  # fmt: skip
def test_verdict_words(found: list[Finding], begins: str, also: str) -> None:
    words = verdict_words(found, done("marram").installation)
    assert words.startswith(begins) and also in words and "\n" not in words


@pytest.mark.parametrize("name", EVERY_JOB)
def test_verdict_words__never_call_a_job_safe(name: str) -> None:
    job = done(name)
    words = verdict_words(job.findings, job.installation)
    levels = {each.level for each in job.findings}
    assert ("Must stay off" in words) == bool(levels & {"danger", "fail"})
    assert ("Cannot be called safe yet" in words) == ("unknown" in levels)
    assert " is safe" not in words and "energise it" not in words
