"""Drawing: one view as the command line asks for it: at a stage, with the cover on, with a mistake
made on the board.
"""

from collections.abc import Callable, Sequence

from firstway.choosing.completing import Completed
from firstway.choosing.mistaking import flaws_made, made, makable
from firstway.drawing.front.board_front import board_front
from firstway.drawing.hands.close_up import close_ups, with_close_ups
from firstway.drawing.lifelike.picture import box_pictured, lifelike
from firstway.drawing.lifelike.staging import at_stage
from firstway.drawing.overlays import in_one, staged
from firstway.drawing.single.single_line import single_line
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.wiring_diagram import wiring_diagram, wiring_layout
from firstway.files.plain_values import suggestion
from firstway.frozen import dataclass
from firstway.layout.faults import SeenFlaw
from firstway.model.mistakes import Mistake
from firstway.problems import Problem, visible

VIEWS: dict[str, Callable[[Completed, str], Drawn]] = {
    "single-line": single_line,
    "board": board_front,
    "wiring": wiring_diagram,
    "lifelike": lifelike,
}
STAGED, COVERED = ("wiring", "lifelike"), ("board",)


@dataclass(frozen=True)
class AskedView:
    """A view by its name; "" where no stage, cover or mistake is asked for."""

    view: str
    stage: str = ""
    cover: str = ""
    mistake: str = ""


def asked_view(
    job: Completed, asked: AskedView, mistakes: Sequence[Mistake]
) -> tuple[Drawn | None, list[Problem]]:
    """The drawing, or all that is wrong with what was asked.

    A board with a mistake is drawn as it looks: what is wrong on it is marked nowhere.
    """
    problems = [*_cover_problems(asked), *_stage_problems(job, asked)]
    chosen, wrong = _mistake(job, asked.mistake, mistakes)
    problems += wrong
    if problems:
        return None, problems
    done = made(job, chosen) if chosen else None
    shown, flaws = (done.after, flaws_made(done)) if done else (job, ())
    prefix = f"{job.installation.name}-{asked.view}"
    if asked.cover == "on":
        return board_front(shown, prefix, cover_on=True), []
    if asked.stage:
        return _at_stage(shown, asked.view, prefix, int(asked.stage)), []
    if flaws:
        return with_flaws(asked.view, shown, prefix, flaws), []
    return VIEWS[asked.view](shown, prefix), []


def with_flaws(view: str, job: Completed, prefix: str, flaws: Sequence[SeenFlaw]) -> Drawn:
    """A view of a board with a mistake on it, what it shows drawn as it looks."""
    if view == "lifelike":
        return lifelike(job, prefix, flaws)
    if view == "wiring":
        return drawn_from(with_close_ups(wiring_layout(job), close_ups(job, flaws)), prefix)
    return VIEWS[view](job, prefix)


def _at_stage(job: Completed, view: str, prefix: str, place: int) -> Drawn:
    if view == "lifelike":
        picture = box_pictured(job, prefix)
        return in_one(picture.drawn, at_stage(picture, stages_of(job), place, whole=True))
    sheet = wiring_layout(job)
    drawn = drawn_from(sheet, prefix)
    return in_one(drawn, staged(sheet, drawn, stages_of(job), place))


def _cover_problems(asked: AskedView) -> list[Problem]:
    if asked.cover not in ("", "on", "off"):
        words = f"'{visible(asked.cover)}' is neither on nor off"
        return [Problem("--cover", 0, words, "write --cover on")]
    if asked.cover == "on" and asked.view not in COVERED:
        words = f"the view '{asked.view}' has no cover"
        return [Problem("--cover", 0, words, f"leave it out, or draw {' or '.join(COVERED)}")]
    return []


def _stage_problems(job: Completed, asked: AskedView) -> list[Problem]:
    if not asked.stage:
        return []
    if asked.view not in STAGED:
        words = f"the view '{asked.view}' shows no stages"
        return [Problem("--stage", 0, words, f"leave it out, or draw {' or '.join(STAGED)}")]
    stages = stages_of(job)
    if asked.stage.isascii() and asked.stage.isdigit() and 1 <= int(asked.stage) <= len(stages):
        return []
    titles = ", ".join(f"{place} {stage.title}" for place, stage in enumerate(stages, 1))
    words = f"'{visible(asked.stage)}' is no stage of {job.installation.name}"
    return [Problem("--stage", 0, words, f"name one of 1 to {len(stages)}: {titles}")]


def _mistake(
    job: Completed, name: str, mistakes: Sequence[Mistake]
) -> tuple[Mistake | None, list[Problem]]:
    """The mistake bound to the first circuit it can be made on."""
    if not name:
        return None, []
    known = {each.name: each for each in mistakes}
    if name not in known:
        hint = suggestion(name, known) or "name one of diagrams/mistakes.yaml"
        return None, [Problem("--mistake", 0, f"'{visible(name)}' is no mistake", hint)]
    bound = makable(job, known[name])
    if bound:
        return bound[0], []
    others = ", ".join(each.name for each in mistakes if makable(job, each))
    words = f"'{name}' cannot be made on {job.installation.name}, or is there already"
    hint = f"name one of: {others}" if others else "draw another installation"
    return None, [Problem("--mistake", 0, words, hint)]
