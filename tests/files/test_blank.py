"""A file to begin with: `check` reads it, and it is read with every key behind a `#` as well."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from firstway.cli import main
from firstway.files.specs import Section, Sections, specs_of
from firstway.files.typed_reader import section_from_yaml
from firstway.model.blank import blank_installation
from firstway.model.installation import Installation

OFF = re.compile(r"^( *)# ( *(?:- )?[a-zA-Z0-9_]+:.*)$")


def test_check_reads_it_without_a_problem(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "quay.yaml"
    assert main(["blank", str(path)]) == 0
    assert main(["check", str(path)]) == 0
    told = capsys.readouterr()
    assert told.err == "" and "unknown" in told.out


def test_what_is_there_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "quay.yaml"
    path.write_text("mine", encoding="utf-8")
    assert main(["blank", str(path)]) == 2
    assert path.read_text("utf-8") == "mine"
    assert "there is a file of this name already" in capsys.readouterr().err


def test_every_key_stands_in_it_with_its_help() -> None:
    text = blank_installation()
    seen: set[type] = set()
    waiting: list[type] = [Installation]
    while waiting:
        of = waiting.pop()
        seen.add(of)
        for name, spec in specs_of(of).items():
            assert re.search(rf"^[ #-]*{name}:.*# {re.escape(spec.meaning)}", text, re.M), name
            if isinstance(spec.kind, Section | Sections) and spec.kind.of not in seen:
                waiting.append(spec.kind.of)


def test_with_every_hash_taken_away_it_is_read() -> None:
    lines = blank_installation().splitlines()
    head = next(place for place, line in enumerate(lines) if not line.startswith("#"))
    shown = "\n".join(OFF.sub(r"\1\2", line) for line in lines[head:])
    found, problems = section_from_yaml(shown, "quay.yaml", Installation)
    assert problems == [] and found is not None
    assert found.load_limiter and found.existing_boards and found.vehicles and found.known_by
