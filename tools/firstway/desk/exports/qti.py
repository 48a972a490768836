"""Desk: questions as QTI items, a test and a package, in version 3.0 and 2.1. A pair of bounds
marks a number in every player.

Element names are those of QTI 3.0 (1EdTech, 2022; from memory) and are turned into those of 2.1 by
rule. Feedback by option is written for practice only; an assigned paper's package holds its key, as
every QTI package does.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from textwrap import shorten
from xml.etree import ElementTree as XML

from firstway.desk.exports.exported import Item, bounds_of
from firstway.drawing.question_spots import Spot
from firstway.quiz.forms.words import text_of
from firstway.quiz.marking.marking import (
    MatchKey,
    NumberKey,
    OneAnswerKey,
    OrderKey,
    SeveralAnswersKey,
    WorkingKey,
    most_points,
)
from firstway.rendering.leaving import digits

VERSIONS = ("3.0", "2.1")
NAMESPACES = {
    "3.0": "http://www.imsglobal.org/xsd/imsqtiasi_v3p0",
    "2.1": "http://www.imsglobal.org/xsd/imsqti_v2p1",
}
PACKAGE_NAMESPACES = {
    "3.0": "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1",
    "2.1": "http://www.imsglobal.org/xsd/imscp_v1p1",
}
SCHEMAS = {"3.0": ("QTI Package", "3.0.0"), "2.1": ("QTIv2.1 Package", "1.0.0")}
ITEM_TYPES = {"3.0": "imsqti_item_xmlv3p0", "2.1": "imsqti_item_xmlv2p1"}
TEST_TYPES = {"3.0": "imsqti_test_xmlv3p0", "2.1": "imsqti_test_xmlv2p1"}
FOLLOW_THROUGH = (
    "Each figure is marked by itself here: marks for a later figure that follows from an earlier"
    " slip are given in our own pages only."
)
POINT_HINT = "Choose the letter in the drawing. What each letter stands for:"

Element = XML.Element


def node(
    tag: str, attributes: Mapping[str, object] | None = None, *inside: Element | str
) -> Element:
    """An element with attributes and children; text is escaped by the writer."""
    made = XML.Element(tag, {name: str(value) for name, value in (attributes or {}).items()})
    last: Element | None = None
    for each in inside:
        if isinstance(each, str):
            if last is None:
                made.text = (made.text or "") + each
            else:
                last.tail = (last.tail or "") + each
        else:
            made.append(each)
            last = each
    return made


LONGEST_TITLE = 80


def item_title(item: Item) -> str:
    """What lists of questions show: the beginning of the question, in words."""
    return shorten(item.face.stem, LONGEST_TITLE, placeholder=" ...")


def item_xml(
    item: Item, version: str, spots: Sequence[Spot] = (), drawing: str = "", practice: bool = True
) -> str:
    """One assessment item.

    `drawing` is the path of its picture in the package; `spots` are the places pointed at.
    """
    feedback = practice and isinstance(item.key, OneAnswerKey)
    root = node(
        "qti-assessment-item",
        {
            "xmlns": NAMESPACES[version],
            "identifier": item.name,
            "title": item_title(item),
            "adaptive": "false",
            "time-dependent": "false",
        },
    )
    if version == "3.0":
        root.set("xml:lang", "en")
    root.extend(_declarations(item, feedback))
    root.append(node("qti-item-body", {}, node("div", {}, *_body(item, version, spots, drawing))))
    root.append(_processing(item, feedback))
    root.extend(_feedback(item, version) if feedback else ())
    return written(root, version)


# what is declared


def _declarations(item: Item, feedback: bool) -> Iterator[Element]:
    key = item.key
    if isinstance(key, OneAnswerKey):
        yield _declared(
            "RESPONSE",
            "single",
            "identifier",
            [_option_name(option.id) for option in key.options if option.right],
        )
    elif isinstance(key, SeveralAnswersKey):
        declared = _declared(
            "RESPONSE",
            "multiple",
            "identifier",
            [_option_name(option.id) for option in key.options if option.right],
        )
        declared.append(
            _mapping(
                [(_option_name(option.id), 1 if option.right else -1) for option in key.options],
                most_points(key),
            )
        )
        yield declared
    elif isinstance(key, NumberKey):
        yield _declared("RESPONSE", "single", "float", [_middle(key.low, key.high)])
        if item.units:
            yield _declared("UNIT", "single", "identifier", [_unit_name(item, item.face.unit)])
    elif isinstance(key, OrderKey):
        yield _declared(
            "RESPONSE", "ordered", "identifier", [_option_name(step.id) for step in key.steps]
        )
    elif isinstance(key, MatchKey):
        pairs = [f"{_row_name(row.id)} {_option_name(row.item)}" for row in key.rows]
        declared = _declared("RESPONSE", "multiple", "directedPair", pairs)
        declared.append(_mapping([(pair, 1) for pair in pairs], most_points(key)))
        yield declared
    else:
        assert isinstance(key, WorkingKey)
        for place, part in enumerate(key.parts, 1):
            yield _declared(f"FIGURE{place}", "single", "float", [_middle(part.low, part.high)])
    yield node(
        "qti-outcome-declaration",
        {"identifier": "SCORE", "cardinality": "single", "base-type": "float"},
        node("qti-default-value", {}, node("qti-value", {}, "0")),
    )
    yield node(
        "qti-outcome-declaration",
        {"identifier": "MAXSCORE", "cardinality": "single", "base-type": "float"},
        node("qti-default-value", {}, node("qti-value", {}, str(most_points(key)))),
    )
    if feedback:
        yield node(
            "qti-outcome-declaration",
            {"identifier": "FEEDBACK", "cardinality": "single", "base-type": "identifier"},
        )


def _declared(name: str, cardinality: str, base: str, values: Iterable[str]) -> Element:
    return node(
        "qti-response-declaration",
        {"identifier": name, "cardinality": cardinality, "base-type": base},
        node("qti-correct-response", {}, *(node("qti-value", {}, value) for value in values)),
    )


def _mapping(entries: Sequence[tuple[str, int]], most: int) -> Element:
    return node(
        "qti-mapping",
        {"lower-bound": 0, "upper-bound": most, "default-value": 0},
        *(node("qti-map-entry", {"map-key": key, "mapped-value": value}) for key, value in entries),
    )


def _middle(low: float, high: float) -> str:
    return f"{(low + high) / 2:.9g}"


def _option_name(letter: str) -> str:
    return f"choice-{letter}"


def _row_name(number: str) -> str:
    return f"row-{number}"


def _unit_name(item: Item, unit: str) -> str:
    return f"unit-{item.units.index(unit) + 1}"


# what is shown


def _body(item: Item, version: str, spots: Sequence[Spot], drawing: str) -> Iterator[Element]:
    face, key = item.face, item.key
    pointing = bool(spots) and bool(drawing) and isinstance(key, OneAnswerKey)
    if not isinstance(key, (OneAnswerKey, SeveralAnswersKey, OrderKey, MatchKey)):
        yield node("p", {}, face.stem)
    if drawing and not pointing:
        yield _picture(item, version, drawing)
    if pointing:
        yield node("p", {}, POINT_HINT)
        yield node(
            "ul",
            {},
            *(
                node("li", {}, node("strong", {}, letter), f" {words}")
                for letter, words in face.choices
            ),
        )
        yield node(
            "qti-hotspot-interaction",
            {"response-identifier": "RESPONSE", "max-choices": 1},
            node("qti-prompt", {}, face.stem),
            _picture(item, version, drawing),
            *(
                node(
                    "qti-hotspot-choice",
                    {
                        "identifier": _option_name(spot.letter),
                        "shape": "rect",
                        "hotspot-label": f"{spot.letter}: {spot.words}",
                        "coords": ",".join(
                            f"{value:.0f}"
                            for value in (spot.x, spot.y, spot.x + spot.width, spot.y + spot.height)
                        ),
                    },
                )
                for spot in spots
            ),
        )
    elif isinstance(key, (OneAnswerKey, SeveralAnswersKey)):
        yield node(
            "qti-choice-interaction",
            {
                "response-identifier": "RESPONSE",
                "shuffle": "false",
                "max-choices": 1 if isinstance(key, OneAnswerKey) else 0,
            },
            node("qti-prompt", {}, face.stem),
            *(
                node("qti-simple-choice", {"identifier": _option_name(letter)}, words)
                for letter, words in face.choices
            ),
        )
    elif isinstance(key, OrderKey):
        yield node(
            "qti-order-interaction",
            {"response-identifier": "RESPONSE", "shuffle": "false"},
            node("qti-prompt", {}, face.stem),
            *(
                node("qti-simple-choice", {"identifier": _option_name(letter)}, words)
                for letter, words in face.choices
            ),
        )
    elif isinstance(key, MatchKey):
        rows = [
            node(
                "qti-simple-associable-choice",
                {"identifier": _row_name(number), "match-max": 1},
                words,
            )
            for number, words in face.rows
        ]
        items = [
            node(
                "qti-simple-associable-choice",
                {"identifier": _option_name(letter), "match-max": len(rows)},
                words,
            )
            for letter, words in face.items
        ]
        yield node(
            "qti-match-interaction",
            {"response-identifier": "RESPONSE", "shuffle": "false", "max-associations": len(rows)},
            node("qti-prompt", {}, face.stem),
            node("qti-simple-match-set", {}, *rows),
            node("qti-simple-match-set", {}, *items),
        )
    elif isinstance(key, NumberKey):
        unit: list[Element | str] = [f" {face.unit}"] if face.unit and not item.units else []
        if item.units:
            unit = [
                " ",
                node(
                    "qti-inline-choice-interaction",
                    {"response-identifier": "UNIT", "shuffle": "false"},
                    *(
                        node("qti-inline-choice", {"identifier": _unit_name(item, each)}, each)
                        for each in item.units
                    ),
                ),
            ]
        yield node(
            "p",
            {},
            node(
                "qti-text-entry-interaction",
                {"response-identifier": "RESPONSE", "expected-length": 10},
            ),
            *unit,
        )
    else:
        yield node("p", {}, FOLLOW_THROUGH)
        for place, (ask, each) in enumerate(face.parts, 1):
            yield node(
                "p",
                {},
                f"{ask}: ",
                node(
                    "qti-text-entry-interaction",
                    {"response-identifier": f"FIGURE{place}", "expected-length": 10},
                ),
                f" {each}",
            )


def _picture(item: Item, version: str, drawing: str) -> Element:
    picture = item.made.drawing
    alt = picture.alt if picture is not None else ""
    width, height = (f"{getattr(picture, name, 0):.0f}" for name in ("width", "height"))
    if version == "3.0":
        return node("img", {"src": drawing, "alt": alt, "width": width, "height": height})
    return node(
        "object", {"data": drawing, "type": "image/svg+xml", "width": width, "height": height}, alt
    )


# how it is marked


def _processing(item: Item, feedback: bool) -> Element:
    key = item.key
    steps: list[Element]
    if isinstance(key, (OneAnswerKey, OrderKey)):
        steps = [_if(_match("RESPONSE"), "1")]
    elif isinstance(key, (SeveralAnswersKey, MatchKey)):
        steps = [
            node(
                "qti-response-condition",
                {},
                node("qti-response-if", {}, _null("RESPONSE"), _score("0")),
                node(
                    "qti-response-else",
                    {},
                    node(
                        "qti-set-outcome-value",
                        {"identifier": "SCORE"},
                        node("qti-map-response", {"identifier": "RESPONSE"}),
                    ),
                ),
            )
        ]
    elif isinstance(key, NumberKey):
        inside = _between("RESPONSE", *bounds_of(key))
        if item.units:
            inside = node("qti-and", {}, inside, node("qti-or", {}, _null("UNIT"), _match("UNIT")))
        steps = [_if(inside, "1")]
    else:
        assert isinstance(key, WorkingKey)
        steps = [
            node(
                "qti-response-condition",
                {},
                node(
                    "qti-response-if",
                    {},
                    _between(f"FIGURE{place}", digits(part.low), digits(part.high)),
                    node(
                        "qti-set-outcome-value",
                        {"identifier": "SCORE"},
                        node(
                            "qti-sum",
                            {},
                            node("qti-variable", {"identifier": "SCORE"}),
                            _float("1"),
                        ),
                    ),
                ),
            )
            for place, part in enumerate(key.parts, 1)
        ]
    if feedback:
        steps.append(
            node(
                "qti-set-outcome-value",
                {"identifier": "FEEDBACK"},
                node("qti-variable", {"identifier": "RESPONSE"}),
            )
        )
    return node("qti-response-processing", {}, *steps)


def _if(condition: Element, points: str) -> Element:
    return node(
        "qti-response-condition",
        {},
        node("qti-response-if", {}, condition, _score(points)),
        node("qti-response-else", {}, _score("0")),
    )


def _score(points: str) -> Element:
    return node("qti-set-outcome-value", {"identifier": "SCORE"}, _float(points))


def _float(value: str) -> Element:
    return node("qti-base-value", {"base-type": "float"}, value)


def _match(name: str) -> Element:
    return node(
        "qti-match",
        {},
        node("qti-variable", {"identifier": name}),
        node("qti-correct", {"identifier": name}),
    )


def _null(name: str) -> Element:
    return node("qti-is-null", {}, node("qti-variable", {"identifier": name}))


def _between(name: str, low: str, high: str) -> Element:
    """A number in its window.

    Nothing typed is no number: some players take it for 0, which lies in a window round 0.
    """
    return node(
        "qti-and",
        {},
        node("qti-not", {}, _null(name)),
        node("qti-gte", {}, node("qti-variable", {"identifier": name}), _float(low)),
        node("qti-lte", {}, node("qti-variable", {"identifier": name}), _float(high)),
    )


def _feedback(item: Item, version: str) -> Iterator[Element]:
    for option in item.made.options:
        words = (
            text_of(item.made.why)
            if option.right
            else " ".join(part for part in (f"{option.mistake}.", text_of(option.feedback)) if part)
        )
        inside: list[Element | str] = [node("p", {}, words)]
        yield node(
            "qti-modal-feedback",
            {
                "outcome-identifier": "FEEDBACK",
                "identifier": _option_name(option.id),
                "show-hide": "show",
            },
            *([node("qti-content-body", {}, *inside)] if version == "3.0" else inside),
        )


# the test and the manifest


def test_xml(title: str, name: str, groups: Sequence[Sequence[Item]], version: str) -> str:
    """A test of one part: each question in its order; of several sets of figures one is drawn."""
    root = node(
        "qti-assessment-test",
        {"xmlns": NAMESPACES[version], "identifier": f"test-{name}", "title": title},
    )
    part = node(
        "qti-test-part",
        {"identifier": "part-1", "navigation-mode": "nonlinear", "submission-mode": "individual"},
    )
    whole = node(
        "qti-assessment-section", {"identifier": "section-1", "title": title, "visible": "true"}
    )
    for group in groups:
        refs = [
            node(
                "qti-assessment-item-ref",
                {"identifier": item.name, "href": f"items/{item.name}.xml"},
            )
            for item in group
        ]
        if len(refs) == 1:
            whole.append(refs[0])
        elif refs:
            whole.append(
                node(
                    "qti-assessment-section",
                    {
                        "identifier": f"one-of-{group[0].name}",
                        "title": item_title(group[0]),
                        "visible": "false",
                    },
                    node("qti-selection", {"select": 1}),
                    *refs,
                )
            )
    part.append(whole)
    root.append(part)
    return written(root, version)


def manifest_xml(
    name: str, version: str, items: Sequence[tuple[str, tuple[str, ...]]], has_test: bool
) -> str:
    """The manifest: every item with its files (item name, paths it needs), and the test that refers
    to them.
    """
    schema, schema_version = SCHEMAS[version]
    resources = XML.Element("resources")
    if has_test:
        resources.append(
            node(
                "resource",
                {"identifier": "resource-test", "type": TEST_TYPES[version], "href": "test.xml"},
                node("file", {"href": "test.xml"}),
                *(node("dependency", {"identifierref": f"resource-{item}"}) for item, _ in items),
            )
        )
    for item, files in items:
        path = f"items/{item}.xml"
        resources.append(
            node(
                "resource",
                {"identifier": f"resource-{item}", "type": ITEM_TYPES[version], "href": path},
                node("file", {"href": path}),
                *(node("file", {"href": each}) for each in files),
            )
        )
    root = node(
        "manifest",
        {"xmlns": PACKAGE_NAMESPACES[version], "identifier": f"package-{name}"},
        node("metadata", {}, node("schema", {}, schema), node("schemaversion", {}, schema_version)),
        node("organizations"),
        resources,
    )
    return plain_xml(root)


# writing


def written(root: Element, version: str) -> str:
    """The tree as text; for 2.1 with the names of that version."""
    if version == "2.1":
        for element in root.iter():
            element.tag = _old_name(element.tag)
            renamed = {_old_attribute(name): value for name, value in element.attrib.items()}
            element.attrib.clear()
            element.attrib.update(renamed)
    return plain_xml(root)


def _old_name(tag: str) -> str:
    return _camel(tag.removeprefix("qti-")) if tag.startswith("qti-") else tag


def _old_attribute(name: str) -> str:
    return name if name in ("xml:lang", "identifierref") else _camel(name)


def _camel(name: str) -> str:
    return re.sub(r"-([a-z])", lambda found: found[1].upper(), name)


def plain_xml(root: Element) -> str:
    """The tree as a file."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        + XML.tostring(root, encoding="unicode", short_empty_elements=True)
        + "\n"
    )
