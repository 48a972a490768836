"""A folder is replaced whole or not at all, whatever kills the run, and the next run of any command
finishes or cleans.

Nothing outside the project can judge our own journal; the judge is the rule itself, tried at every
write: afterwards the old or the new stands, whole, and after one more command nothing else does.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from dying import die_at

from firstway.cli import main
from firstway.files import disk as writing
from firstway.files import folders
from firstway.files.disk import put_bytes, put_new, put_text
from firstway.files.folders import ROOM_PREFIX, room_for, room_in, settle_noted_rooms, settle_rooms
from firstway.files.locking import alone_in, taken

pytestmark = pytest.mark.skipif(os.name == "nt", reason="forks")


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture(params=["in one step", "by two names"])
def system(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """A system that exchanges two names, and one that cannot."""
    if request.param == "by two names":
        monkeypatch.setattr(folders, "_exchange_of_system", lambda: None)
    elif folders._exchange_of_system() is None:
        pytest.skip("this system cannot exchange two names")
    return request.param


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with its text."""
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in folder.rglob("*")
        if path.is_file()
    }


def fill(folder: Path, word: str) -> None:
    (folder / "part").mkdir(parents=True)
    for name in ("index", "part/page"):
        (folder / name).write_text(word, encoding="utf-8")


WHOLE = {word: {"index": word, "part/page": word} for word in ("old", "new")}


def replace_one(base: Path) -> None:
    with room_for(base / "site") as room:
        fill(room.fresh, "new")
        room.put_in_place()


def replace_three(base: Path) -> None:
    with room_in(base) as room:
        fill(room.new / "paper", "new")
        (room.new / "list").write_text("new", encoding="utf-8")
        fill(room.new / "first", "new")
        room.put_in_place(
            ("paper", "list", "first"), {"paper": "earlier/1", "list": "earlier/list"}
        )


def dies(work: object, number: int) -> bool:
    """Run in a process of its own that is killed at its n-th write; whether it came so far."""
    child = os.fork()
    if child == 0:
        try:
            die_at(number, "kill")
            work()
        except BaseException:
            os._exit(3)
        os._exit(0)
    status = os.waitpid(child, 0)[1]
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0
    return os.WIFSIGNALED(status)


def test_room_for__killed_at_every_write_leaves_the_old_or_the_new(
    tmp_path: Path, system: str
) -> None:
    kills = 0
    for number in range(1, 100):
        base = tmp_path / str(number)
        fill(base / "site", "old")
        killed = dies(lambda: replace_one(base), number)
        if system == "in one step":
            assert tree(base / "site") in WHOLE.values(), f"write {number}"
        settle_rooms(base)
        assert tree(base / "site") in WHOLE.values(), f"write {number}"
        assert os.listdir(base) == ["site"], f"write {number}"
        replace_one(base)
        assert tree(base) == {f"site/{name}": word for name, word in WHOLE["new"].items()}
        kills += killed
        if not killed:
            break
    assert 12 < kills < 99


def test_room_in__several_things_killed_at_every_write_are_all_old_or_all_new(
    tmp_path: Path, system: str
) -> None:
    for number in range(1, 100):
        base = tmp_path / str(number)
        fill(base / "paper", "old")
        (base / "list").write_text("old", encoding="utf-8")
        killed = dies(lambda: replace_three(base), number)
        settle_rooms(base)
        found = tree(base)
        old = {"paper/index": "old", "paper/part/page": "old", "list": "old"}
        new = {
            f"{name}{key}": word
            for name in ("paper/", "first/")
            for key, word in WHOLE["new"].items()
        } | {"list": "new"}
        new |= {f"earlier/1/{key}": word for key, word in WHOLE["old"].items()} | {
            "earlier/list": "old"
        }
        assert found in (old, new), f"write {number}"
        assert not list(base.glob(f"{ROOM_PREFIX}*"))
        if not killed:
            break
    assert not killed and number > 20


