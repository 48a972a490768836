"""A build makes only what changed, and what it leaves is to the byte what a clean build makes."""

from __future__ import annotations

import os
import random
import re
import shutil
import sys
import threading
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from dying import die_at
from small_project import JOB, made_small_project

from firstway.files.reads import noting_reads
from firstway.pages.chapters import directives, practice
from firstway.pages.made_jobs import JobFile, made_job, steps_of_job
from firstway.pages.quizzes import quiz_pages
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project
from firstway.quiz.bank.question import Question
from firstway.quiz.forms import values
from firstway.quiz.shelf import shelf_from
from firstway.site import making, tutoring
from firstway.site.building import build
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers


@pytest.fixture(scope="module")
def built_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project with its guide, and beside it the folder of what is kept."""
    folder = tmp_path_factory.mktemp("built")
    made_small_project(folder / "project")
    os.environ["FIRSTWAY_CACHE"], before = str(folder / "kept"), os.environ.get("FIRSTWAY_CACHE")
    try:
        assert build(folder / "project", folder / "site") == []
    finally:
        os.environ.pop("FIRSTWAY_CACHE")
        if before is not None:
            os.environ["FIRSTWAY_CACHE"] = before
    return folder


@pytest.fixture
def built(built_once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of it, to be changed."""
    shutil.copytree(built_once, tmp_path / "built")
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "built" / "kept"))
    assert build(tmp_path / "built" / "project", tmp_path / "built" / "site") == []
    return tmp_path / "built"


