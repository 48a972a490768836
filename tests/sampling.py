"""How much of a large field of cases a run tries: some in the plain run, all with `test all`.

Also the one list of the shipped installations: whoever adds a file to `diagrams/` adds it to every
test that takes one of them after another.
"""

from __future__ import annotations

import os
from pathlib import Path

LONG_RUN = "FIRSTWAY_LONG_RUN"  # set by conftest where the long tests run too
DIAGRAMS = Path(__file__).parents[1] / "diagrams"
# Those of the plain run, which must stay short: every kind of supply, earthing, board and rule set.
_PLAIN = frozenset(
    "alder bramble dunlin fulmar marram osier plover quince sallow sedge tern".split()
)


def many(some: int, all_of_them: int) -> int:
    """How many cases (or, as a step of a slice, one in how many) this run tries."""
    return all_of_them if os.environ.get(LONG_RUN) else some


# Every shipped installation, for what is quick or asks whether one among them will do.
EVERY_JOB = tuple(sorted(path.stem for path in DIAGRAMS.glob("*.yaml") if path.stem != "mistakes"))
# Those this run takes one after another.
JOBS = tuple(name for name in EVERY_JOB if name in _PLAIN or many(0, 1))
