"""Pictures of tests and of the open PEN: true to the steps, and nothing in them that would hurt who
does the same.

Outside the project: an instrument of insulation drives 1 mA at its nominal voltage (IEC 61557-2),
so a surge device left in reads its voltage at 1 mA by Ohm's law; what a live test may touch, and
that dead is proved with an indicator proved before and after, is HSE's GS38 and HSG85 (from
memory), told by common practice. The figures of steps are proved where the steps are.
"""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml
from changing import done, text_of
from drawing_faults import faults_in

from firstway import tables
from firstway.checks.expecting import expected_readings
from firstway.drawing.hands.frame import Made
from firstway.drawing.hands.library import BY_ID, TEST_PICTURES, drawn_picture, drawn_tests
from firstway.drawing.hands.strokes import moved_by
from firstway.drawing.sheet import Box, Disc, Drawable, Group, Lettering, Ref, Strands
from firstway.drawing.svg import drawn_from, plain_shapes, shapes_once
from firstway.rendering.html import Markup, joined

OF = {
    "marram": ("slipway", "post-1", "rod-1"),
    "tern": ("shed", "shed-point", "rods"),
    "osier": ("yard", "yard-post", "rod-1"),
}
LIVE = ("test-loop", "test-residual", "test-phase-sequence", "test-electrode-loop")
DEAD = ("test-protective-conductor", "test-r1-r2", "test-insulation", "test-polarity")


@cache
def made(picture: str, job: str, of: str) -> Made:
    found = drawn_picture(BY_ID[picture], done(job), of)
    assert not isinstance(found, str), found
    return found[0]


def said(of: Made, panel: str = "") -> list[str]:
    """The words of a picture, or of one panel of it."""
    return [
        item.words
        for group in of.sheet.groups
        if group.id.startswith(panel)
        for item in group.items
        if isinstance(item, Lettering)
    ]


def written(ohm: float) -> str:
    """As an instrument shows it: hundredths, beyond 10 ohm tenths."""
    return f"{ohm:.2f} Ω" if ohm < 10 else f"{ohm:.1f} Ω"


@pytest.mark.parametrize("job", OF)
def test_readings__equal_the_steps(job: str) -> None:
    circuit, _, rod = OF[job]
    case = done(job).case
    for picture, step in (
        ("test-r1-r2", "r1-plus-r2-reading"),
        ("test-loop", "loop-impedance-reading"),
    ):
        worked = case.step(step, circuit)
        assert worked is not None and worked.value is not None
        assert written(worked.value) in said(made(picture, job, circuit), "a.")
    electrode = case.step("electrode-resistance", rod)
    if electrode is not None and electrode.value is not None:
        assert written(electrode.value) in said(made("test-electrode", job, rod), "a.")


def test_surge_device_left_in__reads_its_voltage_at_one_milliampere() -> None:
    ways = yaml.safe_load(text_of("marram"))["board"]["ways"]
    volts = next(way for way in ways if way["device"] == "spd")["voltage_at_1_ma_v"]
    told = said(made("test-insulation", "marram", "slipway"), "c.")
    assert f"≈ {volts / 1e-3 / 1e6:.2f} MΩ" in told


def test_open_pen__says_the_volts_of_the_step_and_the_limit() -> None:
    case = done("marram").case
    volts, limit = (case.step(each, "supply") for each in ("open-pen-voltage", "open-pen-limit"))
    assert volts is not None and volts.value and limit is not None and limit.value
    told = made("open-pen", "marram", "supply")
    assert f"{volts.value:.0f} V" in said(told, "a.") and "apart" in said(told, "b.")
    assert any(f"above {limit.value:.0f} V" in each for each in said(told, "b."))
    device = yaml.safe_load(text_of("marram"))["charging_points"][0]["open_pen"]
    assert any(f"within {device['acts_within_s']} s" in each for each in said(told, "b."))
    assert f"{volts.value:.0f} V" in said(told, "c."), "lines alone: the vehicle stays lifted"