def state(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def written(built: Path) -> list[str]:
    """What the next build writes anew."""
    told: list[str] = []
    assert build(built / "project", built / "site", told.append) == []
    return [each.removeprefix("writing ") for each in told if each.startswith("writing ")]


def put(built: Path, name: str, old: str, new: str) -> None:
    path = built / "project" / name
    text = path.read_text(encoding="utf-8")
    # of words alone: a text in quotes would be cut
    changed = re.sub(rf"{old}(?=[\w<#])" if old.endswith(": ") else old, new, text, count=1)
    assert changed != text, (name, old)
    path.write_text(changed, encoding="utf-8")


def clean(built: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(built / "other"))
    assert build(built / "project", built / "clean") == []
    made = state(built / "clean")
    shutil.rmtree(built / "other")
    shutil.rmtree(built / "clean")
    monkeypatch.setenv("FIRSTWAY_CACHE", str(built / "kept"))
    return made


def test_build__unchanged_makes_nothing(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(making, "guide_written", lambda *_: pytest.fail("something was made"))
    assert build(built / "project", built / "site") == []


def test_build__a_guide_that_was_touched_is_put_right(built: Path) -> None:
    before = state(built / "site")
    (built / "site" / "about.html").write_text("cut", encoding="utf-8")
    (built / "site" / "index.html").unlink()
    assert written(built) == [] and state(built / "site") == before


def test_build__only_the_page_that_changed_is_written(built: Path) -> None:
    put(built, "content/about.md", "# ", "# More ")
    assert written(built) == ["about.md"]


def answered_anew(built: Path, monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, ...]]:
    """The directives that the next build answers."""
    asked: list[tuple[str, ...]] = []

    def noting(directive: directives.Directive, page: Chapter, guide: Guide) -> Any:
        asked.append((directive.word, *directive.arguments))
        return answer(directive, page, guide)

    answer = directives._answer
    monkeypatch.setattr(directives, "_answer", noting)
    assert build(built / "project", built / "site") == []
    return asked


def test_build__of_a_page_that_changed_no_answer_is_made_again(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(built, "content/index.md", "# A small guide", "# A small guide, again")
    assert list(directives.directives_in((built / "project/content/index.md").read_text("utf-8")))
    assert answered_anew(built, monkeypatch) == []


def test_build__what_quotes_nothing_of_the_job_is_not_answered_again(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_job(built, random.Random(1))
    again = answered_anew(built, monkeypatch)
    assert again and not {each[0] for each in again} & {"term", "clause", "rule", "value", "table"}


def test_sample_files__rest_on_no_part_that_is_taken_for_changed(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The project's place was noted: the sample class was made in each build."""
    monkeypatch.setattr(tutoring, "sample_pages", lambda *_: ({"report.html": "made"}, []))
    monkeypatch.setattr(tutoring, "kept", lambda kind, name, on, make, **_: make())
    with noting_reads() as noted:
        made, problems = tutoring.sample_files(
            Project(root, shelf=shelf_from(root)[0]), lambda part: part
        )
    assert made and not problems and "root" not in noted


def worked_anew(built: Path, monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """The questions that the next build works."""
    names: set[str] = set()

    def noting(question: Question, *arguments: Any) -> Any:
        names.add(question.id)
        return values.worked(question, *arguments)

    monkeypatch.setattr(quiz_pages, "worked", noting)
    monkeypatch.setattr(practice, "worked", noting)
    assert build(built / "project", built / "site") == []
    return names


def test_build__a_question_that_changed_is_worked_alone(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = next(
        path
        for path in sorted((built / "project/quiz/bank").glob("*.yaml"))
        if path.read_text("utf-8").count("- id: ") > 1
    )
    put(built, path.relative_to(built / "project").as_posix(), "why: ", "why: Mind this. ")
    assert len(worked_anew(built, monkeypatch)) == 1


def test_build__a_question_that_moved_in_its_file_is_not_worked_again(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for path in (built / "project/quiz/bank").glob("*.yaml"):
        path.write_text(f"# Lines move.\n\n{path.read_text('utf-8')}", encoding="utf-8")
    assert worked_anew(built, monkeypatch) == set()


def test_build__a_question_whose_steps_are_the_same_is_not_worked_again(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The title of the job stands in drawings and in what questions vary, in no step. Keys that a
    question quotes are not told apart.
    """
    a_title_of_a_job(built, random.Random(1))
    again = worked_anew(built, monkeypatch)
    bank = shelf_from(built / "project")[0].bank
    only_steps = {each.id for each in bank if each.installation and not each.vary}
    only_steps -= {each.id for each in bank if each.drawing or "KeyOf(" in repr(each)}
    only_steps -= {each.id for each in bank if each.kind in ("foretell", "order")}
    assert only_steps and only_steps & again == set()
    assert again <= {each.id for each in bank if each.installation or each.drawing}


def test_build__what_was_kept_hides_no_problem(built: Path) -> None:
    """The page that leads there did not change; where it leads to is gone."""
    before = state(built / "site")
    put(built, "content/about.md", "\n# ", "\n[one](cards/one.md)\n\n# ")
    assert written(built) == ["about.md"]
    after = state(built / "site")
    (built / "project/content/cards/one.md").unlink()
    for _ in range(2):
        problems = [str(problem) for problem in build(built / "project", built / "site")]
        assert any("content/about.md:" in each and "leads nowhere" in each for each in problems)
        assert state(built / "site") == after != before


def a_job(built: Path, draw: random.Random) -> None:
    path = built / "project" / "diagrams" / f"{JOB}.yaml"
    text = path.read_text(encoding="utf-8")
    found = draw.choice(list(re.finditer(r"length_m: ([\d.]+)", text)))
    longer = f"{text[: found.start(1)]}{float(found[1]) + 0.5:g}{text[found.end(1) :]}"
    path.write_text(longer, encoding="utf-8")


def a_title_of_a_job(built: Path, draw: random.Random) -> None:
    put(built, f"diagrams/{JOB}.yaml", "title: ", f"title: {draw.choice(('New', 'Old'))} ")


def a_page(built: Path, draw: random.Random) -> None:
    put(built, "content/index.md", "# A small guide", f"# A small guide {draw.randrange(99)}")


def a_head(built: Path, draw: random.Random) -> None:
    put(built, "content/about.md", "title: ", f"title: {draw.randrange(99)} ")


def a_new_page(built: Path, draw: random.Random) -> None:
    (built / f"project/content/cards/new{draw.randrange(999)}.md").write_text(
        "---\ntitle: New\ndescription: New.\n---\n# New\n", encoding="utf-8"
    )


def a_question(built: Path, draw: random.Random) -> None:
    path = draw.choice(sorted((built / "project/quiz/bank").glob("*.yaml")))
    put(built, path.relative_to(built / "project").as_posix(), "why: ", "why: Mind this. ")


def a_word(built: Path, draw: random.Random) -> None:
    put(
        built,
        "content/glossary.yaml",
        "figure came about",
        f"figure, {draw.randrange(9)}, came about",
    )


def a_mistake(built: Path, draw: random.Random) -> None:
    put(built, "diagrams/mistakes.yaml", "title: ", f"title: Again {draw.randrange(9)} ")


def an_outcome(built: Path, draw: random.Random) -> None:
    put(built, "quiz/outcomes.yaml", "title: ", f"title: Now {draw.randrange(9)} ")


def a_style(built: Path, draw: random.Random) -> None:
    name = draw.choice(("firstway.css", "one-file.css", "desk.css", "quiz.css"))
    with (built / "project/content/assets" / name).open("a", encoding="utf-8") as file:
        file.write(f"\n.new{draw.randrange(99)} {{ color: inherit }}\n")


def the_theme(built: Path, draw: random.Random) -> None:
    put(
        built,
        "tools/firstway/site/theme/partials/logo.html",
        "<svg ",
        f'<svg data-new="{draw.randrange(99)}" ',
    )


def the_settings(built: Path, draw: random.Random) -> None:
    put(built, "mkdocs.yml", "copyright: ", f"copyright: {draw.randrange(99)} ")


def a_recipe(built: Path, draw: random.Random) -> None:
    put(built, "quiz/papers/small.yaml", "variants: 2", f"variants: {draw.choice((1, 3))}")


EDITS: tuple[Callable[[Path, random.Random], None], ...] = (
    *(a_job, a_title_of_a_job, a_page, a_head, a_new_page, a_question, a_word),
    *(a_mistake, an_outcome, a_style, the_theme, the_settings, a_recipe),
)


@pytest.mark.parametrize("edits", [(a_job, a_head), (a_question, a_word)])
def test_build__after_changes_is_what_a_clean_build_makes(
    built: Path, edits: tuple[Callable[..., None], ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    for edit in edits:
        edit(built, random.Random(1))
    assert build(built / "project", built / "site") == []
    assert state(built / "site") == clean(built, monkeypatch)


@pytest.mark.long
def test_build__after_many_changes_is_what_a_clean_build_makes(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    draw = random.Random(20)
    for edit in [*EDITS, *draw.choices(EDITS, k=8)]:
        edit(built, draw)
        assert build(built / "project", built / "site") == [], edit.__name__
        assert state(built / "site") == clean(built, monkeypatch), edit.__name__


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="forks")
@pytest.mark.parametrize("number", [9, 90, 200])
def test_build__killed_in_the_middle_the_next_makes_the_same(
    number: int, built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = state(built / "site")
    for edit in (a_job, a_question, a_style):
        edit(built, random.Random(3))
    child = os.fork()
    if child == 0:
        die_at(number, "kill")
        build(built / "project", built / "site")
        os._exit(0)
    assert os.WIFSIGNALED(os.waitpid(child, 0)[1]), "it came to its end: kill it earlier"
    assert state(built / "site") == before
    assert build(built / "project", built / "site") == []
    assert state(built / "site") == clean(built, monkeypatch)


@pytest.mark.skipif(sys.platform != "linux", reason="forks")
def test_build__two_processes_make_what_one_makes(
    built_once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr(threading, "active_count", lambda: 1)  # a browser of other tests has some
    told: list[str] = []
    assert build(built_once / "project", tmp_path / "site", told.append, Workers(2)) == []
    assert sum(each.startswith("writing ") for each in told) < 9, "forks write the pages"
    assert state(tmp_path / "site") == state(built_once / "site")


@pytest.mark.long
def test_build__one_two_or_four_processes_make_the_same_guide(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []
    for number in (1, 2, 4):
        monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / f"kept{number}"))
        assert build(root, tmp_path / f"site{number}", by=Workers(number)) == []
        made.append(state(tmp_path / f"site{number}"))
    assert made[0] == made[1] == made[2] and len(made[0]) > 200


def test_made_job__another_process_makes_the_same(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", "")
    files = [
        JobFile(name, f"diagrams/{name}.yaml", (root / f"diagrams/{name}.yaml").read_text("utf-8"))
        for name in ("marram", "tern")
    ]
    assert list(spread(made_job, files, Workers(2))) == list(map(made_job, files))
    assert list(spread(steps_of_job, files, Workers(2))) == list(map(steps_of_job, files))
    assert made_job(files[0]).heads and made_job(files[0]).told["card"]
