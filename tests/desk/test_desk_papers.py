"""Papers for a class: no key in what is handed out, the same bytes every time, nobody moved by a
late joiner; and the way back to marks.

There is no outside reference for our own papers; that a learner's file gives nothing away is shown
by building it twice from banks that differ in nothing but their answers.
"""

from __future__ import annotations

import csv
import json
import os
import re
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from firstway.cli import main
from firstway.desk.papers import making as desk
from firstway.desk.papers.key import PaperKey, Version, key_from_text
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.match.answers import MatchKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.number.form import Stated
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.order.answers import OrderKey
from firstway.quiz.forms.registry import QUESTION_KINDS
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.working.answers import WorkingKey
from firstway.quiz.paper.recipe import order_rank
from firstway.quiz.shelf import shelf_from

ROOT = Path(__file__).resolve().parents[2]
NAMES = ("Zuzana Quill", "Bo =Formula", "Ada Ümlaut", "Cy O'Dell", "Dot Nett")


def recipe_text(questions: list[str]) -> str:
    rows = "\n".join(f"  - {id_}" for id_ in questions)
    return (
        "id: class-test\ntitle: A test of the desk\nintroduction: Answer all.\nuse:"
        f" assigned\nseed: secret-of-the-tutor\nquestions:\n{rows}\n"
    )


@pytest.fixture(scope="module")
def chosen() -> list[str]:
    """Two assigned questions of every kind the bank has."""
    shelf, _ = shelf_from(ROOT)
    ids = []
    for kind in QUESTION_KINDS:
        own = sorted(
            (
                question
                for question in shelf.bank
                if question.kind == kind and question.use == "assigned"
            ),
            key=lambda each: order_rank("t", each.id),
        )
        ids += [question.id for question in own[:2]]
    assert len(ids) >= 14, "the bank lacks assigned questions of most kinds"
    return ids


@pytest.fixture(scope="module")
def inputs(tmp_path_factory: pytest.TempPathFactory, chosen: list[str]) -> Path:
    folder = tmp_path_factory.mktemp("inputs")
    (folder / "recipe.yaml").write_text(recipe_text(chosen), encoding="utf-8")
    (folder / "class.csv").write_text(
        "code,name\n" + "".join(f'K{place},"{name}"\n' for place, name in enumerate(NAMES, 1)),
        encoding="utf-8",
    )
    return folder


@pytest.fixture(scope="module")
def made(inputs: Path) -> Path:
    out = inputs / "out"
    assert (
        main(
            [
                "paper",
                str(inputs / "recipe.yaml"),
                "--class",
                str(inputs / "class.csv"),
                "-o",
                str(out),
            ]
        )
        == 0
    )
    return out


