"""Answers typed from paper: into a table that `paper` made, marked by the sheet they were typed
from, never against a file in silence.

There is no outside reference for our own tables: points are counted by hand (every question right,
or none).
"""

from __future__ import annotations

import csv
import time
from pathlib import Path

import pytest
from desk_class import FORMS, SmallClass, put, small_class

from firstway.desk.papers.typed_tables import typed_from_csv
from firstway.desk.shared.csv_tables import MOST_ROWS, rows_of_csv, safe_cell

MOST = "3"


@pytest.fixture(scope="module")
def first_made(tmp_path_factory: pytest.TempPathFactory) -> SmallClass:
    return small_class(tmp_path_factory.mktemp("class"))


@pytest.fixture()
def made(first_made: SmallClass, tmp_path: Path) -> SmallClass:
    return first_made.copied(tmp_path / "class")


def table_of(made: SmallClass) -> Path:
    return made.out / "typed" / f"small-{made.key.version}.csv"


def rows_in(path: Path) -> list[list[str]]:
    return list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines()))


def said_of(capsys: pytest.CaptureFixture[str]) -> str:
    printed = capsys.readouterr()
    return printed.out + printed.err


def test_the_table_is_ready_for_the_class(made: SmallClass) -> None:
    rows = rows_in(table_of(made))
    assert rows[0] == ["code", "issue code", "edition", "1", "2", "3"]
    assert rows[1:] == [
        [code, sheet.issue, f"v{made.key.version}", "", "", ""]
        for code, sheet in made.key.sheets.items()
    ]


