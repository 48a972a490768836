"""Stages of fitting: complete, earth first, supply last; paths of overlays held to the graph by a
search of the test's own.

The order itself is common practice; that nothing is missing and nothing is live before its earth is
proved from the wiring.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from changing import done
from drawing_faults import faults_in
from sampling import JOBS

from firstway.choosing.completing import Completed
from firstway.drawing.ink import MOST_STAGES, page_stylesheet, standalone_stylesheet
from firstway.drawing.inside_device import inside_of
from firstway.drawing.labels import meets
from firstway.drawing.marked_places import highlighted
from firstway.drawing.overlays import overlaid, overlay, overlays_of, staged
from firstway.drawing.painted import painted_in
from firstway.drawing.stages import AUTHORISED_STAGE, stages_of
from firstway.drawing.svg import Drawn
from firstway.drawing.wiring_diagram import wiring_diagram, wiring_layout

every_job = pytest.mark.parametrize("name", JOBS)


@every_job
def test_stages_of__every_part_and_conductor_is_in_exactly_one(name: str) -> None:
    wiring, stages = done(name).case.wiring.drawn, stages_of(done(name))
    assert sorted(part for stage in stages for part in stage.parts) == sorted(
        part.name for part in wiring.parts
    )
    assert sorted(each for stage in stages for each in stage.conductors) == sorted(
        conductor.id for conductor in wiring.conductors
    )


@every_job
def test_stages_of__earth_before_live(name: str) -> None:
    wiring, stages = done(name).case.wiring.drawn, stages_of(done(name))
    functions = {conductor.id: conductor for conductor in wiring.conductors}
    order = [functions[each] for stage in stages for each in stage.conductors]
    main = next(place for place, each in enumerate(order) if each.id == "feed.PE")
    live = [
        place for place, each in enumerate(order) if each.function != "PE" and each.kind != "bar"
    ]
    supply = next(place for place, stage in enumerate(stages) if stage.id == "tails")
    if done(name).installation.rules == "nec":
        # A feeder's grounding conductor runs with its feeder (NFPA 70 250.134, 300.3(B), from
        # memory): nothing is joined to a supply before it.
        assert (
            main == min(place for place, each in enumerate(order) if each.cable == "feed")
            and "feed.PE" in stages[supply].conductors
        )
    else:
        assert main < min(live)
    for circuit in {each.cable for each in order if each.cable}:
        own = [each.function == "PE" for each in order if each.cable == circuit]
        assert own == sorted(own, reverse=True), circuit


@every_job
def test_stages_of__the_supply_end_is_last_and_for_authorised_persons(name: str) -> None:
    stages = stages_of(done(name))
    ids = [stage.id for stage in stages]
    assert ids[-3:] == ["tails", "supply-end", "live-tests"]
    assert (
        next(stage for stage in stages if "origin" in stage.parts).by
        == AUTHORISED_STAGE
        == "authorised person only"
    )
    assert ids.index("dead-tests") < ids.index("tails")
    assert stages[-1].parts == stages[-1].conductors == ()


@every_job
def test_stages_of__each_says_what_must_be_dead_and_by_whom(name: str) -> None:
    for stage in stages_of(done(name)):
        assert stage.reason and stage.isolation and stage.by, stage.id
        words = " ".join((stage.title, stage.reason, stage.isolation, *stage.points)).lower()
        assert "withdraw" not in words and "cut-out" not in words and "pull the" not in words


# Overlays


def _reached(name: str, device: str, line_only: bool = False) -> set[str]:
    """Terminals still joined to the origin's live terminals with a device open, by a search that
    knows only names and the file.
    """
    wiring, installation = done(name).case.wiring.drawn, done(name).installation
    switched = {way.name: way.switched_poles for way in installation.board.ways}
    pairs = [(c.start, c.end) for c in wiring.conductors if c.function not in ("PE", "PEN")]
    ends = {terminal.id for terminal in wiring.terminals}
    for terminal in wiring.terminals:
        other = terminal.id.replace(".supply.", ".load.")
        if other == terminal.id or other not in ends:
            continue
        opens = terminal.function != "N" or (
            not line_only
            and (terminal.device not in switched or (switched[terminal.device] or 0) > 1)
        )
        if not (terminal.device == device and opens):
            pairs.append((terminal.id, other))
    found = {
        terminal.id
        for terminal in wiring.terminals
        if terminal.device == "origin" and terminal.function != "PE"
    }
    while True:
        more = {b for a, b in pairs if a in found} | {a for a, b in pairs if b in found}
        if more <= found:
            return found
        found |= more


def overlay_path(completed: Completed, kind: str, of: str = "") -> tuple[str, ...]:
    """Ids of the conductors an overlay marks, in the order of the path."""
    found = overlay(completed, kind, of)
    known = {conductor.id for conductor in completed.case.wiring.drawn.conductors}
    assert found is not None
    return tuple(dict.fromkeys(leg.link for leg in found.legs if leg.link in known))


@pytest.mark.parametrize("name", ["marram", "quince", "tern"])
@pytest.mark.parametrize("kind", ["main-switch-off", "device-off", "device-off-line-only"])
def test_overlay_path__what_stays_joined_is_what_a_search_reaches(name: str, kind: str) -> None:
    completed = done(name)
    device = (
        "Q1"
        if kind == "main-switch-off"
        else next(way.name for way in completed.installation.board.ways if way.device == "rcbo")
    )
    reached = _reached(name, device, kind.endswith("line-only"))
    wanted = {
        c.id
        for c in completed.case.wiring.drawn.conductors
        if c.start in reached and c.end in reached
    }
    assert set(overlay_path(completed, kind)) == wanted


@every_job
@pytest.mark.parametrize("kind", ["load", "earth-fault", "short-circuit", "surge"])
def test_overlay__each_leg_begins_where_the_last_one_ended_or_at_a_device(
    name: str, kind: str
) -> None:
    completed = done(name)
    found = overlay(completed, kind)
    if found is None:
        assert kind == "surge" or kind == "short-circuit"
        return
    wiring = completed.case.wiring.drawn
    conductors = {c.id: c for c in wiring.conductors}
    for leg in found.legs:
        if leg.link in conductors:
            assert {leg.start, leg.end} == {conductors[leg.link].start, conductors[leg.link].end}
        else:
            assert wiring.terminal(leg.start).device == wiring.terminal(leg.end).device
    breaks = [
        (one.end, two.start) for one, two in zip(found.legs, found.legs[1:]) if one.end != two.start
    ]
    assert all(
        two.startswith("origin.") or one.split(".")[0] == two.split(".")[0] for one, two in breaks
    ), breaks
    assert found.legs[0].start.startswith("origin.")
    assert found.legs[-1].end.split(".")[0] in {
        "origin",
        *(item.name for item in completed.installation.electrodes),
    }


@every_job
def test_overlays_of__leave_out_no_point_circuit_or_device(name: str) -> None:
    completed = done(name)
    made, told = completed.installation, {}
    for found in overlays_of(completed):
        told.setdefault(found.kind, []).append(found.of)
    assert (
        told["load"]
        == told["earth-fault"]
        == [point.name for circuit in made.circuits for point in made.points_of(circuit)]
    )
    assert told["device-off"] == [circuit.name for circuit in made.circuits]
    assert told.get("surge", []) == [way.name for way in made.board.ways if way.device == "spd"]


def test_overlay_path__of_the_second_circuit_keeps_off_the_first() -> None:
    completed = done("sallow")
    for kind, of in (
        ("load", "gate-post"),
        ("earth-fault", "gate-post"),
        ("short-circuit", "gate"),
    ):
        path = overlay_path(completed, kind, of)
        assert path and not [each for each in path if each.startswith("yard.")]
    device = completed.installation.way_feeding("gate").name
    reached = _reached("sallow", device)
    assert set(overlay_path(completed, "device-off", "gate")) == {
        c.id
        for c in completed.case.wiring.drawn.conductors
        if c.start in reached and c.end in reached
    }


def test_overlay__names_every_device_and_bar_on_the_way_of_a_load() -> None:
    """Read from the file by hand: R1 and R2 pass both conductors, F2 and F3 the line alone."""
    for of, residual, breaker in (("north-bay", "R1", "F2"), ("south-bay", "R2", "F3")):
        found = overlay(done("curlew"), "load", of)
        assert found is not None
        out, back = found.words.split(". ")[0].split(", and back by the neutral through ")
        assert out.endswith(f"the main switch, the line bar, {residual} and {breaker} to the point")
        assert (
            back == f"neutral bar {residual}, {residual}, the main neutral bar and the main switch"
        )


def test_overlay_path__marram_by_hand() -> None:
    # Traced by finger on the file: one phase, TN-C-S, surge device F1 and RCBO F2 on the bar,
    # armoured cable with its own core.
    assert overlay_path(done("marram"), "main-switch-off") == ("feed.L1", "feed.N")
    load = overlay_path(done("marram"), "load")
    assert (
        load[0] == "feed.L1" and load[-1] == "feed.N" and {"slipway.L1", "slipway.N"} <= set(load)
    )
    assert not any(each.startswith("lead.") or each.endswith(".PE") for each in load)
    assert "slipway.N" in overlay_path(done("marram"), "device-off-line-only")
    assert "slipway.N" not in overlay_path(done("marram"), "device-off")
    assert "lead.PE.F1" in overlay_path(done("marram"), "surge") and "slipway.PE" in overlay_path(
        done("marram"), "earth-fault"
    )


# The pictures


@pytest.mark.parametrize("name", ["marram", "sallow", "alder"])
def test_staged_and_overlaid__refer_to_the_one_drawing_and_name_no_colour(name: str) -> None:
    completed = done(name)
    drawn, sheet = wiring_diagram(completed, f"{name}-wiring"), wiring_layout(completed)
    stages = stages_of(completed)
    pictures = [staged(sheet, drawn, stages, place) for place in range(1, len(stages) + 1)] + [
        overlaid(sheet, drawn, each) for each in overlays_of(completed)
    ]
    assert len(stages) <= MOST_STAGES
    for picture in pictures:
        assert (
            picture.svg.count(f'<use href="#{drawn.id}"') == 1
            and "<script" not in picture.svg
            and "<animate" not in picture.svg
        )
        assert set(re.findall(r'(?:stroke|fill)="([^"]*)"', picture.svg)) <= {
            "none",
            "var(--fw-mark)",
            "var(--fw-paper)",
        }
        assert len(picture.svg) < 12_000
        ElementTree.fromstring(picture.svg)


def _opacity(rules: str, chosen: str, stage: int, place: int) -> float:
    """What a browser makes of the rule of `chosen` in a group of a stage, in a drawing that stands
    at `stage`.
    """
    there = dict(re.findall(r"\.s(\d+)\{--fw-there:([^;]*);", rules))[str(place)]
    said = re.search(
        r"(?<![\w) ])" + re.escape(chosen) + r"\{(?:[^{}]*;)?opacity:([^;}]*)\}", rules
    )
    assert said, f"no rule says how faint {chosen} is"
    text = said[1]
    for name, value in (("there", there), ("stage", str(stage))):
        text = re.sub(rf"var\(--fw-{name}(?:,\d+)?\)", f"({value})", text)
    text = re.sub(r"clamp\(([^,()]*),(\([^,()]*\)[^,()]*),([^,()]*)\)", r"min(max(\1,\2),\3)", text)
    assert re.fullmatch(r"[\d\s.,()+-]+", re.sub("min|max", "", text)), text
    return float(eval(text))


@pytest.mark.parametrize(
    "rules", [page_stylesheet(), standalone_stylesheet(6)], ids=["page", "file"]
)
def test_words__of_what_comes_later_are_not_there_rather_than_pale(rules: str) -> None:
    """WCAG 2.2, 1.4.3: a text has a contrast of 4.5, or is not there; 16 % of any ink has 1.4."""
    words = ".fw-wiring :is(text,.label)"
    for stage, place in ((6, 6), (6, 7), (1, 18), (18, 1)):
        shown = 1.0 if place <= stage else 0.0
        assert _opacity(rules, words, stage, place) == shown
        assert 0 < _opacity(rules, f".s{place}", stage, place) < 1.01
    svg = wiring_diagram(done("marram"), "x").svg
    classes = re.search(r'<svg[^>]* class="([^"]*)"', svg)
    assert classes and "fw-wiring" in classes[1].split()
    assert re.search(r'class="label s\d+"', svg)


@every_job
def test_inside_of__names_the_terminals_of_the_wiring_and_is_clean(name: str) -> None:
    completed = done(name)
    for way in completed.installation.board.ways:
        drawn = inside_of(completed, way.name, "x")
        if drawn is None:
            assert (
                way.device != "spd"
                or way.connection not in ("CT1", "CT2")
                or completed.installation.rules == "nec"
            )
            continue
        functions = {
            terminal.function for terminal in completed.case.wiring.drawn.terminals_of(way.name)
        }
        assert {
            text.text
            for text in ElementTree.fromstring(drawn.svg).iter("{http://www.w3.org/2000/svg}text")
        } == functions
        assert faults_in(drawn.svg) == () and drawn.alt.startswith(f"Inside {way.name}: ")


@every_job
def test_wiring_diagram__every_part_and_conductor_bears_its_stage(name: str) -> None:
    completed = done(name)
    groups = {group.id: group.classes.split() for group in wiring_layout(completed).groups}
    for place, stage in enumerate(stages_of(completed), 1):
        for each in stage.conductors:
            assert f"s{place}" in groups[f"wire.{each}"]
        for each in stage.parts:
            assert each not in groups or f"s{place}" in groups[each]


def _arrows_on_words(drawn: Drawn, marked: Drawn, style: str) -> list[str]:
    """Arrows of this style over a drawing that stand on its words, both read back from the SVG."""
    texts = [thing for thing in painted_in(drawn.svg).things if thing.words]
    over = marked.svg.partition("<use")[2]
    arrows = "".join(re.findall(rf"<path [^>]*{style}[^>]*>", over))
    root = f'<svg xmlns="http://www.w3.org/2000/svg" stroke="x"><g id="a">{arrows}</g></svg>'
    return [
        text.words
        for arrow in painted_in(root).things
        for text in texts
        if meets(arrow.bounds, text.bounds)
    ]


@every_job
def test_arrows__stand_on_no_words(name: str) -> None:
    completed = done(name)
    drawn, sheet = wiring_diagram(completed, f"{name}-wiring"), wiring_layout(completed)
    for each in overlays_of(completed):
        assert _arrows_on_words(drawn, overlaid(sheet, drawn, each), 'fill="var') == [], each.title
    for each in completed.case.wiring.drawn.conductors:
        found = highlighted(sheet, drawn, [each.id], "here")
        assert found is None or _arrows_on_words(drawn, found, 'stroke-width="3"') == [], each.id
