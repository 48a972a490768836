"""Changed and grown files of every kind: each gives a result or its problems with their lines; none
a traceback, a hang or a flood.

Every file is read in a process of its own, forked from one that has everything imported: it may
take 30 seconds of the processor and 200 MB beside what a command needs anyway (about 80 MB).
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import resource
import shutil
import signal
import sys
import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from typing import Any

from bending import bent
from frame import ROOT, Tried

CASES = 10_000
CPU_SECONDS, LARGEST_MB = 30, 200
SHOWN = re.compile(r"[^\x00-\x1f\x7f]*", re.DOTALL)
LINE = re.compile(r"(?P<file>.+?):(?P<line>\d+): (?P<said>.+); (?P<hint>.+)", re.DOTALL)
# What is wrong with a file as a whole has no line of its own.
WHOLE = re.compile(r"larger than|: this is a |cannot have this name")
Problems = Iterable[Any]


@dataclass(frozen=True)
class Kind:
    """A kind of file: how often it is drawn, good files of it, and what uses one at a path; it
    gives the problems.
    """

    weight: int
    good: tuple[Path, ...]
    use: Callable[[Path, Random], Problems]


@dataclass
class Warm:
    """Everything that is read once and inherited by each process."""

    kinds: dict[str, Kind]


def prepared(folder: Path) -> Warm:
    """Read the project once: what the guide needs, with its questions' sources."""
    from firstway import cli
    from firstway.pages.gathering import gathered
    from firstway.pages.quizzes.quiz_drawings import question_sources

    guide, _, problems = gathered(ROOT)
    assert not problems, problems
    shelf = guide.project.shelf
    with contextlib.redirect_stdout(io.StringIO()):
        for command in (["check"], ["work"], ["draw", "board"]):
            cli.main([command[0], str(ROOT / "diagrams/marram.yaml"), *command[1:]])
    return Warm(kinds_of(guide, shelf, question_sources(guide.project, drawn=False), folder))


def kinds_of(guide: Any, shelf: Any, sources: Any, folder: Path) -> dict[str, Kind]:
    """Every kind of file with what reads it, as the commands do."""

    def found(*patterns: str) -> tuple[Path, ...]:
        return tuple(
            sorted(
                path
                for pattern in patterns
                for path in ROOT.glob(pattern)
                if path.name != "mistakes.yaml"
            )
        )

    class_file, corrections = folder / "class.csv", folder / "corrections.csv"
    class_file.write_text("code,name\nA1,Ada\nB2,Bo\nC3,Cy\n", encoding="utf-8")
    corrections.write_text(
        "question,what,answer,reason\npick,all-right,,misprint\ntype,also-right,4.3,rounding\n"
        "row,leave-out,,not"
        " taught\n",
        encoding="utf-8",
    )
    answers = folder / "answers.json"
    answers.write_text(json.dumps(_answer_file()), encoding="utf-8")
    return {
        "installation": Kind(34, found("diagrams/*.yaml"), _command),
        "bank": Kind(17, found("quiz/bank/*.yaml"), lambda path, draw: _bank(path, shelf, sources)),
        "paper": Kind(
            8,
            found("quiz/papers/*.yaml", "quiz/classes/*.yaml"),
            lambda path, draw: _paper(path, shelf, sources, guide),
        ),
        "outcomes": Kind(
            5, (ROOT / "quiz/outcomes.yaml",), lambda path, draw: _outcomes(path, shelf, guide)
        ),
        "glossary": Kind(
            6, (ROOT / "content/glossary.yaml",), lambda path, draw: _glossary(path, guide)
        ),
        "mistakes": Kind(
            8, (ROOT / "diagrams/mistakes.yaml",), lambda path, draw: _mistakes(path, guide, draw)
        ),
        "chapter": Kind(13, found("content/**/*.md"), lambda path, draw: _chapter(path, guide)),
        "class": Kind(
            3, (*found("quiz/classes/*.csv"), class_file), lambda path, draw: _class(path)
        ),
        "corrections": Kind(3, (corrections,), lambda path, draw: _corrections(path)),
        "answers": Kind(3, (answers,), lambda path, draw: _answers(path)),
    }


def _command(path: Path, draw: Random) -> Problems:
    from firstway import cli

    command = draw.choice(
        (
            ["check", str(path)],
            ["check", str(path), "--json"],
            ["work", str(path)],
            ["work", str(path), "--json"],
            *(["draw", str(path), view] for view in cli.DRAWN_VIEWS),
        )
    )
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = cli.main(command)
    assert code in (0, 1, 2), f"exit {code}"
    if code == 2:
        assert not out.getvalue(), "problems, and something written all the same"
        return err.getvalue().splitlines()
    assert out.getvalue().strip() and not err.getvalue(), (
        f"{command[0]} gave nothing, or complained with exit {code}"
    )
    return []


def _text(path: Path) -> tuple[str, list[Any]]:
    from firstway.files.disk import text_of_file

    return text_of_file(path)


