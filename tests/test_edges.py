"""Where the computer is not as it should be: full disks, closed pipes, odd names, other folders, no
home, two runs at once.

Each command runs as a process of its own, as a reader starts it. What the system itself says is the
judge.
"""

from __future__ import annotations

import ctypes
import http.client
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest
from changing import DIAGRAMS
from small_project import ASSIGNED, CLASS, PRACTICE, made_small_project

from firstway.files.folders import ROOM_PREFIX
from firstway.site.preview_door import guarded, is_own

RUN = "import sys; sys.argv[0] = 'firstway'; from firstway.cli import main; sys.exit(main())"
MARRAM = (DIAGRAMS / "marram.yaml").resolve()
FULL = Path("/dev/full")
posix = pytest.mark.skipif(os.name == "nt", reason="Windows has no such thing")
full = pytest.mark.skipif(not FULL.exists(), reason="only Linux has a disk that is always full")


def environment(**more: str) -> dict[str, str]:
    kept = {
        name: value
        for name, value in os.environ.items()
        if name not in ("PYTHONUTF8", "PYTHONIOENCODING")
    }
    return {**kept, "PYTHONPATH": str(MARRAM.parents[1] / "tools"), **more}


def firstway(
    *arguments: str | bytes | Path, **options: object
) -> subprocess.CompletedProcess[bytes]:
    """One command as a process; its output where no other is named."""
    options = {
        "stdout": subprocess.PIPE,
        "stderr": subprocess.PIPE,
        "timeout": 300,
        "env": environment(),
        **options,
    }
    return subprocess.run([sys.executable, "-P", "-c", RUN, *arguments], **options)


def no_trace(done: subprocess.CompletedProcess[bytes]) -> bool:
    return b"Traceback" not in (done.stderr or b"") + (
        done.stdout or b""
    ) and b"Exception ignored" not in (done.stderr or b"")


# ---- output that goes nowhere


@full
@pytest.mark.parametrize(
    "command",
    [
        ("work", MARRAM),
        ("check", MARRAM, "--json"),
        ("draw", MARRAM, "board"),
        ("work", "nowhere.yaml"),
        ("--help",),
    ],
)
def test_a_full_disk_behind_standard_output_is_told(command: tuple[str, ...]) -> None:
    with FULL.open("wb") as out:
        done = firstway(*command, stdout=out)
    assert no_trace(done)
    if command[1:2] == (MARRAM,):
        assert (
            done.returncode == 2
            and done.stderr
            == b"standard output: it cannot be written (No space left on device); make room, or"
            b" send it elsewhere\n"
        )


@full
def test_a_full_disk_behind_standard_error_leaves_the_exit_code() -> None:
    with FULL.open("wb") as err:
        assert firstway("work", "nowhere.yaml", stderr=err).returncode == 2


@full
def test_draw__a_full_disk_is_told_and_nothing_is_left() -> None:
    done = firstway("draw", MARRAM, "board", "-o", FULL)
    assert done.returncode == 2 and b"No space left on device" in done.stderr and no_trace(done)


@posix
@pytest.mark.parametrize("closed", [1, 2])
@pytest.mark.parametrize("command", [("work", MARRAM), ("work", "nowhere.yaml")])
def test_a_closed_stream_is_no_crash(closed: int, command: tuple[str, ...]) -> None:
    done = firstway(*command, preexec_fn=lambda: os.close(closed))
    assert no_trace(done) and done.returncode == (0 if command[1] == MARRAM and closed == 2 else 2)


@posix
def test_a_pipe_that_is_closed_early_is_no_crash() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = firstway("work", MARRAM, "--json", stdout=writing)
    os.close(writing)
    assert done.returncode == 0 and done.stderr == b""


# ---- names and figures


@posix
@pytest.mark.parametrize("command", [["check"], ["check", "--json"], ["work"], ["draw", "board"]])
def test_a_file_name_that_is_no_text_is_read_and_shown_as_escapes(
    tmp_path: Path, command: list[str]
) -> None:
    path = os.fsencode(tmp_path) + b"/b\xff \x1b[2J.yaml"
    try:
        shutil.copy(os.fsencode(MARRAM), path)
    except OSError:
        pytest.skip("this file system takes no such name")
    done = firstway(command[0], path, *command[1:])
    assert (
        done.returncode in (0, 1)
        and no_trace(done)
        and b"\xff" not in done.stdout
        and b"\x1b" not in done.stdout
    )
    gone = firstway(command[0], path + b"x", *command[1:])
    assert gone.returncode == 2 and b"\\udcff" in gone.stderr and b"\x1b" not in gone.stderr


