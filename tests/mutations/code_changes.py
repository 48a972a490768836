"""Helper of tests/mutations: slips of a programmer in the rooms that judge, drawn by a seed and put
into the running program.

The slips: a comparison turned round or moved by its equal sign, `==` for `!=`, `any` for `all`,
`and` for `or`, a loop that looks at its first item only, and evidence that is dropped (an argument
`missing`, `evidence`, `assumed` or `confirm`, a scope, `each`, `alone`, `resting`, a note).
`same-program.csv` holds the places where a slip leaves the same program, each with its reason; they
are not drawn. No file is changed: the functions of the loaded module get the code of the slip.
"""

from __future__ import annotations

import ast
import copy
import csv
import gc
import hashlib
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

PACKAGE = Path(__file__).parents[2] / "tools" / "firstway"
ROOMS = ("checks", "wiring", "workings")
SAME_PROGRAM = Path(__file__).parent / "same-program.csv"
# Of each hundred drawn.
SHARES = {
    "comparison": 40,
    "equality": 8,
    "first item only": 18,
    "any and all": 6,
    "and for or": 10,
    "evidence": 18,
}
TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.Gt,
    ast.LtE: ast.GtE,
    ast.Gt: ast.Lt,
    ast.GtE: ast.LtE,
}
MOVED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
}
EQUAL: dict[type[ast.cmpop], type[ast.cmpop]] = {ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}
CARRIED = ("missing", "evidence", "assumed")  # arguments that carry what a thing rests on
LOOPS = (ast.For, ast.comprehension)


@dataclass(frozen=True)
class Change:
    """One slip: `node` is the place in the walk of the file's tree, `part` says which slip of those
    it allows.
    """

    file: str
    node: int
    part: str
    kind: str
    function: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.file}, {self.function}: {self.before}  BECOMES  {self.after}"


# ---- what can be changed


@cache
def tree_of(file: str) -> ast.Module:
    return ast.parse((PACKAGE / file).read_text(encoding="utf-8"))


def files() -> list[str]:
    return sorted(
        path.relative_to(PACKAGE).as_posix()
        for room in ROOMS
        for path in (PACKAGE / room).rglob("*.py")
    )


@cache
def every_change() -> tuple[Change, ...]:
    """Every slip that can be made, those that leave the same program among them."""
    return tuple(change for file in files() for change in _changes_of(file))


def known_as(change: Change) -> tuple[str, str, str, str]:
    return change.file, change.function, change.before, change.after


@cache
def same_program() -> dict[tuple[str, str, str, str], str]:
    with SAME_PROGRAM.open(encoding="utf-8", newline="") as lines:
        return {
            (row["file"], row["function"], row["before"], row["after"]): row["reason"]
            for row in csv.DictReader(lines)
        }


def _changes_of(file: str) -> Iterator[Change]:
    tree = tree_of(file)
    inside = _functions(tree)
    for place, node in enumerate(ast.walk(tree)):
        for kind, part in _slips(node):
            changed = slipped(copy.deepcopy(node), part)
            yield Change(
                file,
                place,
                part,
                kind,
                inside.get(id(node), "the module"),
                _told(node),
                _told(changed),
            )


def _told(node: ast.AST) -> str:
    return ast.unparse(node).strip().split("\n")[0]


def _functions(tree: ast.AST) -> dict[int, str]:
    """The function, and its class, that each node stands in."""
    found: dict[int, str] = {}

    def walk(node: ast.AST, name: str) -> None:
        for child in ast.iter_child_nodes(node):
            here = name
            if isinstance(child, (ast.FunctionDef, ast.ClassDef)):
                here = f"{name}.{child.name}" if name else child.name
            if here:
                found[id(child)] = here
            walk(child, here)

    walk(tree, "")
    return found


def _slips(node: ast.AST) -> Iterator[tuple[str, str]]:
    """What can go wrong at a node: the kind, and which part of it."""
    if isinstance(node, ast.Compare):
        for place, sign in enumerate(node.ops):
            if type(sign) in TURNED:
                yield "comparison", f"turned {place}"
                yield "comparison", f"moved {place}"
            elif type(sign) in EQUAL:
                yield "equality", f"equal {place}"
    elif isinstance(node, ast.BoolOp):
        yield "and for or", "and-or"
    elif isinstance(node, LOOPS):
        yield "first item only", "first"
    elif isinstance(node, ast.Call):
        name = _name(node)
        if name in ("any", "all"):
            yield "any and all", "any-all"
        if name in ("scope", "counts") or (
            name in ("each", "alone", "resting", "note") and node.args
        ):
            yield "evidence", "open"
        for keyword in node.keywords:
            dropped = keyword.arg in CARRIED and not (
                isinstance(keyword.value, ast.Tuple) and not keyword.value.elts
            )
            if dropped or keyword.arg == "confirm":
                yield "evidence", f"without {keyword.arg}"


def _name(call: ast.Call) -> str:
    return (
        call.func.id
        if isinstance(call.func, ast.Name)
        else call.func.attr
        if isinstance(call.func, ast.Attribute)
        else ""
    )


# ---- one slip


