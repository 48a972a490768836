"""Desk: a recipe and a class to papers: a page for each learner without any key, and the tutor's
folder.

    OUT/paper/hand-out/PAPER-CODE.html    one self-contained page a learner; printed, it is a
                                          booklet with an answer sheet
    OUT/paper/desk/                       key, marking scheme, issue list, secret, earlier editions:
                                          never leaves the desk
    OUT/answers/                          where answers that come back as files are put
    OUT/typed/                            tables for answers on paper, ready for the class
    OUT/corrections.csv                   the tutor's corrections of the key, if any

`OUT/paper` is replaced in one step and keeps the key of every edition it replaces; `answers`,
`corrections.csv` and tables in which something was typed are never touched once they are there.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import replace
from functools import partial
from hashlib import sha256
from itertools import chain
from pathlib import Path
from typing import Any

from firstway.desk.answers.corrections import CORRECTIONS_FILE, CORRECTIONS_HEAD
from firstway.desk.answers.handing_in import files_in
from firstway.desk.papers.class_list import learners_from_csv
from firstway.desk.papers.drawing_lots import (
    ARRANGEMENTS,
    alias_of,
    draws_of,
    lot,
    order_for,
    why_no_seed,
)
from firstway.desk.papers.editions import KEY, difference, editions_in, keep_earlier, key_in
from firstway.desk.papers.key import Asked, LearnerSheet, PaperKey, Version, text_of_key
from firstway.desk.papers.marking_scheme import scheme_html, working_lines
from firstway.desk.papers.pictures import FILE as PICTURES_FILE
from firstway.desk.papers.pictures import picture_id, text_of_pictures
from firstway.desk.papers.secret import SECRET_FILE as SECRET_FILE
from firstway.desk.papers.secret import issue_code, new_secret, secret_from
from firstway.desk.papers.typed_tables import TYPED_FOLDER as TYPED_FOLDER
from firstway.desk.papers.typed_tables import anything_typed, tables_due
from firstway.desk.shared.csv_tables import csv_text
from firstway.desk.shared.sheets import (
    page_html,
    paper_style,
    slim_style,
    style_of,
)
from firstway.drawing.ink import page_stylesheet
from firstway.drawing.question_spots import pictured
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import widths_stylesheet
from firstway.files.disk import text_of_file
from firstway.files.folders import ROOM_PREFIX, Room, room_for, room_in, settle_rooms
from firstway.files.locking import alone_in
from firstway.frozen import dataclass
from firstway.problems import Problem, visible
from firstway.quiz.bank.question import Question, asked_line, asked_of, outcome_texts
from firstway.quiz.class_files import Learner
from firstway.quiz.forms.drawings import Picture, parts_of
from firstway.quiz.forms.lint import flaws_of
from firstway.quiz.forms.shown_question import shown_question
from firstway.quiz.forms.sources import DrawingOf, Pictured, Sources, StageText, sources_from
from firstway.quiz.forms.values import variants, worked
from firstway.quiz.forms.worked_question import WorkedQuestion, content_text, text_of
from firstway.quiz.paper.recipe import Recipe, questions_of, recipe_from_yaml
from firstway.quiz.paper.scripts import paper_script, slim_script
from firstway.quiz.paper.setting import SetQuestion, frame_of, paper_html, set_question
from firstway.quiz.shelf import Shelf, shelf_from
from firstway.rendering.figures import json_text
from firstway.rendering.html import Markup, edition_line
from firstway.spreading.spread import spread
from firstway.spreading.workers import ONE_PROCESS, Workers

Progress = Callable[[str], None]
_MOST_VARIANTS = 8
"""Sets of figures of one question over a class: each is in the marking scheme, worked."""
PLACE = "paper"
_TOGETHER = 20  # papers of one part: each is little work once its questions are set


@dataclass(frozen=True)
class Pool:
    """Every version of one question that may be given out: by set of figures, then by
    arrangement.
    """

    question: Question
    alias: str
    versions: tuple[tuple[WorkedQuestion, ...], ...]
    """As learners meet them: each bears the alias in place of its id."""

    def version(self, draws: bytes, code: str) -> tuple[str, WorkedQuestion]:
        """The learner's own version with its name."""
        figures = lot(draws, code, self.question.id, "figures", len(self.versions))
        arrangement = lot(draws, code, self.question.id, "arrangement", len(self.versions[figures]))
        return f"v{figures}a{arrangement}", self.versions[figures][arrangement]


