"""What the page of one's own job calls says the same as the command line.

Both are our own program, so nothing here is proof: it holds two ways through the same house equal.
"""

from __future__ import annotations

import contextlib
import io
import json
from pathlib import Path
from typing import Any

import pytest

from firstway.cli import main
from firstway.engine.asking import answered
from firstway.engine.form import as_yaml, form_data
from firstway.files.schema import schema_of
from firstway.files.yaml_reader import data_from_yaml
from firstway.model.installation import Installation
from firstway.problems import Problem
from firstway.rendering.spoken_keys import in_trade_words

VIEWS = ("single-line", "board", "wiring", "lifelike")


def ask(**question: Any) -> Any:
    return json.loads(answered(json.dumps(question)))


def ask_to_the_end(**question: Any) -> Any:
    """What takes long is answered piece by piece."""
    told = ask(**question)
    while "goes_on" in told:
        assert told["problems"] == []
        told = ask(ask="go-on")
    return told


def said_by(*arguments: str) -> str:
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        main(list(arguments))
    return said.getvalue()


@pytest.fixture(scope="module")
def marram(root: Path) -> str:
    return (root / "diagrams/marram.yaml").read_text("utf-8")


def test_printed__as_the_commands(root: Path, marram: str) -> None:
    file = str(root / "diagrams/marram.yaml")
    for what, command in (
        ("work", ("work", file, "--json")),
        ("findings", ("check", file)),
        ("single-line", ("draw", file, "single-line")),
    ):
        own = ask(ask="print", text=marram, file=file, what=what)
        assert own == {"printed": said_by(*command), "problems": []}


@pytest.mark.long
def test_printed__every_job_and_drawing_as_the_commands(root: Path) -> None:
    for path in sorted((root / "diagrams").glob("*.yaml")):
        if path.name == "mistakes.yaml":
            continue
        text, file = path.read_text("utf-8"), str(path)
        for what, command in (
            ("work", ("work", file, "--json")),
            ("findings", ("check", file)),
            *((view, ("draw", file, view)) for view in VIEWS),
        ):
            own = ask(ask="print", text=text, file=file, what=what)
            assert own["printed"] == said_by(*command), (path.name, what)


def test_problems__those_of_the_command_line(root: Path) -> None:
    """Broken files beside their exact problems: the same lines and words."""
    cases = sorted((root / "tests/invalid").glob("[a-m]*.problems"))[::6]
    assert cases
    for told in cases:
        path = told.with_suffix(".yaml")
        name = path.relative_to(root).as_posix()
        own = ask(ask="judge", text=path.read_text("utf-8"), file=name)
        said = [
            str(Problem(name, each["line"], each["message"], each["hint"]))
            for each in own["problems"]
        ]
        assert said == told.read_text("utf-8").splitlines(), path.name
        assert "verdict" not in own, path.name


def test_judge__what_the_page_shows(marram: str) -> None:
    own = ask(ask="judge", text=marram, file="marram.yaml")
    assert own["problems"] == [] and own["title"] and own["verdict"]
    assert sum(own["counts"].values()) == len(own["said"])
    told = ask(ask="figures", text=marram, file="marram.yaml")
    assert "voltage-drop slipway" in told["figures"]
    told = ask(ask="working", text=marram, file="marram.yaml")
    assert "<math" in "".join(told["working"]) and "Dead tests" in told["readings"]


def test_put__a_value_keeps_every_other_byte(marram: str) -> None:
    path = ["circuits", "slipway", "route", "1", "length_m"]
    own = ask(ask="put", text=marram, file="m.yaml", path=path, value="21.5", kind="number")
    assert own["problems"] == []
    before, after = marram.splitlines(), own["text"].splitlines()
    differ = [new for old, new in zip(before, after, strict=True) if old != new]
    assert len(differ) == 1 and "length_m: 21.5" in differ[0]


def test_put__an_assumed_figure_gives_no_pass(marram: str) -> None:
    """How a figure is known is put beside the others of its kind, and taken out again."""
    path = ["known_by", "supply.prospective_fault_current_ka.line_earth"]
    own = ask(ask="put", text=marram, file="m.yaml", path=path, value="assumed", kind="word")
    assert own["problems"] == []
    before, after = marram.splitlines(), own["text"].splitlines()
    (differ,) = [new for old, new in zip(before, after, strict=True) if old != new]
    assert differ.startswith("known_by: ") and f"{path[1]}: assumed" in differ
    was, now = (
        ask(ask="judge", text=text, file="m.yaml")["counts"] for text in (marram, own["text"])
    )
    assert now["pass"] < was["pass"] and now["unknown"] > was["unknown"]
    again = ask(ask="put", text=own["text"], file="m.yaml", path=path, value="", kind="word")
    assert again["text"] == marram


