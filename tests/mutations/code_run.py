"""100 slips of a programmer in checks, wiring and workings (`code_changes.py`): how many do the
tests see?

    python tests/mutations/code_run.py [HOW_MANY [SEED]] [--cpu SECONDS] [--kept FILE] [--only
    PLACES]

Everything is imported and collected once; each slip is put into a child of that process, which runs
the tests most likely to see it and stops at the first failure, or when the CPU seconds are used up.
A test that fails without any slip does not count. `--kept` holds the outcomes, one JSON line each:
a run goes on where it was stopped, and asks again only what was not seen.
"""

from __future__ import annotations

import argparse
import functools
import gc
import importlib
import json
import os
import resource
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

TESTS = Path(__file__).parents[1]
OURS = {path.stem: path for path in TESTS.rglob("*.py")}
sys.path[:0] = [str(Path(__file__).parent), str(TESTS), str(TESTS.parent / "tools")]

from code_changes import Change, drawn, put_in  # noqa: E402

HOW_MANY, SEED = 100, 20270129
CPU_S = 30.0
BROKEN, ENDLESS = "the run broke", "the slip made it endless"
LONGEST_TEST_S = 60  # of CPU, beside the limit: a slip may make a loop endless
# A second or two each, made for such slips: asked first.
QUICK = ("test_limits_to_the_letter", "test_several_of_a_kind", "test_docstring_examples")
# The files of tests in the order of asking, by the room of the slip; those that import the changed
# module come before.
MEASURED = "test_evidence.py::test_with_everything_measured"
SMALL = ("test_limits_to", "test_several", "test_docstring", "test_evidence_apart")
ORDER = {
    "checks": (
        "test_comparing",
        "test_verdict",
        "test_asking",
        "test_checks_more",
        *SMALL,
        "test_expected_readings",
        MEASURED,
        "test_readings",
        "test_sweep",
        "test_nec",
        "test_checks",
        "test_mistakes",
        "test_hazards",
        "test_evidence",
    ),
    "wiring": (
        "test_wiring.py",
        *SMALL,
        "test_impedances",
        "test_wiring_truth",
        "test_readings",
        "test_expected_readings",
        MEASURED,
        "test_sweep",
        "test_fault_places",
        "test_nec",
        "test_checks_more",
        "test_checks",
        "test_mistakes",
        "test_hazards",
        "test_evidence",
    ),
    "workings": (
        "test_workings",
        *SMALL,
        "test_lengths",
        "test_opening_times",
        "test_surge.py",
        "test_nec",
        "test_sweep",
        MEASURED,
        "test_fault_places",
        "test_checks_more",
        "test_readings",
        "test_checks",
        "test_cross_check",
        "test_hazards",
        "test_evidence",
    ),
}
FILES = (
    "test_evidence",
    "test_comparing",
    "test_verdict",
    "test_asking",
    "test_checks_more",
    "test_evidence_scopes",
    "test_nec",
    "test_readings",
    "test_evidence_apart",
    "test_expected_readings",
    "test_sweep",
    "test_checks",
    "test_mistakes",
    "test_hazards",
    "test_wiring",
    "test_wiring_truth",
    "test_impedances",
    "test_fault_places",
    "test_workings",
    "test_lengths",
    "test_opening_times",
    "test_surge",
    "test_cross_check",
    "test_choosing",
    "test_slips",
    "test_limits_to_the_letter",
    "test_docstring_examples",
    "test_several_of_a_kind",
)
LEFT_OUT = (  # the solvers' own figures: no slip of ours is their business
    "not (opendss or ngspice_still)"
)
# What is read from files alone may stay in memory; all else that was kept is forgotten before a
# slip.
READ_FROM_FILES = {
    "installation",
    "text_of",
    "rows",
    "trials",
    "lines_of",
    "topics",
    "shipped",
    "chosen",
    "every_key",
}
FORGETTING = (
    "firstway.checks",
    "firstway.wiring",
    "firstway.workings",
    "firstway.choosing",
    "firstway.drawing",
    "firstway.quiz",
    "firstway.pages",
)


# ---- the tests, likeliest first


