"""Keeps the house in order: what lies at the top, the locked lists, start.py, and no stray words.

The rules are our own; the invented texts beside them prove that each can fail.
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from dataclasses import fields
from pathlib import Path

import pytest
import start

from firstway.quiz.forms.form import Form, QuestionKind

PROJECT_NAMES = {
    "README.md",
    "DEVELOPERS.md",
    "mkdocs.yml",
    "content",
    "diagrams",
    "quiz",
    "tools",
    "tests",
}
DOT_NAMES = {".ci", ".gitignore", ".gitattributes"}
TEXT_LIMIT = 2_000_000  # bytes; a longer file is data that nobody typed

# Written in pieces, so that this file does not hold what it looks for.
HOSTS = [
    "py" + "pi.org",
    "python" + "hosted.org",
    "npm" + "js.org",
    "npm" + "js.com",
    "yarn" + "pkg.com",
    "deb.debian" + ".org",
    "un" + "pkg.com",
    "js" + "delivr",
]
STRAY = {
    "a registry host": re.compile("|".join(re.escape(host) for host in HOSTS), re.IGNORECASE),
    "a machine path": re.compile(
        r"(?<![\w.:/)}\]-])/(?:"
        + "|".join(["wor" + "k", "tm" + "p", "roo" + "t", "op" + "t"])
        + r")/|(?<![\w.])/(?:ho"
        + r"me|Us"
        + r"ers)/\w|\b[A-Z]:\\+Us"
        + r"ers\\"
    ),
    "a path beside the project": re.compile(r"\.\./sha" + "red"),
    "a secret": re.compile(
        "-----BEGIN [A-Z ]*PRIVATE"
        + " KEY|AKI"
        + "A[0-9A-Z]{16}|gh[pousr]"
        + "_[A-Za-z0-9]{30}"
        + "|xox[abprs]"
        + "-[A-Za-z0-9-]{10}"
        + r"|(?i:pass"
        + r"word|api[_-]?ke"
        + r"y|secr"
        + r"et[_-]?key)\s*[:=]\s*['\"][^'\"\s]{8,}"
    ),
}


def stray_words(text: str) -> list[str]:
    """What a committed text must not hold, as `line: what it is: the find`."""
    return [
        f"{number}: {what}: {found.group()}"
        for number, line in enumerate(text.splitlines(), 1)
        for what, pattern in STRAY.items()
        for found in pattern.finditer(line)
    ]


def project_files(root: Path) -> list[Path]:
    """What belongs to the project: what git tracks or would add; without git, all but what
    we make.
    """
    try:
        listed = subprocess.run(
            [
                "git",
                "-C",
                str(root),
                "ls-files",
                "-z",
                "--cached",
                "--others",
                "--exclude-standard",
            ],
            capture_output=True,
            check=True,
        ).stdout.decode("utf-8")
        files = [root / name for name in listed.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        made = {".git", ".venv", ".cache", "site", "__pycache__", ".pytest_cache", ".hypothesis"}
        files = [path for path in root.rglob("*") if not made & set(path.relative_to(root).parts)]
    return sorted(path for path in files if path.is_file())


def test_top_level_holds_exactly_the_project(root: Path) -> None:
    found = {path.relative_to(root).parts[0] for path in project_files(root)}
    assert found - DOT_NAMES - PROJECT_NAMES == set(), "names that have no place at the top"
    assert PROJECT_NAMES - found == set(), "names that are missing at the top"


def test_no_file_holds_a_host_a_machine_path_or_a_secret(root: Path) -> None:
    found = []
    for path in project_files(root):
        name = path.relative_to(root).as_posix()
        found += [f"{name}:{line} (in its name)" for line in stray_words(name)]
        content = path.read_bytes()
        if len(content) <= TEXT_LIMIT and b"\0" not in content:
            text = content.decode("utf-8", errors="replace")
            found += [f"{name}:{line}" for line in stray_words(text)]
    assert not found, "\n" + "\n".join(found)


@pytest.mark.parametrize(
    "text",
    [
        "see https://" + "py" + "pi.org/simple",
        "resolved: registry." + "npm" + "js.org",
        "cd /wor" + "k/main",
        "written to '/tm" + "p/x'",
        "/ho" + "me/ann/board.yaml",
        "C:\\Us" + "ers\\ann",
        "../sha" + "red/notes",
        "-----BEGIN RSA PRIVATE" + " KEY-----",
        "pass" + "word = 'correct-horse'",
    ],
)
def test_stray_words__finds(text: str) -> None:
    assert stray_words(text)


@pytest.mark.parametrize(
    "text",
    ["firstway work FILE", "content/" + "work/index.html", "the root of the tree", "a/tmp.csv"],
)
def test_stray_words__leaves_plain_text_alone(text: str) -> None:
    assert stray_words(text) == []


# ---- the locked lists


def locked(text: str) -> dict[str, tuple[str, int]]:
    """A locked list: package -> (version, number of hashes). A package stands once."""
    entries: dict[str, tuple[str, int]] = {}
    for entry in (
        re.sub(r"^\s*#.*$", "", text, flags=re.MULTILINE).replace("\\\n", " ").splitlines()
    ):
        if not entry.strip():
            continue
        named = re.match(r"([a-z0-9-]+)==([^\s;]+)", entry)
        assert named, f"not a package with its exact version: {entry[:80]}"
        name, version = named.groups()
        assert name not in entries, f"{name} stands twice"
        entries[name] = (version, len(re.findall(r"--hash=sha256:[0-9a-f]{64}\b", entry)))
    return entries


@pytest.fixture(scope="module")
def build_list() -> dict[str, tuple[str, int]]:
    return locked(start.BUILD_LIST.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def test_list() -> dict[str, tuple[str, int]]:
    return locked(start.TEST_LIST.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def project(root: Path) -> dict:
    return tomllib.loads((root / "tools" / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_locked_lists__carry_a_hash_for_every_package(build_list: dict, test_list: dict) -> None:
    assert build_list and test_list
    assert [name for name, (_, hashes) in (build_list | test_list).items() if not hashes] == []


def test_locked_lists__agree_and_the_test_list_holds_the_build_list(
    build_list: dict, test_list: dict
) -> None:
    assert {name: test_list.get(name) for name in build_list} == build_list


def test_locked_lists__hold_what_the_package_asks_for(
    project: dict, build_list: dict, test_list: dict
) -> None:
    from packaging.requirements import Requirement
    from packaging.utils import canonicalize_name

    asked = [(each, build_list) for each in project["dependencies"]]
    extras = project["optional-dependencies"]
    asked += [(each, test_list) for each in (*extras["test"], *extras["workers"])]
    for text, entries in asked:
        wanted = Requirement(text)
        version, _ = entries.get(canonicalize_name(wanted.name), (None, 0))
        assert version, f"{wanted.name} is asked for but not locked; make the lists again"
        assert wanted.specifier.contains(version), f"{text} is asked for, {version} is locked"


def test_locked_lists__building_needs_no_test_library(project: dict, build_list: dict) -> None:
    from packaging.requirements import Requirement

    extras = project["optional-dependencies"]
    tests_only = {Requirement(each).name for each in (*extras["test"], *extras["workers"])}
    tests_only = {name.lower() for name in tests_only}
    assert tests_only & set(build_list) == set()


@pytest.mark.parametrize(
    "text", ["mkdocs>=1.6 --hash=sha256:" + "0" * 64, "a==1 --hash=x\na==2 --hash=y"]
)
def test_locked__refuses_a_loose_or_doubled_entry(text: str) -> None:
    with pytest.raises(AssertionError):
        locked(text)


def test_locked__counts_only_whole_hashes() -> None:
    text = (
        "a==1 \\\n    --hash=sha256:" + "0" * 64 + "\n    # via b\nb==2 \\\n    --hash=sha256:00\n"
    )
    assert locked(text) == {"a": ("1", 1), "b": ("2", 0)}


# ---- start.py and its neighbours


def test_start__imports_only_the_standard_library() -> None:
    tree = ast.parse(Path(start.__file__).read_text(encoding="utf-8"))
    imported = {
        name.split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for name in (
            [node.module or "."]
            if isinstance(node, ast.ImportFrom)
            else [each.name for each in node.names]
        )
    }
    assert imported - sys.stdlib_module_names == set()


def test_start__can_be_read_by_a_python_that_is_too_old() -> None:
    """So that the reader is told which Python is needed, instead of a syntax error."""
    source = Path(start.__file__).read_text(encoding="utf-8")
    ast.parse(source, feature_version=(3, 7))
    at_the_top = [node for node in ast.parse(source).body if isinstance(node, ast.Import)]
    assert "tomllib" not in {each.name for node in at_the_top for each in node.names}


def test_start__refuses_an_old_python_in_words() -> None:
    with pytest.raises(start.Stop, match=r"this is Python 3\.10, but 3\.11 or newer is needed"):
        start.check_python((3, 10))


def test_start__asks_for_the_python_that_the_package_asks_for(project: dict) -> None:
    assert project["requires-python"] == ">={}.{}".format(*start.OLDEST_PYTHON)


WHOLE = {"python": "3.11", "build": "b1", "test": None}


@pytest.mark.parametrize(
    ("found", "runs", "said"),
    [
        (WHOLE, True, None),
        (dict(WHOLE, test="t1"), True, None),
        (None, True, "did not finish"),
        (dict(WHOLE, python="3.10"), True, "for Python 3.11"),
        (dict(WHOLE, build="b0"), True, "list of packages has changed"),
        (WHOLE, False, "is gone"),
    ],
)
def test_reason_to_remake(
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    found: dict | None,
    runs: bool,
    said: str | None,
) -> None:
    monkeypatch.setattr(start, "VENV", tmp_path)
    monkeypatch.setattr(start, "venv_runs", lambda version: runs)
    reason = start.reason_to_remake(found, WHOLE)
    assert reason is None if said is None else said in reason


def test_reason_to_remake__nothing_there(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(start, "VENV", tmp_path / "none")
    assert start.reason_to_remake(None, WHOLE) == "making .venv"


@pytest.mark.parametrize("content", [None, "", "{", "[]", '{"python": "3.11"}'])
def test_read_stamp__a_missing_or_broken_stamp_is_none(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, content: str | None
) -> None:
    monkeypatch.setattr(start, "STAMP", tmp_path / "stamp.json")
    if content is not None:
        start.STAMP.write_text(content)
    assert start.read_stamp() is None


def test_install_advice__tells_a_wrong_package_from_a_missing_network() -> None:
    wrong = "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE."
    assert "not the one on record" in start.install_advice(wrong)
    assert "Check the network" in start.install_advice("ERROR: No matching distribution found")


def test_entry_points__name_the_command_and_the_plugin(project: dict) -> None:
    assert (
        start.entry_points(project) == "[console_scripts]\nfirstway = firstway.cli:main\n\n"
        "[mkdocs.plugins]\nfirstway = firstway.site.plugin:FirstwayPlugin\n"
    )


def test_the_licence_is_the_one_declared(root: Path, project: dict) -> None:
    licence = (root / "tools" / "LICENSE").read_text(encoding="utf-8")
    assert project["license"] == "MIT" and licence.startswith("MIT License")


def test_ci_calls_the_test_command_of_the_readme_and_nothing_else(root: Path) -> None:
    shebang, *lines = (root / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert shebang == "#!/usr/bin/env bash"
    assert lines == ['cd "$(dirname "$0")/.." && exec python3 tools/start.py test']


def test_the_readme_gives_both_commands(root: Path) -> None:
    readme = (root / "README.md").read_text(encoding="utf-8")
    for command in ("python3 tools/start.py", "python3 tools/start.py test"):
        alone = re.escape(command) + r"(?: *[`#]|  |$)"  # then code marks, a comment or a gap
        assert re.search(alone, readme, re.MULTILINE), f"README.md does not give: {command}"


def test_offline_page__sees_whatever_goes_wrong(offline_page: object, tmp_path: Path) -> None:
    """The browser tests rest on this: a page that misbehaves must not look quiet."""
    page = tmp_path / "page.html"
    page.write_text(
        "<!doctype html><title>x</title><link rel=icon href='data:,'>"
        "<img src='https://outside.invalid/a.png'><img src='missing.png'>"
        "<script>console.error('said'); throw new Error('thrown')</script>"
    )
    offline_page.show(page).wait_for_timeout(200)
    seen = "\n".join(offline_page.troubles)
    for trouble in (
        "outside request: https://outside.invalid/a.png",
        "failed request: file:",
        "console error: said",
        "script error: thrown",
    ):
        assert trouble in seen, seen


def test_offline_page__is_quiet_about_a_sound_page(offline_page: object, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text("<!doctype html><title>x</title><p>sound")
    offline_page.show(page).wait_for_timeout(200)
    assert offline_page.troubles == []


# ---- habits that hold themselves

CONFIGURED = ("--config", "tools/pyproject.toml")
MOST_IGNORES = 20
WIDEST = 100
"""Columns of a line. Data aside: what stands between triple quotes and is no docstring."""


@pytest.mark.parametrize("habit", [("check",), ("format", "--check")], ids=" ".join)
def test_ruff_has_nothing_to_say(root: Path, habit: tuple[str, ...]) -> None:
    folders = ["tools", "tests"] if habit == ("check",) else ["tools/firstway", "tests"]
    command = [sys.executable, "-m", "ruff", *habit, *CONFIGURED, "--no-cache", "-q", *folders]
    done = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_types_hold(root: Path) -> None:
    """By mypy; an exception stands beside its reason, and there are few."""
    command = [sys.executable, "-m", "mypy", "--config-file", "pyproject.toml"]
    done = subprocess.run(command, cwd=root / "tools", capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    ignores = sum(
        path.read_text(encoding="utf-8").count("# type: " + "ignore")
        for path in (root / "tools" / "firstway").rglob("*.py")
    )
    assert ignores < MOST_IGNORES


def too_wide(source: str) -> list[int]:
    """The lines beyond the widest, but for those of a long text that is no docstring."""
    lines = source.split("\n")
    if all(len(line) <= WIDEST for line in lines):
        return []
    long_texts: set[int] = set()
    docstrings: set[int] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant | ast.JoinedStr) and '"""' in lines[node.lineno - 1]:
            long_texts |= set(range(node.lineno, (node.end_lineno or 0) + 1))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            docstrings |= set(range(node.lineno, (node.end_lineno or 0) + 1))
    data = long_texts - docstrings
    wide = [number for number, line in enumerate(lines, 1) if len(line) > WIDEST]
    return [number for number in wide if number not in data]


