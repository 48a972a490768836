"""2,000 hostile answer files and typed tables, 20 a case: whatever lies beside them, everybody
else's marks are right.

Four learners are attacked: what is hostile is made from their own files and rows, with their own
issue codes. The others handed in whole files, or have rows in the table that `paper` made; each has
every point. `mark` runs as a process of its own, so that a crash, a hang or too much memory is
seen.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import os
import random
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from desk_class import SmallClass, damaged, small_class
from frame import Tried

from firstway.desk.papers.key import PaperKey
from firstway.problems import visible

CASES, HOSTILE = 100, 20
CPU_SECONDS, SECONDS, LARGEST_MB = (
    60,
    1800,
    300,
)  # of the processor; of the clock, which runs on beside heavy work
VICTIMS, FILES, ROWS = (
    ("V1", "V2", "V3", "V4"),
    ("F1", "F2", "F3", "F4", "F5"),
    ("R1", "R2", "R3", "R4", "R5"),
)
TOOLS = Path(__file__).parents[2] / "tools"
MARK = f"""import resource, sys
resource.setrlimit(resource.RLIMIT_CPU, ({CPU_SECONDS}, {CPU_SECONDS + 5}))
sys.path.insert(0, sys.argv[1])
from firstway.cli import main
code = main(["mark", sys.argv[2]])
used = resource.getrusage(resource.RUSAGE_SELF)
print(used.ru_maxrss // 1024, round(used.ru_utime + used.ru_stime, 2), file=sys.stderr)
sys.exit(code)"""
WORDS = (
    "",
    " ",
    "0",
    "-1",
    "1e999",
    "nan",
    "NaN",
    "Infinity",
    "null",
    "[]",
    "{}",
    "=1+1",
    "@SUM(A1)",
    "<script>alert(1)</script>",
    "../../etc/passwd",
    "\x00",
    "\x1b[2J",
    "\u202eabc",
    "\u2028",
    "\ufeff",
    "\ud800",
    "\U0001f4a5" * 50,
    "a" * 999,
    "a" * 1001,
    "9" * 400,
    "1;2;3;4;5;6;7",
    "a b c d e f g",
    "1=a 1=b",
    "CON",
    "constructor",
    "__proto__",
    "\u0130",
    "ß",
    "M\u0301",
    "%s%n",
    "{0}",
    "\\",
    "'\"`",
    "\t\n\r",
)
THINGS: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    -1,
    1.5,
    1e308,
    10**30,
    [],
    {},
    [[]],
    {"a": {"b": {}}},
    *WORDS,
)


def prepared(folder: Path) -> SmallClass:
    """The class, its papers made; cases take copies."""
    with contextlib.redirect_stdout(io.StringIO()):
        return small_class(folder, *VICTIMS, *FILES, *ROWS)


@dataclass
class Case:
    """One folder under attack."""

    made: SmallClass
    key: PaperKey
    draw: random.Random
    rows_only: bool = False
    """Whether tables are whole as tables, and only their rows are hostile: then the run goes on to
    marking."""

    def answers_of(self, code: str) -> dict[str, Any]:
        """A whole answer file of a learner."""
        self.made.hand_in(self.key, code, "for-this-case-alone.json")
        path = self.made.out / "answers/for-this-case-alone.json"
        data = json.loads(path.read_text(encoding="utf-8"))
        path.unlink()
        return data

    @property
    def victim(self) -> str:
        return self.draw.choice(VICTIMS)

    @property
    def other(self) -> str:
        return self.draw.choice((*FILES, *ROWS))


# ---- answer files ----


def changed_value(case: Case) -> bytes:
    """One value of a victim's file replaced by something else."""
    data = case.answers_of(case.victim)
    names = [*data, *(["answers"] * 3)]
    name = case.draw.choice(names)
    if name == "answers" and case.draw.random() < 0.8:
        inner = case.draw.choice([*data["answers"], case.draw.choice(WORDS)])
        data["answers"][inner] = case.draw.choice(THINGS)
    else:
        data[name] = case.draw.choice(THINGS)
    return json.dumps(data).encode("utf-8", "surrogatepass")


def in_another_name(case: Case) -> bytes:
    """A victim's answers under somebody else's code: with the victim's issue code, none, or a
    guess.
    """
    data = case.answers_of(case.victim)
    data["learner"] = case.draw.choice(
        (case.other, case.other.lower(), f" {case.other}", f"{case.other}\u200b")
    )
    data["issue"] = case.draw.choice((data["issue"], "", "0000-0000-0000", data["issue"].upper()))
    data["saved"] = "9999-12-31T23:59:59Z"
    data["answers"] = dict.fromkeys(data["answers"], "z")
    return json.dumps(data).encode()


def other_edition(case: Case) -> bytes:
    data = case.answers_of(case.victim)
    data[case.draw.choice(("paper", "paper_version", "format"))] = case.draw.choice(WORDS)
    return json.dumps(data).encode("utf-8", "surrogatepass")


def bent_bytes(case: Case) -> bytes:
    """Bits turned, a piece cut out, doubled or put in; another encoding."""
    content = bytearray(json.dumps(case.answers_of(case.victim), ensure_ascii=False).encode())
    start, end = sorted(case.draw.randrange(len(content)) for _ in range(2))
    way = case.draw.randrange(6)
    if way == 0:
        for _ in range(case.draw.randint(1, 8)):
            content[case.draw.randrange(len(content))] ^= 1 << case.draw.randrange(8)
    elif way == 1:
        del content[start:end]
    elif way == 2:
        content[start:start] = content[start:end]
    elif way == 3:
        content[start:start] = case.draw.randbytes(case.draw.randint(1, 400))
    elif way == 4:
        return bytes(content).decode().encode(case.draw.choice(("utf-16", "utf-32", "cp037")))
    else:
        return bytes(content) + b" " * case.draw.choice((10, 200_000, 300_000))
    return bytes(content)


def damaged_by_hand(case: Case) -> bytes:
    """What the tests of the reader try, with a victim's code."""
    return (
        damaged(case.draw, case.draw.randrange(1000))[1]
        .replace(b"L01", case.victim.encode())
        .replace(b"hand-made", b"small")
    )


ANSWERS: tuple[Callable[[Case], bytes], ...] = (
    changed_value,
    in_another_name,
    other_edition,
    bent_bytes,
    damaged_by_hand,
)
NAMES = (
    "a.json",
    "A.JSON",
    "x.csv",
    "x.txt",
    "x",
    ".hidden.json",
    "._x.json",
    "x.json.json",
    "=1+1.json",
    "\u202ex.json",
    "a\nb.json",
    "-rf.json",
    "%s.json",
    "CON.json",
    " .json",
    "x" * 200 + ".json",
    "\udcff\udcfe.json",
    "Thumbs.db",
    "~$x.json",
    "x.json~",
    "{}.json",
    "sub/x.json",
    "sub/../x.json",
    "sub/sub/sub/sub/sub/sub/x.json",
)


def put_answer(case: Case, number: int) -> None:
    folder = case.made.out / "answers"
    name = (
        case.draw.choice(NAMES)
        if case.draw.random() < 0.5
        else f"small-{case.victim}-answers ({number}).json"
    )
    path = folder / name
    if path.exists() or path.is_symlink():
        path = folder / f"{number}-{name.rpartition('/')[2]}"
    path.parent.mkdir(parents=True, exist_ok=True)
    kind = case.draw.randrange(20)
    if kind == 0:
        path.symlink_to(case.draw.choice(("/dev/zero", "/etc/passwd", "nowhere", ".")))
    elif kind == 1:
        os.mkfifo(path)
    elif kind == 2:
        path.mkdir()
    elif kind == 3:
        with path.open("wb") as file:
            file.truncate(case.draw.choice((300_000, 50_000_000, 3_000_000_000)))
    else:
        path.write_bytes(case.draw.choice(ANSWERS)(case))


# ---- typed tables ----


def table(case: Case, rows: list[list[str]] | None = None) -> list[list[str]]:
    """A table as `paper` writes it, with victims' rows filled in at random."""
    most = len(case.key.sheets["V1"].asked)
    head = ["code", "issue code", "edition", *(str(number) for number in range(1, most + 1))]
    own = [
        [
            code,
            case.key.sheets[code].issue,
            f"v{case.key.version}",
            *(case.draw.choice(WORDS) for _ in range(most)),
        ]
        for code in case.draw.sample(VICTIMS, case.draw.randint(1, len(VICTIMS)))
    ]
    return [head, *(rows or []), *own]


def changed_cells(case: Case) -> bytes:
    rows = table(case)
    for _ in range(case.draw.randint(1, 4)):
        row = case.draw.choice(rows[1:] if case.rows_only else rows)
        row[case.draw.randrange(len(row))] = case.draw.choice(WORDS)
    return text_of(rows, case)


def others_in_it(case: Case) -> bytes:
    """Rows for somebody else without their issue code: nothing in a table says that it was typed by
    the tutor.
    """
    most = len(case.key.sheets["V1"].asked)
    rows = [
        [
            case.other,
            case.draw.choice((case.key.sheets[case.victim].issue, "", "0000-0000-0000")),
            f"v{case.key.version}",
            *["z"] * most,
        ]
        for _ in range(case.draw.randint(1, 5))
    ]
    return text_of(table(case, rows), case)


def other_shape(case: Case) -> bytes:
    """Columns left out, doubled, named anew; rows too long or too short."""
    rows = table(case)
    place = case.draw.randrange(len(rows[0]))
    way = case.draw.randrange(5)
    for row in rows:
        if way == 0:
            del row[place]
        elif way == 1:
            row.insert(place, row[place])
        elif way == 2 and row is rows[0]:
            row[place] = case.draw.choice(("Q1", "answer", "01", "1.0", "1000", *WORDS))
        elif way == 3:
            del row[case.draw.randint(1, len(row)) :]
        elif way == 4:
            row += [case.draw.choice(WORDS)] * case.draw.randint(1, 2000)
    return text_of(rows, case)


def text_of(rows: list[list[str]], case: Case) -> bytes:
    written = io.StringIO()
    if case.rows_only:
        csv.writer(written).writerows(
            [
                [cell.encode("utf-8", "replace").decode().replace("\x00", "") for cell in row]
                for row in rows
            ]
        )
        return written.getvalue().encode()
    quoting = case.draw.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL))
    csv.writer(written, delimiter=case.draw.choice(",;\t"), quoting=quoting).writerows(rows)
    content = written.getvalue().encode("utf-8", "surrogatepass")
    way = case.draw.randrange(12)
    if way == 0:
        return content[: case.draw.randrange(len(content))]
    if way == 1:
        return content.replace(b"\r\n", b"\r")
    if way == 2:
        return written.getvalue().encode("utf-16", "surrogatepass")
    if way == 3:
        place = case.draw.randrange(len(content))
        return content[:place] + case.draw.randbytes(20) + content[place:]
    return (
        content + b"\r\n" * case.draw.choice((0, 0, 0, 100_000))
        if way != 4
        else content + rows_without_end(case)
    )


