"""Last in the flow: the commands.

Exit 0: done; 1: check found fail or danger, or mark set files aside; 2: problems in the input or
usage.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import io
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from firstway.checks.rule import AS_TOLD
from firstway.choosing.completing import Completed, completed
from firstway.files.disk import plain_name, put_new, put_text, text_of_file
from firstway.files.folders import settle_noted_rooms
from firstway.model.blank import blank_installation
from firstway.model.read_copy import ReadClause, beside
from firstway.model.reading import installation_from_yaml
from firstway.problems import Problem, Problems, visible
from firstway.rendering.figures import json_text
from firstway.rendering.html import caution_line
from firstway.rendering.report import as_data, findings_text, work_text
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers, local_workers, workers_named

ROOT = Path(__file__).resolve().parents[2]
DRAWN_VIEWS = ("single-line", "board", "wiring", "lifelike")
# Nearly all that a command makes stays until its end: looking through it for circles at Python's
# own pace was a tenth of a build.
_COLLECTED_AFTER = (50_000, 20, 50)
PACKAGES = ("qti-3.0", "qti-2.1", "scorm-1.2")


def main(argv: list[str] | None = None) -> int:
    """Run one command and give its exit code."""
    gc.set_threshold(*_COLLECTED_AFTER)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A name that is no text (bytes of another encoding) is shown as escapes.
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        arguments = _parser().parse_args(argv)
        settle_noted_rooms()
        code = int(arguments.run(arguments))
        _say("")
        return code
    except Problems as found:
        _complain("\n".join(str(problem) for problem in found.problems))
        return 2
    except BrokenPipeError:
        _silence()  # the reader has gone; nothing more to say
        return 0
    except KeyboardInterrupt:
        _complain("stopped; what was there before stands, or all of the new")
        return 130


def _say(text: str) -> None:
    """What a command gives, down to the last sign: a full disk is told, not found out later."""
    if sys.stdout is None:
        if text:
            raise Problems(
                [Problem("standard output", 0, "it is closed", "send what is printed somewhere")]
            )
        return
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        _silence()
        raise Problems(
            [
                Problem(
                    "standard output",
                    0,
                    f"it cannot be written ({error.strerror})",
                    "make room, or send it elsewhere",
                )
            ]
        ) from None


def _tell(line: str) -> None:
    _say(line + "\n")


def _complain(text: str) -> None:
    """What is wrong, on standard error; where that cannot be written the exit code alone tells."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(text + "\n")
        sys.stderr.flush()