# Rooms whose HTML and SVG are made by `rendering/html.py`; a drawing kept beside a key is SVG that
# was made so.
ESCAPING_ROOMS = ("rendering", "drawing", "quiz", "pages", "desk", "site")
WRITES_SVG = ("desk/papers/pictures.py",)
HOLE = "\0"


def composed_by_hand(source: str) -> list[int]:
    """Lines of f-strings that hold a tag and a place to be filled: what fills it is escaped by
    nobody.
    """
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.JoinedStr):
            pieces = (
                str(each.value) if isinstance(each, ast.Constant) else HOLE for each in node.values
            )
            text = "".join(pieces)
            if HOLE in text and re.search(r"</?[A-Za-z]", text):
                found.append(node.lineno)
    return found


def test_html_is_made_by_what_escapes(root: Path) -> None:
    """And by nothing else: no second escaper either."""
    package = root / "tools/firstway"
    found = [
        f"{path.relative_to(package).as_posix()}:{number}"
        for room in ESCAPING_ROOMS
        for path in sorted((package / room).rglob("*.py"))
        if path.relative_to(package).as_posix() not in (*WRITES_SVG, "rendering/html.py")
        for number in composed_by_hand(path.read_text(encoding="utf-8"))
    ]
    assert found == []
    others = re.compile(r"from html import .*\bescape\b|saxutils|import html$", re.MULTILINE)
    assert [
        path.name
        for path in sorted(package.rglob("*.py"))
        if others.search(path.read_text("utf-8"))
    ] == []


