"""Choosing: a complete installation with a mistake made on it, worked and checked again; sizes stay
as they were chosen.
"""

from dataclasses import replace

from firstway.checks.rule import LEVELS, Case, Finding
from firstway.choosing.completing import Completed
from firstway.frozen import dataclass
from firstway.layout.faults import SeenFlaw, seen_flaws
from firstway.model.installation import Installation
from firstway.model.mistakes import Mistake, bindings, bound, mistaken
from firstway.model.nec_words import with_nec_words
from firstway.problems import Problem, Problems
from firstway.wiring.deriving import problems_of_wiring


@dataclass(frozen=True)
class MadeMistake:
    """A mistake made on one circuit of an installation: what was before, and what is now."""

    mistake: Mistake
    before: Completed
    after: Completed


def makable(job: Completed, mistake: Mistake) -> tuple[Mistake, ...]:
    """The mistake bound to each circuit it can be made on."""
    every = (bound(mistake, names) for names in bindings(job.installation, mistake))
    if job.installation.rules == "nec":
        every = (with_nec_words(each, "title", "told", "wrong", "look", "right") for each in every)
    return tuple(each for each in every if not _is_there(job, each))


def _is_there(job: Completed, mistake: Mistake) -> bool:
    found = mistake.found_by
    return any(
        finding.id == found.rule
        and finding.place == found.place
        and finding.level in ("danger", "fail", "advice")
        for finding in job.findings
    )


def made(job: Completed, *mistakes: Mistake) -> MadeMistake:
    """Bound mistakes made together; what cannot be made is raised as Problems, for the file of
    mistakes is the project's own.
    """
    # The readings of the file were taken on the sound board: they say nothing of this one.
    installation: Installation = replace(job.installation, readings=())
    problems: list[Problem] = []
    for mistake in mistakes:
        installation, own = mistaken(installation, mistake)
        problems += own
    problems += [
        Problem(
            mistakes[-1].file,
            mistakes[-1].line,
            f"'{mistakes[-1].name}' on {job.installation.name}: {each.message}",
            each.hint,
        )
        for each in problems_of_wiring(installation)
    ]
    if problems:
        raise Problems(problems)
    case = Case(installation, job.log)
    return MadeMistake(mistakes[-1], job, Completed(installation, case, None, job.log))


def flaws_made(made: MadeMistake) -> tuple[SeenFlaw, ...]:
    """What the mistake shows on its board; a place that is none of the board's is raised as
    Problems.
    """
    mistake, case = made.mistake, made.after.case
    try:
        return seen_flaws(mistake, case.layout, case.wiring)
    except LookupError as refused:
        hint = "name a terminal, a part, a conductor or its end, an opening or `cover`"
        message = f"'{mistake.name}' on {made.before.installation.name}: {refused.args[0]}"
        raise Problems([Problem(mistake.file, mistake.line, message, hint)]) from None


def worsened(made: MadeMistake) -> tuple[Finding, ...]:
    """Findings that are worse than before, or new; a verdict of the same rule at the same place
    that stays is not told again.
    """
    rank = {level: place for place, level in enumerate(LEVELS)}
    before: dict[tuple[str, str, str], int] = {}
    for finding in made.before.findings:
        key = (finding.id, finding.of, finding.place)
        before[key] = min(before.get(key, len(LEVELS)), rank[finding.level])
    return tuple(
        finding
        for finding in made.after.findings
        if finding.level != "pass"
        and rank[finding.level] < before.get((finding.id, finding.of, finding.place), rank["pass"])
    )
