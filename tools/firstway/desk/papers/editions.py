"""Desk: every key that copies out there were made by.

The newest edition's lies in `desk`, earlier ones beside it.

    OUT/paper/desk/key.json                    the newest edition
    OUT/paper/desk/earlier/1-VERSION/key.json  the first, with its marking scheme and issue list

A copy that was handed out is marked by its own key, whatever was made after it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from firstway.desk.answers.answer_files import HandedIn
from firstway.desk.papers import pictures
from firstway.desk.papers.key import PaperKey, key_from_text
from firstway.desk.papers.secret import SECRET_FILE
from firstway.files.disk import text_of_file
from firstway.problems import Problem

EARLIER, KEY = "earlier", "key.json"
LARGEST_OF_DESK = 512_000_000  # our own files grow with the class: 20,000 learners need 30 MB


class Editions:
    """The keys of a folder, the newest first; each copy finds its own by edition, learner and issue
    code.
    """

    def __init__(self, newest: PaperKey, earlier: Iterable[PaperKey] = ()) -> None:
        self.keys = (newest, *earlier)
        self._codes: list[Mapping[str, str]] = [
            {code.casefold(): code for code in key.sheets} for key in self.keys
        ]
        self._spelt = {
            small: code for codes in reversed(self._codes) for small, code in codes.items()
        }

    @property
    def newest(self) -> PaperKey:
        """The edition of the last run of `paper`."""
        return self.keys[0]

    @property
    def codes(self) -> list[str]:
        """Every learner of any edition, the newest class first."""
        return list(dict.fromkeys(code for key in self.keys for code in key.sheets))

    def spelt(self, code: str) -> str:
        """A learner's code as the newest class that holds it spells it."""
        return self._spelt[code.casefold()]

    def of_version(self, version: str) -> Iterator[tuple[PaperKey, Mapping[str, str]]]:
        """The keys of one edition, each with its codes by their small letters."""
        return (
            (key, codes) for key, codes in zip(self.keys, self._codes) if key.version == version
        )

    def key_of(self, copy: HandedIn) -> tuple[PaperKey, str] | str:
        """The key that marks this copy and the learner's code in it, or why there is none."""
        if all(key.paper != copy.paper for key in self.keys):
            return f"answers to another paper ({copy.paper[:60]})"
        own = list(self.of_version(copy.version))
        if not own:
            return (
                f"answers to an edition of this paper whose key is not here (v{copy.version[:40]})"
            )
        known = [
            (key, codes[copy.learner.casefold()])
            for key, codes in own
            if copy.learner.casefold() in codes
        ]
        if not known:
            return unknown_learner(copy.learner)
        found = next((each for each in known if each[0].sheets[each[1]].issue == copy.issue), None)
        return (
            found or f"altered: the issue code is not that of {known[0][1]}; ask who sat this paper"
        )


def unknown_learner(code: str) -> str:
    """Why a copy or a row of nobody is set aside."""
    return f"unknown learner '{code[:40]}': the class of this paper has no such code"


def editions_in(desk: Path) -> tuple[Editions | None, list[Problem]]:
    """The keys in a folder `desk`. A key that cannot be read is told, never passed over."""
    keys: list[PaperKey] = []
    problems: list[Problem] = []
    for folder in (desk, *reversed(_earlier(desk))):
        key, found = key_in(folder)
        keys += [key] if key else []
        problems += found
    return (None, problems) if problems else (Editions(keys[0], keys[1:]), [])


def key_in(folder: Path) -> tuple[PaperKey | None, list[Problem]]:
    """The key of one edition with its drawings."""
    path = folder / KEY
    text, problems = text_of_file(path, largest=LARGEST_OF_DESK)
    if problems:
        return None, [
            Problem(
                path.as_posix(),
                0,
                "there is no key of a paper here",
                "name the folder that `paper` wrote",
            )
        ]
    key = key_from_text(text)
    if key is None:
        return None, [
            Problem(
                path.as_posix(),
                0,
                "this key is damaged or of another form",
                "put back the file that `paper` wrote, from a copy of the folder",
            )
        ]
    drawings, _ = text_of_file(folder / pictures.FILE, largest=LARGEST_OF_DESK)
    return replace(key, pictures=pictures.pictures_from_text(drawings)), []


def _earlier(desk: Path) -> list[Path]:
    """Folders of earlier editions, the first one first: their names begin with a number."""
    if not (desk / EARLIER).is_dir():
        return []
    found = [each for each in (desk / EARLIER).iterdir() if each.name.partition("-")[0].isdecimal()]
    return sorted(found, key=lambda each: (int(each.name.partition("-")[0]), each.name))


def covers(new: PaperKey, old: PaperKey) -> bool:
    """Whether every copy of the old edition is marked by the new key just as by its own."""
    return (new.paper, new.version, new.questions) == (
        old.paper,
        old.version,
        old.questions,
    ) and all(new.sheets.get(code) == sheet for code, sheet in old.sheets.items())


def difference(new: PaperKey, old: PaperKey) -> str:
    """What makes copies of one edition none of the other; "" where they are the same edition."""
    if new.paper != old.paper:
        return f"another paper ({old.paper} lies here, this is {new.paper})"
    if new.title != old.title:
        return "another title"
    if set(new.by_id) != set(old.by_id):
        return "other questions"
    if new.version != old.version:
        return "other figures, letters or words of the questions"
    both = set(new.sheets) & set(old.sheets)
    return "other issue codes" if any(new.sheets[code] != old.sheets[code] for code in both) else ""


def keep_earlier(old: Path, new: Path, key: PaperKey) -> None:
    """Carry into the new folder `desk` every edition of the old one that the new key does not
    cover.
    """
    folders = [*_earlier(old), *([old] if (old / KEY).is_file() else [])]
    kept: Sequence[Path] = [each for each in folders if not _covered(each, key)]
    for number, folder in enumerate(kept, 1):
        kept_key, _ = key_in(folder)
        name = f"{number}-{kept_key.version}" if kept_key else f"{number}-unreadable"
        shutil.copytree(folder, new / EARLIER / name, ignore=_not_the_desk)


def _not_the_desk(_: str, names: list[str]) -> set[str]:
    """An earlier edition takes neither the editions before it nor the secret into its folder."""
    return {name for name in names if name in (EARLIER, SECRET_FILE)}


def _covered(folder: Path, key: PaperKey) -> bool:
    old, _ = key_in(folder)
    return old is not None and covers(key, old)