def rows_without_end(case: Case) -> bytes:
    return (f"{case.victim},x,y" + ",z" * 3 + "\r\n").encode() * case.draw.choice((1000, 100_000))


TABLES: tuple[Callable[[Case], bytes], ...] = (changed_cells, others_in_it, other_shape)


def put_table(case: Case, number: int) -> None:
    name = case.draw.choice(
        (
            f"hostile-{number}.csv",
            f"{number}.CSV",
            f"small-{case.key.version}-{number}.csv",
            f"\u202e{number}.csv",
            f"{number}.xlsx",
        )
    )
    (case.made.out / "typed" / name).write_bytes(
        case.draw.choice(TABLES[:2] if case.rows_only else TABLES)(case)
    )


# ---- a case ----


def tried(first: SmallClass, draw: random.Random, folder: Path) -> Tried:
    """Marks for everybody but the attacked, whatever lies there."""
    made = first.copied(folder / "class")
    case = Case(made, made.key, draw, rows_only=draw.random() < 0.6)
    for code in FILES:
        made.hand_in(case.key, code)
    for code in ROWS:
        made.type_in(case.key, code)
    for number in range(HOSTILE):
        (put_answer if draw.random() < 0.6 else put_table)(case, number)
    files = names_in(made.out / "answers")
    first_run = ran(made.out)
    troubles, runs = list(first_run.troubles), [first_run]
    if (
        first_run.code == 2
    ):  # tables that are wrong as a whole: each named with its line, nothing written
        troubles += told_wrong(made, first_run.said)
        runs.append(ran(made.out))
        troubles += runs[-1].troubles
    counts = {
        "hostile files and tables": HOSTILE,
        "refused for a table that is wrong as a whole": first_run.code == 2,
    }
    measures = {
        "MB of memory": max(run.memory for run in runs),
        "s of the processor": max(run.seconds for run in runs),
    }
    if runs[-1].code not in (0, 1):
        return Tried((*troubles, f"exit {runs[-1].code}: {runs[-1].said[:400]}"), measures, counts)
    points = made.points()
    troubles += [
        f"{learner} has {points.get(learner)!r}"
        for learner in (*FILES, *ROWS)
        if points.get(learner) != "3"
    ]
    aside = (made.out / "marked/set-aside.txt").read_text(encoding="utf-8")
    troubles += [
        f"an unseen sign in the list: {sign!r}"
        for sign in sorted(set(aside))
        if not sign.isprintable() and sign != "\n"
    ]
    troubles += ["a learner's file is gone"] if files != names_in(made.out / "answers") else []
    before = bytes_in(made.out / "marked")
    again = ran(made.out)
    troubles += [
        *again.troubles,
        *(["another result the second time"] if before != bytes_in(made.out / "marked") else []),
    ]
    return Tried(tuple(troubles), measures, {**counts, "set aside": len(aside.splitlines())})


