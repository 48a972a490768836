"""What building the guide costs when all, nothing or one thing has changed, and with many jobs.

    python tests/benchmarks/guide_time.py [JOBS ...]     with JOBS, also copies of the jobs, so many

CPU seconds of whole processes with their workers, each beside its aim and as a multiple of
`python -c pass` run before it, and seconds of wall; printed and never asserted. All happens in a
copy of the project with a cache folder of its own.
"""

from __future__ import annotations

import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from timing import ROOT, surroundings

READ = ("content", "diagrams", "quiz", "mkdocs.yml", "tools/firstway/site/theme")
BUILD = (  # the command, in another project than the program's own
    "import sys; from pathlib import Path; from firstway import cli; cli.ROOT = Path(sys.argv[1]);"
    " sys.exit(cli.main(['build', '--out', sys.argv[1] + '/site']))"
)
MOST_MB, MOST_S_A_JOB, MOST_MB_A_JOB = 250, 0.4, 0.5
LONGEST_WALL = 7  # of a cold build on two cores
LONGEST = (("cold", 12), ("unchanged", 1), ("chapter", 1.5), ("question", 2), ("job", 3))


def cpu(command: Sequence[str], kept: Path) -> tuple[float, float, str]:
    """CPU seconds of a process and all its children, seconds of wall, and what it printed."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run(
        command,
        env=surroundings(kept),
        capture_output=True,
        text=True,
        check=True,
    )
    wall, after = time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent, wall, done.stdout.strip()


def build_time(project: Path, what: str, most: float) -> float:
    """Build once and print what it took."""
    kept = project.parent / "kept"
    floor, _, _ = cpu((sys.executable, "-c", "pass"), kept)
    spent, wall, told = cpu((sys.executable, "-c", BUILD, str(project)), kept)
    assert not told, told
    print(
        f"{what:10} {spent:7.2f} s   aim {most:6.2f} s   {spent / max(floor, 0.001):7.0f} times"
        f"   wall {wall:7.2f} s" + (f"   aim {LONGEST_WALL:.2f} s" if what == "cold" else "")
    )
    return spent


def change(path: Path, pattern: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(pattern, new, text, count=1), encoding="utf-8")


def copied(folder: Path) -> Path:
    project = folder / "project"
    for name in READ:
        (project / name).parent.mkdir(parents=True, exist_ok=True)
        copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
        copy(ROOT / name, project / name)
    return project


def one_thing_changed(project: Path) -> None:
    """Cold, unchanged, and each kind of change after the other."""
    for what, most in LONGEST:
        if what == "chapter":
            change(project / "content/chapters/the-cable.md", r"\n## ", "\nOne more.\n\n## ")
        elif what == "question":
            change(project / "quiz/bank/the-cable.yaml", r"why: (?=\w)", "why: Mind this. ")
        elif what == "job":
            change(project / "diagrams/marram.yaml", r"length_m: \d+", "length_m: 9")
        build_time(project, what, most)


def with_jobs(project: Path, number: int) -> None:
    """Copies of the jobs, until there are so many in all."""
    own = sorted((project / "diagrams").glob("*.yaml"))
    own = [path for path in own if path.stem != "mistakes"]
    for place in range(number - len(own)):
        shutil.copy(own[place % len(own)], project / f"diagrams/copy{place:04}.yaml")


def many_jobs(project: Path, number: int) -> None:
    """A cold build with so many jobs."""
    with_jobs(project, number)
    spent = build_time(project, f"{number} jobs", number * MOST_S_A_JOB)
    site = project / "site"
    size = sum(path.stat().st_size for path in (site / "jobs").rglob("*") if path.is_file())
    of_marram = sum(path.stat().st_size for path in (site / "jobs/marram").iterdir())
    most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1000
    print(
        f"{spent / number:.2f} s a job, aim {MOST_S_A_JOB}; {size / number / 1e6:.2f} MB a job, aim"
        f" {MOST_MB_A_JOB}; marram {of_marram} bytes; memory so far {most:.0f} MB, aim {MOST_MB}"
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        one_thing_changed(copied(Path(folder)))
    for jobs in sys.argv[1:]:
        with tempfile.TemporaryDirectory() as folder:
            many_jobs(copied(Path(folder)), int(jobs))
