"""Pages: the drawings that questions ask for, kept by content: the same question on an unchanged
job is drawn once.
"""

from __future__ import annotations

from dataclasses import asdict
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from firstway.choosing.completing import Completed
from firstway.drawing.asking import pictured
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import Drawn
from firstway.files.keeping import keep, kept
from firstway.pages.shared.guide import Guide
from firstway.quiz.forms.sources import DrawingOf, Pictured, Sources, StageText, sources_with

_KIND = "quiz-drawings"


def guide_sources(guide: Guide, drawn: bool = True) -> Sources:
    """The jobs and mistakes of the guide as the sources of its questions; without drawings where
    nobody will see them.
    """
    return sources_with(guide.job, guide.mistakes, drawing_of if drawn else None, stage_texts)


def stage_texts(job: Completed) -> tuple[StageText, ...]:
    """The stages of a job's fitting as steps to put in order."""
    return tuple(StageText(stage.id, stage.title, stage.reason) for stage in stages_of(job))


def drawing_of(wanted: DrawingOf) -> Pictured | None:
    """The drawing with its lettered spots, from the cache folder or drawn now."""
    name, key = _name_and_key(wanted)
    found = _from_data(kept(_KIND, name), key)
    if found is not None:
        return found
    made = _drawn(wanted)
    if made is not None:
        keep(_KIND, name, {"key": key, **asdict(made)})
    return made


def _drawn(wanted: DrawingOf) -> Pictured | None:
    found = pictured(
        wanted.job,
        wanted.view,
        wanted.prefix,
        wanted.places,
        wanted.letters,
        stage=wanted.stage,
        overlay=wanted.overlay,
        chart=wanted.chart,
        circuit=wanted.circuit,
    )
    return Pictured(*found) if found else None


def _name_and_key(wanted: DrawingOf) -> tuple[str, str]:
    """Where the drawing is kept, one place for each question and arrangement; and everything it
    hangs on, the program too.
    """
    asked_for = (
        wanted.view,
        wanted.prefix,
        wanted.stage,
        wanted.overlay,
        wanted.chart,
        wanted.circuit,
        wanted.places,
        wanted.letters,
    )
    name = f"{wanted.job.installation.name} {asked_for!r}"
    return _digest(name), _digest(f"{name} {wanted.job.installation!r} {package_digest()}")


def _digest(words: str) -> str:
    return sha256(words.encode()).hexdigest()[:40]


@cache
def package_digest() -> str:
    """The program and its tables as one number: what was kept by another is not used."""
    folder = Path(__file__).resolve().parents[2]
    digest = sha256()
    for path in sorted(path for path in folder.rglob("*") if path.suffix in (".py", ".csv")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _from_data(data: Any, key: str) -> Pictured | None:
    """What was kept under the key; None where the file holds something else, as after a change or a
    crash.
    """
    try:
        return (
            Pictured(Drawn(**data["drawn"]), tuple(data["words"]), tuple(data["missing"]))
            if data["key"] == key
            else None
        )
    except (TypeError, KeyError):
        return None
