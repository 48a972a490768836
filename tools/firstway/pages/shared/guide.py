"""Pages: what was made of a project before any page is written, as one frozen value."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field
from os import urandom
from typing import Any, Generic, TypeVar

from firstway.drawing.lifelike.picture import BoxPicture
from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.files.reads import MadeOnce, note_read
from firstway.frozen import dataclass
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import AnySheet
from firstway.quiz.forms.worked_question import WorkedQuestion

_Key = TypeVar("_Key")
_Thing = TypeVar("_Thing")
PAGE_VIEWS = ("lifelike", "single-line", "board", "wiring")


def nothing_stands(part: str) -> str:
    """Another number each time: nothing that was kept is used."""
    return urandom(16).hex()


@dataclass(frozen=True)
class Guide:
    """`drawings` are found by installation and view; `layouts` are the wiring drawings as values,
    by installation; `boxes` are lifelike drawings with what they were made of, by installation,
    where its pages are made next; `questions` are those for practice, worked, by
    id; `question_files` are scripts of data by their paths in the guide; `of_jobs` are the jobs'
    own pages; `practised` are pages to practise by beside quizzes; `stands` tells how a part of the
    project stands now.
    """

    project: Project = Project()
    layouts: Mapping[str, Drawing] = field(default_factory=dict)
    drawings: Mapping[tuple[str, str], Drawn] = field(default_factory=dict)
    quizzes: tuple[AnySheet, ...] = ()
    question_files: Mapping[str, str] = field(default_factory=dict)
    questions: Mapping[str, WorkedQuestion | None] = field(default_factory=dict)
    of_jobs: tuple[AnySheet, ...] = ()
    stands: Callable[[str], str] = nothing_stands
    boxes: Mapping[str, BoxPicture] = field(default_factory=dict)
    practised: tuple[AnySheet, ...] = ()

    def __getattribute__(self, name: str) -> Any:
        if name in ("quizzes", "of_jobs"):
            note_read(name)
        return object.__getattribute__(self, name)


class MadeOnAsking(Mapping[_Key, _Thing], Generic[_Key, _Thing]):
    """Things by their keys, each made when it is asked for."""

    def __init__(self, keys: Iterable[_Key], make: Callable[[_Key], _Thing], most: int) -> None:
        self._keys, self._made = dict.fromkeys(keys), MadeOnce(make, most)

    def __getitem__(self, key: _Key) -> _Thing:
        if key not in self._keys:
            raise KeyError(key)
        return self._made(key)

    def __contains__(self, key: object) -> bool:
        return key in self._keys

    def __iter__(self) -> Iterator[_Key]:
        return iter(self._keys)

    def __len__(self) -> int:
        return len(self._keys)
