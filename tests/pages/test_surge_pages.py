"""What the guide says of surges: steps, parts of pages, charts, and the cache.

No figure here is proof; see test_surge.py.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from changing import done
from drawing_faults import faults_in

from firstway.calculations.surge import SurgeCase, Varistor
from firstway.choosing.completing import Completed, completed
from firstway.drawing.chart import Axis, Chart, ChartLine, chart, nice_top, simplified, ticks
from firstway.model.reading import installation_from_yaml
from firstway.pages.chapters.surge_tables import surge_table
from firstway.pages.chapters.surge_try import try_html
from firstway.pages.jobs.surge_part import CHARTS, chart_of, surge_part
from firstway.workings.surge.runs import run_of, waves_of

DIAGRAMS = Path(__file__).parents[2] / "diagrams"


def job_of(text: str, name: str) -> Completed:
    installation, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation and not problems, problems
    done, problems = completed(installation)
    assert done and not problems, problems
    return done


@cache
def job(name: str) -> Completed:
    return job_of((DIAGRAMS / f"{name}.yaml").read_text(encoding="utf-8"), name)


def changed(name: str, *pairs: tuple[str, str]) -> Completed:
    text = (DIAGRAMS / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return job_of(text, name)


# ---- steps


@pytest.mark.parametrize("name", ["marram", "quince", "sallow", "alder"])
def test_steps__stand_in_the_order_of_nature(name: str) -> None:
    """With a device less than without, the bound above the default, every change no worse than
    before.
    """
    done = job(name)
    for point in done.installation.charging_points:
        find = done.case.workings.find
        value = lambda step_id: find(step_id, point.name).value
        step = find("surge-at-vehicle", point.name)
        assert step is not None and step.kind == "run" and step.low == step.value < step.high
        assert step.value < value("surge-at-vehicle-without-spd")
        assert value("surge-at-board") <= step.value
        for change in ("shorter-leads", "first-way", "second-spd"):
            assert value(f"gain-of-{change}") == step.value - value(f"surge-with-{change}") >= 0
        assert value("vehicle-varistor-energy") < value("vehicle-varistor-energy-without-spd")


def test_steps__voltage_at_1_ma_is_read_or_marked_assumed() -> None:
    given, not_given = job("marram"), job("quince")
    assert given.case.workings.find("surge-at-vehicle", "post-1").assumed == ()
    assert given.case.workings.value("spd-voltage-at-1-ma", "F1") == 430
    assert (
        "board.ways.F2.voltage_at_1_ma_v"
        in not_given.case.workings.find("surge-at-vehicle", "post-1").assumed
    )
    assert not_given.case.workings.value("spd-voltage-at-1-ma", "F2") == pytest.approx(1.64 * 275)


def test_steps__both_laws_meet_the_label() -> None:
    """The protection level is met at the nominal discharge current, by definition of both laws."""
    find = job("marram").case.workings.value
    k, alpha, ohm = (
        find(name, "F1") for name in ("spd-coefficient", "spd-exponent", "spd-series-resistance")
    )
    nominal, level = (
        1000 * find("nominal-discharge-current", "F1"),
        1000 * find("protection-level", "F1"),
    )
    assert Varistor(k, alpha, ohm).volts(nominal) == pytest.approx(level)
    assert Varistor(find("spd-power-coefficient", "F1"), find("spd-power-exponent", "F1")).volts(
        nominal
    ) == pytest.approx(level)


@pytest.mark.parametrize(
    ("pairs", "missing"),
    [
        ((("lead_m: 7.5", "lead_m: unknown"),), "charging_points.post-1.lead_m"),
        (
            (("earth: {length_m: 0.18", "earth: {length_m: unknown"),),
            "board.ways.F1.leads.earth.length_m",
        ),
    ],
)
def test_steps__a_missing_figure_leaves_them_unknown(
    pairs: tuple[tuple[str, str], ...], missing: str
) -> None:
    text = (DIAGRAMS / "marram.yaml").read_text(encoding="utf-8")
    if pairs[0][0] not in text:
        pairs = ((re.search(r"earth: \{length_m: [\d.]+", text)[0], "earth: {length_m: unknown"),)
    done = changed("marram", *pairs)
    step = done.case.workings.find("surge-at-vehicle", "post-1")
    assert step is not None and step.value is None and missing in step.missing and step.ask
    assert "Not known" in surge_part(done) or "not known" in surge_part(done)


def test_steps__figures_of_two_discs_are_unknown() -> None:
    done = changed("marram", ("voltage_at_1_ma_v: 430", "voltage_at_1_ma_v: 1400"))
    step = done.case.workings.find("surge-at-vehicle", "post-1")
    assert step is not None and step.value is None and "data sheet" in step.ask


def test_steps__a_worn_device_counts_as_none() -> None:
    done = changed("marram", ("state: healthy", "state: worn"))
    find = done.case.workings.value
    assert find("surge-at-vehicle", "post-1") == find("surge-at-vehicle-without-spd", "post-1")
    assert "no working surge protective device" in surge_part(done)


def test_findings__nothing_passes_or_fails_on_a_run() -> None:
    assert not [finding for finding in job("quince").findings if "surge-at-vehicle" in finding.id]


# ---- the cache


def test_runs__are_kept_and_a_broken_file_is_worked_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path))
    case = SurgeCase(11.5, 4.25, window_s=2e-6)
    for function in (run_of, waves_of):
        function.cache_clear()
    first, waves = run_of(case), waves_of(case)
    files = sorted(tmp_path.rglob("*.json"))
    assert len(files) == 2
    for text in ("", "[]", '{"board_peak_v": "x"}', None):
        for path in files:
            path.unlink() if text is None else path.write_text(text, encoding="utf-8")
        run_of.cache_clear()
        waves_of.cache_clear()
        assert (run_of(case), waves_of(case)) == (first, waves)


def test_runs__a_folder_that_cannot_be_written_only_costs_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "a-file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("FIRSTWAY_CACHE", str(blocked))
    run_of.cache_clear()
    assert run_of(SurgeCase(12.5, 4.25, window_s=2e-6))


# ---- charts and pages


@pytest.mark.parametrize("name", CHARTS)
def test_chart_of__is_sound_and_says_what_it_shows(name: str) -> None:
    drawn = chart_of(job("marram"), name)
    assert drawn is not None and list(faults_in(drawn.svg)) == []
    tree = ElementTree.fromstring(drawn.svg)
    assert tree.get("role") == "img" and " V" in drawn.alt
    dashes = [
        path.get("stroke-dasharray", "")
        for group in tree.iter()
        if "line" == group.get("class")
        for path in group
        if path.tag.endswith("path")
    ]
    assert len(dashes) == len(set(dashes)) >= 2, "lines are told apart without colour"
    assert drawn == chart_of(job("marram"), name)


def test_chart__an_axis_may_be_logarithmic() -> None:
    drawn = chart(
        Chart(
            "Time against current",
            "a curve",
            Axis("current in A", 10, 5000, True),
            Axis("time in s", 0.01, 1000, True),
            (ChartLine("opens", [(50, 500), (100, 20), (500, 0.02), (5000, 0.02)]),),
        ),
        "t",
    )
    assert list(faults_in(drawn.svg)) == [] and "1,000" in drawn.svg


def test_ticks__are_round() -> None:
    assert ticks(Axis("", 0, 7000), 5) == (0, 2000, 4000, 6000)
    assert ticks(Axis("", 0.1, 100, True)) == (0.1, 1.0, 10.0, 100.0)
    assert ticks(Axis("", 1, 10, True)) == (1.0, 2.0, 5.0, 10.0)
    assert [nice_top(value) for value in (1.0, 99, 1501)] == [1.0, 100, 2000]


def test_simplified__keeps_corners_and_drops_the_rest() -> None:
    assert simplified([(0, 0), (1, 0), (2, 0), (3, 5), (4, 0)]) == [(0, 0), (2, 0), (3, 5), (4, 0)]


@pytest.mark.parametrize("name", ["marram", "sallow", "quince", "alder"])
def test_surge_part__shows_two_waves_a_point_and_the_changes_by_gain(name: str) -> None:
    html = surge_part(job(name))
    points = len(job(name).installation.charging_points)
    stills = points == 1  # folded away below its waves
    assert html.count("<figure") == points + stills and html.count("qualified person") == 1
    ids = re.findall(r'\sid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    for listed in re.findall(r"<ol>.*?</ol>", html, re.DOTALL):
        gains = [
            float(value) for value in re.findall(r'value="([^"]+)" data-step="gain-of', listed)
        ]
        assert gains and gains == sorted(gains, reverse=True) and listed.count("<li>") == 3


def test_try_html__holds_a_table_and_data_no_page_reads_as_mark_up() -> None:
    html = try_html(job("marram"))
    assert html is not None and html.count("<tr>") == 11
    data = re.search(r'<script type="application/json">(.*?)</script>', html, re.DOTALL)
    assert data and "<" not in data[1] and "&" not in data[1]
    # DIN 43880: 17.5 mm a module, as a maker's catalogue quotes it
    assert json.loads(data[1])["module_m"] == pytest.approx(0.0175)


def test_the_way_to_the_first_way__is_the_plans_and_what_the_question_quotes() -> None:
    find = job("quince").case.workings.find
    lead, row, first = (
        step.figure if (step := find(name, of)) else None
        for name, of in (
            ("spd-lead-length-line-to-neutral", "F2"),
            ("row-to-first-way", "post-1"),
            ("leads-in-first-way", "post-1"),
        )
    )
    assert lead and row and first == pytest.approx(lead - row)
    assert row == pytest.approx(2 * 0.0175)  # two modules of DIN 43880 stand ahead of it
    there = job("marram").case.workings.find("row-to-first-way", "post-1")
    assert there and there.figure == 0.0
    asked = (DIAGRAMS.parent / "quiz/bank/surge-more.yaml").read_text(encoding="utf-8")
    asked = asked.partition("- id: surge-first-way-quince")[2].partition("answer:")[0]
    assert "{spd-lead-length-line-to-neutral:F2}" in asked and "{row-to-first-way:post-1}" in asked


def figures_of(name: str) -> dict[str, list[list[float]]]:
    """The values of each row of a table of runs, cell by cell."""
    html = str(surge_table(job("marram"), name))
    rows = re.findall(r'<tr><th scope="row"[^>]*>(.*?)</th>(.*?)</tr>', html, re.DOTALL)
    return {
        words: [[float(value) for value in re.findall(r'value="([^"]+)"', cell)] for cell in cells]
        for words, rest in rows
        for cells in (re.findall(r"<td.*?</td>", rest, re.DOTALL),)
    }


def test_rules_of_thumb__hold_and_fail_where_the_table_says() -> None:
    told = figures_of("rules-of-thumb")
    (_, far), (_, near, _, point, _, ringing) = told["An open end doubles the voltage"]
    assert near < 1.3 < 1.8 < far < 2 < min(point, ringing), "capacitance takes it above two"
    (ampere, joule), (*neutral, by_power, joule_by_power, rectifier) = told[
        "The device takes the work from the vehicle"
    ]
    assert neutral[0] > 5 * ampere and neutral[1] > 5 * joule, "two elements in series hold less"
    assert by_power > neutral[0] < rectifier and joule_by_power > neutral[1]
    (_, five, _, ten), others = told["Each metre of lead adds 1 kV"]
    combination, _, _, strong, beside = others
    assert combination < five < 1 < ten < strong and beside < strong / 2
    (second, both), (lower, all_of) = told["10 m of cable make two devices share"]
    assert second < both / 4 and lower / all_of > second / both
    (_, before, held_down), fails = told["A small capacitor protects"]
    assert held_down < before / 5
    same, no_less, _, rings, rings_higher, _, plain, raised = fails
    assert no_less > same and rings_higher > 1.2 * rings and raised > 1.1 * plain
    (held,), (alone, weak, shared, strong, _, _) = told[
        "An electrode at the point protects the vehicle"
    ]
    assert held < shared < alone / 3 and weak < strong / 3
    (*_, narrow), (*_, wide) = told["Clear of a down-conductor nothing is induced"]
    assert narrow < 2 and wide > 50 * narrow
    assert told["A device also holds a lost neutral"][1][1] > 1  # A, again and again
    assert "10/350" in str(surge_table(job("marram"), "rules-of-thumb")), "named, and not run"


def test_two_devices__of_other_voltages_share_otherwise() -> None:
    told = {words: sum(cells, []) for words, cells in figures_of("cascade").items()}
    lower, alike, higher = (
        told[f"varistor, and one {word}"] for word in ("a fifth lower", "alike", "a fifth higher")
    )
    assert lower[3] > alike[3] > higher[3] and lower[4] < alike[4] < higher[4]
    assert told["spark gap alone"][1] < told["varistor alone"][1] / 5, "a gap takes little energy"
    assert told["spark gap alone"][-1] > told["varistor alone"][-1], "and lets the front pass"


def test_the_controls_redraw_at_once(offline_page: object, built_site: Path) -> None:
    """The page from the file system: a key on a control, and without the device an impulse is
    refused in words.
    """
    page = offline_page.show(
        built_site / "chapters" / "why-surge-protection-protects-the-vehicle.html"
    )
    before = page.inner_text(".surge-told")
    page.focus(".surge-controls input[type=range]")
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "before => document.querySelector('.surge-told').innerText !== before", arg=before
    )
    assert page.locator(".surge-shown svg polyline").count() == 3
    page.locator(".surge-controls select").nth(0).select_option("i20000")
    page.locator(".surge-controls select").nth(1).select_option("none")
    page.wait_for_function(
        "() => document.querySelector('.surge-told').innerText.includes('no finite voltage')"
    )
    page.locator(".surge-controls select").nth(1).select_option("two-term")
    for path, surge, reason in (
        ("1", "i20000", "lifts any earth"),
        ("2", "w6000", "crosses no earth"),
    ):
        page.locator(".surge-controls select").nth(0).select_option(surge)
        page.locator(".surge-controls select").nth(2).select_option(path)
        page.locator(".surge-controls select").nth(3).select_option("yes")
        page.wait_for_function(
            "reason => document.querySelector('.surge-told').innerText.includes('Not run: ') &&"
            " document.querySelector('.surge-told').innerText.includes(reason)",
            arg=reason,
        )
    page.locator(".surge-controls select").nth(0).select_option("l12500")
    page.locator(".surge-controls select").nth(3).select_option("")
    page.wait_for_function(
        "() => document.querySelector('.surge-told').innerText.includes('beyond what a type 2')"
    )
    assert offline_page.troubles == []


def test_a_second_device__leaves_most_of_the_current_to_the_first() -> None:
    """The runs behind these steps are held against ngspice in test_surge.py (`second_spd_a`); here
    only which is which.
    """
    workings = job("marram").case.workings
    alone, first, second = (
        workings.value(name, "post-1")
        for name in (
            "surge-current-of-spd",
            "surge-current-of-spd-beside-second",
            "surge-current-of-second-spd",
        )
    )
    assert alone is not None and first is not None and second is not None
    assert 0 < second < first / 4 and first < alone


def test_surge_part__shows_the_stills_of_its_one_point_and_of_several_none() -> None:
    """A page of several points would pass its size; their stills stand in All pictures."""
    assert surge_part(done("marram")).count('id="surge-along-cable-marram-post-1-drawing"') == 1
    assert "surge-along-cable" not in surge_part(done("sallow"))
