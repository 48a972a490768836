"""The commands that write, for the campaigns of kills and full disks: what stands before, what is
run, what must stand afterwards.

Everything is made from a small project with the real mkdocs; each run is a process of its own,
forked from one that has everything imported.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import resource
import shutil
import sys
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from dying import die_at
from small_project import ASSIGNED, CLASS, PRACTICE, made_small_project

State = dict[str, str]
ROOM_PREFIX = ".firstway-room-"


@dataclass(frozen=True)
class Command:
    """`before` fills a case's folder; `arguments` run in it; `parts` are what must be old or new,
    each whole; `same_bytes`: a second run gives the same.
    """

    name: str
    before: Callable[[Path], None]
    arguments: tuple[str, ...]
    parts: tuple[str, ...]
    same_bytes: bool = True


@dataclass
class Shared:
    """The two projects (before and after a change), the classes, the warm cache; and what each
    command leaves.
    """

    folder: Path
    commands: dict[str, Command] = field(default_factory=dict)
    old: dict[str, State] = field(default_factory=dict)
    new: dict[str, State] = field(default_factory=dict)
    writes: dict[str, int] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)


def state(folder: Path, parts: tuple[str, ...]) -> State:
    """Every file below the parts with its hash."""
    found: State = {}
    for part in parts:
        place = folder / part
        files = (
            [place]
            if place.is_file()
            else sorted(path for path in place.rglob("*") if path.is_file())
        )
        found |= {
            path.relative_to(folder).as_posix(): sha256(path.read_bytes()).hexdigest()
            for path in files
        }
    return found


def litter(folder: Path) -> list[str]:
    """Rooms, notes of rooms and temporary files anywhere below a case's folder."""
    left = [
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.name.startswith((ROOM_PREFIX, ".tmp", "tmp", "mkdocs_")) and path.name != "tmp"
    ]
    return left + [
        path.relative_to(folder).as_posix()
        for name in ("cache/rooms", "tmp")
        for path in sorted((folder / name).glob("*"))
    ]


def prepared(folder: Path) -> Shared:
    """Everything the cases share."""
    import mkdocs.commands.build  # noqa: F401

    from firstway import cli  # noqa: F401
    from firstway.desk.answers import sealing  # noqa: F401
    from firstway.site import building  # noqa: F401

    shared = Shared(folder)
    os.environ["FIRSTWAY_CACHE"] = str(folder / "cache")
    for name, title in (
        ("old", "Marram Boatyard, slipway post"),
        ("new", "Marram Boatyard, mended"),
    ):
        project = made_small_project(folder / name)
        job = project / "diagrams/marram.yaml"
        job.write_text(
            job.read_text(encoding="utf-8").replace("Marram Boatyard, slipway post", title),
            encoding="utf-8",
        )
        assert _ran(project, "build", "--out", str(folder / f"site-{name}")) == 0
        assert (
            _ran(
                project,
                "package",
                str(project / PRACTICE),
                "qti-3.0",
                "-o",
                str(folder / f"{name}.zip"),
            )
            == 0
        )
        assert _ran(project, "draw", str(job), "board", "-o", str(folder / f"{name}.svg")) == 0
    old, new = folder / "old", folder / "new"
    (new / CLASS).write_text("code,name\nA1,Ada\nB2,Bo\nC3,Cy\nD4,Di\n", encoding="utf-8")
    _classes(folder, old)
    commands = (
        Command(
            "build",
            lambda case: _copy(folder / "site-old", case / "site"),
            (str(new), "build", "--out", "{case}/site"),
            ("site",),
        ),
        Command(
            "build anew", lambda case: None, (str(new), "build", "--out", "{case}/a/b/site"), ("a",)
        ),
        Command(
            "paper",
            lambda case: _copy(folder / "class", case / "class"),
            (
                str(old),
                "paper",
                str(old / ASSIGNED),
                "--class",
                str(new / CLASS),
                "-o",
                "{case}/class",
            ),
            ("class",),
        ),
        Command(
            "paper anew",
            lambda case: None,
            (
                str(old),
                "paper",
                str(old / ASSIGNED),
                "--class",
                str(old / CLASS),
                "-o",
                "{case}/class",
                "--key",
                "{case}/key.pem",
            ),
            ("class",),
            same_bytes=False,
        ),
        Command(
            "mark",
            lambda case: _copy(folder / "handed-in", case / "class"),
            (str(old), "mark", "{case}/class"),
            ("class",),
        ),
        Command(
            "package",
            lambda case: _copy(folder / "old.zip", case / "a.zip"),
            (str(new), "package", str(new / PRACTICE), "qti-3.0", "-o", "{case}/a.zip"),
            ("a.zip",),
        ),
        Command(
            "draw",
            lambda case: _copy(folder / "old.svg", case / "a.svg"),
            (str(new), "draw", str(new / "diagrams/marram.yaml"), "board", "-o", "{case}/a.svg"),
            ("a.svg",),
        ),
    )
    for command in commands:
        shared.commands[command.name] = command
        _measure(shared, command)
    return shared


