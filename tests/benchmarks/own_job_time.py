"""What the page of one's own job costs a reader: how long until its form can be used, until the
first verdict, and after a change until verdict, changed figures and drawings; and its memory.

    python tests/benchmarks/own_job_time.py SITE [--runs N] [--job NAME]

SITE is a built guide with its engine. Each time is printed beside its aim and as so many times a
plain process (`python -c "import yaml"`) timed in the same run: a busy machine slows both.

The browser's CPU is slowed 1 and 4 times (`Emulation.setCPUThrottlingRate`). That slows the page
alone: the program runs in a worker, which it does not reach. So the time that the page waited for
the worker is measured too, and counted 4 times where 4 times is said.

Memory: what is private to the process of the page, worker, script heaps and WebAssembly together
(Linux, /proc/PID/smaps_rollup), after changes with all open and with the papers made; and the same
of another page of the guide.
"""

from __future__ import annotations

import argparse
import statistics
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tools"), str(Path(__file__).parent)]

import start  # noqa: E402
from timing import PLAIN, seconds  # noqa: E402

# What is measured, with its aim in seconds on an idle machine, and with the CPU slowed 4 times.
AIMS = {
    "form can be used": (1.0, None),
    "first verdict": (6.0, 24.0),
    "verdict after a change": (0.4, 1.6),
    "changed figures": (0.4, 1.6),
    "drawings in view": (1.0, 4.0),
}
MEMORY_AIM_MB = 300
# Whichever job it is: the length of the first part of its first circuit's route.
FIELD = "[id^=own-q-circuits-][id$=-route-1-length_m] >> nth=0"
# The times at which things stand on the page, and how long it waited for the worker until then.
WATCHED = """
window.at = {}; window.waited = 0; let asked = 0, seen = [], was = "";
const text = () => (document.getElementById("own-text") || {}).value;
const mark = name => { if (!(name in at)) at[name] = [performance.now() / 1000, waited / 1000]; };
const given = Worker.prototype.postMessage;
Worker.prototype.postMessage = function (...message) {
  asked = performance.now();
  return given.apply(this, message);
};
window.Worker = class extends Worker {
  constructor(...given) {
    super(...given);
    this.addEventListener("message", () => { waited += performance.now() - asked; });
  }
};
window.anew = () => { at = {}; waited = 0; asked = performance.now(); was = text();
  seen.forEach(each => each.classList.add("before")); };
new MutationObserver(() => {
  if (document.querySelector("#own-form .own-question")) mark("form can be used");
  const find = { "verdict": "#own-verdict .may-not", "changed figures": "#own-changed details" };
  Object.entries(find).forEach(([name, where]) => {
    const found = [...document.querySelectorAll(where)];
    const fresh = found.filter(each => !each.classList.contains("before"));
    if (fresh.length && fresh.length === found.length) mark(name);
    seen = seen.concat(fresh);
  });
  // one that a change left as it was stays, and says of which text it is now
  const drawings = [...document.querySelectorAll("[data-drawing]")];
  if (drawings.length && was !== text() && drawings.every(each => each.dataset.of === text()))
    mark("drawings in view");
}).observe(document, {
  subtree: true, childList: true, attributes: true, attributeFilter: ["data-of"] });
"""
OPEN = "document.querySelectorAll('#own-form details, %s').forEach(each => { each.open = true })"
DRAWINGS = "#own-told details:has([data-drawing])"
# They come one after the other: a time is known when the last is there.
ALL_DRAWN = (
    "() => [...document.querySelectorAll('[data-drawing]')].every(e => e.matches(':has(svg)'))"
)
ALL_ANEW = "() => 'drawings in view' in at && 'changed figures' in at && 'verdict' in at && at"


@contextmanager
def opened(browser: Any, path: Path, job: str, slowed: int) -> Iterator[tuple[Any, Any]]:
    """The page with the job, watched from its begin, and its session."""
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slowed})
    page.add_init_script(WATCHED)
    page.goto(f"{path.resolve().as_uri()}?job={job}")
    page.wait_for_selector("#own-verdict .may-not", timeout=300_000)
    yield page, session
    context.close()


