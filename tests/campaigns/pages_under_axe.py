"""Every page of the guide under axe, narrow and wide, light and dark, its folds open; every quiz
once more with its feedback.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from accessibility import DESK, PHONE, Tally, axe_script, checked, hand_in
from frame import Chance, Tried
from in_the_browser import one_browser, pages_of_the_guide

CASES = 1000
SHARE = 0.25


@dataclass(frozen=True)
class Shared:
    browser: Any
    script: str
    looks: tuple[tuple[Path, dict[str, Any], bool], ...]  # page, width, whether handed in


def prepared(folder: Path) -> Shared:
    pages = [path for path in pages_of_the_guide(folder) if path.name != "404.html"]
    looks = [(page, width, False) for page in pages for width in (PHONE, DESK)]
    looks += [
        (page, width, True) for page in pages for width in (PHONE, DESK) if "quizzes" in page.parts
    ]
    assert len(looks) <= CASES, f"{len(looks)} looks: let the campaign have as many cases"
    return Shared(one_browser(), axe_script(newest=True), tuple(looks))


def tried(shared: Shared, draw: Chance, folder: Path) -> Tried:
    """One page at one width, in the light and in the dark."""
    if draw.number >= len(shared.looks):
        return Tried(skipped=f"there are {len(shared.looks)} looks")
    page, width, handed_in = shared.looks[draw.number]
    tally = Tally()
    checked(
        shared.browser,
        [page],
        shared.script,
        width,
        ("light", "dark"),
        tally,
        hand_in if handed_in else None,
    )
    lesser = {f"lesser: {rule}": count for rule, count in tally.lesser.items()}
    return Tried(tuple(tally.grave), counts={"runs": tally.runs, **lesser})