SealFor = Callable[[], tuple[Mapping[str, Any], list[Problem]]]
"""Gives the public key that answers are sealed for; where there is no private key yet, it is made
now."""


def make_papers(
    root: Path,
    recipe_file: Path,
    class_file: Path,
    out: Path,
    *,
    seal_for: SealFor | None = None,
    secret_file: Path | None = None,
    progress: Progress = lambda text: None,
    by: Workers = ONE_PROCESS,
) -> tuple[int, list[Problem]]:
    """Write the papers of a class. Gives how many, or every problem; then nothing was written."""
    with alone_in(out) if out.is_dir() else nullcontext():
        return _make_papers(root, recipe_file, class_file, out, seal_for, secret_file, progress, by)


def _make_papers(
    root: Path,
    recipe_file: Path,
    class_file: Path,
    out: Path,
    seal_for: SealFor | None,
    secret_file: Path | None,
    progress: Progress,
    by: Workers,
) -> tuple[int, list[Problem]]:
    settle_rooms(out)
    recipe, learners, problems = _read(recipe_file, class_file)
    problems += place_problems(out)
    old, found = _desk_in_use(out)
    problems += found
    secret, found = _secret(secret_file, out / PLACE / "desk" / SECRET_FILE)
    problems += found
    shelf, found = shelf_from(root)
    problems += [problem for problem in found if not problem.file.startswith("quiz/papers/")]
    questions: list[Question] = []
    if recipe is not None and not problems:
        questions, found = questions_of(shelf.bank, recipe, shelf.chapters)
        problems += found
    if recipe is None or problems:
        return 0, sorted(set(problems))
    progress("working the questions")
    draws = draws_of(recipe.seed, recipe.id)
    sources = desk_sources(root)
    pools, problems = pools_of(questions, sources, draws, variants_wanted(recipe))
    if problems:
        return 0, problems
    key = paper_key(recipe, pools, shelf, learners, draws, secret, edition_of(questions, sources))
    problems = _edition_problems(out, key, old)
    if problems:
        return 0, problems
    public_key, problems = _public_key(out, seal_for, old)
    if problems:
        return 0, problems
    key = replace(key, public_key=public_key)
    try:
        with _room(out) as (room, new):
            _write(root, new / PLACE, recipe, pools, key, learners, progress, by)
            _write_secret(new / PLACE / "desk" / SECRET_FILE, secret)
            keep_earlier(out / PLACE / "desk", new / PLACE / "desk", key)
            names = [PLACE, *_write_once(new, out, key)]
            room.put_in_place(names if out.is_dir() else ())
    except OSError as error:
        return 0, [
            Problem(
                str(error.filename or out),
                0,
                f"the folder cannot be written ({error.strerror})",
                "close programs that use it, or name another folder with -o",
            )
        ]
    return len(learners), []


def _desk_in_use(out: Path) -> tuple[PaperKey | None, list[Problem]]:
    """The newest key of a folder that is used again; None of a new one.

    A key that cannot be read is not written over.
    """
    if not (out / PLACE / "desk" / KEY).exists():
        return None, []
    editions, problems = editions_in(out / PLACE / "desk")
    return (editions.newest, []) if editions is not None else (None, problems)


def _secret(named: Path | None, own: Path) -> tuple[str, list[Problem]]:
    """The desk's secret: the one that was named, else the folder's own, else a new one."""
    if named is None and not own.exists():
        return new_secret(), []
    return secret_from(named or own)