def test_settling_that_is_killed_itself_is_finished_by_the_next(
    tmp_path: Path, system: str
) -> None:
    for first in range(8, 40):
        for second in range(1, 12, 3):
            base = tmp_path / f"{first}-{second}"
            fill(base / "site", "old")
            if not dies(lambda: replace_one(base), first):
                return
            dies(lambda: settle_rooms(base), second)
            settle_rooms(base)
            assert tree(base / "site") in WHOLE.values() and os.listdir(base) == ["site"], (
                first,
                second,
            )


@pytest.mark.parametrize(
    "command", [["work", "diagrams/marram.yaml"], ["check", "nowhere.yaml"], ["mark", "nowhere"]]
)
def test_any_command_finishes_what_a_killed_run_left_elsewhere(
    tmp_path: Path, own_cache: Path, monkeypatch: pytest.MonkeyPatch, root: Path, command: list[str]
) -> None:
    monkeypatch.chdir(root)
    base = tmp_path / "far"
    fill(base / "site", "old")
    dies(lambda: replace_one(base), 10)
    assert len(os.listdir(base)) == 2, "the kill left a room"
    main(command)
    assert os.listdir(base) == ["site"] and not os.listdir(own_cache / "rooms")


def test_a_room_whose_run_lives_is_left_alone(tmp_path: Path) -> None:
    with room_in(tmp_path) as room:
        (room.new / "site").mkdir()
        assert not dies(lambda: settle_rooms(tmp_path), 10_000)
        assert (room.new / "site").is_dir()
        room.put_in_place()
    assert sorted(os.listdir(tmp_path)) == ["cache", "site"]


def test_an_earlier_room_never_undoes_what_came_after_it(tmp_path: Path) -> None:
    """Killed between placing and forgetting its journal, with another's result in place since: that
    one stays.
    """
    if folders._exchange_of_system() is None:
        pytest.skip("this system cannot exchange two names")
    for number in range(9, 16):
        base = tmp_path / str(number)
        fill(base / "site", "old")
        dies(lambda: replace_one(base), number)
        left = list(base.glob(f"{ROOM_PREFIX}*"))
        if (
            (base / "site/index").read_text(encoding="utf-8") == "old"
            or not left
            or not (left[0] / "journal").exists()
        ):
            continue
        (left[0]).rename(base / "aside")
        with room_for(base / "site") as room:
            fill(room.fresh, "newest")
            room.put_in_place()
        (base / "aside").rename(left[0])
        settle_rooms(base)
        assert (base / "site/index").read_text(encoding="utf-8") == "newest" and os.listdir(
            base
        ) == ["site"]
        return
    pytest.fail("no kill fell between placing and forgetting")


