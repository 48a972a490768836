"""The examples in docstrings are true: a reader of the code trusts them, and so does whoever words
a finding.
"""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "tools" / "firstway"
WITH_EXAMPLES = sorted(
    path.relative_to(PACKAGE.parent).with_suffix("").as_posix()
    for path in PACKAGE.rglob("*.py")
    if ">>> " in path.read_text(encoding="utf-8")
)


def test_there_are_examples() -> None:
    assert len(WITH_EXAMPLES) > 20


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_an_example_gives_what_it_says(name: str) -> None:
    module = importlib.import_module(name.replace("/", "."))
    found = doctest.testmod(module)
    assert found.attempted > 0 and found.failed == 0
