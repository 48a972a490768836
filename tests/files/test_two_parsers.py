"""YAML is read by libyaml where that reads it: then the parser that is whole Python, written apart
from it, reads the same.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
import yaml

from firstway.files import yaml_reader
from firstway.files.yaml_reader import data_from_yaml

pytestmark = pytest.mark.skipif(
    not yaml.__with_libyaml__, reason="PyYAML was installed without libyaml"
)
SIGNS = (
    *":-#'\"[]{},&*!|>%@`? \t\n",
    *("\n  ", "\n- ", ": ", " #", "- ", "ä", "\r\n", "---\n", "...\n", "? ", "\ufeff", "<<: "),
)


def read_alike(text: str, monkeypatch: pytest.MonkeyPatch) -> Any:
    """What both give."""
    quick = data_from_yaml(text, "x.yaml")
    with monkeypatch.context() as slow:
        slow.setattr(yaml_reader, "_LOADERS", yaml_reader._LOADERS[-1:])
        assert data_from_yaml(text, "x.yaml") == quick, text
    return quick


def spoilt(text: str, draw: random.Random) -> str:
    """Some lines of a file after a few slips of the hand."""
    start = text.rfind("\n", 0, draw.randrange(len(text))) + 1
    text = text[start : start + draw.randrange(20, 500)]
    for _ in range(draw.randrange(1, 4)):
        place = draw.randrange(len(text) + 1)
        cut = draw.choice((0, 0, 1, 3))
        text = text[:place] + draw.choice((*SIGNS, "")) + text[place + cut :]
    return text


def test_data_from_yaml__both_parsers_read_the_files_alike(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("diagrams/marram.yaml", "diagrams/mistakes.yaml", "quiz/bank/the-cable.yaml"):
        data, problems = read_alike((root / name).read_text("utf-8"), monkeypatch)
        assert data is not None and not problems


@pytest.mark.parametrize(
    "text",
    [
        "a:\n    b: 1\n\ufeff   c: 2\n",  # a mark of the order of bytes inside: refused
        "- {name: rod-1, ohm:\n  }\n",  # a value left out: it stands in the line of its key
        "- [one:\n  ]\n",
        "- {name: rod-1, ohm:   # not measured\n  }\n",
        "story: >-#\n  A post.\n",  # a comment without a blank before it: refused
        "story: |#\n  A post.\n",
    ],
)
def test_data_from_yaml__both_parsers_read_alike_what_they_mark_apart(
    text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_alike(text, monkeypatch)


@pytest.mark.parametrize("number", [400, pytest.param(20_000, marks=pytest.mark.long)])
def test_data_from_yaml__both_parsers_read_spoilt_files_alike(
    number: int, root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    draw = random.Random(number)
    texts = [
        (root / name).read_text("utf-8")
        for name in ("diagrams/marram.yaml", "content/glossary.yaml", "quiz/bank/the-cable.yaml")
    ]
    read = [read_alike(spoilt(draw.choice(texts), draw), monkeypatch) for _ in range(number)]
    assert sum(not problems for _, problems in read) > number / 9, "some are read"
    assert sum(bool(problems) for _, problems in read) > number / 9, "some are refused"