def _edition_problems(out: Path, key: PaperKey, old: PaperKey | None) -> list[Problem]:
    """Answers to one edition are not put beside the papers of another: they would be marked last,
    or never.
    """
    why = difference(key, old) if old is not None else ""
    if not why or not answers_lie_in(out):
        return []
    return [
        Problem(
            out.as_posix(),
            0,
            f"answers lie here already, and these papers would be another edition: {why}",
            "name a new folder with -o; or put back recipe, seed and secret as they were",
        )
    ]


def answers_lie_in(out: Path) -> bool:
    """Whether something was handed in or typed."""
    if (out / "answers").is_dir() and next(files_in(out / "answers"), None) is not None:
        return True
    return anything_typed(out / TYPED_FOLDER)


def _public_key(
    out: Path, seal_for: SealFor | None, old: PaperKey | None
) -> tuple[Mapping[str, Any] | None, list[Problem]]:
    """Whom answers are sealed for.

    What a paper began sealed stays sealed, whether the key is named again or not.
    """
    began = old.public_key if old is not None else None
    if seal_for is None:
        return began, []
    given, problems = seal_for()
    if not problems and began is not None and began["n"] != given["n"]:
        return None, [
            Problem(
                "--key",
                0,
                f"the papers in {out.as_posix()} are sealed for another key",
                "name the key they began with, leave --key out, or name a new folder with -o",
            )
        ]
    return given, problems


def _write_secret(path: Path, secret: str) -> None:
    """For the tutor's eyes alone, as far as the system has such files."""
    with os.fdopen(
        os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii"
    ) as file:
        file.write(f"{secret}\n")


def sealed_since_before(out: Path) -> bool:
    """Whether the papers in a folder seal answers."""
    key, _ = key_in(out / PLACE / "desk")
    return key is not None and key.public_key is not None


def coverage_lines(out: Path) -> list[str]:
    """What the papers in a folder ask, a line an outcome."""
    key, _ = key_in(out / PLACE / "desk")
    return (
        [
            asked_line(row)
            for row in asked_of(
                key.questions, [("", id_, text) for id_, text in key.outcomes.items()]
            )
        ]
        if key
        else []
    )


def variants_wanted(recipe: Recipe) -> int:
    """Sets of figures a question may have on this paper."""
    return min(_MOST_VARIANTS, recipe.variants)


def _read(
    recipe_file: Path, class_file: Path
) -> tuple[Recipe | None, tuple[Learner, ...], list[Problem]]:
    text, problems = text_of_file(recipe_file)
    recipe = None
    if not problems:
        recipe, problems = recipe_from_yaml(text, recipe_file.as_posix())
    why = why_no_seed(recipe.seed) if recipe is not None else ""
    if recipe is not None and why:
        problems = [
            *problems,
            Problem(
                recipe_file.as_posix(),
                recipe.lines_of["seed"],
                why,
                "write words of your own into a copy that nobody else can read",
            ),
        ]
    if recipe is not None and recipe.use != "assigned":
        problems = [
            *problems,
            Problem(
                recipe_file.as_posix(),
                1,
                "this recipe is for practice: its questions are in the guide with their answers",
                "name a recipe with `use: assigned`",
            ),
        ]
    text, found = text_of_file(class_file)
    learners: tuple[Learner, ...] = ()
    if not found:
        learners, found = learners_from_csv(text, class_file.as_posix())
    return recipe, learners, [*problems, *found]


def place_problems(out: Path) -> list[Problem]:
    """Only a new folder, an empty one or one of ours is written to."""
    if out.exists() and not out.is_dir():
        return [
            Problem(out.as_posix(), 0, "this is a file, not a folder", "name a new folder with -o")
        ]
    if (
        out.is_dir()
        and not (out / PLACE / "desk" / KEY).exists()
        and any(not each.name.startswith(ROOM_PREFIX) for each in out.iterdir())
    ):
        return [
            Problem(
                out.as_posix(),
                0,
                "this folder holds something that is not a set of papers",
                "name a new or empty folder with -o",
            )
        ]
    return []