def files_of(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def key_of(out: Path) -> PaperKey:
    key = key_from_text((out / "paper/desk/key.json").read_text(encoding="utf-8"))
    assert key is not None
    return key


def right_answer(version: Version) -> str:
    """The whole answer, from the key: what a learner who knows would give."""
    key = version.key
    if isinstance(key, OneAnswerKey):
        return next(option.id for option in key.options if option.right)
    if isinstance(key, SeveralAnswersKey):
        return " ".join(sorted(option.id for option in key.options if option.right))
    if isinstance(key, NumberKey):
        return f"{(key.low + key.high) / 2:.6f}".replace(".", ",") + (
            f" {key.spellings[0]}" if key.spellings else ""
        )
    if isinstance(key, OrderKey):
        return " ".join(step.id for step in key.steps)
    if isinstance(key, MatchKey):
        return " ".join(f"{row.id}={row.item}" for row in key.rows)
    assert isinstance(key, WorkingKey)
    return " ; ".join(f"{(part.low + part.high) / 2:.6f}" for part in key.parts)


def hand_in(out: Path, key: PaperKey, code: str, answers: dict[str, str], name: str = "") -> None:
    data = {
        "format": "firstway answers 2",
        "paper": key.paper,
        "paper_version": key.version,
        "learner": code,
        "issue": key.sheets[code].issue,
        "answers": {key.by_id[id_].alias: answer for id_, answer in answers.items()},
        "begun": "2026-11-25T09:00:00.000Z",
        "saved": "2026-11-25T09:50:00.000Z",
    }
    (out / "answers" / (name or f"{code}.json")).write_text(json.dumps(data), encoding="utf-8")


def test_what_is_handed_out_holds_no_key_no_name_and_asks_nothing_of_a_network(made: Path) -> None:
    key = key_of(made)
    pages = sorted((made / "paper/hand-out").glob("*.html"))
    assert [page.name for page in pages] == [f"class-test-K{place}.html" for place in range(1, 6)]
    for page in pages:
        text = page.read_text(encoding="utf-8")
        data = re.search(r'class="paper-data">(.*?)</script>', text, re.DOTALL)
        assert data and set(json.loads(data[1])) == {
            "format",
            "paper",
            "paper_version",
            "learner",
            "issue",
            "words",
            "public_key",
        }
        assert not re.search(
            r"data-step|data-of=|data-installation|\b(?:https?:)?//[a-z0-9]",
            text.replace("http://www.w3.org/", ""),
        ), "a figure names its step, or a request leaves"
        assert not any(name in text for name in NAMES)
        for asked in key.questions:
            assert asked.id not in text, "an id of the bank may say too much"
            for version in asked.versions.values():
                assert not version.why or version.why not in text
                for words in _feedback(version):
                    assert words not in text
        assert "Caution" in text and key.edition in text


def _feedback(version: Version) -> list[str]:
    key = version.key
    rows = [
        *getattr(key, "options", ()),
        *getattr(key, "wrong", ()),
        *getattr(key, "rows", ()),
        *(wrong for part in getattr(key, "parts", ()) for wrong in part.wrong),
    ]
    return [row.feedback for row in rows if len(row.feedback) > 12]


def test_same_recipe_class_and_secret_same_bytes_and_a_late_joiner_changes_no_one(
    made: Path, inputs: Path, tmp_path: Path
) -> None:
    longer = (inputs / "class.csv").read_text(encoding="utf-8").replace(
        "code,name\n", "code,name\nA0,Late Joiner\n"
    ) + "Z9,Later Still\n"
    (tmp_path / "class.csv").write_text(longer, encoding="utf-8")
    secret = made / "paper/desk/secret.txt"
    for name, class_file in (("again", inputs / "class.csv"), ("joined", tmp_path / "class.csv")):
        assert (
            desk.make_papers(
                ROOT, inputs / "recipe.yaml", class_file, tmp_path / name, secret_file=secret
            )[1]
            == []
        )
    before = files_of(made / "paper")
    assert files_of(tmp_path / "again/paper") == before
    joined = files_of(tmp_path / "joined/paper")
    assert all(
        joined[name] == content for name, content in before.items() if name.startswith("hand-out/")
    )
    assert len([name for name in joined if name.startswith("hand-out/")]) == len(NAMES) + 2


def test_learners_have_their_own_order_and_figures(made: Path) -> None:
    key = key_of(made)
    assert len(
        {tuple(question for question, _ in sheet.asked) for sheet in key.sheets.values()}
    ) == len(NAMES), "each learner has an order of their own"
    drawn = {tuple(sorted(sheet.asked)) for sheet in key.sheets.values()}
    assert len(drawn) == len(NAMES), "and figures or letters of their own"
    assert len({sheet.issue for sheet in key.sheets.values()}) == len(NAMES)


def turned(question: Question) -> Question:
    """The same question with another answer: what is right is wrong, what is wrong is right;
    figures and orders moved.
    """
    own = question.own
    options = getattr(own, "options", ())
    if options:
        rights = [option.right for option in options]
        own = replace(
            own,
            options=tuple(
                replace(
                    option,
                    right=right,
                    mistake="" if right else "any",
                    feedback=("any",) if not right else option.feedback,
                )
                for option, right in zip(options, [*rights[1:], *rights[:1]])
            ),
        )
    if question.kind == "order" and isinstance(own.steps, tuple):
        own = replace(own, steps=tuple(reversed(own.steps)))
    if question.kind == "number" and not question.vary:
        own = replace(own, mistakes=())
        if isinstance(own.answer, Stated):
            own = replace(own, answer=Stated(987.0, own.answer.unit, 0, "none"))
    return replace(question, own=own, why=("Another reason.",))


def test_two_banks_that_differ_in_their_answers_alone_give_the_same_papers(
    inputs: Path, made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = desk.questions_of
    seen = []

    def other_answers(*given: object) -> tuple[list[Question], list[object]]:
        questions, problems = real(*given)
        mine = [
            (
                turned(question)
                if question.kind in ("one-answer", "several-answers", "read-a-chart", "foretell")
                else question
            )
            for question in questions
        ]
        seen.extend(one.id for one, other in zip(mine, questions) if one != other)
        return mine, problems

    monkeypatch.setattr(desk, "questions_of", other_answers)
    monkeypatch.setattr(desk, "flaws_of", lambda made: [])
    count, problems = desk.make_papers(
        ROOT,
        inputs / "recipe.yaml",
        inputs / "class.csv",
        tmp_path / "out",
        secret_file=made / "paper/desk/secret.txt",
    )
    assert not problems and seen
    mine, theirs = files_of(tmp_path / "out/paper"), files_of(made / "paper")
    assert mine["desk/key.json"] != theirs["desk/key.json"]
    for name in theirs:
        if name.startswith("hand-out/"):
            assert mine[name] == theirs[name], f"{name} depends on its answers"


def test_right_answers_come_back_as_every_point(
    made: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    key = key_of(made)
    out = tmp_path / "class"
    out.mkdir()
    (out / "paper").symlink_to(made / "paper")
    (out / "answers").mkdir()
    for code in ("K1", "K2", "K3"):
        hand_in(
            out,
            key,
            code,
            {
                id_: right_answer(key.by_id[id_].versions[version])
                for id_, version in key.sheets[code].asked
            },
        )
    hand_in(out, key, "K4", {})
    assert main(["mark", str(out)]) == 0
    with (out / "marked/marks.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["code"]: row for row in csv.DictReader(file)}
    most = sum(asked.out_of for asked in key.questions)
    assert [rows[code]["points"] for code in ("K1", "K2", "K3", "K4", "K5")] == [str(most)] * 3 + [
        "0",
        "",
    ]
    before = files_of(out / "marked")
    assert main(["mark", str(out)]) == 0 and files_of(out / "marked") == before, (
        "twice run gives the same result"
    )
    report = before["report.html"].decode()
    assert (
        "too few to judge" in report.casefold()
        and "Caution" in report
        and not any(name in report for name in NAMES)
    )
    page = before["feedback/class-test-K1-feedback.html"].decode()
    assert "not proof of competence" in page and f"{most} of {most} points" in page
    hand_in(out, key, "K5", {}, "strange.txt")
    (out / "answers/rubbish.json").write_text("{", encoding="utf-8")
    assert main(["mark", str(out)]) == 1
    (out / "corrections.csv").write_text(
        f"question,what,answer,reason\n{key.questions[0].id},all-right,,the drawing was"
        " misprinted\n",
        encoding="utf-8",
    )
    capsys.readouterr()
    assert main(["mark", str(out)]) == 1
    said = capsys.readouterr().out
    assert f"changed since the last run: K4, 0 of {most} before" in said
    changes = (out / "changes.csv").read_text(encoding="utf-8-sig")
    assert "K4" in changes and "K1" not in changes
    assert "misprinted" in (out / "marked/report.html").read_text(encoding="utf-8")


def test_the_input_is_told_all_its_problems_and_nothing_is_written(
    inputs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bad.yaml").write_text(
        "id: x\ntitle: y\nuse: practice\nseed: s\nquestions: [parts-order]\n", encoding="utf-8"
    )
    (tmp_path / "bad.csv").write_text("code\n../x\nA\na\n", encoding="utf-8")
    assert (
        main(
            [
                "paper",
                str(tmp_path / "bad.yaml"),
                "--class",
                str(tmp_path / "bad.csv"),
                "-o",
                str(tmp_path / "out"),
            ]
        )
        == 2
    )
    said = capsys.readouterr().err
    assert (
        "bad.csv:2" in said
        and "bad.csv:4" in said
        and "for practice" in said
        and not (tmp_path / "out").exists()
    )
    (tmp_path / "full").mkdir()
    (tmp_path / "full/thesis.txt").write_text("years of work", encoding="utf-8")
    assert (
        main(
            [
                "paper",
                str(inputs / "recipe.yaml"),
                "--class",
                str(inputs / "class.csv"),
                "-o",
                str(tmp_path / "full"),
            ]
        )
        == 2
    )
    assert files_of(tmp_path / "full") == {"thesis.txt": b"years of work"}
    assert main(["mark", str(tmp_path / "full")]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_answers_stay_when_papers_are_made_again(inputs: Path, tmp_path: Path) -> None:
    for _ in range(2):
        assert (
            desk.make_papers(ROOT, inputs / "recipe.yaml", inputs / "class.csv", tmp_path / "out")[
                1
            ]
            == []
        )
        (tmp_path / "out/answers/one.json").write_text("{}", encoding="utf-8")
        (tmp_path / "out/corrections.csv").write_text(
            "question,what,answer,reason\n", encoding="utf-8"
        )
    assert (tmp_path / "out/answers/one.json").read_text(encoding="utf-8") == "{}"


def test_a_kill_leaves_the_old_or_the_new_result_whole(made: Path, tmp_path: Path) -> None:
    key = key_of(made)
    out = tmp_path / "class"
    (out / "answers").mkdir(parents=True)
    (out / "paper").symlink_to(made / "paper")
    hand_in(
        out,
        key,
        "K1",
        {
            id_: right_answer(key.by_id[id_].versions[version])
            for id_, version in key.sheets["K1"].asked
        },
    )
    assert main(["mark", str(out)]) == 0
    old = files_of(out / "marked")
    hand_in(out, key, "K2", {})
    program = (
        f"import sys; sys.path.insert(0, {str(ROOT / 'tools')!r}); from firstway.cli import main;"
        f" sys.exit(main(['mark', {str(out)!r}]))"
    )
    begun = time.monotonic()
    subprocess.run([sys.executable, "-c", program], check=True, capture_output=True)
    whole = time.monotonic() - begun
    new = files_of(out / "marked")
    assert new != old
    for share in (0.5, 0.8, 0.9, 0.95):
        (
            (out / "answers/K2.json").unlink(missing_ok=True)
            if share in (0.5, 0.9)
            else hand_in(out, key, "K2", {})
        )
        child = subprocess.Popen(
            [sys.executable, "-c", program], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        time.sleep(whole * share)
        child.send_signal(signal.SIGKILL if os.name != "nt" else signal.SIGTERM)
        child.wait()
        assert files_of(out / "marked") in (old, new)
    assert main(["mark", str(out)]) == 0
    assert files_of(out / "marked") == new, "the next run mends what a kill left"


def test_the_tutor_is_told_that_whoever_has_the_project_has_the_answers(root: Path) -> None:
    """Before, a tutor who gave a class the project's folder gave it every assigned answer, and
    nothing had said so.
    """
    limits = re.search(
        r"^## What this cannot do .*?(?=^## )",
        (root / "content/tutors/class.md").read_text(encoding="utf-8"),
        re.DOTALL | re.MULTILINE,
    )
    assert limits is not None
    said = " ".join(limits[0].split())
    assert (
        re.search(
            r"bank lies in the project's folder, the assigned questions with their answers", said
        )
        and "never the project" in said
    )
    assert "use: assigned" in "".join(
        path.read_text(encoding="utf-8") for path in (root / "quiz/bank").glob("*.yaml")
    ), "and so it is"
