"""The JSON Schemas that are made from the declared keys, judged by a validator that is not ours:
they accept every shipped file, and refuse what the reader refuses for its form.

Dialect: JSON Schema 2020-12 (json-schema.org).
"""

from __future__ import annotations

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import start

from firstway.cli import main
from firstway.files.specs import Number, Word, specs_of
from firstway.files.typed_reader import section_from_yaml
from firstway.files.yaml_reader import value_of_yaml
from firstway.model.installation import Installation, Way
from firstway.pages.shared.declared_files import DECLARED_FILES, schema_of_file

jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")

INVALID = start.ROOT / "tests" / "invalid"
# The form of the text itself, which an editor's own reader of YAML judges or lets pass.
FORM_OF_THE_TEXT = {"alias.yaml", "control-character.yaml", "duplicate-key.yaml"}


@cache
def validator(name: str) -> Any:
    schema = schema_of_file(next(each for each in DECLARED_FILES if each.name == name))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())


def shipped() -> list[tuple[str, Path]]:
    """Every shipped file of a declared kind."""
    found = [
        (each.name, path)
        for each in DECLARED_FILES
        for path in sorted(start.ROOT.glob(each.where.replace("NAME", "*")))
        if not (each.name == "installation" and path.name == "mistakes.yaml")
    ]
    assert {name for name, _ in found} >= {"installation", "mistakes", "glossary", "recipe"}
    return found


@pytest.mark.parametrize(("name", "path"), shipped(), ids=lambda each: str(each)[-30:])
def test_every_shipped_file_is_valid(name: str, path: Path) -> None:
    text = path.read_text("utf-8")
    whole = (
        list(csv.DictReader(text.splitlines())) if path.suffix == ".csv" else value_of_yaml(text)
    )
    found = validator(name).iter_errors(whole)
    assert [f"{list(each.absolute_path)}: {each.message}" for each in found] == []


@pytest.mark.parametrize("name", sorted(path.name for path in INVALID.glob("*.yaml")))
def test_what_the_reader_refuses_is_not_valid_and_what_it_reads_is(name: str) -> None:
    """What keys must agree on among themselves is beyond a schema: the reader reads such a file,
    and the model finds that it contradicts itself.
    """
    try:
        text = (INVALID / name).read_text("utf-8-sig")
        data = value_of_yaml(text)
    except Exception:
        return  # an editor cannot read it either
    reads = section_from_yaml(text, name, Installation)[0] is not None
    assert validator("installation").is_valid(data) == (reads or name in FORM_OF_THE_TEXT)


@pytest.mark.parametrize("name", [each.name for each in DECLARED_FILES])
def test_the_command_prints_the_schema(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", name]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["$schema"].endswith("2020-12/schema") and printed["$id"].endswith(name)


def test_without_a_kind_the_kinds_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == [
        each.name for each in DECLARED_FILES
    ]


def test_a_kind_that_is_not_there_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "instalation"]) == 2
    assert "did you mean 'installation'?" in capsys.readouterr().err


def test_bounds_choices_and_words_instead_are_those_of_the_key() -> None:
    properties = validator("installation").schema["$defs"]["Way"]["properties"]
    specs = specs_of(Way)
    rating = specs["rating_a"]
    assert isinstance(rating.kind, Number)
    number, words = properties["rating_a"]["anyOf"]
    assert (number["exclusiveMinimum"], number["maximum"]) == (0, rating.kind.at_most)
    assert words == {"enum": ["unknown", "choose"]}
    curve = specs["curve"]
    assert isinstance(curve.kind, Word)
    assert properties["curve"]["enum"] == [*curve.kind.choices, "unknown"]
