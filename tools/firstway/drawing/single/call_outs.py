"""Drawing, single-line, second stage: which figure of the working bears which number, and which
finding which letter.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed
from firstway.drawing.single.path import SupplyPath, labels_of
from firstway.model.installation import Installation
from firstway.model.values import Absent
from firstway.workings.shared.step import Step

_FLAGGED = {"danger": "Danger", "fail": "Fail"}


@dataclass(frozen=True)
class CallOut:
    """A number in a circle (a figure) or a letter on a flag (a finding)."""

    words: str
    flag: bool


@dataclass(frozen=True)
class CalledOut:
    """Marks by label, figures by number as (number, step, of what), findings by letter as
    (letter, level in a word, sentence).
    """

    marks: dict[str, tuple[CallOut, ...]]
    figures: tuple[tuple[int, Step, str], ...]
    flags: tuple[tuple[str, str, str], ...]


def numbered(path: SupplyPath, completed: Completed) -> CalledOut:
    """Numbers and letters in the order of reading; a finding that has no place on the path comes
    last, in the list alone.
    """
    waiting = _by_place(completed.findings, completed.installation)
    marks: dict[str, tuple[CallOut, ...]] = {}
    figures: list[tuple[int, Step, str]] = []
    flags: list[tuple[str, str, str]] = []
    shown: set[str] = set()
    for told in labels_of(path):
        if told.name in shown:  # one electrode may stand beside two points
            continue
        shown.add(told.name)
        steps = [
            (step, of)
            for name, of in told.figures
            if (step := completed.case.workings.find(name, of)) is not None
        ]
        found = [finding for place in told.places for finding in waiting.pop(place, [])]
        marks[told.name] = (
            *(CallOut(str(len(figures) + place), False) for place in range(1, len(steps) + 1)),
            *(CallOut(_letter(len(flags) + place), True) for place in range(len(found))),
        )
        figures += [(len(figures) + n, step, of) for n, (step, of) in enumerate(steps, 1)]
        flags += [_flag(len(flags) + place, each) for place, each in enumerate(found)]
    rest = [finding for findings in waiting.values() for finding in findings]
    flags += [_flag(len(flags) + place, each) for place, each in enumerate(rest)]
    return CalledOut(marks, tuple(figures), tuple(flags))


def _flag(place: int, finding: Finding) -> tuple[str, str, str]:
    word = _FLAGGED[finding.level]
    return (
        _letter(place),
        word,
        f"{word}, {finding.id.replace('-', ' ')} at {finding.place or finding.of}:"
        f" {finding.message}",
    )


def _letter(index: int) -> str:
    return chr(ord("A") + index) if index < 26 else _letter(index // 26 - 1) + _letter(index % 26)


def _by_place(findings: Sequence[Finding], installation: Installation) -> dict[str, list[Finding]]:
    """Findings of danger and fail by the name they are shown at."""
    known = {
        "supply",
        "feed",
        "board",
        *(way.name for way in installation.board.ways),
        *(c.name for c in installation.circuits),
        *(p.name for p in installation.charging_points),
        *(e.name for e in installation.electrodes),
        *(v.name for v in installation.vehicles),
        *(b.name for b in installation.existing_boards),
        *(device.name for device in installation.surge_devices),
        *(source.name for source in installation.sources),
    }
    if not isinstance(installation.board.main_switch, Absent):
        known.add(installation.board.main_switch.name)
    found: dict[str, list[Finding]] = {}
    for finding in sorted(
        (each for each in findings if each.level in _FLAGGED),
        key=lambda each: list(_FLAGGED).index(each.level),
    ):
        names = (finding.place, finding.place.partition(".")[0], finding.of)
        at = next((name for name in names if name in known), "board")
        found.setdefault(at, []).append(finding)
    return found
