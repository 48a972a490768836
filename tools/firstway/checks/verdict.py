"""Checks: what all findings together say the job may not do yet, in one line of words."""

from collections.abc import Sequence

from firstway.checks.questions import MakerQuestion, questions
from firstway.checks.rule import Finding
from firstway.checks.stakes import stake_of
from firstway.model.installation import Installation

NOTHING_AGAINST = (
    "These checks have nothing against it; inspection, tests and the responsible designer decide."
)


def verdict_words(findings: Sequence[Finding], installation: Installation) -> str:
    """Danger and fail keep a job off, what is not known keeps it from being called safe.

    `findings` are all of them, in the order of what decides.
    """
    against = [finding for finding in findings if finding.level in ("danger", "fail")]
    asked = questions((each for each in findings if each.level == "unknown"), installation)
    said = [*([_against(against)] if against else []), *([_open(asked)] if asked else [])]
    return " ".join(said) or NOTHING_AGAINST


def _against(found: list[Finding]) -> str:
    dangers = sum(finding.level == "danger" for finding in found)
    counts = [_counted(dangers, "danger"), _counted(len(found) - dangers, "fail")]
    first = found[0]
    stand = "stand" if len(found) > 1 else "stands"
    return (
        f"Must stay off: {' and '.join(filter(None, counts))} {stand} against it;"
        f" put right first {first.place}: {first.message}."
    )


def _open(asked: tuple[MakerQuestion, ...]) -> str:
    grave = sum(
        any(stake_of(each.id) in ("shock", "fire") for each in question.findings)
        for question in asked
    )
    first = f"{', '.join(asked[0].parts)}: {asked[0].first}"
    about = (
        ""
        if not grave
        else (
            ", about shock or fire"
            if grave == len(asked)
            else f", {grave} of them about shock or fire"
        )
    )
    return (
        f"Cannot be called safe yet: {_counted(len(asked), 'question')}"
        f" {'are' if len(asked) > 1 else 'is'} open{about}; first {first}."
    )


def _counted(number: int, word: str) -> str:
    return "" if not number else f"{number} {word}" if number == 1 else f"{number} {word}s"
