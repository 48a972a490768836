"""How long until the first question of a quiz can be answered and marked, from a file, with the
browser's CPU slowed 4 times: every page of the guide that asks, and the worst of them at the end.

    python tests/benchmarks/quiz_page_time.py SITE [RUNS]

SITE is a built guide; each of its quizzes, and each as a file of its own, is opened RUNS times in a
fresh profile, by turns with a page that asks nothing: on a busy machine both are slow, and their
ratio tells more than the milliseconds. Printed and never asserted; the aim is 0.5 s.
"""

from __future__ import annotations

import os
import statistics
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tools")]

import start  # noqa: E402

SLOWED, AIM_MS, BUSY = 4, 500, 0.3
KNOWN = "glossary.html"
FOLDERS = ("quizzes/*.html", "one-file/quiz-*.html")
READY = """new MutationObserver((_, watch) => {
    if (!document.querySelector(".quiz-live, .session-said:not(:empty)")) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => { window.live = performance.now(); }));
}).observe(document, {subtree: true, childList: true, attributeFilter: ["class"]});"""
SHOWN = "live"
ANSWERS = """addEventListener("load", () =>
    requestAnimationFrame(() => setTimeout(() => { window.live = performance.now(); })));"""


def usable_ms(browser: object, path: Path, ready: str = READY) -> float:
    """Milliseconds from the request until the script has the first question in hand and the browser
    has painted it; with `ANSWERS` until a page without a question answers.
    """
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.add_init_script(ready)
    page.goto(path.resolve().as_uri())
    page.wait_for_function("window.live")
    time = page.evaluate(SHOWN)
    context.close()
    return float(time)


def asks(path: Path) -> bool:
    """Whether a page holds questions, or a place for those that come back."""
    text = path.read_text("utf-8")
    return 'class="quiz-data"' in text or "session-said" in text


if __name__ == "__main__":
    from playwright.sync_api import sync_playwright

    site, runs = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 5
    found: list[tuple[float, float, str]] = []
    known: list[float] = []
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=start.browser_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        for path in sorted(each for folder in FOLDERS for each in site.glob(folder)):
            if not asks(path):
                continue
            pairs = [
                (usable_ms(opened, site / KNOWN, ANSWERS), usable_ms(opened, path))
                for _ in range(runs)
            ]
            known += [each for each, _ in pairs]
            times = [each for _, each in pairs]
            ratio = statistics.median(own / other for other, own in pairs)
            found.append((statistics.median(times), ratio, str(path.relative_to(site))))
            print(
                f"{found[-1][2]:44} {path.stat().st_size / 1e3:6.0f} kB   median"
                f" {found[-1][0]:5.0f} ms   largest {max(times):5.0f} ms   {ratio:4.2f} of {KNOWN}",
                flush=True,
            )
        opened.close()
    above = sum(time > AIM_MS for time, _, _ in found)
    time, ratio, name = max(found)
    print(
        f"worst: {name}, {time:.0f} ms (aim {AIM_MS}), {ratio:.2f} of {KNOWN}"
        f" ({statistics.median(known):.0f} ms); above the aim: {above} of {len(found)} pages"
    )
    load = os.getloadavg()[0]
    if load > BUSY:
        print(f"others are at work here (load {load:.1f}): repeat on an idle machine")
