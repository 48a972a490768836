"""Frozen dataclasses that cost little: compared, hashed, shown and copied like those of the
standard library, which is what each is held against; that nothing is assigned to, mypy sees.
"""

from __future__ import annotations

import dataclasses
import subprocess
import sys
from pathlib import Path

import pytest

from firstway.frozen import dataclass

TOOLS = Path(__file__).resolve().parents[1] / "tools"


@dataclass(frozen=True)
class Ours:
    """A size and its words."""

    size: float
    words: tuple[str, ...] = ()
    beside: dict[str, int] = dataclasses.field(default_factory=dict, compare=False, repr=False)


@dataclasses.dataclass(frozen=True)
class Theirs:
    """The same."""

    size: float
    words: tuple[str, ...] = ()
    beside: dict[str, int] = dataclasses.field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True)
class One:
    """One field alone."""

    size: float


@dataclass(frozen=True)
class Nothing:
    """No field at all."""


@dataclass(frozen=True)
class Longer(Ours):
    """A class of the same kind, and no equal of it."""

    more: int = 0


@pytest.mark.parametrize("of", [Ours, Theirs])
def test_values_are_compared_by_what_counts(of: type) -> None:
    assert of(1.5, ("a",), {"x": 1}) == of(1.5, ("a",))
    assert hash(of(1.5, ("a",), {"x": 1})) == hash(of(1.5, ("a",)))
    assert of(1.5) != of(1.6) and of(1.5) != 1.5 and len({of(1.5), of(1.5), of(2.0)}) == 2


def test_shown_alike() -> None:
    assert repr(Ours(1.5, ("a",), {"x": 1})).replace("Ours", "Theirs") == repr(
        Theirs(1.5, ("a",), {"x": 1})
    )


def test_few_fields_and_kinds() -> None:
    assert One(1.0) == One(1.0) != One(2.0) and hash(One(1.0)) == hash(One(1.0))
    assert Nothing() == Nothing() and repr(Nothing()) == "Nothing()"
    assert Longer(1.5) != Ours(1.5) and Longer(1.5, more=1) != Longer(1.5)
    assert repr(Longer(1.5)) == "Longer(size=1.5, words=(), more=0)"


def test_copied_and_taken_apart_by_the_standard_library() -> None:
    assert dataclasses.replace(Ours(1.5), size=2.5) == Ours(2.5)
    assert [item.name for item in dataclasses.fields(Ours)] == ["size", "words", "beside"]
    assert dataclasses.asdict(One(1.5)) == {"size": 1.5}


def test_own_methods_stay() -> None:
    @dataclass(frozen=True)
    class Named:
        """A value with an equality of its own."""

        name: str

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Named) and self.name.lower() == other.name.lower()

        def __hash__(self) -> int:
            return hash(self.name.lower())

    assert Named("A") == Named("a") and len({Named("A"), Named("a")}) == 1


def test_an_assignment_is_seen_by_the_type_checker(tmp_path: Path) -> None:
    (tmp_path / "slip.py").write_text(
        "from firstway.frozen import dataclass\n\n\n"
        "@dataclass(frozen=True)\nclass Size:\n    mm2: float\n\n\n"
        "Size(1.5).mm2 = 2.5\n",
        encoding="utf-8",
    )
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--cache-dir", str(tmp_path / "kept"), "slip.py"],
        cwd=tmp_path,
        env={"MYPYPATH": str(TOOLS), "PATH": ""},
        capture_output=True,
        text=True,
    )
    assert 'slip.py:9: error: Property "mm2" defined in "Size" is read-only' in done.stdout
