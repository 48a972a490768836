"""The readers: text and bytes to plain data with lines, and whole files to the disk.

YAML 1.2 is the outside reference for the form; that every scalar stays text is our own rule (`on`,
`no`, `2023`).
"""

from __future__ import annotations

import os
import re
import socket
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml
from changing import text_of
from sampling import EVERY_JOB

from firstway.files import disk as text_reader
from firstway.files.disk import (
    bytes_of_file,
    published_problems,
    put_text,
    text_if_there,
    text_of_file,
)
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.pages.gathering import gathered
from firstway.problems import Problem, Problems, visible


def plain(node: Node) -> object:
    """The data without its lines."""
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Items):
        return [plain(item) for item in node]
    return {key: plain(value) for key, value in node.values.items()}


@pytest.mark.parametrize("name", EVERY_JOB)
def test_data_from_yaml__agrees_with_the_reference_reader(name: str) -> None:
    """PyYAML's own loader, told to leave every scalar text, is the independent reader."""
    data, problems = data_from_yaml(text_of(name), name)
    assert data is not None and not problems
    assert plain(data) == yaml.load(text_of(name), Loader=yaml.BaseLoader)


@pytest.mark.parametrize("name", EVERY_JOB)
def test_data_from_yaml__every_key_stands_in_its_line(name: str) -> None:
    lines = text_of(name).splitlines()
    data, _ = data_from_yaml(text_of(name), name)

    def look(node: Node | None) -> int:
        if isinstance(node, Entries):
            for key, line in node.key_lines.items():
                assert f"{key}:" in lines[line - 1]
            return len(node.values) + sum(look(value) for value in node.values.values())
        return sum(look(item) for item in node) if isinstance(node, Items) else 0

    assert look(data) > 100


@pytest.mark.parametrize(
    "word",
    [
        "on",
        "no",
        "yes",
        "2023",
        "4/0",
        "2026-12-01",
        "0x1F",
        "1_000",
        "1:30",
        "null",
        "~",
        ".nan",
        "1e3",
        "012",
    ],
)
def test_data_from_yaml__leaves_every_scalar_text(word: str) -> None:
    data, problems = data_from_yaml(f"key: {word}\n", "x.yaml")
    assert isinstance(data, Entries) and not problems
    assert data.values["key"] == Text(word, 1)


def test_data_from_yaml__tells_quoted_text_from_a_bare_word() -> None:
    data, _ = data_from_yaml("bare: choose\nquoted: 'choose'\n", "x.yaml")
    assert isinstance(data, Entries)
    assert (data.values["bare"], data.values["quoted"]) == (
        Text("choose", 1),
        Text("choose", 2, quoted=True),
    )


def test_data_from_yaml__keeps_the_first_of_two_equal_keys_and_says_so() -> None:
    data, problems = data_from_yaml("a: 1\nb: 2\na: 3\n", "x.yaml")
    assert isinstance(data, Entries) and data.values["a"] == Text("1", 1)
    assert [str(problem) for problem in problems] == [
        "x.yaml:3: the key 'a' stands twice (first in line 1); keep one of them"
    ]


def test_data_from_yaml__reads_windows_line_ends() -> None:
    data, problems = data_from_yaml("a: 1\r\nb:\r\n  - 2\r\n", "x.yaml")
    assert not problems and isinstance(data, Entries)
    assert plain(data) == {"a": "1", "b": ["2"]} and data.key_lines == {"a": 1, "b": 2}


def test_text_of_file__drops_the_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"\xef\xbb\xbftitle: x\n")
    assert text_of_file(path) == ("title: x\n", [])


def test_text_of_file__names_what_is_wrong(tmp_path: Path) -> None:
    (tmp_path / "latin.yaml").write_bytes(b"title: x\nstory: caf\xe9\n")
    said = [
        str(text_of_file(path, path.name)[1][0])
        for path in (tmp_path / "none.yaml", tmp_path, tmp_path / "latin.yaml")
    ]
    assert said == [
        "none.yaml: there is no such file; check the path",
        f"{tmp_path.name}: this is a folder, not a file; name a file in it",
        "latin.yaml:2: the file is not UTF-8 text; save it as UTF-8",
    ]


