"""The frame of the long campaigns: many cases drawn from numbers, resumable, their figures told.

A campaign is a module beside this one:

    CASES = 10_000                                     how many cases a whole campaign has
    SHARE = 0.2                                        the part of it in `test all`, where the usual
                                                       3 % are too few
    def prepared(folder: Path) -> Any                  what all its cases share; made once a run
    def tried(shared: Any, draw: Chance, folder: Path) -> Tried
                                                       one case, all of its chance from `draw`, in
                                                       an empty folder of its own;
                                                       `draw.number` is its number, where cases are
                                                       counted through

A case is known by its number alone: `test campaigns files --only 4711` tries it again. What is done
is kept in `.cache/campaigns/`; the next run goes on there.
"""

from __future__ import annotations

import argparse
import importlib
import json
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from random import Random
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
KEPT = ROOT / ".cache" / "campaigns"
EACH = 20  # seconds between two notes of how far it is
TOLD = 12  # troubles that are told in full


@dataclass(frozen=True)
class Tried:
    """What one case came to: troubles in words, measures (the largest of each is told), counts
    (summed), or why it was skipped.
    """

    troubles: tuple[str, ...] = ()
    measures: Mapping[str, float] = field(default_factory=dict)
    counts: Mapping[str, int] = field(default_factory=dict)
    skipped: str = ""


@dataclass
class Record:
    """How far a campaign is."""

    done: int = 0
    seconds: float = 0.0
    troubles: dict[str, list[str]] = field(default_factory=dict)
    measures: dict[str, float] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    skipped: dict[str, int] = field(default_factory=dict)

    def add(self, number: int, tried: Tried) -> None:
        if tried.troubles:
            self.troubles[str(number)] = list(tried.troubles)
        for name, value in tried.measures.items():
            self.measures[name] = max(value, self.measures.get(name, value))
        for name, count in tried.counts.items():
            self.counts[name] = count + self.counts.get(name, 0)
        if tried.skipped:
            self.skipped[tried.skipped] = 1 + self.skipped.get(tried.skipped, 0)

    def figures(self, name: str, whole: int) -> str:
        """What a person reads of it."""
        lines = [
            f"{name}: {self.done} of {whole} cases, {len(self.troubles)} with troubles,"
            f" {self.seconds:.0f} s"
        ]
        lines += [f"  {count:7} {what}" for what, count in sorted(self.counts.items())]
        lines += [
            f"  {value:7.1f} at most: {what}" for what, value in sorted(self.measures.items())
        ]
        lines += [f"  {count:7} skipped: {why}" for why, count in sorted(self.skipped.items())]
        for number, troubles in list(self.troubles.items())[:TOLD]:
            lines += [
                f"  case {number}: {troubles[0][:2000]}",
                f"    again: test campaigns {name} --only {number}",
            ]
        return "\n".join(lines)


def names() -> list[str]:
    """Every campaign beside this file."""
    return sorted(
        path.stem
        for path in HERE.glob("*.py")
        if "def tried(" in path.read_text(encoding="utf-8") and path.stem != "frame"
    )


def module_of(name: str) -> Any:
    """A campaign by its name."""
    if str(HERE) not in sys.path:
        sys.path.insert(0, str(HERE))
    return importlib.import_module(name)


class Chance(Random):
    """The chance of one case, which knows the case's number."""

    number = 0


def chance(name: str, number: int) -> Chance:
    """The chance of one case: the same on every machine and Python."""
    found = Chance(f"{name} {number}")
    found.number = number
    return found


def numbers_of(share: float, whole: int) -> Iterator[int]:
    """The cases of a share of a campaign, spread over the whole of it."""
    return (number for number in range(whole) if int((number + 1) * share) > int(number * share))


def run(name: str, numbers: Iterable[int], record: Record, keep: Path | None = None) -> Record:
    """Try cases and note what they came to; with `keep` the record is kept as it grows."""
    campaign = module_of(name)
    with tempfile.TemporaryDirectory(prefix="campaign-") as place:
        shared_folder = Path(place) / "shared"
        shared_folder.mkdir()
        shared = campaign.prepared(shared_folder)
        begun = said = time.monotonic()
        before = record.seconds
        for number in numbers:
            folder = Path(place) / "case"
            folder.mkdir()
            tried = campaign.tried(shared, chance(name, number), folder)
            _emptied(folder)
            record.add(number, tried)
            record.done += 1
            record.seconds = before + time.monotonic() - begun
            for trouble in tried.troubles[:1]:
                print(f"{name}: case {number}: {trouble[:300]}", file=sys.stderr, flush=True)
            if time.monotonic() - said > EACH:
                said = time.monotonic()
                print(
                    f"{name}: {record.done} of {campaign.CASES} cases, {len(record.troubles)} with"
                    " troubles",
                    file=sys.stderr,
                    flush=True,
                )
                _kept(keep, record)
        _kept(keep, record)
    return record


def _emptied(folder: Path) -> None:
    import shutil

    def again(remove: Any, path: str, _: Any) -> None:
        Path(path).parent.chmod(0o700)  # a case may have taken the permissions away
        remove(path)

    shutil.rmtree(folder, onerror=again)


def _kept(path: Path | None, record: Record) -> None:
    if path is not None:
        path.parent.mkdir(parents=True, exist_ok=True)
        draft = path.with_suffix(".new")
        draft.write_text(json.dumps(asdict(record)), encoding="utf-8")
        draft.replace(path)


def _begun(path: Path) -> Record:
    try:
        return Record(**json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return Record()


def main(arguments: list[str] | None = None) -> int:
    """Run campaigns to their end; 1 where any case had troubles."""
    parser = argparse.ArgumentParser(
        prog="test campaigns", description="Long campaigns; a run that was stopped is gone on with."
    )
    parser.add_argument(
        "campaigns",
        nargs="*",
        metavar="CAMPAIGN",
        help=f"one of {', '.join(names())} (default: all)",
    )
    parser.add_argument("--only", type=int, metavar="NUMBER", help="one case again")
    parser.add_argument("--anew", action="store_true", help="forget what is done")
    parser.add_argument(
        "--most", type=int, metavar="COUNT", help="stop after so many cases of each"
    )
    parser.add_argument(
        "--share",
        type=float,
        help="this part of each, or its own SHARE, spread over the whole; nothing is kept",
    )
    given = parser.parse_args(arguments)
    bad = 0
    for name in given.campaigns or names():
        whole = module_of(name).CASES
        if given.only is not None:
            record = run(name, [given.only], Record())
        elif given.share is not None:
            share = max(given.share, getattr(module_of(name), "SHARE", 0))
            record = run(name, numbers_of(share, whole), Record())
        else:
            path = KEPT / f"{name}.json"
            record = Record() if given.anew else _begun(path)
            print(
                f"{name}: cases {record.done} to {whole - 1}; the seed of a case is '{name}"
                " NUMBER'",
                flush=True,
            )
            last = min(whole, record.done + given.most) if given.most else whole
            record = run(name, range(record.done, last), record, path)
        print(record.figures(name, whole), flush=True)
        bad += len(record.troubles)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.path[:0] = [str(HERE), str(ROOT / "tests"), str(ROOT / "tools")]
    from frame import main as main_of_frame  # the module's one name: campaigns import it too

    sys.exit(main_of_frame())
