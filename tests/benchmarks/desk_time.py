"""How long the tutor's desk takes: papers for a class, sealing, marking, feedback pages, exports;
and that memory stays flat.

    python tests/benchmarks/desk_time.py [LEARNERS] [FILES]

CPU seconds of this process (`time.process_time`): other programs on the machine do not count.
Printed, never asserted. Goals on two cores: 1,000 papers of 20 questions with 4 drawings in 3 s,
beside the working of the questions; 10,000 answer files read, checked, marked and put into
marks.csv in 15 s. Memory is the most that Python held at once (`tracemalloc`), in a run of its own:
what a class ten times as large needs more.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tools"), str(ROOT / "tests")]

from firstway.desk.analysis.class_analysis import analysis_of  # noqa: E402
from firstway.desk.analysis.class_report import report_html  # noqa: E402
from firstway.desk.analysis.feedback import feedback_html  # noqa: E402
from firstway.desk.analysis.simulating import Planted, simulated  # noqa: E402
from firstway.desk.answers.answer_files import FORMAT  # noqa: E402
from firstway.desk.answers.handing_in import handed_in  # noqa: E402
from firstway.desk.exports.results import results_files  # noqa: E402
from firstway.desk.marking.marking_class import class_marks  # noqa: E402
from firstway.desk.marking_run import chapter_titles, marks_csv  # noqa: E402
from firstway.desk.papers import making as desk  # noqa: E402
from firstway.desk.papers.editions import Editions, editions_in  # noqa: E402
from firstway.desk.papers.key import PaperKey  # noqa: E402
from firstway.desk.shared.sheets import feedback_style, style_of  # noqa: E402
from firstway.quiz.paper.recipe import questions_of, recipe_from_yaml  # noqa: E402
from firstway.quiz.shelf import shelf_from  # noqa: E402

RECIPE = ROOT / "quiz/papers/class-board-test.yaml"
PAPERS_GOAL, MARKING_GOAL = 3.0, 15.0


def timed(name: str, count: int, work: Callable[[], Any], goal: float = 0.0) -> Any:
    """Run once, print CPU seconds, each, and the ratio to the goal."""
    begun = time.process_time()
    done = work()
    taken = time.process_time() - begun
    ratio = f"   {taken / goal:5.2f} of the goal of {goal:g} s" if goal else ""
    print(
        f"{name:34} {count:6}   {taken:7.2f} s   {taken / max(1, count) * 1000:7.2f} ms"
        f" each{ratio}",
        flush=True,
    )
    return done


def class_file(folder: Path, learners: int) -> Path:
    path = folder / f"class-{learners}.csv"
    path.write_text(
        "code\n" + "".join(f"K{number:05}\n" for number in range(learners)), encoding="utf-8"
    )
    return path


def write_papers(learners: int, folder: Path) -> None:
    """What `paper` does once the questions are worked; then a tenth and the whole again for the
    memory.
    """
    recipe, _ = recipe_from_yaml(RECIPE.read_text(encoding="utf-8"), RECIPE.name)
    shelf, _ = shelf_from(ROOT)
    assert recipe is not None
    questions, problems = questions_of(shelf.bank, recipe, shelf.chapters)
    sources, draws, secret = (
        desk.desk_sources(ROOT),
        desk.draws_of(recipe.seed, recipe.id),
        desk.new_secret(),
    )
    pools, found = timed(
        "working the questions",
        len(questions),
        lambda: desk.pools_of(questions, sources, draws, desk.variants_wanted(recipe)),
    )
    assert not problems and not found

    def write(count: int, name: str) -> None:
        people = desk.learners_from_csv(
            class_file(folder, count).read_text(encoding="utf-8"), "class.csv"
        )[0]
        key = desk.paper_key(
            recipe, pools, shelf, people, draws, secret, desk.edition_of(questions, sources)
        )
        desk._write(ROOT, folder / name, recipe, pools, key, people, lambda text: None)
        shutil.rmtree(folder / "again", ignore_errors=True)

    timed("papers", learners, lambda: write(learners, "paper"), PAPERS_GOAL * learners / 1000)
    for count in (max(1, learners // 10), learners):
        print(
            f"{'memory of papers':34} {count:6}  "
            f" {most_memory(lambda: write(count, 'again')):7.1f} MB"
        )
    sizes = sorted(path.stat().st_size for path in (folder / "paper/hand-out").iterdir())
    drawn = (
        (folder / "paper/hand-out" / f"{recipe.id}-K00000.html")
        .read_text(encoding="utf-8")
        .count("<figure")
    )
    print(f"{'':34} largest paper {sizes[-1] / 1000:.1f} kB, {drawn} drawings, goal 120 kB")


def hand_in(key: PaperKey, folder: Path, count: int) -> None:
    """An answer file for each of the first `count` learners."""
    folder.mkdir(parents=True, exist_ok=True)
    for code, own in simulated(key, list(key.sheets)[:count], Planted(), "benchmark").items():
        data = {
            "format": FORMAT,
            "paper": own.paper,
            "paper_version": own.version,
            "learner": code,
            "issue": own.issue,
            "answers": dict(own.answers),
            "begun": own.begun,
            "saved": own.saved,
        }
        (folder / f"{code}.json").write_text(json.dumps(data), encoding="utf-8")


def mark(folder: Path, key: PaperKey, unseal: Any = None) -> tuple[Any, str]:
    """Read, check, mark, CSV."""
    answers, aside = handed_in(folder, unseal)
    marks = class_marks(Editions(key), answers, (), aside)
    return marks, marks_csv(marks)


def seal(folder: Path, into: Path, key: Any) -> None:
    """Seal every answer file as the page does, for timing the opening alone."""
    import base64
    import os

    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import padding
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    into.mkdir()
    public, word = key.public_key(), lambda content: base64.b64encode(content).decode()
    for path in folder.iterdir():
        content, inner, start = path.read_bytes(), AESGCM.generate_key(256), os.urandom(12)
        data = json.loads(content)
        wrapped = public.encrypt(
            inner, padding.OAEP(padding.MGF1(hashes.SHA256()), hashes.SHA256(), None)
        )
        (into / path.name).write_text(
            json.dumps(
                {
                    "format": "firstway sealed answers 1",
                    "paper": data["paper"],
                    "learner": data["learner"],
                    "key": word(wrapped),
                    "iv": word(start),
                    "sealed": word(AESGCM(inner).encrypt(start, content, None)),
                }
            ),
            encoding="utf-8",
        )


def most_memory(work: Callable[[], Any]) -> float:
    """MB that Python held at once, at most, beyond what it held before."""
    tracemalloc.start()
    work()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return most / 1e6


def main(learners: int, files: int) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_papers(learners, folder)
        editions, problems = editions_in(folder / "paper/desk")
        assert editions is not None and not problems
        key = editions.newest
        if files > learners:  # marking needs sheets, not papers
            key = with_sheets(key, files)
        hand_in(key, folder / "answers", files)
        marks, _ = timed(
            "marking: read, check, mark, CSV",
            files,
            lambda: mark(folder / "answers", key),
            MARKING_GOAL * files / 10_000,
        )
        assert len(marks.marked) == files and not marks.aside
        found = timed("analysis of the class", files, lambda: analysis_of(marks))
        style, dressed, titles = style_of(ROOT), feedback_style(ROOT), chapter_titles(ROOT)
        timed("report", 1, lambda: report_html(marks, found, style))
        timed(
            "feedback pages",
            min(files, 1000),
            lambda: [len(feedback_html(key, own, dressed, titles)) for own in marks.marked[:1000]],
        )
        timed(
            "results in open formats",
            files,
            lambda: sum(len(text) for _, text in results_files(marks)),
        )
        sealing(folder, key, min(files, 500))
        shutil.rmtree(folder / "answers")
        for count in (files // 10, files):
            hand_in(key, folder / "answers", count)
            print(
                f"{'memory of marking':34} {count:6}  "
                f" {most_memory(lambda: mark(folder / 'answers', key)):7.1f} MB"
            )


def sealing(folder: Path, key: PaperKey, count: int) -> None:
    try:
        from firstway.desk.answers.sealing import private_key, unsealer

        own, problems = private_key(folder / "tutor.pem", make=True)
    except ImportError:
        print("sealing: cryptography is not installed, not timed")
        return
    assert not problems
    hand_in(key, folder / "few", count)
    timed("sealing", count, lambda: seal(folder / "few", folder / "sealed", own))
    marks, _ = timed(
        "marking sealed files", count, lambda: mark(folder / "sealed", key, unsealer(own))
    )
    assert len(marks.marked) == count


def with_sheets(key: PaperKey, count: int) -> PaperKey:
    """The key with more sheets, each a copy of one that was given out."""
    from dataclasses import replace

    own = list(key.sheets.values())
    sheets = {
        f"K{number:05}": replace(own[number % len(own)], code=f"K{number:05}")
        for number in range(count)
    }
    return replace(key, sheets=sheets)


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else 1000,
        int(sys.argv[2]) if len(sys.argv) > 2 else 10_000,
    )
