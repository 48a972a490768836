"""How long one surge run takes, and as a share of an ngspice process on the same circuit.

    python tests/benchmarks/surge_time.py [RUNS]

Median of runs taken in turn with ngspice, so that a busy machine slows both alike; printed and
never asserted. The aims: at most 8 ms a run on an idle machine, and at most 0.9 of the process.
ngspice gets 5 ns, with which a rectifier is 1.7 % low; here every step is finer at first.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tools"), str(ROOT / "tests")]

from surge_netlist import netlist  # noqa: E402

from firstway.calculations.surge import SurgeCase, two_term_law  # noqa: E402
from firstway.calculations.surge_running import surge_run  # noqa: E402
from firstway.workings.surge.model import surge_model  # noqa: E402

LAW = two_term_law(450, 0.03, 1500, 20000)
CASES = {
    "no device, open end": SurgeCase(15, 7.5),
    "device, open end": SurgeCase(15, 7.5, LAW),
    "device, vehicle varistor": SurgeCase(15, 7.5, LAW, vehicle="varistor"),
    "two devices, open end": SurgeCase(30, 7.5, LAW, second_spd=LAW),
}


def seconds(work) -> float:
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


if __name__ == "__main__":
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    model = surge_model()
    program = shutil.which("ngspice")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "surge.cir"
        for name, case in CASES.items():
            path.write_text(netlist(case, model, step_s=5e-9), encoding="ascii")
            theirs = (
                (
                    lambda: subprocess.run(
                        [program, "-b", str(path)], capture_output=True, check=False
                    )
                )
                if program
                else None
            )
            pairs = [
                (seconds(lambda: surge_run(case, model)), seconds(theirs) if theirs else 0.0)
                for _ in range(runs)
            ]
            own, other = (statistics.median(times) for times in zip(*pairs))
            against = (
                f"ngspice {other * 1e3:6.1f} ms   {own / other:5.2f} of it"
                if program
                else "ngspice is not on this machine"
            )
            print(f"{name:26} {own * 1e3:6.1f} ms   {against}")