def _panel(of: Made, letter: str) -> dict[str, Group]:
    return {
        group.id.partition(".")[2]: group
        for group in of.sheet.groups
        if group.id.startswith(f"{letter}.")
    }


def _shape(group: Group | None) -> object:
    """What is drawn, wherever the panel stands."""
    if group is None:
        return None
    return [item.shape if isinstance(item, Ref) else item for item in group.items]


@pytest.mark.parametrize(
    ("picture", "of", "panels", "changed"),
    [
        ("test-r1-r2", "slipway", "ab", {"link", "wrong"}),
        ("test-insulation", "slipway", "bc", {"devices", "wrong"}),
        ("test-polarity", "slipway", "ab", {"point", "wrong"}),
        ("test-protective-conductor", "board", "ab", {"main-conductor", "wrong"}),
        ("test-loop", "slipway", "ab", set()),
        ("test-residual", "slipway", "ab", {"fronts"}),
        ("test-bonding", "boathouse", "ab", {"pipe", "wrong"}),
        ("test-electrode", "rod-1", "ab", {"own-lead", "wrong"}),
        ("open-pen", "supply", "bc", {"point", "current"}),
    ],
)
def test_wrong__is_the_right_one_with_one_thing_changed(
    picture: str, of: str, panels: str, changed: set[str]
) -> None:
    right, wrong = (_panel(made(picture, "marram", of), letter) for letter in panels)
    names = {*right, *wrong} - {"names", "words"}
    differ = {each for each in names if _shape(right.get(each)) != _shape(wrong.get(each))}
    assert differ == changed


@pytest.mark.parametrize("picture", DEAD)
def test_dead_work__looks_dead(picture: str) -> None:
    of = "board" if picture == "test-protective-conductor" else "slipway"
    drawn = made(picture, "marram", of)
    for letter in {group.id[0] for group in drawn.sheet.groups if group.id[1:] == ".names"}:
        told = " ".join(said(drawn, f"{letter}."))
        assert "locked off, proved dead" in told and "proved before and after" in told
        assert "sign" in _panel(drawn, letter)
        if of == "slipway":
            assert "Q1 off" in told and "F2 off" in told


def _drawn(drawn: Made, letter: str, group: str) -> list[Drawable]:
    """What a group of a panel shows, where it stands."""
    found: list[Drawable] = []
    for item in _panel(drawn, letter)[group].items:
        if isinstance(item, Ref):
            found += (moved_by(each, item.x, item.y) for each in drawn.sheet.shapes[item.shape])
        else:
            found.append(item)
    return found


def _adapter(drawn: Made, letter: str) -> Box:
    box = _drawn(drawn, letter, "adapter")[0]
    assert isinstance(box, Box)
    return box


@pytest.mark.parametrize("picture", LIVE)
def test_live_work__has_its_covers_on_and_leads_at_the_adapter_alone(picture: str) -> None:
    job = "osier" if picture == "test-phase-sequence" else "tern"
    of = OF[job][2 if picture == "test-electrode-loop" else 0]
    drawn = made(picture, job, of)
    for letter in "ab":
        panel = _panel(drawn, letter)
        assert not {"cores", "devices", "case"} & set(panel), "no cover is off"
        told = " ".join(said(drawn, f"{letter}."))
        assert "skilled persons only" in told and "cover on" in told
        box = _adapter(drawn, letter)
        tips = [at for name, at in drawn.points.items() if name.startswith(f"{letter}.tip.")]
        assert tips
        for x, y in tips:
            assert box.x <= x <= box.x + box.width and box.y <= y <= box.y + box.height


@pytest.mark.parametrize(("picture", "job"), [("test-loop", "tern"), ("test-loop", "osier")])
def test_adapters_cable__ends_at_the_outlet_of_the_point(picture: str, job: str) -> None:
    """From the adapter's edge to the socket or the lead of the point, clear of every lead."""
    drawn = made(picture, job, OF[job][0])
    box = _adapter(drawn, "a")
    point = _drawn(drawn, "a", "point")
    cable = next(each for each in point if isinstance(each, Strands))
    outlet = next(each for each in point if isinstance(each, Disc))
    (x, low), (_, up) = cable.points
    assert abs(up - box.y - box.height) < 0.1 and box.x < x < box.x + box.width
    assert abs(x - outlet.x) <= outlet.radius and abs(low - outlet.y) <= outlet.radius
    tips = [at[0] for name, at in drawn.points.items() if name.startswith("a.tip.")]
    assert all(each < x - 6 for each in tips), "no lead lies on it"


