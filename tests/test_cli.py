"""The command line: exit codes 0, 1, 2; problems with their place on standard error; the same as
JSON.

The shape of the JSON and the codes are DESIGN 5 and 6.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from changing import DIAGRAMS, Change, changed, done, installation, text_of
from sampling import JOBS

from firstway.cli import main
from firstway.rendering.figures import json_text
from firstway.rendering.report import as_data
from firstway.workings.working_through import not_worked_yet

ROOT = Path(__file__).resolve().parents[1]

Output = pytest.CaptureFixture[str]
STEP = {
    "id",
    "of",
    "title",
    "symbol",
    "value",
    "low",
    "high",
    "unit",
    "kind",
    "inputs",
    "source",
    "edition",
}
FINDING = {
    "id",
    "of",
    "place",
    "level",
    "value",
    "limit",
    "unit",
    "message",
    "source",
    "edition",
    "standing",
}


def shipped(name: str) -> str:
    return (DIAGRAMS / f"{name}.yaml").as_posix()


def written(folder: Path, name: str, text: str) -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path.as_posix()


def run(capsys: Output, *arguments: str) -> tuple[int, str, str]:
    code = main(list(arguments))
    out, err = capsys.readouterr()
    return code, out, err


def no_trace(*texts: str) -> bool:
    return not any(word in text for text in texts for word in ("Traceback", 'File "', "Error:"))


# ---- work


@pytest.mark.parametrize("name", JOBS)
def test_work__of_a_readable_installation_is_0(capsys: Output, name: str) -> None:
    """Faulty ones too: the guide teaches faults."""
    assert not not_worked_yet(installation(name)), "every shipped installation is worked"
    code, out, err = run(capsys, "work", shipped(name))
    assert (code, err) == (0, "")
    assert out.startswith(done(name).installation.title) and "Caution:" in out


def test_work__json(capsys: Output) -> None:
    code, out, err = run(capsys, "work", shipped("marram"), "--json")
    data = json.loads(out)
    assert (code, err) == (0, "")
    assert list(data) == ["installation", "rules", "edition", "caution", "steps", "findings"]
    assert (data["installation"], data["rules"], data["edition"]) == (
        "marram",
        "bs7671",
        "2018+A4:2026",
    )
    assert all(STEP <= set(step) for step in data["steps"])
    assert all(set(finding) == FINDING for finding in data["findings"])
    drop = next(
        step for step in data["steps"] if (step["id"], step["of"]) == ("voltage-drop", "slipway")
    )
    assert drop["value"] == pytest.approx(4.2496, rel=1e-12) and drop["unit"] == "V"
    assert "NaN" not in out and "Infinity" not in out


def test_json_is_the_same_information(capsys: Output) -> None:
    _, out, _ = run(capsys, "work", shipped("quince"), "--json")
    assert json.loads(out) == json.loads(json_text(as_data(done("quince"))))


# ---- check


def test_check__healthy_is_0(capsys: Output) -> None:
    code, out, err = run(capsys, "check", shipped("marram"))
    assert (code, err) == (0, "") and "0 danger, 0 fail" in out


def test_check__faulty_is_1(capsys: Output) -> None:
    code, out, err = run(capsys, "check", shipped("quince"))
    assert (code, err) == (1, "") and out.count("\nfail") >= 6


def test_check__unknown_and_advice_are_0(capsys: Output, tmp_path: Path) -> None:
    path = written(
        tmp_path, "marram.yaml", changed("marram", ("  ze_ohm: 0.28", "  ze_ohm: unknown"))
    )
    code, out, _ = run(capsys, "check", path)
    assert code == 0 and "\nunknown" in out


def test_check__several_files(capsys: Output) -> None:
    code, out, err = run(capsys, "check", shipped("marram"), shipped("quince"), shipped("tern"))
    assert (code, err) == (1, "") and out.count("Caution:") == 3
    assert out.index("marram.yaml:") < out.index("quince.yaml:") < out.index("tern.yaml:")


def test_check__json_of_one_and_of_several(capsys: Output) -> None:
    code, out, _ = run(capsys, "check", shipped("quince"), "--json")
    one = json.loads(out)
    assert code == 1 and list(one) == [
        "installation",
        "rules",
        "edition",
        "caution",
        "steps",
        "findings",
    ]
    code, out, _ = run(capsys, "check", shipped("quince"), shipped("marram"), "--json")
    several = json.loads(out)
    assert (
        code == 1
        and [each["installation"] for each in several] == ["quince", "marram"]
        and several[0] == one
    )


def levels_of(text: str) -> set[str]:
    return {
        line.split()[0]
        for line in text.splitlines()
        if re.match(r"(danger|fail|advice|unknown|pass) ", line)
    }


def test_check__only_filters_what_is_printed_and_not_the_exit_code(capsys: Output) -> None:
    code, out, err = run(capsys, "check", shipped("quince"), "--only", "danger,unknown")
    assert (code, err) == (1, "") and levels_of(out) == {"unknown"}
    fails = sum(each.level == "fail" for each in done("quince").findings)
    assert fails >= 6 and f"{fails} fail" in out
    assert out.rstrip().splitlines()[-1].startswith(f"Must stay off: {fails} fails")
    code, out, _ = run(capsys, "check", shipped("marram"), "--only", "danger,fail,unknown")
    assert code == 0 and levels_of(out) == {"unknown"}


def test_check__only_filters_json(capsys: Output) -> None:
    code, out, _ = run(capsys, "check", shipped("quince"), "--only", "unknown", "--json")
    data = json.loads(out)
    assert code == 1 and {each["level"] for each in data["findings"]} == {"unknown"}
    assert data["steps"]
    assert len(data["findings"]) == sum(each.level == "unknown" for each in done("quince").findings)


@pytest.mark.parametrize("word", ["fails", "danger,,fail", "all", "danger;fail"])
def test_check__only_with_an_unknown_word_is_usage(capsys: Output, word: str) -> None:
    code, out, err = run(capsys, "check", shipped("quince"), "--only", word)
    assert (code, out) == (2, "") and "is no verdict; name some of: danger, fail, unknown" in err


def test_check__one_bad_file_among_good_ones_prints_no_verdict(
    capsys: Output, tmp_path: Path
) -> None:
    bad = written(
        tmp_path,
        "bad.yaml",
        changed("quince", ("phases: 1", "phases: x"), ("isolator: false", "isolator: 3")),
    )
    worse = written(tmp_path, "worse.yaml", "title: x\n")
    code, out, err = run(capsys, "check", shipped("marram"), bad, worse)
    assert (code, out) == (2, "")
    lines = err.splitlines()
    assert (
        f"{bad}:9: 'supply.phases' is 'x', not a number; write the number alone; its unit is in"
        " the key" in lines
    )
    assert (
        any(line.startswith(f"{bad}:17:") for line in lines)
        and sum(line.startswith(f"{worse}:1:") for line in lines) == 7
    )
    assert no_trace(err)


# ---- what a user can do wrong


@pytest.mark.parametrize(
    "command", [("work",), ("check",), ("draw", "single-line"), ("draw", "wiring")]
)
def test_missing_file(capsys: Output, tmp_path: Path, command: tuple[str, ...]) -> None:
    path = (tmp_path / "none.yaml").as_posix()
    code, out, err = run(capsys, command[0], path, *command[1:])
    assert (code, out, err) == (2, "", f"{path}: there is no such file; check the path\n")


def test_folder_for_a_file(capsys: Output, tmp_path: Path) -> None:
    code, out, err = run(capsys, "work", tmp_path.as_posix())
    assert (code, out) == (
        2,
        "",
    ) and err == f"{tmp_path.as_posix()}: this is a folder, not a file; name a file in it\n"


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file"
)
def test_unreadable_file(capsys: Output, tmp_path: Path) -> None:
    path = Path(written(tmp_path, "closed.yaml", text_of("marram")))
    path.chmod(0)
    code, out, err = run(capsys, "work", path.as_posix())
    assert (code, out) == (2, "") and "cannot be read" in err and no_trace(err)


def test_unreadable__whatever_the_system_says(
    capsys: Output, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path, "closed.yaml", text_of("marram"))

    def refuses(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuses)
    code, out, err = run(capsys, "check", path)
    assert (code, out, err) == (
        2,
        "",
        f"{path}: the file cannot be read (Permission denied); check its permissions\n",
    )


def test_bytes_that_are_no_text(capsys: Output, tmp_path: Path) -> None:
    path = tmp_path / "picture.yaml"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\xff\xfe")
    code, out, err = run(capsys, "work", path.as_posix())
    assert (code, out, err) == (
        2,
        "",
        f"{path.as_posix()}:1: the file is not UTF-8 text; save it as UTF-8\n",
    )


def test_every_problem_at_once_by_line(capsys: Output, tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "several.yaml",
        changed(
            "quince", ("resistance_ohm: 350", "resistance_ohm: -3"), ("phases: 1", "phases: x")
        ),
    )
    code, _, err = run(capsys, "work", path)
    assert code == 2 and [
        int(line[len(path) + 1 :].split(":")[0]) for line in err.splitlines()
    ] == [9, 39]


@pytest.mark.parametrize(
    "name, changes, words",
    [
        (
            "marram",
            (("soil_k_m_per_w: 2.5", "soil_k_m_per_w: unknown"),),
            "a size cannot be chosen",
        ),
        (
            "sedge",
            (("{method: C, length_m: 9,", "{method: C, length_m: 900,"),),
            "no standard size serves",
        ),
    ],
)
def test_what_cannot_be_chosen_is_a_problem_with_its_line(
    capsys: Output, tmp_path: Path, name: str, changes: tuple[Change, ...], words: str
) -> None:
    path = written(tmp_path, f"{name}.yaml", changed(name, *changes))
    code, out, err = run(capsys, "work", path)
    assert (
        (code, out) == (2, "")
        and err.startswith(f"{path}:")
        and words in err
        and len(err.splitlines()) == 1
    )


# Worked by no rule yet: one line, exit 2. Take a line out when its case becomes worked.
NOT_WORKED = [
    ("alder", (("phases: 1", "phases: 3"), ("line_to_line_v: 240", "line_to_line_v: 208")))
]


@pytest.mark.parametrize("name, changes", NOT_WORKED)
@pytest.mark.parametrize("command", ["work", "check"])
def test_not_worked_yet__is_one_line(
    capsys: Output, tmp_path: Path, name: str, changes: tuple[Change, ...], command: str
) -> None:
    assert not_worked_yet(installation(name, *changes)), "worked by now: take it out of the list"
    path = written(tmp_path, f"{name}.yaml", changed(name, *changes))
    code, out, err = run(capsys, command, path)
    assert (
        (code, out) == (2, "")
        and len(err.splitlines()) == 1
        and "not worked yet" in err
        and err.startswith(f"{path}:")
    )


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["nothing"],
        ["work"],
        ["check"],
        ["draw", "x.yaml"],
        ["draw", "x.yaml", "picture"],
        ["work", "a", "b"],
        ["check", "--xml", "a"],
    ],
)
def test_wrong_usage_is_2(capsys: Output, arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(arguments)
    out, err = capsys.readouterr()
    assert (
        stopped.value.code == 2
        and out == ""
        and "usage: python3 tools/start.py" in err
        and no_trace(err.replace("error:", ""))
    )


def test_help_is_0(capsys: Output) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--help"])
    out, _ = capsys.readouterr()
    assert stopped.value.code == 0
    assert all(command in out for command in ("build", "preview", "work", "check", "draw"))


# ---- draw


@pytest.mark.parametrize("view", ["single-line", "wiring"])
def test_draw__to_the_output_and_to_a_file(capsys: Output, tmp_path: Path, view: str) -> None:
    from xml.etree import ElementTree

    code, out, err = run(capsys, "draw", shipped("marram"), view)
    assert (code, err) == (0, "") and ElementTree.fromstring(out).tag.endswith("svg")
    target = tmp_path / "marram.svg"
    code, nothing, err = run(capsys, "draw", shipped("marram"), view, "-o", target.as_posix())
    assert (code, nothing, err) == (0, "", "")
    assert target.read_text(encoding="utf-8") == out, "same bytes both ways"
    assert "Caution" in out and "2018+A4:2026" in out


def test_draw__with_the_cover_on_shows_its_labels(capsys: Output) -> None:
    code, out, err = run(capsys, "draw", shipped("marram"), "board", "--cover", "on")
    assert (code, err) == (0, "") and "Label of F2: F2 slipway" in out
    assert run(capsys, "draw", shipped("marram"), "board", "--cover", "off")[1] != out


def test_draw__a_stage_stands_alone_with_what_comes_later_faint(capsys: Output) -> None:
    from xml.etree import ElementTree

    code, out, err = run(capsys, "draw", shipped("marram"), "wiring", "--stage", "8")
    assert (code, err) == (0, "")
    ids = [each.attrib.get("id", "") for each in ElementTree.fromstring(out).iter()]
    wanted = re.findall(r'href="#([^"]+)"', out)
    assert "fw-stage-8" in out and ".fw-stage-8{--fw-stage:8}" in out
    assert "Stage 8 of 16" in out and set(wanted) <= set(ids), "refers to nothing outside itself"


def test_draw__a_mistake_is_drawn_as_it_looks_and_marked_nowhere(capsys: Output) -> None:
    sound = run(capsys, "draw", shipped("marram"), "wiring")[1]
    name = "surge-device-behind-the-rcbo"
    code, out, err = run(capsys, "draw", shipped("marram"), "wiring", "--mistake", name)
    assert (code, err) == (0, "") and out != sound and name not in out


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (("wiring", "--cover", "on"), "--cover: the view 'wiring' has no cover"),
        (("board", "--cover", "ajar"), "--cover: 'ajar' is neither on nor off"),
        (("board", "--stage", "2"), "--stage: the view 'board' shows no stages"),
        (("wiring", "--stage", "17"), "--stage: '17' is no stage of marram; name one of 1 to 16"),
        (("wiring", "--stage", "-1"), "--stage: '-1' is no stage of marram"),
        (("wiring", "--stage", "two"), "--stage: 'two' is no stage of marram"),
        (("wiring", "--mistake", "surge-device-on-long-led"), "did you mean 'surge-device-on-long"),
        (("wiring", "--mistake", "<b>"), "--mistake: '<b>' is no mistake"),
    ],
)
def test_draw__what_is_not_there_is_a_problem(
    capsys: Output, asked: tuple[str, ...], words: str
) -> None:
    code, out, err = run(capsys, "draw", shipped("marram"), asked[0], f"{asked[1]}={asked[2]}")
    assert (code, out) == (2, "") and words in err and no_trace(err)


def test_draw__a_mistake_that_the_job_cannot_have_names_others(capsys: Output) -> None:
    code, out, err = run(
        capsys, "draw", shipped("alder"), "wiring", "--mistake=surge-device-behind-the-rcbo"
    )
    assert (code, out) == (2, "") and "cannot be made on alder" in err and "name one of:" in err


def test_draw__of_a_faulty_installation_is_0(capsys: Output) -> None:
    assert run(capsys, "draw", shipped("quince"), "wiring")[0] == 0


def test_draw__into_no_folder_is_a_problem(capsys: Output, tmp_path: Path) -> None:
    code, out, err = run(
        capsys, "draw", shipped("marram"), "wiring", "-o", (tmp_path / "none" / "x.svg").as_posix()
    )
    assert (code, out) == (2, "") and "cannot be written" in err and no_trace(err)


def test_help__names_the_program_as_it_is_started_and_lists_the_tests(capsys) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--help"])
    out = capsys.readouterr().out
    assert (
        stopped.value.code == 0
        and out.startswith("usage: python3 tools/start.py ")
        and re.search(r"^ +test +set up", out, re.MULTILINE)
    )
    assert main(["test"]) == 2 and "write python3 tools/start.py test" in capsys.readouterr().err


def test_help_of_the_tests__answers_before_anything_is_set_up(tmp_path: Path) -> None:
    start = tmp_path / "tools" / "start.py"
    start.parent.mkdir()
    shutil.copy(ROOT / "tools" / "start.py", start)
    ran = subprocess.run(
        [sys.executable, str(start), "test", "--help"],
        capture_output=True,
        text=True,
        timeout=20,
        check=False,
    )
    assert (
        ran.returncode == 0
        and "test all" in ran.stdout
        and [path.name for path in tmp_path.iterdir()] == ["tools"]
    )


# ---- as a program


def program(*arguments: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    paths = os.pathsep.join((str(DIAGRAMS.parent / "tools"), *sys.path))
    return subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; from firstway.cli import main; sys.exit(main())",
            *arguments,
        ],
        capture_output=True,
        env={**os.environ, "PYTHONPATH": paths, **environment},
        timeout=60,
    )


def test_program__speaks_utf_8_whatever_the_terminal(tmp_path: Path) -> None:
    ran = program("work", shipped("marram"), PYTHONIOENCODING="ascii", LC_ALL="C", PYTHONUTF8="0")
    assert ran.returncode == 0 and ran.stderr == b""
    assert "Ω" in ran.stdout.decode("utf-8")


def test_program__same_bytes_every_time() -> None:
    first, second = (
        program("check", shipped("quince"), "--json", PYTHONHASHSEED=seed) for seed in ("1", "2")
    )
    assert first.returncode == 1 and first.stdout == second.stdout


def test_program__a_reader_that_goes_away_is_no_error() -> None:
    paths = os.pathsep.join((str(DIAGRAMS.parent / "tools"), *sys.path))
    running = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "import sys; from firstway.cli import main; sys.exit(main())",
            "check",
            *[shipped("quince")] * 12,
            "--json",
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": paths},
    )
    assert running.stdout is not None and running.stderr is not None
    running.stdout.read(10)
    running.stdout.close()
    err = running.stderr.read()
    running.wait(timeout=60)
    running.stderr.close()
    assert b"Traceback" not in err and b"BrokenPipe" not in err, err.decode()
