"""The page's table of faults and its marked drawing never say anything but what the checks say.

The jobs are those shipped and those of tests/checks/rules/fault-opens-in-time.yaml, whose levels
rest on clauses; what is held here is that page, drawing and finding are one judgement.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from bs4 import BeautifulSoup
from changing import Change, done, findings
from sampling import JOBS

from firstway.checks.faults import fault_parts
from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed
from firstway.drawing.marked_places import highlighted
from firstway.drawing.wiring_diagram import wiring_diagram, wiring_layout
from firstway.pages.jobs.faults_part import faults_part
from firstway.rendering.findings import LEVEL_WORDS

RULE = "fault-opens-in-time"
CASES = yaml.safe_load(
    (Path(__file__).parents[1] / "checks" / "rules" / f"{RULE}.yaml").read_text(encoding="utf-8")
)
EACH: list[tuple[str, tuple[Change, ...]]] = [
    *((name, ()) for name in JOBS),
    *(
        (case["installation"], tuple((old, new) for old, new in case["changes"]))
        for case in CASES
        if "changes" in case
    ),
    # what rests on something assumed is no pass
    ("marram", (("supply.ze_ohm: declared", "supply.ze_ohm: assumed"),)),
]


def part_of(job: Completed) -> BeautifulSoup:
    html = faults_part(job, wiring_layout(job), wiring_diagram(job, "w"))
    return BeautifulSoup(html, "html.parser")


def by_part(job: Completed) -> dict[str, Finding]:
    return {finding.of: finding for finding in findings(job, RULE)}


@pytest.mark.parametrize(("name", "changes"), EACH)
def test_every_row_bears_the_level_of_its_finding(name: str, changes: tuple[Change, ...]) -> None:
    job = done(name, *changes)
    said = by_part(job)
    named = {part.words: part.of for part in fault_parts(job.case)}
    rows = part_of(job).select("table.faults tbody tr")
    assert rows and (said or job.installation.rules == "nec")
    shown = {}
    for row in rows:
        part = next(iter(row.th.stripped_strings)) if job.installation.rules != "nec" else ""
        mark = row.select_one(".verdict")
        shown[named.get(part, part)] = mark.text if mark else LEVEL_WORDS["pass"]
    if job.installation.rules == "nec":
        assert set(shown.values()) == {LEVEL_WORDS["pass"]}, "no rule of this set judges them"
        return
    assert shown == {of: LEVEL_WORDS[finding.level] for of, finding in said.items()}


@pytest.mark.parametrize(("name", "changes"), EACH)
def test_the_drawing_marks_what_the_findings_name(name: str, changes: tuple[Change, ...]) -> None:
    job = done(name, *changes)
    grave = [each for each in findings(job, RULE) if each.level in ("danger", "fail")]
    marked = part_of(job).select_one("svg.fw-marked")
    if job.installation.rules == "nec":
        assert marked is None, "how long a fault lasts is not known there"
        return
    assert marked is not None and marked.desc is not None
    words, levels = marked.desc.text, {each.level for each in grave}
    assert ("opens nothing for certain" in words) == ("danger" in levels)
    assert ("longer than the rules allow" in words) == ("fail" in levels)
    assert ("lasts longest" in words) == (not levels)
    layout, drawn = wiring_layout(job), wiring_diagram(job, "w")
    shown = {str(each) for each in marked.select("circle, rect, path")}
    assert shown
    for each in grave:
        # a device ahead of the board is no part of the drawing: it begins at the origin
        only = highlighted(layout, drawn, [each.place], "") or highlighted(
            layout, drawn, ["origin"], ""
        )
        assert only is not None
        rings = BeautifulSoup(only.svg, "html.parser").select("circle, rect, path")
        assert {str(ring) for ring in rings} <= shown, each.place


def test_an_insulated_place_is_told_as_such_where_nothing_opens() -> None:
    """BS 7671 531.3.5.3.1: ahead of the first residual current device the tails of a TT supply are
    of class II or equivalent; no fuse opens at 3.1 A.
    """
    row = part_of(done("tern")).select("table.faults tbody tr")[0].text
    assert "at the load side of the service device, L1" in row
    assert "Nothing opens for certain" in row and "keeps the line off metal here" in row
    assert "insulation" in row
    assert "Danger" not in row
