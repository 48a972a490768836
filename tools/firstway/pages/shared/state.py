"""Pages: where a script writes how far a reader is, in words. Without it nothing stands there."""

from __future__ import annotations

from hashlib import sha256

from firstway.pages.shared.project import Project
from firstway.rendering.html import Markup, tag

STATE_SCRIPTS = tag("script", src="{root}assets/progress.js", defer=True) + tag(
    "script", src="{root}assets/state.js", defer=True
)


def job_name(installation: str) -> str:
    """What a job is called among what was read."""
    return f"job.{installation}"


def board_name(*told: str) -> str:
    """What a board is called among what was tried: it gives away no mistake."""
    return f"board.{sha256(' '.join(told).encode()).hexdigest()[:10]}"


def state_of(name: str, word: str) -> Markup:
    """Where `word` stands once this was ticked."""
    return tag("span", class_="state", data_state=name, data_word=word)


def ticks_when_seen(name: str) -> Markup:
    """What stands at the end of a page that counts as read there, with the scripts."""
    return tag("div", class_="read-here", data_read=name) + STATE_SCRIPTS


def quiz_state(project: Project, quiz: str) -> Markup:
    """Where it stands how a quiz went last, and whether what its chapter teaches was held."""
    own = project.outcomes_of(quiz)
    ids = " ".join(outcome.id for outcome in own.outcomes) if own else None
    return tag("span", class_="state", data_quiz=quiz, data_outcomes=ids)