def _silence() -> None:
    """Standard output leads nowhere from now on: what is left in it would fail again while Python
    ends.
    """
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python3 tools/start.py",
        description=(
            "From installation files to an offline guide with quizzes that mark themselves."
        ),
        epilog=(
            "Without a command the guide is built into `site` and its first page named. On Windows:"
            " py tools\\start.py"
        ),
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    build = commands.add_parser("build", help="build the guide")
    build.add_argument(
        "--out",
        type=Path,
        default=ROOT / "site",
        metavar="DIR",
        help="folder of the guide (default: site)",
    )
    build.add_argument(
        "--without-engine",
        action="store_true",
        help="leave out the program that the page of your own job runs (6 MB of the zip)",
    )
    build.set_defaults(run=_build)
    _with_workers(build)
    pack = commands.add_parser("pack", help="pack the built guide into one zip, to hand on")
    pack.add_argument(
        "--guide",
        type=Path,
        default=ROOT / "site",
        metavar="DIR",
        help="folder of the built guide (default: site)",
    )
    pack.add_argument(
        "-o",
        "--out",
        type=Path,
        default=ROOT / "firstway.zip",
        metavar="FILE.zip",
        help="where to write (default: firstway.zip beside the guide's sources)",
    )
    pack.set_defaults(run=_pack)
    preview = commands.add_parser(
        "preview", help="show the guide in a browser and rebuild it as files change"
    )
    preview.set_defaults(run=_preview)
    work = commands.add_parser("work", help="print the working of an installation")
    work.add_argument("file", type=Path, metavar="FILE")
    work.add_argument("--json", action="store_true", help="the same as JSON")
    work.set_defaults(run=_work)
    check = commands.add_parser("check", help="print what the checks find")
    check.add_argument("files", type=Path, nargs="+", metavar="FILE")
    check.add_argument("--json", action="store_true", help="the same as JSON, with the working")
    check.add_argument(
        "--only",
        default="",
        metavar="LEVELS",
        help=(
            "print these verdicts alone, such as danger,fail,unknown; the exit code comes from all"
        ),
    )
    check.set_defaults(run=_check)
    _with_workers(check)
    blank = commands.add_parser("blank", help="write an installation file to begin with")
    blank.add_argument("file", type=Path, metavar="FILE")
    blank.set_defaults(run=_blank)
    draw = commands.add_parser("draw", help="draw an installation as SVG")
    draw.add_argument("file", type=Path, metavar="FILE")
    draw.add_argument("view", choices=DRAWN_VIEWS)
    draw.add_argument(
        "--stage",
        default="",
        metavar="N",
        help="the open board or the wiring at stage N of fitting",
    )
    draw.add_argument(
        "--cover", default="", metavar="on", help="the board with its cover on and every label"
    )
    draw.add_argument(
        "--mistake",
        default="",
        metavar="ID",
        help="the board with this mistake of diagrams/mistakes.yaml made on it",
    )
    draw.add_argument(
        "-o",
        "--out",
        type=Path,
        metavar="FILE.svg",
        help="where to write (default: standard output)",
    )
    draw.set_defaults(run=_draw)
    paper = commands.add_parser(
        "paper", help="make a paper for each learner of a class, without a key"
    )
    paper.add_argument(
        "recipe", type=Path, metavar="RECIPE", help="a file of quiz/papers with `use: assigned`"
    )
    paper.add_argument(
        "--class",
        dest="class_list",
        type=Path,
        required=True,
        metavar="CLASS.csv",
        help="a column `code`, and `name` if wanted: names stay at the desk",
    )
    paper.add_argument(
        "-o",
        "--out",
        type=Path,
        required=True,
        metavar="DIR",
        help="folder of this paper: hand-out, desk, answers",
    )
    paper.add_argument(
        "--key",
        type=Path,
        metavar="FILE.pem",
        help="seal answers for this private key; it is made where there is none",
    )
    paper.add_argument(
        "--secret",
        type=Path,
        metavar="FILE",
        help="the desk's secret of another folder, to make the very same papers again",
    )
    paper.set_defaults(run=_paper)
    _with_workers(paper)
    mark = commands.add_parser("mark", help="mark what a class handed in and say what it got wrong")
    mark.add_argument(
        "folder",
        type=Path,
        metavar="DIR",
        help="the folder that `paper` made, with files in its folder `answers`",
    )
    mark.add_argument(
        "--key", type=Path, metavar="FILE.pem", help="the private key that opens sealed answers"
    )
    mark.add_argument(
        "--closes",
        default="",
        metavar="TIME",
        help=(
            "copies saved later are marked and named: 2026-12-01T12:00 by this computer's clock, or"
            " with a zone, 2026-12-01T12:00+01:00"
        ),
    )
    mark.set_defaults(run=_mark)
    _with_workers(mark)
    record = commands.add_parser("record", help="write the papers of a job, to print")
    record.add_argument("file", type=Path, metavar="FILE")
    record.add_argument(
        "-o", "--out", type=Path, required=True, metavar="DIR", help="folder of the papers"
    )
    record.set_defaults(run=_record)
    study = commands.add_parser(
        "study", help="vary figures of an installation: what the checks say in each row"
    )
    study.add_argument("file", type=Path, metavar="FILE")
    study.add_argument(
        "--vary",
        action="append",
        required=True,
        metavar="KEY=LOW..HIGH[/NUMBER]",
        help=(
            "a key such as circuits.NAME.route.1.length_m and the ends of its range, or values with"
            " commas; also distance:CIRCUIT (m along the cable), place:DEVICE (of a surge device on"
            " the bar), surge-wave, surge-voltage; given again, every pairing is a row"
        ),
    )
    study.add_argument("--random", type=int, default=0, metavar="N", help="N rows at random")
    study.add_argument("--seed", default="1", metavar="WORDS", help="other words, other rows")
    study.add_argument(
        "--steps",
        default="",
        metavar="ID:OF,...",
        help="the steps to write, such as surge-at-vehicle:POINT; then no check is worked",
    )
    study.add_argument(
        "--checks", default="", metavar="ID,...", help="the checks to make (default: all)"
    )
    study.add_argument("--chart", type=Path, metavar="FILE.svg", help="the first step, drawn")
    study.add_argument("-o", "--out", type=Path, required=True, metavar="FILE.csv")
    study.set_defaults(run=_study)
    _with_workers(study)
    needs = commands.add_parser(
        "needs", help="what it would take that a finding passes: values a designer may choose"
    )
    needs.add_argument("file", type=Path, metavar="FILE")
    needs.add_argument(
        "finding",
        metavar="ID:OF[@PLACE]",
        help="as `check` names it: the check, the part it speaks of, and the place if need be",
    )
    needs.add_argument("--json", action="store_true", help="the same as JSON")
    needs.set_defaults(run=_needs)
    alternatives = commands.add_parser(
        "alternatives", help="a circuit in every size and method, and what rejects each"
    )
    alternatives.add_argument("file", type=Path, metavar="FILE")
    alternatives.add_argument("circuit", metavar="CIRCUIT")
    alternatives.add_argument("--json", action="store_true", help="the same as JSON")
    alternatives.set_defaults(run=_alternatives)
    package = commands.add_parser(
        "package", help="write questions as a package of an open standard"
    )
    package.add_argument(
        "source",
        type=Path,
        metavar="RECIPE",
        help="a file of quiz/papers, or of quiz/bank (all its questions; QTI only)",
    )
    package.add_argument("form", choices=PACKAGES)
    package.add_argument("-o", "--out", type=Path, required=True, metavar="FILE.zip")
    package.set_defaults(run=_package)
    schema = commands.add_parser(
        "schema", help="print the JSON Schema of a kind of file, for an editor that knows them"
    )
    schema.add_argument(
        "kind", nargs="?", default="", metavar="KIND", help="without it the kinds are listed"
    )
    schema.set_defaults(run=_schema)
    tests = commands.add_parser(
        "test", help="set up what the tests need and run them; `test --help` says more"
    )
    tests.set_defaults(run=_test)
    return parser


