"""100 random changes of 5 % in table cells and formula coefficients: how many do the fast tests
see, and which class of test?

    python tests/mutations/run.py [HOW_MANY [SEED]]

A change is put into memory in a process of its own; no file is touched. Half of the changes are
cells that a working, a check or a choice reads, half are numbers in the text of a formula. What
fails without any change does not count.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parent))

from changing_one import Change, as_json, cells, coefficients  # noqa: E402

HOW_MANY, SEED = 100, 20261201
SHARE = 0.05
PROOF = ("independent solver", "second published source or law", "law or printed anchor")


@dataclass(frozen=True)
class Outcome:
    said: str
    kind: str
    seen_by: tuple[str, ...]


def drawn(how_many: int, seed: int) -> list[Change]:
    draw = Random(seed)
    chosen = draw.sample(cells(), how_many - how_many // 2) + draw.sample(
        coefficients(), min(how_many // 2, len(coefficients()))
    )
    return [replace(change, factor=draw.choice((1 - SHARE, 1 + SHARE))) for change in chosen]


def tried(change: Change | None) -> dict[str, object]:
    """Run the fast tests with one change in memory."""
    done = subprocess.run(
        [sys.executable, str(Path(__file__).parent / "changing_one.py"), as_json(change)],
        capture_output=True,
        text=True,
        timeout=600,
        env={**os.environ, "PYTHONUTF8": "1"},
    )
    try:
        return json.loads(done.stdout.splitlines()[-1])
    except (IndexError, ValueError):
        raise RuntimeError(
            f"the tests did not run with {change}:\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
        ) from None


def outcomes(how_many: int = HOW_MANY, seed: int = SEED) -> list[Outcome]:
    changes = drawn(how_many, seed)
    usual = Counter(tried(None)["failed"])
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        answers = list(pool.map(tried, changes))
    return [
        Outcome(
            str(answer["said"]),
            change.kind,
            tuple(name for name, count in answer["failed"].items() if count > usual[name]),
        )
        for change, answer in zip(changes, answers)
    ]


def report(found: list[Outcome]) -> list[str]:
    seen = [outcome for outcome in found if outcome.seen_by]
    lines = [f"{len(seen)} of {len(found)} changes of 5 % are seen"]
    for kind in ("cell", "coefficient"):
        of_kind = [outcome for outcome in found if outcome.kind == kind]
        lines.append(
            f"  {kind}: {sum(bool(outcome.seen_by) for outcome in of_kind)} of {len(of_kind)}"
        )
    by_class = Counter(name for outcome in seen for name in outcome.seen_by)
    lines += [f"  seen by {name}: {count}" for name, count in by_class.most_common()]
    lines.append(
        "  seen by a class that is proof (solver, second source, law):"
        f" {sum(bool(set(PROOF) & set(outcome.seen_by)) for outcome in found)}"
    )
    lines.append(
        "  seen by transcription alone:"
        f" {sum(outcome.seen_by == ('transcription',) for outcome in found)}"
    )
    lines += [f"  not seen: {outcome.said}" for outcome in found if not outcome.seen_by]
    return lines


if __name__ == "__main__":
    asked = [int(each) for each in sys.argv[1:3]]
    print("\n".join(report(outcomes(*asked))))
