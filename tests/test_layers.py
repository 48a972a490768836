"""Keeps the flow of imports inside tools/firstway: one direction, one room for each outside
library.

The rules are our own design, so nothing outside the project can prove them; the
invented sources at the end prove that each rule can fail.
"""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

PACKAGE = "firstway"

# The rooms in the order of the flow. A room may import from itself and from
# every line above its own; rooms on one line are siblings and do not meet.
FLOW = (
    ("problems",),
    ("files",),
    ("model", "tables"),
    ("calculations",),
    ("wiring",),
    ("workings",),
    ("checks",),
    ("choosing",),
    ("rendering",),
    ("drawing", "quiz"),
    ("pages", "desk"),
    ("site",),
    ("cli",),
    ("__main__",),
)

# Rooms that see less than all above them. Everything may report a Problem.
NARROWER = {
    "calculations": {"problems"},  # pure: know no file, model, table or page
    "wiring": {"problems", "model", "tables", "calculations"},
}

# Each outside library touches one room, so that it can be replaced there.
LIBRARY_ROOM = {
    "yaml": "files",
    "schemdraw": "drawing",
    "mkdocs": "site",
    "material": "site",
    "markdown": "site",
    "pymdownx": "site",
    "cryptography": "desk",
}


def rooms_visible_from(room: str) -> set[str]:
    """The other rooms that a room may import from."""
    if room in NARROWER:
        return NARROWER[room]
    line = next(number for number, names in enumerate(FLOW) if room in names)
    return {name for names in FLOW[:line] for name in names}


def breaches(sources: Mapping[str, str]) -> list[str]:
    """What is wrong with a tree, given as path below the package -> source; sorted lines."""
    return sorted(line for path in sources for line in breaches_of(path, sources))


def breaches_of(path: str, sources: Mapping[str, str]) -> Iterator[str]:
    """What is wrong with one file of the tree."""
    room = room_of(path)
    if path.endswith("__init__.py"):
        if sources[path].strip():
            yield f"{path}:1: an __init__.py stays empty; move its content into a module"
        return
    if room not in {name for names in FLOW for name in names}:
        yield f"{path}:1: '{room}' is no room of the flow; put the module into one that is"
        return
    for folder in folders_above(path):
        if f"{folder}__init__.py" not in sources:
            yield f"{folder or PACKAGE}: has modules but no __init__.py; add an empty one"
    for line, wanted, names in imports_in(sources[path], dotted(path)):
        for complaint in import_breaches(room, wanted, names, sources):
            yield f"{path}:{line}: {complaint}"


def import_breaches(
    room: str, wanted: str, names: tuple[str, ...], sources: Mapping[str, str]
) -> Iterator[str]:
    """What is wrong with one import: a module's dotted name and the names taken from it."""
    first, *rest = wanted.split(".")
    if first != PACKAGE:
        yield from library_breaches(room, first)
        return
    if is_package(wanted, sources):
        inner = [f"{wanted}.{name}" for name in names]
        outer = [name for name in inner or [wanted] if not is_module(name, sources)]
        for name in outer:
            yield f"imports {name} by way of a package; import from the module that holds it"
    targets = {rest[0]} if rest else set(names)
    for target in sorted(targets - {room}):
        if target not in rooms_visible_from(room):
            yield f"'{room}' imports from '{target}', which is not above it; {allowed(room)}"


def allowed(room: str) -> str:
    """The rooms a room sees, as the end of a message."""
    seen = rooms_visible_from(room)
    order = [name for names in FLOW for name in names if name in seen]
    return f"'{room}' sees {', '.join(order) or 'no other room'}"


def library_breaches(room: str, library: str) -> Iterator[str]:
    """What is wrong with importing something from outside the package."""
    if library in sys.stdlib_module_names:
        return
    home = LIBRARY_ROOM.get(library)
    if home is None:
        yield (
            f"imports {library}, a library without a room; declare it in "
            "tools/pyproject.toml and give it one room in LIBRARY_ROOM"
        )
    elif home != room:
        yield f"'{room}' imports {library}, which only '{home}' touches; pass a value instead"


