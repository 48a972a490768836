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
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = "firstway"

# The rooms in the order of the flow. A room may import from itself and from
# every line above its own; rooms on one line are siblings and do not meet.
FLOW = (
    ("frozen",),
    ("problems",),
    ("files",),
    ("model", "tables"),
    ("calculations",),
    ("wiring",),
    ("layout",),
    ("workings",),
    ("checks",),
    ("choosing",),
    ("rendering",),
    ("drawing", "quiz"),
    ("record",),
    ("spreading",),
    ("pages", "desk", "engine"),
    ("site",),
    ("cli",),
    ("__main__",),
)

# Rooms that see less than all above them. Everything may report a Problem.
NARROWER = {
    "calculations": {"frozen", "problems"},  # pure: know no file, model, table or page
    "wiring": {"frozen", "problems", "model", "tables", "calculations"},
    "layout": {"frozen", "model", "tables", "calculations", "wiring"},  # no words, no strokes
}

# The rooms inside a room, in the order of their flow; "" are the modules beside them.
INNER_FLOW = {
    "workings": (("shared",), ("surge",), ("bs_iec",), ("nec",), ("",)),
    "checks": (("",), ("rules",)),
    "quiz": (("marking",), ("bank",), ("forms",), ("paper",), ("",)),
    "desk": (
        ("shared",),
        ("answers",),
        ("papers",),
        ("marking",),
        ("analysis", "exports"),
        ("",),
    ),
    "pages": (("shared",), ("jobs", "quizzes"), ("reference",), ("chapters", "tutors"), ("",)),
    "drawing": (
        ("",),
        ("front", "single", "wiring_view", "hands"),
        ("lifelike",),
        ("",),
    ),  # views stand between what all use and what uses them
}

# What imports by a composed name, and why nothing else would do.
BY_NAME = {
    "checks/running.py": "firstway.checks.rules.*",  # a rule is a file put into its folder
    "quiz/forms/registry.py": "firstway.quiz.forms.*",  # a kind of question is a folder
}
IMPORTERS = {"import_module", "__import__", "run_module", "run_path", "resolve_name"}

# Imports below `if TYPE_CHECKING`: path to module, with the reason beside it. They part a circle
# at run time and leave it in the reader's head, so there are none without a reason.
FOR_TYPES: dict[str, str] = {
    "frozen.py": "the type checker takes what it makes for the standard library's own",
    "site/plugin.py": "the server of a preview is for a preview alone",
}

# Each outside library touches one room, so that it can be replaced there.
LIBRARY_ROOM = {
    "yaml": "files",
    "schemdraw": "drawing",
    "mkdocs": "site",
    "material": "site",
    "markdown": "site",
    "jinja2": "site",
    "pymdownx": "site",
    "tinycss2": "site",
    "cryptography": "desk",
    "markupsafe": "rendering",
    "distributed": "spreading",
    # of the standard library: what starts processes
    "multiprocessing": "spreading",
    "concurrent": "spreading",
    "subprocess": "spreading",
}


def rooms_visible_from(room: str) -> set[str]:
    """The other rooms that a room may import from."""
    if room in NARROWER:
        return NARROWER[room]
    line = next(number for number, names in enumerate(FLOW) if room in names)
    return {name for names in FLOW[:line] for name in names}


Nodes = tuple[ast.AST, ...]


@lru_cache(maxsize=4)  # one file is asked for several times in a row
def nodes_of(source: str) -> Nodes:
    """Every node of a source, in the order of `ast.walk`."""
    return tuple(ast.walk(ast.parse(source)))


def breaches(sources: Mapping[str, str]) -> list[str]:
    """What is wrong with a tree, given as path below the package -> source; sorted lines."""
    found = [line for path in sources for line in breaches_of(path, sources)]
    return sorted([*found, *circles(sources)])


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
    inner = inner_room(dotted(path))[1]
    if inner and inner not in {name for line in INNER_FLOW.get(room, ()) for name in line}:
        yield f"{path}:1: '{inner}' is no room of the flow inside '{room}'; put it into INNER_FLOW"
    for folder in folders_above(path):
        if f"{folder}__init__.py" not in sources:
            yield f"{folder or PACKAGE}: has modules but no __init__.py; add an empty one"
    for line, wanted, names in imports_in(sources[path], dotted(path)):
        for complaint in import_breaches(room, wanted, names, sources):
            yield f"{path}:{line}: {complaint}"
        for complaint in inner_breaches(path, wanted, names, sources):
            yield f"{path}:{line}: {complaint}"
    nodes = nodes_of(sources[path])
    for line, complaint in (
        *private_breaches(nodes, path, sources),
        *named_breaches(nodes, path),
        *types_breaches(nodes, path),
    ):
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


def modules_meant(wanted: str, names: tuple[str, ...], sources: Mapping[str, str]) -> Iterator[str]:
    """The modules of the tree that one import reads."""
    for name in [wanted, *(f"{wanted}.{name}" for name in names)]:
        if is_module(name, sources):
            yield name


