"""The device must be able to break the largest fault current where it stands.

Why: a device that meets more than it can break may burst. A fuse ahead can help it only where the
maker of the board has proved the pair together.
A pass: 6 kA where 0.9 kA can flow. Advice: the declared rating of the assembly with its device ahead
decides. A fail: neither is declared for the current.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import highest_of_step
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, within
from firstway.model.values import is_known, key_of

RULE = Rule("breaking-capacity", "The device can break the largest fault current", "BS 7671 434.5.1, 536.4; IEC 60364-4-43 434.5.1",
            "2018+A3:2024", "fail", ("bs7671", "iec60364"))


def check(case: Case) -> Iterator[Finding]:
    conditional = key_of(case.installation.board.assembly, "conditional_fault_rating_ka")
    current = highest_of_step(case, "fault-current-at-board", "board", "the largest fault current")
    largest = current.value
    for way in case.each(case.installation.board.ways):
        if way.device not in ("rcbo", "circuit-breaker"):
            continue
        if largest is None:
            yield RULE.does_not_know(case, way.name, way.name, current.ask, unit="kA")
        elif not is_known(way.breaking_capacity_ka):
            yield RULE.does_not_know(case, way.name, way.name, f"the breaking capacity of {way.name}; read it on the device", largest, "kA")
        elif within(largest, way.breaking_capacity_ka):
            yield RULE.passes(case, way.name, way.name, "the device breaks the largest fault current at the board",
                              way.breaking_capacity_ka, largest, "kA")
        elif is_known(conditional) and within(largest, conditional):
            yield RULE.does_not_know(case, way.name, way.name, "whether the maker of the board declares this device together with the device ahead for this"
                                     " fault current: it is above the device's own breaking capacity", largest, "kA")
        elif is_known(conditional):
            yield RULE.says(case, "fail", way.name, way.name, "neither the device nor the assembly is declared for this fault current",
                            way.breaking_capacity_ka, largest, "kA")
        else:
            yield RULE.does_not_know(case, way.name, way.name, "whether the assembly is declared for this fault current; ask the maker", largest, "kA")
