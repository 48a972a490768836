"""A value that a program writes into a file: read again it is the new one, all else is the same.

The reader that judges is PyYAML's own; hypothesis chooses what is changed, and to what.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import start
import yaml
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from firstway.files.splicing import with_copy, with_entry, with_value, without_entry

LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
TEXTS = [
    path.read_text("utf-8")
    for path in (
        *sorted(Path(start.ROOT / "diagrams").glob("[m-t]*.yaml")),
        start.ROOT / "quiz/papers/class-board-test.yaml",
    )
    if path.name != "mistakes.yaml"
]
VALUES = st.one_of(
    st.integers(-999, 9999).map(str),
    st.floats(0, 1e4, allow_nan=False).map(lambda value: f"{value:.3f}"),
    st.sampled_from(["unknown", "[L1, L2]", "{a: 1, b: [2]}", "'x: y'", '"a # b"', "true"]),
    st.text("abc XYZ,:#-'\"{}[]", max_size=12),
)


def ways(data: Any, steps: tuple[Any, ...] = (), at: tuple[str, ...] = ()) -> list[Any]:
    """Every key of a file: its steps, and its path, in which items go by name or by place."""
    if isinstance(data, dict):
        return [
            way
            for key, each in data.items()
            if "." not in key
            for way in [((*steps, key), (*at, key)), *ways(each, (*steps, key), (*at, key))]
        ]
    if isinstance(data, list):
        return [
            way
            for place, each in enumerate(data)
            if isinstance(each, dict)
            for way in ways(
                each, (*steps, place), (*at, each.get("name") or each.get("id") or str(place + 1))
            )
        ]
    return []


WAYS = {text: ways(yaml.load(text, LOADER)) for text in TEXTS}


def inside(data: Any, steps: tuple[Any, ...]) -> Any:
    for step in steps:
        data = data[step]
    return data


@settings(max_examples=40, deadline=None, phases=[Phase.generate])
@given(st.data(), VALUES)
def test_the_new_value_is_read_and_all_else_is_the_same(data: Any, value: str) -> None:
    text = data.draw(st.sampled_from(TEXTS))
    steps, path = data.draw(st.sampled_from(WAYS[text]))
    if data.draw(st.booleans()):
        steps, path = (*steps[:-1], "new_key"), (*path[:-1], "new_key")
    changed, problems = with_value(text, ".".join(path), value, "x.yaml")
    if problems:
        assert changed == text
        return
    before, after = yaml.load(text, LOADER), yaml.load(changed, LOADER)
    new = yaml.load(f"v: {value}", LOADER)["v"]
    assert inside(after, steps) == new
    holder = inside(before, steps[:-1])
    old = holder.get(steps[-1], "")
    holder[steps[-1]] = new
    assert after == before
    if isinstance(old, str):
        head = _same(text, changed)
        tail = _same(text[head:][::-1], changed[head:][::-1])
        gone = text[head : len(text) - tail]
        assert len(" ".join(gone.split())) <= len(old) + 4, "only the value was written anew"


def _same(one: str, other: str) -> int:
    """How many signs at the head are alike."""
    return next(
        (place for place, pair in enumerate(zip(one, other)) if pair[0] != pair[1]),
        min(len(one), len(other)),
    )


SMALL = "# head\na: 1  # one\nb:\n  c: x   # see\n  # below\n\nd: {e: 2, f: [1, 2]}  # flow\n"


@pytest.mark.parametrize(
    ("path", "value", "changed"),
    [
        ("a", "2", SMALL.replace("a: 1", "a: 2")),
        ("b.c", "'y z'", SMALL.replace("c: x", "c: 'y z'")),
        ("b.g", "3", SMALL.replace("# see\n", "# see\n  g: 3\n")),
        ("d.e", "[3]", SMALL.replace("e: 2", "e: [3]")),
        ("d.g", "none", SMALL.replace("[1, 2]}", "[1, 2], g: none}")),
        ("b", "none", SMALL.replace("b:\n  c: x ", "b: none ")),
        ("h", "1", SMALL + "h: 1\n"),
    ],
)
def test_one_place_is_changed(path: str, value: str, changed: str) -> None:
    assert with_value(SMALL, path, value, "x.yaml") == (changed, [])


def test_line_breaks_of_another_system_stay() -> None:
    text = SMALL.replace("\n", "\r\n")
    changed, problems = with_value(text, "b.g", "3", "x.yaml")
    assert problems == [] and changed.replace("\r\n", "\n").count("\n") == changed.count("\r\n")


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        ("b.x.y", "1", "names nothing"),
        ("d.f.1", "1", "names nothing"),
        ("a", "x: y", "mapping"),
        ("d.e", "1, z: 2", "cannot stand"),
        ("a", "1 # no", ""),
    ],
)
def test_what_cannot_stand_there_leaves_the_text(path: str, value: str, told: str) -> None:
    changed, problems = with_value(SMALL, path, value, "x.yaml")
    assert changed == SMALL or not told
    assert not told or problems


LISTED = """\
# head
ways:  # from the left
  - name: F1   # the first
    poles: 2
    # why
    leads: {line: choose}

  - {name: F2, poles: 1}  # short