def test_what_is_typed_is_marked_and_an_empty_row_is_nothing_handed_in(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    made.type_in(made.key, "K2")
    made.type_in(made.key, "K3", {1: "-"})  # a blank sheet that was handed in
    assert made.mark() == 0
    assert made.points() == {"K1": "", "K2": MOST, "K3": "0"}
    assert "1 handed nothing in" in said_of(capsys)


def test_a_learners_own_table_decides_nothing(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before, a `.csv` in `answers` decided classmates' marks without an issue code, and beat their
    files.
    """
    made.hand_in(made.key, "K1")
    table = table_of(made).read_text(encoding="utf-8-sig")
    put(made.out / "answers", "results.csv", b"code,1,2,3\nK1,,,x\nK2,b,b,b\n")
    put(made.out / "answers", "copy.CSV", table.replace(",,,", ",1,1,1").encode())
    assert made.mark() == 1
    assert made.points() == {"K1": MOST, "K2": "", "K3": ""}
    assert said_of(capsys).count("a table decides nobody's marks from here") == 2


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("code,issue code,edition,Q1,Q2,Q3", "the column 'q1' is not known"),
        ("code,issue code,edition,1,2,2", "two columns are called '2'"),
        ("code,edition,1,2,3", "no column is called 'issue code'"),
        ("1,2,3", "no column is called 'code'"),
        ("code,issue code,edition,1,2,3,remarks", "the column 'remarks' is not known"),
    ],
)
def test_a_column_that_is_not_known_marks_nobody(
    made: SmallClass, capsys: pytest.CaptureFixture[str], head: str, words: str
) -> None:
    """Before, `Q1,Q2` gave everybody nothing."""
    made.type_in(made.key, "K1")
    text = table_of(made).read_text(encoding="utf-8-sig")
    table_of(made).write_text(text.replace("code,issue code,edition,1,2,3", head), encoding="utf-8")
    assert made.mark() == 2
    said = said_of(capsys)
    assert words in said and ".csv:1: " in said and not (made.out / "marked").exists()


def test_what_a_spreadsheet_leaves_behind_does_no_harm(made: SmallClass) -> None:
    """Semicolons, empty columns at the end, a column of names, capitals in heads."""
    made.type_in(made.key, "K1")
    rows = [[*row, row[0] and "somebody", "", ""] for row in rows_in(table_of(made))]
    rows[0] = [*(cell.upper() for cell in rows[0][:-3]), "Name", "", ""]
    text = "".join(";".join(f'"{cell}"' for cell in row) + "\r\n" for row in rows)
    table_of(made).write_bytes(b"\xef\xbb\xbf" + text.encode() + b";;;;;\r\n")
    (made.out / "typed/~$small.xlsx").write_bytes(b"PK")
    (made.out / "typed/.~lock.small.csv#").write_bytes(b"me")
    assert made.mark() == 0 and made.points()["K1"] == MOST


WRONG_ROWS = {
    "another learner's issue code": (
        lambda row, other: [row[0], other[1], *row[2:]],
        "the issue code is not that of K1",
    ),
    "another edition": (
        lambda row, other: [row[0], row[1], "v0123456789", *row[3:]],
        "is none of this folder",
    ),
    "no edition": (
        lambda row, other: [row[0], row[1], "", *row[3:]],
        "no edition stands in the row",
    ),
    "a code a spreadsheet changed": (
        lambda row, other: ["1", *row[1:]],
        "the issue code is that of K1",
    ),
    "nobody": (lambda row, other: ["Z9", "0000-0000-0000", *row[2:]], "unknown learner 'Z9'"),
    "a comma without quotes": (lambda row, other: [*row, "25"], "more cells than columns"),
    "far too long": (lambda row, other: [*row[:3], "7" * 1001, *row[4:]], "an answer is too long"),
}


@pytest.mark.parametrize("what", list(WRONG_ROWS))
def test_a_row_of_no_sheet_is_set_aside_and_the_others_are_marked(
    made: SmallClass, capsys: pytest.CaptureFixture[str], what: str
) -> None:
    change, words = WRONG_ROWS[what]
    made.type_in(made.key, "K1")
    made.type_in(made.key, "K2")
    rows = rows_in(table_of(made))
    rows[1] = change(rows[1], rows[2])
    with table_of(made).open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    assert made.mark() == 1
    said = said_of(capsys)
    assert words in said and ".csv:2: " in said
    assert made.points() == {"K1": "", "K2": MOST, "K3": ""}


def test_a_question_the_sheet_does_not_hold(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = rows_in(table_of(made))
    rows[0].append("99")
    rows[1].append("b")
    table_of(made).write_text("\n".join(map(",".join, rows)), encoding="utf-8")
    assert made.mark() == 1 and "the sheet of K1 has no question 99" in said_of(capsys)


def test_typed_answers_never_beat_a_file_in_silence(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before, what was typed counted before files. Now both are named, and the tutor chooses."""
    made.hand_in(made.key, "K1")
    made.type_in(made.key, "K1", {1: "-"})
    made.hand_in(made.key, "K2")
    assert made.mark() == 1
    said = said_of(capsys)
    file, row = "small-K1-answers.json", f"typed/small-{made.key.version}.csv:2"
    assert (
        "1 to be decided" in said
        and f"K1,use,{file},REASON" in said
        and f"K1,use,{row},REASON" in said
    )
    assert made.points() == {"K1": "", "K2": MOST, "K3": ""}
    report = (made.out / "marked/report.html").read_text(encoding="utf-8")
    assert "Decide which answers count of K1" in report and "Handed nothing in: K3." in report
    for choice, points in ((file, MOST), (row, "0"), ("typed", "0")):
        (made.out / "corrections.csv").write_text(
            f"question,what,answer,reason\nk1,use,{choice},the signed sheet\n", encoding="utf-8"
        )
        assert made.mark() == 1 and made.points()["K1"] == points
        assert "not counted: the tutor chose" in said_of(capsys)


def test_typed_answers_that_say_the_same_are_a_second_copy(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    """`4,25` on paper and `4.25 V` in the file are one answer."""
    made.hand_in(made.key, "K1")
    made.type_in(made.key, "K1")
    text = table_of(made).read_text(encoding="utf-8-sig")
    head, first, *rest = text.splitlines()
    cells = next(csv.reader([first]))
    first = ",".join(f'"{cell.replace(".", ",")}"' for cell in cells)
    table_of(made).write_text("\n".join([head, first, *rest]), encoding="utf-8")
    assert made.mark() == 1 and made.points()["K1"] == MOST
    assert "a second copy of small-K1-answers.json with the same answers" in said_of(capsys)


def test_rows_typed_twice_that_differ_are_decided_by_the_tutor(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    made.type_in(made.key, "K1")
    row = rows_in(table_of(made))[1]
    text = table_of(made).read_text(encoding="utf-8-sig")
    table_of(made).write_text(text + ",".join([*row[:3], "", "", "-"]) + "\n", encoding="utf-8")
    assert made.mark() == 1 and made.points()["K1"] == ""
    assert said_of(capsys).count("neither is marked") == 2


def test_a_choice_that_names_no_copy_is_told(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    made.hand_in(made.key, "K1")
    (made.out / "corrections.csv").write_text(
        "question,what,answer,reason\nK1,use,other.json,x\n", encoding="utf-8"
    )
    assert made.mark() == 0
    assert (
        "corrections.csv:2: no copy of K1 is called 'other.json'; there are: small-K1-answers.json"
        in said_of(capsys)
    )
    for row, words in (
        ("K9,use,typed,x", "no learner 'K9'"),
        ("K1,use,,x", "which copy counts is missing"),
        ("K1,use,typed,", "'reason' is missing; fill in the column `reason`"),
    ):
        (made.out / "corrections.csv").write_text(
            f"question,what,answer,reason\n{row}\n", encoding="utf-8"
        )
        assert made.mark() == 2 and words in said_of(capsys)


def test_of_two_files_the_tutor_may_choose_the_earlier(made: SmallClass) -> None:
    made.hand_in(made.key, "K1", "first.json", saved="2026-11-25T09:00:00Z")
    made.hand_in(made.key, "K1", "second.json", saved="2026-11-25T09:30:00Z", answers={})
    assert made.mark() == 1 and made.points()["K1"] == "0"
    (made.out / "corrections.csv").write_text(
        "question,what,answer,reason\nK1,use,first.json,the second was sent by mistake\n",
        encoding="utf-8",
    )
    assert made.mark() == 1 and made.points()["K1"] == MOST


def test_a_table_with_answers_is_never_touched_and_who_joins_later_gets_another(
    made: SmallClass,
) -> None:
    made.type_in(made.key, "K1")
    before = table_of(made).read_bytes()
    made.learners("K1", "K2", "K3", "K4")
    assert made.paper() == 0 and table_of(made).read_bytes() == before
    second = made.out / "typed" / f"small-{made.key.version}-2.csv"
    assert [row[0] for row in rows_in(second)] == ["code", "K4"]
    made.type_in(made.key, "K4", table=second.name)
    made.learners("K1", "K2", "K3", "K4", "K5")
    assert made.paper() == 0
    assert [row[0] for row in rows_in(second.with_name(second.name.replace("-2", "-3")))] == [
        "code",
        "K5",
    ]
    assert made.mark() == 0 and made.points()["K1"] == made.points()["K4"] == MOST


def test_an_empty_table_is_made_anew_for_the_class_as_it_is(made: SmallClass) -> None:
    made.learners("K1", "K4")
    assert made.paper() == 0
    assert [row[0] for row in rows_in(table_of(made))] == ["code", "K1", "K4"]


def test_what_is_no_table_is_told(made: SmallClass, capsys: pytest.CaptureFixture[str]) -> None:
    (made.out / "typed/sheets.ods").write_bytes(b"PK")
    assert made.mark() == 1 and "typed/sheets.ods: no CSV table" in said_of(capsys)
    (made.out / "typed/sheets.ods").unlink()
    (made.out / "typed/old.csv").write_bytes(
        "code,issue code,edition,1\nK1,é,v0,b\n".encode("cp1252")
    )
    assert made.mark() == 2 and "old.csv:2: the file is not UTF-8 text" in said_of(capsys)


def test_a_table_of_a_million_rows_is_refused_at_once(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before, 12 MB of 1.5 million rows did not end in 300 s."""
    table_of(made).write_bytes(b"code,issue code,edition,1\n" + b"K1,a,b,c\n" * 1_500_000)
    begun = time.process_time()
    assert made.mark() == 2
    assert time.process_time() - begun < 5
    assert f"more than {MOST_ROWS:,} rows" in said_of(capsys)
    table_of(made).write_bytes(b"code," + b"," * 6_000_000)
    assert made.mark() == 2 and "columns" in said_of(capsys)
    table_of(made).write_bytes(b"x" * 17_000_000)
    assert made.mark() == 2 and "larger" in said_of(capsys)


def test_rows_of_csv__a_line_break_of_another_alphabet_parts_no_row() -> None:
    rows, problems = rows_of_csv('code,1\nK1,"a\u2028b\x0bc\x85d"\nK2,"e\nf"\n', "t.csv")
    assert (
        not problems
        and rows[1][1] == ["K1", "a\u2028b\x0bc\x85d"]
        and rows[2] == (4, ["K2", "e\nf"])
    )


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1+2",
        "-x",
        "-1 ",
        "@x",
        "\t=1",
        "\r=1",
        "\n=1",
        "\uff1d1",
        "a\n=1",
        "\u202ea",
    ],
)
def test_safe_cell__no_formula_no_line_break_no_turned_text(text: str) -> None:
    shown = safe_cell(text)
    assert not shown.startswith(("=", "+", "-", "@", "\uff1d")) and shown.isprintable()


@pytest.mark.parametrize("text", ["-1", "-0.25", "-2.5e-7"])
def test_safe_cell__a_plain_number_stays_a_number(text: str) -> None:
    assert safe_cell(text) == text


def test_typed_from_csv__every_form_as_a_person_writes_it() -> None:
    head = ",".join(
        ("code", "issue code", "edition", *(str(number) for number in range(1, len(FORMS) + 1)))
    )
    rows, aside, problems = typed_from_csv(
        f'{head}\nL01,i,V0,B,ac,"4,25","b,a,c",1b 2a,32 ; 3.2\n', "typed/t.csv", "t.csv"
    )
    assert not aside and not problems
    assert (rows[0].version, rows[0].place, rows[0].answers[3]) == ("0", "typed/t.csv:2", "4,25")