def _toggles(drawn: Made, letter: str) -> dict[str, bool]:
    """Whether the toggle of each device stands up, by the name below it."""
    boxes = [each for each in _drawn(drawn, letter, "fronts") if isinstance(each, Box)]
    slots = [each for each in boxes if each.fill == "zhole"]
    levers = [each for each in boxes if each.fill == "zz2"]
    names = [
        each
        for each in _panel(drawn, letter)["names"].items
        if isinstance(each, Lettering) and re.fullmatch(r"[FQ]\d", each.words)
    ]
    found = {}
    for slot, lever in zip(slots, levers):
        middle = slot.x + slot.width / 2
        name = min(names, key=lambda each: abs(each.x - middle))
        assert abs(name.x - middle) < 0.1, "the name stands below its device"
        found[name.words] = lever.y + lever.height / 2 < slot.y + slot.height / 2
    return found


@pytest.mark.parametrize("job", OF)
def test_residual_device__that_opened_has_its_toggle_down_and_no_other(job: str) -> None:
    drawn = made("test-residual", job, OF[job][0])
    opened = re.search(r"Right: (\w+) opens", " ".join(said(drawn, "a.words")))
    assert opened
    right, wrong = _toggles(drawn, "a"), _toggles(drawn, "b")
    assert set(right) == set(wrong) and len(right) >= 2
    assert right == {name: name != opened[1] for name in right}
    assert all(wrong.values()), "no trip: all stay up"
    assert not [each for each in said(drawn, "a.names") if "≤" in each], "a limit is no reading"


@pytest.mark.parametrize(("job", "colour"), [("marram", "green-and-yellow"), ("alder", "green")])
def test_protective_conductor__is_missing_where_the_ring_stands(job: str, colour: str) -> None:
    """One conductor of one colour; what is not joined is at the other end, not at this board."""
    drawn = made("test-protective-conductor", job, "board")
    inks = []
    for group in ("cores", "main-conductor"):
        strand = _drawn(drawn, "a", group)[0]
        assert isinstance(strand, Strands)
        inks.append([ink for ink, _, _ in strand.layers])
    assert inks[0] == inks[1] and len(inks[0]) == (3 if colour == "green-and-yellow" else 2)
    ring, bar = _drawn(drawn, "b", "wrong")[0], _drawn(drawn, "b", "main-earth")[0]
    assert isinstance(ring, Strands) and isinstance(bar, Box)
    xs, ys = zip(*ring.points)
    middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    assert bar.x < middle[0] < bar.x + bar.width
    assert min(ys) < bar.y + bar.height < max(ys), "it lies on the edge of the bar"
    bare = _drawn(drawn, "b", "main-conductor")[-1]
    assert isinstance(bare, Strands)
    end = bare.points[-1]
    assert end[1] > bar.y + bar.height, "the end hangs below and touches nothing"
    assert abs(end[0] - middle[0]) < 20 and end[1] - middle[1] < 30, "beside the ring"


@pytest.mark.parametrize("picture", ["test-protective-conductor", "test-insulation"])
def test_leads__look_like_no_white_conductor(picture: str) -> None:
    """Rule set nec has a white neutral (NFPA 70 200.6, from memory): no lead there is white."""
    drawn = made(picture, "alder", "board" if "protective" in picture else "garage")
    for letter in "ab":
        for name in _panel(drawn, letter):
            if name.startswith("lead."):
                strand = _drawn(drawn, letter, name)[0]
                assert isinstance(strand, Strands) and strand.layers[-1][0] != "zw1"