def _bank(path: Path, shelf: Any, sources: Any) -> Problems:
    from firstway.desk.exports.qti import item_xml  # noqa: F401  # packages use the same questions
    from firstway.quiz.bank.question import unknown_outcomes
    from firstway.quiz.forms.lint import as_seen, flaws_of, flaws_of_bank, flaws_of_variants
    from firstway.quiz.forms.values import FEWEST_VARIANTS, variants, worked
    from firstway.quiz.paper.page import quiz_html
    from firstway.quiz.questions import ids_used_twice, questions_from_yaml

    text, problems = _text(path)
    if problems:
        return problems
    questions, problems = questions_from_yaml(text, str(path))
    problems += [*ids_used_twice(questions), *unknown_outcomes(questions, shelf.chapters)]
    sound = []
    for question in questions:
        made, found = worked(question, sources, question.file)
        problems += found
        if made is not None:
            problems += flaws_of(made)
            sound.append(made)
            if question.vary:
                problems += flaws_of_variants(
                    question,
                    variants(question, sources, FEWEST_VARIANTS, question.file),
                    FEWEST_VARIANTS,
                )
    problems += flaws_of_bank([as_seen(each) for each in sound])
    if not problems and sound:
        quiz_html("Tried", sound, "seed", quiz_id="tried", outcomes={}, others={})
    return problems


def _paper(path: Path, shelf: Any, sources: Any, guide: Any) -> Problems:
    from firstway.desk.papers.making import pools_of
    from firstway.pages.quizzes.quiz_pages import _sets, pages_of_outcomes, quiz_sheet
    from firstway.quiz.bank.question import outcome_texts
    from firstway.quiz.paper.recipe import questions_of, recipe_from_yaml

    text, problems = _text(path)
    if problems:
        return problems
    recipe, problems = recipe_from_yaml(text, str(path))
    if recipe is None or problems:
        return problems
    questions, problems = questions_of(shelf.bank, recipe, shelf.chapters)
    if problems:
        return problems
    if recipe.use == "assigned":
        return pools_of(questions[:3], sources, b"secret", recipe.variants)[1]
    sets = [
        made for question in questions[:6] if (made := _sets(question, recipe, sources, problems))
    ]
    if not problems and sets:
        quiz_sheet(
            recipe, sets, outcome_texts(list(shelf.chapters)), pages_of_outcomes(guide.project)
        )
    return problems


def _outcomes(path: Path, shelf: Any, guide: Any) -> Problems:
    from firstway.pages.chapters.chapter_check import chapters_problems
    from firstway.pages.chapters.ways_in import list_of_chapters
    from firstway.pages.shared.guide import Guide
    from firstway.pages.tutors.teaching_page import teaching_page
    from firstway.quiz.bank.question import outcomes_from_yaml, unknown_outcomes

    text, problems = _text(path)
    chapters, found = outcomes_from_yaml(text, str(path)) if not problems else ([], [])
    problems = [*problems, *found]
    if chapters and not problems:
        changed = replace(guide.project, shelf=replace(shelf, chapters=tuple(chapters)))
        # Pages and questions that miss an outcome are told in their own files.
        unknown_outcomes(shelf.bank, chapters), chapters_problems(changed)
        teaching_page(changed), list_of_chapters(Guide(changed))
    return problems


def _glossary(path: Path, guide: Any) -> Problems:
    from firstway.pages.reference.glossary_page import glossary_page
    from firstway.pages.shared.glossary import glossary_from_yaml

    text, problems = _text(path)
    entries, found = glossary_from_yaml(text, str(path)) if not problems else ((), [])
    if entries and not found:
        glossary_page(replace(guide.project, glossary=entries))
    return [*problems, *found]


def _mistakes(path: Path, guide: Any, draw: Random) -> Problems:
    from firstway.choosing.mistaking import made, makable
    from firstway.model.mistakes import mistakes_from_yaml
    from firstway.problems import Problems as Told

    text, problems = _text(path)
    mistakes, found = mistakes_from_yaml(text, str(path)) if not problems else ((), [])
    problems = [*problems, *found]
    job = draw.choice(guide.project.jobs)
    for mistake in draw.sample(mistakes, min(6, len(mistakes))) if not problems else ():
        try:
            for bound in makable(job, mistake)[:1]:
                list(made(job, bound).after.findings)
        except Told as told:
            problems += told.problems
    return problems


def _chapter(path: Path, guide: Any) -> Problems:
    import markdown

    from firstway.pages.chapters.chapter_check import chapter_problems
    from firstway.pages.chapters.directives import answers
    from firstway.pages.chapters.safe_markup import markup_problems, running_markup
    from firstway.pages.shared.front_matter import front_matter
    from firstway.pages.shared.project import Chapter

    text, problems = _text(path)
    if problems:
        return problems
    front, problems = front_matter(text, str(path))
    page = Chapter("chapters/tried.md", str(path), text, front)
    others = (each for each in guide.project.chapters if each.front.chapter != front.chapter)
    with_it = replace(guide.project, chapters=(*others, page))
    body, _, found = answers(page, replace(guide, project=with_it))
    problems = [
        *problems,
        *found,
        *markup_problems(text, str(path)),
        *(chapter_problems(page, with_it) if front.chapter else []),
    ]
    if not problems and len(body) < 200_000:
        html = markdown.markdown(
            body,
            extensions=[
                "admonition",
                "attr_list",
                "tables",
                "def_list",
                "pymdownx.details",
                "pymdownx.tabbed",
            ],
        )
        assert not running_markup(html), f"Markdown made of it what runs: {running_markup(html)}"
    return problems


