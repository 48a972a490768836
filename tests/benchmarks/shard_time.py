"""What one part of long work costs, in CPU milliseconds: from these a long run is planned.

    PYTHONPATH=tools .venv/bin/python tests/benchmarks/shard_time.py

A run of N parts by W workers takes about N x cost / W, and beside it the time of the process that
asks: it writes what comes back, one thing after the other.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from firstway.choosing.study import Study, grid, rows, study_from
from firstway.cli import checked
from firstway.desk.marking_run import feedback_pages
from firstway.desk.papers.making import Setting, desk_sources, pages_of
from firstway.desk.sample_class import sample_marks, sample_paper
from firstway.model.reading import installation_from_yaml
from firstway.pages.made_jobs import JobFile, job_made_away
from firstway.quiz.shelf import shelf_from

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(Path(__file__).parent))


def told(name: str, count: int, run: Callable[[], object], *, anew: bool = False) -> None:
    """Print what each of `count` parts takes, once everything that is kept is there; or `anew`."""
    if not anew:
        run()
    before = time.process_time()
    run()
    each = (time.process_time() - before) / count * 1000
    print(
        f"{name}: {each:.2f} ms; 100,000 take {each / 36:.2f} core hours, 1,000,000"
        f" {each / 3.6:.1f}"
    )


def main() -> None:
    names = sorted(each for each in (ROOT / "diagrams").glob("*.yaml") if each.stem != "mistakes")
    jobs = [(each.read_text("utf-8"), each.name, each.stem, ()) for each in names]
    texts = [(each, each.read_text("utf-8")) for each in names]
    files = [JobFile(each.stem, f"diagrams/{each.name}", text) for each, text in texts]
    told("pages of a job", len(files), lambda: [job_made_away(each) for each in files], anew=True)
    told("check of a job", len(jobs), lambda: [checked(("fail",), False, job) for job in jobs])
    text = (ROOT / "diagrams" / "marram.yaml").read_text("utf-8")
    installation, _ = installation_from_yaml(text, "marram.yaml", "marram")
    assert installation is not None
    for name, steps in (
        ("row of a study, every check", ""),
        ("row of a study, one surge", "surge-at-vehicle-without-spd:post-1"),
        ("row of a study, a surge by both laws", "surge-at-vehicle:post-1"),
    ):
        plans: list[tuple[Study, list[tuple[str, ...]]]] = []
        for ends in ("3..9", "3.1..8.9"):  # the second run meets no case of the first
            ask = [f"charging_points.post-1.lead_m={ends}/16"]
            plan, varied, _ = study_from(installation, text, ask, steps)
            plans.append((plan, list(grid(varied))))
        told(name, 16, lambda: rows(*plans.pop()))
    made, _ = sample_paper(ROOT, shelf_from(ROOT)[0], desk_sources(ROOT))
    assert made is not None
    key, pools, introduction = made
    setting = Setting(key, pools, introduction, "", "").for_others(key.sheets.values())
    sheets = list(key.sheets.values())
    told("paper of a learner", len(sheets), lambda: pages_of(setting, sheets))
    several = [(0, replace(each, key=None)) for each in sample_marks(key).marked]
    told("feedback for a learner", len(several), lambda: feedback_pages([key], "", {}, several))
    from desk_time import hand_in, mark

    with tempfile.TemporaryDirectory() as folder:
        hand_in(key, Path(folder), len(sheets))
        told("answers of a learner read, marked", len(sheets), lambda: mark(Path(folder), key))


if __name__ == "__main__":
    main()
