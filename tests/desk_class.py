"""A class made by hand for the tests of the desk: a key of six forms, and files that answer it."""

from __future__ import annotations

import json
import random
from pathlib import Path

from firstway.desk.answer_files import FORMAT
from firstway.desk.key import Asked, PaperKey, Sheet, Version
from firstway.quiz.marking import (
    Key, MatchKey, NumberKey, OneAnswerKey, OptionKey, OrderKey, PartKey, RowKey, SeveralAnswersKey, StepKey, WorkingKey, WrongNumber,
)

RATING = "used the device rating"


def one_answer(right: str, letters: str = "abc") -> OneAnswerKey:
    return OneAnswerKey(tuple(OptionKey(each, each == right, "" if each == right else f"mistake {each}", "") for each in letters), f"option {right}", "Because.")


FORMS: dict[str, tuple[Key, str, int]] = {
    "pick": (one_answer("b"), "b", 1),
    "tick": (SeveralAnswersKey(tuple(OptionKey(each, each in "ac", "" if each in "ac" else "took too many", "") for each in "abcd"), "a and c", ""), "a c", 2),
    "type": (NumberKey("V", ("V", "volt"), 4.2, 4.3, (WrongNumber(RATING, 5.2, 5.4, ""),), "4.25 V", ""), "4,25 V", 1),
    "row": (OrderKey((StepKey("b", "first", "it must"), StepKey("a", "second", ""), StepKey("c", "third", "")), "b a c", ""), "b a c", 1),
    "pair": (MatchKey((RowKey("1", "b", "swapped", ""), RowKey("2", "a", "swapped", "")), ("a", "b", "c"), "1 b, 2 a", ""), "1=b 2=a", 2),
    "work": (WorkingKey((PartKey("A", ("A",), 31.9, 32.1, (), (), 0.05, 1.0),
                         PartKey("V", ("V",), 3.1, 3.3, (WrongNumber(RATING, 3.9, 4.1, ""),), ("p1", 0.1, "*"), 0.05, 1.0)), "32 A, 3.2 V", ""), "32 A ; 3.2", 2),
}
CODES = tuple(f"L{number:02}" for number in range(1, 9))


def hand_made_key(codes: tuple[str, ...] = CODES) -> PaperKey:
    questions = tuple(Asked(name, f"outcome.{name}", "the-cable", "one-answer", 2, name == "pick",
                            {"v0a0": Version("v0a0", key, f"Stem of {name}?", right, "Because.", {letter: place for place, letter in enumerate("abcd")})},
                            {0: "first", 1: "second", 2: "third"}, (1,), name)
                      for name, (key, right, _) in FORMS.items())
    sheets = {code: Sheet(code, f"issue-{code}", tuple((name, "v0a0") for name in sorted(FORMS, key=lambda each: (each + code)[::-1]))) for code in codes}
    return PaperKey("hand-made", "v1", "A paper made by hand", "2018+A3:2024", {f"outcome.{name}": f"Can {name}" for name in FORMS}, questions, sheets)


def answer_file(code: str, answers: dict[str, str] | None = None, **other: object) -> dict[str, object]:
    given = {name: right for name, (_, right, _) in FORMS.items()} if answers is None else answers
    return {"format": FORMAT, "paper": "hand-made", "paper_version": "v1", "learner": code, "issue": f"issue-{code}", "answers": given,
            "begun": "2026-11-25T09:00:00Z", "saved": "2026-11-25T09:40:00Z", **other}


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
        lambda: json.dumps(answer_file(draw.choice(("=1+1", "../../etc/passwd", "<script>alert(1)</script>", "L99", "\u202eL01", "")))).encode(),
        lambda: json.dumps(answer_file("L01", paper="other")).encode(),
        lambda: json.dumps(answer_file("L01", paper_version="v0")).encode(),
        lambda: json.dumps(answer_file("L01", answers={"pick": 7})).encode(),
        lambda: json.dumps(answer_file("L01", answers={"pick": "b" * draw.randint(1_001, 9_000)})).encode(),
        lambda: json.dumps(answer_file("L01", answers={f"q{number}": "b" for number in range(501)})).encode(),
        lambda: json.dumps({**answer_file("L01"), "answers": [1, 2]}).encode(),
        lambda: whole.replace(b'"issue": ', b'"issue": "twice", "issue": '),
        lambda: b"PK\x03\x04" + whole,
        lambda: b"",
        lambda: b"null",
        lambda: draw.randbytes(draw.randint(1, 3000)),
        lambda: b'{"format": "firstway answers 2", "answers": ' + b"9" * 5000 + b"}",
        lambda: b"<html><script>fetch('x')</script></html>",
        lambda: json.dumps({"format": "firstway sealed answers 1", "paper": "hand-made", "learner": "L01", "key": "!", "iv": "", "sealed": ""}).encode(),
    )
    ends = (".json", ".json", ".json", ".txt", ".JSON", ".html")
    return f"damaged-{place:04}{draw.choice(ends)}", kinds[place % len(kinds)]()
