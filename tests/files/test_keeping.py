"""What takes long is made once: kept by its kind, its name and all it hangs on; whatever is cut,
foreign or of another state of the program is made anew.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from firstway.files.keeping import kept, kept_each, written_in_one_room
from firstway.files.reads import note_read, noting_reads


class Maker:
    """Makes a thing of two figures, and counts how often it was asked."""

    def __init__(self) -> None:
        self.times = 0

    def asked(self, on: str = "all", program: str = "1", what: Any = (1, 2)) -> Any:
        return kept(
            "sums",
            "one",
            on,
            lambda: self._made(what),
            data=lambda made: None if made is None else {"figures": list(made)},
            thing=lambda data: tuple(int(each) for each in data["figures"]),
            program=program,
        )

    def _made(self, what: Any) -> Any:
        self.times += 1
        return what


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path))
    return tmp_path


def file_in(folder: Path) -> Path:
    (found,) = folder.rglob("*.json")
    return found


def test_kept__makes_a_thing_once(folder: Path) -> None:
    maker = Maker()
    assert [maker.asked() for _ in range(3)] == [(1, 2)] * 3 and maker.times == 1


@pytest.mark.parametrize("changed", [{"on": "other"}, {"program": "2"}])
def test_kept__hangs_on_what_it_was_made_from(folder: Path, changed: dict[str, str]) -> None:
    maker = Maker()
    maker.asked()
    assert maker.asked(**changed) == (1, 2) and maker.times == 2
    file_in(folder)  # one place for one name
    maker.asked()
    assert maker.times == 3


def test_kept__by_default_on_the_whole_program(folder: Path) -> None:
    def asked() -> Any:
        return kept("a", "b", "c", lambda: 1, data=lambda made: made, thing=lambda data: data)

    assert asked() == 1
    key = json.loads(file_in(folder).read_text("utf-8"))["data"]["key"]
    assert asked() == 1 and len(key) == 40


@pytest.mark.parametrize("content", ["", "[]", '{"digest":"0","data":{}}', "\udcff"])
def test_kept__what_is_cut_or_foreign_is_made_anew(folder: Path, content: str) -> None:
    maker = Maker()
    maker.asked()
    whole = file_in(folder).read_text("utf-8")
    for text in (content, whole[:-5], whole.replace("1,2", "1,3")):
        file_in(folder).write_text(text, encoding="utf-8", errors="surrogateescape")
        before = maker.times
        assert maker.asked() == (1, 2) and maker.times == before + 1
        assert file_in(folder).read_text("utf-8") == whole


def test_kept__data_of_no_such_thing_is_made_anew(folder: Path) -> None:
    maker = Maker()
    kept("sums", "one", "all", lambda: 1, data=lambda _: ["x"], thing=lambda _: 1, program="1")
    assert maker.asked() == (1, 2) and maker.times == 1


def test_kept__what_is_not_to_be_kept_is_not(folder: Path) -> None:
    maker = Maker()
    assert maker.asked(what=None) is None and list(folder.rglob("*.json")) == []
    assert maker.asked() == (1, 2)


@pytest.mark.parametrize("place", ["", "a-file"])
def test_kept__without_a_folder_all_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    (tmp_path / "a-file").touch()
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / place) if place else "")
    maker = Maker()
    assert [maker.asked(), maker.asked()] == [(1, 2)] * 2 and maker.times == 2


def test_written_in_one_room__keeps_the_same_and_leaves_nothing(folder: Path) -> None:
    maker = Maker()
    with written_in_one_room():
        assert [maker.asked(), maker.asked(on="other")] == [(1, 2)] * 2 and maker.times == 2
        assert len(list(folder.iterdir())) == 2
    assert maker.asked(on="other") == (1, 2) and maker.times == 2
    assert [each.name for each in folder.iterdir()] == ["sums"]


def test_kept_each__only_what_changed_is_made_and_each_has_its_own_parts(folder: Path) -> None:
    asked: list[str] = []

    def make(name: str) -> tuple[Any, bool]:
        asked.append(name)
        note_read(f"part of {name}")
        return f"{name}!", name != "c"

    def all_of(changed: str, **hang: str) -> Any:
        asked.clear()
        on = {"a": "1", "b": "1", "c": "1", **hang}
        return kept_each("things", "all", on, make, lambda part: str(part == changed))

    with noting_reads() as noted:
        given = all_of("")
    assert given == {name: (f"{name}!", (f"part of {name}",)) for name in "abc"}
    assert asked == ["a", "b", "c"] and not noted, "whoever uses one notes what it was made from"
    assert all_of("") == given and asked == ["c"], "that was not to be kept"
    assert all_of("part of b") == given and asked == ["b", "c"]
    assert all_of("part of b", a="2") == given and asked == ["a", "c"]
