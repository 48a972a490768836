"""What a page of the guide costs a reader: how long until it is ready with the browser's CPU slowed
4 times, what it loads, and how soon the first question of a quiz can be answered.

    python tests/benchmarks/page_time.py SITE... [--runs N]

Each SITE is a built guide. Of several every page is opened in turn, so that a busy machine slows
all alike. Ready: loaded, painted, and the page answers again. Figures are medians, printed beside
their aims and never asserted.
"""

from __future__ import annotations

import argparse
import re
import statistics
import sys
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tools"), str(Path(__file__).parent)]

import start  # noqa: E402
from quiz_page_time import READY, SHOWN, SLOWED  # noqa: E402

PAGES = (
    "index.html",
    "chapters/inside-the-board.html",
    "quizzes/surge.html",
    "quizzes/mock.html",
    "jobs/marram/index.html",
    "jobs/sallow/index.html",
)
READY_AIM_MS, USABLE_AIM_MS, LOADED_AIM_KB = 1500, 500, 350
LOADED = """addEventListener("load", () =>
    requestAnimationFrame(() => setTimeout(() => { window.answers = performance.now(); })));"""
DRAWING = re.compile(
    r'<figure class="drawing[" ].*?</figure>|<svg[^>]*fw-drawing.*?</svg>', re.DOTALL
)


def opened_once(browser: Any, path: Path) -> tuple[float, float, float, float]:
    """Milliseconds until it is ready, milliseconds of its tasks until then, milliseconds until the
    first question is usable (0 where there is none), and kB loaded without drawings.
    """
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.setCacheDisabled", {"cacheDisabled": True})
    session.send("Performance.enable")
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    loaded: list[Path] = []
    page.on("request", lambda asked: loaded.append(Path(unquote(urlsplit(asked.url).path))))
    page.add_init_script(LOADED + READY)
    page.goto(path.resolve().as_uri())
    page.wait_for_function("window.answers")
    ready = page.evaluate("window.answers")
    metrics = session.send("Performance.getMetrics")["metrics"]
    tasks = next(each["value"] for each in metrics if each["name"] == "TaskDuration") * 1000
    usable = 0.0
    if page.locator(".quiz-question").count():
        page.wait_for_function("window.live")
        usable = page.evaluate(SHOWN)
    drawn = sum(map(len, DRAWING.findall(path.read_text(encoding="utf-8"))))
    size = sum(each.stat().st_size for each in loaded if each.is_file()) - drawn
    context.close()
    return ready, tasks, usable, size / 1000


def told(figures: list[tuple[float, float, float, float]]) -> str:
    """The medians of one page, beside their aims."""
    ready, tasks, usable, size = (statistics.median(each) for each in zip(*figures))
    quiz = f"   first question {usable:5.0f} ms (aim {USABLE_AIM_MS})" if usable else ""
    return (
        f"ready {ready:5.0f} ms (aim {READY_AIM_MS})   tasks {tasks:5.0f} ms"
        f"   loaded {size:4.0f} kB (aim {LOADED_AIM_KB}){quiz}"
    )


if __name__ == "__main__":
    from playwright.sync_api import sync_playwright

    parser = argparse.ArgumentParser(description="What a page costs a reader.")
    parser.add_argument("sites", type=Path, nargs="+", metavar="SITE")
    parser.add_argument("--runs", type=int, default=5)
    arguments = parser.parse_args()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=start.browser_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        for name in PAGES:
            print(name)
            runs = [
                [opened_once(browser, site / name) for site in arguments.sites]
                for _ in range(arguments.runs)
            ]
            for site, figures in zip(arguments.sites, zip(*runs)):
                print(f"  {site.name:14} {told(list(figures))}")
        browser.close()
