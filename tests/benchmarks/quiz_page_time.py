"""How long until the first question of a quiz can be answered and marked, from a file, with the
browser's CPU slowed 4 times.

    python tests/benchmarks/quiz_page_time.py SITE [RUNS]

SITE is a built guide; each of its quizzes is opened RUNS times in a fresh profile. Printed and
never asserted; the aim is 0.5 s.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tools")]

import start  # noqa: E402

SLOWED = 4
READY = """new MutationObserver((_, watch) => {
    if (!document.querySelector(".quiz-live")) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => { window.live = performance.now(); }));
}).observe(document, {subtree: true, attributes: true, attributeFilter: ["class"]});"""
SHOWN = "live"


def usable_ms(browser: object, path: Path) -> float:
    """Milliseconds from the request until the script has the first question in hand and the browser
    has painted it.
    """
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.add_init_script(READY)
    page.goto(path.resolve().as_uri())
    page.wait_for_function("window.live")
    time = page.evaluate(SHOWN)
    context.close()
    return float(time)


if __name__ == "__main__":
    from playwright.sync_api import sync_playwright

    site, runs = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 5
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=start.browser_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        for path in sorted((site / "quizzes").glob("*.html")):
            if 'class="quiz-data"' not in path.read_text("utf-8"):
                continue
            times = [usable_ms(opened, path) for _ in range(runs)]
            print(
                f"{path.stem:28} {path.stat().st_size / 1e3:6.0f} kB   median"
                f" {statistics.median(times):5.0f} ms   largest {max(times):5.0f} ms"
            )
        opened.close()