def desk_sources(root: Path) -> Sources:
    """Installations, mistakes and drawings of the project for questions."""
    return sources_from(
        root,
        _drawing_of,
        lambda job: [StageText(stage.id, stage.title, stage.reason) for stage in stages_of(job)],
    )


def _drawing_of(wanted: DrawingOf) -> Pictured | None:
    found = pictured(
        wanted.job,
        wanted.view,
        wanted.prefix,
        wanted.places,
        wanted.letters,
        stage=wanted.stage,
        overlay=wanted.overlay,
        chart=wanted.chart,
        circuit=wanted.circuit,
        picture=wanted.picture,
        part=wanted.part,
    )
    return Pictured(*found) if found else None


def pools_of(
    questions: Sequence[Question], sources: Sources, draws: bytes, most: int
) -> tuple[list[Pool], list[Problem]]:
    """Every version of every question, and what is wrong with any."""
    pools: list[Pool] = []
    problems: list[Problem] = []
    for question in questions:
        first, found = worked(question, sources)
        problems += found
        if first is None:
            continue
        problems += flaws_of(first)
        sets = [each.variant for each in variants(question, sources, most)]
        alias = alias_of(draws, question.id)
        pools.append(
            Pool(
                question,
                alias,
                tuple(_arrangements(question, alias, sources, draws, variant) for variant in sets),
            )
        )
    return pools, sorted(set(problems))


def _arrangements(
    question: Question, alias: str, sources: Sources, draws: bytes, variant: int
) -> tuple[WorkedQuestion, ...]:
    """The orders in which one set of figures is shown; those that come out alike are given once."""
    found: dict[tuple[str, ...], WorkedQuestion] = {}
    for arrangement in range(ARRANGEMENTS):
        made, _ = worked(question, sources, f"{draws.hex()}|{arrangement}", variant)
        if made is not None:
            found.setdefault(
                shown_question(made).texts, replace(made, question=replace(question, id=alias))
            )
    return tuple(found.values())


def edition_of(questions: Sequence[Question], sources: Sources) -> str:
    """The editions that the questions were worked in."""
    jobs = [
        job
        for name in dict.fromkeys(
            question.installation for question in questions if question.installation
        )
        if (job := sources.completed_of(name))
    ]
    return ", ".join(dict.fromkeys(job.installation.edition for job in jobs)) or "see each source"


def paper_key(
    recipe: Recipe,
    pools: Sequence[Pool],
    shelf: Shelf,
    learners: Sequence[Learner],
    draws: bytes,
    secret: str,
    edition: str,
) -> PaperKey:
    """The key.

    Its version depends on what learners see alone: not on the answers, and not on who is in the
    class.
    """
    faces = [
        [
            recipe.id,
            pool.alias,
            [
                [[*shown_question(made).texts, getattr(made.drawing, "svg", "")] for made in row]
                for row in pool.versions
            ],
        ]
        for pool in pools
    ]
    version = sha256(json_text([recipe.title, faces], ensure_ascii=True).encode()).hexdigest()[:10]
    texts = outcome_texts(list(shelf.chapters))
    used = {pool.question.outcome for pool in pools}
    by_id = {pool.question.id: pool for pool in pools}
    sheets = {}
    for learner in learners:
        order = order_for(draws, learner.code, list(by_id))
        sheets[learner.code] = LearnerSheet(
            learner.code,
            issue_code(secret, recipe.id, version, learner.code),
            tuple((id_, by_id[id_].version(draws, learner.code)[0]) for id_ in order),
        )
    drawings = [
        made.drawing
        for pool in pools
        for row in pool.versions
        for made in row
        if made.drawing is not None
    ]
    return PaperKey(
        recipe.id,
        version,
        recipe.title,
        edition,
        {id_: text for id_, text in texts.items() if id_ in used},
        tuple(map(_asked, pools)),
        sheets,
        pictures={picture_id(drawing): drawing for drawing in drawings},
    )