def _class(path: Path) -> Problems:
    from firstway.desk.papers.class_list import learners_from_csv

    text, problems = _text(path)
    return problems or learners_from_csv(text, str(path))[1]


def _corrections(path: Path) -> Problems:
    from desk_class import CODES, FORMS

    from firstway.desk.answers.corrections import corrections_from_csv

    text, problems = _text(path)
    return problems or corrections_from_csv(text, str(path), list(FORMS), list(CODES))[1]


def _answer_file() -> dict[str, Any]:
    from desk_class import answer_file

    return answer_file("L01")


def _answers(path: Path) -> Problems:
    from desk_class import hand_made_key

    from firstway.desk.answers.answer_files import HandedIn, opened
    from firstway.desk.marking.marking_class import class_marks
    from firstway.desk.papers.editions import Editions

    found = opened(path.read_bytes(), path.name)
    editions = Editions(hand_made_key())
    if isinstance(found, HandedIn):
        class_marks(editions, [found], (), ())
    else:
        assert str(found), "set aside without a reason"
    return []


# ---- one file in a process of its own


def tried(warm: Warm, draw: Random, folder: Path) -> Tried:
    """Bend one file and use it."""
    name = draw.choices(list(warm.kinds), [kind.weight for kind in warm.kinds.values()])[0]
    kind = warm.kinds[name]
    good = draw.choice(kind.good)
    path = folder / good.name
    path.write_bytes(bent(good.read_text(encoding="utf-8"), draw))
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _in_the_child(kind, path, Random(draw.random()), writing)
    os.close(writing)
    with open(reading, "rb") as pipe:
        said = pipe.read()
    _, status, used = os.wait4(child, 0)
    seconds = used.ru_utime + used.ru_stime
    if os.WIFSIGNALED(status):
        why = (
            "a hang"
            if os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL)
            else f"signal {os.WTERMSIG(status)}"
        )
        return _with_copy(
            name,
            path,
            draw,
            f"{name} {good.name}: {why} after {seconds:.0f} s",
            {"CPU seconds of a file": seconds},
        )
    found = json.loads(said)
    measures = {
        "CPU seconds of a file": seconds,
        "MB beside what a command needs": found["grown_mb"],
    }
    counts = {
        f"{name} files": 1,
        f"{name} files with problems": int(bool(found["problems"])),
        "problems told": len(found["problems"]),
    }
    if found["trace"]:
        return _with_copy(
            name, path, draw, f"{name} {good.name}: {found['trace']}", measures, counts
        )
    troubles = [
        trouble for problem in found["problems"] if (trouble := _wrong_with(problem, str(path)))
    ]
    if found["grown_mb"] > LARGEST_MB:
        troubles.append(f"{found['grown_mb']:.0f} MB")
    return (
        _with_copy(name, path, draw, f"{name} {good.name}: {troubles[0]}", measures, counts)
        if troubles
        else Tried((), measures, counts)
    )


def _with_copy(
    name: str,
    path: Path,
    draw: Random,
    trouble: str,
    measures: dict[str, float],
    counts: dict[str, int] | None = None,
) -> Tried:
    """A trouble, with the file that made it kept in the cache folder."""
    kept = (
        ROOT / ".cache" / "campaigns" / "files" / f"{name}-{draw.randrange(16**6):06x}{path.suffix}"
    )
    kept.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(path, kept)
    return Tried((f"{trouble}\n    kept as {kept}",), measures, counts or {})


def _wrong_with(problem: str, file: str) -> str:
    """What is wrong with a problem as it is told, or ""."""
    if not SHOWN.fullmatch(problem):
        return f"control characters: {problem[:200]!r}"
    if not problem.startswith(file) or WHOLE.search(problem):
        return ""
    found = LINE.fullmatch(problem)
    if found is None or int(found["line"]) < 1:
        return f"no line, or nothing to do about it: {problem.removeprefix(file)[:300]}"
    return ""


def _in_the_child(kind: Kind, path: Path, draw: Random, writing: int) -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS + 5))
    signal.signal(signal.SIGXCPU, signal.SIG_DFL)
    # Ten times what is allowed: a flood ends here, not with the machine.
    resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
    sys.setrecursionlimit(1000)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    problems: list[str] = []
    trace = ""
    try:
        problems = [str(problem) for problem in kind.use(path, draw)]
    except BaseException:
        from firstway.problems import Problems as Told

        error = sys.exc_info()[1]
        if isinstance(error, Told):
            problems = [str(problem) for problem in error.problems]
        else:
            trace = "".join(traceback.format_exc()[-1500:])
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    with open(writing, "wb") as pipe:
        pipe.write(
            json.dumps({"problems": problems, "trace": trace, "grown_mb": grown}).encode(
                "utf-8", "surrogatepass"
            )
        )
    os._exit(0)