def slipped(node: ast.AST, part: str) -> ast.AST:
    """The node with the slip in it; made in place where the node stays, else another one."""
    what, _, which = part.partition(" ")
    if isinstance(node, ast.Compare):
        signs = {"turned": TURNED, "moved": MOVED, "equal": EQUAL}[what]
        node.ops[int(which)] = signs[type(node.ops[int(which)])]()
    elif isinstance(node, ast.BoolOp):
        node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    elif isinstance(node, LOOPS):
        node.iter = ast.parse(f"list({ast.unparse(node.iter)})[:1]", mode="eval").body
    elif isinstance(node, ast.Call):
        return _call_slipped(node, what, which)
    return node


def _call_slipped(node: ast.Call, what: str, which: str) -> ast.AST:
    if what == "any-all":
        assert isinstance(node.func, ast.Name)
        node.func.id = "all" if node.func.id == "any" else "any"
        return node
    if what == "without":
        for keyword in node.keywords:
            if keyword.arg == which:
                keyword.value = (
                    ast.Constant(False) if which == "confirm" else ast.Tuple([], ast.Load())
                )
        return node
    own = ast.unparse(node)
    first = ast.unparse(node.args[0]) if node.args else ""
    other = {
        "scope": f"__import__('contextlib').nullcontext({own})",  # a scope that nobody opens
        "each": first,
        "resting": first,
        "alone": f"(({first})(), ())",
    }.get(_name(node), "None")
    return ast.parse(other, mode="eval").body


def code_with(change: Change) -> CodeType:
    """The file's code with the slip in it."""
    tree = copy.deepcopy(tree_of(change.file))
    nodes = list(ast.walk(tree))
    old = nodes[change.node]
    new = slipped(old, change.part)
    if new is not old:
        _exchange(nodes, old, new)
    name = str(_module(change.file).__file__)
    # As the file is compiled, not as this one: the imports from __future__ are each file's own.
    return compile(ast.fix_missing_locations(tree), name, "exec", dont_inherit=True)


def _exchange(nodes: list[ast.AST], old: ast.AST, new: ast.AST) -> None:
    for node in nodes:
        for name, value in ast.iter_fields(node):
            if value is old:
                setattr(node, name, ast.copy_location(new, old))
            elif isinstance(value, list) and any(each is old for each in value):
                value[:] = [ast.copy_location(new, old) if each is old else each for each in value]


def _module(file: str) -> ModuleType:
    import importlib

    return importlib.import_module("firstway." + file.removesuffix(".py").replace("/", "."))


def put_in(change: Change) -> bool:
    """Give the loaded functions the code of the slip, and what the module made at import the value
    it has with the slip.

    Says whether anything of the loaded program is another one.
    """
    module = _module(change.file)
    code = code_with(change)
    return _functions_changed(module, code) or _remade(module, code)


def _functions_changed(module: ModuleType, code: CodeType) -> bool:
    codes = dict(_codes(code))
    changed = False
    for item in gc.get_objects():
        if isinstance(item, FunctionType) and item.__code__.co_filename == module.__file__:
            new = codes.get((item.__code__.co_qualname, item.__code__.co_firstlineno))
            if new is not None and new != item.__code__:
                item.__code__ = new
                changed = True
    return changed


def _codes(code: CodeType) -> Iterator[tuple[tuple[str, int], CodeType]]:
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield (each.co_qualname, each.co_firstlineno), each
            yield from _codes(each)


def _remade(module: ModuleType, code: CodeType) -> bool:
    """What a module makes at import (a rule, a table of numbers), replaced wherever it was
    imported; whether any differs.
    """
    fresh = ModuleType(module.__name__)
    fresh.__dict__.update(__file__=module.__file__, __package__=module.__package__)
    exec(code, fresh.__dict__)
    differs = False
    for name, new in vars(fresh).items():
        old = vars(module).get(name)
        if (
            name.startswith("__")
            or isinstance(new, (type, FunctionType, ModuleType))
            or type(old) is not type(new)
            or old == new
        ):
            continue
        differs = True
        if hasattr(old, "__dict__"):
            old.__dict__.update(new.__dict__)
        else:
            for other in [
                each for each in list(sys.modules.values()) if getattr(each, name, None) is old
            ]:
                setattr(other, name, new)
    return differs


# ---- drawing


def drawn(how_many: int, seed: int) -> list[Change]:
    """So many slips, of each kind its share; one at a place.

    Each slip has its lot by what it is: a change of code elsewhere, or an excuse more, draws the
    others again.
    """
    found: list[Change] = []
    for kind, share in SHARES.items():
        of_kind = sorted(
            (change for change in every_change() if change.kind == kind),
            key=lambda change: _lot(change, seed),
        )
        seen: set[tuple[str, int]] = set()
        wanted = round(how_many * share / 100)
        for change in of_kind:
            if (
                len(seen) < wanted
                and (change.file, change.node) not in seen
                and known_as(change) not in same_program()
            ):
                seen.add((change.file, change.node))
                found.append(change)
    return found


def _lot(change: Change, seed: int) -> bytes:
    return hashlib.sha256(f"{seed} {change}".encode()).digest()
