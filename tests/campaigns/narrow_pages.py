"""Every page of the guide at 390 px: no drawing wider than its column, no words of one under 9 px,
no table whose first column leaves.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from frame import Chance, Tried
from in_the_browser import one_browser, pages_of_the_guide
from widths import faults_on_a_phone

CASES = 600
SHARE = 0.25


@dataclass(frozen=True)
class Shared:
    page: Any
    paths: tuple[Path, ...]


def prepared(folder: Path) -> Shared:
    paths = tuple(pages_of_the_guide(folder))
    assert len(paths) <= CASES, f"{len(paths)} pages: let the campaign have as many cases"
    return Shared(one_browser().new_page(), paths)


def tried(shared: Shared, draw: Chance, folder: Path) -> Tried:
    if draw.number >= len(shared.paths):
        return Tried(skipped=f"there are {len(shared.paths)} pages")
    return Tried(tuple(faults_on_a_phone(shared.page, shared.paths[draw.number])))
