"""Quiz, find the mistake: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.find_the_mistake import keys, worked
from firstway.quiz.forms.form import QuestionKind
from firstway.quiz.forms.spot_keys import WrittenSpots

KIND = QuestionKind(
    "find-the-mistake", 2.0, WrittenSpots, keys.read, worked.worked_find, varies=False
)
