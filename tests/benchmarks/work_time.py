"""How long `firstway work FILE` takes for each shipped installation, as a multiple of `python3 -c
"import yaml"`.

    python tests/benchmarks/work_time.py [RUNS]

Whole processes, median of several runs, printed and never asserted: 0.35 s is the aim on a machine
with two cores.
"""

from __future__ import annotations

import sys

from timing import ROOT, against_plain, firstway, line

if __name__ == "__main__":
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    slowest = 0.0
    for path in sorted((ROOT / "diagrams").glob("*.yaml")):
        if path.stem != "mistakes":
            own, plain, ratio = against_plain(firstway("work", str(path)), runs)
            slowest = max(slowest, own)
            print(line(path.stem, own, plain, ratio), flush=True)
    print(f"slowest {slowest:.3f} s; the aim is 0.35 s")
