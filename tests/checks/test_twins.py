"""What holds for one holds for its twin, and in whatever order the file tells it.

No figure is known beforehand here: a second circuit like the first must be judged like the first,
and a list told from its other end means the same. A rule or a working that looks at one of several
is seen by that.
"""

from __future__ import annotations

import pytest
from sampling import JOBS
from twins import SECOND, data_of, reversed_lists, with_second_point, with_twin, worked

from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed
from firstway.workings.shared.step import Step

CASES = [(name, circuit["name"]) for name in JOBS for circuit in data_of(name)["circuits"]]
DIGITS = 9  # sums of floating-point numbers depend on their order in the last ones
# Quince's surge protective device hangs on the first RCBO alone: two wires in its terminals.
ON_ITS_TERMINALS = ("conductors-per-terminal", "torque-stated")
# The teeth of a bar of several lines alternate: where a way stands says which line it is fed from.
BY_PLACE = ("line-bar-teeth",)


def shown(value: object) -> str:
    """A value as text, the names of the twin as those of the first."""
    text = f"{value:.{DIGITS}g}" if isinstance(value, float) else str(value)
    return text.replace(SECOND, "")


def judged(result: Completed, of: str) -> list[tuple[str, ...]]:
    return sorted(_short(each) for each in result.findings if each.of == of)


def _short(found: Finding) -> tuple[str, ...]:
    place = shown(found.place).partition(".")[0]
    return found.id, found.level, shown(found.value), shown(found.limit), place


def figures(steps: tuple[Step, ...], of: str) -> dict[str, tuple[str, ...]]:
    return {
        step.id: (shown(step.value), shown(step.low), shown(step.high), str(bool(step.assumed)))
        for step in steps
        if step.of == of
    }


@pytest.mark.parametrize("before", [False, True], ids=["after", "before"])
@pytest.mark.parametrize("name, circuit", CASES, ids=["-".join(case) for case in CASES])
def test_a_twin_is_judged_and_worked_like_the_first(name: str, circuit: str, before: bool) -> None:
    data, names = with_twin(data_of(name), circuit, before)
    result = worked(data, name)
    steps = result.case.workings.steps
    for first, second in names.items():
        both = [judged(result, of) for of in (first, second)]
        both = [[each for each in one if each[0] not in BY_PLACE] for one in both]
        if name == "quince":
            both = [[each for each in one if each[0] not in ON_ITS_TERMINALS] for one in both]
        assert both[0] == both[1], first
        assert figures(steps, first) == figures(steps, second), first


@pytest.mark.parametrize("name, circuit", CASES, ids=["-".join(case) for case in CASES])
def test_a_second_point_on_the_same_circuit_is_judged_like_the_first(
    name: str, circuit: str
) -> None:
    data, first, second = with_second_point(data_of(name), circuit)
    result = worked(data, name)
    assert judged(result, first) == judged(result, second)


@pytest.mark.parametrize("name", JOBS)
def test_the_order_of_a_list_means_nothing(name: str) -> None:
    results = [worked(data, name) for data in (data_of(name), reversed_lists(data_of(name)))]
    ofs = {found.of for result in results for found in result.findings}
    for of in sorted(ofs):
        assert judged(results[0], of) == judged(results[1], of), of
    for of in sorted({step.of for result in results for step in result.case.workings.steps}):
        one, other = (
            {
                key: value
                for key, value in figures(result.case.workings.steps, of).items()
                if "-stretch-" not in key  # stretches are counted from the board
            }
            for result in results
        )
        assert one == other, of