def test_composed_by_hand__sees_a_tag_with_a_hole_and_no_other() -> None:
    assert composed_by_hand("f'<b>{name}</b>'") == [1]
    assert composed_by_hand("f'{name}</b>'") == [1]
    assert composed_by_hand("f'{low} < {high}', '<b>name</b>', f'<!--part:{name}-->'") == []


def test_no_folder_of_tests_is_named_like_a_module_of_python(root: Path) -> None:
    """pytest makes a package of each folder: one called `site` hid Python's own from a library that
    asked it for its prefixes.
    """
    folders = {path.name for path in (root / "tests").iterdir() if path.is_dir()}
    assert folders & sys.stdlib_module_names == set()


def test_no_line_is_wider_than_a_hundred_columns(root: Path) -> None:
    found = [
        f"{path.relative_to(root).as_posix()}:{number}"
        for folder in ("tools", "tests")
        for path in sorted((root / folder).rglob("*.py"))
        for number in too_wide(path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_too_wide__sees_a_long_line_and_leaves_data_alone() -> None:
    long = "x" * WIDEST
    assert too_wide(f'a = "{long}"\n') == [1]
    assert too_wide(f'"""{long}"""\n') == [1]
    assert too_wide(f'a = """\n{long}y\n"""\n') == []


CONVENTIONS = {"FORMULAS", "RULE", "check", "check_of"}
"""What every module of a kind must bear under one name."""
OF_A_FORM = {field.name for of in (Form, QuestionKind) for field in fields(of)} | {"FORM", "KIND"}
"""What folders of `quiz/forms/` bear under one name: what `Form` and `QuestionKind` are made of."""


def conventions_of(path: str) -> set[str]:
    """The names that other modules bear too, by the path below `tools/firstway`."""
    of_a_form = path.startswith("quiz/forms/") and path.count("/") == 3
    return CONVENTIONS | (OF_A_FORM if of_a_form else set())


def public_names(source: str) -> set[str]:
    """What a module names at its top for others."""
    found: set[str] = set()
    for node in ast.parse(source).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found.add(node.name)
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        found |= {
            each.id
            for target in filter(None, targets)
            for each in ast.walk(target)
            if isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store)
        }
    return {name for name in found if not name.startswith("_")}


def test_no_public_name_stands_for_two_things(root: Path) -> None:
    homes: dict[str, list[str]] = {}
    for path in sorted((root / "tools" / "firstway").rglob("*.py")):
        place = path.relative_to(root / "tools" / "firstway").as_posix()
        for name in public_names(path.read_text(encoding="utf-8")) - conventions_of(place):
            homes.setdefault(name, []).append(place)
    assert {name: paths for name, paths in homes.items() if len(paths) > 1} == {}


def test_public_names__sees_functions_classes_and_values() -> None:
    source = "def f(): ...\nclass C: ...\nA = 1\nB: int = 2\n_a = 3\nimport os\nD, E = 4, 5\n"
    assert public_names(source) == {"f", "C", "A", "B", "D", "E"}


# ---- what is told of each public name

TOLD_ROOMS = ("calculations", "model", "tables", "wiring")
UNIT = re.compile(
    r"\b(?:[kmM]?(?:A|V|W|ohm|Hz|J)|C|m|mm2|s|us|volts?|ampere|ohms|joules?|SI units|plain numbers?"
    r"|without unit|percent)\b",
    re.IGNORECASE,
)
UNIT_OF_NAME = re.compile(r"_(?:a|v|w|ohm|m|s|c|j|ka|mm2|uf)$")
FIGURE = re.compile(r"\b(?:float|complex|Volts|Ohms|Column)\b")
AUTHORITY = re.compile(r"\b(?:IEC|BS|NFPA|[Ll]aws?|[Ss]ources?|Bergeron|Campbell|Python)\b")


def told_below(body: list[ast.stmt], place: int) -> bool:
    """Whether a docstring stands right below a line."""
    after = body[place + 1] if place + 1 < len(body) else None
    return isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant)


