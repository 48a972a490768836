"""What the desk says of a class, so that a tutor acts rightly: who, how likely, by when, and what
to wait with.

Odds are compared with the sum over every pair, written here a second time; times with the standard
library's own zones.
"""

from __future__ import annotations

import csv
import itertools
import json
import random
import time
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from desk_class import (
    CODES,
    FORMS,
    RATING,
    SmallClass,
    answer_file,
    hand_made_key,
    one_answer,
    put,
    small_class,
)

from firstway.desk.analysis import statistics as figures
from firstway.desk.analysis.class_analysis import analysis_of
from firstway.desk.analysis.class_report import odds_words, report_html
from firstway.desk.analysis.feedback import feedback_html
from firstway.desk.analysis.statistics import FEWEST_ALIKE, _at_least, alike_pairs
from firstway.desk.answers.answer_files import HandedIn
from firstway.desk.answers.corrections import corrections_from_csv
from firstway.desk.answers.handing_in import handed_in
from firstway.desk.marking.marking_class import ClassMarks, class_marks
from firstway.desk.marking_run import changes_since, marks_csv
from firstway.desk.papers.editions import Editions
from firstway.desk.papers.key import LearnerSheet, PaperKey
from firstway.desk.shared.times import clock, closing_time, is_time, moment

STEERING = "\x1b[2J\u202eevil\u2066\x07"


@pytest.fixture(scope="module")
def first_made(tmp_path_factory: pytest.TempPathFactory) -> SmallClass:
    return small_class(tmp_path_factory.mktemp("class"))


@pytest.fixture()
def made(first_made: SmallClass, tmp_path: Path) -> SmallClass:
    return first_made.copied(tmp_path / "class")


def class_of(
    answers: dict[str, dict[str, str]], key: PaperKey | None = None, text: str = ""
) -> ClassMarks:
    """The class of the tests' key with these answers, and corrections as their file writes them."""
    key = key or hand_made_key()
    found, problems = corrections_from_csv(
        f"question,what,answer,reason\n{text}", "corrections.csv", list(key.by_id), list(key.sheets)
    )
    assert not problems
    copies = [
        HandedIn(f"{code}.json", key.paper, key.version, code, f"issue-{code}", own)
        for code, own in answers.items()
    ]
    return class_marks(Editions(key), copies, (), (), found)


def report_of(marks: ClassMarks) -> str:
    return report_html(marks, analysis_of(marks), "")


# ---- corrections ----


def test_a_correction_that_matches_nobody_is_told_with_what_was_answered() -> None:
    """Before, an `also-right` with a slip of the pen changed nothing and said nothing."""
    answers = {
        "L01": {"pick": "c", "type": "3.9"},
        "L02": {"pick": "c", "type": "3,90 V"},
        "L03": {"type": "3.9 mV"},
    }
    marks = class_of(answers, text="pick,also-right,third,meant so\n")
    assert marks.notes == (
        (
            "corrections.csv:2: nobody gave the answer 'third' to pick: this correction changes"
            " nothing; the answers given are '2' (2)"
        ),
    )
    assert marks.notes[0] in unescape(report_of(marks))
    for written in ("3.9", "3,9", "3.9 V", " 3.90"):
        marks = class_of(answers, text=f'type,also-right,"{written}",the stem can be read so\n')
        assert not marks.notes and [each.points for each in marks.marked] == [
            1,
            1,
            0,
        ], "a unit that does not fit is no 3.9"
    assert "nobody answered it" in class_of({}, text="pick,also-right,2,x\n").notes[0]