def test_an_error_puts_everything_back(
    tmp_path: Path, system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(tmp_path / "paper", "old")
    (tmp_path / "list").write_text("old", encoding="utf-8")
    before = tree(tmp_path)
    real = folders._place

    def refuses(room: Path, placing: folders.Placing) -> None:
        if placing.name == "first":
            raise PermissionError(13, "in use")
        real(room, placing)

    monkeypatch.setattr(folders, "_place", refuses)
    with pytest.raises(PermissionError):
        replace_three(tmp_path)
    assert tree(tmp_path) == before and sorted(os.listdir(tmp_path)) == ["cache", "list", "paper"]


def test_room_for__an_error_leaves_no_folder_on_the_way(tmp_path: Path) -> None:
    with pytest.raises(KeyError):
        with room_for(tmp_path / "a/b/site") as room:
            fill(room.fresh, "new")
            raise KeyError
    assert os.listdir(tmp_path) == ["cache"]
    with room_for(tmp_path / "a/b/site") as room:
        fill(room.fresh, "new")
        room.put_in_place()
    assert tree(tmp_path / "a/b/site") == WHOLE["new"]


@pytest.mark.parametrize(
    "journal",
    [
        '[{"name": "../precious", "identity": "1:1"}]',
        '[{"name": "/etc", "identity": "1:1"}]',
        '[{"name": "x", "identity": "1:1", "kept_as": "../y"}]',
        "{",
        "[1]",
        '[{"name": "x"}]',
        "[" * 100_000,
        '[{"name": 1, "identity": ""}]',
        "\udcff",
    ],
)
def test_a_foreign_journal_moves_nothing(tmp_path: Path, journal: str) -> None:
    room = tmp_path / f"{ROOM_PREFIX}foreign"
    fill(room / "new" / "x", "bad")
    (room / "lock").touch()
    (room / "journal").write_text(journal, encoding="utf-8", errors="surrogateescape")
    (tmp_path / "precious").write_text("mine", encoding="utf-8")
    settle_rooms(tmp_path)
    assert (tmp_path / "precious").read_text(encoding="utf-8") == "mine" and not (
        tmp_path / "x"
    ).exists()


def test_a_note_that_names_no_room_removes_nothing(tmp_path: Path, own_cache: Path) -> None:
    fill(tmp_path / "letters", "mine")
    (own_cache / "rooms").mkdir(parents=True)
    (own_cache / "rooms/1").write_text(str(tmp_path / "letters"), encoding="utf-8")
    (own_cache / "rooms/2").write_text(f"{ROOM_PREFIX}\0", encoding="utf-8")
    (own_cache / "rooms/3").write_bytes(b"\xff\xfe")
    settle_noted_rooms()
    assert tree(tmp_path / "letters") == {"index": "mine", "part/page": "mine"}


@pytest.mark.parametrize("number", range(1, 9))
def test_a_disk_that_is_full_from_any_write_on_leaves_no_room_and_no_note(
    tmp_path: Path, own_cache: Path, number: int
) -> None:
    """Before, a room whose lock found no space stayed, and so did the empty file of a note."""
    base = tmp_path / "base"
    base.mkdir()
    child = os.fork()
    if child == 0:
        try:
            die_at(number, "fail")
            replace_one(base)
        except OSError:
            os._exit(1)
        os._exit(0)
    os.waitpid(child, 0)
    assert list(base.glob(f"{ROOM_PREFIX}*")) == [] and list((own_cache / "rooms").glob("*")) == []


def test_a_note_that_could_not_be_written_goes_at_once(tmp_path: Path, own_cache: Path) -> None:
    import resource  # not on Windows

    base = tmp_path / "base"
    base.mkdir()
    child = os.fork()
    if child == 0:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(
            resource.RLIMIT_FSIZE, (0, 0)
        )  # files may be made, and nothing written into them
        try:
            replace_one(base)
        except OSError:
            os._exit(1)
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 1
    assert list(base.glob(f"{ROOM_PREFIX}*")) == [] and list((own_cache / "rooms").glob("*")) == []


def test_an_empty_note_is_removed_unless_somebody_is_writing_it(own_cache: Path) -> None:
    note = own_cache / "rooms/empty"
    note.parent.mkdir(parents=True)
    with open(note, "w", encoding="utf-8") as writing:
        assert taken(writing.fileno())
        settle_noted_rooms()
        assert note.exists(), "its writer lives"
    settle_noted_rooms()
    assert not note.exists(), "its writer was killed"


def holder(folder: Path, then: str) -> subprocess.Popen[bytes]:
    """Another run that goes in alone and says so."""
    program = (
        "import sys, time; from pathlib import Path; from firstway.files.locking import"
        " alone_in\nprint('begun', flush=True)\nwith alone_in(Path(sys.argv[1])):\n    print('in',"
        f" flush=True); {then}"
    )
    found = subprocess.Popen(
        [sys.executable, "-c", program, str(folder)],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert found.stdout is not None and found.stdout.readline() == b"begun\n"
    return found


def test_alone_in__the_second_waits_for_the_first(tmp_path: Path) -> None:
    with alone_in(tmp_path):
        second = holder(tmp_path, "pass")
        with pytest.raises(subprocess.TimeoutExpired):
            second.wait(timeout=0.3)
    assert second.wait(timeout=20) == 0


def test_alone_in__a_killed_holder_lets_go(tmp_path: Path) -> None:
    first = holder(tmp_path, "time.sleep(60)")
    assert first.stdout is not None and first.stdout.readline() == b"in\n"
    first.send_signal(signal.SIGKILL)
    first.wait()
    with alone_in(tmp_path):
        pass


# ---- one file


def test_put_bytes__killed_at_every_write_leaves_the_old_or_the_new(tmp_path: Path) -> None:
    for number in range(1, 40):
        base = tmp_path / str(number)
        base.mkdir()
        (base / "a.svg").write_text("old", encoding="utf-8")
        killed = dies(lambda: put_text(base / "a.svg", "new"), number)
        assert (base / "a.svg").read_text(encoding="utf-8") in ("old", "new")
        settle_noted_rooms()
        assert os.listdir(base) == ["a.svg"]
        if not killed:
            break
    assert not killed and number > 6


@pytest.mark.parametrize("umask, mode", [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_put_bytes__a_new_file_gets_what_the_umask_gives(
    tmp_path: Path, umask: int, mode: int
) -> None:
    before = os.umask(umask)
    try:
        assert put_bytes(tmp_path / "new.svg", b"x") == []
    finally:
        os.umask(before)
    assert (tmp_path / "new.svg").stat().st_mode & 0o777 == mode


def test_put_bytes__a_file_keeps_its_permissions(tmp_path: Path) -> None:
    (tmp_path / "a.svg").touch(0o640)
    (tmp_path / "a.svg").chmod(0o640)
    assert put_bytes(tmp_path / "a.svg", b"x") == []
    assert (tmp_path / "a.svg").stat().st_mode & 0o777 == 0o640


def test_put_bytes__follows_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.svg").write_text("old", encoding="utf-8")
    (tmp_path / "link.svg").symlink_to("real.svg")
    assert put_text(tmp_path / "link.svg", "new") == []
    assert (tmp_path / "link.svg").is_symlink() and (tmp_path / "real.svg").read_text(
        encoding="utf-8"
    ) == "new"


def test_put_bytes__a_device_stays_a_device(tmp_path: Path) -> None:
    """Root could replace /dev/null by a file; the discarding device is the system's own
    reference.
    """
    assert put_bytes(Path(os.devnull), b"x") == []
    assert Path(os.devnull).is_char_device()
    assert (
        "No space left" in str(put_bytes(Path("/dev/full"), b"x")[0])
        if Path("/dev/full").exists()
        else True
    )


def test_put_bytes__a_pipe_is_written_to(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    child = os.fork()
    if child == 0:
        os._exit(0 if (tmp_path / "pipe").read_bytes() == b"through" else 1)
    assert put_bytes(tmp_path / "pipe", b"through") == []
    assert os.waitpid(child, 0)[1] == 0


def test_put_new__keeps_what_is_there_and_gives_a_key_to_its_owner_alone(tmp_path: Path) -> None:
    assert put_new(tmp_path / "key.pem", b"first", 0o600) == []
    assert (tmp_path / "key.pem").stat().st_mode & 0o777 == 0o600
    assert "a file of this name already" in str(put_new(tmp_path / "key.pem", b"second", 0o600)[0])
    assert (tmp_path / "key.pem").read_bytes() == b"first" and sorted(os.listdir(tmp_path)) == [
        "cache",
        "key.pem",
    ]


def test_writing_has_no_other_way() -> None:
    """The two modules that write are the only ones that rename; a third way would not be finished
    by the next run.
    """
    rooms = Path(writing.__file__).parents[1]
    renaming = [
        path.relative_to(rooms).as_posix()
        for path in sorted(rooms.rglob("*.py"))
        if any(
            word in path.read_text(encoding="utf-8")
            for word in ("os.replace", "os.rename", ".rename(", "mkstemp", "mkdtemp", "rmtree")
        )
    ]
    assert renaming == ["files/disk.py", "files/folders.py"]