def test_text_of_file__gives_a_problem_for_a_name_no_system_takes() -> None:
    text, problems = text_of_file(Path("x" * 5000), "long")
    assert text == "" and len(problems) == 1


def test_text_of_file__gives_a_problem_for_a_name_with_a_zero() -> None:
    text, problems = text_of_file(Path("a\0b.yaml"), "odd")
    assert text == "" and len(problems) == 1


# ---- what is no file is told, never waited for


def made_pipe(path: Path) -> None:
    os.mkfifo(path)


def made_socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as one:
        here = os.getcwd()
        os.chdir(path.parent)  # the name of a socket must be short
        try:
            one.bind(path.name)
        finally:
            os.chdir(here)


@pytest.mark.skipif(os.name == "nt", reason="Windows has none of these")
@pytest.mark.parametrize(
    "make, word",
    [
        (made_pipe, "a pipe"),
        (made_socket, "a socket"),
        (Path.mkdir, "a folder"),
        (lambda path: path.symlink_to("/dev/zero"), "a device"),
        (lambda path: path.symlink_to("/dev/tty"), "a device"),
        (lambda path: path.symlink_to(path.name), "cannot be read"),
        (lambda path: path.symlink_to("nowhere"), "no such file"),
    ],
)
def test_bytes_of_file__looks_at_the_kind_before_it_reads(
    tmp_path: Path, make: Callable[[Path], None], word: str
) -> None:
    make(tmp_path / "x.yaml")
    content, problems = bytes_of_file(tmp_path / "x.yaml", "x.yaml")
    assert (
        content == b""
        and [problem.file for problem in problems] == ["x.yaml"]
        and word in problems[0].message
        and problems[0].hint
    )


def test_bytes_of_file__looks_at_the_size_before_it_reads(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    with path.open("wb") as file:
        file.truncate(50_000_000_000)  # a file with a hole takes no room
    assert "larger than 16000000 bytes" in str(bytes_of_file(path)[1][0])
    path.write_bytes(b"12345")
    assert bytes_of_file(path, largest=5) == (b"12345", []) and "larger than 4 bytes" in str(
        bytes_of_file(path, largest=4)[1][0]
    )


@pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="only Linux makes files up while they are read"
)
def test_bytes_of_file__a_file_without_a_size_beforehand_is_limited_too() -> None:
    assert "larger than 9 bytes" in str(bytes_of_file(Path("/proc/self/status"), largest=9)[1][0])


def test_text_if_there__a_folder_in_its_place_is_told_and_nothing_is_none(tmp_path: Path) -> None:
    (tmp_path / "is").mkdir()
    assert text_if_there(tmp_path / "not") == (None, [])
    text, problems = text_if_there(tmp_path / "is")
    assert text is None and "a folder" in problems[0].message


@pytest.mark.parametrize(
    "place",
    [
        "quiz/outcomes.yaml",
        "diagrams/mistakes.yaml",
        "content/glossary.yaml",
        "diagrams/a.yaml",
        "quiz/bank/a.yaml",
        "quiz/papers/a.yaml",
        "content/a.md",
    ],
)
@pytest.mark.parametrize("make", [Path.mkdir, made_pipe] if os.name != "nt" else [Path.mkdir])
def test_gathered__what_stands_where_a_file_should_be_is_told(
    tmp_path: Path, place: str, make: Callable[[Path], None]
) -> None:
    for folder in ("diagrams", "content", "quiz/bank", "quiz/papers"):
        (tmp_path / folder).mkdir(parents=True)
    make(tmp_path / place)
    assert [problem.file for problem in gathered(tmp_path)[2]] == [place]


@pytest.mark.parametrize(
    "name",
    [
        "a b.yaml",
        "ä.yaml",
        "<b>.yaml",
        "a'b.yaml",
        "-a.yaml",
        ".yaml",
        "a\nb.yaml",
        os.fsdecode(b"\xff.yaml"),
        "x;y.yaml",
        "\u202e.yaml",
    ],
)
def test_gathered__a_name_that_no_address_can_hold_is_told(tmp_path: Path, name: str) -> None:
    for folder, end in (("diagrams", ".yaml"), ("content", ".md")):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / name.replace(".yaml", end)).write_text("x", encoding="utf-8")
    told = {
        problem.file.split("/")[0]
        for problem in gathered(tmp_path)[2]
        if "cannot have this name" in problem.message
    }
    assert told == {"diagrams", "content"}


