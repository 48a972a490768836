"""Quiz: where the answers come from: complete installations, mistakes, variants; drawings are
handed in as values.

Everything is read and worked when it is first asked for, and once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from firstway.checks.rule import Case
from firstway.choosing.completing import Completed, completed
from firstway.choosing.mistaking import makable
from firstway.files.disk import name_problems, text_of_file
from firstway.files.plain_values import suggestion
from firstway.files.reads import MadeOnce
from firstway.files.yaml_reader import Text
from firstway.frozen import dataclass
from firstway.model.installation import Installation
from firstway.model.mistakes import Mistake, mistaken, mistakes_from_yaml, with_key
from firstway.model.reading import installation_from_yaml
from firstway.problems import Problem
from firstway.quiz.forms.drawings import Picture
from firstway.quiz.forms.worked_question import StepOf
from firstway.wiring.deriving import problems_of_wiring
from firstway.workings.working_through import not_worked_yet

Changes = tuple[tuple[str, str], ...]
"""Keys of an installation and the values they are given, as a file writes them."""


@dataclass(frozen=True)
class DrawingOf:
    """The drawing a question asks for. `job` is what is drawn: varied, and with its mistake made.

    `places` are to be marked with `letters`; `prefix` keeps the ids of the drawing apart.
    """

    job: Completed
    view: str
    prefix: str
    stage: str = ""
    overlay: str = ""
    chart: str = ""
    circuit: str = ""
    places: tuple[str, ...] = ()
    letters: tuple[str, ...] = ()
    picture: str = ""
    part: str = ""


@dataclass(frozen=True)
class Pictured:
    """A drawing with its spots: the words for each place, and the places it does not show."""

    drawn: Picture
    words: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class StageText:
    """A stage of a job's fitting, as a step to put in order."""

    id: str
    title: str
    reason: str


@dataclass(frozen=True)
class Sources:
    """Everything a question of the bank can refer to.

    `varied` gives an installation with some keys changed, worked anew; sizes chosen for it stay as
    they were, as on a board that is fitted already, and it holds no findings. Without `drawing_of`
    questions have no drawing; without `stages_of` no order can be made from the stages of a job.
    `step_of` stands for the steps of all installations where only those are at hand; `step_in`
    gives one step of an installation as it stands to whoever rests on nothing else of it.
    """

    completed_of: Callable[[str], Completed | None]
    mistakes: tuple[Mistake, ...] = ()
    drawing_of: Callable[[DrawingOf], Pictured | None] | None = None
    varied: Callable[[str, Changes], Completed | None] = lambda name, changes: None
    stages_of: Callable[[Completed], Sequence[StageText]] | None = None
    step_of: StepOf | None = None
    step_in: StepOf | None = None


def sources_from(
    root: Path,
    drawing_of: Callable[[DrawingOf], Pictured | None] | None = None,
    stages_of: Callable[[Completed], Sequence[StageText]] | None = None,
) -> Sources:
    """The sources of a project folder.

    An installation that cannot be read or worked is as if it were not there.
    """
    found: dict[str, Completed | None] = {}

    def completed_of(name: str) -> Completed | None:
        if name not in found:
            found[name] = _completed(root, name)
        return found[name]

    text, problems = text_of_file(root / "diagrams" / "mistakes.yaml", "diagrams/mistakes.yaml")
    mistakes = mistakes_from_yaml(text, "diagrams/mistakes.yaml")[0] if not problems else ()
    return sources_with(completed_of, mistakes, drawing_of, stages_of)


_HELD = (
    250  # varied installations, some 0.1 MB each: checking a question asks for those of its sets
)


def sources_with(
    completed_of: Callable[[str], Completed | None],
    mistakes: Sequence[Mistake] = (),
    drawing_of: Callable[[DrawingOf], Pictured | None] | None = None,
    stages_of: Callable[[Completed], Sequence[StageText]] | None = None,
    step_in: StepOf | None = None,
) -> Sources:
    """Sources over installations that are worked already."""

    def made(asked: tuple[str, Changes]) -> Completed | None:
        job = completed_of(asked[0])
        return with_changes(job, asked[1]) if job else None

    held = MadeOnce(made, _HELD)

    def varied(name: str, changes: Changes) -> Completed | None:
        return held((name, changes))

    return Sources(completed_of, tuple(mistakes), drawing_of, varied, stages_of, step_in=step_in)


def sources_of_steps(step_of: StepOf) -> Sources:
    """Sources for questions that ask for steps alone: nothing can be varied, drawn or mistaken."""
    return Sources(lambda name: None, step_of=step_of)


def _completed(root: Path, name: str) -> Completed | None:
    path = root / "diagrams" / f"{name}.yaml"
    if name_problems(name, name) or not path.is_file():
        return None
    text, problems = text_of_file(path, f"diagrams/{name}.yaml")
    installation = (
        installation_from_yaml(text, f"diagrams/{name}.yaml", name)[0] if not problems else None
    )
    return (
        completed(installation)[0]
        if installation is not None and not not_worked_yet(installation)
        else None
    )


def with_changes(job: Completed, changes: Changes) -> Completed | None:
    """The installation with keys given other values, worked through again; its findings are not
    worked.

    None where a key cannot have the value, or no working was made for it.
    """
    installation = job.installation
    for path, text in changes:
        installation, problems = with_key(installation, path, Text(text, 0), installation.file)
        if problems:
            return None
    if problems_of_wiring(installation):
        return None
    log = {path: rows for path, rows in job.log.items() if path not in dict(changes)}
    case = Case(installation, log)
    try:
        case.work_on_asking()
    except (ArithmeticError, ValueError, LookupError, TypeError):
        return None
    return Completed(installation, case, (), log)


def key_problems(
    installation: Installation, path: str, text: str, file: str, line: int
) -> list[Problem]:
    """What is wrong with giving a key of an installation this value."""
    return with_key(installation, path, Text(text, line), file)[1]


def bound_mistake(
    job: Completed, mistakes: Sequence[Mistake], name: str
) -> tuple[Mistake | None, str]:
    """A named mistake with its words in braces bound to the parts of the installation, or why it
    cannot be.
    """
    mistake = next((each for each in mistakes if each.name == name), None)
    if mistake is None:
        return None, f"there is no mistake '{name}'" + _near(name, [each.name for each in mistakes])
    bound = next(iter(makable(job, mistake)), None)
    return (
        (bound, "")
        if bound
        else (None, f"the mistake '{name}' cannot be made on {job.installation.name}")
    )


def with_mistake(
    job: Completed, mistakes: Sequence[Mistake], name: str
) -> tuple[Completed | None, Mistake | None, str]:
    """The installation with a named mistake made on it; its workings and wiring are made when asked
    for, its findings never.
    """
    bound, why = bound_mistake(job, mistakes, name)
    if bound is None:
        return None, None, why
    installation, problems = mistaken(job.installation, bound)
    problems += problems_of_wiring(installation)
    if problems:
        return (
            None,
            None,
            (
                f"the mistake '{name}' cannot be made on {job.installation.name}:"
                f" {problems[0].message}"
            ),
        )
    return Completed(installation, Case(installation, job.log), (), job.log), bound, ""


def _near(name: str, known: list[str]) -> str:
    near = suggestion(name, known)
    return f" ({near})" if near else ""
