"""How much of a large field of cases a run tries: some in the plain run, all with `test all`."""

from __future__ import annotations

import os

LONG_RUN = "FIRSTWAY_LONG_RUN"  # set by conftest where the long tests run too


def many(some: int, all_of_them: int) -> int:
    """How many cases (or, as a step of a slice, one in how many) this run tries."""
    return all_of_them if os.environ.get(LONG_RUN) else some
