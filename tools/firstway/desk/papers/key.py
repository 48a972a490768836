"""Desk: the key of one paper: what marks every version of every question, and which version each
learner got.

The key never leaves the desk. It is one JSON file, written by `paper` and read by `mark`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import field
from functools import cached_property
from typing import Any

from firstway.files.plain_values import NAME_FORMS
from firstway.frozen import dataclass
from firstway.quiz.forms.drawings import Picture
from firstway.quiz.forms.form import Form
from firstway.quiz.forms.registry import data_of_key, form_of, key_from_data, most_points
from firstway.quiz.marking.marking import Key
from firstway.rendering.figures import json_text

_FORMAT = "firstway key 1"


@dataclass(frozen=True)
class Version:
    """One question as it was asked: a set of figures in one arrangement.

    `places` leads from each letter to the option's place in the bank, which is the same for all
    learners. `stem`, `answer` and `why` are plain text; `working` is how the answer is worked, line
    by line.
    """

    id: str
    key: Key
    stem: str
    answer: str
    why: str
    places: Mapping[str, int] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    working: tuple[str, ...] = ()
    variant: int = 0
    drawing: str = ""
    """The drawing that was looked at, by its name in `pictures`."""


@dataclass(frozen=True)
class Asked:
    """One question of the paper with the versions that were given out."""

    id: str
    outcome: str
    chapter: str
    kind: str
    difficulty: int
    safety: bool
    versions: Mapping[str, Version]
    options: Mapping[int, str] = field(default_factory=dict)
    """What each place in the bank says, with the mistake it stands for, for the tutor's tables."""
    right_places: tuple[int, ...] = ()
    alias: str = ""
    """What the question is called on learners' sheets and in their answers."""

    @property
    def out_of(self) -> int:
        return max((most_points(version.key) for version in self.versions.values()), default=1)

    @property
    def form(self) -> Form[Any]:
        """How it is answered, the same in every version."""
        return form_of(next(iter(self.versions.values())).key)


@dataclass(frozen=True)
class LearnerSheet:
    """What one learner got: the issue code, and (question, version) in the order of the sheet."""

    code: str
    issue: str
    asked: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class PaperKey:
    """Everything that marks one paper."""

    paper: str
    version: str
    title: str
    edition: str
    outcomes: Mapping[str, str]
    questions: tuple[Asked, ...]
    sheets: Mapping[str, LearnerSheet]
    public_key: Mapping[str, Any] | None = None
    """The tutor's public key that learners' pages seal their answers for; None where they are saved
    open."""
    pictures: Mapping[str, Picture] = field(default_factory=dict, compare=False, repr=False)
    """The drawings that were asked about; they lie in a file of their own (`pictures.py`)."""

    @cached_property
    def by_id(self) -> Mapping[str, Asked]:
        """The questions by their ids."""
        return {asked.id: asked for asked in self.questions}


def text_of_key(key: PaperKey) -> str:
    """The key as JSON; same key, same text."""
    questions = [
        {
            "id": asked.id,
            "outcome": asked.outcome,
            "chapter": asked.chapter,
            "kind": asked.kind,
            "difficulty": asked.difficulty,
            "safety": asked.safety,
            "options": {str(place): words for place, words in asked.options.items()},
            "right_places": list(asked.right_places),
            "alias": asked.alias,
            "versions": {
                name: {
                    "key": data_of_key(version.key),
                    "stem": version.stem,
                    "answer": version.answer,
                    "why": version.why,
                    "places": dict(version.places),
                    "choices": dict(version.choices),
                    "working": list(version.working),
                    "variant": version.variant,
                    **({"drawing": version.drawing} if version.drawing else {}),
                }
                for name, version in asked.versions.items()
            },
        }
        for asked in key.questions
    ]
    sheets = {
        code: {"issue": sheet.issue, "asked": [list(pair) for pair in sheet.asked]}
        for code, sheet in key.sheets.items()
    }
    data = {
        "format": _FORMAT,
        "paper": key.paper,
        "version": key.version,
        "title": key.title,
        "edition": key.edition,
        "outcomes": dict(key.outcomes),
        "questions": questions,
        "sheets": sheets,
    }
    if key.public_key is not None:
        data["public_key"] = dict(key.public_key)
    return json_text(data, ensure_ascii=False, indent=0, sort_keys=False) + "\n"


def key_from_text(text: str) -> PaperKey | None:
    """The key a text holds, or None where it is no key of ours."""
    try:
        data = json.loads(text)
        if data["format"] != _FORMAT:
            return None
        key = PaperKey(
            data["paper"],
            data["version"],
            data["title"],
            data["edition"],
            data["outcomes"],
            tuple(_asked(each) for each in data["questions"]),
            {
                code: LearnerSheet(
                    code, sheet["issue"], tuple((one, other) for one, other in sheet["asked"])
                )
                for code, sheet in data["sheets"].items()
            },
            _public_key(data.get("public_key")),
        )
        whole = all(NAME_FORMS["code"][0].match(code) for code in key.sheets) and all(
            version in key.by_id[question].versions
            for sheet in key.sheets.values()
            for question, version in sheet.asked
        )
        return key if whole else None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _public_key(data: Mapping[str, Any] | None) -> Mapping[str, Any] | None:
    if data is not None and not isinstance(data["n"], str):
        raise ValueError
    return data


def _asked(data: Mapping[str, Any]) -> Asked:
    versions = {
        name: Version(
            name,
            key_from_data(each["key"]),
            each["stem"],
            each["answer"],
            each["why"],
            {letter: int(place) for letter, place in each["places"].items()},
            each["choices"],
            tuple(each["working"]),
            int(each["variant"]),
            str(each.get("drawing", "")),
        )
        for name, each in data["versions"].items()
    }
    return Asked(
        data["id"],
        data["outcome"],
        data["chapter"],
        data["kind"],
        int(data["difficulty"]),
        bool(data["safety"] if "safety" in data else data["must_pass"]),
        versions,
        {int(place): words for place, words in data["options"].items()},
        tuple(data["right_places"]),
        data["alias"],
    )
