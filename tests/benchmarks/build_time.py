"""How long building the whole guide takes, as a multiple of `python3 -c "import yaml"`.

    python tests/benchmarks/build_time.py [RUNS]

Whole processes, median of several runs, printed and never asserted. The guide goes to a folder that
is removed again.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from timing import against_plain, firstway, line

if __name__ == "__main__":
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "site"
        print(line("build", *against_plain(firstway("build", "--out", str(out)), runs)))
        pages = sum(1 for _ in out.rglob("*.html"))
        size = sum(path.stat().st_size for path in out.rglob("*") if path.is_file())
        print(f"{pages} pages, {size / 1e6:.1f} MB")