def test_electrode__stakes_stand_as_far_as_the_table_has_it() -> None:
    rows = [row for row in _limits() if row["quantity"] == "stake-far-least-m"]
    drawn = made("test-electrode", "fulmar", "rods")
    assert f"{rows[0]['value']} m or more" in said(drawn, "a.")
    rods = int(done("fulmar").installation.electrodes[0].rods)
    tips = _drawn(drawn, "a", "rod")
    assert len(tips) == rods and f"{rods} rods" in said(drawn, "a.")


@pytest.mark.parametrize("job", ["fulmar", "sallow"])
def test_clamp__reads_more_than_the_rod_it_stands_round(job: str) -> None:
    """The rod in series with the others' way back (common practice): no reading is foretold, and
    none below the rod's own, which is the step's.
    """
    drawn = made("test-electrode-clamp", job, "rods")
    one = done(job).case.step("one-rod-resistance", "rods")
    assert one is not None and one.value is not None
    assert f"more than its own {one.value:.1f} Ω" in " ".join(said(drawn, "a.words"))
    assert "… Ω" in said(drawn, "a.names") and "over range" in said(drawn, "b.names")
    assert len(_drawn(drawn, "b", "rods")) == 1 < len(_drawn(drawn, "a", "rods"))
    assert "current" not in _panel(drawn, "b"), "no way back for it"
    assert faults_in(drawn_from(drawn.sheet, "clamp").svg) == ()


@pytest.mark.parametrize(
    ("job", "rod"), [("marram", "rod-1"), ("tern", "rods"), ("quince", "rod-1")]
)
def test_clamp__is_never_put_round_a_single_rod(job: str, rod: str) -> None:
    refused = drawn_picture(BY_ID["test-electrode-clamp"], done(job), rod)
    assert isinstance(refused, str) and "no second rod" in refused


def _limits() -> list[dict[str, str]]:
    path = Path(tables.__file__).parent / "rule_limits.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_bonding__says_what_each_metre_reads() -> None:
    """IEC 60228 has 1.83 ohm a kilometre for 10 mm2: 1.83 milliohm a metre."""
    drawn = made("test-bonding", "marram", "boathouse")
    assert "bonding, 10 mm²" in said(drawn, "a.")
    assert "1.83 mΩ for each metre" in " ".join(said(drawn, "a."))


def test_r1_plus_r2__can_be_worked_by_hand_from_what_is_drawn() -> None:
    """IEC 60228: 4 mm2 has 4.61 milliohm a metre; twice that over the length is the reading."""
    drawn = made("test-r1-r2", "fulmar", "byre")
    told = " ".join(said(drawn, "a."))
    found = re.search(r"cable, (\d+) m, line 4 mm², PE 4 mm²", told)
    assert found and f"{2 * 4.61e-3 * int(found[1]):.3f} Ω" in told


@pytest.mark.parametrize("job", ["marram", "dunlin", "fulmar"])
def test_loop__limit_is_never_rounded_up(job: str) -> None:
    """Above ten ohm it is told as BS 7671, Table 41.5 prints it: 1667 ohm for 30 mA."""
    told = " ".join(said(made("test-loop", job, next(iter(made_for_loop(job)))), "a.words"))
    printed = re.search(r"At most ([\d.]+) Ω", told)
    assert printed
    limit = next(each.limit for each in expected_readings(done(job).case) if each.key == "zs")
    bounds = [each for each in (limit.advice, limit.value) if each is not None]
    over = min(bounds) - float(printed[1])
    assert 0 <= over < 0.01 if min(bounds) < 10 else abs(over) < 0.5


def made_for_loop(job: str) -> list[str]:
    return [str(each.name) for each in done(job).installation.circuits]


def test_fault_current__no_lead_goes_to_the_origin() -> None:
    drawn = made("test-fault-current", "marram", "supply")
    assert not [name for name in _panel(drawn, "a") if name.startswith("lead.")]
    told = " ".join(said(drawn, "a."))
    assert "Authorised person only" in told and "0.82 kA" in told


