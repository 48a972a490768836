"""Quiz: pages whose questions are chosen while they are open: what comes back today, what slipped,
ten minutes, a mock drawn anew. The questions of an outcome wait in a file of their own.

`quiz/scripts/session.js` chooses and loads them; `quiz.js` asks and marks as everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from firstway.frozen import dataclass
from firstway.quiz.bank.question import ChapterOutcomes, ConfusedPair
from firstway.quiz.forms.drawings import PageDrawings
from firstway.quiz.paper.page import (
    AT_ONCE,
    AT_THE_END,
    NOT_PROOF,
    Reread,
    answer_html,
    asked_data,
    foot_html,
    json_for_page,
    practice_question,
    quiz_data,
)
from firstway.quiz.paper.practice_sets import PracticeSet
from firstway.rendering.figures import json_text
from firstway.rendering.html import Markup, caution_fold_html, joined, tag

MOST_MINUTES, TEN_MINUTES = 15, 10
"""At most so long a day for what comes back (our choice): little that is done beats much that is
put off; common practice."""
MOCK_QUESTIONS, MOCK_DRAWINGS = 40, 6


@dataclass(frozen=True)
class Session:
    """One of the pages. `kind` is what the script knows it by."""

    kind: str
    id: str
    title: str
    introduction: str
    marking: str = AT_ONCE


SESSIONS = (
    Session(
        "today",
        "today",
        "What comes back today",
        "What you have met comes back before it is forgotten: sooner after a miss, with other"
        " figures each time. At most a quarter of an hour a day; a day left out piles nothing up.",
    ),
    Session(
        "slipped",
        "slipped",
        "Only what slipped",
        "Questions on what you missed when you last met it.",
    ),
    Session(
        "ten-minutes",
        "ten-minutes",
        "Ten minutes",
        "What comes back, then what was met longest ago, then something new: mixed, and over in"
        " ten minutes.",
    ),
    Session(
        "mock",
        "mock-anew",
        "A mock, drawn anew",
        "Forty questions on everything, others each time. Nothing is marked until you hand in. The"
        " same seed draws the same questions from this edition of the guide.",
        AT_THE_END,
    ),
)

SESSION_WORDS = {
    "nothing-today": "Nothing comes back today.",
    "nothing-tried": (
        "Nothing was tried yet. Take a quiz of a chapter; what it asks comes back here."
    ),
    "nothing-slipped": "Of what was tried, nothing slipped when it was last met.",
    "enough": "That was a quarter of an hour for today. The rest waits; nothing is lost.",
    "next": "The next comes back on {date}.",
    "today": "{count} for about {minutes} minutes.",
    "missing": "The questions could not be loaded: the guide's folder is not whole.",
    "until-none": "No date is set: as if there were 30 days left.",
    "until": "All is spread up to {date}.",
    "until-link": "This link set the date: all is spread up to {date}.",
    "until-wrong": "That is no date. Nothing was changed.",
    "loaded": "Loaded: what the file holds and what this page knew are one record now.",
    "saved": "Saved as {name}, where your browser keeps downloads.",
    "not-tried": "not tried",
    "slipped": "slipped on {last}",
    "slipped-sure": "slipped on {last} though you were sure",
    "slipped-hint": "right with a hint on {last}",
    "keeps-slipping": "keeps slipping, last on {last}",
    "recalled": "right on {last}, not yet after a gap",
    "held": "held after a gap, last on {last}: {days} after it was met before",
    "comes-back": "comes back on {date}",
    "comes-back-today": "comes back today",
    "seed": "Seed {seed}",
    "time": "{spent} of {minutes} minutes.",
    "time-up": "{minutes} minutes are over. Go on, or hand in.",
    "pause": "Pause",
    "go-on": "Go on",
    "paused": "Paused at {spent} minutes.",
}


def question_script(questions: Sequence[Sequence[PracticeSet]]) -> str:
    """The questions of one outcome, each in its sets of figures, as a script of data."""
    outcome = questions[0][0].outcome
    data = [
        {
            "html": practice_question(
                f"cb-{sets[0].shown.id}", 1, sets, 1, PageDrawings(f"d-{sets[0].shown.id}"), AT_ONCE
            ),
            "fold": answer_html(sets[0].fold, len(sets) > 1),
            **asked_data(sets),
        }
        for sets in questions
    ]
    text = json_text(data, ensure_ascii=False, separators=(",", ":")).replace("{root}", "../")
    return (
        "(window.firstwayQuestions = window.firstwayQuestions || {})"
        f"[{json_text(outcome)}] = {text};\n"
    )


def question_path(outcome: str) -> str:
    """Where that script lies in the guide."""
    return f"assets/questions/{outcome}.js"


def session_index(
    questions: Sequence[Sequence[PracticeSet]],
    chapters: Sequence[ChapterOutcomes],
    confused: Sequence[ConfusedPair],
) -> dict[str, Any]:
    """What the script chooses from: for each outcome its sentence and its questions, each with
    minutes, whether it is on safety, whether it has a drawing.
    """
    of: dict[str, list[list[Any]]] = {}
    for sets in questions:
        first = sets[0]
        of.setdefault(first.outcome, []).append(
            [
                first.shown.id,
                first.minutes,
                int(first.shown.safety),
                int(first.shown.drawing is not None),
            ]
        )
    return {
        "outcomes": [
            [outcome.id, outcome.text, chapter.id, of[outcome.id]]
            for chapter in chapters
            for outcome in chapter.outcomes
            if outcome.id in of
        ],
        "confused": [[pair.one, pair.other] for pair in confused],
    }


def session_html(
    session: Session, index: Mapping[str, Any], reread: Reread, scripts: Markup
) -> Markup:
    """The page without its questions; with scripts off it leads to the quizzes."""
    texts = [(id_, text) for id_, text, *_ in index["outcomes"]]
    data = {
        **quiz_data(session.title, (), session.kind, session.id, session.marking),
        "session": session.kind,
        "index": index,
        "said": SESSION_WORDS,
        "most_minutes": TEN_MINUTES if session.kind == "ten-minutes" else MOST_MINUTES,
        "mock": [MOCK_QUESTIONS, MOCK_DRAWINGS],
    }
    off = "Scripts are off: the questions of this page are chosen by one. Take a quiz instead."
    return joined(
        [
            Markup('<section class="quiz quiz-session" id="quiz-{}" aria-label="{}">').format(
                session.id, session.title
            ),
            caution_fold_html(),
            tag("p", session.introduction, class_="quiz-introduction"),
            tag("p", NOT_PROOF, class_="quiz-not-proof"),
            tag("noscript", tag("p", off, class_="quiz-plain")),
            tag("div", role="status", class_="session-said"),
            tag("p", class_="session-seed") + _mock_panel() if session.kind == "mock" else "",
            Markup('<form class="quiz-form" autocomplete="off" spellcheck="false" novalidate>'),
            tag("ol", class_="quiz-questions"),
            foot_html(session.id, texts, reread),
            Markup("</form>"),
            tag(
                "details",
                tag("summary", "Answers and why"),
                tag("ol"),
                class_="quiz-answers",
                hidden=True,
            ),
            "" if session.kind == "mock" else _record_panel(),
            tag("script", json_for_page(data), type="application/json", class_="session-data"),
            Markup("</section>"),
            scripts,
        ],
        "\n",
    )


def _mock_panel() -> Markup:
    return tag(
        "div",
        tag(
            "p",
            tag("label", "Seed ", tag("input", type="text", maxlength=40, class_="session-typed")),
            " ",
            tag("button", "Draw by this seed", type="button", class_="session-draw"),
            " ",
            tag("button", "Draw another", type="button", class_="session-another"),
            class_="quiz-buttons",
        ),
        tag(
            "p",
            tag("label", tag("input", type="checkbox", class_="session-timed"), " Show the time"),
            " ",
            tag("span", class_="session-time"),
            " ",
            tag("button", "Pause", type="button", class_="session-pause"),
            " ",
            tag("button", "10 minutes more", type="button", class_="session-longer"),
            class_="quiz-buttons",
        ),
        class_="session-panel",
        hidden=True,
    )


def _record_panel() -> Markup:
    kept = (
        "Kept on this device as a convenience; the file is the record that lasts. It holds no name."
        " Loading adds, so two devices become one. Opened from a disk, some browsers (Firefox) keep"
        " a record for each page alone: there, take the file along."
    )
    return tag(
        "div",
        tag("h2", "Your record"),
        tag(
            "p",
            tag("label", "Keep all this until ", tag("input", type="date", class_="session-date")),
            " ",
            tag("span", role="status", class_="session-until"),
            class_="quiz-buttons",
        ),
        tag(
            "p",
            tag("button", "Save my progress to a file", type="button", class_="session-save"),
            " ",
            tag(
                "label",
                "Load my progress ",
                tag("input", type="file", accept=".json,application/json", class_="session-load"),
                class_="quiz-load",
            ),
            class_="quiz-buttons",
        ),
        tag("p", kept, class_="quiz-hint"),
        tag("div", role="status", class_="session-kept"),
        tag(
            "details",
            tag("summary", "What the record says of each outcome"),
            tag("ul", class_="session-outcomes"),
            class_="quiz-answers session-record",
        ),
        class_="session-panel",
        hidden=True,
    )