def test_leaving_a_question_out_says_the_new_total(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before, a learner who had no point in the question stood in no record: `12` stayed `12`, of
    20 or of 19.
    """
    key = made.key
    made.hand_in(key, "K1")
    made.hand_in(key, "K2", answers={})
    assert made.mark() == 0
    (made.out / "corrections.csv").write_text(
        f"question,what,answer,reason\n{key.questions[0].id},leave-out,,misprint\n",
        encoding="utf-8",
    )
    capsys.readouterr()
    assert made.mark() == 0
    said = capsys.readouterr().out
    assert "K1, 3 of 3 before, 2 of 2 now" in said and "K2, 0 of 3 before, 0 of 2 now" in said
    rows = list(csv.reader((made.out / "changes.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert rows[0] == [
        "code",
        "points before",
        "out of before",
        "points after",
        "out of after",
        "corrections in force",
    ]
    assert [row[:5] for row in rows[1:]] == [
        ["K1", "3", "3", "2", "2"],
        ["K2", "0", "3", "0", "2"],
    ] and "misprint" in rows[1][5]


def test_a_record_of_an_earlier_program_goes_on_under_a_new_head(made: SmallClass) -> None:
    (made.out / "changes.csv").write_text(
        "code,points before,points after,corrections in force\nK9,1,2,x\n", encoding="utf-8"
    )
    assert made.mark() == 0
    made.hand_in(made.key, "K1")
    assert made.mark() == 0
    lines = (made.out / "changes.csv").read_text(encoding="utf-8").splitlines()
    assert lines[:2] == [
        "code,points before,points after,corrections in force",
        "K9,1,2,x",
    ] and lines[2].startswith("code,points before,out of")
    assert lines[3] == "K1,,,3,3,"


def test_words_of_the_desk_typed_by_a_learner_are_the_learners_words() -> None:
    """Before, `right` typed into a number's box stood in the report as a right answer, and a
    mistake's name as that mistake.
    """
    marks = class_of(
        {
            "L01": {"type": "right"},
            "L02": {"type": RATING},
            "L03": {"type": "4.25"},
            "L04": {"work": "right"},
        },
        text=f"type,also-right,right,x\ntype,also-right,{RATING},x\n",
    )
    assert [each.points for each in marks.marked] == [
        1,
        1,
        1,
        0,
    ], "a tutor may still say that they are right"
    plain = class_of(
        {
            "L01": {"type": "right"},
            "L02": {"type": RATING},
            "L03": {"type": "4.25"},
            "L04": {"work": "right"},
        }
    )
    assert [each.points for each in plain.marked] == [0, 0, 1, 0]
    own = next(each for each in analysis_of(plain).questions if each.asked.id == "type")
    assert [choice.count for choice in own.choices if choice.right] == [1] and not analysis_of(
        plain
    ).mistakes


# ---- what to do first ----


def test_the_safety_section_names_the_learners() -> None:
    """Before: `2 of 3 did not get pick. Speak with each of them`, and not with whom."""
    report = report_of(class_of({"L01": {"pick": "b"}, "L02": {"pick": "c"}, "L03": {}}))
    assert "Safety: speak with each of these" in report and ": L02, L03 (2 of 3)" in report


def doubted_class(learners: int = 30) -> ClassMarks:
    """The strong answer `pick` with c where the key says b; the weak are wrong all over; the rest
    is answered by skill.
    """
    draw = random.Random(4)
    codes = tuple(f"L{number:02}" for number in range(1, learners + 1))
    key = hand_made_key(codes)
    rights = {name: right for name, (_, right, _) in FORMS.items()}
    answers = {}
    for place, code in enumerate(codes):
        strong = place < learners // 2
        answers[code] = {
            name: right
            for name, right in rights.items()
            if draw.random() < (0.95 if strong else 0.65)
        }
        answers[code]["pick"] = "c" if strong else draw.choice("abc")
    return class_of(answers, key)


def test_a_doubted_question_is_not_taught_again_first() -> None:
    """Before, the report said at once to read the key again and to teach its topic again first."""
    marks = doubted_class()
    found, report = analysis_of(marks), report_of(marks)
    own = next(each for each in found.questions if each.asked.id == "pick")
    assert own.doubted and sum(each.doubted for each in found.questions) == 1
    assert "Read again, with their keys, before marks are given out" in report
    assert "Until then do not teach again what is weak by them alone: Can pick (by pick)." in report
    assert (
        "Teach again: Can pick" not in report
        and "Teach again first: <strong>Can pick" not in report
    )
    assert "Talk about one mistake: mistake c" not in report, (
        "the named mistake rests on the doubted key"
    )
    assert "(once its key is sure)" in report
    assert (
        len([words for words in own.advice if "key" in words]) == 1
        and "Only if the key stands" in own.advice[0]
    )


@pytest.mark.parametrize(
    ("odds", "words"),
    [
        (1.8e-06, "1 in 560,000"),
        (0.004, "1 in 250"),
        (9.99e-05, "1 in 10,000"),
        (2.2e-12, "1 in 450,000,000,000"),
        (0.0, "fewer than 1 in a million billion"),
    ],
)
def test_odds_are_said_for_people(odds: float, words: str) -> None:
    assert odds_words(odds) == words


# ---- alike ----


def every_pair(wrong: list[list[str]]) -> set[tuple[int, int]]:
    """The search without any short cut."""
    spread = []
    for column in zip(*wrong):
        words = [word for word in column if word]
        spread.append({word: words.count(word) / len(words) for word in set(words)})
    pairs = len(wrong) * (len(wrong) - 1) / 2
    found = set()
    for one, other in itertools.combinations(range(len(wrong)), 2):
        same, odds = figures.likeness(wrong[one], wrong[other], spread)
        if same >= FEWEST_ALIKE and odds * pairs < figures.ALIKE_ODDS:
            found.add((one, other))
    return found


def drawn_class(learners: int, questions: int, seed: int, copies: int) -> list[list[str]]:
    draw = random.Random(seed)
    words = [[f"w{number}" for number in range(draw.choice((2, 3, 6)))] for _ in range(questions)]
    wrong = [
        [draw.choice(words[place]) if draw.random() < 0.45 else "" for place in range(questions)]
        for _ in range(learners)
    ]
    for number in range(copies):
        wrong[2 * number + 1] = list(wrong[2 * number])
    return wrong


def test_the_fast_search_for_alike_papers_finds_what_every_pair_finds() -> None:
    seen = 0
    for seed in range(8):
        wrong = drawn_class(80, 24, seed, 6)
        assert {(pair.first, pair.second) for pair in alike_pairs(wrong)} == every_pair(wrong)
        seen += len(every_pair(wrong))
    assert seen >= 8


def test_ten_thousand_papers_are_searched_in_seconds() -> None:
    """Before, the search stopped in silence above 2,000 learners."""
    wrong = drawn_class(10_000, 20, 7, 3)
    begun = time.process_time()
    found = {(pair.first, pair.second) for pair in alike_pairs(wrong)}
    assert time.process_time() - begun < 20
    assert found <= {(0, 1), (2, 3), (4, 5)}


@pytest.mark.parametrize("fewest", range(1, 12))
def test_at_least__counts_bits(fewest: int) -> None:
    draw = random.Random(fewest)
    sets = [draw.getrandbits(50) for _ in range(11)]
    wanted = sum(
        1 << place for place in range(50) if sum(each >> place & 1 for each in sets) >= fewest
    )
    assert _at_least(fewest, sets) == wanted


# ---- times ----


def test_a_closing_time_without_a_zone_is_this_computers_own(
    made: SmallClass, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before, it meant UTC and said so nowhere: in Paris a file saved at 12:30 was in time until
    13:00.
    """
    if not hasattr(time, "tzset"):
        pytest.skip("this system takes no zone from its environment")
    made.hand_in(made.key, "K1", saved="2026-12-01T11:30:00.000Z")  # 12:30 in the zone below
    made.hand_in(made.key, "K2", saved="2026-12-01T10:59:00.000Z")
    made.hand_in(made.key, "K3", saved="yesterday")
    monkeypatch.setenv(
        "TZ", "CET-1CEST,M3.5.0,M10.5.0/3"
    )  # the rule of central Europe, as POSIX writes it
    time.tzset()
    try:
        assert made.mark("--closes", "2026-12-01T12:00") == 0
        said = capsys.readouterr().out
        assert "Closed 2026-12-01 12:00 UTC+01:00" in said
        assert (
            "K1: late: saved 2026-12-01 12:30 UTC+01:00, closed 2026-12-01 12:00 UTC+01:00" in said
        )
        assert "K2: late" not in said and "K3: no time stands in the file" in said
        assert closing_time("2026-07-01 12:00")[0] == "2026-07-01T12:00+02:00", "summer has its own"
    finally:
        monkeypatch.undo()
        time.tzset()
    assert made.mark("--closes", "2026-12-01T12:00Z") == 0
    said = capsys.readouterr().out
    assert "Closed 2026-12-01 12:00 UTC," in said and "late:" not in said


@pytest.mark.parametrize(
    "typed",
    [
        "noon",
        "2026-12-01",
        "2026-13-01T12:00",
        "2026-12-01T24:00",
        "12:00",
        "2026-12-01T12:00 CET",
        "2026-12-01T12:00+99:00",
    ],
)
def test_a_closing_time_that_is_none_is_refused(
    made: SmallClass, capsys: pytest.CaptureFixture[str], typed: str
) -> None:
    assert made.mark("--closes", typed) == 2
    assert "is no time" in capsys.readouterr().err and not (made.out / "marked").exists()


def test_times_at_the_ends_of_the_calendar_break_nothing() -> None:
    for text in ("0001-01-01T00:00+23:59", "9999-12-31T23:59:59.999999-23:59"):
        assert (
            is_time(text)
            and isinstance(moment(text), float)
            and clock(text, "2026-12-01T12:00+14:00")
        )
    assert not is_time("2026-12-01T24:00") and clock("x") == "at no time that can be read"


# ---- what steers, breaks a line or hides ----


def test_nothing_a_learner_writes_steers_what_prints_it(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before, a line break in an answer file's name made a second line of the list, and direction
    marks turned the report.
    """
    key = made.key
    alias = next(iter(key.questions)).alias
    made.hand_in(
        key, "K1", f"{STEERING[:2]}\n\u202ename.json", answers={alias: f"{STEERING}\n\ud800\u2028x"}
    )
    made.hand_in(key, "K2", issue=STEERING, paper_version=key.version)
    made.hand_in(key, "K3", learner=f"K3\n{STEERING}")
    made.hand_in(key, "K3", "other.json", paper=f"small\n{STEERING}")
    (made.out / "corrections.csv").write_text(
        f'question,what,answer,reason\n{key.questions[0].id},also-right,x,"a\u202eb\nc"\n',
        encoding="utf-8",
    )
    assert made.mark() == 1
    printed = capsys.readouterr().out
    texts = {
        "the terminal": printed,
        **{
            name: content.decode("utf-8-sig")
            for name, content in made.bytes().items()
            if name.startswith("marked/") or name == "changes.csv"
        },
    }
    for name, text in texts.items():
        strange = {character for character in text if not character.isprintable()} - {"\n", "\r"}
        assert not strange, (name, strange)
    assert "\\u202e" in printed and "\\x0a" in printed
    assert len((made.out / "marked/set-aside.txt").read_text(encoding="utf-8").splitlines()) == 3


def test_names_of_learners_are_shown_as_they_are_written_but_steer_nothing(tmp_path: Path) -> None:
    made = SmallClass(tmp_path)
    made.recipe()
    (tmp_path / "class.csv").write_text(
        f'code,name\nK1,"Zoë \u202e{STEERING} =1"\nK2,"=HYPERLINK(""x"")"\n', encoding="utf-8"
    )
    assert made.paper() == 0
    issued = (made.desk / "issue-list.csv").read_text(encoding="utf-8-sig")
    assert "Zoë \\u202e\\x1b[2J" in issued and "'=HYPERLINK" in issued


def test_markup_in_answers_is_text(tmp_path: Path) -> None:
    put(
        tmp_path,
        "a.json",
        answer_file("L01", {"type": "<img src=x onerror=alert(1)>", "pick": "<b>"}),
    )
    answers, aside = handed_in(tmp_path)
    marks = class_marks(Editions(hand_made_key()), answers, (), aside)
    page = feedback_html(marks.key, marks.marked[0], "", {})
    assert "<img" not in page and "&lt;img" in page and "<img" not in report_of(marks)


# ---- the folder of answers ----


def test_one_folder_that_cannot_be_read_stops_nothing(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    made.hand_in(made.key, "K1")
    made.hand_in(made.key, "K2", ".hidden.json")
    put(made.out / "answers/shut", "x.json", {})
    (made.out / "answers/shut").chmod(0)
    try:
        code = made.mark()
        assert made.points()["K1"] == made.points()["K2"] == "3"
        assert code == 1
        assert "shut" in capsys.readouterr().out
    finally:
        (made.out / "answers/shut").chmod(0o755)


# ---- editions with other questions are never put into one table ----


def test_figures_of_one_edition_are_not_those_of_another() -> None:
    first = hand_made_key()
    changed = replace(
        first.by_id["pick"],
        versions={"v0a0": replace(first.by_id["pick"].versions["v0a0"], key=one_answer("c"))},
        right_places=(2,),
    )
    second = replace(
        first,
        version="v2",
        questions=tuple(changed if each.id == "pick" else each for each in first.questions),
        sheets={
            code: LearnerSheet(code, f"issue-{code}", sheet.asked)
            for code, sheet in first.sheets.items()
        },
    )
    copies = [
        HandedIn(f"{code}.json", first.paper, version, code, f"issue-{code}", {"pick": "c"})
        for code, version in zip(CODES, ("v1", "v1", "v2"))
    ]
    marks = class_marks(Editions(second, [first]), copies)
    assert [each.points for each in marks.marked] == [0, 0, 1]
    from firstway.desk.marking.marking_class import comparable

    assert [[own.code for own in each.marked] for each in comparable(marks)] == [
        ["L03"],
        ["L01", "L02"],
    ]
    assert json.dumps(marks_csv(marks)).count("an earlier edition (vv1)") == 2


def test_changes_since__nobody_is_forgotten(tmp_path: Path) -> None:
    """A learner whose file was taken away again goes from points to nothing, and that is told."""
    before = class_of({"L01": {"pick": "b"}, "L02": {}})
    (tmp_path / "marks.csv").write_text(marks_csv(before), encoding="utf-8-sig", newline="")
    assert changes_since(tmp_path / "marks.csv", before) == ()
    changes = changes_since(tmp_path / "marks.csv", class_of({"L02": {"pick": "b"}}))
    assert [str(each) for each in changes] == [
        "L01, 1 of 9 before, nothing now",
        "L02, 0 of 9 before, 1 of 9 now",
    ]
