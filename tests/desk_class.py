"""A class made by hand for the tests of the desk: a key of six forms, and files that answer it."""

from __future__ import annotations

import csv
import json
import random
import shutil
from dataclasses import dataclass
from pathlib import Path

from firstway.cli import main
from firstway.desk.answers.answer_files import FORMAT
from firstway.desk.papers.key import Asked, LearnerSheet, PaperKey, Version, key_from_text
from firstway.quiz.forms.match.answers import MatchKey, RowKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.options import OptionKey
from firstway.quiz.forms.order.answers import OrderKey, StepKey
from firstway.quiz.forms.registry import form_of
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.working.answers import PartKey, WorkingKey
from firstway.quiz.marking.marking import Key
from firstway.quiz.marking.typed import WrongNumber

RATING = "used the device rating"


def one_answer(right: str, letters: str = "abc") -> OneAnswerKey:
    return OneAnswerKey(
        tuple(
            OptionKey(each, each == right, "" if each == right else f"mistake {each}", "")
            for each in letters
        ),
        f"option {right}",
        "Because.",
    )


FORMS: dict[str, tuple[Key, str, int]] = {
    "pick": (one_answer("b"), "b", 1),
    "tick": (
        SeveralAnswersKey(
            tuple(
                OptionKey(each, each in "ac", "" if each in "ac" else "took too many", "")
                for each in "abcd"
            ),
            "a and c",
            "",
        ),
        "a c",
        2,
    ),
    "type": (
        NumberKey("V", ("V", "volt"), 4.2, 4.3, (WrongNumber(RATING, 5.2, 5.4, ""),), "4.25 V", ""),
        "4,25 V",
        1,
    ),
    "row": (
        OrderKey(
            (
                StepKey("b", "first", "it must"),
                StepKey("a", "second", ""),
                StepKey("c", "third", ""),
            ),
            "b a c",
            "",
        ),
        "b a c",
        1,
    ),
    "pair": (
        MatchKey(
            (RowKey("1", "b", "swapped", ""), RowKey("2", "a", "swapped", "")),
            ("a", "b", "c"),
            "1 b, 2 a",
            "",
        ),
        "1=b 2=a",
        2,
    ),
    "work": (
        WorkingKey(
            (
                PartKey("A", ("A",), 31.9, 32.1, (), (), 0.05, 1.0),
                PartKey(
                    "V",
                    ("V",),
                    3.1,
                    3.3,
                    (WrongNumber(RATING, 3.9, 4.1, ""),),
                    ("p1", 0.1, "*"),
                    0.05,
                    1.0,
                ),
            ),
            "32 A, 3.2 V",
            "",
        ),
        "32 A ; 3.2",
        2,
    ),
}
CODES = tuple(f"L{number:02}" for number in range(1, 9))


def hand_made_key(codes: tuple[str, ...] = CODES) -> PaperKey:
    questions = tuple(
        Asked(
            name,
            f"outcome.{name}",
            "the-cable",
            "one-answer",
            2,
            name == "pick",
            {
                "v0a0": Version(
                    "v0a0",
                    key,
                    f"Stem of {name}?",
                    right,
                    "Because.",
                    {letter: place for place, letter in enumerate("abcd")},
                )
            },
            {0: "first", 1: "second", 2: "third"},
            (1,),
            name,
        )
        for name, (key, right, _) in FORMS.items()
    )
    sheets = {
        code: LearnerSheet(
            code,
            f"issue-{code}",
            tuple((name, "v0a0") for name in sorted(FORMS, key=lambda each: (each + code)[::-1])),
        )
        for code in codes
    }
    return PaperKey(
        "hand-made",
        "v1",
        "A paper made by hand",
        "2018+A3:2024",
        {f"outcome.{name}": f"Can {name}" for name in FORMS},
        questions,
        sheets,
    )


def answer_file(
    code: str, answers: dict[str, str] | None = None, **other: object
) -> dict[str, object]:
    given = {name: right for name, (_, right, _) in FORMS.items()} if answers is None else answers
    return {
        "format": FORMAT,
        "paper": "hand-made",
        "paper_version": "v1",
        "learner": code,
        "issue": f"issue-{code}",
        "answers": given,
        "begun": "2026-11-25T09:00:00Z",
        "saved": "2026-11-25T09:40:00Z",
        **other,
    }


def put(folder: Path, name: str, data: object) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(data if isinstance(data, bytes) else json.dumps(data).encode())