def imports_in(source: str, module: str) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    """Every import of a source, wherever it stands: line, module, names taken from it."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            for each in node.names:
                yield node.lineno, each.name, ()
        elif isinstance(node, ast.ImportFrom):
            taken = tuple(each.name for each in node.names)
            yield node.lineno, absolute(node.module, node.level, module), taken
        elif isinstance(node, ast.Call) and called(node) in ("import_module", "__import__"):
            name = leading_text(node)
            if name:
                yield node.lineno, name, ()


def absolute(name: str | None, level: int, module: str) -> str:
    """The full name of what `from ..name import` means inside a module."""
    if not level:
        return name or ""
    base = module.split(".")[:-level]
    return ".".join(base + ([name] if name else []))


def called(node: ast.Call) -> str:
    """The last word of what a call calls."""
    return getattr(node.func, "attr", getattr(node.func, "id", ""))


def leading_text(node: ast.Call) -> str:
    """The fixed text that the first argument of a call begins with."""
    first = node.args[0] if node.args else None
    if isinstance(first, ast.JoinedStr) and first.values:
        first = first.values[0]
        if isinstance(first, ast.Constant) and "." in str(first.value):
            # f"firstway.checks.{name}" stands for some module of the folder: "firstway.checks.*".
            return str(first.value).rpartition(".")[0] + ".*"
    return first.value if isinstance(first, ast.Constant) and isinstance(first.value, str) else ""


def room_of(path: str) -> str:
    """The room a file lies in: its top folder, or its own name beside the rooms."""
    return path.split("/")[0].removesuffix(".py")


def dotted(path: str) -> str:
    """The full name of the module in a file."""
    return f"{PACKAGE}." + path.removesuffix(".py").replace("/", ".")


def folders_above(path: str) -> list[str]:
    """The folders a file lies in, each with its closing slash; the package itself is ''."""
    parts = path.split("/")[:-1]
    return ["/".join(parts[:count]) + "/" if count else "" for count in range(len(parts) + 1)]


def is_package(name: str, sources: Mapping[str, str]) -> bool:
    """Whether a full name is a folder of the tree."""
    below = "/".join(name.split(".")[1:])
    return f"{below}/__init__.py".lstrip("/") in sources


def is_module(name: str, sources: Mapping[str, str]) -> bool:
    """Whether a full name is a module of the tree."""
    below = "/".join(name.split(".")[1:])
    return f"{below}.py" in sources


def tree_under(folder: Path) -> dict[str, str]:
    """Every Python source below a folder, by its path with forward slashes."""
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*.py"))
    }


def test_the_package_keeps_the_flow(root: Path) -> None:
    found = breaches(tree_under(root / "tools" / PACKAGE))
    assert not found, "\n" + "\n".join(found)


# ---- the rules can fail: invented trees


def tree(modules: dict[str, str]) -> dict[str, str]:
    """A small sound tree with some modules put in or replaced, by their paths."""
    sound = {
        "problems.py": "",
        "files/reader.py": "import yaml\nfrom firstway.problems import Problem",
        "model/board.py": "from firstway.files.reader import Text",
        "tables/sizes.py": "import csv",
        "calculations/drop.py": "import math",
        "workings/feed.py": "from firstway.calculations import drop",
        "wiring/graph.py": "from firstway.model.board import Board",
        "checks/capacity.py": "from firstway.wiring.graph import Graph",
        "quiz/paper.py": "from firstway.rendering.figure import figure",
        "rendering/figure.py": "",
        "drawing/symbol.py": "import schemdraw.elements",
        "pages/home.py": "from firstway.drawing.symbol import x\nfrom firstway.quiz.paper import y",
        "site/plugin.py": "from mkdocs.plugins import BasePlugin",
        "cli.py": "from firstway.site.plugin import FirstwayPlugin",
    }
    folders = {folder for path in sound | modules for folder in folders_above(path)}
    return {f"{folder}__init__.py": "" for folder in folders} | sound | modules


def test_breaches__an_empty_tree_and_a_sound_one_have_none() -> None:
    assert breaches({}) == []
    assert breaches({"__init__.py": ""}) == []
    assert breaches(tree({})) == []


@pytest.mark.parametrize(
    ("path", "source", "said"),
    [
        pytest.param(
            "model/load.py",
            "from firstway.cli import main",
            "'model' imports from 'cli', which is not above it",
            id="against the flow",
        ),
        pytest.param(
            "model/load.py",
            "def f():\n    import firstway.site.plugin",
            "model/load.py:2: 'model' imports from 'site'",
            id="hidden in a function",
        ),
        pytest.param(
            "model/load.py",
            "from firstway.tables.sizes import row",
            "'model' imports from 'tables'",
            id="siblings model and tables",
        ),
        pytest.param(
            "drawing/board.py",
            "from firstway.quiz.paper import y",
            "'drawing' imports from 'quiz'",
            id="siblings drawing and quiz",
        ),
        pytest.param(
            "quiz/bank.py",
            "from firstway.drawing import symbol",
            "'quiz' imports from 'drawing'",
            id="quiz takes drawings as values",
        ),
        pytest.param(
            "desk/room.py",
            "from firstway.pages.home import home",
            "'desk' imports from 'pages'",
            id="siblings pages and desk",
        ),
        pytest.param(
            "wiring/bars.py",
            "from firstway.workings.feed import x",
            "'wiring' imports from 'workings'",
            id="wiring sees three rooms",
        ),
        pytest.param(
            "calculations/loop.py",
            "from firstway.tables.sizes import row",
            "'calculations' imports from 'tables'",
            id="calculations are pure",
        ),
        pytest.param(
            "problems.py",
            "import firstway.files.reader",
            "'problems' sees no other room",
            id="problems stand alone",
        ),
        pytest.param(
            "checks/rule.py",
            "from ..cli import main",
            "'checks' imports from 'cli'",
            id="relative, another room",
        ),
        pytest.param(
            "checks/rule.py",
            "from .. import cli",
            "'checks' imports from 'cli'",
            id="relative, the package itself",
        ),
        pytest.param(
            "files/list.py",
            "from importlib import import_module\nimport_module('firstway.checks.capacity')",
            "files/list.py:2: 'files' imports from 'checks'",
            id="by name at run time",
        ),
        pytest.param(
            "files/list.py",
            "import importlib\nimportlib.import_module(f'firstway.checks.{1}')",
            "'files' imports from 'checks'",
            id="by a composed name at run time",
        ),
        pytest.param(
            "cli.py",
            "from firstway.site import FirstwayPlugin",
            "imports firstway.site.FirstwayPlugin by way of a package",
            id="from a package",
        ),
        pytest.param(
            "checks/rule.py",
            "from . import finding",
            "imports firstway.checks.finding by way of a package",
            id="from own package",
        ),
        pytest.param(
            "cli.py",
            "import firstway.site",
            "imports firstway.site by way of a package",
            id="a package whole",
        ),
        pytest.param(
            "checks/__init__.py",
            "from firstway.checks.capacity import check",
            "checks/__init__.py:1: an __init__.py stays empty",
            id="a filled __init__",
        ),
        pytest.param(
            "model/load.py",
            "import yaml",
            "'model' imports yaml, which only 'files' touches",
            id="yaml elsewhere",
        ),
        pytest.param(
            "pages/tabs.py",
            "import pymdownx.tabbed",
            "'pages' imports pymdownx, which only 'site' touches",
            id="pymdownx elsewhere",
        ),
        pytest.param(
            "quiz/svg.py",
            "from schemdraw import Drawing",
            "'quiz' imports schemdraw, which only 'drawing' touches",
            id="schemdraw elsewhere",
        ),
        pytest.param(
            "quiz/seal.py",
            "from cryptography import x509",
            "'quiz' imports cryptography, which only 'desk' touches",
            id="cryptography elsewhere",
        ),
        pytest.param(
            "cli.py",
            "import mkdocs.commands.build",
            "'cli' imports mkdocs, which only 'site' touches",
            id="mkdocs elsewhere",
        ),
        pytest.param(
            "files/net.py",
            "import requests",
            "imports requests, a library without a room",
            id="an undeclared library",
        ),
        pytest.param(
            "helpers/text.py", "import os", "'helpers' is no room of the flow", id="an unknown room"
        ),
    ],
)
def test_breaches__finds(path: str, source: str, said: str) -> None:
    found = breaches(tree({path: source}))
    assert any(said in line for line in found), found


def test_breaches__finds_a_folder_without_init() -> None:
    sources = tree({})
    del sources["checks/__init__.py"]
    assert breaches(sources) == ["checks/: has modules but no __init__.py; add an empty one"]


# ---- a command loads its own rooms alone

LOADED = """
import contextlib, io, sys
from firstway.cli import main
with contextlib.redirect_stdout(io.StringIO()):
    main(sys.argv[1:])
print(*sorted({name.split(".")[1] for name in sys.modules if name.startswith("firstway.")}))
"""


@pytest.mark.parametrize(
    ("command", "absent"),
    [
        (("work", "{job}"), {"drawing", "quiz", "pages", "desk", "site"}),
        (("check", "{job}"), {"drawing", "quiz", "pages", "desk", "site"}),
        (("draw", "{job}", "board"), {"quiz", "pages", "desk", "site"}),
    ],
    ids=["work", "check", "draw"],
)
def test_a_command_loads_its_own_rooms_alone(
    root: Path, command: tuple[str, ...], absent: set[str]
) -> None:
    job = str(root / "diagrams" / "marram.yaml")
    arguments = [word.format(job=job) for word in command]
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *arguments],
        env={**os.environ, "PYTHONPATH": str(root / "tools")},
        capture_output=True,
        text=True,
        check=True,
    )
    rooms = set(done.stdout.split())
    assert "workings" in rooms and rooms & absent == set()
