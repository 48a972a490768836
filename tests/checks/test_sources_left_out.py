"""What nobody says of a source, and a source of a kind nobody works, pass nothing.

Which rule must ask where a key is missing was written from the clause of each key (551.2,
551.4.3.2, 551.6, 551.7, 712 of BS 7671, from memory), not from what the program says.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from typing import Any

import pytest
import yaml
from changing import text_of

from firstway.checks.one_source import (
    CARRIED_BACK,
    DIRECT_CURRENT,
    FROM_ITS_OTHER_SIDE,
    ON_THE_BARS,
    WHAT_A_SENSOR_SEES,
    WHAT_CHARGES,
    WHILE_THE_NETWORK_IS_LOST,
)
from firstway.choosing.completing import Completed, completed
from firstway.model.reading import installation_from_yaml
from firstway.problems import Problem

WITH_THE_NETWORK_ALONE = frozenset().union(
    CARRIED_BACK,
    DIRECT_CURRENT,
    FROM_ITS_OTHER_SIDE,
    ON_THE_BARS,
    WHAT_A_SENSOR_SEES,
    WHAT_CHARGES,
    WHILE_THE_NETWORK_IS_LOST,
)
INTO_A_FAULT = frozenset({"breaking-capacity", "assembly-fault-rating"})
# Job, source, key: rules that have no pass left for anything, and those that ask of the source.
LEFT_OUT = (
    ("whimbrel", 0, "joined_at", CARRIED_BACK | FROM_ITS_OTHER_SIDE | ON_THE_BARS, "other-sources"),
    ("whimbrel", 0, "power_kw", frozenset({"board-with-sources"}), "board-with-sources"),
    ("whimbrel", 0, "fault_current_a", INTO_A_FAULT, ""),
    ("whimbrel", 1, "fault_current_a", INTO_A_FAULT, ""),
    ("whimbrel", 0, "works_without_network", WHILE_THE_NETWORK_IS_LOST, "source-earthing-alone"),
    ("whimbrel", 0, "network_protection", frozenset(), "source-leaves-network"),
    ("whimbrel", 0, "isolator", frozenset(), "source-isolation"),
    ("whimbrel", 0, "isolator_dc", frozenset(), "source-isolation"),
    ("whimbrel", 0, "labelled", frozenset(), "source-label"),
    ("whimbrel", 0, "residual_type", frozenset(), "source-residual-type"),
    ("whimbrel", 0, "residual_type_declared", frozenset(), "source-residual-type"),
    ("whimbrel", 0, "surge_dc", frozenset(), "source-surge"),
    ("whimbrel", 0, "surge_ac", frozenset(), "source-surge"),
    ("linnet", 0, "simple_separation", DIRECT_CURRENT, ""),
    ("linnet", 0, "power_kw", frozenset({"board-with-sources"}), ""),
    ("gorse", 0, "changeover", frozenset(), "source-leaves-network"),
    ("gorse", 0, "changeover_at", frozenset(), "source-leaves-network"),
    ("gorse", 0, "changeover_neutral", frozenset(), "source-earthing-alone"),
    ("gorse", 0, "neutral_earth_switch", frozenset(), "source-earthing-alone"),
    ("gorse", 0, "electrode", frozenset(), "source-earthing-alone"),
)
JOBS_WITH_SOURCES = ("gorse", "linnet", "whimbrel")


def data_of(job: str) -> dict[str, Any]:
    return yaml.safe_load(text_of(job))


def read(job: str, data: dict[str, Any]) -> tuple[Completed | None, list[Problem]]:
    text = yaml.safe_dump(data, sort_keys=False, allow_unicode=True)
    found, problems = installation_from_yaml(text, f"{job}.yaml", job)
    return completed(found) if found is not None else (None, list(problems))


@cache
def without(job: str, place: int = 0, key: str = "") -> Completed:
    """The shipped job with one key of one source left out."""
    data = data_of(job)
    if key:
        del data["other_sources"][place][key]
    result, problems = read(job, data)
    assert result is not None, problems
    return result


@cache
def of_another_kind(job: str) -> Completed:
    data = data_of(job)
    for source in data["other_sources"]:
        source["kind"] = "other"
    result, problems = read(job, data)
    assert result is not None, problems
    return result


def passes(job: Completed) -> Counter[tuple[str, str, str]]:
    return Counter((each.id, each.of, each.place) for each in job.findings if each.level == "pass")


@pytest.mark.parametrize(("job", "place", "key", "none_left", "asks"), LEFT_OUT)
def test_a_key_that_is_left_out__is_asked_about_and_passes_nothing(
    job: str, place: int, key: str, none_left: frozenset[str], asks: str
) -> None:
    less = without(job, place, key)
    source = str(less.installation.sources[place].name)
    assert {id for id, _, _ in passes(less)} & none_left == set()
    if asks:
        unknown = [
            each.message
            for each in less.findings
            if (each.id, each.of, each.level) == (asks, source, "unknown")
        ]
        before = [each.message for each in without(job).findings]
        assert [message for message in unknown if message not in before]


@pytest.mark.parametrize("job", JOBS_WITH_SOURCES)
@pytest.mark.long
def test_no_key_that_is_left_out__makes_a_pass(job: str) -> None:
    for place, source in enumerate(data_of(job)["other_sources"]):
        for key in set(source) - {"name", "kind"}:
            more = passes(without(job, place, key)) - passes(without(job))
            assert not more, (source["name"], key, more)


@pytest.mark.parametrize("job", JOBS_WITH_SOURCES)
def test_a_kind_that_nobody_works__passes_nothing_that_it_touches(job: str) -> None:
    found = of_another_kind(job)
    left = passes(found)
    names = {str(source.name) for source in found.installation.sources}
    assert [key for key in left if key[0] in WITH_THE_NETWORK_ALONE or key[1] in names] == []
    asked = {each.id for each in found.findings if "of a kind that is not worked" in each.message}
    assert {"loop-impedance", "source-isolation", "source-label"} <= asked
    assert not left - passes(without(job))


def test_a_kind_without_a_name__stops_the_file() -> None:
    for key, value, said in (
        ("kind", "windmill", "kind' is 'windmill'"),
        ("inverter_of", "the roof", "unknown key 'inverter_of'"),
        ("isolater", True, "unknown key 'isolater'"),
    ):
        data = data_of("whimbrel")
        data["other_sources"][0][key] = value
        result, problems = read("whimbrel", data)
        assert result is None
        assert [each for each in problems if said in each.message], problems
