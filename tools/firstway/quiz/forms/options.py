"""Quiz: options in a key, on a page and in answers, as choices of one and of several have them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import Slots, text
from firstway.quiz.marking.marking import Key


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


def options_html(shown: Shown, place: str, slots: Slots, kind: str) -> Iterator[str]:
    """A radio button or a box to tick for each option; a spot of the drawing leads to it too."""
    if kind == "checkbox":
        yield f'<p class="quiz-hint">Tick {shown.tell_count or "every right one"}.</p>'
    if shown.points_at_drawing:
        yield '<p class="quiz-hint">Choose a letter here, or point at it in the drawing.</p>'
    yield '<div class="quiz-options">'
    for letter, words in shown.choices:
        yield (
            f'<label><input type="{kind}" name="{place}"'
            f' value="{escape(letter)}"><b>{text(letter)}</b> {slots.marked(words)}</label>'
        )
    yield "</div>"


def option_letters(shown: Shown) -> str:
    """The letters to mark on the answer sheet."""
    return "".join(f"<b>{text(letter)}</b>" for letter, _ in shown.choices)
