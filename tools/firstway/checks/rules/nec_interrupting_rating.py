"""The device can interrupt, and the panel can withstand, the largest fault current where they stand.

Why: a device that meets more than its interrupting rating may burst. A panel marked with a series
combination may be used above the rating of its branch devices, but only with the very devices its
label names.
A pass: 10 kA where 8.6 kA can flow. A fail: 5 kA there, and no series rating.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.nec_rule import NecRule
from firstway.checks.rule import within
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of
from firstway.workings.step import Step

RULE = NecRule("nec-interrupting-rating", "Device and panel stand the largest fault current", "NFPA 70 110.9, 110.10, 240.86", "2020", "danger")


def check(case: Case) -> Iterator[Finding]:
    current = case.step("fault-current-at-board", "board")
    assert current is not None
    for way in case.each(case.installation.board.ways):
        if way.device in ("circuit-breaker", "rcbo", "fuse"):
            yield _device(case, way, current)
    yield _panel(case, current)


def _device(case: Case, way: Way, current: Step) -> Finding:
    of = str(way.feeds) if is_known(way.feeds) else way.name
    if current.value is None:
        return RULE.does_not_know(case, of, way.name, current.ask, unit="kA")
    if not is_known(way.breaking_capacity_ka):
        return RULE.does_not_know(case, of, way.name, f"the interrupting rating of {way.name}; read it on the device", current.value, "kA")
    if within(current.value, way.breaking_capacity_ka):
        return RULE.passes(case, of, way.name, "the device interrupts the largest fault current at the panel",
                           way.breaking_capacity_ka, current.value, "kA")
    assembly = case.installation.board.assembly
    series = key_of(assembly, "conditional_fault_rating_ka")
    if is_known(series) and within(current.value, series):
        return RULE.says(case, "advice", of, way.name, "above the device's own rating; the series rating marked on the panel decides: compare both devices"
                         " with its label (240.86)", way.breaking_capacity_ka, current.value, "kA")
    return RULE.says(case, "danger", of, way.name, "more current can flow than the device can interrupt, and no series rating is stated",
                     way.breaking_capacity_ka, current.value, "kA")


def _panel(case: Case, current: Step) -> Finding:
    assembly = case.installation.board.assembly
    rating = key_of(assembly, "fault_rating_ka")
    if current.value is None:
        return RULE.does_not_know(case, "board", "board", current.ask, unit="kA")
    if not is_known(rating):
        return RULE.does_not_know(case, "board", "board", "the short-circuit current rating of the panel; read its label", current.value, "kA")
    if within(current.value, rating):
        return RULE.passes(case, "board", "board",
                           "the panel's short-circuit current rating is not below the largest fault current",
                           rating, current.value, "kA")
    return RULE.says(case, "danger", "board", "board", "more current can flow than the panel is rated for", rating, current.value, "kA")
