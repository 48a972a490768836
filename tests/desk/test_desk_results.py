"""Results in open formats: their structure by the standards (from memory), and that no code or
answer steers a file or breaks a reader.

There is no schema at hand: elements, attributes and values are checked one by one, as QTI Results
Reporting 3.0 and xAPI 1.0.3 name them.
"""

from __future__ import annotations

import json
import re
import uuid
from pathlib import Path
from xml.etree import ElementTree as XML

import pytest
from desk_class import CODES, answer_file, hand_made_key, put

from firstway.desk.answers.handing_in import handed_in
from firstway.desk.exports.results import NAMESPACE, results_files
from firstway.desk.marking.marking_class import ClassMarks, class_marks
from firstway.desk.papers.editions import Editions
from firstway.desk.papers.key import key_from_text, text_of_key
from firstway.quiz.class_files import Correction

Q = f"{{{NAMESPACE}}}"
STRANGE = "</value><x>\x00\x07]]>&\u202e=1+1"


@pytest.fixture()
def marks(tmp_path: Path) -> ClassMarks:
    put(tmp_path, "a.json", answer_file("L01"))
    put(
        tmp_path,
        "b.json",
        answer_file(
            "L02",
            {
                "pick": "c",
                "tick": "a b",
                "type": STRANGE,
                "row": "a b c",
                "pair": "1=b 2=c",
                "work": f"40 ; {STRANGE}",
            },
        ),
    )
    put(
        tmp_path,
        "c.json",
        answer_file(
            "L03", {"pick": "zz", "tick": "", "pair": "9=? x", "work": ";;;;"}, saved="not a time"
        ),
    )
    answers, aside = handed_in(tmp_path)
    return class_marks(
        Editions(hand_made_key()),
        answers,
        (),
        aside,
        [Correction("row", "leave-out", "", "misprint", 2)],
    )


def test_two_files_a_learner_named_by_number_alone(marks: ClassMarks) -> None:
    names = [name for name, _ in results_files(marks)]
    assert names == [
        f"{kind}-{number:04}.{end}"
        for number in (1, 2, 3)
        for kind, end in (("qti-results", "xml"), ("xapi-statements", "json"))
    ]
    for bad in ("../x", "CON.txt", "a/b", "", "=1+1"):
        assert key_from_text(text_of_key(hand_made_key((*CODES, bad)))) is None, (
            "a key with a code that leads somewhere was taken"
        )


def test_qti_results__structure_and_values(marks: ClassMarks) -> None:
    files = dict(results_files(marks))
    for own in marks.marked:
        root = XML.fromstring(files[f"qti-results-{CODES.index(own.code) + 1:04}.xml"].encode())
        assert [child.tag for child in root][:2] == [
            f"{Q}context",
            f"{Q}testResult",
        ] and root.tag == f"{Q}assessmentResult"
        assert (
            root[0].get("sourcedId") == own.code and root[0][0].get("identifier") == "hand-made-v1"
        )
        items = root.findall(f"{Q}itemResult")
        assert len(items) == 5 and len({item.get("sequenceIndex") for item in items}) == 5, (
            "the question left out is not reported"
        )
        for result in root[1:]:
            assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", result.get("datestamp") or "")
            score = {
                variable.get("identifier"): float(variable.findtext(f"{Q}value") or "")
                for variable in result.findall(f"{Q}outcomeVariable")
            }
            assert set(score) == {"SCORE", "MAXSCORE"} and 0 <= score["SCORE"] <= score["MAXSCORE"]
            for variable in result.findall(f"{Q}responseVariable"):
                assert variable.get("cardinality") in (
                    "single",
                    "multiple",
                    "ordered",
                ) and variable.get("baseType") in ("identifier", "float", "string", "directedPair")
                assert [child.tag for child in variable] == [f"{Q}candidateResponse"]
                values = [value.text or "" for value in variable[0]]
                assert variable.get("cardinality") != "single" or len(values) <= 1
                form = {
                    "identifier": r"[A-Za-z_][\w.-]*",
                    "directedPair": r"row-\d+ choice-\d+",
                    "float": r"-?[\d.e+-]+",
                }.get(variable.get("baseType") or "", r"(?s).*")
                assert all(re.fullmatch(form, value) for value in values), values
        assert (
            sum(
                float(item.findtext(f"{Q}outcomeVariable[@identifier='SCORE']/{Q}value") or "")
                for item in items
            )
            == own.points
        )
        assert all(item.get("sessionStatus") == "final" for item in items)


def test_qti_results__what_was_answered(marks: ClassMarks) -> None:
    root = XML.fromstring(dict(results_files(marks))["qti-results-0001.xml"])
    given = {
        item.get("identifier"): [
            [value.text for value in variable.iter(f"{Q}value")]
            for variable in item.findall(f"{Q}responseVariable")
        ]
        for item in root.findall(f"{Q}itemResult")
    }
    assert given == {
        "q-pick": [["choice-2"]],
        "q-tick": [["choice-1", "choice-3"]],
        "q-type": [["4.25"]],
        "q-pair": [["row-1 choice-2", "row-2 choice-1"]],
        "q-work": [["32"], ["3.2"]],
    }


def test_xapi__statements(marks: ClassMarks) -> None:
    files, ids = dict(results_files(marks)), set()
    for own in marks.marked:
        said = json.loads(files[f"xapi-statements-{CODES.index(own.code) + 1:04}.json"])
        assert [each["verb"]["id"].rpartition("/")[2] for each in said] == ["answered"] * 5 + [
            "completed",
            "scored",
        ]
        for each in said:
            assert uuid.UUID(each["id"]).version == 5 and each["id"] not in ids
            ids.add(each["id"])
            assert each["actor"] == {
                "objectType": "Agent",
                "account": {"homePage": "https://firstway.invalid/class", "name": own.code},
            }
            assert each["object"]["id"].startswith(
                "https://firstway.invalid/paper/hand-made/v1"
            ) and uuid.UUID(each["context"]["registration"])
            assert set(each) <= {"id", "actor", "verb", "object", "result", "context", "timestamp"}
            score = each["result"].get("score")
            assert (
                score is None
                or -1 <= score["scaled"] <= 1
                and score["min"] <= score["raw"] <= score["max"]
            )
            kind = each["object"]["definition"].get("interactionType", "choice")
            assert kind in (
                "true-false",
                "choice",
                "fill-in",
                "long-fill-in",
                "matching",
                "performance",
                "sequencing",
                "likert",
                "numeric",
                "other",
            )
        assert said[-1]["result"]["score"]["raw"] == own.points and (
            "timestamp" in said[0]
        ) == bool(own.saved)
    first = json.loads(files["xapi-statements-0001.json"])
    assert {
        each["object"]["id"].rpartition("/")[2]: each["result"]["response"] for each in first[:5]
    } == {
        "q-pick": "choice-2",
        "q-tick": "choice-1[,]choice-3",
        "q-type": "4.25",
        "q-pair": "row-1[.]choice-2[,]row-2[.]choice-1",
        "q-work": "32[,]3.2",
    }


def test_same_marks_same_bytes(marks: ClassMarks) -> None:
    assert list(results_files(marks)) == list(results_files(marks))