@pytest.mark.parametrize(
    ("picture", "job", "letters"),
    [
        ("test-r1-r2", "marram", ("L1", "PE")),
        ("test-r1-r2", "osier", ("L1", "PE")),
        ("test-insulation", "marram", ("L1", "PE")),
        ("test-loop", "osier", ("L1", "PE")),
        ("test-phase-sequence", "osier", ("L1", "L2", "L3")),
    ],
)
def test_leads__touch_what_the_letters_say(
    picture: str, job: str, letters: tuple[str, ...]
) -> None:
    drawn = made(picture, job, OF[job][0])
    tips = [at for name, at in drawn.points.items() if name.startswith("a.tip.")]
    assert len(tips) == len(letters)
    texts = [item for item in _panel(drawn, "a")["names"].items if isinstance(item, Lettering)]
    for letter, (x, _) in zip(letters, tips):
        places = [each.x for each in texts if each.words == letter]
        assert min(abs(each - x) for each in places) < 0.01


def test_indicator__is_proved_before_and_after() -> None:
    heads = " ".join(said(made("test-proving-dead", "marram", "board")))
    assert re.search(r"1\. proved before.*2\. every pair.*3\. proved after", heads)
    assert "proves nothing" in heads


@pytest.mark.parametrize("job", OF)
def test_each_test_of_a_job__has_its_picture(job: str) -> None:
    drawn = {picture.id for picture, _, _ in drawn_tests(done(job))}
    three = done(job).installation.supply.phases == 3
    own = any(each.earthed_by != "supply" for each in done(job).installation.charging_points)
    expected = {picture.id for picture in TEST_PICTURES}
    expected -= set() if three else {"test-phase-sequence"}
    expected -= set() if own else {"test-electrode-loop"}
    assert drawn == expected


def _painted(element: ElementTree.Element, by_id: dict[str, ElementTree.Element]) -> object:
    """What is painted, with references followed and the names of shapes left out."""
    said = {key: value for key, value in element.items() if key not in ("id", "href")}
    inside = [_painted(each, by_id) for each in element if not each.tag.endswith("defs")]
    if "href" in element.attrib:
        inside.append(_painted(by_id[element.attrib["href"][1:]], by_id))
    return element.tag, sorted(said.items()), (element.text or "").strip(), inside


def _drawings_of(html: str) -> tuple[list[object], list[str]]:
    page = ElementTree.fromstring(f"<page>{html}</page>")
    found = [each for each in page.iter() if "id" in each.attrib]
    by_id = {each.attrib["id"]: each for each in found}
    return [_painted(each, by_id) for each in page], [each.attrib["id"] for each in found]


@pytest.mark.parametrize("job", ["marram", "sallow"])
def test_pictures_of_a_page__share_shapes_and_look_the_same(job: str) -> None:
    alone = joined(drawn.html for _, _, drawn in drawn_tests(done(job)))
    shared = shapes_once(alone)
    looks, names = _drawings_of(shared)
    assert looks == _drawings_of(alone)[0]
    assert len(names) == len(set(names)) and len(shared) < 0.9 * len(alone)


def test_shapes_once__one_that_differs_stays() -> None:
    first, second, other = (
        f'<svg><defs><g id="{stem}a"><path d="{path}"/></g></defs><use href="#{stem}a"/></svg>'
        for stem, path in (("f11111", "M0 0h1"), ("f22222", "M0 0h1"), ("f33333", "M0 0h2"))
    )
    assert shapes_once(Markup(first + second + other)) == (
        first + '<svg><use href="#f11111a"/></svg>' + other
    )


def test_plain_shapes__say_once_what_all_say() -> None:
    ring = Markup('<circle r="1" stroke="red" fill="blue"/>')
    box = Markup('<rect width="2" stroke="red" stroke-width="3"/>')
    assert plain_shapes(ring + ring.replace("1", "2", 1) + box) == (
        Markup('<g stroke="red" fill="blue"><circle r="1"/><circle r="2"/></g>') + box
    )
    mixed = ring + Markup("<text>a</text>")
    assert plain_shapes(mixed) == mixed
