"""Charts of a job: lines held to hand calculation and to corners printed in the product standard,
clean by geometry.
"""

from __future__ import annotations

import re

import pytest
from changing import done
from drawing_faults import faults_in
from sampling import JOBS

from firstway.drawing.chart import Axis, ticks
from firstway.drawing.job_charts import (
    charts_of,
    drop_chart,
    heat_chart,
    loop_chart,
    standard_band,
    time_current_chart,
)
from firstway.pages.chapters.answering_blocks import chart_block as chart
from firstway.pages.jobs.surge_part import chart_of
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project
from firstway.rendering.figures import shown


@pytest.mark.parametrize("name", JOBS)
def test_charts_of__are_clean_and_bear_their_words(name: str) -> None:
    completed = done(name)
    for circuit in completed.installation.circuits:
        for drawn in charts_of(completed, circuit, f"{name}-{circuit.name}"):
            assert faults_in(drawn.svg) == ()
            assert drawn.alt.startswith(drawn.title) and len(drawn.svg) < 10_000


def test_standard_band__corners_of_a_b_40() -> None:
    # IEC 60898-1 table 7: 1.13 In not within an hour, 1.45 In within the hour (from memory); type B
    # between 3 and 5 In, 0.1 s.
    stays, opens = standard_band(done("marram").installation.way("F2"))
    assert stays[0] == pytest.approx((1.13 * 40, 3600)) and stays[-1] == pytest.approx((120, 0.01))
    assert opens[1] == pytest.approx((1.45 * 40, 3600)) and opens[-1] == pytest.approx((200, 0.01))


def test_drop_chart__five_per_cent_is_reached_where_a_hand_calculation_says() -> None:
    # 7.3 mV/A/m x 32 A = 0.2336 V a metre; 5 % of 230 V is 11.5 V; the feed takes 1.75 mV/A/m x 32
    # A x 0.8 m = 0.0448 V: 49.03 m.
    completed = done("marram")
    drawn = drop_chart(completed, completed.installation.circuits[0], "x")
    assert drawn is not None and "would be reached at 49 m" in drawn.alt


def test_loop_chart__the_limit_is_reached_where_a_hand_calculation_says() -> None:
    # (1.0925 - 0.28 - 0.0018) ohm over 2 x 3.08 ohm/km x 1.2: 109.7 m, told as 109.
    completed = done("marram")
    drawn = loop_chart(completed, completed.installation.circuits[0], "x")
    assert drawn is not None and "would be reached at 109 m" in drawn.alt


def test_charts__are_not_drawn_without_their_inputs() -> None:
    nec, through_electrode = done("alder"), done("tern")
    assert (
        time_current_chart(nec, nec.installation.circuits[0], "x") is None
    )  # another standard: no curve of ours
    assert loop_chart(through_electrode, through_electrode.installation.circuits[0], "x") is None


def test_heat_chart__marram_by_hand() -> None:
    # Walls 9.4 kg/m2 x 2 x (0.265 x 0.235 + 0.265 x 0.1 + 0.235 x 0.1) m2 = 2.111 kg; 460 x 2.111 +
    # 6 x (1200 x 0.11 + 385 x 0.05) = 1878 J/K; cooling surface 1.4 x 0.265 x 0.335 + 1.8 x 0.1 x
    # 0.235 = 0.16658 m2; 1878 / (5.5 x 0.16658) = 2050 s = 34 min.
    workings = done("marram").case.workings
    constant, rise = (
        workings.find("enclosure-time-constant", "board"),
        workings.find("enclosure-rise", "board"),
    )
    assert constant is not None and rise is not None
    assert (
        constant.value == pytest.approx(34.17, abs=0.05)
        and constant.low < constant.value / 2
        and constant.high > constant.value * 1.9
    )
    drawn = heat_chart(done("marram"), "x")
    assert (
        drawn is not None
        and "12 K in the end, 63 % of it after 34 min" in drawn.alt
        and "no verdict" in drawn.alt
    )
    assert faults_in(drawn.svg) == ()


def test_heat_chart__needs_the_enclosure() -> None:
    assert heat_chart(done("alder"), "x") is None  # rule set nec: no heat is worked


def test_charts__round_as_the_figures_beside_them() -> None:
    """The legend of the surge chart, the drop and the loop print what the steps print."""
    completed, find = done("marram"), done("marram").case.workings.find
    legend = chart_of(completed, "surge-with-spd").alt
    assert (
        f"at the vehicle {shown(find('surge-at-vehicle', 'post-1'))}" in legend
        and f"at the board {shown(find('surge-at-board', 'post-1'))}" in legend
    )
    for drawn, step in ((drop_chart, "voltage-drop"), (loop_chart, "loop-impedance")):
        assert (
            shown(find(step, "slipway"))
            in drawn(completed, completed.installation.circuits[0], "x").alt
        )
    assert (
        f"{shown(find('enclosure-rise', 'board'))} in the end, 63 % of it after"
        f" {shown(find('enclosure-time-constant', 'board'))}" in heat_chart(completed, "x").alt
    )


def test_chart__a_chapter_may_ask_for_the_heat_of_a_board() -> None:
    page, guide = Chapter("x.md", "x.md", ""), Guide(Project(jobs=(done("marram"), done("alder"))))
    answer = chart(page, guide, ("marram", "heat"))
    assert "How fast the air inside the board warms" in answer.html
    assert "not known" in chart(page, guide, ("alder", "heat")).message


@pytest.mark.parametrize(("low", "high"), [(11.0, 2400.0), (16.0, 3000.0), (10.0, 4000.0)])
def test_ticks__a_rated_current_lies_between_two_that_are_at_most_two_and_a_half_apart(
    low: float, high: float
) -> None:
    """On the axis of a time-current chart 16 A must be found by eye."""
    found = ticks(Axis("current in A", low, high, True))
    assert all(above <= 2.5 * below for below, above in zip(found, found[1:]))
    assert 10.0 <= found[0] <= 20.0


@pytest.mark.parametrize("name", ["curlew", "marram"])
def test_time_current_chart__a_tick_stands_left_of_the_design_current(name: str) -> None:
    job = done(name)
    circuit = job.installation.circuits[0]
    drawn = charts_of(job, circuit, "c")[0].svg
    told = re.search(r"design current, for hours, ([\d.]+) A", drawn)
    assert told is not None
    marks = [float(each.replace(",", "")) for each in re.findall(r">([\d,]+)</text>", drawn)]
    design = float(told[1])
    assert any(design / 2.5 <= mark <= design and mark >= 10 for mark in marks)
    assert any(design <= mark <= design * 2.5 for mark in marks)