route: [{method: C}, {method: D2}]
end: 1
"""


@pytest.mark.parametrize(
    ("path", "name", "changed"),
    [
        ("ways", "F3", LISTED.replace("# short\n", "# short\n  - name: F3\n")),
        ("ways", "'a: b'", LISTED.replace("# short\n", "# short\n  - name: 'a: b'\n")),
        ("route", "", LISTED.replace("D2}]", "D2}, {}]")),
        ("rods", "", LISTED + "rods:\n  - {}\n"),
        ("rods", "R1", LISTED + "rods:\n  - name: R1\n"),
    ],
)
def test_an_entry_comes_last(path: str, name: str, changed: str) -> None:
    assert with_entry(LISTED, path, name, "x.yaml") == (changed, [])


@pytest.mark.parametrize(
    ("path", "name", "changed"),
    [
        (
            "ways.F1",
            "F9",
            LISTED.replace(
                "choose}\n",
                "choose}\n  - name: F9   # the first\n    poles: 2\n    # why\n"
                "    leads: {line: choose}\n",
            ),
        ),
        (
            "ways.F2",
            "F9",
            LISTED.replace("# short\n", "# short\n  - {name: F9, poles: 1}  # short\n"),
        ),
        ("route.1", "", LISTED.replace("[{method: C}", "[{method: C}, {method: C}")),
    ],
)
def test_an_entry_is_copied_below_itself(path: str, name: str, changed: str) -> None:
    assert with_copy(LISTED, path, name, "x.yaml") == (changed, [])


@pytest.mark.parametrize(
    ("path", "changed"),
    [
        ("ways.F2", LISTED.replace("  - {name: F2, poles: 1}  # short\n", "")),
        ("route.1", LISTED.replace("{method: C}, ", "")),
        ("route.2", LISTED.replace(", {method: D2}", "")),
    ],
)
def test_an_entry_is_taken_out(path: str, changed: str) -> None:
    assert without_entry(LISTED, path, "x.yaml") == (changed, [])


def test_the_only_entry_takes_its_list_with_it() -> None:
    text, problems = without_entry(LISTED, "route.1", "x.yaml")
    text, problems = without_entry(text, "route.1", "x.yaml")
    assert not problems and text == LISTED.replace("route: [{method: C}, {method: D2}]\n", "")


@pytest.mark.parametrize("word", ["none", "unknown"])
def test_an_entry_takes_the_place_of_a_word_for_the_list(word: str) -> None:
    text, problems = with_entry(f"a: b\nlist: {word}\nend: here\n", "list", "roof", "x.yaml")
    assert problems == [] and text == "a: b\nlist:\n  - name: roof\nend: here\n"


@pytest.mark.parametrize("change", [with_entry, with_copy])
def test_an_entry_has_a_name_of_its_own(change: Any) -> None:
    path = "ways.F1" if change is with_copy else "ways"
    for name in ("F2", '"F2"'):
        text, problems = change(LISTED, path, name, "x.yaml")
        assert text == LISTED and "stands in" in problems[0].message


@pytest.mark.parametrize(
    "tried",
    [
        lambda: with_entry(LISTED, "end", "a", "x.yaml"),
        lambda: with_entry(LISTED, "end.way", "", "x.yaml"),
        lambda: with_entry(LISTED, "ways", "a, b: c", "x.yaml"),
        lambda: with_copy(LISTED, "end", "a", "x.yaml"),
        lambda: with_copy(LISTED, "ways.F7", "a", "x.yaml"),
        lambda: with_copy(LISTED, "ways.F1", "", "x.yaml"),
        lambda: without_entry(LISTED, "ways", "x.yaml"),
        lambda: without_entry(LISTED, "ways.F7", "x.yaml"),
    ],
)
def test_what_cannot_be_done_to_a_list_leaves_the_text(tried: Any) -> None:
    text, problems = tried()
    assert text == LISTED and problems and problems[0].hint


@settings(max_examples=8, deadline=None, phases=[Phase.generate])
@given(st.data())
def test_entries_of_the_shipped_files(data: Any) -> None:
    """Added, copied, taken out: what is read differs by just that, the rest stays."""
    text = data.draw(st.sampled_from(TEXTS))
    lists = [
        (steps[: at + 1], path[: at + 1])
        for steps, path in WAYS[text]
        for at, step in enumerate(steps)
        if isinstance(step, int)
    ]
    steps, path = data.draw(st.sampled_from(lists))
    copied, problems = with_copy(text, list(path), "made-up", "x.yaml")
    assert not problems
    before, after = yaml.load(text, LOADER), yaml.load(copied, LOADER)
    held, now = inside(before, steps[:-1]), inside(after, steps[:-1])
    assert now[: steps[-1] + 1] == held[: steps[-1] + 1]
    assert now[steps[-1] + 2 :] == held[steps[-1] + 1 :]
    name = "made-up" if {"name", "id"} & set(held[steps[-1]]) else str(steps[-1] + 2)
    assert without_entry(copied, [*path[:-1], name], "x.yaml") == (text, [])
    added, problems = with_entry(text, list(path[:-1]), "made-up", "x.yaml")
    assert not problems
    held.append({"name": "made-up"})
    assert yaml.load(added, LOADER) == before
    gone = [line for line in text.splitlines() if line not in added.splitlines()]
    assert len(gone) <= 1
