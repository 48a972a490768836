"""Quiz, point: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.form import QuestionKind
from firstway.quiz.forms.point import keys
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.spot_keys import AskedSpots
from firstway.quiz.forms.words import Filled
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.forms.worked_spots import spots_with


def worked_point(look: Look, asked: AskedSpots, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """A lettered spot of the drawing."""
    return spots_with(look, stem, why, asked.spots, lambda spot: spot.right)


KIND = QuestionKind("point", 1.0, keys.read, worked_point, varies=False)
