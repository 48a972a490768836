"""Desk: marks in open formats for whatever platform the college runs: QTI Results Reporting and
xAPI statements, two files a learner.

Written from memory of both standards: results reporting of QTI 3.0 (1EdTech) and xAPI 1.0.3 with
the verbs of ADL. Learners appear by their codes. File names are numbers in the order of the class:
nothing written in a code or an answer leads to a path. Nothing is sent: these are files to take
elsewhere. Addresses in statements end in `.invalid`, a name that never leads anywhere (RFC 6761).
Same marks, same bytes: ids are made from what a statement says (UUID version 5, RFC 9562).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any
from uuid import NAMESPACE_URL, uuid5
from xml.etree import ElementTree as XML

from firstway.desk.marking.marking_class import ClassMarks, Marked, MarkedAnswer
from firstway.desk.papers.key import Asked, PaperKey, Version
from firstway.problems import visible
from firstway.quiz.forms.qti_terms import Response
from firstway.quiz.forms.registry import form_of
from firstway.rendering.figures import json_text

NAMESPACE = "http://www.imsglobal.org/xsd/imsqti_result_v3p0"
HOME = "https://firstway.invalid"
VERBS = {
    name: f"http://adlnet.gov/expapi/verbs/{name}" for name in ("answered", "completed", "scored")
}
ACTIVITIES = {
    name: f"http://adlnet.gov/expapi/activities/{name}"
    for name in ("assessment", "cmi.interaction")
}
NO_TIME = "1970-01-01T00:00:00Z"
"""Results reporting asks for a time; where the answers hold none (typed from paper) it is this one.
"""
_LARGEST = 1000
_ZONE = re.compile(r"(?:Z|[+-][0-9]{2}:[0-9]{2})\Z")


def results_files(marks: ClassMarks) -> Iterator[tuple[str, str]]:
    """(file name, text) of every results file, one learner after the other."""
    # The newest class first; learners of an earlier edition alone come after it.
    codes = dict.fromkeys([*marks.key.sheets, *(own.code for own in marks.marked)])
    numbers = {code: number for number, code in enumerate(codes, 1)}
    wide = max(4, len(str(len(numbers))))
    for own in marks.marked:
        name = f"{numbers[own.code]:0{wide}}"
        key = own.key or marks.key
        yield f"qti-results-{name}.xml", qti_results(key, own)
        said = ",\n".join(json_text(each, ensure_ascii=False) for each in statements(key, own))
        yield f"xapi-statements-{name}.json", f"[\n{said}\n]\n"


# ---- QTI Results Reporting ----


def qti_results(key: PaperKey, own: Marked) -> str:
    """One `assessmentResult`: the test, then each question in the order of the sheet with its
    response, SCORE and MAXSCORE.
    """
    time = own.saved if _ZONE.search(own.saved) else f"{own.saved}Z" if own.saved else NO_TIME
    root = XML.Element("assessmentResult", {"xmlns": NAMESPACE})
    context = XML.SubElement(root, "context", {"sourcedId": own.code})
    XML.SubElement(
        context,
        "sessionIdentifier",
        {"sourceID": f"{HOME}/paper", "identifier": f"{key.paper}-{key.version}"},
    )
    test = XML.SubElement(
        root, "testResult", {"identifier": f"test-{key.paper}", "datestamp": time}
    )
    _outcomes(test, own.points, own.out_of)
    for place, answer in enumerate(own.answers, 1):
        if answer.left_out:
            continue
        asked = key.by_id[answer.question]
        version = asked.versions[answer.version]
        item = XML.SubElement(
            root,
            "itemResult",
            {
                "identifier": item_name(asked, version),
                "sequenceIndex": str(place),
                "datestamp": time,
                "sessionStatus": "final",
            },
        )
        for response in responses_of(version, answer.given):
            variable = XML.SubElement(
                item,
                "responseVariable",
                {
                    "identifier": response.identifier,
                    "cardinality": response.cardinality,
                    "baseType": response.base,
                },
            )
            given = XML.SubElement(variable, "candidateResponse")
            for value in response.values:
                XML.SubElement(given, "value").text = visible(value)[:_LARGEST]
        _outcomes(item, answer.mark.points, answer.mark.out_of)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n' + XML.tostring(root, encoding="unicode") + "\n"
    )


def _outcomes(parent: XML.Element, points: float, out_of: float) -> None:
    for name, value in (("SCORE", points), ("MAXSCORE", out_of)):
        variable = XML.SubElement(
            parent,
            "outcomeVariable",
            {"identifier": name, "cardinality": "single", "baseType": "float"},
        )
        XML.SubElement(variable, "value").text = f"{value:g}"


def item_name(asked: Asked, version: Version) -> str:
    """The name the item has in the packages of the same bank."""
    return "q-" + asked.id.replace(".", "-") + (f"-v{version.variant}" if version.variant else "")


def responses_of(version: Version, given: str) -> list[Response]:
    """What was answered. Options bear their place in the bank, the same for all learners."""
    names = {letter: f"choice-{place + 1}" for letter, place in version.places.items()}
    return form_of(version.key).responses(version.key, given, names)


# ---- xAPI ----


def statements(key: PaperKey, own: Marked) -> list[dict[str, Any]]:
    """What one learner did: each question answered, the paper completed and scored."""
    found = [_answered(key, own, answer) for answer in own.answers if not answer.left_out]
    paper = {
        "objectType": "Activity",
        "id": _paper(key),
        "definition": {"type": ACTIVITIES["assessment"], "name": {"en": key.title}},
    }
    found.append(_statement(key, own, "completed", paper, {"completion": True}))
    found.append(_statement(key, own, "scored", paper, {"score": _score(own.points, own.out_of)}))
    return found


def _answered(key: PaperKey, own: Marked, answer: MarkedAnswer) -> dict[str, Any]:
    asked = key.by_id[answer.question]
    version = asked.versions[answer.version]
    definition = {
        "type": ACTIVITIES["cmi.interaction"],
        "name": {"en": asked.id},
        "description": {"en": version.stem},
        "interactionType": form_of(version.key).interaction,
    }
    target = {
        "objectType": "Activity",
        "id": f"{_paper(key)}/{item_name(asked, version)}",
        "definition": definition,
    }
    result = {
        "score": _score(answer.mark.points, answer.mark.out_of),
        "success": answer.mark.state == "right",
        "response": _response(version, answer.given),
    }
    return _statement(key, own, "answered", target, result, parent=True)


def _statement(
    key: PaperKey,
    own: Marked,
    verb: str,
    target: dict[str, Any],
    result: dict[str, Any],
    parent: bool = False,
) -> dict[str, Any]:
    context: dict[str, Any] = {
        "registration": str(uuid5(NAMESPACE_URL, f"{_paper(key)}|{own.code}")),
        "language": "en",
    }
    if parent:
        context["contextActivities"] = {"parent": [{"objectType": "Activity", "id": _paper(key)}]}
    said: dict[str, Any] = {
        "actor": {
            "objectType": "Agent",
            "account": {"homePage": f"{HOME}/class", "name": own.code},
        },
        "verb": {"id": VERBS[verb], "display": {"en": verb}},
        "object": target,
        "result": result,
        "context": context,
    }
    if own.saved and _ZONE.search(own.saved):
        said["timestamp"] = own.saved
    return {"id": str(uuid5(NAMESPACE_URL, json_text(said, sort_keys=True))), **said}


def _paper(key: PaperKey) -> str:
    return f"{HOME}/paper/{key.paper}/{key.version}"


def _score(points: float, out_of: float) -> dict[str, float]:
    return {
        "scaled": round(points / out_of, 4) if out_of else 0.0,
        "raw": points,
        "min": 0,
        "max": out_of,
    }


def _response(version: Version, given: str) -> str:
    """What was answered in the writing xAPI gives each kind of interaction: parts joined by `[,]`,
    pairs by `[.]`.
    """
    parts = [
        value.replace(" ", "[.]", 1) if response.base == "directedPair" else value
        for response in responses_of(version, given)
        for value in response.values
    ]
    return visible("[,]".join(parts))[:_LARGEST]
