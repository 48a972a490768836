"""The desk reads what a class handed in: right marks for whole files, a reason for every other,
nothing lost or executed.

There is no outside reference for our own file form; marks are checked against points counted by
hand.
"""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest
from desk_class import CODES, FORMS, RATING, answer_file, damaged, hand_made_key, put

from firstway.desk.answers.answer_files import HandedIn, SetAside, opened
from firstway.desk.answers.corrections import corrections_from_csv
from firstway.desk.answers.handing_in import handed_in
from firstway.desk.marking.marking_class import ClassMarks, class_marks
from firstway.desk.papers.class_list import learners_from_csv
from firstway.desk.papers.editions import Editions
from firstway.desk.papers.key import key_from_text, text_of_key
from firstway.desk.papers.typed_tables import typed_as_written
from firstway.desk.shared.times import moment

MOST = sum(points for _, _, points in FORMS.values())


def marks_of(folder: Path, **keys: object) -> ClassMarks:
    answers, aside = handed_in(folder)
    return class_marks(Editions(hand_made_key()), answers, (), aside, **keys)


def test_the_key_survives_its_file() -> None:
    key = hand_made_key()
    assert key_from_text(text_of_key(key)) == key
    for broken in (
        "",
        "{}",
        "[]",
        '{"format": "firstway key 1"}',
        text_of_key(key).replace("v0a0", "v9a9", 1),
    ):
        assert key_from_text(broken) is None


def test_right_answers_get_every_point_and_wrong_ones_their_mistake(tmp_path: Path) -> None:
    put(tmp_path, "a.json", answer_file("L01"))
    put(
        tmp_path,
        "b.json",
        answer_file(
            "L02",
            {
                "pick": "c",
                "tick": "a b",
                "type": "5.3",
                "row": "a b c",
                "pair": "1=b 2=c",
                "work": "40 ; 4.0",
            },
        ),
    )
    put(tmp_path, "c.json", answer_file("L03", {}))
    found = marks_of(tmp_path)
    assert [(each.code, each.points, each.out_of) for each in found.marked] == [
        ("L01", MOST, MOST),
        ("L02", 2, MOST),
        ("L03", 0, MOST),
    ]
    second = found.marked[1]
    assert second.answer("type").mark.mistake == RATING
    assert second.answer("work").mark.points == 1, "follow-through: 0.1 x 40 A is 4.0 V"
    assert second.answer("tick").mark.points == 0 and second.answer("pair").mark.points == 1
    assert found.missing == CODES[3:] and not found.aside


def test_one_box_that_cannot_be_read_does_not_cost_the_others(tmp_path: Path) -> None:
    put(tmp_path, "a.json", answer_file("L01", {"work": "32 ; rubbish"}))
    put(tmp_path, "b.json", answer_file("L02", {"work": "32 kg ; 3.2"}))
    assert [each.points for each in marks_of(tmp_path).marked] == [1, 1]


def test_the_copy_saved_last_counts_whatever_the_order_of_files(tmp_path: Path) -> None:
    put(tmp_path / "one", "z.json", answer_file("L01", {"pick": "b"}, saved="2026-11-25T10:00:00Z"))
    put(
        tmp_path / "one",
        "a.json",
        answer_file("L01", {"pick": "c"}, saved="2026-11-25T11:00:00+02:00"),
    )
    put(tmp_path / "one", "m.json", answer_file("L01", {"pick": "b"}, saved="2026-11-25T09:30:00Z"))
    found = marks_of(tmp_path / "one")
    assert found.marked[0].file == "z.json" and found.marked[0].points == 1
    assert [(each.file, "z.json" in each.reason) for each in found.aside] == [
        ("a.json", True),
        ("m.json", True),
    ]
    assert "same answers" in found.aside[1].reason and "saved later" in found.aside[0].reason
    assert moment("2026-11-25T11:00:00+02:00") < moment("2026-11-25T10:00:00Z")


def test_swapped_codes_other_papers_and_late_copies_are_told(tmp_path: Path) -> None:
    put(tmp_path, "swap.json", answer_file("L02", issue="issue-L01"))
    put(tmp_path, "other.json", answer_file("L03", paper="another"))
    put(tmp_path, "old.json", answer_file("L04", paper_version="v0"))
    put(tmp_path, "who.json", answer_file("L77"))
    put(tmp_path, "late.json", answer_file("l05", issue="issue-L05"))
    found = marks_of(tmp_path, closes="2026-11-25T09:30")
    reasons = {each.file: each.reason for each in found.aside}
    assert "altered" in reasons["swap.json"] and "another paper" in reasons["other.json"]
    assert (
        "an edition of this paper" in reasons["old.json"]
        and "unknown learner" in reasons["who.json"]
    )
    assert found.marked[0].code == "L05" and "late" in found.marked[0].notes[0]


