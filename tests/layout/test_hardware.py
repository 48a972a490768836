"""Proves that small hardware stands where it can be fitted: in nobody's way, a nut on each gland,
a screw on each terminal of a bar, labels apart on the cover. Geometry of the plan's values alone.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from boards import drawn, planned, shipped
from sampling import JOBS

from firstway.layout.plan import Fitting, Layout

ON_COVER = ("warning-label", "test-notice", "inspection-label")
_WITHIN = {("rail-foot", "rail-screw"), ("earth-tag", "earth-tag-bolt"), ("earth-tag", "locknut")}


def in_the_way(plan: Layout) -> list[str]:
    """Pieces that lie in each other, in a device, in a bar or under an opening's nut."""
    parts = plan.parts
    bodies = [(each.name, each.body) for each in parts.devices]
    bodies += [(each.name, each.box) for each in parts.bars]
    found = [
        f"{each.id} in {name}"
        for each in plan.fittings
        for name, body in bodies
        if each.body.meets(body)
    ]
    for one, other in combinations(plan.fittings, 2):
        if one.body.meets(other.body):
            found.append(f"{one.id} in {other.id}")
    return found


def of_kind(plan: Layout, kind: str) -> list[Fitting]:
    return [each for each in plan.fittings if each.kind == kind]


def well_fitted(plan: Layout) -> None:
    parts = plan.parts
    assert in_the_way(plan) == []
    assert len({each.id for each in plan.fittings}) == len(plan.fittings)
    assert len(of_kind(plan, "mounting-screw")) == len(of_kind(plan, "cover-screw")) == 4
    assert len(of_kind(plan, "rail-screw")) == (2 if parts.rail else 0)
    for bar in parts.bars:
        screws = [
            each.of for each in of_kind(plan, "bar-screw") if each.of.startswith(f"{bar.name}.")
        ]
        assert screws == [name for name in parts.spots if name.startswith(f"{bar.name}.")]
        for each in of_kind(plan, "bar-foot"):
            if each.of == bar.name:
                assert each.body.low[2] == parts.inner.low[2], "stands on the back"
                assert each.body.high[2] == bar.box.low[2], "carries the bar"
    for opening in parts.openings:
        nuts = [each for each in of_kind(plan, "locknut") if each.of == opening.name]
        glands = [each for each in of_kind(plan, "gland") if each.of == opening.name]
        bushes = [each for each in of_kind(plan, "bush") if each.of == opening.name]
        tags = [each for each in of_kind(plan, "earth-tag-bolt") if each.of == opening.name]
        assert (len(nuts), len(glands), len(bushes)) == ((1, 1, 0) if opening.gland else (0, 0, 2))
        assert len(tags) == (1 if opening.bolt else 0)
        for each in (*nuts, *bushes):
            widest = max(each.body.size(axis) for axis in range(3))
            assert widest == pytest.approx(opening.nut_mm) and widest > opening.hole_mm
    for each in plan.fittings:
        if each.kind in ON_COVER or each.kind == "cover-screw":
            assert each.body.low[2] == parts.cover.box.high[2]
            assert not any(each.body.meets(strip) for _, strip in parts.cover.labels)
            window = parts.cover.window
            assert not (
                each.body.low[0] < window.high[0]
                and window.low[0] < each.body.high[0]
                and each.body.low[1] < window.high[1]
                and window.low[1] < each.body.high[1]
            ), "no label over the devices"


@pytest.mark.parametrize("name", JOBS)
def test_fittings_of__stand_where_they_can_be_fitted(name: str) -> None:
    plan, _ = shipped(name)
    well_fitted(plan)
    assert [each.kind for each in plan.fittings if each.kind in ON_COVER] == list(ON_COVER)


@pytest.mark.parametrize("number", range(0, 30, 2))
def test_fittings_of__on_drawn_boards(number: int) -> None:
    plan, _ = planned(drawn(number))
    well_fitted(plan)


@pytest.mark.long
def test_fittings_of__on_many_drawn_boards() -> None:
    for number in range(30, 300):
        plan, _ = planned(drawn(number))
        well_fitted(plan)


def test_fittings_of__armour_is_earthed_at_the_tag() -> None:
    plan, _ = shipped("marram")
    opening = plan.parts.opening("slipway")
    assert opening is not None and opening.bolt is not None
    assert plan.by_id["slipway.armour"].points[-1] == opening.bolt or (
        plan.by_id["slipway.armour"].points[0] == opening.bolt
    )
    (bolt,) = of_kind(plan, "earth-tag-bolt")
    assert all(
        bolt.body.low[axis] - 1e-6 <= opening.bolt[axis] <= bolt.body.high[axis] + 2
        for axis in range(3)
    )
    assert plan.parts.openings[0].bolt is None


def test_fittings_of__covers_the_teeth_over_neutrals() -> None:
    plan, _ = shipped("marram")
    assert plan.parts.line_bar is not None
    bare = [each for each in plan.parts.line_bar.teeth if not each.terminal]
    assert len(of_kind(plan, "tooth-cover")) == len(bare) == 2


def test_in_the_way__sees_a_screw_in_a_bar() -> None:
    plan, _ = shipped("marram")
    moved = replace(plan.fittings[0], body=plan.parts.bars[0].box)
    said = in_the_way(replace(plan, fittings=(moved, *plan.fittings[1:])))
    assert any(each.startswith("mounting-screw.1 in") for each in said)
