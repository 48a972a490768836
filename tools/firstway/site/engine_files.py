"""Site: the files of the page on which a reader works a job of their own: the jobs as text, the
form, and the program with the Python that runs it, as scripts that a page may load from a disk.

A page from the file system may read no file beside it but as a script: so bytes are text in one.
"""

from __future__ import annotations

import gzip
import json
import zipfile
from base64 import b64encode
from collections.abc import Iterable, Iterator
from hashlib import sha256
from importlib.metadata import distribution
from pathlib import Path
from shutil import copyfile
from typing import Any

from firstway.engine.form import form_data
from firstway.engine.judging import read_data
from firstway.files.disk import put_text, text_of_file, zipped
from firstway.files.keeping import kept
from firstway.model.blank import blank_installation

_PROGRAM = Path(__file__).parents[1]
_FOLDER = "assets/engine"
# Of the program, what no page calls; of the libraries, those that drawing and reading need.
LEFT_OUT = ("site", "pages", "desk", "quiz", "spreading", "cli.py", "__main__.py")
_LIBRARIES = {"PyYAML": "yaml", "schemdraw": "schemdraw", "markupsafe": "markupsafe"}
# Of Python's library, what nothing asks that the page runs: nearly half of its weight.
LEFT_OUT_OF_PYTHON = frozenset(
    "_pyio _pyrepl bdb cProfile configparser doctest email ensurepip ftplib http imaplib mailbox"
    " modulefinder multiprocessing optparse pdb pickletools plistlib poplib profile pstats pydoc"
    " smtplib socketserver sqlite3 tarfile tomllib trace turtle unittest uuid venv wave"
    " wsgiref xmlrpc zoneinfo".split()
)
_ENCODINGS = frozenset(
    "__init__ _win_cp_codecs aliases ascii charmap cp1252 cp437 idna iso8859_1 latin_1"
    " raw_unicode_escape unicode_escape utf_16 utf_16_be utf_16_le utf_32 utf_8 utf_8_sig".split()
)
_LICENCES = Path(__file__).parent / "engine_licences"


def put_engine(
    site: Path, root: Path, names: Iterable[str], package: Path | None, first: str = ""
) -> None:
    """Write what the page loads into a built guide; without `package` all but the engine. `first`
    is the job that it opens on, where it is one of `names`; else the first of them.
    """
    folder = site / _FOLDER
    (folder / "jobs").mkdir(parents=True, exist_ok=True)
    jobs = []
    for name in names:
        text, _ = text_of_file(root / "diagrams" / f"{name}.yaml")
        data, _ = read_data(text, f"{name}.yaml")
        jobs.append([name, str((data or {}).get("title", name))])
        _put_call(folder / "jobs" / f"{name}.js", "ownJob", name, text, data)
    blank = blank_installation()
    _put_call(folder / "jobs" / "_blank.js", "ownJob", "", blank, read_data(blank, "own.yaml")[0])
    shown = [name for name, _ in jobs]
    about = {
        "form": form_data(),
        "jobs": jobs,
        "first": first if first in shown else "".join(shown[:1]),
        "engine": package is not None,
    }
    _put(folder / "about.js", f"window.OWN_JOB={_script_json(about)};\n")
    if package is not None:
        copyfile(_python_script(package), folder / "python.js")
        _put_call(folder / "program.js", "ownJobProgram", _program_text())
        for licence in sorted(_LICENCES.iterdir()):
            copyfile(licence, folder / licence.name)
        for name in _LIBRARIES:
            for place, path in enumerate(_licences_of(name)):
                copyfile(path, folder / f"licence-{name.lower()}{f'-{place}' if place else ''}.txt")


def _put_call(path: Path, function: str, *arguments: Any) -> None:
    _put(path, f"{function}({','.join(map(_script_json, arguments))});\n")


def _put(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _script_json(data: Any) -> str:
    """JSON that is a script too, and ends no element."""
    return json.dumps(data, separators=(",", ":")).replace("</", "<\\/")


def _python_script(package: Path) -> Path:
    """Python itself as a script, made once beside what was fetched; its name says of what."""
    parts = "\n".join((*sorted(LEFT_OUT_OF_PYTHON), *sorted(_ENCODINGS)))
    script = package / f"python-whole-{sha256(parts.encode()).hexdigest()[:8]}.js"
    if not script.is_file():
        lock = json.loads((package / "pyodide-lock.json").read_text(encoding="utf-8"))
        held = {
            "wasm": _packed((package / "pyodide.asm.wasm").read_bytes()),
            "asm": _packed((package / "pyodide.asm.mjs").read_bytes()),
            "std": _packed(zipped(_library(package / "python_stdlib.zip"), level=0)),
            "loader": (package / "pyodide.js").read_text(encoding="utf-8"),
            "lock": {**lock, "packages": {}},  # nothing is ever asked for
        }
        put_text(script, f"ownJobPython({_script_json(held)});\n")
    return script


def _library(archive: Path) -> Iterator[tuple[str, bytes]]:
    """The modules of Python's library that the page needs."""
    with zipfile.ZipFile(archive) as held:
        for entry in held.infolist():
            first, _, rest = entry.filename.partition("/")
            needed = first.removesuffix(".py") not in LEFT_OUT_OF_PYTHON
            if first == "encodings":
                needed = rest.removesuffix(".py") in _ENCODINGS
            if needed and not entry.is_dir():
                yield entry.filename, held.read(entry)


def _packed(content: bytes) -> str:
    return _text_of(gzip.compress(content, 9, mtime=0))


def _text_of(content: bytes) -> str:
    return b64encode(content).decode("ascii")


def _program_text() -> str:
    """Our program and its libraries as one zip, which is made small as a whole."""
    text: str = kept(
        "engine",
        "program",
        " ".join(f"{name} {distribution(name).version}" for name in _LIBRARIES),
        lambda: _packed(zipped(_program_files(), level=0)),
        data=lambda made: made,
        thing=str,
    )
    return text


def _program_files() -> Iterator[tuple[str, bytes]]:
    for path in sorted(_PROGRAM.rglob("*")):
        inside = path.relative_to(_PROGRAM)
        if path.is_file() and inside.parts[0] not in LEFT_OUT and "__pycache__" not in path.parts:
            yield f"firstway/{inside.as_posix()}", path.read_bytes()
    for name, package in sorted(_LIBRARIES.items()):
        home = Path(str(distribution(name).locate_file("")))
        for path in sorted((home / package).rglob("*.py")):
            yield path.relative_to(home).as_posix(), path.read_bytes()


def _licences_of(name: str) -> list[Path]:
    """The licence files that a library was installed with."""
    files = distribution(name).files or []
    named = (each for each in files if ".dist-info" in str(each) and "LICEN" in each.name.upper())
    return sorted(Path(str(each.locate())) for each in named)
