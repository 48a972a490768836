"""Figures that stand exactly at their limit, and counts that stand exactly at the edge of a case.

A rule that says "at most 5 s" is kept by 5 s. Such a figure is common: tables hold round values and so do makers' sheets.
"""

from __future__ import annotations

from changing import done

SELECTIVE_RCD = "upstream_rcd: {standard: IEC 61008-1, residual_type: A, rated_residual_current_ma: 100, delay: S}"


def test_the_nearest_device_that_is_sure_within_the_limit_is_named_also_at_the_limit() -> None:
    """BS 7671 Table 41.4: 63 A opens in 5 s, the limit of a distribution circuit in TN (411.3.2.3): it is told, not the one further off."""
    sweep = done("sedge", ("upstream_rcd: none", SELECTIVE_RCD)).case.sweep
    place = sweep.place("Q1.load.L1")
    assert place is not None
    opening = sweep.opening(place, "earth")
    assert opening is not None and (opening.device, opening.within_s) == ("feed-switch-fuse", 5.0)


def test_a_route_of_one_stretch_has_no_worst_one() -> None:
    """The working names the worst stretch where there are several: "the worst of 1" would send the reader to look for others."""
    for step_id in ("required-capacity", "corrected-capacity"):
        step = done("alder").case.step(step_id, "garage")
        assert step is not None and "worst" not in step.note
