"""Before the flow: sets up .venv in the project folder and runs firstway or the tests in it.

    python3 tools/start.py                    build the guide and say where to open it
    python3 tools/start.py test [ARGUMENTS]   set up what the tests need and run them
    python3 tools/start.py test all           the same with the long tests
    python3 tools/start.py test campaigns     the long campaigns; a stopped run is gone on with
    python3 tools/start.py COMMAND ...        any command of firstway (preview, work, check ...)

Standard library only; Linux, macOS and Windows. The file must also be read by
a Python that is too old, so that such a Python can be told so.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import tarfile
import threading
from base64 import b64encode
from pathlib import Path

OLDEST_PYTHON = (3, 11)
ROOT = Path(__file__).resolve().parents[1]
TOOLS = ROOT / "tools"
TESTS = ROOT / "tests"
CAMPAIGNS = TESTS / "campaigns" / "frame.py"
SITE = ROOT / "site"
VENV = ROOT / ".venv"
STAMP = VENV / "firstway.json"  # written last: where it lies, the installation is whole
BUILD_LIST = TOOLS / "build.lock"
TEST_LIST = TOOLS / "test.lock"
# The engine of the page "Your own job". It is brought while .venv is made; a guide is built without
# it all the same, and then the page says so.
WEB_LIST = TOOLS / "web.lock"
WEB_FOLDER = ROOT / ".cache" / "web"
ENGINE_FILES = (
    "package.json",
    "pyodide.js",
    "pyodide.asm.mjs",
    "pyodide.asm.wasm",
    "pyodide-lock.json",
    "python_stdlib.zip",
)
WITHOUT_ENGINE = "--without-engine"
ENGINE_WAIT_S = 90  # what is not here by then is brought at the next start
RUN_FIRSTWAY = (
    "import sys; sys.argv[0] = 'firstway'; from firstway.cli import main; sys.exit(main())"
)
ON_ALL_CORES = ("-n", "auto", "--dist", "worksteal")
BROWSER_VARIABLE = "FIRSTWAY_BROWSER"
BROWSER_COMMANDS = ("chromium", "chromium-browser", "google-chrome", "chrome")
DEBIAN_PACKAGES = ("chromium", "fonts-liberation", "fonts-dejavu-core")
# Only for "test all": the program, and the package that brings it where it is absent. The circuits
# are solved a second time; a second browser; Java for the HTML checker; npm for what is not ours.
LONG_TEST_PROGRAMS = {
    "ngspice": ("ngspice",),
    "firefox-esr": ("firefox-esr",),
    "java": ("default-jre-headless",),
    "npm": ("nodejs", "npm"),
}
# Players and checkers that are not ours, for "test all": a package@version a line.
NPM_LIST = TESTS / "npm.txt"
NPM_FOLDER = ROOT / ".cache" / "npm"
# A user's settings that would send packages or imports past .venv.
UNWANTED_VARIABLES = (
    "PYTHONHOME",
    "PYTHONPATH",
    "PYTHONSTARTUP",
    "PIP_TARGET",
    "PIP_PREFIX",
    "PIP_ROOT",
    "PIP_USER",
    "PIP_REQUIRE_HASHES",
    "PIP_REQUIREMENT",
    "PIP_NO_BINARY",
    "PIP_PYTHON",
)


TEST_HELP = """\
usage: python3 tools/start.py test [all | campaigns] [FILE ...] [ARGUMENTS of pytest]

  test                  the tests, in under ten minutes; what they need is set up first
  test all              the same with the long tests, and the programs only they need
  test campaigns        the long campaigns; a run that was stopped is gone on with
  test tests/test_x.py  one file; tests/test_x.py::test_name one test; -k WORDS those with the words in their names"""


class Stop(Exception):
    """The work cannot go on; the text says what to do. Carries the exit code."""

    def __init__(self, message: str, code: int = 2) -> None:
        super().__init__(message)
        self.code = code


def say(text: str) -> None:
    """A progress line, apart from what a command prints."""
    print("firstway: " + text, file=sys.stderr, flush=True)


def main(arguments: list[str]) -> int:
    """Set up, run, and return the exit code of what was run."""
    try:
        check_python(sys.version_info[:2])
        if arguments[:1] == ["test"] and {"-h", "--help"} & set(arguments):
            print(TEST_HELP)
            return 0
        if arguments[:1] == ["test"]:
            return run_tests(arguments[1:])
        wanted = arguments[:1] in ([], ["build"]) and WITHOUT_ENGINE not in arguments
        bringing = engine_begun(early=True) if wanted else None
        python = prepared_python(with_tests=False)
        if wanted:
            wait_for_engine(bringing or engine_begun())
        if arguments:
            return run([str(python), "-P", "-c", RUN_FIRSTWAY, *arguments])
        return build_guide(python)
    except Stop as stop:
        say(str(stop))
        return stop.code
    except KeyboardInterrupt:
        say("stopped.")
        return 130


def check_python(version: tuple) -> None:
    """Refuse a Python that is too old."""
    if version < OLDEST_PYTHON:
        raise Stop(
            "this is Python {}.{}, but {}.{} or newer is needed; install a newer Python "
            "and start this file with it.".format(*version, *OLDEST_PYTHON)
        )


def build_guide(python: Path) -> int:
    """Build the guide into the site folder and print the page to open."""
    code = run([str(python), "-P", "-c", RUN_FIRSTWAY, "build", "--out", str(SITE)], cwd=ROOT)
    page = SITE / "index.html"
    if code == 0:
        if not page.is_file():
            raise Stop("the build ended well but left no {}; please report this.".format(page))
        print("The guide is ready. Open this page in a browser; it needs no network:")
        print("  {}".format(page))
        print("  {}".format(page.as_uri()))
    return code


def run_tests(arguments: list[str]) -> int:
    """Set up and run the tests; `all` first adds the long ones, `campaigns` runs those instead."""
    bringing = engine_begun(early=True)
    python = prepared_python(with_tests=True)
    prepare_browser()
    wait_for_engine(bringing or engine_begun())
    if arguments[:1] == ["campaigns"]:
        prepare_long_tests()
        return run([str(python), str(CAMPAIGNS), *arguments[1:]], cwd=ROOT)
    command = [str(python), "-m", "pytest", "-c", str(TESTS / "pytest.ini")]
    if arguments[:1] == ["all"]:
        arguments = arguments[1:]
        prepare_long_tests()
    else:
        command += ["-m", "not long"]
    if not any(names_a_test(each) for each in arguments):
        command += [*ON_ALL_CORES, str(TESTS)]
    return run(command + arguments, cwd=ROOT)


def names_a_test(argument: str) -> bool:
    """Whether a pytest argument names a file or folder, from the project folder."""
    path = argument.split("::")[0]
    return bool(path) and not argument.startswith("-") and (ROOT / path).exists()


def run(command: list[str], cwd: Path | None = None) -> int:
    """Run a command with our environment; its exit code, or 128 + the signal that ended it."""
    child = subprocess.Popen(command, cwd=cwd, env=environment())
    # Ending this program ends what it runs: no preview is left serving behind it.
    signal.signal(signal.SIGTERM, lambda *_: child.terminate())
    while True:
        try:
            code = child.wait()
            return code if code >= 0 else 128 - code
        except KeyboardInterrupt:
            # The terminal tells the child as well; it ends in its own way.
            continue


def environment() -> dict:
    """The environment without settings that would lead past .venv; text is UTF-8 everywhere."""
    kept = {name: value for name, value in os.environ.items() if name not in UNWANTED_VARIABLES}
    kept["PYTHONUTF8"] = "1"
    kept["HYPOTHESIS_STORAGE_DIRECTORY"] = str(ROOT / ".cache" / "hypothesis")
    return kept


# ---- the packages


def prepared_python(with_tests: bool) -> Path:
    """The Python of .venv, with the locked packages (and the test libraries) installed."""
    wanted = {
        "python": "{}.{}".format(*sys.version_info[:2]),
        "build": digest(BUILD_LIST),
        "test": digest(TEST_LIST) if with_tests else None,
    }
    found = read_stamp()
    reason = reason_to_remake(found, wanted)
    if reason:
        make_venv(reason)
        install(BUILD_LIST, "the packages that the build needs (once, about 30 MB)")
        found = dict(wanted, test=None)
        write_stamp(found)
    if with_tests and found["test"] != wanted["test"]:
        STAMP.unlink()
        install(TEST_LIST, "the packages that the tests need (once, about 150 MB)")
        found = wanted
        write_stamp(found)
    link_firstway()
    return venv_python()


def digest(path: Path) -> str:
    """The hash of a locked list, the same under either kind of line ending."""
    try:
        return hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()
    except OSError:
        raise Stop("{} is missing; fetch the project again.".format(path)) from None


def reason_to_remake(found: dict | None, wanted: dict) -> str | None:
    """Why .venv must be made anew, or None where it can stay."""
    if not os.path.lexists(VENV):
        return "making .venv"
    if found is None:
        return "making .venv anew, the last installation did not finish"
    if found["python"] != wanted["python"]:
        return "making .venv anew for Python {}".format(wanted["python"])
    if found["build"] != wanted["build"]:
        return "making .venv anew, the list of packages has changed"
    if not venv_runs(wanted["python"]):
        return "making .venv anew, the Python it was made with is gone"
    return None


def read_stamp() -> dict | None:
    """What a finished installation noted, or None."""
    try:
        stamp = json.loads(STAMP.read_text(encoding="utf-8"))
        return {name: stamp[name] for name in ("python", "build", "test")}
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_stamp(stamp: dict) -> None:
    """Note that the installation is whole, in one step."""
    draft = STAMP.with_suffix(".new")
    draft.write_text(json.dumps(stamp, indent=1) + "\n", encoding="utf-8")
    os.replace(draft, STAMP)


def venv_python() -> Path:
    """Where .venv keeps its Python."""
    return VENV / "Scripts" / "python.exe" if os.name == "nt" else VENV / "bin" / "python"


def venv_runs(version: str) -> bool:
    """Whether the Python of .venv still starts and is the one its packages were put in for."""
    ask = "import sys; print('%d.%d' % sys.version_info[:2])"
    try:
        answer = subprocess.run(
            [str(venv_python()), "-I", "-S", "-c", ask], capture_output=True, timeout=60
        )
    except (OSError, subprocess.TimeoutExpired):
        return False
    return answer.returncode == 0 and answer.stdout.decode(errors="replace").strip() == version


def make_venv(reason: str) -> None:
    """An empty .venv with pip, in place of whatever was there."""
    say(reason + " ...")
    remove(VENV)
    # Started from inside a virtual environment, the Python below it is the one to build on.
    base = getattr(sys, "_base_executable", None) or sys.executable
    made = subprocess.run([base, "-m", "venv", str(VENV)], capture_output=True, env=environment())
    if made.returncode:
        remove(VENV)
        raise Stop(venv_advice(last_lines(made.stdout + made.stderr)))


def remove(path: Path) -> None:
    """Remove a folder, a file or a link."""
    try:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif os.path.lexists(path):
            path.unlink()
    except OSError as error:
        raise Stop(
            "cannot remove {}: {}; close what uses it, remove the folder and start again.".format(
                path, error.strerror
            )
        ) from None


def venv_advice(said: str) -> str:
    """What to do when Python cannot make a virtual environment."""
    text = "Python could not make {}.\n{}\n".format(VENV, said)
    if debian():
        return text + "Install what it lacks, then start again:\n  {}".format(
            apt_line(["python3-venv"])
        )
    return text + "Check that the folder can be written to and that this Python is complete."


def install(packages: Path, what: str) -> None:
    """Install a locked list: exact versions, checked hashes, nothing built, nothing added."""
    say("installing {} ...".format(what))
    command = [
        str(venv_python()),
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-input",
        "--disable-pip-version-check",
        "--no-warn-script-location",
        "--require-hashes",
        "--no-deps",
        "--only-binary",
        ":all:",
        "-r",
        str(packages),
    ]
    done = subprocess.run(command, capture_output=True, env=environment())
    if done.returncode:
        raise Stop(install_advice(done.stderr.decode(errors="replace")))


def install_advice(said: str) -> str:
    """What to do when pip failed."""
    if "DO NOT MATCH THE HASHES" in said:
        return (
            "a package arrived that is not the one on record, so nothing was installed. "
            "Start again from another network; if it stays so, report it.\n" + wrong_package(said)
        )
    if "No space left" in said:
        return "the disk is full; make room (1 GB) and start again."
    return (
        "the packages could not be fetched. Check the network connection (behind a proxy, set "
        "HTTPS_PROXY) and start again; what was fetched is kept.\n" + last_lines(said)
    )


def wrong_package(said: str) -> str:
    """The lines in which pip names the package whose hash is wrong, and both hashes."""
    after = said.partition("DO NOT MATCH THE HASHES")[2].splitlines()[1:]
    lines = [line.strip() for line in after if line.strip() and not line.startswith("ERROR")]
    return "\n".join("  " + line[:300] for line in lines[:4])


def last_lines(said: str | bytes, count: int = 3) -> str:
    """The last lines that another program printed, or its last errors; indented."""
    if isinstance(said, bytes):
        said = said.decode(errors="replace")
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    marked = [line for line in lines if line.startswith(("ERROR", "Error", "E:"))]
    lines = marked or lines
    return "\n".join("  " + line[:300] for line in lines[-count:])


def link_firstway() -> None:
    """Make firstway importable in .venv: its folder on the path and its entry points known.

    Three small files do what an installer would, without a build step or the
    network. The path is relative, so the project folder can be moved.
    """
    import tomllib

    project = tomllib.loads((TOOLS / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    packages = site_packages()
    about = packages / "{name}-{version}.dist-info".format(**project)
    for old in packages.glob("{name}-*.dist-info".format(**project)):
        if old != about:
            remove(old)
    write_if_changed(packages / "firstway.pth", os.path.relpath(TOOLS, packages) + "\n")
    write_if_changed(
        about / "METADATA",
        "Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n".format(**project),
    )
    write_if_changed(about / "entry_points.txt", entry_points(project))


def site_packages() -> Path:
    """Where .venv keeps its packages."""
    pattern = "Lib/site-packages" if os.name == "nt" else "lib/python*/site-packages"
    found = next(VENV.glob(pattern), None)
    if found is None:
        raise Stop("{} is damaged; remove that folder and start again.".format(VENV))
    return found


def entry_points(project: dict) -> str:
    """The entry points of pyproject.toml as an installed package lists them."""
    groups = {"console_scripts": project.get("scripts", {})}
    groups.update(project.get("entry-points", {}))
    return "\n".join(
        "[{}]\n{}".format(group, "".join("{} = {}\n".format(*each) for each in names.items()))
        for group, names in groups.items()
    )


def write_if_changed(path: Path, text: str) -> None:
    """Write a file unless it already holds the text."""
    try:
        if path.read_text(encoding="utf-8") == text:
            return
    except OSError:
        path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")


# ---- the engine of the page "Your own job"


def engine_begun(early: bool = False) -> threading.Thread | None:
    """Begins to bring the engine beside other work; None where it is here already.

    `early`: while .venv is made, so not where npm must be brought by the pip of .venv.
    """
    locked = web_list()
    if locked is None or (WEB_FOLDER / locked["folder"]).is_dir():
        return None
    if early and not shutil.which("npm"):
        return None
    bringing = threading.Thread(target=bring_engine, args=(locked,), daemon=True)
    bringing.start()
    return bringing


def wait_for_engine(bringing: threading.Thread | None) -> None:
    """Waits a while for what was begun."""
    if bringing is None:
        return
    bringing.join(ENGINE_WAIT_S)
    if bringing.is_alive():
        say(
            "the engine of the page 'Your own job' is still on its way; the guide is built"
            " without it. Start again to have it."
        )


def web_list() -> dict | None:
    """What web.lock names, or None where it cannot be read."""
    try:
        text = WEB_LIST.read_text(encoding="utf-8")
    except OSError:
        return None
    words = [word for line in text.splitlines() for word in line.split("#")[0].split()]
    package, digest_of_it, npm, *hashes = words
    return {
        "package": package,
        "sha512": digest_of_it,
        "npm": npm,
        "hashes": hashes,
        "folder": package.replace("@", "-"),
    }


def bring_engine(locked: dict) -> None:
    """Fetches the package, compares it, unpacks what is needed; says why where it cannot."""
    try:
        WEB_FOLDER.mkdir(parents=True, exist_ok=True)
        archive = packed_by_npm(locked)
        found = "sha512-" + b64encode(hashlib.sha512(archive.read_bytes()).digest()).decode()
        if found != locked["sha512"]:
            archive.unlink()
            raise Stop(
                "the package that arrived is not the one on record; start again from"
                " another network, and report it if it stays so"
            )
        unpack(archive, WEB_FOLDER / locked["folder"])
        archive.unlink()
    except (Stop, OSError, KeyError, tarfile.TarError, subprocess.SubprocessError) as error:
        say(
            "the engine of the page 'Your own job' could not be brought: {}. The guide is built"
            " without it.".format(str(error).strip())
        )


def packed_by_npm(locked: dict) -> Path:
    """The package as npm packs it."""
    command = [
        *npm_command(locked),
        "pack",
        locked["package"],
        "--ignore-scripts",
        "--silent",
        "--fetch-retries=1",
        "--fetch-timeout=60000",
    ]
    done = subprocess.run(
        command, cwd=WEB_FOLDER, capture_output=True, env=environment(), timeout=300
    )
    archive = WEB_FOLDER / (locked["folder"] + ".tgz")
    if done.returncode or not archive.is_file():
        raise Stop(
            "npm could not fetch it (check the network connection)\n"
            + last_lines(done.stdout + done.stderr)
        )
    return archive


def npm_command(locked: dict) -> list[str]:
    """The npm of the PATH; where there is none, that of a package of Python's index."""
    npm = shutil.which("npm")
    if npm:
        return [npm]
    folder = WEB_FOLDER / locked["npm"].replace("==", "-")
    if not folder.is_dir():
        fresh = folder.with_suffix(".new")
        remove(fresh)
        wanted = WEB_FOLDER / "npm.txt"
        hashes = "".join(" --hash={}".format(each) for each in locked["hashes"])
        wanted.write_text(locked["npm"] + hashes + "\n", encoding="utf-8")
        done = subprocess.run(
            [
                str(venv_python()),
                "-m",
                "pip",
                "install",
                "--quiet",
                "--no-input",
                "--no-deps",
                "--disable-pip-version-check",
                "--require-hashes",
                "--only-binary",
                ":all:",
                "--target",
                str(fresh),
                "-r",
                str(wanted),
            ],
            capture_output=True,
            env=environment(),
            timeout=600,
        )
        if done.returncode:
            raise Stop("there is no npm, and none could be fetched\n" + last_lines(done.stderr))
        os.replace(fresh, folder)
    program = next(folder.rglob("npm-cli.js"), None)
    node = shutil.which(
        "node",
        path=os.pathsep.join(str(each.parent) for each in folder.rglob("node*") if each.is_file()),
    )
    if program is None or node is None:
        raise Stop("the npm that was fetched is not whole; remove {}".format(folder))
    return [node, str(program)]


