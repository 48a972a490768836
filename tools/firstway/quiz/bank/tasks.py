"""Quiz, bank: what learners do beside answering a quiz, as their files say it: worked examples that
fade, prompts to explain, bench tasks, and one job that runs through the chapters.

Words may hold the directives of a chapter; whoever makes a page of them answers those.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from typing import Protocol, TypeVar

from firstway.files.plain_values import suggestion
from firstway.files.specs import Flag, Name, Prose, Sections, Texts, count, key
from firstway.files.typed_reader import section_from_yaml
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import Question

WORKED_FILE, PROMPTS_FILE, JOB_FILE = "quiz/worked.yaml", "quiz/say-why.yaml", "quiz/job.yaml"
FEWEST_POINTS, MOST_POINTS = 3, 6
FEWEST_BENCH_STEPS = 3


@dataclass(frozen=True)
class WorkedExample:
    """The same working at four stages, each with other figures."""

    id: str = key(Name("small"), "what it is called", "loop", required=True)
    title: str = key(Prose(), "its title", "Loop and fault current", required=True)
    question: str = key(
        Name("small"),
        "the question of the bank that it works: of kind working, for practice, with `vary:`",
        "fault-loop-working",
        required=True,
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class WorkedFile:
    """The worked examples, in the order of their page."""

    worked: tuple[WorkedExample, ...] = key(
        Sections(WorkedExample), "the worked examples", required=True
    )


@dataclass(frozen=True)
class ModelPoint:
    """One point of a model answer."""

    text: str = key(
        Prose(),
        "the point in one or two sentences; a figure in it is a directive, as in a chapter",
        "A surge meets the leads as well",
        required=True,
    )
    outcome: str = key(
        Name("small"),
        "the outcome whose place in a chapter says more",
        "surge.leads",
        required=True,
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class Prompt:
    """Something to explain, aloud or in writing, with the points of a model answer."""

    id: str = key(Name("small"), "what it is called", "short-leads", required=True)
    ask: str = key(Prose(), "what is to be explained", "Why short leads?", required=True)
    points: tuple[ModelPoint, ...] = key(
        Sections(ModelPoint, FEWEST_POINTS, MOST_POINTS), "the points, in order", required=True
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class PromptsFile:
    """What is to be explained, in the order of the page."""

    prompts: tuple[Prompt, ...] = key(Sections(Prompt), "the prompts", required=True)


@dataclass(frozen=True)
class LookedFor:
    """One thing that an assessor looks for."""

    text: str = key(Prose(), "what is seen where it is well done", "No strand cut", required=True)
    must: bool = key(Flag(), "whether the task fails without it", "true", absent=False)
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class BenchTask:
    """One sheet of work for the hands, on a rig that was proved dead."""

    title: str = key(Prose(), "its title", "A ferrule and a screw", required=True)
    chapter: str = key(Name("small"), "the chapter it belongs to", "fitting", required=True)
    minutes: int = key(count(5, 240), "how long it takes", "40", required=True)
    place: int = key(count(1, 99), "where it stands among the tasks", "1", required=True)
    purpose: str = key(Prose(), "what it is for", "A joint that stays tight.", required=True)
    needs: tuple[str, ...] = key(Texts(), "what is needed", "[ferrules]", required=True)
    hold: str = key(
        Prose(),
        "the hold point: what is seen by the assessor before work goes on",
        "The lock is seen before the cover comes off",
        required=True,
    )
    steps: tuple[str, ...] = key(Texts(), "what is done, in order", "[Strip]", required=True)
    looked_for: tuple[LookedFor, ...] = key(
        Sections(LookedFor, FEWEST_BENCH_STEPS), "what an assessor looks for", required=True
    )
    pictures: tuple[str, ...] = key(
        Texts(), "pictures beside, each as in `{picture: ...}`", "[clamp marram F2]"
    )
    id: str = ""
    file: str = ""
    line: int = field(default=0, repr=False)
    lines_of: Mapping[str, int] = field(default_factory=dict, repr=False, compare=False)


@dataclass(frozen=True)
class JobBlank:
    """What is worked of the one job at a chapter's end."""

    chapter: str = key(Name("small"), "the chapter", "the-cable", required=True)
    line_of_sheet: str = key(
        Prose(), "its line on the job's sheet", "Voltage drop to the point", required=True
    )
    question: str = key(
        Name("small"),
        "the question of the bank: of kind number, for practice, about the job",
        "cable-voltage-drop",
        required=True,
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class JobThrough:
    """One job from survey to handing over, a blank or two a chapter."""

    installation: str = key(Name(), "the job: a file of diagrams/", "marram", required=True)
    blanks: tuple[JobBlank, ...] = key(Sections(JobBlank), "in reading order", required=True)


class _Named(Protocol):
    @property
    def id(self) -> str: ...

    @property
    def line(self) -> int: ...


_File = TypeVar("_File", WorkedFile, PromptsFile, JobThrough)


def worked_from_yaml(text: str, file: str) -> tuple[tuple[WorkedExample, ...], list[Problem]]:
    """The worked examples, and every problem of the file."""
    found, problems = _read(text, file, WorkedFile)
    examples = found.worked if found else ()
    return examples, [*problems, *_once(examples, file)]


def prompts_from_yaml(text: str, file: str) -> tuple[tuple[Prompt, ...], list[Problem]]:
    """The prompts, and every problem of the file."""
    found, problems = _read(text, file, PromptsFile)
    prompts = found.prompts if found else ()
    return prompts, [*problems, *_once(prompts, file)]


def job_from_yaml(text: str, file: str) -> tuple[JobThrough | None, list[Problem]]:
    """The job that runs through the chapters, and every problem of the file."""
    return _read(text, file, JobThrough)


def bench_from_yaml(text: str, file: str, id_: str) -> tuple[BenchTask | None, list[Problem]]:
    """One bench task, and every problem of the file."""
    found, problems = section_from_yaml(text, file, BenchTask)
    if found is None:
        return None, problems
    if len(found.steps) < FEWEST_BENCH_STEPS:
        said = f"a task of {len(found.steps)} steps is no task"
        problems.append(Problem(file, found.line, said, f"write {FEWEST_BENCH_STEPS} or more"))
    return BenchTask(**{**vars(found), "id": id_, "file": file}), problems


def _read(text: str, file: str, of: type[_File]) -> tuple[_File | None, list[Problem]]:
    return section_from_yaml(text, file, of)


def _once(items: Sequence[_Named], file: str) -> Iterator[Problem]:
    first: dict[str, int] = {}
    for item in items:
        if first.setdefault(item.id, item.line) != item.line:
            said = f"the id '{item.id}' is used already (line {first[item.id]})"
            yield Problem(file, item.line, said, "give this one an id of its own")


def unknown_of_tasks(
    examples: Iterable[WorkedExample],
    prompts: Iterable[Prompt],
    bench: Iterable[BenchTask],
    job: JobThrough | None,
    bank: Sequence[Question],
    outcomes: dict[str, str],
    chapters: Sequence[str],
) -> Iterator[Problem]:
    """A problem for each question, outcome or chapter that is named and is not there, or does not
    fit.
    """
    of = {question.id: question for question in bank}

    def fits(name: str, kind: str, file: str, line: int) -> Iterator[Problem]:
        question = of.get(name)
        if question is None:
            hint = suggestion(name, list(of)) or "name a question of quiz/bank/"
            yield Problem(file, line, f"there is no question '{name}'", hint)
        elif question.kind != kind or question.use != "practice":
            yield Problem(
                file,
                line,
                f"'{name}' is {question.use}, of kind {question.kind}",
                f"name one for practice, of kind {kind}",
            )

    def known(name: str, what: str, names: list[str], file: str, line: int) -> Iterator[Problem]:
        if name not in names:
            hint = suggestion(name, names) or f"name one of: {', '.join(names[:8])}"
            yield Problem(file, line, f"there is no {what} '{name}'", hint)

    for example in examples:
        yield from fits(example.question, "working", WORKED_FILE, example.line)
        question = of.get(example.question)
        if question is not None and question.kind == "working" and not question.vary:
            said = f"'{question.id}' has one set of figures alone"
            hint = "name one with `vary:`: each stage takes other figures"
            yield Problem(WORKED_FILE, example.line, said, hint)
    for prompt in prompts:
        for point in prompt.points:
            yield from known(point.outcome, "outcome", list(outcomes), PROMPTS_FILE, point.line)
    for task in bench:
        yield from known(task.chapter, "chapter", list(chapters), task.file, task.line)
    for blank in job.blanks if job else ():
        yield from fits(blank.question, "number", JOB_FILE, blank.line)
        yield from known(blank.chapter, "chapter", list(chapters), JOB_FILE, blank.line)
        question = of.get(blank.question)
        if job and question is not None and question.installation != job.installation:
            said = f"'{question.id}' is not about {job.installation}"
            yield Problem(JOB_FILE, blank.line, said, "name a question about the job itself")
