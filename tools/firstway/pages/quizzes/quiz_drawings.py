"""Pages: the drawings that questions ask for, kept by content: the same question on an unchanged
job is drawn once.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from firstway.choosing.completing import Completed
from firstway.drawing.question_spots import pictured
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import Drawn
from firstway.files.keeping import kept
from firstway.pages.shared.project import Project
from firstway.quiz.forms.sources import DrawingOf, Pictured, Sources, StageText, sources_with

_KIND = "quiz-drawings"


def question_sources(project: Project, drawn: bool = True) -> Sources:
    """The jobs and mistakes of a project as the sources of its questions; without drawings where
    nobody will see them.
    """
    return sources_with(
        project.job,
        project.mistakes,
        drawing_of if drawn else None,
        stage_texts,
        project.step,
    )


def stage_texts(job: Completed) -> tuple[StageText, ...]:
    """The stages of a job's fitting as steps to put in order."""
    return tuple(StageText(stage.id, stage.title, stage.reason) for stage in stages_of(job))


def drawing_of(wanted: DrawingOf) -> Pictured | None:
    """The drawing with its lettered spots, from the cache folder or drawn now."""
    asked_for = (
        wanted.view,
        wanted.prefix,
        wanted.stage,
        wanted.overlay,
        wanted.chart,
        wanted.circuit,
        wanted.places,
        wanted.letters,
        wanted.picture,
        wanted.part,
    )
    job = wanted.job.installation
    return kept(
        _KIND,
        f"{job.name} {asked_for!r}",
        repr(job),
        lambda: _drawn(wanted),
        data=lambda made: None if made is None else asdict(made),
        thing=_pictured,
    )


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
        picture=wanted.picture,
        part=wanted.part,
    )
    return Pictured(*found) if found else None


def _pictured(data: Any) -> Pictured:
    drawn = Drawn(**{**data["drawn"], "key": tuple(data["drawn"]["key"]), "besides": ()})
    return Pictured(drawn, tuple(data["words"]), tuple(data["missing"]))