def unpack(archive: Path, folder: Path) -> None:
    """The files we need, beside each other, in one step; no path of the archive is used."""
    fresh = folder.with_name(folder.name + ".new")
    remove(fresh)
    fresh.mkdir()
    with tarfile.open(archive) as packed:
        for name in ENGINE_FILES:
            (fresh / name).write_bytes(packed.extractfile("package/" + name).read())
    os.replace(fresh, folder)


# ---- the browser of the tests


def browser_path() -> str | None:
    """The browser that the tests drive, or None."""
    chosen = os.environ.get(BROWSER_VARIABLE)
    if chosen:
        return shutil.which(chosen)
    return next(filter(None, map(shutil.which, BROWSER_COMMANDS)), None)


def browser_advice() -> str:
    """What to install so that the browser tests run."""
    if debian():
        return "no browser found; install it: {}".format(apt_line(DEBIAN_PACKAGES))
    return (
        "no browser found; install Chromium and put it on the PATH, "
        "or set {} to its program file".format(BROWSER_VARIABLE)
    )


def prepare_browser() -> None:
    """On Debian, as root, install what the browser tests need; elsewhere say what to install."""
    chosen = os.environ.get(BROWSER_VARIABLE)
    if chosen and not browser_path():
        raise Stop("{} names {}, which is no program here.".format(BROWSER_VARIABLE, chosen))
    if not chosen and debian() and is_root():
        missing = [name for name in DEBIAN_PACKAGES if not debian_has(name)]
        if missing:
            install_on_debian(missing)
    if not browser_path():
        say(browser_advice() + ". The browser tests are skipped.")


