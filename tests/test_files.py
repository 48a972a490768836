"""The readers: text and bytes to plain data with lines, and whole files to the disk.

YAML 1.2 is the outside reference for the form; that every scalar stays text is our own rule (`on`, `no`, `2023`).
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml

from changing import DIAGRAMS, text_of
from firstway.files.text_reader import text_of_file
from firstway.files.writing import put_text
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.problems import Problem, Problems, visible

NAMES = sorted(path.stem for path in DIAGRAMS.glob("*.yaml") if path.stem != "mistakes")


def plain(node: Node) -> object:
    """The data without its lines."""
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Items):
        return [plain(item) for item in node]
    return {key: plain(value) for key, value in node.values.items()}


@pytest.mark.parametrize("name", NAMES)
def test_data_from_yaml__agrees_with_the_reference_reader(name: str) -> None:
    """PyYAML's own loader, told to leave every scalar text, is the independent reader."""
    data, problems = data_from_yaml(text_of(name), name)
    assert data is not None and not problems
    assert plain(data) == yaml.load(text_of(name), Loader=yaml.BaseLoader)


@pytest.mark.parametrize("name", NAMES)
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


@pytest.mark.parametrize("word", ["on", "no", "yes", "2023", "4/0", "2026-12-01", "0x1F", "1_000", "1:30", "null", "~", ".nan", "1e3", "012"])
def test_data_from_yaml__leaves_every_scalar_text(word: str) -> None:
    data, problems = data_from_yaml(f"key: {word}\n", "x.yaml")
    assert isinstance(data, Entries) and not problems
    assert data.values["key"] == Text(word, 1)


def test_data_from_yaml__tells_quoted_text_from_a_bare_word() -> None:
    data, _ = data_from_yaml("bare: choose\nquoted: 'choose'\n", "x.yaml")
    assert isinstance(data, Entries)
    assert (data.values["bare"], data.values["quoted"]) == (Text("choose", 1), Text("choose", 2, quoted=True))


def test_data_from_yaml__keeps_the_first_of_two_equal_keys_and_says_so() -> None:
    data, problems = data_from_yaml("a: 1\nb: 2\na: 3\n", "x.yaml")
    assert isinstance(data, Entries) and data.values["a"] == Text("1", 1)
    assert [str(problem) for problem in problems] == ["x.yaml:3: the key 'a' stands twice (first in line 1); keep one of them"]


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
    said = [str(text_of_file(path, path.name)[1][0]) for path in (tmp_path / "none.yaml", tmp_path, tmp_path / "latin.yaml")]
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


def test_put_text__writes_whole_and_leaves_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    assert put_text(path, "old") == [] and put_text(path, "nine\n") == []
    assert path.read_bytes() == b"nine\n" and [item.name for item in tmp_path.iterdir()] == ["a.svg"]


def test_put_text__keeps_the_old_file_when_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.svg"
    path.write_text("old", encoding="utf-8")

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fails)
    problems = put_text(path, "new")
    assert [problem.message for problem in problems] == ["the file cannot be written (No space left on device)"]
    assert path.read_text(encoding="utf-8") == "old" and [item.name for item in tmp_path.iterdir()] == ["a.svg"]


def test_put_text__gives_a_problem_for_a_missing_folder(tmp_path: Path) -> None:
    assert len(put_text(tmp_path / "none" / "a.svg", "x")) == 1


def test_problem__is_one_sentence_with_its_place() -> None:
    assert str(Problem("a.yaml", 3, "what", "do")) == "a.yaml:3: what; do"
    assert str(Problem("a.yaml", 0, "what")) == "a.yaml: what"


def test_text_of_files_cannot_steer_what_prints_it() -> None:
    """Escapes instead of control characters, line breaks, direction marks and what cannot be seen."""
    assert visible("a\x1b[2Jb\nc\u202ed\u2028e\ufeff\ud800\U000e0041") == (
        "a\\x1b[2Jb\\x0ac\\u202ed\\u2028e\\ufeff\\ud800\\U000e0041")
    assert visible("Zoë, 5 mm², 漢字, C:\\new") == "Zoë, 5 mm², 漢字, C:\\new"
    assert str(Problem("a\nb.csv", 1, "the code '\u202e1M'")) == "a\\x0ab.csv:1: the code '\\u202e1M'"


def test_problems__stand_sorted_and_once() -> None:
    two = Problem("a.yaml", 2, "b"), Problem("a.yaml", 1, "a")
    assert Problems([*two, *two]).problems == (two[1], two[0])
