"""A whole project that builds in seconds: one installation, some questions, two recipes, a class;
cut from the shipped one.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
JOB = "marram"
QUESTIONS = 3  # of each file of the bank
# of one answer: fewer than the lint judges as a whole, for a few questions follow a blind rule by
# chance
CHOICES = 36
PRACTICE, ASSIGNED, CLASS = (
    "quiz/papers/small.yaml",
    "quiz/papers/small-test.yaml",
    "quiz/classes/small.csv",
)
INDEX = (
    "---\ntitle: A small guide\ndescription: Made for tests.\n---\n# A small guide\n\n{caution:"
    " work}\n\n{figure: marram voltage-drop slipway}\n\n{list: jobs}\n\n{sources: here}\n"
)
_ITEM = re.compile(r"^  - id: ", re.MULTILINE)


def made_small_project(folder: Path) -> Path:
    """Write the project into a folder that is not there yet."""
    for name in ("content/assets", "tools/firstway/site/theme"):
        shutil.copytree(ROOT / name, folder / name)
    for name in (
        "content/glossary.yaml",
        "content/about.md",
        "content/reading-the-working.md",
        "quiz/outcomes.yaml",
        f"diagrams/{JOB}.yaml",
        "diagrams/mistakes.yaml",
    ):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, folder / name)
    settings = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    (folder / "mkdocs.yml").write_text(
        settings[: settings.index("\nnav:")]
        + "\nnav:\n  - index.md\n  - Learn it:\n      - reading-the-working.md\n  - About and"
        " sources: about.md\n" + settings[settings.index("\nvalidation:") :],
        encoding="utf-8",
    )
    (folder / "content/index.md").write_text(INDEX, encoding="utf-8")
    for name in (
        "cards/index.md",
        "cards/one.md",
        "chapters/why-surge-protection-protects-the-vehicle.md",
    ):  # made pages lead there
        (folder / "content" / name).parent.mkdir(exist_ok=True)
        (folder / "content" / name).write_text(
            "---\ntitle: Stands in\ndescription: For a page.\n---\n# Stands in\n", encoding="utf-8"
        )
    mistakes = (ROOT / "diagrams/mistakes.yaml").read_text(encoding="utf-8").split("\n- name: ")
    (folder / "diagrams/mistakes.yaml").write_text(
        "\n- name: ".join(mistakes[:4]) + "\n", encoding="utf-8"
    )
    practice, assigned = _bank(folder)
    (folder / "quiz/papers").mkdir()
    (folder / PRACTICE).write_text(_recipe("small", "practice", practice[:8]), encoding="utf-8")
    (folder / ASSIGNED).write_text(
        _recipe("small-test", "assigned", assigned[:4]), encoding="utf-8"
    )
    (folder / "quiz/classes").mkdir()
    (folder / CLASS).write_text("code,name\nA1,Ada\nB2,Bo\nC3,Cy\n", encoding="utf-8")
    return folder


def _bank(folder: Path) -> tuple[list[str], list[str]]:
    """A few questions of each file that ask for nothing but this job; their ids by use."""
    (folder / "quiz/bank").mkdir()
    ids: dict[str, list[str]] = {"practice": [], "assigned": []}
    choices = 0
    for path in sorted((ROOT / "quiz/bank").glob("*.yaml")):
        head, *items = _ITEM.split(path.read_text(encoding="utf-8"))
        own = [
            item
            for item in items
            if "use: " in item
            and path.stem not in ("inside-drawings", "wrong-reading")
            and set(re.findall(r"installation: ([a-z]+)", item)) <= {JOB}
            and ("installation:" not in item) <= ("drawing:" not in item)
            and "foretell" not in item
        ]
        kept = [
            item for item in own[:QUESTIONS] if "kind: one-answer" not in item or choices < CHOICES
        ]
        choices += sum("kind: one-answer" in item for item in kept)
        if kept:
            (folder / "quiz/bank" / path.name).write_text(
                head + "".join(f"  - id: {item}" for item in kept), encoding="utf-8"
            )
        for item in kept:
            ids["practice" if "use: practice" in item else "assigned"].append(
                item.split("\n", 1)[0]
            )
    return ids["practice"], ids["assigned"]


def _recipe(name: str, use: str, questions: list[str]) -> str:
    rows = "".join(f"  - {each}\n" for each in questions)
    return (
        f"id: {name}\ntitle: The {name} paper\nuse: {use}\nseed: held by the tests"
        f" {name}\nvariants: 2\nquestions:\n{rows}"
    )
