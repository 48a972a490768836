"""Site: the sample class of the tutor's pages.

The desk makes it from the jobs that the guide has worked; pages and desk know nothing of each
other.
"""

from __future__ import annotations

from pathlib import Path

from firstway.desk.analysis.sample_class import sample_pages
from firstway.files.keeping import digest_of_files, keep, kept
from firstway.pages.quizzes.quiz_drawings import guide_sources, package_digest
from firstway.pages.shared.guide import Guide
from firstway.problems import Problem

_FOLDER = "tutors/sample"
_KEPT = "sample-class"
RESTS_ON = (
    "quiz/bank/*.yaml",
    "quiz/classes/*",
    "quiz/outcomes.yaml",
    "diagrams/*.yaml",
    "content/assets/desk.css",
    "content/assets/quiz.css",
    "content/assets/paper.js",
    "content/assets/quiz.js",
)


def sample_files(root: Path, guide: Guide) -> tuple[dict[str, str], list[Problem]]:
    """Path in the guide to a whole page of its own; from the cache folder where nothing they rest
    on has changed.
    """
    key = _key(root)
    found = kept(_KEPT, key)
    if isinstance(found, dict) and found and all(isinstance(text, str) for text in found.values()):
        return found, []
    pages, problems = sample_pages(root, guide_sources(guide))
    files = {f"{_FOLDER}/{name}": text for name, text in pages.items()}
    if files and not problems:
        keep(_KEPT, key, files)
    return files, problems


def _key(root: Path) -> str:
    return digest_of_files(
        (path for pattern in RESTS_ON for path in root.glob(pattern)), package_digest()
    )[:40]