def _with_workers(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--workers",
        default="",
        metavar="ADDRESS",
        help=(
            "a number of processes (default: one a core), or the address of a Dask cluster:"
            " localhost:PORT or tls://HOST:PORT"
        ),
    )


def _workers(arguments: argparse.Namespace) -> Workers:
    if not arguments.workers:
        return local_workers()
    workers, problems = workers_named(arguments.workers)
    if problems:
        raise Problems(problems)
    return workers


def _test(arguments: argparse.Namespace) -> int:
    """Named here so that the usage lists it: tools/start.py runs it before it starts this
    program.
    """
    raise Problems(
        [
            Problem(
                "test",
                0,
                "the tests are started from outside the program",
                "write python3 tools/start.py test",
            )
        ]
    )


GivenFile = tuple[str, str, str, tuple[ReadClause, ...]]
"""A file as any process may be given it: its text, its name as shown, the installation's, and what
a reader noted beside it.
"""


def _part(path: Path) -> tuple[GivenFile, list[Problem]]:
    shown_as = visible(path.as_posix())
    text, found = text_of_file(path, shown_as)
    read, wrong = beside(path, shown_as)
    return (text, shown_as, plain_name(path), read), [*found, *wrong]


def _completed(part: GivenFile) -> tuple[Completed | None, list[Problem]]:
    """A file completed, worked and checked, or all that is wrong with it."""
    text, file, name, read = part
    installation, problems = installation_from_yaml(text, file, name)
    done = None
    if installation:
        done, problems = completed(installation)
    return (replace(done, read=read) if done else None), problems


