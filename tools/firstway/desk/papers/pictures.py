"""Desk: the drawings that were asked about, kept beside the key, so that feedback shows them as the
learner saw them.

    OUT/paper/desk/drawings.json    every drawing handed out, without names it does not need

The bank may change after papers were handed out: what a learner looked at is what is shown, not
what would be drawn today.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from hashlib import sha256
from typing import Any

from firstway.desk.papers.key import PaperKey
from firstway.frozen import dataclass
from firstway.quiz.forms.drawings import Picture, parts_of
from firstway.rendering.figures import json_text

FILE, PICTURES_FORMAT = "drawings.json", "firstway drawings 1"
_STEM = "kept"


@dataclass(frozen=True)
class KeptPicture:
    """A drawing as a learner's paper held it."""

    svg: str
    alt: str
    title: str
    id: str = f"{_STEM}-drawing"
    key: tuple[str, ...] = ()


def picture_id(picture: Picture) -> str:
    """The name of a drawing in a key: the same for all versions that show the same."""
    return sha256(f"{picture.title}|{picture.alt}|{picture.svg}".encode()).hexdigest()[:12]


def text_of_pictures(key: PaperKey) -> str:
    """The drawings of the sheets of a key as JSON; what several share is written once."""
    bodies: dict[str, str] = {}
    drawings: dict[str, dict[str, str]] = {}
    for name in _handed_out(key):
        picture = key.pictures[name]
        parts = parts_of(picture)
        if parts is not None:
            head, told, spots = parts
            body = sha256(told.encode()).hexdigest()[:12]
            bodies[body] = told
            drawings[name] = {
                "title": picture.title,
                "alt": picture.alt,
                "head": head,
                "body": body,
                "spots": spots,
            }
    data = {"format": PICTURES_FORMAT, "bodies": bodies, "drawings": drawings}
    return json_text(data, ensure_ascii=False, indent=0) + "\n"


def _handed_out(key: PaperKey) -> Iterator[str]:
    used = {pair for sheet in key.sheets.values() for pair in sheet.asked}
    names = (
        version.drawing
        for asked in key.questions
        for version in asked.versions.values()
        if (asked.id, version.id) in used
    )
    return iter(dict.fromkeys(name for name in names if name in key.pictures))


def pictures_from_text(text: str) -> Mapping[str, KeptPicture]:
    """The drawings a text holds; none where it is none of ours: feedback then does without."""
    try:
        data = json.loads(text)
        if data["format"] != PICTURES_FORMAT:
            return {}
        return {name: _kept(each, data["bodies"]) for name, each in data["drawings"].items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def _kept(data: Mapping[str, Any], bodies: Mapping[str, str]) -> KeptPicture:
    body = bodies[data["body"]].replace("\0", _STEM)
    return KeptPicture(f"{data['head']}>{body}{data['spots']}</svg>", data["alt"], data["title"])
