"""What three files ask of shipped jobs and their twins: sound as shipped, each of four faults found
alone, and all of them together.

A fault is what stands in the file, what stands there instead, the level, the rule and the place of
the finding that must name it.
"""

from __future__ import annotations

from collections.abc import Sequence

from changing import done, findings

Fault = tuple[str, str, str, str, str]


def assert_sound(name: str) -> None:
    """No danger and no fail as it is shipped."""
    assert not [each for each in done(name).findings if each.level in ("danger", "fail")]


def assert_each_is_found_alone(name: str, faults: Sequence[Fault]) -> None:
    """Each fault by itself at its level and place."""
    for old, new, level, rule, place in faults:
        found = findings(done(name, (old, new)), rule)
        assert (level, place) in {(each.level, each.place.partition(".")[0]) for each in found}, (
            old,
            [(each.level, each.place, each.message) for each in found],
        )


def assert_all_are_found_together(name: str, faults: Sequence[Fault]) -> None:
    """No fault hides another."""
    twin = done(name, *((old, new) for old, new, *_ in faults))
    said = {(each.level, each.id, each.place.partition(".")[0]) for each in twin.findings}
    for *_, level, rule, place in faults:
        assert (level, rule, place) in said
