"""Installations through the page of one's own job and through the command line: the same bytes of
JSON, findings and drawings, or the same problems.

A case is a shipped file, a broken one, one drawn at random, or a shipped one with figures changed.
The page runs CPython in WebAssembly in Chromium and, where there is one, in Firefox; the command
line runs in the Python of this process. Both are our own program, so nothing here is proof.
"""

from __future__ import annotations

import atexit
import contextlib
import io
import json
import re
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import start
import yaml
from conftest import QUIET_BROWSER
from firefox import firefox_path, started
from frame import ROOT, Chance, Tried
from random_installations import one_phase, three_phase

from firstway.cli import main
from firstway.problems import Problem
from firstway.site.fetched import engine_package

CASES = 300
SHARE = 0.05
READY_S = 300  # a campaign runs beside other work
PAGE = "own-job.html"
VIEWS = ("single-line", "board", "wiring", "lifelike")
COMMANDS: Mapping[str, Callable[[str], tuple[str, ...]]] = {
    "work": lambda file: ("work", file, "--json"),
    "findings": lambda file: ("check", file),
    **{view: lambda file, view=view: ("draw", file, view) for view in VIEWS},
}
FIGURE = re.compile(r"(?<=: )\d+(?:\.\d+)?(?=[,}\n ])")
FACTORS = (0, 0.1, 0.5, 0.9, 1.03, 1.7, 2, 10)
_Ask = Callable[[list[dict[str, str]]], list[dict[str, Any]]]


@dataclass(frozen=True)
class Shared:
    """The open pages by the name of their browser, and the files at hand."""

    pages: Mapping[str, _Ask]
    files: tuple[Path, ...]
    shipped: tuple[Path, ...]


def prepared(folder: Path) -> Shared | None:
    """One page in each browser for all cases; they end with this process."""
    if engine_package() is None:
        return None
    site = folder / "site"
    assert not main(["build", "--out", str(site)]), "the build failed; its problems are above"
    open_ = ExitStack()
    atexit.register(open_.close)
    pages = {"Chromium": _in_chromium(open_, site / PAGE)}
    if firefox_path() is not None:
        pages["Firefox"] = _in_firefox(open_, site / PAGE, folder / "firefox")
    shipped = sorted(ROOT.glob("diagrams/*.yaml"))
    shipped = [path for path in shipped if path.name != "mistakes.yaml"]
    others = [*ROOT.glob("tests/engine/survey/[!n]*.yaml"), *ROOT.glob("tests/invalid/*.yaml")]
    return Shared(pages, (*shipped, *sorted(others)), tuple(shipped))


def _in_chromium(open_: ExitStack, path: Path) -> _Ask:
    from playwright.sync_api import sync_playwright

    playwright = open_.enter_context(sync_playwright())
    browser = playwright.chromium.launch(
        executable_path=start.browser_path(), args=list(QUIET_BROWSER)
    )
    open_.callback(browser.close)
    page = browser.new_context(offline=True).new_page()
    page.goto(path.as_uri())
    page.wait_for_selector("#own-verdict .may-not", timeout=READY_S * 1000)
    asking = "questions => Promise.all(questions.map(window.ownJobAsk))"
    return lambda questions: page.evaluate(asking, questions)  # type: ignore[no-any-return]


def _in_firefox(open_: ExitStack, path: Path, folder: Path) -> _Ask:
    firefox = open_.enter_context(started(folder))
    firefox.show(path)
    firefox.wait("document.querySelector('#own-verdict .may-not') !== null", READY_S)

    def ask(questions: list[dict[str, str]]) -> list[dict[str, Any]]:
        found = firefox.ask(f"Promise.all({json.dumps(questions)}.map(window.ownJobAsk))")
        assert firefox.troubles == [], firefox.troubles
        return list(found)

    return ask


def tried(shared: Shared | None, draw: Chance, folder: Path) -> Tried:
    """One installation: all that is printed and drawn of it, in each browser."""
    if shared is None:
        return Tried(skipped="the Python of the page is not here")
    kind, text = _drawn(shared, draw)
    path = folder / "drawn.yaml"
    path.write_bytes(text)
    try:
        as_read = text.decode("utf-8")
    except UnicodeDecodeError:
        return Tried(skipped="no UTF-8: the page's script says so and asks the program nothing")
    said = {what: _said_by(*command(str(path))) for what, command in COMMANDS.items()}
    troubles = []
    for browser, ask in shared.pages.items():
        about = {"ask": "print", "text": as_read, "file": str(path)}
        answers = ask([{**about, "what": what} for what in COMMANDS])
        for (what, other), answer in zip(said.items(), answers, strict=True):
            own = answer.get("printed") or _as_printed(answer["problems"], str(path))
            if own != other:
                troubles.append(f"{kind}, {what}, {browser}: {_apart(own, other)}")
    refused = said["work"].startswith(f"{path}:")
    counts = {
        f"{kind}{', refused' if refused else ''}": 1,
        "comparisons": len(said) * len(shared.pages),
        "bytes of the command line": sum(map(len, said.values())),
    }
    return Tried(tuple(troubles), counts=counts)


def _drawn(shared: Shared, draw: Chance) -> tuple[str, bytes]:
    """What kind of file a case is, and the file: first those at hand, one after the other."""
    if draw.number < len(shared.files):
        path = shared.files[draw.number]
        return f"files of {path.parent.relative_to(ROOT).as_posix()}", path.read_bytes()
    if draw.random() < 0.5:
        data = draw.choice((one_phase, three_phase))(draw)
        text = yaml.dump(data, Dumper=_WithoutAliases, sort_keys=False, allow_unicode=True)
        return "files drawn at random", text.encode()
    text = draw.choice(shared.shipped).read_text("utf-8")
    for _ in range(draw.randint(1, 3)):
        at = draw.choice(list(FIGURE.finditer(text)))
        changed = f"{float(at[0]) * draw.choice(FACTORS):.6g}"
        text = text[: at.start()] + changed + text[at.end() :]
    return "shipped files with figures changed", text.encode()


class _WithoutAliases(yaml.SafeDumper):
    """Writes every list in full: our reader refuses aliases."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def _said_by(*arguments: str) -> str:
    """What a command prints; where it prints nothing, its problems."""
    said, wrong = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(wrong):
        main(list(arguments))
    return said.getvalue() or wrong.getvalue()


def _as_printed(problems: list[dict[str, Any]], file: str) -> str:
    lines = (Problem(file, each["line"], each["message"], each["hint"]) for each in problems)
    return "".join(f"{each}\n" for each in lines)


def _apart(own: str, other: str) -> str:
    """The first lines that differ."""
    pairs = zip(own.splitlines(), other.splitlines(), strict=False)
    lines = [(one, two) for one, two in pairs if one != two]
    return f"{len(lines)} lines differ, page and command: {lines[:2]}" if lines else "one is longer"