@pytest.mark.parametrize(("written", "read"), [("bd", "b d"), ("B, d", "b d"), ("d b", "b d")])
def test_as_written__several(written: str, read: str) -> None:
    assert typed_as_written(FORMS["tick"][0], written) == read


@pytest.mark.parametrize(("written", "read"), [("bac", "b a c"), ("B > A > C", "b a c")])
def test_as_written__order(written: str, read: str) -> None:
    assert typed_as_written(FORMS["row"][0], written) == read


@pytest.mark.parametrize(
    ("written", "read"), [("1b2a", "1=b 2=a"), ("1) b, 2) a", "1=b 2=a"), ("2=a 1=b", "1=b 2=a")]
)
def test_as_written__match(written: str, read: str) -> None:
    assert typed_as_written(FORMS["pair"][0], written) == read


def attack(folder: Path, count: int) -> None:
    draw = random.Random(count)
    for place in range(count):
        name, content = damaged(draw, place)
        put(folder / draw.choice((".", "sub", "sub/deeper")), name, content)
    for code in CODES[2:]:
        put(folder, f"good-{code}.json", answer_file(code))
    (folder / "link.json").symlink_to(folder / f"good-{CODES[3]}.json")
    put(folder, "formulas.csv", b'code,1,2\n"=HYPERLINK(""http://x"")",b,c\nL03,a\n')
    put(folder, "not-utf8.csv", b"code,1\nL01,\xff\xfe\n")
    answers, aside = handed_in(folder)
    found = class_marks(Editions(hand_made_key()), answers, (), aside)
    good = {each.code: each.points for each in found.marked}
    assert {code: good.get(code) for code in CODES[2:]} == dict.fromkeys(CODES[2:], MOST)
    assert set(good) <= set(CODES) and not any("L02" == each.code for each in found.marked), (
        "a swapped code was taken"
    )
    told = {each.file for each in found.aside}
    counted = {each.file for each in found.marked}
    files = {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() or path.is_symlink()
    }
    assert files == told | counted, "every file is marked or set aside with its reason"
    assert all("\n" not in str(each) and each.reason for each in found.aside)
    again = class_marks(Editions(hand_made_key()), reversed(answers), (), list(reversed(aside)))
    assert again == found, "the order of the files changes nothing"


def test_a_hundred_damaged_files_cost_the_others_nothing(tmp_path: Path) -> None:
    attack(tmp_path, 100)


@pytest.mark.long
def test_a_thousand_damaged_files_cost_the_others_nothing(tmp_path: Path) -> None:
    attack(tmp_path, 1000)


def test_a_file_of_fifty_megabytes_is_not_read(tmp_path: Path) -> None:
    with (tmp_path / "big.json").open("wb") as file:
        file.truncate(50_000_000)
    answers, aside = handed_in(tmp_path)
    assert not answers and "larger" in aside[0].reason


def test_opened__never_raises_and_gives_one_line() -> None:
    draw = random.Random(3)
    whole = json.dumps(answer_file("L01")).encode()
    for _ in range(500):
        content = bytearray(whole)
        for _ in range(draw.randint(1, 6)):
            content[draw.randrange(len(content))] = draw.randrange(256)
        found = opened(bytes(content), "x.json")
        assert isinstance(found, (HandedIn, SetAside))


def test_corrections_are_applied_and_told(tmp_path: Path) -> None:
    key = hand_made_key()
    ids = [asked.id for asked in key.questions]
    text = (
        "question,what,answer,reason\npick,also-right,2,two clauses can be read"
        " so\nrow,leave-out,,misprint\ntype,all-right,,unreadable print\n"
    )
    corrections, problems = corrections_from_csv(text, "corrections.csv", ids)
    assert not problems
    put(tmp_path, "a.json", answer_file("L01", {"pick": "c", "row": "b a c"}))
    found = marks_of(tmp_path, corrections=corrections)
    own = found.marked[0]
    assert own.points == 2 and own.out_of == MOST - 1
    assert "two clauses" in own.answer("pick").mark.feedback
    wrong, problems = corrections_from_csv(
        "question,what,answer,reason\nnone,all-right,,x\npick,maybe,,x\npick,also-right,,x\n"
        "pick,all-right,,\n",
        "c.csv",
        ids,
    )
    assert not wrong and [problem.line for problem in problems] == [2, 3, 4, 5]


def test_learners_from_csv__every_problem_at_once() -> None:
    learners, problems = learners_from_csv(
        "\ufeffname;code\nAnna;A-1\nBo;B_2\n".lstrip("\ufeff"), "class.csv"
    )
    assert [learner.code for learner in learners] == ["A-1", "B_2"] and not problems
    _, problems = learners_from_csv("code\nA\na\n../x\n=1\n\n\u202eB\n", "class.csv")
    assert [problem.line for problem in problems] == [3, 4, 5, 7]
    assert (
        learners_from_csv("", "c.csv")[1]
        and learners_from_csv("name\nA\n", "c.csv")[1]
        and learners_from_csv("code\n", "c.csv")[1]
    )
