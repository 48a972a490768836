"""Quiz, foretell: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.foretell import keys, worked
from firstway.quiz.forms.form import QuestionKind

KIND = QuestionKind(
    "foretell",
    2.0,
    keys.WrittenForetold,
    keys.read,
    worked.worked_reading,
    asks=lambda own: str(own.reading),
)
