"""Every page of the guide at 390 px: no drawing wider than its column, no words of one under 9 px,
no table whose first column leaves.
"""

import atexit
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import start
from conftest import QUIET_BROWSER
from frame import Chance, Tried
from widths import faults_on_a_phone

CASES = 600
SHARE = 0.25


@dataclass(frozen=True)
class Shared:
    page: Any
    paths: tuple[Path, ...]


def prepared(folder: Path) -> Shared:
    from playwright.sync_api import sync_playwright

    from firstway.cli import main

    site = folder / "site"
    assert not main(["build", "--out", str(site)]), "the build failed; its problems are above"
    playwright = sync_playwright().start()
    atexit.register(playwright.stop)
    browser = playwright.chromium.launch(
        executable_path=start.browser_path(), args=list(QUIET_BROWSER)
    )
    paths = tuple(sorted(site.rglob("*.html")))
    assert len(paths) <= CASES, f"{len(paths)} pages: let the campaign have as many cases"
    return Shared(browser.new_page(), paths)


def tried(shared: Shared, draw: Chance, folder: Path) -> Tried:
    if draw.number >= len(shared.paths):
        return Tried(skipped=f"there are {len(shared.paths)} pages")
    return Tried(tuple(faults_on_a_phone(shared.page, shared.paths[draw.number])))
