"""Desk: questions as QTI items, a test and a package, in version 3.0 and 2.1. A pair of bounds
marks a number in every player.

There is one item for each set of figures. What a standard cannot mark alike is exported in a form
it can: a working loses its follow-through, a unit becomes a choice of its own. Element names are
those of QTI 3.0 (1EdTech, 2022; from memory) and are turned into those of 2.1 by rule. Feedback by
option is written for practice only; an assigned paper's package holds its key, as every QTI package
does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from textwrap import shorten
from xml.etree import ElementTree as XML

from firstway.drawing.question_spots import Spot
from firstway.frozen import dataclass
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.qti_terms import LetteredSpot, Term, qti_term, variable
from firstway.quiz.forms.registry import form_of, most_points
from firstway.quiz.forms.shown_question import Shown, shown_question
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import variants
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.paper.practice_sets import MOST_SETS


@dataclass(frozen=True)
class Item:
    """One exported item: the question, and what is shown of it. `name` is an XML name."""

    name: str
    face: Shown
    made: WorkedQuestion


def items_of(questions: Sequence[Question], sources: Sources, seed: str) -> list[list[Item]]:
    """For each question its items, one a set of figures."""
    return [
        [item_of(made) for made in variants(question, sources, MOST_SETS, seed)]
        for question in questions
    ]


def item_of(made: WorkedQuestion) -> Item:
    """One worked question as an item."""
    name = "q-" + made.question.id.replace(".", "-") + (f"-v{made.variant}" if made.variant else "")
    return Item(name, shown_question(made), made)


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
    picture = _picture(item, version, drawing) if drawing else None
    key, places = item.made.key, [_corners(spot) for spot in spots]
    terms = form_of(key).exported(key, item.face, picture, places)
    feedback = terms.feedback if practice else ()
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
    root.extend(map(element_of, terms.declared))
    root.append(_outcome("SCORE", "0"))
    root.append(_outcome("MAXSCORE", str(most_points(key))))
    if feedback:
        root.append(node("qti-outcome-declaration", _OUTCOME_OF_FEEDBACK))
    body = map(element_of, terms.body)
    root.append(node("qti-item-body", {}, node("div", {}, *body)))
    root.append(
        node(
            "qti-response-processing",
            {},
            *map(element_of, (*terms.processing, *((_SHOW_FEEDBACK,) if feedback else ()))),
        )
    )
    root.extend(_feedback(name, words, version) for name, words in feedback)
    return written(root, version)


_OUTCOME_OF_FEEDBACK = {
    "identifier": "FEEDBACK",
    "cardinality": "single",
    "base-type": "identifier",
}
_SHOW_FEEDBACK = qti_term("qti-set-outcome-value", {"identifier": "FEEDBACK"}, variable("RESPONSE"))


def element_of(each: Term) -> Element:
    """A term of an item as an element."""
    inside = (part if isinstance(part, str) else element_of(part) for part in each.inside)
    return node(each.name, each.attributes, *inside)


def _corners(spot: Spot) -> LetteredSpot:
    corners = (spot.x, spot.y, spot.x + spot.width, spot.y + spot.height)
    return spot.letter, spot.words, ",".join(f"{value:.0f}" for value in corners)


def _outcome(name: str, value: str) -> Element:
    return node(
        "qti-outcome-declaration",
        {"identifier": name, "cardinality": "single", "base-type": "float"},
        node("qti-default-value", {}, node("qti-value", {}, value)),
    )


def _picture(item: Item, version: str, drawing: str) -> Term:
    picture = item.made.drawing
    alt = picture.alt if picture is not None else ""
    width, height = (f"{getattr(picture, name, 0):.0f}" for name in ("width", "height"))
    if version == "3.0":
        return qti_term("img", {"src": drawing, "alt": alt, "width": width, "height": height})
    return qti_term(
        "object", {"data": drawing, "type": "image/svg+xml", "width": width, "height": height}, alt
    )


def _feedback(name: str, words: str, version: str) -> Element:
    inside = node("p", {}, words)
    return node(
        "qti-modal-feedback",
        {"outcome-identifier": "FEEDBACK", "identifier": name, "show-hide": "show"},
        node("qti-content-body", {}, inside) if version == "3.0" else inside,
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
