"""The guide built anew, and one browser for all cases of a campaign; it ends with the process."""

from __future__ import annotations

import atexit
from pathlib import Path
from typing import Any

import start
from conftest import QUIET_BROWSER


def one_browser() -> Any:
    from playwright.sync_api import sync_playwright

    playwright = sync_playwright().start()
    browser = playwright.chromium.launch(
        executable_path=start.browser_path(), args=list(QUIET_BROWSER)
    )
    atexit.register(playwright.stop)
    atexit.register(browser.close)
    return browser


def pages_of_the_guide(folder: Path) -> list[Path]:
    from firstway.cli import main

    site = folder / "site"
    assert not main(["build", "--out", str(site)]), "the build failed; its problems are above"
    return sorted(site.rglob("*.html"))