def prepare_long_tests() -> None:
    """Install what only the long tests need; they skip, with the reason, where it is absent."""
    if debian() and is_root():
        missing = [
            name
            for program, packages in LONG_TEST_PROGRAMS.items()
            if not shutil.which(program)
            for name in packages
        ]
        if missing:
            install_on_debian(missing)
    if shutil.which("npm"):
        install_from_npm()
    else:
        say(
            "no npm found; install Node.js. The tests with players and checkers that are not ours"
            " are skipped."
        )


def install_from_npm() -> None:
    """The packages of the list into a folder of the cache, without running their scripts.

    Under CI a failure stops the run.
    """
    wanted = digest(NPM_LIST)
    stamp = NPM_FOLDER / "firstway.txt"
    if stamp.is_file() and stamp.read_text(encoding="utf-8") == wanted:
        return
    say("installing players and checkers for the long tests (once) ...")
    remove(NPM_FOLDER)
    NPM_FOLDER.mkdir(parents=True)
    (NPM_FOLDER / "package.json").write_text('{"private": true}\n', encoding="utf-8")
    lines = NPM_LIST.read_text(encoding="utf-8").splitlines()
    names = [line.split("#")[0].strip() for line in lines]
    command = [
        shutil.which("npm"),
        "install",
        "--ignore-scripts",
        "--no-package-lock",
        "--no-audit",
        "--no-fund",
        "--silent",
        *filter(None, names),
    ]
    done = subprocess.run(command, cwd=NPM_FOLDER, capture_output=True, env=environment())
    if done.returncode == 0:
        stamp.write_text(wanted, encoding="utf-8")
        return
    text = "could not install them.\n" + last_lines(done.stdout + done.stderr)
    if os.environ.get("CI"):
        raise Stop(text)
    say(text)


