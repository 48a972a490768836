"""The script of "Try it" and the Python solver give the same figures: in node, and in the page of a
real browser.

`surge_cases.json` holds the cases both must agree on, with what our Python gave: a regression of
our own, no proof; the proof of the Python stands in test_surge.py. Rewrite the file with `python
tests/pages/test_surge_script.py`.
"""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest
from telling import Tell

from firstway.calculations.surge import GapLaw, Refused, SurgeCase, Varistor, power_law
from firstway.calculations.surge_running import surge_run
from firstway.workings.surge.model import surge_model

HERE = Path(__file__).parents[1]
SCRIPT = HERE.parent / "content" / "assets" / "surge.js"
CASES = HERE / "surge_cases.json"
LARGEST_BYTES = 25_000
FIGURES = (
    "board_peak_v",
    "point_peak_v",
    "vehicle_peak_v",
    "spd_peak_a",
    "second_spd_peak_a",
    "vehicle_peak_a",
    "vehicle_energy_j",
    "spd_energy_j",
    "second_spd_energy_j",
)
NODE = r"""
const {run} = require(process.argv[1]); let text = ""; process.stdin.on("data", part => text += part).on("end", () => {
  const {model, cases} = JSON.parse(text); const times = [];
  const done = cases.map(each => { const begin = process.hrtime.bigint(); const r = run(each.case, model);
    times.push(Number(process.hrtime.bigint() - begin) / 1e6); delete r.times_s; delete r.board; delete r.point; delete r.vehicle; return r; });
  console.log(JSON.stringify({done, times})); });
"""


def chosen_cases() -> list[SurgeCase]:
    two, power = Varistor(450 / 0.001**0.03, 0.03, 0.035), power_law(0.07, 1500, 20000)
    base, gap = SurgeCase(15, 7.5, two, 0.5), GapLaw(1500.0, 30.0)
    return [
        base,
        replace(base, spd=None),
        replace(base, spd=power),
        replace(base, lead_m=0.0),
        replace(base, lead_m=2.0),
        replace(base, supply_m=43.7, cable_m=5.3),
        replace(base, supply_m=2.0),
        replace(base, second_spd=two),
        replace(base, vehicle="capacitor"),
        replace(base, vehicle="varistor"),
        replace(base, vehicle="varistor", spd=None),
        replace(base, vehicle="varistor-and-capacitor"),
        replace(base, vehicle="rectifier"),
        replace(base, source="current-impulse"),
        replace(base, source="current-impulse", impulse_a=5000.0, vehicle="varistor"),
        replace(base, surge_v=2000.0),
        replace(base, contactor_closed=False),
        replace(base, mains_v=-325.0, vehicle="varistor"),
        replace(base, loop_ohm=1.0, vehicle="capacitor"),
        replace(base, spd=None, source="current-impulse"),
        replace(base, source="ring-wave", loss_ohm_per_m=0.05),
        replace(base, source="ring-wave", ring_ohm=30.0, vehicle="rectifier"),
        replace(base, source="long-impulse", impulse_a=5000.0, vehicle="varistor"),
        replace(base, spd=None, spd_gap=gap),
        replace(base, spd_gap=gap, second_spd=two, vehicle="varistor"),
        replace(base, spd=None, spd_gap=gap, second_gap=gap, source="current-impulse"),
        replace(base, board_earth_ohm=10.0, point_earth_ohm=60.0, vehicle="varistor"),
        replace(base, board_earth_ohm=10.0, point_earth_ohm=60.0, second_spd=power),
        replace(base, point_farad=4.7e-9),
        replace(base, second_spd=power, loss_ohm_per_m=0.1, vehicle="capacitor"),
    ]


def figures(case: SurgeCase) -> dict[str, Any]:
    result = surge_run(case, surge_model())
    return (
        {"refused": result.message}
        if isinstance(result, Refused)
        else {name: getattr(result, name) for name in FIGURES}
    )


def written() -> dict[str, Any]:
    return {
        "model": asdict(surge_model()),
        "cases": [{"case": asdict(case), "expected": figures(case)} for case in chosen_cases()],
    }


def kept() -> dict[str, Any]:
    return json.loads(CASES.read_text(encoding="utf-8"))


def agree(ours: dict[str, Any], theirs: dict[str, Any]) -> None:
    assert len(ours["cases"]) == len(theirs["done"])
    for each, got in zip(ours["cases"], theirs["done"]):
        if "refused" in each["expected"]:
            assert got.get("refused"), each["case"]
            continue
        for name, value in each["expected"].items():
            assert got[name] == pytest.approx(value, rel=0.001, abs=1e-6), (name, each["case"])


def test_the_script_is_small_and_asks_for_nothing() -> None:
    text = SCRIPT.read_text(encoding="utf-8")
    assert len(text.encode()) <= LARGEST_BYTES
    assert not [
        word
        for word in ("fetch(", "XMLHttpRequest", "innerHTML", "localStorage", "eval(")
        if word in text
    ]
    assert text.count("http") == text.count("http://www.w3.org/2000/svg"), (
        "the name of SVG is the only address"
    )


def test_the_python_still_gives_the_kept_figures() -> None:
    for ours, theirs in zip(written()["cases"], kept()["cases"], strict=True):
        assert ours["case"] == theirs["case"]
        assert ours["expected"] == (
            theirs["expected"]
            if "refused" in theirs["expected"]
            else pytest.approx(theirs["expected"], rel=1e-9)
        )


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not on this machine")
def test_the_script_agrees_in_node(tell: Tell) -> None:
    done = subprocess.run(
        ["node", "-e", NODE, str(SCRIPT)],
        input=CASES.read_text(encoding="utf-8"),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    theirs = json.loads(done.stdout)
    agree(kept(), theirs)
    tell(
        f"surge.js in node: median of {len(theirs['done'])} runs"
        f" {statistics.median(theirs['times']):.1f} ms, slowest {max(theirs['times']):.1f} ms"
    )


@pytest.mark.browser
def test_the_script_agrees_in_a_browser(browser: Any) -> None:
    page = browser.new_page()
    try:
        page.set_content("<p>runs</p>")
        page.add_script_tag(content=SCRIPT.read_text(encoding="utf-8"))
        agree(
            kept(),
            page.evaluate(
                """({model, cases}) => ({done: cases.map(each => { const r = window.firstwaySurge.run(each.case, model);
            delete r.times_s; delete r.board; delete r.point; delete r.vehicle; return r; })})""",
                kept(),
            ),
        )
    finally:
        page.close()


if __name__ == "__main__":
    CASES.write_text(json.dumps(written(), indent=1) + "\n", encoding="utf-8")
    print(f"{len(chosen_cases())} cases written", file=sys.stderr)
