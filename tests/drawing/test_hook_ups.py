"""Pictures of tests and of the open PEN: true to the steps, and nothing in them that would hurt who
does the same.

Outside the project: an instrument of insulation drives 1 mA at its nominal voltage (IEC 61557-2),
so a surge device left in reads its voltage at 1 mA by Ohm's law; what a live test may touch, and
that dead is proved with an indicator proved before and after, is HSE's GS38 and HSG85 (from
memory), told by common practice. The figures of steps are proved where the steps are.
"""

from __future__ import annotations

import re
from functools import cache

import pytest
import yaml
from changing import done, text_of

from firstway.drawing.hands.frame import Made
from firstway.drawing.hands.library import BY_ID, TEST_PICTURES, drawn_picture, drawn_tests
from firstway.drawing.sheet import Box, Group, Lettering, Ref

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
        ("test-residual", "slipway", "ab", set()),
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


def _adapter(drawn: Made, letter: str) -> Box:
    group = _panel(drawn, letter)["adapter"]
    item = group.items[0]
    if isinstance(item, Ref):
        box = drawn.sheet.shapes[item.shape][0]
        assert isinstance(box, Box)
        return Box(item.x, item.y, box.width, box.height)
    assert isinstance(item, Box)
    return item


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