def inner_room(module: str) -> tuple[str, str]:
    """The room of a module, and the room inside it; "" for a module beside those."""
    _, room, *rest = module.split(".")
    return room, rest[0] if len(rest) > 1 else ""


def inner_breaches(
    path: str, wanted: str, names: tuple[str, ...], sources: Mapping[str, str]
) -> Iterator[str]:
    """What is wrong with one import between the rooms inside a room."""
    room, own = inner_room(dotted(path))
    flow = INNER_FLOW.get(room, ())
    first = {name: at for at, line in reversed([*enumerate(flow)]) for name in line}
    last = {name: at for at, line in enumerate(flow) for name in line}
    for module in modules_meant(wanted, names, sources):
        other, inner = inner_room(module)
        if flow and other == room and inner != own and first.get(inner, 0) >= last.get(own, 0):
            yield f"'{room}/{own}' imports from '{room}/{inner}', which is not above it"


def private_breaches(
    nodes: Nodes, path: str, sources: Mapping[str, str]
) -> Iterator[tuple[int, str]]:
    """Names with an underscore that are taken from another module."""
    modules: dict[str, str] = {}
    for node in nodes:
        if isinstance(node, ast.Import):
            modules |= {each.asname or each.name: each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom):
            home = absolute(node.module, node.level, dotted(path))
            for each in node.names:
                if is_private(each.name) and home.startswith(PACKAGE):
                    yield node.lineno, f"takes {each.name} of {home}, which is that module's own"
                modules[each.asname or each.name] = f"{home}.{each.name}"
    for node in nodes:
        if isinstance(node, ast.Attribute) and is_private(node.attr):
            home = modules.get(ast.unparse(node.value), "")
            if is_module(home, sources) and home.startswith(PACKAGE):
                yield node.lineno, f"takes {node.attr} of {home}, which is that module's own"


def is_private(name: str) -> bool:
    """Whether a name is its module's own."""
    return name.startswith("_") and not name.startswith("__")


def named_breaches(nodes: Nodes, path: str) -> Iterator[tuple[int, str]]:
    """Imports by a name that is put together while the program runs, or that hide what they do."""
    called_here = {id(node.func) for node in nodes if isinstance(node, ast.Call)}
    for node in nodes:
        if isinstance(node, ast.Call) and called(node) in IMPORTERS:
            name = leading_text(node)
            ours = not name or name.startswith(".") or name.split(".")[0] == PACKAGE
            if ours and BY_NAME.get(path) != name:
                yield node.lineno, "imports by a composed name; write the import, or pass the value"
        elif isinstance(node, ast.ImportFrom):
            for each in node.names:
                if each.name in IMPORTERS and each.asname:
                    yield node.lineno, f"gives {each.name} another name; call it by its own"
        elif isinstance(node, ast.Name | ast.Attribute) and id(node) not in called_here:
            if getattr(node, "id", getattr(node, "attr", "")) in IMPORTERS:
                yield node.lineno, "hands on what imports by name; call it where it stands"


def for_types(nodes: Nodes) -> Iterator[ast.Import | ast.ImportFrom]:
    """The imports below `if TYPE_CHECKING`."""
    for block in nodes:
        if isinstance(block, ast.If) and ast.unparse(block.test).endswith("TYPE_CHECKING"):
            for node in (each for line in block.body for each in ast.walk(line)):
                if isinstance(node, ast.Import | ast.ImportFrom):
                    yield node


def types_breaches(nodes: Nodes, path: str) -> Iterator[tuple[int, str]]:
    """Imports for types alone that FOR_TYPES does not name."""
    for node in for_types(nodes):
        if path not in FOR_TYPES:
            yield node.lineno, "imports for types alone; name it in FOR_TYPES with its reason"


def circles(sources: Mapping[str, str]) -> Iterator[str]:
    """The first circle of modules that import each other; those for types alone are told apart."""
    needs = {
        dotted(path): {
            module
            for _, wanted, names in imports_in(source, dotted(path), types=False)
            for module in modules_meant(wanted, names, sources)
        }
        for path, source in sources.items()
    }
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        yield f"a circle of imports: {' <- '.join(error.args[1])}; move what both need above them"


def allowed(room: str) -> str:
    """The rooms a room sees, as the end of a message."""
    seen = rooms_visible_from(room)
    order = [name for names in FLOW for name in names if name in seen]
    return f"'{room}' sees {', '.join(order) or 'no other room'}"


def library_breaches(room: str, library: str) -> Iterator[str]:
    """What is wrong with importing something from outside the package."""
    home = LIBRARY_ROOM.get(library)
    if home is None and library in sys.stdlib_module_names:
        return
    if home is None:
        yield (
            f"imports {library}, a library without a room; declare it in "
            "tools/pyproject.toml and give it one room in LIBRARY_ROOM"
        )
    elif home != room:
        yield f"'{room}' imports {library}, which only '{home}' touches; pass a value instead"