def untold(source: str) -> list[str]:
    """Public functions, classes, methods and values without a docstring. A formula tells itself."""
    found: list[str] = []

    def look(body: list[ast.stmt], above: str) -> None:
        for place, node in enumerate(body):
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name[0] != "_":
                found.extend([above + node.name] if ast.get_docstring(node) is None else [])
                if isinstance(node, ast.ClassDef):
                    look(node.body, f"{node.name}.")
            elif isinstance(node, ast.Assign | ast.AnnAssign) and not above:
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                value = node.value
                is_formula = isinstance(value, ast.Call) and ast.unparse(value.func) == "Formula"
                names = {each.id for each in ast.walk(targets[0]) if isinstance(each, ast.Name)}
                if not (is_formula or told_below(body, place) or names <= CONVENTIONS):
                    found.extend(sorted(name for name in names if name[0] != "_"))

    look(ast.parse(source).body, "")
    return found


def without_unit_or_source(source: str) -> list[str]:
    """Functions of figures that say no unit, by docstring or by the ends of their names; and "" for
    a module that works figures and says by what law or whose method.
    """
    tree = ast.parse(source)
    homes = [tree, *(node for node in tree.body if isinstance(node, ast.ClassDef))]
    working = [
        node
        for home in homes
        for node in home.body
        if isinstance(node, ast.FunctionDef)
        and node.name[0] != "_"
        and FIGURE.search(f"{ast.unparse(node.args)} {ast.unparse(node.returns or node.args)}")
    ]
    silent = [
        node.name
        for node in working
        if not UNIT.search(ast.get_docstring(node) or "") and not UNIT_OF_NAME.search(node.name)
    ]
    texts = [ast.get_docstring(node) or "" for node in (*homes, *working)]
    return silent + [""] * (bool(working) and not any(map(AUTHORITY.search, texts)))


