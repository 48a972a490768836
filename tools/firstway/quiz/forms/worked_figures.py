"""Quiz: worked figures, as one figure, a working and options have them."""

from __future__ import annotations

from firstway.quiz.forms.words import Figure, text_of
from firstway.quiz.forms.worked_question import Computed, WorkedMistake
from firstway.quiz.marking.windows import WrongNumber


def places_of(content: Figure | Computed) -> int:
    """Decimals a content is shown with.

    A symbol put into a formula is shown with as many as it has, six at most.
    """
    if isinstance(content, Computed):
        return content.places
    if not content.symbol:
        return content.step.places
    text = f"{float(content.value or 0.0):.6f}".rstrip("0")
    return len(text.partition(".")[2])


def known_figures(answer: Figure | Computed, value: float) -> dict[str, float]:
    """The figures that the arithmetic of a mistake may name without saying where they come from."""
    own = (
        dict(answer.step.figures.values)
        if isinstance(answer, Figure) and answer.step.figures
        else {}
    )
    return {**own, "answer": value}


def wrong_numbers(mistakes: tuple[WorkedMistake, ...]) -> tuple[WrongNumber, ...]:
    return tuple(
        WrongNumber(item.mistake, item.low, item.high, text_of(item.feedback)) for item in mistakes
    )
