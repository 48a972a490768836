"""Fixtures of all tests: the project folder, the built guide, and a browser with the
network off.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
import start  # tools/start.py: it knows the browser and what to say where there is none
from sampling import LONG_RUN
from telling import Tell

LOCAL_SCHEMES = ("file:", "data:", "blob:", "about:")
QUIET_BROWSER = (
    "--no-sandbox",  # Chromium refuses to run as root with its sandbox
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test that uses the browser; skip them, with the reason, where there is none."""
    missing = None if start.browser_path() else pytest.mark.skip(reason=start.browser_advice())
    for item in items:
        if {"browser", "offline_page"} & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.browser)
        if missing and item.get_closest_marker("browser"):
            item.add_marker(missing)


PUBLISHED = pytest.StashKey[Counter[str]]()
TOLD = pytest.StashKey[list[str]]()
PROOF = ("independent solver", "second published source or law")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[PUBLISHED] = Counter()
    config.stash[TOLD] = []
    if "not long" not in config.option.markexpr:
        os.environ[LONG_RUN] = "1"


@pytest.fixture(scope="session")
def published_counts(pytestconfig: pytest.Config) -> Counter[str]:
    """How many published values held, by class; the summary prints them."""
    return pytestconfig.stash[PUBLISHED]


@pytest.fixture
def tell(pytestconfig: pytest.Config) -> Tell:
    """Tells a figure of this run; the summary prints it."""
    return pytestconfig.stash[TOLD].append


def pytest_sessionfinish(session: pytest.Session) -> None:
    """A worker of one core hands its figures to the run that started it."""
    worker = getattr(session.config, "workeroutput", None)
    if worker is not None:
        worker["published"], worker["told"] = (
            dict(session.config.stash[PUBLISHED]),
            session.config.stash[TOLD],
        )


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """The figures of one worker, into those of the whole run (a hook of pytest-xdist)."""
    output = getattr(node, "workeroutput", {})
    node.config.stash[PUBLISHED].update(output.get("published", {}))
    node.config.stash[TOLD] += output.get("told", [])


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """Say at the end what the tests told, and how many published values held: proof apart from what
    is not proof.
    """
    told = config.stash[TOLD]
    if told:
        terminalreporter.write_sep("=", "figures")
        terminalreporter.write_line("\n".join(sorted(told)))
    counts = config.stash[PUBLISHED]
    if not counts:
        return
    terminalreporter.write_sep("=", "published values that held")
    for kind in (*PROOF, *sorted(set(counts) - set(PROOF))):
        terminalreporter.write_line(
            f"{counts[kind]:5} {kind}" + ("" if kind in PROOF else " (not proof)")
        )
    terminalreporter.write_line(f"{sum(counts[kind] for kind in PROOF):5} are proof")


@pytest.fixture(scope="session")
def root() -> Path:
    """The project folder."""
    return start.ROOT


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The whole guide, built once a run with our own command; the workers of several cores share
    it.
    """
    from firstway.cli import main
    from firstway.files.locking import alone_in

    base = tmp_path_factory.getbasetemp()
    shared = base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base
    out, lock = shared / "guide" / "site", shared / "guide.lock"
    lock.mkdir(exist_ok=True)  # a folder of its own: the build locks the one it writes to
    with alone_in(lock):
        if not out.is_dir():  # put in place as a whole, or not at all
            assert not main(["build", "--out", str(out)]), (
                "the build failed; its problems are above"
            )
    assert (out / "index.html").is_file(), "the build left no index.html"
    return out


def settled(reload: Callable[..., object]) -> Callable[..., object]:
    """A reload that waits: Chromium hands what a page stored on to its other process by and by, and
    a page that comes back at once may find what was there before.
    """

    def waited(page: object, **options: object) -> object:
        page.wait_for_timeout(300)
        return reload(page, **options)

    return waited


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    """One browser for all tests (playwright's Browser)."""
    from playwright.sync_api import Page, sync_playwright

    with sync_playwright() as playwright, patch.object(Page, "reload", settled(Page.reload)):
        opened = playwright.chromium.launch(
            executable_path=start.browser_path(), args=list(QUIET_BROWSER)
        )
        yield opened
        opened.close()


@dataclass
class OfflinePage:
    """A page without a network, and everything that went wrong on it.

    `page` is playwright's Page. `show(path)` opens a built file. `troubles` holds
    one line for each request beyond the file system, failed request, script error
    and console error, so a test ends with `assert offline_page.troubles == []`.
    """

    page: object
    troubles: list[str] = field(default_factory=list)

    def show(self, path: Path, fragment: str = "") -> object:
        """Open a file as a reader does, from the file system; returns the page."""
        self.page.goto(path.resolve().as_uri() + (f"#{fragment}" if fragment else ""))
        return self.page


def watched(page: object) -> OfflinePage:
    """The page with its troubles recorded from now on."""
    seen = OfflinePage(page)

    def asked(request: object) -> None:
        if not request.url.startswith(LOCAL_SCHEMES):
            seen.troubles.append(f"outside request: {request.url}")

    def failed(request: object) -> None:
        if "ERR_ABORTED" in str(request.failure):
            # the browser itself gave the load up, because the test had moved on to another page
            return
        seen.troubles.append(f"failed request: {request.url} ({request.failure})")

    def said(message: object) -> None:
        if message.type == "error":
            seen.troubles.append(f"console error: {message.text}")

    page.on("request", asked)
    page.on("requestfailed", failed)
    page.on("console", said)
    page.on("pageerror", lambda error: seen.troubles.append(f"script error: {error}"))
    return seen


@pytest.fixture
def offline_page(browser: object, request: pytest.FixtureRequest) -> Iterator[OfflinePage]:
    """A page in a fresh profile with the network off. Parametrise indirectly to choose
    what playwright's new_context takes, such as `viewport` or `color_scheme`."""
    options = getattr(request, "param", {})
    context = browser.new_context(offline=True, **options)
    context.set_default_timeout(10_000)
    yield watched(context.new_page())
    context.close()