def _classes(folder: Path, old: Path) -> None:
    """A class whose papers are out; and the same with marks, a corrected key and answers that
    change them.
    """
    from firstway.desk.papers.key import key_from_text

    out = folder / "class"
    assert _ran(old, "paper", str(old / ASSIGNED), "--class", str(old / CLASS), "-o", str(out)) == 0
    key = key_from_text((out / "paper/desk/key.json").read_text(encoding="utf-8"))
    assert key is not None
    handed = folder / "handed-in"
    shutil.copytree(out, handed)
    for code in ("A1", "B2"):
        sheet = key.sheets[code]
        data = {
            "format": "firstway answers 2",
            "paper": key.paper,
            "paper_version": key.version,
            "learner": code,
            "issue": sheet.issue,
            "answers": {key.by_id[id_].alias: "a" for id_, _ in sheet.asked},
            "saved": "2026-11-25T09:50:00.000Z",
        }
        (handed / "answers" / f"{code}.json").write_text(json.dumps(data), encoding="utf-8")
    assert _ran(old, "mark", str(handed)) in (0, 1)
    with (handed / "corrections.csv").open("a", encoding="utf-8", newline="") as file:
        head = (
            (handed / "corrections.csv").read_text(encoding="utf-8-sig").splitlines()[0].split(",")
        )
        row = {"question": key.questions[0].id, "what": "all-right", "reason": "misprinted"}
        file.write(",".join(row.get(name, "") for name in head) + "\r\n")


def _measure(shared: Shared, command: Command) -> None:
    """What stands before and after a whole run, how many writes it makes and how long it takes."""
    case = shared.folder / f"measured-{command.name.replace(' ', '-')}"
    begin(shared, command, case)
    shared.old[command.name] = state(case, command.parts)
    ended = run(shared, command, case)
    assert ended.code in (0, 1) and not ended.trace, f"{command.name}: {ended}"
    shared.new[command.name] = state(case, command.parts)
    assert shared.old[command.name] != shared.new[command.name], f"{command.name} changes nothing"
    shared.writes[command.name], shared.seconds[command.name] = ended.writes, ended.seconds
    assert not litter(case), f"{command.name} leaves {litter(case)}"
    shutil.rmtree(case)


def begin(shared: Shared, command: Command, case: Path, *, cold: bool = False) -> None:
    """Fill the folder of a case: what stood before, a cache of its own, an empty
    temporary folder.
    """
    case.mkdir(exist_ok=True)
    (case / "tmp").mkdir()
    if not cold:
        shutil.copytree(
            shared.folder / "cache", case / "cache", ignore=shutil.ignore_patterns("rooms")
        )
    command.before(case)


def _copy(one: Path, other: Path) -> None:
    (shutil.copytree if one.is_dir() else shutil.copy)(one, other)


# ---- one run in a process of its own


@dataclass(frozen=True)
class Ended:
    """How a run ended: its exit code, or -9 where it was killed; what it said; how many writes it
    had made.
    """

    code: int
    said: str = ""
    trace: str = ""
    writes: int = 0
    seconds: float = 0.0


def run(
    shared: Shared,
    command: Command,
    case: Path,
    way: str = "count",
    number: int = 0,
    after_s: float | None = None,
    file_limit: int | None = None,
) -> Ended:
    """Run a command in a case's folder.

    `way` and `number` as in dying.py; or killed after a time.
    """
    return forked(
        [argument.replace("{case}", str(case)) for argument in command.arguments],
        case,
        way,
        number,
        after_s,
        file_limit,
    )


def forked(
    arguments: list[str],
    case: Path,
    way: str = "count",
    number: int = 0,
    after_s: float | None = None,
    file_limit: int | None = None,
) -> Ended:
    """Run `arguments` (the project, then a command) in a child."""
    import signal
    import time

    reading, writing = os.pipe()
    begun = time.monotonic()
    child = os.fork()
    if child == 0:
        os.close(reading)
        os.setsid()
        _in_the_child(arguments, case, way, number, file_limit, writing)
    os.close(writing)
    if after_s is not None:
        time.sleep(after_s)
        os.kill(child, signal.SIGKILL)
    with open(reading, "rb") as pipe:
        said = pipe.read()
    status = os.waitpid(child, 0)[1]
    seconds = time.monotonic() - begun
    if os.WIFSIGNALED(status):
        return Ended(-os.WTERMSIG(status), seconds=seconds)
    return Ended(**json.loads(said), seconds=seconds)


def _in_the_child(
    arguments: list[str], case: Path, way: str, number: int, file_limit: int | None, writing: int
) -> None:
    from firstway import cli

    os.environ["FIRSTWAY_CACHE"], os.environ["TMPDIR"] = str(case / "cache"), str(case / "tmp")
    import tempfile

    tempfile.tempdir = None
    if file_limit is not None:
        import signal

        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (file_limit, file_limit))
    project, *command = arguments
    cli.ROOT = Path(project)
    out, err, trace, code = io.StringIO(), io.StringIO(), "", -1
    count = die_at(number, way)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = cli.main(command)
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 99
    except BaseException:
        trace = traceback.format_exc()[-1500:]
    writes = count()
    with contextlib.suppress(OSError), open(writing, "wb") as pipe:
        pipe.write(
            json.dumps(
                {
                    "code": code,
                    "said": err.getvalue() + out.getvalue(),
                    "trace": trace,
                    "writes": writes,
                }
            ).encode()
        )
    os._exit(0)


def _ran(project: Path, *command: str) -> int:
    """A command run here and now, for what is prepared."""
    from firstway import cli

    before, cli.ROOT = cli.ROOT, project
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(sys.stderr):
            return cli.main(list(command))
    finally:
        cli.ROOT = before
