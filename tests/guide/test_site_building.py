"""The site folder is replaced in one step or not at all, and never anything that is not a built
guide.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest
from small_project import made_small_project

from firstway.files.folders import ROOM_PREFIX
from firstway.site.building import build


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Everything a build reads, to be broken freely."""
    return made_small_project(tmp_path_factory.mktemp("project") / "small")


@pytest.fixture
def nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every page is made anew."""
    monkeypatch.setenv("FIRSTWAY_CACHE", "")


@pytest.fixture(scope="module")
def whole(project: Path) -> Path:
    """A guide that was built before."""
    out = project / "site"
    assert build(project, out) == []
    return out


def state(folder: Path) -> dict[str, str]:
    """Every file and its bytes."""
    return {
        path.relative_to(folder).as_posix(): sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def leftovers(folder: Path) -> list[Path]:
    return list(folder.glob(f"{ROOM_PREFIX}*"))


def test_build__same_data_same_bytes(whole: Path, project: Path, tmp_path: Path) -> None:
    assert build(project, tmp_path / "again") == []
    assert state(tmp_path / "again") == state(whole)


def test_build__replaces_an_older_guide_and_leaves_nothing_beside_it(
    whole: Path, project: Path
) -> None:
    (whole / "old-page.html").write_text("old", encoding="utf-8")
    assert build(project, whole) == []
    assert not (whole / "old-page.html").exists()
    assert leftovers(project) == []


@pytest.mark.parametrize("interruption", [KeyboardInterrupt, MemoryError, SystemExit])
def test_build__interrupted_leaves_the_old_guide_whole(
    whole: Path, project: Path, interruption: type[BaseException], nothing_kept: None
) -> None:
    before = state(whole)

    def stop(sentence: str) -> None:
        if sentence.startswith("writing jobs/"):
            raise interruption

    with pytest.raises(interruption):
        build(project, whole, stop)
    assert state(whole) == before
    assert leftovers(project) == []


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signal")
def test_build__told_to_end_leaves_the_old_guide_whole(
    whole: Path, project: Path, root: Path, nothing_kept: None
) -> None:
    before = state(whole)
    program = (
        "import sys, time\nfrom pathlib import Path\nfrom firstway.site.building import build\n"
        "def slow(sentence):\n"
        "    if sentence.startswith('writing jobs/'):\n"
        "        print('now', flush=True); time.sleep(30)\n"
        "build(Path(sys.argv[1]), Path(sys.argv[2]), slow)\n"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", program, str(project), str(whole)],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": str(root / "tools")},
    )
    assert child.stdout is not None and child.stdout.readline() == b"now\n"
    child.send_signal(signal.SIGTERM)
    assert child.wait(timeout=20) == 143
    assert state(whole) == before
    assert leftovers(project) == []


def test_build__problems_are_all_told_and_nothing_is_written(whole: Path, project: Path) -> None:
    before = state(whole)
    chapter = project / "content" / "broken.md"
    chapter.write_text(
        "---\ntitle: Broken\n---\n# Broken\n\n{figur: a b c}\n\n{figure: nowhere a b}\n",
        encoding="utf-8",
    )
    try:
        problems = [str(problem) for problem in build(project, whole)]
    finally:
        chapter.unlink()
    assert problems[0] == "content/broken.md:6: unknown directive 'figur'; did you mean 'figure'?"
    assert problems[1].startswith("content/broken.md:8: unknown installation 'nowhere'; ")
    assert state(whole) == before
    assert leftovers(project) == []


def test_build__a_link_that_leads_nowhere_is_told_with_its_line(whole: Path, project: Path) -> None:
    about = project / "content" / "about.md"
    text = about.read_text(encoding="utf-8")
    about.write_text(text + "\n[gone](chapters/gone.md)\n", encoding="utf-8")
    line = text.count("\n") + 2
    try:
        problems = [str(problem) for problem in build(project, whole)]
    finally:
        about.write_text(text, encoding="utf-8")
    assert problems == [
        f"content/about.md:{line}: the link 'chapters/gone.md' leads nowhere;"
        " name a page or heading that exists"
    ]


def test_build__an_installation_that_is_wrong_is_told_with_its_line(
    whole: Path, project: Path
) -> None:
    path = project / "diagrams" / "broken.yaml"
    path.write_text("title: Broken\nrules: bs7671\nlenght: 3\n", encoding="utf-8")
    try:
        problems = [str(problem) for problem in build(project, whole)]
    finally:
        path.unlink()
    assert any(problem.startswith("diagrams/broken.yaml:3: ") for problem in problems)
    assert not any("Traceback" in problem for problem in problems)


def test_build__what_only_follows_from_a_broken_installation_is_not_told(
    whole: Path, project: Path
) -> None:
    """Chapters and questions quote this job; with its file broken only the file is to blame."""
    path = project / "diagrams" / "marram.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text + "colour: red\n", encoding="utf-8")
    try:
        problems = [str(problem) for problem in build(project, whole)]
    finally:
        path.write_text(text, encoding="utf-8")
    assert problems and all(problem.startswith("diagrams/marram.yaml:") for problem in problems), (
        problems
    )


@pytest.mark.parametrize("place", [".", "content", "content/assets", "tools"])
def test_build__refuses_the_projects_own_folders(project: Path, place: str) -> None:
    before = state(project)
    assert len(build(project, project / place)) == 1
    assert state(project) == before


def test_build__refuses_a_folder_that_holds_something_else(project: Path, tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "letter.txt").write_text("dear", encoding="utf-8")
    problems = build(project, tmp_path / "letters")
    assert "not a built guide" in str(problems[0])
    assert (tmp_path / "letters" / "letter.txt").read_text(encoding="utf-8") == "dear"


def test_build__refuses_a_file_and_a_folder_without_a_project(
    project: Path, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert "not a folder" in str(build(project, tmp_path / "file")[0])
    assert "mkdocs.yml" in str(build(tmp_path, tmp_path / "site")[0])