def asked(items: list[pytest.Item], change: Change) -> list[pytest.Item]:
    room, module = (
        change.file.split("/")[0],
        "firstway." + change.file.removesuffix(".py").replace("/", "."),
    )
    rule = Path(change.file).stem.replace("_", "-") if "/rules/" in change.file else ""
    first = (
        (
            *(("test_wiring_truth",) if room == "wiring" else ()),
            "test_evidence_apart",
            "test_evidence_scopes",
        )
        if change.kind == "evidence"
        else ()
    )
    own_cases = (
        f"as_written[{rule}-"
        if rule
        else "as_written[reading-"
        if room == "checks" and "reading" in module
        else ""
    )
    order = (
        *first,
        *((own_cases,) if own_cases else ()),
        *(("test_nec",) if "nec" in change.file else ()),
        *ORDER[room],
    )

    def rank(item: pytest.Item) -> tuple[int, int]:
        place = next(
            (place for place, words in enumerate(order) if words in item.nodeid), len(order)
        )
        near = (
            not rule
            and _imports(item.path, module)
            and item.path.stem not in ("test_checks", "test_evidence")
        )
        slow = "knowing_less" in item.nodeid or "assumed_never" in item.nodeid
        own = own_cases and own_cases in item.nodeid
        return (
            4
            if slow
            else 0
            if own
            else 1
            if item.path.stem in (*QUICK, *first)
            else 2
            if near
            else 3
        ), place

    return sorted(items, key=rank)


@functools.cache
def _imports(path: Path, module: str) -> bool:
    return f"{module} " in path.read_text(encoding="utf-8")


def hazards_named(rule: str) -> Iterator[tuple[str, Callable[[], list[str]]]]:
    """The rows of the table of hazards that ask a rule to speak: `test all` tries every one."""
    table, tests = importlib.import_module("hazard_trials"), _loaded("test_hazards")
    for trial in table.trials():
        if rule in trial.row.ids:
            yield f"hazard {trial.id}", functools.partial(tests.judged, [trial])


def _loaded(name: str) -> ModuleType:
    return next(
        module for key, module in list(sys.modules.items()) if key.rpartition(".")[2] == name
    )


# ---- one slip, in a child


class FirstFailure:
    """A plugin that notes whether the last test failed."""

    failed = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed = self.failed or report.failed


class Asking:
    """A plugin that puts its own loop in the place of the run."""

    def __init__(
        self, changes: list[Change], cpu_s: float, told: Callable[[Change, str, float], None]
    ) -> None:
        self.changes, self.cpu_s, self.told = changes, cpu_s, told
        self.always_fail: dict[str, bool] = {}
        self.listening = FirstFailure()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        session.config.pluginmanager.register(self.listening)
        _warmed()
        _golden_as_of_now()
        _forgotten()
        for change in self.changes:
            began = time.monotonic()
            self.told(change, self.seen_by(session.items, change), time.monotonic() - began)
        return True

    def seen_by(self, items: list[pytest.Item], change: Change) -> str:
        """The first test that sees a slip, and fails for no other reason; nothing where
        none does.
        """
        passed_over = {name for name, fails in self.always_fail.items() if fails}
        while True:
            name = in_child(lambda: self._first_failure(items, change, passed_over), self.cpu_s)
            assert name != BROKEN, f"{change} could not be put in"
            if name in ("", ENDLESS):
                return name
            if name not in self.always_fail:
                self.always_fail[name] = bool(
                    in_child(lambda: self._alone(items, name), self.cpu_s)
                )
            if self.always_fail[name]:
                print(f"        fails without any slip: {name}", flush=True)
            if not self.always_fail[name]:
                return name
            passed_over.add(name)

    def _first_failure(
        self, items: list[pytest.Item], change: Change, passed_over: set[str]
    ) -> str:
        assert put_in(change), "nothing of the loaded program is changed by it"
        return self._failure(asked(items, change), change, passed_over)

    def _failure(self, items: list[pytest.Item], change: Change, passed_over: set[str]) -> str:
        rule = Path(change.file).stem.replace("_", "-") if "/rules/" in change.file else ""
        hazards = list(hazards_named(rule)) if rule and change.kind != "evidence" else []
        for item in items:
            if hazards and "as_written[" + rule not in item.nodeid:
                for name, judged in hazards:
                    if name not in passed_over and self._fails(judged):
                        return name
                hazards = []
            if time.process_time() > self.cpu_s:
                return ""
            if item.nodeid not in passed_over and self._item_fails(item):
                return item.nodeid
        return ""

    def _alone(self, items: list[pytest.Item], name: str) -> str:
        """One test without any slip."""
        rows = (
            dict(hazards_named(name.rpartition(" -> ")[2].split("|")[0]))
            if name.startswith("hazard ")
            else {}
        )
        failed = (
            self._fails(rows[name])
            if rows
            else self._item_fails(next(item for item in items if item.nodeid == name))
        )
        return name if failed else ""

    def _item_fails(self, item: pytest.Item) -> bool:
        self.listening.failed = False
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
        return self.listening.failed

    @staticmethod
    def _fails(judged: Callable[[], list[str]]) -> bool:
        try:
            return judged() != []
        except Exception:  # noqa: BLE001: a slip may break anything, and that is seen
            return True