def _asked(pool: Pool) -> Asked:
    question, first = pool.question, pool.versions[0][0]
    versions = {
        f"v{figures}a{place}": _version(f"v{figures}a{place}", made)
        for figures, row in enumerate(pool.versions)
        for place, made in enumerate(row)
    }
    options = {
        option.place: (
            content_text(option.content) + (f" ({option.mistake})" if option.mistake else "")
        )
        for option in sorted(first.options, key=lambda each: each.place)
    }
    return Asked(
        question.id,
        question.outcome,
        question.chapter,
        question.kind,
        question.difficulty,
        question.safety,
        versions,
        options,
        tuple(option.place for option in first.options if option.right),
        pool.alias,
    )


def _version(name: str, made: WorkedQuestion) -> Version:
    places = {option.id: option.place for option in made.options} | {
        item.id: item.place for item in made.items
    }
    choices = {option.id: content_text(option.content) for option in made.options} | {
        item.id: content_text(item.content) for item in made.items
    }
    return Version(
        name,
        made.key,
        text_of(made.stem),
        made.key.answer,
        made.key.why,
        places,
        choices,
        working_lines(made),
        made.variant,
        picture_id(made.drawing) if made.drawing is not None else "",
    )


class Setting:
    """Every version of a paper's questions, set once, and the frame they are put into."""

    def __init__(
        self, key: PaperKey, pools: Sequence[Pool], introduction: str, style: str, script: str
    ) -> None:
        self.title, self.style, self.script = key.title, style, script
        self.pools = {pool.question.id: pool for pool in pools}
        self.frame = frame_of(
            key.title,
            key.paper,
            key.version,
            introduction,
            edition_line(key.edition),
            key.public_key,
        )
        self.set: dict[tuple[str, str], SetQuestion] = {}

    def for_others(self, sheets: Iterable[LearnerSheet]) -> Setting:
        """With every version set that these ask for, and nothing of the key: as another process may
        be given it.
        """
        for pair in dict.fromkeys(pair for sheet in sheets for pair in sheet.asked):
            self.question(*pair)
        self.pools = {}
        return self

    def page(self, sheet: LearnerSheet) -> Markup:
        """One learner's paper: a whole page without any key."""
        questions = [self.question(*pair) for pair in sheet.asked]
        body = paper_html(self.frame, questions, sheet.code, sheet.issue)
        return page_html(
            f"{self.title}: {sheet.code}",
            Markup("<h1>{}</h1>\n{}").format(visible(self.title), body),
            self.style,
            script=self.script,
        )

    def question(self, id_: str, version: str) -> SetQuestion:
        """One version, set when it is first needed."""
        if (id_, version) not in self.set:
            figures, arrangement = (int(part) for part in version[1:].split("a"))
            self.set[id_, version] = set_question(self.pools[id_].versions[figures][arrangement])
        return self.set[id_, version]


def pages_of(setting: Setting, sheets: Sequence[LearnerSheet]) -> list[str]:
    """The papers of a few learners."""
    return [setting.page(sheet) for sheet in sheets]


