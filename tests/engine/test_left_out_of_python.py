"""What the page of one's own job leaves out of Python's library is asked by nothing it runs."""

import json
import subprocess
import sys
from pathlib import Path

from firstway.site.engine_files import LEFT_OUT, LEFT_OUT_OF_PYTHON

# Where such a module is asked for, it is not there; then all is loaded and asked that a page asks.
WITHOUT_THEM = """
import importlib, json, sys
left_out, modules, text = json.load(sys.stdin)

class Missing:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in left_out:
            raise ModuleNotFoundError(name)

for name in [name for name in sys.modules if name.partition(".")[0] in left_out]:
    del sys.modules[name]
sys.meta_path.insert(0, Missing())
for name in modules:
    importlib.import_module(name)
from firstway.engine.asking import answered
asked = [dict(ask=each) for each in ("read", "judge", "figures", "working")]
asked += [dict(ask="draw", view=view) for view in ("single-line", "board", "wiring", "lifelike")]
for each in asked:
    assert answered(json.dumps({**each, "text": text, "file": "job.yaml"})), each
print("answered")
"""


def test_left_out_of_python__is_asked_by_nothing_the_page_runs(root: Path) -> None:
    program = root / "tools"
    modules = [
        ".".join(path.relative_to(program).with_suffix("").parts).removesuffix(".__init__")
        for path in sorted((program / "firstway").rglob("*.py"))
        if path.relative_to(program / "firstway").parts[0] not in LEFT_OUT
    ]
    given = json.dumps(
        [
            sorted(LEFT_OUT_OF_PYTHON),
            modules,
            (root / "diagrams/marram.yaml").read_text("utf-8"),
        ]
    )
    found = subprocess.run(
        [sys.executable, "-c", WITHOUT_THEM],
        input=given,
        capture_output=True,
        text=True,
        env={"PYTHONPATH": str(program), "FIRSTWAY_CACHE": "", "PYTHONUTF8": "1"},
    )
    assert found.stdout.strip() == "answered", found.stderr