@pytest.mark.parametrize(
    "text", ["variants: 1e400", "number: -1e999", "pass_percent: 1e400", "drawings: 9" + "9" * 400]
)
def test_paper__a_figure_without_end_is_told_with_its_line(tmp_path: Path, text: str) -> None:
    (tmp_path / "r.yaml").write_text(
        "id: x\ntitle: y\nuse: assigned\nseed: held by the tests\nquestions:"
        f" [parts-order]\n{text}\n",
        encoding="utf-8",
    )
    (tmp_path / "c.csv").write_text("code\nA\n", encoding="utf-8")
    done = firstway(
        "paper", tmp_path / "r.yaml", "--class", tmp_path / "c.csv", "-o", tmp_path / "out"
    )
    assert (
        done.returncode == 2
        and b"r.yaml:6: " in done.stderr
        and no_trace(done)
        and not (tmp_path / "out").exists()
    )


# ---- the preview's door


@pytest.mark.parametrize(
    "asked, own",
    [
        ("127.0.0.1:8000", True),
        ("localhost:8000", True),
        ("LOCALHOST:8000", True),
        ("[::1]:8000", True),
        ("127.0.0.1:8001", False),
        ("127.0.0.1", False),
        ("", False),
        ("example.org:8000", False),
        ("localhost.example.org:8000", False),
        ("127.0.0.1.example.org:8000", False),
        ("192.168.0.7:8000", False),
        (":8000", False),
    ],
)
def test_is_own__only_this_computer(asked: str, own: bool) -> None:
    """DNS rebinding as in RFC 9110, section 7.2: the Host tells which authority the page believed
    it asked.
    """
    assert is_own(asked, "127.0.0.1", 8000) is own


def test_is_own__open_on_purpose_takes_numbers_and_no_names() -> None:
    assert is_own("192.168.0.7:8000", "0.0.0.0", 8000) and not is_own(
        "example.org:8000", "0.0.0.0", 8000
    )


def test_guarded__a_path_that_is_none_is_not_found() -> None:
    said: list[str] = []
    app = guarded(lambda request, answer: [b"in"], "127.0.0.1", 8000)
    own = {"HTTP_HOST": "127.0.0.1:8000"}
    assert list(app({**own, "PATH_INFO": "/a"}, lambda *_: None)) == [b"in"]
    assert list(app({**own, "PATH_INFO": "/\0"}, lambda status, _: said.append(status))) != [b"in"]
    assert list(app({"PATH_INFO": "/a"}, lambda status, _: said.append(status))) != [b"in"]
    assert [status.split()[0] for status in said] == ["404", "421"]


# ---- the computer is not as it should be

RUN_IN = (
    "import sys; from pathlib import Path; from firstway import cli; cli.ROOT ="
    " Path(sys.argv.pop(1)); sys.argv[0] = 'firstway'; sys.exit(cli.main())"
)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made_small_project(tmp_path_factory.mktemp("small") / "project")


@pytest.fixture(scope="module")
def whole(small: Path) -> dict[str, str]:
    """What a build of the small project gives, by hashes."""
    assert in_project(small, "build", "--out", small / "site").returncode == 0
    return state(small / "site")


def in_project(
    project: Path, *arguments: str | Path, program: str = RUN_IN, **options: object
) -> subprocess.CompletedProcess[bytes]:
    """One command of a project as a process."""
    options = {"capture_output": True, "timeout": 300, "env": environment(), **options}
    return subprocess.run([sys.executable, "-P", "-c", program, project, *arguments], **options)