def _done(path: Path) -> Completed:
    part, problems = _part(path)
    done, wrong = (None, []) if any(each.file == part[1] for each in problems) else _completed(part)
    if done is None or problems:
        raise Problems([*problems, *wrong])
    return done


def checked(
    levels: tuple[str, ...], as_json: bool, part: GivenFile
) -> tuple[str | dict[str, Any], bool, list[Problem]]:
    """What `check` prints of one file, and whether it found fail or danger; or what is wrong."""
    done, problems = _completed(part)
    if done is None:
        return "", False, problems
    told = as_data(done, levels) if as_json else findings_text(done, levels)
    return told, any(finding.level in ("fail", "danger") for finding in done.findings), []


def _work(arguments: argparse.Namespace) -> int:
    done = _done(arguments.file)
    _say(_json(as_data(done)) if arguments.json else work_text(done))
    return 0


def _check(arguments: argparse.Namespace) -> int:
    levels, by = _levels(arguments.only), _workers(arguments)
    given = [_part(path) for path in arguments.files]
    problems = [problem for _, found in given for problem in found]
    # A file that could not be read has been told of; the others are looked at all the same.
    readable = [part for part, found in given if all(each.file != part[1] for each in found)]
    told, bad = [], False
    for place, (words, own, wrong) in enumerate(
        spread(partial(checked, levels, arguments.json), readable, by), 1
    ):
        _progress(f"file {place} of {len(given)}")
        told.append(words)
        bad, problems = bad or own, [*problems, *wrong]
    _progress("")
    if problems:
        raise Problems(problems)
    if arguments.json:
        _say(_json(told[0] if len(told) == 1 else told))
    else:
        _say("\n".join(map(str, told)))
    return 1 if bad else 0


def _levels(only: str) -> tuple[str, ...]:
    """The verdicts to print; all of them where none is named."""
    named = tuple(word.strip() for word in only.split(",")) if only else AS_TOLD
    wrong = [word for word in named if word not in AS_TOLD]
    if wrong:
        choices = f"name some of: {', '.join(AS_TOLD)}"
        raise Problems([Problem("--only", 0, f"'{word}' is no verdict", choices) for word in wrong])
    return named


def _json(data: object) -> str:
    return json_text(data, ensure_ascii=False, indent=1) + "\n"


def _blank(arguments: argparse.Namespace) -> int:
    found = put_new(arguments.file, blank_installation().encode("utf-8"), 0o666)
    if found:
        raise Problems(found)
    _tell(f"{_shown(arguments.file)} is begun; next: check {_shown(arguments.file)}")
    return 0


def _draw(arguments: argparse.Namespace) -> int:
    from firstway.drawing.asked_view import AskedView, asked_view
    from firstway.drawing.svg import standalone
    from firstway.model.mistakes import mistakes_from_yaml

    mistakes, file = ROOT / "diagrams" / "mistakes.yaml", "diagrams/mistakes.yaml"
    text, problems = text_of_file(mistakes, file) if arguments.mistake else ("", [])
    known, found = mistakes_from_yaml(text, file) if text and not problems else ((), [])
    if problems or found:
        raise Problems([*problems, *found])
    asked = AskedView(arguments.view, arguments.stage, arguments.cover, arguments.mistake)
    drawn, problems = asked_view(_done(arguments.file), asked, known)
    if drawn is None:
        raise Problems(problems)
    svg = standalone(drawn)
    if arguments.out is None:
        _say(svg)
        return 0
    found = put_text(arguments.out, svg)
    if found:
        raise Problems(found)
    return 0