def names_in(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*"))


def bytes_in(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def told_wrong(made: SmallClass, said: str) -> list[str]:
    """Tables that were named are taken away, as a tutor would; what is wrong with how they were
    named.
    """
    troubles = ["written in spite of problems"] if (made.out / "marked").exists() else []
    tables = {visible(str(path)): path for path in (made.out / "typed").iterdir()}
    for line in said.splitlines():
        named = [
            path for shown, path in tables.items() if line.startswith((f"{shown}:", f"{shown} "))
        ]
        if not named or not re.search(r": .+; .+", line):
            troubles.append(f"no file, line and what to do: {line!r}")
        for path in named:
            path.unlink(missing_ok=True)
    return troubles


@dataclass(frozen=True)
class Run:
    """What one run of `mark` came to."""

    code: int
    said: str
    troubles: tuple[str, ...]
    memory: float
    seconds: float


def ran(out: Path) -> Run:
    """`mark` in a process of its own."""
    try:
        done = subprocess.run(
            [sys.executable, "-c", MARK, str(TOOLS), str(out)],
            capture_output=True,
            text=True,
            timeout=SECONDS,
            errors="surrogateescape",
        )
    except subprocess.TimeoutExpired:
        return Run(-1, "", (f"no end after {SECONDS} s",), 0, SECONDS)
    if done.returncode == -signal.SIGXCPU:
        return Run(-1, "", (f"no end after {CPU_SECONDS} s of the processor",), 0, CPU_SECONDS)
    *lines, measured = done.stderr.splitlines() or ["0 0"]
    memory, seconds = (
        (float(each) for each in measured.split())
        if re.fullmatch(r"[0-9. ]+", measured)
        else (0.0, 0.0)
    )
    troubles = [f"traceback: {done.stderr[-600:]}"] if "Traceback" in done.stderr else []
    troubles += [f"{memory:.0f} MB of memory"] if memory > LARGEST_MB else []
    return Run(
        done.returncode,
        "\n".join(lines) if done.returncode == 2 else done.stdout,
        tuple(troubles),
        memory,
        seconds,
    )
