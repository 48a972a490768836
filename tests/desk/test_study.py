"""A study: figures of an installation varied, row by row, held to figures worked by hand; the same
whoever works it; what cannot be asked is told.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from changing import DIAGRAMS
from sampling import JOBS

from firstway.choosing.completing import completed
from firstway.choosing.study import numeric_keys, rows, study_from
from firstway.cli import main
from firstway.files.yaml_reader import Text
from firstway.model.mistakes import with_key
from firstway.model.reading import installation_from_yaml
from firstway.workings.surge.waves import AskedSurge
from firstway.workings.working_through import workings_for_surge, workings_of

MARRAM = DIAGRAMS / "marram.yaml"
ROUTE = "circuits.slipway.route.2.length_m"
LEAD = "board.ways.F1.leads.line.length_m"
SURGE = ("--steps", "surge-at-vehicle:post-1")


def study(tmp_path: Path, *arguments: str, name: str = "study.csv", file: Path = MARRAM) -> bytes:
    """The table of a study, as written."""
    out = tmp_path / name
    workers = () if "--workers" in arguments else ("--workers", "1")
    assert main(["study", str(file), *arguments, *workers, "-o", str(out)]) == 0
    return out.read_bytes()


def table(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_study__drop_rises_as_the_published_table_says(tmp_path: Path) -> None:
    """BS 7671 Table 4D4B, two-core armoured copper at 70 C (the temperature of the terminals), as
    reprinted by makers of cable: 6 mm² 7.3 mV/A/m, 10 mm² 4.4 mV/A/m. The current is 32 A.
    """
    steps = "voltage-drop:slipway,conductor-size:slipway"
    found = table(study(tmp_path, "--vary", f"{ROUTE}=10,20,50,60", "--steps", steps))
    volts = [float(row["voltage-drop slipway in V"]) for row in found]
    sizes = [float(row["conductor-size slipway in mm2"]) for row in found]
    assert sizes == [6, 6, 10, 10]
    assert volts[1] - volts[0] == pytest.approx(7.3e-3 * 32 * 10)
    assert volts[3] - volts[2] == pytest.approx(4.4e-3 * 32 * 10)


def test_study__protection_level_rises_by_a_kilovolt_a_metre(tmp_path: Path) -> None:
    """IEC 61643-12 and 60364-5-53: about 1 kV for each metre of lead."""
    step = "effective-protection-level:F1"
    found = table(study(tmp_path, "--vary", f"{LEAD}=0.1..0.5/5", "--steps", step))
    levels = [float(row["effective-protection-level F1 in kV"]) for row in found]
    assert [round(after - levels[0], 9) for after in levels] == [0, 0.1, 0.2, 0.3, 0.4]


def test_study__leads_turn_at_half_a_metre(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """IEC 60364-5-53 534.4.8: both leads together are not to exceed 0.5 m; the earth lead of marram
    is 0.25 m.
    """
    study(tmp_path, "--vary", f"{LEAD}=0.15..0.35/5", "--checks", "surge-leads")
    assert "surge-leads turns from pass to advice between 0.25 and 0.3." in capsys.readouterr().out


def test_study__is_the_same_to_the_byte_whoever_works_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ask = ("--vary", f"{ROUTE}=5..90", "--vary", f"{LEAD}=0.1..0.5", "--random", "40")
    ask = (*ask, "--steps", "length:slipway,effective-protection-level:F1")
    found = [
        (study(tmp_path, *ask, "--seed", seed, "--workers", number), capsys.readouterr().out)
        for seed, number in (("7", "1"), ("7", "2"), ("7", "4"), ("8", "1"))
    ]
    assert found[0] == found[1] == found[2] != found[3]
    assert len(table(found[0][0])) == 40


def test_study__says_how_often_and_where_a_verdict_turns(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = table(
        study(tmp_path, "--vary", "supply.ze_ohm=0.3,0.9,1.5", "--checks", "loop-impedance")
    )
    levels = [row["loop-impedance"] for row in found]
    place = levels.index("fail")
    assert 0 < place and set(levels[place:]) == {"fail"}
    said = capsys.readouterr().out
    value = found[place]["supply.ze_ohm"]
    assert f"to fail between {found[place - 1]['supply.ze_ohm']} and {value}." in said
    assert f"fail {levels.count('fail')}" in said and f"supply.ze_ohm {value} to 1.5." in said


def test_study__what_the_file_assumes_passes_in_no_row(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "marram.yaml"
    text = MARRAM.read_text("utf-8")
    start = text.index("known_by:")
    end = text.index("\n", start)
    file.write_text(f"{text[:start]}known_by: {{{ROUTE}: assumed}}{text[end:]}", "utf-8")
    ask = ("--vary", f"{ROUTE}=10,300", "--checks", "voltage-drop")
    levels = {row["voltage-drop"] for row in table(study(tmp_path, *ask, file=file))}
    assert "unknown" in levels and "pass" not in levels
    assert "no check that rests on it passes" in capsys.readouterr().out


def test_study__says_which_rows_no_size_serves(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ask = ("--vary", f"{ROUTE}=10,2000", "--steps", "conductor-size:slipway")
    near, far = table(study(tmp_path, *ask))
    assert not near["refused"] and "no standard size serves" in far["refused"]
    assert far["conductor-size slipway in mm2"] == ""
    said = capsys.readouterr().out
    assert "Nothing worked in 1 of 2 rows" in said
    assert "the whole turns from worked to refused between 10 and 2000." in said


def test_study__writes_cold_as_a_number_and_draws_the_first_step(tmp_path: Path) -> None:
    picture = tmp_path / "x.svg"
    ask = ("--vary", "circuits.slipway.route.1.ambient_c=-10,30", "--chart", str(picture))
    found = table(study(tmp_path, *ask, "--steps", "corrected-capacity:slipway"))
    assert [row["circuits.slipway.route.1.ambient_c"] for row in found] == ["-10", "30"]
    svg = picture.read_text("utf-8")
    assert svg.startswith("<svg") and "ambient_c from -10 to 30" in svg and "Caution" in svg


def test_study__of_a_distance_is_that_of_a_cable_so_long(tmp_path: Path) -> None:
    """The stretches of marram are 6 m and 12 m."""
    steps = ("--steps", "length:slipway,surge-at-vehicle:post-1")
    far = table(study(tmp_path, "--vary", "distance:slipway=18,36", *steps))
    one, two = ("circuits.slipway.route.1.length_m=6,12", "circuits.slipway.route.2.length_m=12,24")
    own = table(study(tmp_path, "--vary", one, "--vary", two, *steps))
    for row, same in ((far[0], own[0]), (far[1], own[3])):
        for head in ("length slipway in m", "surge-at-vehicle post-1 in V"):
            assert float(row[head]) == pytest.approx(float(same[head]))
    assert [float(row["length slipway in m"]) for row in far] == [18, 36]


def test_study__of_a_place_takes_the_leads_as_they_are_laid_there(tmp_path: Path) -> None:
    """In marram F1 is followed by a device of two modules, which feeds the circuit, and a blank of
    four. DIN 43880: a module on a rail is 17.5 mm wide, so the bar between the two teeth is two
    modules long, then six; a tooth and an earth lead come on top.
    """
    steps = "spd-line-lead:F1,spd-earth-lead:F1,spd-lead-length:F1,surge-at-vehicle:post-1"
    found = table(study(tmp_path, "--vary", "place:F1=1..3", "--steps", steps))
    assert [row["place:F1"] for row in found] == ["1", "2", "3"]
    line, earth, both = (
        [float(row[f"spd-{name} F1 in m"]) for row in found]
        for name in ("line-lead", "earth-lead", "lead-length")
    )
    assert [each - line[0] for each in line] == pytest.approx([0.0, 2 * 0.0175, 6 * 0.0175])
    assert both == pytest.approx([one + other for one, other in zip(line, earth)])
    volts = [float(row["surge-at-vehicle post-1 in V"]) for row in found]
    assert volts[0] < volts[1] < volts[2]


def test_study__of_waves_gives_what_the_steps_of_each_wave_say(tmp_path: Path) -> None:
    """Regression: two ways to the same figure."""
    steps = ["surge-at-vehicle", "surge-at-vehicle-in-ring-wave", "surge-at-vehicle-in-impulse"]
    ask = ("--vary", "surge-wave=combination-wave,ring-wave,current-impulse")
    found = table(study(tmp_path, *ask, "--steps", ",".join(f"{each}:post-1" for each in steps)))
    own, ringing, impulse = (float(found[0][f"{step} post-1 in V"]) for step in steps)
    at_vehicle = [float(row["surge-at-vehicle post-1 in V"]) for row in found]
    assert at_vehicle == pytest.approx([own, ringing, impulse])
    assert len({round(each) for each in at_vehicle}) == 3


def test_study__without_a_device_half_the_surge_is_half_the_voltage(tmp_path: Path) -> None:
    """Superposition: without a device nothing in the circuit of an open end bends."""
    ask = ("--vary", "surge-voltage=3000,6000", "--steps", "surge-at-vehicle-without-spd:post-1")
    half, whole = (
        float(row["surge-at-vehicle-without-spd post-1 in V"])
        for row in table(study(tmp_path, *ask))
    )
    assert half == pytest.approx(whole / 2, rel=1e-6) and whole > 6000


def test_study__draws_a_curve_for_each_wave(tmp_path: Path) -> None:
    picture = tmp_path / "x.svg"
    ask = ("--vary", "distance:slipway=5,20,50", "--vary", "surge-wave=combination-wave,ring-wave")
    steps = ("--steps", "surge-at-vehicle:post-1", "--chart", str(picture))
    study(tmp_path, *ask, *steps)
    svg = picture.read_text("utf-8")
    assert "ring-wave" in svg and "combination-wave" in svg and "6 kV and 3 kA" not in svg


@pytest.mark.parametrize("name", JOBS)
def test_surges_asked_for__are_worked_or_not_known(name: str) -> None:
    """An impulse has no finite voltage without a device: also where two earths widen a figure."""
    text = (DIAGRAMS / f"{name}.yaml").read_text("utf-8")
    installation, _ = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None
    found = workings_for_surge(installation, AskedSurge("current-impulse"))
    for point in installation.charging_points:
        assert found.value("surge-at-vehicle-without-spd", point.name) is None
        for mode in ("", "-line-to-earth"):
            step = found.find(f"surge-at-vehicle{mode}", point.name)
            assert step is None or step.value is None or step.value > 0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--vary", "circuits.slipway.route.2.lenght_m=1..2"), f"did you mean '{ROUTE}'?"),
        (("--vary", "circuits.slipway.cable.construction=1..2"), "takes a number"),
        (("--vary", f"{ROUTE}=2..1"), "is no range"),
        (("--vary", f"{ROUTE}=1..2/1"), "is no range"),
        (("--vary", f"{ROUTE}=one"), "write KEY=LOW..HIGH"),
        (("--vary", f"{ROUTE}=-3..5"), f"--vary {ROUTE}=-3"),
        (("--vary", f"{ROUTE}=1..2", "--vary", f"{ROUTE}=1..2"), "is varied twice"),
        (("--vary", f"{ROUTE}=1..2/5000000"), "is no range"),
        (("--vary", f"{ROUTE}=1..2/5000", "--vary", "supply.ze_ohm=0.1..1/5000"), "too many rows"),
        (("--vary", f"{ROUTE}=1..2/5", "--random", "5"), "leave out --random"),
        (("--vary", f"{ROUTE}=1..2", "--random", "-5"), "too many rows"),
        (
            ("--vary", f"{ROUTE}=1..2", "--steps", "lenght:slipway"),
            "did you mean 'length:slipway'?",
        ),
        (("--vary", f"{ROUTE}=1..2", "--checks", "voltage-dorp"), "did you mean 'voltage-drop'?"),
        (("--vary", f"{ROUTE}=1..2", "--checks", "spd", "--chart", "x.svg"), "'spd' is not known"),
        (("--vary", f"{ROUTE}=1..2", "--workers", "desk.example:1"), "is another computer"),
        (("--vary", "distance:slipwya=1..2"), "did you mean 'distance:slipway'?"),
        (("--vary", "distance:slipway=0..5"), "0 is too low"),
        (("--vary", "distance:slipway=5..9000000"), "it must be 2000 or less"),
        (("--vary", "place:F1=0,1"), "0 is beyond its ends"),
        (("--vary", "place:F1=1,2.5"), "2.5 is no whole number"),
        (("--vary", "place:F2=1,2"), "'place:F2' is no key"),
        ((*SURGE, "--vary", "surge-wave=1..2"), "'1..2' is no wave"),
        ((*SURGE, "--vary", "surge-wave=ring"), "name combination-wave, current-impulse,"),
        ((*SURGE, "--vary", "surge-voltage=0..5"), "0 is too low"),
        ((*SURGE, "--vary", "surge-voltage=1..1e9"), "is beyond its ends"),
        (("--vary", "surge-wave=ring-wave"), "changes no check, but surges"),
        ((*SURGE, "--checks", "spd", "--vary", "surge-voltage=1..2"), "'spd' is not known"),
        (
            (*SURGE, "--vary", "surge-wave=ring-wave", "--chart", "x.svg"),
            "name a key of numbers first",
        ),
    ],
)
def test_study__refuses(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], said: str
) -> None:
    assert main(["study", str(MARRAM), *arguments, "-o", str(tmp_path / "x.csv")]) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", JOBS)
def test_what_a_surge_rests_on__is_what_the_whole_working_says(name: str) -> None:
    """Regression: a study of surges works no more than this."""
    text = (DIAGRAMS / f"{name}.yaml").read_text("utf-8")
    installation, _ = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None
    whole = workings_of(installation)
    for step in workings_for_surge(installation):
        own = whole.find(step.id, step.of)
        assert own is not None
        assert (step.inputs, step.missing, step.assumed) == (own.inputs, own.missing, own.assumed)
        assert step.kind == "run" or step.value == own.value


@pytest.mark.parametrize("name", JOBS)
def test_numeric_keys__can_each_be_given_a_value(name: str) -> None:
    text = (DIAGRAMS / f"{name}.yaml").read_text("utf-8")
    installation, _ = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None
    for path in numeric_keys(installation):
        _, problems = with_key(installation, path, Text("1", 0), "x")
        assert not any("names nothing" in problem.message for problem in problems), path


@pytest.mark.parametrize("name", ["marram", "bramble"])
def test_rows__say_of_the_file_as_it_stands_what_check_says(name: str) -> None:
    """The gravest of each check, in the order in which findings are told."""
    text = (DIAGRAMS / f"{name}.yaml").read_text("utf-8")
    installation, _ = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None
    path = "supply.line_to_earth_v"
    own = f"{float(installation.supply.line_to_earth_v):g}"
    plan, _, problems = study_from(installation, text, [f"{path}={own}"])
    assert not problems
    done, _ = completed(installation)
    assert done is not None
    levels = {finding.id: finding.level for finding in reversed(done.findings)}
    ((values, refused, _, told),) = rows(plan, [(own,)])
    assert (values, refused, told) == ((own,), "", levels)


def test_rows__keep_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "cache"))
    ask = ("--vary", "charging_points.post-1.lead_m=2.13,9.17")
    study(tmp_path, *ask, "--steps", "surge-at-vehicle:post-1")
    assert not [path for path in tmp_path.rglob("*.json") if "surge" in path.parts[-2]]


def test_rows__work_no_more_than_the_surge_that_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = MARRAM.read_text("utf-8")
    installation, _ = installation_from_yaml(text, "marram.yaml", "marram")
    assert installation is not None
    ask = ["charging_points.post-1.lead_m=2..9/3"]
    plan, varied, problems = study_from(
        installation, text, ask, "surge-at-vehicle-without-spd:post-1"
    )
    assert not problems
    monkeypatch.setattr("firstway.choosing.study.chosen_case", None)
    told = rows(plan, [(value,) for value in varied[0].values])
    volts = [row[2][0] for row in told]
    assert all(volt and 6000 < volt < 13000 for volt in volts), "an open end doubles 6 kV at most"