def _record(arguments: argparse.Namespace) -> int:
    from firstway.record.making import papers_of, write_record
    from firstway.record.standing import standing_of

    done = _done(arguments.file)
    papers, standing = papers_of(done), standing_of(done)
    problems = write_record(papers, arguments.out)
    if problems:
        raise Problems(problems)
    _tell(f"{len(papers)} pages in {_shown(arguments.out)}: {', '.join(papers)}")
    if standing.draft:
        _tell(
            f"A draft, not to be energised: {len(standing.against)} findings stand against it; they"
            " are on what-stands.html. Neither method nor labels are written."
        )
    elif standing.not_read:
        _tell("No sheet for the user yet: readings are missing; see what-stands.html.")
    _tell(caution_line(done.installation.edition))
    return 0


def _study(arguments: argparse.Namespace) -> int:
    from firstway.choosing.study import grid, rows_of_grid, sample, study_from
    from firstway.desk.study_run import run_study

    by = _workers(arguments)
    (text, file, name, _), problems = _part(arguments.file)
    installation, found = installation_from_yaml(text, file, name) if not problems else (None, [])
    if installation is None:
        raise Problems([*problems, *found])
    study, varied, problems = study_from(
        installation, text, arguments.vary, arguments.steps, arguments.checks, arguments.random
    )
    if problems:
        raise Problems(problems)
    number = arguments.random or rows_of_grid(varied)
    values = sample(varied, number, arguments.seed) if arguments.random else grid(varied)
    told, problems = run_study(
        study,
        varied,
        values,
        number,
        not arguments.random and not varied[-1].words,
        arguments.out,
        by,
        _progress,
        installation.edition,
        arguments.chart,
    )
    _progress("")
    if problems:
        raise Problems(problems)
    _tell(f"{number} rows in {_shown(arguments.out)}.")
    _tell("\n".join(visible(each) for each in told.sentences(installation, varied)))
    _tell(caution_line(installation.edition))
    return 0


def _needs(arguments: argparse.Namespace) -> int:
    from firstway.choosing.needs import needs_of
    from firstway.rendering.choices import needs_data, needs_text

    found, problems = needs_of(*_text_of(arguments.file), arguments.finding, _progress)
    if found is None:
        raise Problems(problems)
    _say(_json(needs_data(found)) if arguments.json else needs_text(found))
    return 0


def _alternatives(arguments: argparse.Namespace) -> int:
    from firstway.choosing.alternatives import alternatives_of
    from firstway.rendering.choices import alternatives_data, alternatives_text

    found, problems = alternatives_of(*_text_of(arguments.file), arguments.circuit, _progress)
    if found is None:
        raise Problems(problems)
    _say(_json(alternatives_data(found)) if arguments.json else alternatives_text(found))
    return 0


def _text_of(path: Path) -> tuple[str, str, str]:
    """The text of an installation file, its name as shown, and the installation's."""
    (text, file, name, _), problems = _part(path)
    if problems:
        raise Problems(problems)
    return text, file, name


def _schema(arguments: argparse.Namespace) -> int:
    from firstway.pages.shared.declared_files import declared_file, kinds_text, schema_of_file

    if not arguments.kind:
        _say(kinds_text())
        return 0
    file, problems = declared_file(arguments.kind)
    if file is None:
        raise Problems(problems)
    _say(_json(schema_of_file(file)))
    return 0


def _build(arguments: argparse.Namespace) -> int:
    from firstway.site.building import build

    with_engine = not arguments.without_engine
    problems = build(ROOT, arguments.out, _progress, _workers(arguments), with_engine)
    if problems:
        raise Problems(problems)
    return 0


def _pack(arguments: argparse.Namespace) -> int:
    from firstway.site.packing import pack

    size, problems = pack(arguments.guide, arguments.out)
    if problems:
        raise Problems(problems)
    _tell(f"{_shown(arguments.out)}: {size / 1e6:.1f} MB; a file inside says what to open")
    return 0


