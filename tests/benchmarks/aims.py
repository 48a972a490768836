"""The table of aims: each figure beside its aim, and the engine's own floor beside the build.

    python tests/benchmarks/aims.py [--runs 3] [--only PART,...] [--jobs 11,111,300,1000]

Parts: build (cold, unchanged, one thing changed, and what mkdocs alone takes for the same
Markdown), pack, commands, surge, study, pages (a browser opens them with the CPU slowed 4 times),
and, where --jobs names how many, many (each once, for it takes long: a second of CPU a job). Every
other figure is taken in each run; all stand beside their aim, printed and never asserted.

CPU is that of a process with its workers, memory that of its largest process; both may be taken on
a busy machine. Wall times and pages may not: run it where nothing else runs, with the screen's
power saving off, after `python3 tools/start.py test` has set up what it needs:

    PYTHONPATH=tools .venv/bin/python tests/benchmarks/aims.py --jobs 11,111,300

What a job costs is told from the second number on, beyond the guide with the jobs before.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from guide_time import change, copied, with_jobs
from timing import surroundings

RUN = (
    "import sys; from pathlib import Path; from firstway import cli;"
    " cli.ROOT = Path(sys.argv.pop(1)); sys.exit(cli.main())"
)
MARKDOWN = """
import sys
from pathlib import Path
from firstway.pages.gathering import gathered
from firstway.pages.made_pages import made_pages
guide, written, problems = gathered(Path(sys.argv[1]))
assert not problems, problems
for sheet in (*made_pages(guide), *written):
    page = Path(sys.argv[2], sheet.path)
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text(sheet.markdown, encoding="utf-8")
"""
BARE = "site_name: Bare\ntheme: {name: material, font: false}\nplugins: [search]\n"
SURGES = 10_000
Figure = tuple[str, str, float, float]  # name, unit, aim, value


def spent(command: Sequence[str], project: Path) -> tuple[float, float, float]:
    """CPU seconds of a process with all it started, its wall seconds, and MB of its largest."""
    kept = project.parent / "kept"
    begin = time.perf_counter()
    process = subprocess.Popen(
        command,
        env=surroundings(kept),
        stdout=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode in (0, 1), (command, process.returncode)
    return used.ru_utime + used.ru_stime, time.perf_counter() - begin, used.ru_maxrss / 1000


def firstway(project: Path, *arguments: str) -> tuple[float, float, float]:
    return spent((sys.executable, "-c", RUN, str(project), *arguments), project)


def building(project: Path) -> Iterator[Figure]:
    site = str(project / "site")

    def built() -> tuple[float, float, float]:
        return firstway(project, "build", "--out", site)

    cpu, wall, memory = built()
    yield "cold build, CPU", "s", 12, cpu
    yield "cold build, wall on two cores", "s", 7, wall
    yield "memory of the largest process", "MB", 250, memory
    yield "unchanged, CPU", "s", 1, built()[0]
    change(project / "content/chapters/the-cable.md", r"\n## ", "\nOne more.\n\n## ")
    yield "one chapter changed, CPU", "s", 1.5, built()[0]
    change(project / "quiz/bank/the-cable.yaml", r"why: (?=\w)", "why: Mind this. ")
    yield "one question changed, CPU", "s", 2, built()[0]
    change(project / "diagrams/marram.yaml", r"length_m: \d+", "length_m: 9")
    yield "one job changed, CPU", "s", 3, built()[0]
    yield "mkdocs alone, the same Markdown, CPU", "s", 0, floor(project)


def floor(project: Path) -> float:
    """What the engine takes for the same Markdown with its own theme and search."""
    bare = project.parent / "bare"
    bare.mkdir()
    (bare / "mkdocs.yml").write_text(BARE, encoding="utf-8")
    spent((sys.executable, "-c", MARKDOWN, str(project), str(bare / "docs")), project)
    command = (sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(bare / "mkdocs.yml"))
    return spent(command, project)[0]


def packing(project: Path) -> Iterator[Figure]:
    out = project.parent / "guide.zip"
    firstway(project, "build", "--out", str(project / "site"))
    firstway(project, "pack", "--guide", str(project / "site"), "--out", str(out))
    yield "the guide as one zip", "MB", 8, out.stat().st_size / 1e6
    with zipfile.ZipFile(out) as packed:
        yield "its longest path", "characters", 120, max(map(len, packed.namelist()))


def commands(project: Path) -> Iterator[Figure]:
    job = str(project / "diagrams/marram.yaml")
    for name in ("work", "check"):
        firstway(project, name, job)  # what is kept is there from now on
        cpu, wall, _ = firstway(project, name, job)
        yield f"{name} FILE, wall", "s", 0.25, wall
        yield f"{name} FILE, CPU", "s", 0.25, cpu


def surges(project: Path) -> Iterator[Figure]:
    from surge_time import CASES, surge_model, surge_run

    for name, case in CASES.items():
        times = []
        for _ in range(5):
            begin = time.process_time()
            surge_run(case, surge_model())
            times.append(time.process_time() - begin)
        yield f"a surge run, {name}, CPU", "ms", 8, statistics.median(times) * 1000


def study(project: Path) -> Iterator[Figure]:
    ask = ("--vary", "charging_points.post-1.lead_m=2..15", "--vary", "distance:slipway=3..80")
    step = ("--steps", "surge-at-vehicle-without-spd:post-1", "--random", str(SURGES))
    out = str(project.parent / "study.csv")
    given = (str(project / "diagrams/marram.yaml"), *ask, *step, "-o", out)
    cpu, wall, memory = firstway(project, "study", *given, "--workers", "2")
    yield f"{SURGES:,} surges of a study, wall on two cores", "s", 60, wall
    yield f"{SURGES:,} surges of a study, half their CPU", "s", 60, cpu / 2
    yield "memory of the largest process of a study", "MB", 250, memory


def pages(project: Path) -> Iterator[Figure]:
    from page_time import (
        LOADED_AIM_KB,
        PAGES,
        READY_AIM_MS,
        USABLE_AIM_MS,
        opened_once,
        start,
    )
    from playwright.sync_api import sync_playwright

    firstway(project, "build", "--out", str(project / "site"))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=start.browser_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        for name in PAGES:
            ready, _, usable, size = opened_once(browser, project / "site" / name)
            yield f"{name} ready", "ms", READY_AIM_MS, ready
            yield f"{name} loads", "kB", LOADED_AIM_KB, size
            if usable:
                yield f"{name} first question usable", "ms", USABLE_AIM_MS, usable
        browser.close()


@dataclass(frozen=True)
class Built:
    """What a guide with so many jobs took."""

    jobs: int
    cpu: float
    bytes_of_jobs: int


def many(project: Path, number: int, before: Built | None) -> tuple[list[Figure], Built]:
    """A cold build with so many jobs; what each took beyond those of the build `before`."""
    with_jobs(project, number)
    site = project / "site"
    cpu, wall, memory = firstway(project, "build", "--out", str(site))
    size = sum(path.stat().st_size for path in (site / "jobs").rglob("*") if path.is_file())
    marram = sum(path.stat().st_size for path in (site / "jobs/marram").iterdir())
    built, name = Built(number, cpu, size), f"{number} jobs"
    figures: list[Figure] = [
        (f"{name}: CPU", "s", 0, cpu),
        (f"{name}: wall", "s", 0, wall),
        (f"{name}: a job in the guide", "MB", 0.5, size / number / 1e6),
        (f"{name}: memory of the largest process", "MB", 250, memory),
        (f"{name}: the pages of marram", "kB", 0, marram / 1000),
    ]
    if before:
        more = number - before.jobs
        each, own = (cpu - before.cpu) / more, (size - before.bytes_of_jobs) / more
        figures += [
            (f"{name}: CPU of each beyond {before.jobs}", "s", 0.4, each),
            (f"{name}: size of each beyond {before.jobs}", "MB", 0.5, own / 1e6),
        ]
    return figures, built


PARTS: dict[str, Callable[[Path], Iterator[Figure]]] = {
    "build": building,
    "pack": packing,
    "commands": commands,
    "surge": surges,
    "study": study,
    "pages": pages,
}


def in_a_copy(part: Callable[[Path], Iterator[Figure]]) -> list[Figure]:
    with tempfile.TemporaryDirectory() as folder:
        return list(part(copied(Path(folder))))


def told(name: str, unit: str, aim: float, values: Sequence[float]) -> str:
    shown = " ".join(f"{value:9.3g}" if value < 100 else f"{value:9.0f}" for value in values)
    if not aim:
        return f"{name:50} {shown} {unit}"
    reached = (
        "reached" if max(values) <= aim else "above in part" if min(values) <= aim else "above"
    )
    return f"{name:50} {shown} {unit:10} aim {aim:g}: {reached}"


def main() -> None:
    parser = argparse.ArgumentParser(description="Each figure beside its aim.")
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--only", default=",".join(PARTS), metavar="PART,...")
    parser.add_argument("--jobs", default="", metavar="NUMBER,...")
    arguments = parser.parse_args()
    for name in filter(None, arguments.only.split(",")):
        runs = [in_a_copy(PARTS[name]) for _ in range(arguments.runs)]
        for each in zip(*runs):
            what, unit, aim, _ = each[0]
            print(told(what, unit, aim, [figure[3] for figure in each]), flush=True)
    before: Built | None = None
    for number in filter(None, arguments.jobs.split(",")):
        with tempfile.TemporaryDirectory() as folder:
            figures, before = many(copied(Path(folder)), int(number), before)
        for what, unit, aim, value in figures:
            print(told(what, unit, aim, [value]), flush=True)


if __name__ == "__main__":
    main()
