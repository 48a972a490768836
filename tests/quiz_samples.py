"""One question of every kind, made by hand: what the page, a paper and the browser are tried with.

The facts are invented.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from firstway.quiz.bank.question import Question
from firstway.quiz.forms.match.answers import MatchKey, RowKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.options import OptionKey
from firstway.quiz.forms.order.answers import OrderKey, StepKey
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.worked_question import (
    Computed,
    WorkedItem,
    WorkedMistake,
    WorkedOption,
    WorkedPart,
    WorkedQuestion,
    WorkedRow,
)
from firstway.quiz.forms.working.answers import PartKey, WorkingKey
from firstway.quiz.marking.typed import WrongNumber

OUTCOMES = {
    "the.parts": "Say what each part does",
    "the.figures": "Work the figures",
    "the.order": "Put the work in order",
}
REREAD = {
    "the.parts": ("Inside the board", "../chapters/inside.html"),
    "the.figures": ("The cable", "../chapters/cable.html"),
}


@dataclass(frozen=True)
class Sketch:
    """A drawing such as the drawing room hands over."""

    svg: str
    alt: str
    width: float
    height: float
    id: str
    title: str
    key: tuple[str, ...] = ()


def sketch(prefix: str, spots: str = "", label: str = "F1") -> Sketch:
    """Three boxes on a rail, with a lettered disc beside each."""
    boxes = "".join(
        f'<g id="{prefix}-box.{place}"><rect x="{place * 250}" y="60" width="120" height="160"'
        ' fill="none" stroke="currentColor"/>'
        f'<text x="{place * 250 + 60}"'
        f' y="150">{label if place == 1 else "Q" + str(place)}</text></g>'
        for place in range(3)
    )
    marks = "".join(
        f'<g class="spot" data-spot="{letter}" fill="#fff" stroke="#86185a"><circle'
        f' cx="{place * 250 + 140}" cy="40" r="11"/><text x="{place * 250 + 140}" y="45"'
        f' stroke="none" fill="#86185a">{letter}</text><rect class="spot-reach"'
        f' x="{place * 250 + 124}" y="24" width="32" height="32" fill="transparent"'
        ' stroke="none"/></g>'
        for place, letter in enumerate(spots)
    )
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}-drawing" class="fw-drawing'
        f' fw-wiring" viewBox="0 0 720 260" role="img" aria-labelledby="{prefix}-title'
        f' {prefix}-desc" font-size="14" fill="currentColor"><title id="{prefix}-title">Three'
        f' boxes</title><desc id="{prefix}-desc">Three boxes on a'
        f" rail.</desc>{boxes}{marks}</svg>\n"
    )
    return Sketch(svg, "Three boxes on a rail.", 720, 260, f"{prefix}-drawing", "Three boxes")


def question(
    id_: str,
    kind: str,
    outcome: str,
    stem: str,
    *,
    safety: bool = False,
    text: str = "plain words",
) -> Question:
    return Question(
        id_,
        outcome,
        outcome.partition(".")[0],
        2,
        kind,
        "practice",
        safety,
        (f"{stem} {text}".strip(),),
        ("It is so.",),
        "common practice",
        "x.yaml",
        1,
    )


def options(
    words: tuple[str, ...], right: tuple[int, ...], text: str = ""
) -> tuple[WorkedOption, ...]:
    return tuple(
        WorkedOption(
            "abcdefgh"[place],
            (f"{each}{text}",),
            place in right,
            "" if place in right else f"slip {place}",
            ("" if place in right else f"Look at {each} again.",),
            1,
            place,
        )
        for place, each in enumerate(words)
    )


def keys(made: tuple[WorkedOption, ...]) -> tuple[OptionKey, ...]:
    return tuple(
        OptionKey(option.id, option.right, option.mistake, "".join(map(str, option.feedback)))
        for option in made
    )


def number_key(value: float, unit: str, answer: str) -> NumberKey:
    return NumberKey(
        unit,
        (unit, f"{unit}s"),
        value * 0.985,
        value * 1.015,
        (WrongNumber("twice", value * 1.97, value * 2.03, "Both conductors are in it already."),),
        answer,
        "It is so.",
    )


def choice(
    kind: str,
    id_: str,
    outcome: str,
    drawing: Sketch | None = None,
    safety: bool = False,
    text: str = "",
) -> WorkedQuestion:
    made = options(("the main switch", "the surge device", "the way out"), (1,), text)
    made = tuple(replace(option, spot=f"S{option.id}" if drawing else "") for option in made)
    return WorkedQuestion(
        question(id_, kind, outcome, f"Which one is it ({kind})?", safety=safety, text=text),
        (f"Which one is it ({kind})? {text}".strip(),),
        ("It is so.",),
        made[1].content,
        OneAnswerKey(keys(made), "the surge device", "It is so."),
        made,
        drawing=drawing,
    )


def several(text: str = "") -> WorkedQuestion:
    made = options(("a line", "a neutral", "an earth", "a fence"), (0, 1), text)
    return WorkedQuestion(
        question("several", "several-answers", "the.parts", "Which two carry the load?"),
        ("Which two carry the load?",),
        ("It is so.",),
        ("a line; a neutral",),
        SeveralAnswersKey(keys(made), "a line; a neutral", "It is so."),
        made,
        tell_count=True,
    )


def number(
    kind: str = "number",
    id_: str = "number",
    value: float = 4.25,
    variant: int = 0,
    drawing: Sketch | None = None,
) -> WorkedQuestion:
    answer = Computed(value, "V", 2)
    wrong = WorkedMistake(
        "twice",
        Computed(2 * value, "V", 2),
        value * 1.97,
        value * 2.03,
        ("Both conductors are in it already.",),
        1,
    )
    return WorkedQuestion(
        question(id_, kind, "the.figures", "What drop?"),
        (f"What drop over {value * 4:.0f} m?",),
        ("It is so.",),
        answer,
        number_key(value, "V", answer.text),
        mistakes=(wrong,),
        unit="V",
        places=2,
        variant=variant,
        drawing=drawing,
    )


def order(text: str = "") -> WorkedQuestion:
    """Right: b, c, a."""
    words = {"a": "Prove it dead", "b": "Switch off", "c": "Lock off"}
    steps = tuple(StepKey(letter, words[letter], "an arc waits") for letter in "bca")
    made = tuple(
        WorkedOption(letter, (f"{words[letter]}{text}",), False, "", ("",), 1, "bca".index(letter))
        for letter in "abc"
    )
    return WorkedQuestion(
        question("order", "order", "the.order", "In which order?", safety=True),
        ("In which order?",),
        ("It is so.",),
        ("Switch off; lock off; prove it dead",),
        OrderKey(steps, "Switch off; lock off; prove it dead", "It is so."),
        made,
    )


def match(text: str = "") -> WorkedQuestion:
    """Right: 1 with b, 2 with a; c is spare."""
    rows = (
        WorkedRow("1", ("Surge device",), "b", "took one for the other", ("Look again.",), 1),
        WorkedRow("2", ("Residual device",), "a", "took one for the other", ("Look again.",), 1),
    )
    items = tuple(
        WorkedItem(letter, (f"{words}{text}",), place, 1)
        for place, (letter, words) in enumerate(
            (
                ("a", "watches line and neutral together, all the time"),
                ("b", "limits a surge"),
                ("c", "measures energy"),
            )
        )
    )
    key = MatchKey(
        tuple(RowKey(row.id, row.item, row.mistake, "Look again.") for row in rows),
        ("a", "b", "c"),
        "1 b; 2 a",
        "It is so.",
    )
    return WorkedQuestion(
        question("match", "match", "the.parts", "What does each do?"),
        ("What does each do?",),
        ("It is so.",),
        ("1 b; 2 a",),
        key,
        rows=rows,
        items=items,
    )


def working() -> WorkedQuestion:
    """32 A, then that over 0.8, then that times 2; later figures may follow from an
    earlier slip.
    """

    def part(value: float, unit: str, formula: tuple[float | str, ...]) -> PartKey:
        return PartKey(
            unit,
            (unit,),
            value * 0.985,
            value * 1.015,
            (WrongNumber("forgot a half", value / 2 * 0.985, value / 2 * 1.015, "Both count."),),
            formula,
            0.05,
            1.0,
        )

    parts = tuple(
        WorkedPart((ask,), Computed(value, unit, 1), unit, 1, 1)
        for ask, value, unit in (
            ("Design current", 32.0, "A"),
            ("Required capacity", 40.0, "A"),
            ("Both together", 80.0, "A"),
        )
    )
    key = WorkingKey(
        (part(32.0, "A", ()), part(40.0, "A", ("p1", 0.8, "/")), part(80.0, "A", ("p2", 2.0, "*"))),
        "32.0 A; 40.0 A; 80.0 A",
        "It is so.",
    )
    return WorkedQuestion(
        question("working", "working", "the.figures", "Work the circuit."),
        ("Work the circuit.",),
        ("It is so.",),
        ("32.0 A; 40.0 A; 80.0 A",),
        key,
        parts=parts,
    )


def one_of_each(text: str = "") -> list[WorkedQuestion]:
    """All ten kinds. `text` stands in every sentence that may hold it: try hostile text."""
    return [
        choice("one-answer", "one", "the.parts", safety=True, text=text),
        several(text),
        number(),
        order(text),
        match(text),
        choice("point", "point", "the.parts", sketch("s-point", "abc"), text=text),
        choice(
            "find-the-mistake", "mistake", "the.parts", sketch("s-mistake", "abc", "F2"), text=text
        ),
        choice("foretell", "foretell", "the.figures", text=text),
        working(),
        number("read-a-chart", "chart", 2.5, drawing=sketch("s-chart")),
    ]


def other_figures() -> dict[str, list[WorkedQuestion]]:
    """Further variants of the question `number`."""
    return {"number": [number(value=5.5, variant=1), number(value=6.5, variant=2)]}


RIGHT = {
    "one": "b",
    "several": "a b",
    "number": "4.25",
    "order": "b c a",
    "match": "1=b 2=a",
    "point": "b",
    "mistake": "b",
    "foretell": "b",
    "working": "32 ; 40 ; 80",
    "chart": "2.5",
}
"""The right answer to each of them, in its canonical form."""


def without_key(worked: WorkedQuestion) -> WorkedQuestion:
    """The same question with everything changed that marks it: a paper must not show the
    difference.
    """
    turned = [
        *(option.right for option in worked.options[1:]),
        *(option.right for option in worked.options[:1]),
    ]
    flipped = tuple(
        replace(option, right=right, mistake="other", feedback=("other",))
        for option, right in zip(worked.options, turned)
    )
    return replace(
        worked, options=flipped, why=("other",), answer=("other",), mistakes=(), places=9
    )