def debian() -> bool:
    """Whether this is Debian itself: its relatives package browsers in other ways."""
    try:
        release = Path("/etc/os-release").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return False
    return "ID=debian" in release.splitlines() and shutil.which("apt-get") is not None


def is_root() -> bool:
    """Whether packages of the system may be installed."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def apt_line(names) -> str:
    """The command that installs Debian packages, as a person would type it."""
    line = "apt-get update && apt-get install --no-install-recommends " + " ".join(names)
    return line if is_root() else "sudo sh -c '{}'".format(line)


def debian_has(name: str) -> bool:
    """Whether a Debian package is installed."""
    asked = subprocess.run(
        ["dpkg-query", "-W", "-f", "${db:Status-Status}", name], capture_output=True
    )
    return asked.returncode == 0 and asked.stdout == b"installed"


def install_on_debian(names: list[str]) -> None:
    """Install Debian packages, asking nothing. Under CI a failure stops the run."""
    say("installing {} for the tests (once) ...".format(", ".join(names)))
    quietly = dict(environment(), DEBIAN_FRONTEND="noninteractive")
    for command in (
        ["apt-get", "-q", "update"],
        ["apt-get", "-q", "install", "-y", "--no-install-recommends", *names],
    ):
        done = subprocess.run(command, capture_output=True, stdin=subprocess.DEVNULL, env=quietly)
        if done.returncode:
            text = "could not install {}; install by hand: {}\n{}".format(
                ", ".join(names), apt_line(names), last_lines(done.stdout + done.stderr)
            )
            if os.environ.get("CI"):
                raise Stop(text)
            say(text)
            return


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):
        # A path the console cannot show must not end the run.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    sys.exit(main(sys.argv[1:]))