def damaged(draw: random.Random, place: int) -> tuple[str, bytes]:
    """One hostile or damaged file, by kinds in turn, with figures drawn at random."""
    whole = json.dumps(answer_file("L01")).encode()
    cut = draw.randint(1, len(whole) - 2)
    kinds = (
        lambda: whole[:cut],
        lambda: whole + whole[:cut],
        lambda: whole.replace(b'"learner": "L01"', b'"learner": "L02"'),
        lambda: whole.replace(b"answers 2", b"answers %d" % draw.randint(3, 10**5)),
        lambda: b"[" * draw.randint(2_000, 100_000),
        lambda: b'{"a":' * draw.randint(2_000, 40_000) + b"1",
        lambda: whole[:cut] + bytes([draw.choice((0xFF, 0xC0, 0xFE))]) + whole[cut:],
        lambda: json.dumps(
            answer_file(
                draw.choice(
                    (
                        "=1+1",
                        "../../etc/passwd",
                        "<script>alert(1)</script>",
                        "L99",
                        "\u202eL01",
                        "",
                    )
                )
            )
        ).encode(),
        lambda: json.dumps(answer_file("L01", paper="other")).encode(),
        lambda: json.dumps(answer_file("L01", paper_version="v0")).encode(),
        lambda: json.dumps(answer_file("L01", answers={"pick": 7})).encode(),
        lambda: json.dumps(
            answer_file("L01", answers={"pick": "b" * draw.randint(1_001, 9_000)})
        ).encode(),
        lambda: json.dumps(
            answer_file("L01", answers={f"q{number}": "b" for number in range(501)})
        ).encode(),
        lambda: json.dumps({**answer_file("L01"), "answers": [1, 2]}).encode(),
        lambda: whole.replace(b'"issue": ', b'"issue": "twice", "issue": '),
        lambda: b"PK\x03\x04" + whole,
        lambda: b"",
        lambda: b"null",
        lambda: draw.randbytes(draw.randint(1, 3000)),
        lambda: b'{"format": "firstway answers 2", "answers": ' + b"9" * 5000 + b"}",
        lambda: b"<html><script>fetch('x')</script></html>",
        lambda: json.dumps(
            {
                "format": "firstway sealed answers 1",
                "paper": "hand-made",
                "learner": "L01",
                "key": "!",
                "iv": "",
                "sealed": "",
            }
        ).encode(),
    )
    ends = (".json", ".json", ".json", ".txt", ".JSON", ".html")
    return f"damaged-{place:04}{draw.choice(ends)}", kinds[place % len(kinds)]()


def right_answer(version: Version) -> str:
    """The whole answer, as the page would save it."""
    return form_of(version.key).right(version.key)


# ---- a small class from the real bank, for tests of the commands ----


@dataclass(frozen=True)
class SmallClass:
    """A folder with a recipe, a class list and what `paper` makes of them."""

    folder: Path

    @property
    def out(self) -> Path:
        return self.folder / "out"

    @property
    def desk(self) -> Path:
        return self.out / "paper" / "desk"

    @property
    def key(self) -> PaperKey:
        key = key_from_text((self.desk / "key.json").read_text(encoding="utf-8"))
        assert key is not None
        return key

    def recipe(
        self, seed: str = "held by the tests", title: str = "A small test", more: str = ""
    ) -> Path:
        path = self.folder / "recipe.yaml"
        path.write_text(
            f"id: small\ntitle: {title}\nuse: assigned\nseed: {seed}\nvariants: 2\ndraw:\n"
            "  - {chapter: the-cable, kind: number, number: 2}\n"
            f"  - {{chapter: the-device, kind: one-answer, number: 1}}\n{more}",
            encoding="utf-8",
        )
        return path

    def learners(self, *codes: str) -> Path:
        path = self.folder / "class.csv"
        path.write_text(
            "code,name\n" + "".join(f"{code},Name of {code}\n" for code in codes), encoding="utf-8"
        )
        return path

    def paper(self, *more: str) -> int:
        return main(
            [
                "paper",
                str(self.folder / "recipe.yaml"),
                "--class",
                str(self.folder / "class.csv"),
                "-o",
                str(self.out),
                *more,
            ]
        )

    def mark(self, *more: str) -> int:
        return main(["mark", str(self.out), *more])

    def hand_in(self, key: PaperKey, code: str, name: str = "", **other: object) -> None:
        """Every question right, as the page would save it, but for what `other` says."""
        asked = key.sheets[code].asked
        answers = {
            key.by_id[id_].alias: right_answer(key.by_id[id_].versions[version])
            for id_, version in asked
        }
        data = {
            "format": FORMAT,
            "paper": key.paper,
            "paper_version": key.version,
            "learner": code,
            "issue": key.sheets[code].issue,
            "answers": answers,
            "begun": "2026-11-25T09:00:00.000Z",
            "saved": "2026-11-25T09:50:00.000Z",
            **other,
        }
        put(self.out / "answers", name or f"{key.paper}-{code}-answers.json", data)

    def type_in(
        self, key: PaperKey, code: str, answers: dict[int, str] | None = None, table: str = ""
    ) -> None:
        """Fill in the row of one learner; every question right where no answers are given."""
        path = self.out / "typed" / (table or f"{key.paper}-{key.version}.csv")
        rows = list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines()))
        row = next(each for each in rows if each[0] == code)
        asked = key.sheets[code].asked
        for number in range(1, len(asked) + 1):
            id_, version = asked[number - 1]
            right = right_answer(key.by_id[id_].versions[version])
            row[2 + number] = right if answers is None else answers.get(number, "")
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file).writerows(rows)

    def points(self) -> dict[str, str]:
        with (self.out / "marked/marks.csv").open(encoding="utf-8-sig", newline="") as file:
            return {row["code"]: row["points"] for row in csv.DictReader(file)}

    def copied(self, folder: Path) -> SmallClass:
        """The same class in another folder, to be changed there."""
        shutil.copytree(self.folder, folder)
        return SmallClass(folder)

    def bytes(self) -> dict[str, bytes]:
        return {
            path.relative_to(self.out).as_posix(): path.read_bytes()
            for path in sorted(self.out.rglob("*"))
            if path.is_file()
        }


def small_class(folder: Path, *codes: str) -> SmallClass:
    """A class whose papers are made."""
    made = SmallClass(folder)
    made.recipe()
    made.learners(*(codes or ("K1", "K2", "K3")))
    assert made.paper() == 0
    return made