def _warmed() -> None:
    """Files and tables are read once, before any child."""
    from changing import done, installation
    from hazard_trials import trials
    from sampling import EVERY_JOB

    trials()
    for name in EVERY_JOB:
        installation(name)
        done(name)


def _golden_as_of_now() -> None:
    """The golden findings are those of the program without a slip, also while somebody is about to
    renew them.
    """
    from sampling import JOBS

    tests = _loaded("test_evidence")
    known = {rule for found in tests.before().values() for rule, *_ in found}
    now = {
        name: Counter(
            told
            for each in tests.all_measured(name)
            if (told := (each.id, each.of, each.place, each.level))[0] in known
        )
        for name in JOBS
    }
    tests.before, tests.differences = lambda: now, lambda: ()


def _forgotten() -> None:
    for item in gc.get_objects():
        if (
            isinstance(item, functools._lru_cache_wrapper)
            and item.__name__ not in READ_FROM_FILES
            and not _reads_alone(item.__module__ or "")
        ):
            item.cache_clear()


def _reads_alone(module: str) -> bool:
    outside = not module.startswith("firstway") and module.rpartition(".")[2] not in OURS
    return outside or (module.startswith("firstway") and not module.startswith(FORGETTING))


def in_child(work: Callable[[], str], cpu_s: float) -> str:
    """What a piece of work says, done in a child of this process."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read)
        said = BROKEN
        try:
            limit = int(cpu_s + LONGEST_TEST_S)
            resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            said = work()
        finally:
            os.write(write, said.encode())
            os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as pipe:
        said = pipe.read()
    _, status = os.waitpid(child, 0)
    return ENDLESS if status else said.decode()


# ---- the run


def outcomes(
    changes: list[Change], cpu_s: float, told: Callable[[Change, str, float], None]
) -> None:
    files = [str(OURS[name]) for name in FILES]
    pytest.main(
        [
            "-c",
            str(TESTS / "pytest.ini"),
            "--rootdir",
            str(TESTS),
            "-q",
            "--no-header",
            "--tb=no",
            "-p",
            "no:cacheprovider",
            "-s",
            "-m",
            "not long",
            "-k",
            LEFT_OUT,
            *files,
        ],
        plugins=[Asking(changes, cpu_s, told)],
    )


def kept_in(path: Path | None) -> dict[str, str]:
    if path is None or not path.exists():
        return {}
    return {
        each["change"]: each["seen_by"]
        for each in map(json.loads, path.read_text(encoding="utf-8").splitlines())
    }


def report(changes: list[Change], seen_by: dict[str, str]) -> list[str]:
    unseen = [change for change in changes if not seen_by.get(str(change))]
    lines = [f"{len(changes) - len(unseen)} of {len(changes)} slips are seen"]
    for kind in dict.fromkeys(change.kind for change in changes):
        of_kind = [change for change in changes if change.kind == kind]
        lines.append(
            f"  {kind}: {sum(change not in unseen for change in of_kind)} of {len(of_kind)}"
        )
    return lines + [f"  not seen: {change}" for change in unseen]


def main() -> int:
    words = argparse.ArgumentParser()
    words.add_argument("how_many", nargs="?", type=int, default=HOW_MANY)
    words.add_argument("seed", nargs="?", type=int, default=SEED)
    words.add_argument("--cpu", type=float, default=CPU_S)
    words.add_argument("--kept", type=Path)
    words.add_argument("--only", default="", help="places in the draw, from 0, with commas")
    given = words.parse_args()
    changes = drawn(given.how_many, given.seed)
    if given.only:
        changes = [changes[int(place)] for place in given.only.split(",")]
    found = kept_in(given.kept)
    print(f"seed {given.seed}, {len(changes)} slips", flush=True)

    def told(change: Change, seen_by: str, seconds: float) -> None:
        found[str(change)] = seen_by
        print(
            f"{seconds:4.0f} s  {change}  {'seen by ' + seen_by if seen_by else 'NOT SEEN'}",
            flush=True,
        )
        if given.kept:
            with given.kept.open("a", encoding="utf-8") as out:
                out.write(json.dumps({"change": str(change), "seen_by": seen_by}) + "\n")

    outcomes([change for change in changes if not found.get(str(change))], given.cpu, told)
    print("\n".join(report(changes, found)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
