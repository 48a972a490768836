"""Older premises, an electrode country, a hot and high place, 208 V: four sound jobs, and of each a
twin with four faults; a supply that is refused with its reason.

The jobs are our own invention. What their checks must say was written from the clauses named in
the rules.
"""

from __future__ import annotations

import pytest
from changing import done, findings, text_of
from four_faults import assert_all_are_found_together, assert_each_is_found_alone, assert_sound

from firstway.model.reading import installation_from_yaml

# What is wrong in the twin: words of the file, what stands there instead, and what must say so:
# level, rule, place.
FAULTS: dict[str, tuple[tuple[str, str, str, str, str], ...]] = {
    "yarrow": (
        (
            "voltage_operated_breaker: false",
            "voltage_operated_breaker: true",
            "fail",
            "voltage-operated-breaker",
            "passage",
        ),
        (
            "borrowed_neutral: false",
            "borrowed_neutral: true",
            "fail",
            "borrowed-neutral",
            "passage",
        ),
        ("main_bonding_mm2: 10", "main_bonding_mm2: none", "fail", "main-bonding-size", "passage"),
        (
            "shared_mains_agreed: true",
            "shared_mains_agreed: false",
            "fail",
            "shared-mains",
            "supply",
        ),
    ),
    "sorrel": (
        (
            "500, delay: S",
            "500, delay: none",
            "advice",
            "residual-selective",
            "F2",
        ),
        (
            "residual_type: A, rated_residual_current_ma: 500",
            "residual_type: AC, rated_residual_current_ma: 500",
            "fail",
            "type-ac-ahead",
            "feed",
        ),
        ("soil_ohm_m: 120", "soil_ohm_m: 1200", "fail", "electrode-resistance", "rods"),
        (
            "rated_residual_current_ma: 30,",
            "rated_residual_current_ma: 300,",
            "fail",
            "residual-current-at-the-point",
            "F2",
        ),
    ),
    "mallow": (
        ("warmest_ambient_c: 55", "warmest_ambient_c: 45", "advice", "place-temperature", "board"),
        (
            "highest_altitude_m: 2500",
            "highest_altitude_m: 2000",
            "fail",
            "place-altitude",
            "board",
        ),
        (
            "in_sun: false, altitude_m: 2250",
            "in_sun: true, altitude_m: 2250",
            "unknown",
            "board-in-sun",
            "board",
        ),
        (
            "length_m: 2.5, ambient_c: 50",
            "length_m: 2.5, ambient_c: 65",
            "fail",
            "capacity",
            "feed",
        ),
    ),
    "godwit": (
        (
            "rating_a: choose, breaking_capacity_ka: 22",
            "rating_a: 90, breaking_capacity_ka: 22",
            "fail",
            "nec-continuous-load-device",
            "F2",
        ),
        (
            "neutral_bonded: false",
            "neutral_bonded: true",
            "danger",
            "nec-neutral-not-bonded",
            "neutral-bar",
        ),
        (
            "fault_rating_ka: 22",
            "fault_rating_ka: 5",
            "danger",
            "nec-interrupting-rating",
            "board",
        ),
        ("listed: true", "listed: false", "fail", "nec-listed", "post-1"),
    ),
}
JOBS = tuple(FAULTS)
IT_REASON = "an IT supply is not worked here"
ALUMINIUM = "the tails are of aluminium"


@pytest.mark.parametrize("name", JOBS)
def test_the_sound_job_has_no_fail(name: str) -> None:
    assert_sound(name)


@pytest.mark.parametrize("name", JOBS)
def test_each_fault_is_found_alone(name: str) -> None:
    assert_each_is_found_alone(name, FAULTS[name])


@pytest.mark.parametrize("name", JOBS)
def test_the_twin_shows_all_four(name: str) -> None:
    assert_all_are_found_together(name, FAULTS[name])


@pytest.mark.parametrize(
    ("old", "new", "reason", "todo"),
    (
        ("system: TT", "system: IT", IT_REASON, "stop, and leave the point"),
        (
            "looped: false",
            "looped: false\n  tails_metal: aluminium",
            ALUMINIUM,
            "write `csa_mm2: unknown`",
        ),
    ),
)
def test_what_is_not_worked_is_refused_with_its_reason(
    old: str, new: str, reason: str, todo: str
) -> None:
    text = text_of("sorrel").replace(old, new, 1)
    found, problems = installation_from_yaml(text, "sorrel.yaml", "sorrel")
    assert found is None
    (problem,) = [each for each in problems if reason in each.message]
    assert todo in problem.hint
    assert text.splitlines()[problem.line - 1].strip().startswith(("system:", "cable:"))


def test_tails_of_aluminium_let_no_figure_of_copper_pass() -> None:
    """A size that is not known is worked by nothing: the tails' own capacity is asked for."""
    twin = done(
        "yarrow",
        ("tails_metal: copper", "tails_metal: aluminium"),
        ("csa_mm2: 25", "csa_mm2: unknown"),
    )
    assert {each.level for each in findings(twin, "tails-capacity")} == {"unknown"}
    assert {each.level for each in findings(twin, "tails-metal")} == {"unknown"}
