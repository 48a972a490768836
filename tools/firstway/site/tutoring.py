"""Site: the sample class of the tutor's pages.

The desk makes it from the jobs that the guide has worked; pages and desk know nothing of each
other.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from firstway.desk.sample_class import sample_pages, sample_questions
from firstway.files.keeping import digest_of_files, kept
from firstway.pages.quizzes.quiz_drawings import question_sources
from firstway.pages.shared.project import Project
from firstway.problems import Problem

_FOLDER = "tutors/sample"
_KEPT = "sample-class"
RESTS_ON = (
    "quiz/classes/*",
    "quiz/outcomes.yaml",
    "content/assets/desk.css",
    "content/assets/quiz.css",
)


def sample_files(
    project: Project, stands: Callable[[str], str]
) -> tuple[dict[str, str], list[Problem]]:
    """Path in the guide to a whole page of its own; from the cache folder where nothing they rest
    on has changed.
    """

    root: Path = project.unnoted("root")  # all that is read there is named in RESTS_ON
    asked, found = sample_questions(root, project.unnoted("shelf"))
    if found or not asked:
        return {}, found

    def make() -> tuple[dict[str, str], list[Problem]]:
        pages, problems = sample_pages(root, project.unnoted("shelf"), question_sources(project))
        return {f"{_FOLDER}/{name}": text for name, text in pages.items()}, problems

    return kept(
        _KEPT,
        "the sample class",
        digest_of_files((path for pattern in RESTS_ON for path in root.glob(pattern)), repr(asked)),
        make,
        data=lambda made: made[0] if made[0] and not made[1] else None,
        thing=lambda data: ({str(name): str(text) for name, text in data.items()}, []),
        stands=stands,
    )
