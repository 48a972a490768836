"""How long a fault at every place takes for each shipped installation, in CPU milliseconds.

    python tests/benchmarks/sweep_time.py [RUNS]

In one process, the installation worked already; the fastest of several runs, printed and never
asserted: 150 ms on the largest job is the aim on an idle machine. `steps` makes every step of every
place, `rules` the findings of the rules that walk them. Beside each stands how many times the
workings of the same job it takes, both run by turns, which a busy machine changes less.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tools"))

from firstway.checks.rule import Case  # noqa: E402
from firstway.checks.running import findings_of  # noqa: E402
from firstway.choosing.completing import completed  # noqa: E402
from firstway.model.reading import installation_from_yaml  # noqa: E402

RULES = ("fault-opens-in-time", "fault-survived", "breaking-capacity")


def fastest_ms(works: dict[str, Callable[[], object]], runs: int) -> dict[str, float]:
    """The fastest run of each, all of them by turns."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(runs):
        for name, work in works.items():
            begin = time.process_time()
            work()
            times[name].append(time.process_time() - begin)
    return {name: min(found) * 1000 for name, found in times.items()}


if __name__ == "__main__":
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    slowest = 0.0
    for path in sorted((ROOT / "diagrams").glob("*.yaml")):
        if path.stem == "mistakes":
            continue
        read, _ = installation_from_yaml(path.read_text(encoding="utf-8"), path.name, path.stem)
        done, _ = completed(read) if read else (None, [])
        if done is None:
            continue
        whole = done.installation

        def ready() -> Case:
            case = Case(whole)
            case.workings, case.circuit
            return case

        fresh = [ready() for _ in range(2 * runs)]
        found = fastest_ms(
            {
                "workings": lambda: Case(whole).workings,
                "steps": lambda: fresh.pop().faults,
                "rules": lambda: findings_of(fresh.pop(), RULES),
            },
            runs,
        )
        slowest = max(slowest, found["steps"])
        told = "   ".join(
            f"{name} {found[name]:6.1f} ms ({found[name] / found['workings']:.1f} x workings)"
            for name in ("steps", "rules")
        )
        print(f"{path.stem:10} {len(done.case.sweep.every):4} places   {told}", flush=True)
    print(f"slowest {slowest:.0f} ms; the aim is 150 ms")
