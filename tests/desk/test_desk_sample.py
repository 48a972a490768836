"""The sample class of the guide: what was planted is found; papers set fast are the papers set
slowly; the published schema and the reader agree.

The truth is what the simulation put in. The schema is JSON Schema 2020-12; jsonschema judges it
where that library is installed.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from desk_class import answer_file, damaged

from firstway.desk import sample_class as sample
from firstway.desk.analysis.class_analysis import analysis_of
from firstway.desk.answers.answer_files import HandedIn, opened
from firstway.desk.papers.class_list import learners_from_csv
from firstway.desk.papers.key import PaperKey
from firstway.desk.papers.making import Pool, Setting, desk_sources, make_papers
from firstway.quiz.paper.page import learner_html
from firstway.quiz.paper.recipe import questions_of, recipe_from_yaml
from firstway.quiz.paper.scripts import paper_script
from firstway.quiz.shelf import shelf_from
from firstway.rendering.html import edition_line

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def made() -> tuple[PaperKey, list[Pool], str]:
    found, problems = sample.sample_paper(ROOT, shelf_from(ROOT)[0], desk_sources(ROOT))
    assert found is not None and not problems
    return found


def test_the_class_is_invented_and_its_recipes_are_assigned() -> None:
    learners, problems = learners_from_csv((ROOT / sample.CLASS).read_text("utf-8"), sample.CLASS)
    assert len(learners) == 40 and not problems and all(learner.name for learner in learners)
    shelf, _ = shelf_from(ROOT)
    for name, count, drawings in (("class-board-test", 20, 4), ("class-first-look", 10, 0)):
        text = (ROOT / f"quiz/papers/{name}.yaml").read_text("utf-8")
        recipe, problems = recipe_from_yaml(text, name)
        assert (
            recipe is not None
            and not problems
            and recipe.use == "assigned"
            and recipe.seed == "change-this-before-use"
            and "CHANGE IT" in text
        )
        questions, problems = questions_of(shelf.bank, recipe, shelf.chapters)
        assert (
            not problems
            and len(questions) == count
            and sum(question.drawing is not None for question in questions) == drawings
        )
        assert len({question.kind for question in questions}) >= 6 and any(
            question.safety for question in questions
        )


def test_a_paper_of_twenty_questions_and_four_drawings_is_small(tmp_path: Path) -> None:
    """A class's papers go onto any stick and open on any phone. The aim is 120 kB a learner."""
    (tmp_path / "class.csv").write_text("code\nM01\nM02\nM03\n", encoding="utf-8")
    recipe = (ROOT / "quiz/papers/class-board-test.yaml").read_text("utf-8")
    (tmp_path / "recipe.yaml").write_text(
        recipe.replace("change-this-before-use", "held by the test"), encoding="utf-8"
    )
    count, problems = make_papers(
        ROOT, tmp_path / "recipe.yaml", tmp_path / "class.csv", tmp_path / "out"
    )
    assert count == 3 and not problems
    for page in (tmp_path / "out/paper/hand-out").iterdir():
        text = page.read_text("utf-8")
        assert (
            len(text.encode()) <= 120_000
            and text.count('<svg class="fw-drawing') == 8
            and text.count('class="large"') == 4
            and text.count('class="quiz-question"') == 20
        )


def test_papers_set_fast_are_the_papers_set_slowly(made: tuple[PaperKey, list[Pool], str]) -> None:
    """`learner_html` writes a paper whole; the setting puts versions that are set once into a
    frame. Byte for byte the same.
    """
    key, pools, introduction = made
    by_id = {pool.question.id: pool for pool in pools}
    for public in (None, {"kty": "RSA", "n": "abc", "e": "AQAB"}):
        setting = Setting(replace(key, public_key=public), pools, introduction, "", "")
        for code in list(key.sheets)[:6]:
            sheet = key.sheets[code]
            versions = [
                by_id[id_].versions[int(name[1:].split("a")[0])][int(name.split("a")[1])]
                for id_, name in sheet.asked
            ]
            slow = learner_html(
                key.title,
                versions,
                paper=key.paper,
                paper_version=key.version,
                learner=code,
                issue=sheet.issue,
                introduction=introduction,
                edition=edition_line(key.edition),
                public_key=public,
            )
            assert slow in setting.page(sheet)


def test_the_report_finds_what_was_planted(made: tuple[PaperKey, list[Pool], str]) -> None:
    marks = sample.sample_marks(made[0])
    found = analysis_of(marks)
    shown = {
        wrong
        for asked in made[0].questions
        for version in asked.versions.values()
        for wrong in re.findall(r"mistake='([^']*)'", repr(version.key))
    }
    assert set(sample.PLANTED.mistakes) <= shown, (
        "the sample's questions no longer name these mistakes: plant others"
    )
    assert {each.name for each in found.mistakes[:2]} == set(sample.PLANTED.mistakes)
    hardest = sorted(found.questions, key=lambda each: each.facility or 0.0)[:2]
    assert {each.asked.id for each in hardest} == set(sample.PLANTED.hard)
    assert [{each.first, each.second} for each in found.alike] == [
        set(pair) for pair in sample.PLANTED.copies.items()
    ]
    assert (
        set(marks.missing) == {*sample.ABSENT, sample.DAMAGED}
        and len(marks.aside) == 2
        and sample.LATE in marks.notes[0]
    )
    assert sample.sample_marks(made[0]) == marks, "the same seed, the same class"


def test_the_sample_holds_no_assigned_question(made: tuple[PaperKey, list[Pool], str]) -> None:
    assert {pool.question.use for pool in made[1]} == {"practice"}


# ---- the published schema of the answer file ----


@pytest.fixture(scope="module")
def valid() -> Any:
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    schema = json.loads((ROOT / "quiz/answers.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema).is_valid


def test_schema__accepts_what_the_reader_accepts_and_refuses_what_it_refuses(valid: Any) -> None:
    import random

    draw, seen = random.Random(9), set()
    files = [
        json.dumps(answer_file("L01")).encode(),
        *(damaged(draw, place)[1] for place in range(44)),
    ]
    for content in files:
        try:
            data = json.loads(content.decode("utf-8-sig"))
        except (ValueError, RecursionError):
            continue
        if isinstance(data, dict) and not content.count(b'"issue"') > 1:
            taken = isinstance(opened(content, "x.json"), HandedIn)
            assert valid(data) == taken, content[:200]
            seen.add(taken)
    assert seen == {True, False}


def test_schema__sealed(valid: Any) -> None:
    sealed = {
        "format": "firstway sealed answers 1",
        "paper": "p",
        "learner": "L01",
        "key": "QUJD",
        "iv": "QUJDREVGR0hJSktM",
        "sealed": "QUJDRA==",
    }
    assert valid(sealed)
    assert not any(
        valid({**sealed, **wrong})
        for wrong in (
            {"key": "!"},
            {"sealed": ""},
            {"format": "firstway sealed answers 2"},
            {"learner": 7},
        )
    )


def test_the_form_of_answers_has_one_name_in_page_reader_and_schema() -> None:
    from firstway.desk.answers.answer_files import FORMAT, SEALED_FORMAT

    schema = json.loads((ROOT / "quiz/answers.schema.json").read_text("utf-8"))
    assert [
        schema["$defs"][each]["properties"]["format"]["const"] for each in ("answers", "sealed")
    ] == [FORMAT, SEALED_FORMAT]
    script = paper_script()
    assert f'FORMAT = "{FORMAT}"' in script and f'SEALED_FORMAT = "{SEALED_FORMAT}"' in script