def figures(at: dict[str, tuple[float, float]], slowed: int) -> dict[str, float]:
    """Seconds of each thing since the page began, or since it was marked anew."""
    return {name: own - waited + waited * slowed for name, (own, waited) in at.items()}


def run(browser: Any, path: Path, job: str, slowed: int) -> dict[str, float]:
    """One opening and one change, in seconds."""
    with opened(browser, path, job, slowed) as (page, _):
        first = figures(page.evaluate("window.at"), slowed)
        found = {
            "form can be used": first["form can be used"],
            "first verdict": first["verdict"],
        }
        page.evaluate(OPEN % DRAWINGS)
        page.wait_for_function(ALL_DRAWN, timeout=240_000)
        page.wait_for_timeout(500)
        page.fill(FIELD, f"{float(page.input_value(FIELD)) + 1:g}")
        page.evaluate("window.anew()")
        begun = page.evaluate("performance.now() / 1000")
        page.press(FIELD, "Tab")
        at = page.wait_for_function(ALL_ANEW, timeout=240_000).json_value()
        after = figures(at, slowed)
        found["verdict after a change"] = after["verdict"] - begun
        found["changed figures"] = after["changed figures"] - begun
        found["drawings in view"] = after["drawings in view"] - begun
    return found


def memory(browser: Any, path: Path, job: str) -> tuple[float, float]:
    """MB that are the largest process of pages' own: with another page of the guide, and with this
    one at work.
    """
    other = browser.new_page()
    other.goto((path.parent / "about.html").resolve().as_uri())
    plain = _largest_mb(browser)
    other.close()
    with opened(browser, path, job, 1) as (page, _):
        page.evaluate(OPEN % "#own-told details")
        page.wait_for_selector("#own-working math", timeout=120_000, state="attached")
        for length in ("31", "9", "24"):
            page.fill(FIELD, length)
            page.press(FIELD, "Tab")
            page.wait_for_timeout(3000)
        page.evaluate("() => window.ownJobAsk({ask: 'papers'}).then(() => 1)")
        return plain, _largest_mb(browser)


def _largest_mb(browser: Any) -> float:
    session = browser.new_browser_cdp_session()
    found = session.send("SystemInfo.getProcessInfo")["processInfo"]
    session.detach()
    return max(_own_mb(each["id"]) for each in found if each["type"] == "renderer")


def _own_mb(process: int) -> float:
    lines = Path(f"/proc/{process}/smaps_rollup").read_text(encoding="utf-8").splitlines()
    return sum(int(each.split()[1]) for each in lines if each.startswith("Private_")) / 1000


if __name__ == "__main__":
    from playwright.sync_api import sync_playwright

    parser = argparse.ArgumentParser(description="What the page of one's own job costs.")
    parser.add_argument("site", type=Path, metavar="SITE")
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--job", default="marram")
    arguments = parser.parse_args()
    page_of_it = arguments.site / "own-job.html"
    if not (arguments.site / "assets/engine/python.js").exists():
        parser.error(f"{arguments.site} holds no engine: build it without --without-engine")
    with sync_playwright() as playwright:
        launched = lambda: playwright.chromium.launch(
            executable_path=start.browser_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        browser = launched()
        seconds(PLAIN)
        for place, slowed in enumerate((1, 4)):
            runs, plain = [], []
            for _ in range(arguments.runs):
                runs.append(run(browser, page_of_it, arguments.job, slowed))
                plain.append(seconds(PLAIN))
            process = statistics.median(plain)
            print(f"CPU slowed {slowed} times; a plain process takes {process:.3f} s")
            for name, aims in AIMS.items():
                found = statistics.median(each[name] for each in runs)
                aim = f"aim {aims[place]:4.1f} s" if aims[place] else "no aim    "
                print(f"  {name:24} {found:6.2f} s   {aim}   {found / process:6.1f} times")
        browser.close()
        browser = launched()
        plain_mb, own_mb = memory(browser, page_of_it, arguments.job)
        browser.close()
    print(f"memory {own_mb:.0f} MB (aim {MEMORY_AIM_MB}); another page {plain_mb:.0f} MB")