@pytest.mark.parametrize("room", TOLD_ROOMS)
def test_every_public_name_is_told(root: Path, room: str) -> None:
    found = {
        path.name: names
        for path in sorted((root / "tools" / "firstway" / room).glob("*.py"))
        if (names := untold(path.read_text(encoding="utf-8")))
    }
    assert found == {}, "write a docstring: unit, range, source"


def test_calculations_say_their_units_and_their_source(root: Path) -> None:
    found = {
        path.name: names
        for path in sorted((root / "tools" / "firstway" / "calculations").glob("*.py"))
        if (names := without_unit_or_source(path.read_text(encoding="utf-8")))
    }
    assert found == {}, "say the unit of each figure, and the law or the book"


def test_untold__sees_what_a_reader_would_look_for() -> None:
    source = '''
def f(): ...
class C:
    """Told."""
    def method(self): ...
    def _own(self): ...
A = 1
B = 2
"""Told."""
D, E = 3, 4
_F = 5
OHM = Formula("ohm")
FORMULAS = (OHM,)
'''
    assert untold(source) == ["f", "C.method", "A", "D", "E"]


def test_without_unit_or_source__sees_a_figure_of_no_unit() -> None:
    head = '"""Calculations: by the law of circuits."""\n'
    plain = 'def f(x: float) -> float:\n    """Twice x."""\n'
    assert without_unit_or_source(head + plain) == ["f"]
    assert without_unit_or_source(plain.replace("Twice x", "Twice x, in A")) == [""]
    assert without_unit_or_source(head + plain.replace("f(", "loss_w(")) == []
