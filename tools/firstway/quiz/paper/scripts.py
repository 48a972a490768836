"""Quiz: the scripts of quizzes and papers, put together from their parts when a page is made.

`fields.js` reads and fills fields in both; only practice holds what marks, one script a form.
"""

from __future__ import annotations

from pathlib import Path

QUIZ_FOLDER = Path(__file__).parents[1]


def script_part(name: str) -> str:
    """One part, as it lies in `quiz/scripts/`."""
    return (QUIZ_FOLDER / "scripts" / name).read_text(encoding="utf-8")


def practice_script() -> str:
    """The script of a page that marks itself."""
    forms = sorted(QUIZ_FOLDER.glob("forms/*/marked.js"))
    marking = [script_part("marking.js"), *(path.read_text(encoding="utf-8") for path in forms)]
    return slim_script(_joined(script_part("fields.js"), *marking, script_part("quiz.js")))


def worked_script() -> str:
    """The script of worked examples that fade: it marks as practice does."""
    return _with_marking("working", "worked.js")


def job_script() -> str:
    """The script of the job through the book: it marks as practice does."""
    return _with_marking("number", "job.js")


def wall_script() -> str:
    """The script that puts one question on the wall: it marks and keeps nothing."""
    return slim_script(script_part("wall.js"))


def _with_marking(form: str, script: str) -> str:
    marks = (QUIZ_FOLDER / "forms" / form / "marked.js").read_text(encoding="utf-8")
    parts = script_part("fields.js"), script_part("marking.js"), marks, script_part(script)
    return slim_script(_joined(*parts))


def session_script() -> str:
    """The script of a page that chooses its questions, beside that which marks them."""
    return slim_script(script_part("session.js"))


def paper_script() -> str:
    """The script of an assigned paper: it holds no key and marks nothing."""
    return _joined(script_part("fields.js"), script_part("paper.js"))


def slim_script(script: str) -> str:
    """A script without indentation and lines of comment; ours holds no text over several lines."""
    return "\n".join(
        line.strip()
        for line in script.split("\n")
        if line.strip() and not line.strip().startswith("//")
    )


def _joined(*parts: str) -> str:
    """Parts as one classic script that leaves no name behind."""
    return '(function () {\n"use strict";\n\n' + "\n".join(parts) + "}());\n"
