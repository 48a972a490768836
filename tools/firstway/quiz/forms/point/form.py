"""Quiz, point: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.form import QuestionKind
from firstway.quiz.forms.point import keys, worked
from firstway.quiz.forms.spot_keys import WrittenSpots

KIND = QuestionKind("point", 1.0, WrittenSpots, keys.read, worked.worked_point, varies=False)
