"""Whether two states of the program make the same of the same project, to the byte.

    python tests/same_to_the_byte.py OLD [NEW]     two revisions; without NEW the working tree

For a change of the house that must change nothing a user sees. Each state makes, from its own
files, the guide, every drawing, working and finding of every installation, the papers of a class
and what marking them writes, and the packages. What differs is listed, at most forty names; exit
code 1 when anything does.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
RUN = "import sys; sys.argv[0] = 'firstway'; from firstway.cli import main; sys.exit(main())"
SECRET = "5a" * 32
EXAMPLE_SEED = "change-this-before-use"
VIEWS = ("single-line", "board", "wiring")
FORMS = ("qti-3.0", "qti-2.1", "scorm-1.2")
RECIPES = ("class-board-test", "class-first-look", "mock")  # the last has most kinds
CLASS = "quiz/classes/monday-evening.csv"
SHOWN = 40


def main(revisions: list[str]) -> int:
    """Make everything twice and tell what differs."""
    if len(revisions) not in (1, 2):
        print(__doc__, file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder:
        sides = [Path(folder) / name for name in ("old", "new")]
        for side, revision in zip(sides, [*revisions, ""][:2]):
            take(revision, side / "project")
            make(side / "project", side / "made", Path(folder) / "kept")
        one, other = (digests(side / "made") for side in sides)
        differing = sorted(
            name for name in one.keys() | other.keys() if one.get(name) != other.get(name)
        )
        for name in differing[:SHOWN]:
            print(name)
    print(f"{len(one)} and {len(other)} files, {len(differing)} differ")
    return 1 if differing else 0


def take(revision: str, to: Path) -> None:
    """The tracked files of a revision, or of the working tree."""
    to.mkdir(parents=True)
    archive = to.parent / "project.tar"
    if not revision:
        stash = subprocess.run(
            ["git", "stash", "create"], cwd=ROOT, check=True, capture_output=True, text=True
        )
        revision = stash.stdout.strip() or "HEAD"
    subprocess.run(["git", "archive", "-o", str(archive), revision], cwd=ROOT, check=True)
    shutil.unpack_archive(archive, to)
    archive.unlink()


def make(project: Path, out: Path, kept: Path) -> None:
    """Everything that the program of this folder makes of the data of this folder."""
    out.mkdir()
    run(project, kept, out, "guide", ["build", "--out", str(out / "site")])
    for path in sorted((project / "diagrams").glob("*.yaml")):
        if path.stem == "mistakes":
            continue
        name = path.relative_to(project).as_posix()
        for view in VIEWS:
            run(project, kept, out, f"{path.stem}-{view}.svg", ["draw", name, view])
        run(project, kept, out, f"{path.stem}-work.txt", ["work", name])
        run(project, kept, out, f"{path.stem}-work.json", ["work", name, "--json"])
        run(project, kept, out, f"{path.stem}-check.txt", ["check", name])
    secret = project / "secret.txt"
    secret.write_text(SECRET + "\n", encoding="utf-8")
    for stem in RECIPES:
        recipe = f"quiz/papers/{stem}.yaml"
        own = project / recipe  # a seed that is only an example is refused
        text = own.read_text(encoding="utf-8")
        own.write_text(text.replace(EXAMPLE_SEED, "a seed of our own"), encoding="utf-8")
        for form in FORMS:
            run(
                project,
                kept,
                out,
                f"{stem}-{form}.txt",
                ["package", recipe, form, "-o", str(out / f"{stem}-{form}.zip")],
            )
        if stem.startswith("class-"):
            folder = str(out / stem)
            run(
                project,
                kept,
                out,
                f"{stem}.txt",
                ["paper", recipe, "--class", CLASS, "-o", folder, "--secret", str(secret)],
            )
            run(project, kept, out, f"{stem}-mark.txt", ["mark", folder])


def run(project: Path, kept: Path, out: Path, name: str, arguments: list[str]) -> None:
    """One command; what it prints and its exit code are compared too."""
    environment = os.environ | {
        "PYTHONPATH": str(project / "tools"),
        "FIRSTWAY_CACHE": str(kept),
        "PYTHONUTF8": "1",
        "SOURCE_DATE_EPOCH": "1796000000",
        "PYTHONHASHSEED": "0",
    }
    done = subprocess.run(
        [sys.executable, "-P", "-c", RUN, *arguments],
        cwd=project,
        env=environment,
        capture_output=True,
        check=False,
    )
    told = done.stdout + done.stderr + f"\nexit code {done.returncode}\n".encode()
    (out / name).write_bytes(told.replace(str(project.parent).encode(), b"FOLDER"))


def digests(folder: Path) -> dict[str, str]:
    """Every file below a folder by its path, with the hash of its content."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in files(folder)
    }


def files(folder: Path) -> Iterator[Path]:
    """Every file below a folder, in order."""
    return (path for path in sorted(folder.rglob("*")) if path.is_file())


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