def _preview(arguments: argparse.Namespace) -> int:
    from firstway.site.making import preview

    problems = preview(ROOT)
    if problems:
        raise Problems(problems)
    return 0


def _paper(arguments: argparse.Namespace) -> int:
    from firstway.desk.papers.making import coverage_lines, make_papers, sealed_since_before

    by = _workers(arguments)
    count, problems = make_papers(
        ROOT,
        arguments.recipe,
        arguments.class_list,
        arguments.out,
        secret_file=arguments.secret,
        seal_for=_seal_for(arguments.key) if arguments.key else None,
        progress=_progress,
        by=by,
    )
    _progress("")
    if problems:
        raise Problems(problems)
    _tell("\n".join(["Questions by outcome:", *map(visible, coverage_lines(arguments.out))]))
    if not arguments.key and sealed_since_before(arguments.out):
        _tell("Answers stay sealed for the key these papers began with.")
    _tell(
        f"{count} papers in {_shown(arguments.out / 'paper' / 'hand-out')}; what is in"
        f" {_shown(arguments.out / 'paper' / 'desk')} stays at the desk.\nPut files that come back"
        f" into {_shown(arguments.out / 'answers')}; type paper sheets into the table in"
        f" {_shown(arguments.out / 'typed')}; then: mark {_shown(arguments.out)}"
    )
    return 0


def _seal_for(path: Path) -> Callable[[], tuple[Mapping[str, Any], list[Problem]]]:
    """The public half of the tutor's key; made when it is asked for, not before."""

    def public() -> tuple[Mapping[str, Any], list[Problem]]:
        from firstway.desk.answers.sealing import private_key, public_jwk

        key, problems = private_key(path, make=True)
        return ({} if problems else public_jwk(key)), problems

    return public


def _shown(path: Path) -> str:
    return visible(str(path))


def _package(arguments: argparse.Namespace) -> int:
    from firstway.desk.exports.packages import make_package

    count, problems = make_package(ROOT, arguments.source, arguments.form, arguments.out)
    if problems:
        raise Problems(problems)
    _tell(
        f"{count} questions in {arguments.out}. A package holds its key: whoever can open it can"
        " read the answers.\nMarks that follow from an earlier slip are given in our own pages"
        " only; units are asked for as a choice of their own."
    )
    return 0


def _mark(arguments: argparse.Namespace) -> int:
    from firstway.desk.answers.sealing import private_key, unsealer
    from firstway.desk.marking_run import mark_folder
    from firstway.desk.shared.times import clock, closing_time

    unseal, by = None, _workers(arguments)
    closes, problems = closing_time(arguments.closes) if arguments.closes else ("", [])
    if arguments.key:
        key, found = private_key(arguments.key)
        problems += found
        unseal = unsealer(key) if not found else None
    if problems:
        raise Problems(problems)
    run, problems = mark_folder(
        ROOT, arguments.folder, unseal=unseal, closes=closes, progress=_progress, by=by
    )
    _progress("")
    if run is None:
        raise Problems(problems)
    marks = run.marks
    if closes:
        _tell(f"Closed {clock(closes)}, by the learners' own clocks.")
    to_choose = f"; {len(marks.undecided)} to be decided" if marks.undecided else ""
    _tell(
        f"Marked {len(marks.marked)} of {len(marks.key.sheets)}; {len(marks.missing)} handed"
        f" nothing in{to_choose}; {len(marks.aside)} set aside."
    )
    for each in (*marks.aside, *marks.notes):
        _tell(f"  {visible(str(each))}")
    for change in run.changes:
        _tell(f"  changed since the last run: {visible(str(change))}")
    _tell(f"Report: {_shown(arguments.folder / 'marked' / 'report.html')}")
    return 1 if marks.aside else 0


def _progress(text: str) -> None:
    """One line that replaces itself on a terminal; nothing in a pipe."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        if sys.stderr.isatty():
            print(f"\r\x1b[K{text}", end="", file=sys.stderr, flush=True)
