"""Sources beside the network: a sound job with two of them, its twin with four faults, and what
stays live.

The barn is our own invention. What its checks must say was written from the clauses named in the
rules; the sums beside them are worked by hand.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from changing import done

from firstway.checks.expected import DEAD
from firstway.checks.expecting import expected_readings
from firstway.checks.one_source import (
    CARRIED_BACK,
    DIRECT_CURRENT,
    FROM_ITS_OTHER_SIDE,
    ON_THE_BARS,
    WHAT_A_SENSOR_SEES,
    WHAT_CHARGES,
    WHILE_THE_NETWORK_IS_LOST,
)
from firstway.checks.running import rules
from firstway.choosing.completing import Completed, completed
from firstway.drawing.front.cover_labels import further_labels
from firstway.drawing.front.scene import seen_front
from firstway.drawing.front.words import live_words
from firstway.model.reading import installation_from_yaml
from firstway.wiring.circuit import States
from firstway.wiring.joined_groups import opened_terminals

BARN = Path(__file__).parent / "sources" / "lapwing.yaml"
LISTS = (
    CARRIED_BACK,
    DIRECT_CURRENT,
    FROM_ITS_OTHER_SIDE,
    ON_THE_BARS,
    WHAT_A_SENSOR_SEES,
    WHAT_CHARGES,
    WHILE_THE_NETWORK_IS_LOST,
)
# What is wrong in the twin: words of the file, what stands there instead, and what must say so.
FAULTS = (
    (
        "changeover: true, neutral_earth_switch: true",
        "changeover: true, neutral_earth_switch: false",
        "danger",
        {("source-earthing-alone", "store")},
    ),
    (
        "isolator: true, labelled: true, simple_separation: true",
        "isolator: false, labelled: true, simple_separation: true",
        "fail",
        {
            ("source-isolation", "store"),
            ("live-with-switch-open", "F1"),
            ("live-with-switch-open", "F2"),
        },
    ),
    (
        "residual_type_declared: A",
        "residual_type_declared: B",
        "fail",
        {("source-residual-type", "roof")},
    ),
    (
        "standard: BS EN 61439-3, rating_a: 100",
        "standard: BS EN 61439-3, rating_a: 63",
        "fail",
        {("board-with-sources", "board")},
    ),
)


@cache
def barn(*changes: tuple[str, str]) -> Completed:
    text = BARN.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    found, problems = installation_from_yaml(text, "lapwing.yaml", "lapwing")
    assert found is not None, problems
    result, problems = completed(found)
    assert result is not None, problems
    return result


def against(job: Completed) -> set[tuple[str, str, str]]:
    return {
        (each.level, each.id, each.of) for each in job.findings if each.level in ("danger", "fail")
    }


def test_the_sound_barn__has_nothing_against_it_and_names_what_is_open() -> None:
    job = barn()
    assert against(job) == set()
    assert any(each.level == "unknown" and "store" in each.message for each in job.findings)


def test_the_twin__shows_its_four_faults_and_no_other() -> None:
    job = barn(*((old, new) for old, new, _, _ in FAULTS))
    assert against(job) == {(level, *what) for _, _, level, found in FAULTS for what in found}


@pytest.mark.parametrize(("old", "new", "level", "found"), FAULTS)
def test_each_fault_alone__is_found_where_it_is(
    old: str, new: str, level: str, found: set[tuple[str, str]]
) -> None:
    assert against(barn((old, new))) == {(level, *what) for what in found}


def test_sums__are_those_by_hand() -> None:
    case = barn().case
    together = case.step("current-with-sources", "board")
    assert together is not None and together.value == pytest.approx(63 + 5000 / 230)
    alone = case.step("fault-current-at-board", "board")
    both = case.step("fault-current-with-sources", "board")
    assert alone is not None and alone.value is not None
    assert both is not None and both.value == pytest.approx(alone.value + 0.025 + 0.040)


def test_a_list_that_is_not_there__is_asked_about_and_takes_no_pass_away() -> None:
    text = BARN.read_text(encoding="utf-8")
    listed = text[text.index("other_sources:") : text.index("vehicles:")]
    silent, none = barn((listed, "")), barn((listed, "other_sources: none\n"))
    levels = lambda job: {(each.id, each.of, each.place): each.level for each in job.findings}
    asked = {key for key in levels(silent) if key not in levels(none)}
    assert asked == {("other-sources", "supply", "supply")}
    assert all(levels(silent)[key] == level for key, level in levels(none).items())


def test_no_pass_stands__where_the_program_works_one_source_alone() -> None:
    judged = {each.id for each in barn().findings}
    listed = frozenset().union(*LISTS)
    passed = {each.id for each in barn().findings if each.level == "pass"}
    assert listed & judged
    # What is judged of several parts keeps its pass where no source touches the part.
    assert passed & (WHILE_THE_NETWORK_IS_LOST | ON_THE_BARS | WHAT_CHARGES) == set()


def test_every_rule_of_the_lists__is_a_rule() -> None:
    ids = {module.RULE.id for module in rules()}
    assert sorted(frozenset().union(*LISTS) - ids) == []


def test_opened__only_when_every_source_is_isolated() -> None:
    """IEC 60364-5-53 537.2 (from memory): isolation from every source of supply."""
    circuit = barn().case.circuit
    bar, feed = "bar.L1.F2", "Q1.supply.L1"
    network = opened_terminals(circuit, States(open=frozenset({"origin"})))
    switch = opened_terminals(circuit, States(open=frozenset({"origin", "Q1", "roof"})))
    every = opened_terminals(circuit, States(open=frozenset({"origin", "roof", "store"})))
    assert bar not in network and feed not in network
    assert bar not in switch and feed in switch
    assert {bar, feed} <= every


def test_dead_tests__are_foretold_with_every_source_isolated() -> None:
    shown = [each.shown for each in expected_readings(barn().case) if each.phase == DEAD]
    assert shown and not any("a source is joined" in each.ask for each in shown)
    switch = next(each for each in expected_readings(barn().case) if each.key == "main-switch")
    assert "roof and store isolated too" in switch.where


def test_the_board_says_what_stays_live_and_what_else_feeds() -> None:
    words = live_words(barn().installation)
    assert any("store" in each and "stay live" in each for each in words)
    assert not any("roof" in each for each in words), "it feeds ahead of the main switch"
    front = seen_front(barn())
    assert any("roof or store" in label.words for label in further_labels(front))
    named = done("sedge").installation
    assert live_words(named) == ["The incoming terminals of Q1 stay live when it is off."]


def levels_of(job: Completed, rule: str, of: str) -> list[str]:
    return [each.level for each in job.findings if (each.id, each.of) == (rule, of)]


def test_what_is_not_stated_of_a_source__passes_nothing() -> None:
    """551.4.3.2, 551.6, 530.3.201: where the changeover stands, whether it opens the neutral, what
    protects the cable of a source on the bars, and which way the devices of the old board serve.
    """
    job = barn()
    for rule, of in (
        ("source-leaves-network", "store"),
        ("source-earthing-alone", "store"),
        ("other-sources", "board"),
        ("device-direction", "barn"),
        ("modules-fit", "board"),
        ("bar-screws", "board"),
    ):
        assert "unknown" in levels_of(job, rule, of), rule
    assert "pass" not in levels_of(job, "modules-fit", "board")
    assert "pass" not in levels_of(job, "bar-screws", "board")
    stated = barn(("changeover: true,", "changeover: true, changeover_at: beside the meter,"
                   " changeover_neutral: true,"))  # fmt: skip
    assert set(levels_of(stated, "source-leaves-network", "store")) == {"pass"}
    assert set(levels_of(stated, "source-earthing-alone", "store")) == {"pass"}
    joined = barn(("changeover: true,", "changeover: true, changeover_neutral: false,"))
    assert "advice" in levels_of(joined, "source-earthing-alone", "store")
    bare = barn(("use: installation, resistance_ohm: 40,", "use: installation,"))
    assert "barn-rods" in {
        each.place for each in bare.findings
        if each.id == "source-earthing-alone" and each.level == "unknown"
    }  # fmt: skip


def test_modules__cannot_be_proved_dead() -> None:
    said = [each.message for each in barn().findings if each.id == "source-isolation"]
    assert any("roof" in each and "cannot be proved dead" in each for each in said)
    there = "surge_dc: type-2, surge_ac: at-the-board}\n  - {name: store"
    for word, level in (("true", "pass"), ("false", "fail"), ("unknown", "unknown")):
        job = barn((there, there.replace("}", f", isolator_dc: {word}}}", 1)))
        assert levels_of(job, "source-isolation", "roof") == [level], word


def test_surge__the_boards_device_does_not_speak_for_a_source_at_another_board() -> None:
    """Distance counts from the device to what it guards (BS 7671 534.4.9: 10 m): roof feeds in at
    the barn's own board, store at the new one.
    """
    job = barn()
    said = [
        (each.of, each.level)
        for each in job.findings
        if each.id == "source-surge" and "d.c." not in each.message
    ]
    assert sorted(said) == [("roof", "unknown"), ("store", "pass")]