def _write(
    root: Path,
    new: Path,
    recipe: Recipe,
    pools: Sequence[Pool],
    key: PaperKey,
    learners: Sequence[Learner],
    progress: Progress,
    by: Workers,
) -> None:
    setting = Setting(
        key,
        pools,
        recipe.introduction,
        paper_style(page_style(root, key.pictures.values())),
        slim_script(paper_script()),
    )
    for folder in ("hand-out", "desk"):
        (new / folder).mkdir(parents=True)
    sheets = [key.sheets[learner.code] for learner in learners]
    several = (sheets[at : at + _TOGETHER] for at in range(0, len(sheets), _TOGETHER))
    set_for_all = partial(pages_of, setting.for_others(sheets))
    pages = chain.from_iterable(spread(set_for_all, several, by))
    for place, (learner, page) in enumerate(zip(learners, pages, strict=True), 1):
        if place % 10 == 1 or place == len(learners):
            progress(f"paper {place} of {len(learners)}")
        (new / "hand-out" / f"{recipe.id}-{learner.code}.html").write_text(
            page, encoding="utf-8", newline="\n"
        )
    (new / "desk" / KEY).write_text(text_of_key(key), encoding="utf-8", newline="\n")
    (new / "desk" / PICTURES_FILE).write_text(text_of_pictures(key), encoding="utf-8", newline="\n")
    (new / "desk" / "marking-scheme.html").write_text(
        scheme_html(key, style_of(root)), encoding="utf-8", newline="\n"
    )
    (new / "desk" / "issue-list.csv").write_text(
        _issue_list(recipe, key, learners), encoding="utf-8-sig", newline=""
    )


def page_style(root: Path, pictures: Iterable[Picture] | None = None) -> str:
    """Everything a page of questions is dressed in; of what drawings need, what these need."""
    parts = [each for picture in pictures or () if (each := parts_of(picture))]
    drawn = "".join(each[1] for each in parts)
    known = pictures is not None
    style = slim_style(
        style_of(root, "content/assets/quiz.css")
        + "\n"
        + page_stylesheet(
            "", lifelike=False, numbered=True, stages=not known or "fw-stage-" in drawn
        )
        + widths_stylesheet()
    )
    wanted = set(re.findall(r"--fw-z\w+", drawn))
    if known:  # a least width is taken off a question's drawing; of crops what its classes name
        crops = set(re.findall(r"fw-(?:from|over|cut|top)-\d+", "".join(each[0] for each in parts)))
        style = re.sub(
            r"\.(fw-(?:least|from|over|cut|top)-\d+)\{[^}]*\}",
            lambda one: one[0] if one[1] in crops else "",
            style,
        )
    return re.sub(
        r"(--fw-z\w+):[^;}]*;?",
        lambda one: "" if known and one[1] not in wanted else one[0],
        style,
    )


def _issue_list(recipe: Recipe, key: PaperKey, learners: Sequence[Learner]) -> str:
    rows = [
        (
            learner.code,
            learner.name,
            key.sheets[learner.code].issue,
            f"{recipe.id}-{learner.code}.html",
        )
        for learner in learners
    ]
    return csv_text([("code", "name", "issue code", "file"), *rows])


@contextmanager
def _room(out: Path) -> Iterator[tuple[Room, Path]]:
    """A room and the folder in it that stands for `out`: the whole folder where there is none, else
    what is new in it.
    """
    if out.is_dir():
        with room_in(out) as room:
            yield room, room.new
    else:
        with room_for(out) as room:
            room.fresh.mkdir()
            yield room, room.fresh


def _write_once(new: Path, out: Path, key: PaperKey) -> list[str]:
    """What belongs to the tutor from the first day, and is never written again once it is used.

    Gives the names.
    """
    names = []
    for folder in ("answers", TYPED_FOLDER):
        if not (out / folder).exists():
            (new / folder).mkdir()
            names.append(folder)
    for name, text in tables_due(out / TYPED_FOLDER, key).items():
        (new / TYPED_FOLDER).mkdir(exist_ok=True)
        (new / TYPED_FOLDER / name).write_text(text, encoding="utf-8-sig", newline="")
        names += [] if TYPED_FOLDER in names else [f"{TYPED_FOLDER}/{name}"]
    if not (out / CORRECTIONS_FILE).exists():
        (new / CORRECTIONS_FILE).write_text(CORRECTIONS_HEAD, encoding="utf-8", newline="")
        names.append(CORRECTIONS_FILE)
    return names