@pytest.mark.parametrize(
    ("text", "path", "value", "left"),
    [
        ("a: 1 # x\nb: 2\n", ["a"], "", "b: 2\n"),
        ("a: 1 # x\nb: 2\n", ["b"], "", "a: 1 # x\n"),
        ("a: {c: 1, d: 2}\n", ["a", "c"], "", "a: {d: 2}\n"),
        ("a: {c: 1, d: 2}\n", ["a", "d"], "", "a: {c: 1}\n"),
        ("x: 1\na: {c: 1}\n", ["a", "c"], "", "x: 1\n"),
        ("l:\n  - name: q\n    d: 2\n", ["l", "q", "d"], "", "l:\n  - name: q\n"),
        ("l:\n  - d: 2\n    name: q\n", ["l", "q", "d"], "", "l:\n  - name: q\n"),
        ("l:\n  - name: p.1\n", ["l", "p.1", "d"], "3", "l:\n  - name: p.1\n    d: 3\n"),
        ("a: 1 # x\n", ["s", "t", "u"], "3", "a: 1 # x\ns:\n  t:\n    u: 3\n"),
        ("a: {b: 1}\n", ["a", "t", "u"], "3", "a: {b: 1, t: {u: 3}}\n"),
        ("a: 1\n", ["b"], "x: y", 'a: 1\nb: "x: y"\n'),
    ],
)
def test_put__takes_out_and_begins(text: str, path: list[str], value: str, left: str) -> None:
    own = ask(ask="put", text=text, file="m.yaml", path=path, value=value, kind="prose")
    assert own["problems"] == [] and own["text"].rstrip("\n") == left.rstrip("\n")


@pytest.mark.parametrize(
    ("text", "path"), [("a: 1\n", ["b"]), ("l:\n  - name: q\n", ["l", "q", "name"])]
)
def test_put__what_cannot_be_taken_out_is_said(text: str, path: list[str]) -> None:
    own = ask(ask="put", text=text, file="m.yaml", path=path, value="", kind="prose")
    assert own["problems"] and own["text"] == text


def test_as_yaml__hostile_words_stay_one_value() -> None:
    for words in (
        "a: b",
        "x # y",
        "- z",
        "{a",
        "]",
        '"',
        "\\",
        "'",
        "&a",
        "*a",
        "!t",
        "| x",
        "a\nb",
    ):
        data, problems = data_from_yaml(f"value: {as_yaml(words, 'prose')}", "x")
        assert problems == []
        assert data.values["value"].text == " ".join(words.split())


def test_form__holds_the_keys_of_the_schema() -> None:
    schema = schema_of(Installation, "x", "x")
    keys = {name: set(each["properties"]) for name, each in schema["$defs"].items()}
    keys["Installation"] = set(schema["properties"])
    form = form_data()["sections"]
    assert {name: {each["key"] for each in fields} for name, fields in form.items()} == keys


def test_form__every_field_says_what_it_is() -> None:
    for name, fields in form_data()["sections"].items():
        for field in fields:
            assert field.get("help") or field["kind"] in ("section", "sections"), (name, field)
            assert field["kind"] != "word" or field["choices"], (name, field)


def test_needs__as_the_command(root: Path) -> None:
    file = str(root / "diagrams/quince.yaml")
    text, finding = Path(file).read_text("utf-8"), "main-bonding-size:supply"
    own = ask_to_the_end(ask="needs", text=text, file=file, finding=finding)
    told = said_by("needs", file, finding)
    assert own == {"told": in_trade_words(told, "bs7671", units=True), "problems": []}
    assert " keys " in told and "_mm2" in told and "_mm2" not in own["told"]
    assert ask(ask="needs", text=text, file=file, finding="none:F2")["problems"][0]["hint"]


def test_needs__leaves_room_for_what_is_newer(
    root: Path, marram: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("firstway.engine.asking.PIECE_S", 0)
    file = str(root / "diagrams/quince.yaml")
    text = Path(file).read_text("utf-8")
    trials = {"text": text, "file": file, "finding": "main-bonding-size:supply"}
    first = ask(ask="needs", **trials)
    second = ask(ask="go-on")
    assert first["goes_on"].startswith("value 1 of ") and second["goes_on"].startswith("value 2 ")
    assert ask(ask="judge", text=marram, file="marram.yaml")["verdict"]
    assert ask(ask="go-on")["goes_on"].startswith("value 3 ")
    newer = {**trials, "finding": "separate-earths:post-1"}
    assert ask(ask="needs", **newer)["goes_on"].startswith("value 1 ")
    assert ask(ask="go-on")["goes_on"].startswith("value 2 "), "of the newer one alone"


@pytest.mark.long
def test_alternatives__as_the_command(root: Path) -> None:
    file = str(root / "diagrams/marram.yaml")
    text = Path(file).read_text("utf-8")
    own = ask_to_the_end(ask="alternatives", text=text, file=file, circuit="slipway")
    told, shown = said_by("alternatives", file, "slipway"), own.pop("shown")
    assert own == {"told": told, "problems": []}
    rows = [line for line in told.splitlines() if line.startswith(("  ", "*  "))]
    assert shown.count("<tr>") == len(rows)  # the head is one of them
    missing = ask_to_the_end(ask="alternatives", text=text, file=file, circuit="nowhere")[
        "problems"
    ]
    assert "no circuit 'nowhere'" in missing[0]["message"]
