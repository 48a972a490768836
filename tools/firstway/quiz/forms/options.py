"""Quiz: options in a key, on a page and in answers, as choices of one and of several have them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import Slots
from firstway.quiz.marking.marking import Key
from firstway.rendering.html import Markup, joined, tag


@dataclass(frozen=True)
class OptionKey:
    """One option: `id` is what the learner's answer holds."""

    id: str
    right: bool
    mistake: str
    feedback: str


@dataclass(frozen=True)
class OptionsKey(Key):
    """What marks a choice."""

    options: tuple[OptionKey, ...]
    answer: str
    why: str


def right_options(key: OptionsKey) -> str:
    return " ".join(sorted(option.id for option in key.options if option.right))


def wrong_options(key: OptionsKey) -> list[OptionKey]:
    return [option for option in key.options if not option.right]


def named_options(key: OptionsKey, words: Mapping[str, str]) -> list[str]:
    """The mistakes that have a name, for the marking scheme."""
    return [f"{words.get(option.id, option.id)}: {option.mistake}" for option in wrong_options(key)]


def options_html(shown: Shown, place: str, slots: Slots, kind: str) -> Iterator[Markup]:
    """A radio button or a box to tick for each option; a spot of the drawing leads to it too."""
    if kind == "checkbox":
        yield tag("p", f"Tick {shown.tell_count or 'every right one'}.", class_="quiz-hint")
    if shown.points_at_drawing:
        yield tag("p", "Choose a letter here, or point at it in the drawing.", class_="quiz-hint")
    labels = (
        tag(
            "label",
            tag("input", type=kind, name=place, value=letter),
            tag("b", letter),
            " ",
            slots.marked(words),
        )
        for letter, words in shown.choices
    )
    yield tag("div", *labels, class_="quiz-options")


def option_letters(shown: Shown) -> Markup:
    """The letters to mark on the answer sheet."""
    return joined(tag("b", letter) for letter, _ in shown.choices)