def state(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def copied(project: Path, to: Path) -> None:
    """The project without its guide."""
    shutil.copytree(project, to)
    shutil.rmtree(to / "site", ignore_errors=True)


def rooms(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name.startswith(ROOM_PREFIX)]


def test_build__two_at_once_both_end_well_and_one_whole_guide_stands(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    command = [
        sys.executable,
        "-P",
        "-c",
        RUN_IN,
        str(small),
        "build",
        "--out",
        str(tmp_path / "site"),
    ]
    both = [subprocess.Popen(command, env=environment(), stderr=subprocess.PIPE) for _ in range(2)]
    assert [(each.communicate()[1], each.returncode) for each in both] == [(b"", 0)] * 2
    assert state(tmp_path / "site") == whole and os.listdir(tmp_path) == ["site"]


@pytest.mark.long
@posix
def test_build__a_site_that_is_a_link_is_built_where_the_link_leads(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "site").symlink_to("elsewhere")
    assert in_project(small, "build", "--out", tmp_path / "site").returncode == 0
    assert (tmp_path / "site").is_symlink() and state(tmp_path / "elsewhere") == whole
    (tmp_path / "gone").symlink_to(tmp_path / "not" / "here")
    assert (
        in_project(small, "build", "--out", tmp_path / "gone").returncode == 0
        and state(tmp_path / "not/here") == whole
    )


@pytest.mark.long
@pytest.mark.parametrize(
    "damage",
    [
        lambda content: content[: len(content) // 2],
        lambda content: b"",
        lambda content: b"{}",
        lambda content: b"[]",
        lambda content: b"null",
        lambda content: b"7",
        lambda content: b"\xff\xfe",
        lambda content: b"[" * 100_000,
        lambda content: re.sub(rb"\d+", b"1e999", content),
        lambda content: re.sub(rb'"[^"]*"', b"null", content),
        lambda content: re.sub(rb"\[[^\[\]]*\]", b"[]", content),
    ],
    ids=[
        "cut",
        "empty",
        "no-keys",
        "no-items",
        "null",
        "figure",
        "no-text",
        "deep",
        "other-figures",
        "other-types",
        "other-lists",
    ],
)
def test_build__a_cache_that_is_cut_or_foreign_changes_nothing(
    small: Path, whole: dict[str, str], tmp_path: Path, damage: Callable[[bytes], bytes]
) -> None:
    """What another version kept lies under another key, and so is never read; what lies under ours
    may hold anything.
    """
    cache = tmp_path / "cache"
    assert (
        in_project(
            small, "build", "--out", tmp_path / "site", env=environment(FIRSTWAY_CACHE=str(cache))
        ).returncode
        == 0
    )
    kept = list(cache.rglob("*.json"))
    assert len({path.parent.name for path in kept}) >= 5, "hardly anything was kept"
    for path in kept:
        path.write_bytes(damage(path.read_bytes()))
    done = in_project(
        small, "build", "--out", tmp_path / "site", env=environment(FIRSTWAY_CACHE=str(cache))
    )
    assert (done.returncode, done.stderr) == (0, b"") and state(tmp_path / "site") == whole


@pytest.mark.long
def test_build__a_cache_that_is_a_file_costs_time_only(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    (tmp_path / "cache").touch()
    done = in_project(
        small,
        "build",
        "--out",
        tmp_path / "site",
        env=environment(FIRSTWAY_CACHE=str(tmp_path / "cache")),
    )
    assert (done.returncode, done.stderr) == (0, b"") and state(tmp_path / "site") == whole


def unprivileged() -> None:
    """From now on this process obeys permissions, root too: two capabilities of Linux are dropped
    for what it starts.
    """
    if os.geteuid() == 0:
        library = ctypes.CDLL(None)
        drop, override, read_search = (
            24,
            1,
            2,
            # PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH of <linux/prctl.h>,
            # <linux/capability.h>
        )
        assert not library.prctl(drop, override, 0, 0, 0) and not library.prctl(
            drop, read_search, 0, 0, 0
        )


@pytest.mark.long
@posix
@pytest.mark.skipif(
    sys.platform == "darwin" and os.geteuid() == 0, reason="root obeys no permissions here"
)
def test_a_folder_that_cannot_be_written_is_told_and_stays_as_it_was(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    project, shut = tmp_path / "project", tmp_path / "shut"
    shutil.copytree(small, project)
    assert (
        in_project(
            project, "paper", project / ASSIGNED, "--class", project / CLASS, "-o", shut
        ).returncode
        == 0
    )
    for path in (project, *project.rglob("*"), shut, *shut.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)
    before = state(project), state(shut)
    told = {
        ("build", "--out", project / "site"): 2,
        ("build", "--out", shut / "a/b"): 2,
        ("draw", project / "diagrams/marram.yaml", "board", "-o", shut / "x.svg"): 2,
        ("paper", project / ASSIGNED, "--class", project / CLASS, "-o", shut / "new"): 2,
        ("mark", shut): 2,
        ("package", project / PRACTICE, "qti-3.0", "-o", shut / "x.zip"): 2,
        ("work", project / "diagrams/marram.yaml"): 0,
        ("check", project / "diagrams/marram.yaml"): 0,
    }
    for command, code in told.items():
        done = in_project(
            project,
            *command,
            preexec_fn=unprivileged,
            env=environment(FIRSTWAY_CACHE=str(shut / "cache")),
        )
        assert done.returncode == code and no_trace(done), (command, done.stderr)
        assert code == 0 or b"cannot be written" in done.stderr, (command, done.stderr)
    assert (state(project), state(shut)) == before and not rooms(shut) and not rooms(project)
    for path in (project, *project.rglob("*"), shut, *shut.rglob("*")):
        path.chmod(0o755)


@pytest.mark.long
@posix
def test_no_home_and_no_temporary_folder(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    bare = {
        name: value
        for name, value in environment().items()
        if name
        not in (
            "HOME",
            "TMPDIR",
            "TEMP",
            "TMP",
            "USER",
            "LOGNAME",
            "XDG_CACHE_HOME",
            "PATH",
        )
    }
    bare |= {"TMPDIR": "/nowhere/at/all"}
    assert (
        in_project(small, "build", "--out", tmp_path / "site", env=bare).returncode == 0
        and state(tmp_path / "site") == whole
    )
    for command in (
        ("work", MARRAM),
        ("paper", small / ASSIGNED, "--class", small / CLASS, "-o", tmp_path / "class"),
        ("mark", tmp_path / "class"),
    ):
        done = in_project(small, *command, env=bare)
        assert done.returncode == 0 and no_trace(done), done.stderr


@pytest.mark.long
def test_another_working_folder_and_relative_paths(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    copied(small, tmp_path / "project")
    assert in_project(tmp_path / "project", "build", cwd="/").returncode == 0, (
        "the guide lies in the project, wherever it is started"
    )
    assert in_project(tmp_path / "project", "build", "--out", "here", cwd=tmp_path).returncode == 0
    shutil.rmtree(tmp_path / "project/site", ignore_errors=True)
    assert state(tmp_path / "here") == whole
    assert (
        in_project(
            tmp_path / "project",
            "draw",
            "project/diagrams/marram.yaml",
            "board",
            "-o",
            "x.svg",
            cwd=tmp_path,
        ).returncode
        == 0
        and (tmp_path / "x.svg").is_file()
    )


@pytest.mark.long
@pytest.mark.parametrize(
    "name",
    ["a b", "it's #1 & 100%", "ä é 漢", "a;b$(c)`d`", "[x]{y}", "-o"]
    + (['q"<b>|?*', "a\nb", "back\\slash"] if os.name != "nt" else []),
)
def test_spaces_and_signs_in_paths(
    small: Path, whole: dict[str, str], tmp_path: Path, name: str
) -> None:
    project = tmp_path / name / "project"
    copied(small, project)
    assert in_project(project, "build", "--out", project / "site").returncode == 0
    assert state(project / "site") == whole, "nothing in the guide may tell where it was built"
    out = tmp_path / name / "class"
    assert (
        in_project(
            project, "paper", project / ASSIGNED, "--class", project / CLASS, "-o", out
        ).returncode
        == 0
    )
    assert in_project(project, "mark", out).returncode == 0
    assert (
        in_project(
            project, "package", project / PRACTICE, "scorm-1.2", "-o", tmp_path / name / "a.zip"
        ).returncode
        == 0
    )
    done = in_project(project, "check", tmp_path / name / "gone.yaml")
    assert done.returncode == 2 and done.stderr.count(b"\n") == 1 and no_trace(done)


BACKWARDS = (
    """
import os, time
real = time.time
steps = iter(range(10**9))
time.time = lambda: real() - 86400 * next(steps)          # each time it is asked, a day earlier
"""
    + RUN_IN
)


@pytest.mark.long
def test_a_clock_that_runs_backwards_and_files_from_the_future(
    small: Path, whole: dict[str, str], tmp_path: Path
) -> None:
    project = tmp_path / "project"
    copied(small, project)
    for place, path in enumerate(sorted(project.rglob("*"))):
        os.utime(path, (0, 0) if place % 2 else (4_000_000_000, 4_000_000_000))
    for _ in range(2):
        done = in_project(project, "build", "--out", project / "site", program=BACKWARDS)
        assert (done.returncode, done.stderr) == (0, b"") and state(project / "site") == whole
    for command in (
        ("paper", project / ASSIGNED, "--class", project / CLASS, "-o", tmp_path / "class"),
        ("mark", tmp_path / "class", "--closes", "2001-01-01T00:00Z"),
    ):
        assert in_project(project, *command, program=BACKWARDS).returncode == 0


# ---- the preview, served


@pytest.fixture
def served(small: Path, tmp_path: Path) -> Iterator[tuple[int, subprocess.Popen[bytes], Path]]:
    project = tmp_path / "project"
    copied(small, project)
    port = free_port()
    with (project / "mkdocs.yml").open("a", encoding="utf-8") as file:
        file.write(f"\ndev_addr: 127.0.0.1:{port}\n")
    log = (tmp_path / "log").open("wb")
    child = subprocess.Popen(
        [sys.executable, "-P", "-c", RUN_IN, project, "preview"],
        stdout=log,
        stderr=log,
        env=environment(FIRSTWAY_CACHE=str(tmp_path / "cache")),
    )
    end = time.monotonic() + 200
    while b"Serving on" not in (tmp_path / "log").read_bytes():
        assert child.poll() is None and time.monotonic() < end, (tmp_path / "log").read_text(
            encoding="utf-8"
        )
        time.sleep(0.1)
    yield port, child, tmp_path
    child.kill()
    child.wait()
    log.close()


def free_port() -> int:
    with closing(socket.socket()) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def asked(port: int, path: str, host: str | None = None) -> int:
    """The status of one request, its Host as given."""
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=30)) as line:
        line.putrequest("GET", path, skip_host=host is not None)
        if host:
            line.putheader("Host", host)
        line.endheaders()
        return line.getresponse().status


def test_preview__answers_its_own_address_only_and_no_path_that_is_none(
    served: tuple[int, subprocess.Popen[bytes], Path],
) -> None:
    port, child, folder = served
    assert asked(port, "/index.html") == 200 and asked(port, "/", f"localhost:{port}") == 200
    assert [
        asked(port, "/index.html", host) for host in (f"example.org:{port}", "example.org", "")
    ] == [421] * 3
    assert [
        asked(port, path)
        for path in (
            "/%00",
            "/a%00.html",
            "/../../../etc/passwd",
            "/%2e%2e/%2e%2e/etc/passwd",
            "/" + "a" * 5000,
            "/nowhere.html",
        )
    ] == [404] * 6
    assert b"Traceback" not in (folder / "log").read_bytes()


@pytest.mark.long
@posix
def test_preview__its_end_leaves_nothing_and_a_kill_is_cleaned_by_the_next_command(
    served: tuple[int, subprocess.Popen[bytes], Path], small: Path
) -> None:
    port, child, folder = served
    assert len(rooms(folder / "cache")) == 1
    second = in_project(
        folder / "project", "preview", env=environment(FIRSTWAY_CACHE=str(folder / "cache"))
    )
    assert (
        second.returncode == 2
        and b"the address of the preview cannot be used" in second.stderr
        and no_trace(second)
    )
    assert len(rooms(folder / "cache")) == 1, (
        "the second leaves the first one's folder alone, and none of its own"
    )
    child.send_signal(signal.SIGKILL)
    child.wait()
    in_project(small, "check", MARRAM, env=environment(FIRSTWAY_CACHE=str(folder / "cache")))
    assert rooms(folder / "cache") == []


@pytest.mark.long
@posix
def test_preview__told_to_end_it_ends_and_cleans(
    served: tuple[int, subprocess.Popen[bytes], Path],
) -> None:
    port, child, folder = served
    child.send_signal(signal.SIGTERM)
    assert child.wait(timeout=60) == 143 and rooms(folder / "cache") == []
    assert b"Traceback" not in (folder / "log").read_bytes()