def imports_in(
    source: str, module: str, types: bool = True
) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    """Every import of a source, wherever it stands: line, module, names taken from it; `types` for
    those of types alone too.
    """
    nodes = nodes_of(source)
    left_out = set() if types else {id(node) for node in for_types(nodes)}
    for node in nodes:
        if id(node) in left_out:
            continue
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
        "workings/shared/feed.py": "from firstway.calculations import drop",
        "workings/nec/feed.py": "from firstway.workings.shared import feed",
        "wiring/graph.py": "from firstway.model.board import Board",
        "wiring/bars.py": "from firstway.wiring.graph import x",
        "wiring/ways.py": "from firstway.wiring.bars import x",
        "checks/capacity.py": "from firstway.wiring.graph import Graph",
        "checks/rules/drop.py": "from firstway.checks.capacity import check",
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
            "from firstway.workings.shared.feed import x",
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
            "'problems' sees frozen",
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
            "pages/fast.py",
            "from concurrent.futures import ProcessPoolExecutor",
            "'pages' imports concurrent, which only 'spreading' touches",
            id="processes elsewhere",
        ),
        pytest.param(
            "files/net.py",
            "import requests",
            "imports requests, a library without a room",
            id="an undeclared library",
        ),
        pytest.param(
            "model/load.py",
            "import firstway.cli as outside",
            "'model' imports from 'cli'",
            id="a module under another name",
        ),
        pytest.param(
            "model/load.py",
            "from firstway import pages as below",
            "'model' imports from 'pages'",
            id="a room under another name",
        ),
        pytest.param(
            "cli.py",
            "import importlib\nroom = 'checks'\nimportlib.import_module('firstway.' + room)",
            "cli.py:3: imports by a composed name",
            id="a name put together, though the room is above",
        ),
        pytest.param(
            "checks/running.py",
            "import importlib\nimportlib.import_module(f'firstway.checks.{1}')",
            "imports by a composed name",
            id="another name than the one allowed",
        ),
        pytest.param(
            "cli.py",
            "import importlib\nimportlib.import_module('.capacity', 'firstway.checks')",
            "imports by a composed name",
            id="by a relative name",
        ),
        pytest.param(
            "cli.py", "__import__('firstway.cli')", "imports by a composed name", id="dunder import"
        ),
        pytest.param(
            "cli.py",
            "from importlib import import_module as load\nload('firstway.cli')",
            "gives import_module another name",
            id="the importer renamed",
        ),
        pytest.param(
            "cli.py",
            "import importlib\nload = importlib.import_module",
            "hands on what imports by name",
            id="the importer handed on",
        ),
        pytest.param(
            "checks/rule.py",
            "from firstway.wiring.graph import _inner",
            "takes _inner of firstway.wiring.graph",
            id="a private name of another room",
        ),
        pytest.param(
            "workings/nec/drop.py",
            "from firstway.workings.shared.feed import _inner as inner",
            "takes _inner of firstway.workings.shared.feed",
            id="a private name of an inner room",
        ),
        pytest.param(
            "checks/rule.py",
            "import firstway.wiring.graph as graph\ngraph._inner()",
            "checks/rule.py:2: takes _inner of firstway.wiring.graph",
            id="a private name by its module",
        ),
        pytest.param(
            "workings/shared/heat.py",
            "from firstway.workings.nec.feed import x",
            "'workings/shared' imports from 'workings/nec', which is not above it",
            id="an inner room against its flow",
        ),
        pytest.param(
            "checks/rule.py",
            "def f():\n    from firstway.checks.rules import drop",
            "checks/rule.py:2: 'checks/' imports from 'checks/rules'",
            id="a module beside an inner room that stands below it",
        ),
        pytest.param(
            "workings/other/heat.py",
            "",
            "'other' is no room of the flow inside 'workings'",
            id="an unknown inner room",
        ),
        pytest.param(
            "wiring/graph.py",
            "from firstway.wiring.bars import bar",
            "a circle of imports: firstway.wiring.",
            id="a circle of two modules",
        ),
        pytest.param(
            "wiring/graph.py",
            "def f():\n    from firstway.wiring.ways import way",
            "a circle of imports: firstway.wiring.",
            id="a circle of three, one hidden in a function",
        ),
        pytest.param(
            "wiring/metal.py",
            "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import firstway.wiring.graph",
            "wiring/metal.py:3: imports for types alone",
            id="for types alone, without a reason",
        ),
        pytest.param(
            "engine/asking.py",
            "from firstway.pages.tabs import x",
            "'engine' imports from 'pages', which is not above it",
            id="a page, by what a page calls",
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
    assert set(breaches(sources)) == {"checks/: has modules but no __init__.py; add an empty one"}


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