def test_published_problems__links_pipes_and_names(tmp_path: Path) -> None:
    content = tmp_path / "project/content"
    content.mkdir(parents=True)
    (tmp_path / "secret").write_text("mine", encoding="utf-8")
    (content / "a picture (2).png").touch()
    (content / "inside.png").symlink_to("a picture (2).png")
    assert published_problems(content, tmp_path / "project") == []
    (content / "outside.png").symlink_to(tmp_path / "secret")
    (content / "loop").symlink_to(".")
    (content / "gone.png").symlink_to("nowhere")
    (content / "zero").symlink_to("/dev/zero")
    (content / os.fsdecode(b"\xff.png")).touch()
    (content / "<b>.png").touch()
    if os.name != "nt":
        os.mkfifo(content / "pipe")
    told = {problem.file for problem in published_problems(content, tmp_path / "project")}
    assert told == {
        f"content/{name}"
        for name in (
            "outside.png",
            "loop",
            "gone.png",
            "zero",
            "pipe",
            os.fsdecode(b"\xff.png"),
            "<b>.png",
        )
    }


def test_files_are_read_by_the_one_reader() -> None:
    """Nothing outside files/ opens what an author or a learner wrote; the program reads its own
    files, and those that it built, itself.
    """
    own = {
        "quiz/paper/scripts.py",
        "pages/reference/tables_pages.py",
        "site/engine_files.py",
        "site/fetched.py",
        "site/lean_styles.py",
        "site/packing.py",
        "site/searching.py",
    }
    package = Path(text_reader.__file__).parents[1]
    reading = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if re.search(r"\.read_(?:bytes|text)\(", path.read_text(encoding="utf-8"))
    }
    assert {name for name in reading if not name.startswith("files/")} == own


def test_put_text__writes_whole_and_leaves_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    assert put_text(path, "old") == [] and put_text(path, "nine\n") == []
    assert path.read_bytes() == b"nine\n" and [item.name for item in tmp_path.iterdir()] == [
        "a.svg"
    ]


def test_put_text__keeps_the_old_file_when_writing_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.svg"
    path.write_text("old", encoding="utf-8")

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fails)
    problems = put_text(path, "new")
    assert [problem.message for problem in problems] == [
        "the file cannot be written (No space left on device)"
    ]
    assert path.read_text(encoding="utf-8") == "old" and [
        item.name for item in tmp_path.iterdir()
    ] == ["a.svg"]


def test_put_text__gives_a_problem_for_a_missing_folder(tmp_path: Path) -> None:
    assert len(put_text(tmp_path / "none" / "a.svg", "x")) == 1


def test_problem__is_one_sentence_with_its_place() -> None:
    assert str(Problem("a.yaml", 3, "what", "do")) == "a.yaml:3: what; do"
    assert str(Problem("a.yaml", 0, "what")) == "a.yaml: what"


def test_text_of_files_cannot_steer_what_prints_it() -> None:
    """Escapes instead of control characters, line breaks, direction marks and what cannot
    be seen.
    """
    assert (
        visible("a\x1b[2Jb\nc\u202ed\u2028e\ufeff\ud800\U000e0041")
        == "a\\x1b[2Jb\\x0ac\\u202ed\\u2028e\\ufeff\\ud800\\U000e0041"
    )
    assert visible("Zoë, 5 mm², 漢字, C:\\new") == "Zoë, 5 mm², 漢字, C:\\new"
    assert (
        str(Problem("a\nb.csv", 1, "the code '\u202e1M'")) == "a\\x0ab.csv:1: the code '\\u202e1M'"
    )


def test_problems__stand_sorted_and_once() -> None:
    two = Problem("a.yaml", 2, "b"), Problem("a.yaml", 1, "a")
    assert Problems([*two, *two]).problems == (two[1], two[0])
