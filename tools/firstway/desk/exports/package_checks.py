"""Desk: what no schema sees in a package: names that lead nowhere, files that are not listed,
answers that are no choice.
"""

from __future__ import annotations

import io
import posixpath
import zipfile
from collections import Counter
from xml.etree import ElementTree as XML

_LARGEST_FILE = 5_000_000


def faults_of_package(content: bytes) -> list[str]:
    """Every fault of a package, a line each; none for a sound one."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            names = [entry.filename for entry in archive.infolist()]
            faults = [
                f"{name}: a path that leads out of the package"
                for name in names
                if name.startswith("/") or ".." in name.split("/") or "\\" in name or ":" in name
            ]
            faults += [
                f"{name}: a link"
                for entry in archive.infolist()
                if (name := entry.filename) and (entry.external_attr >> 16) & 0o170000 == 0o120000
            ]
            faults += [
                f"{name}: stands twice" for name, count in Counter(names).items() if count > 1
            ]
            faults += [
                f"{entry.filename}: too large"
                for entry in archive.infolist()
                if entry.file_size > _LARGEST_FILE
            ]
            if faults:
                return faults
            files = {name: archive.read(name) for name in names}
    except zipfile.BadZipFile:
        return ["this is no zip file"]
    if "imsmanifest.xml" not in files:
        return ["no imsmanifest.xml at the root"]
    trees: dict[str, XML.Element] = {}
    for name, text in files.items():
        if name.endswith(".xml"):
            try:
                trees[name] = XML.fromstring(text)
            except XML.ParseError as error:
                faults.append(f"{name}: no well-formed XML ({error})")
    if faults:
        return faults
    faults += _manifest_faults(trees["imsmanifest.xml"], files)
    for name, tree in trees.items():
        if _tag(tree) in ("qti-assessment-item", "assessmentItem"):
            faults += [f"{name}: {fault}" for fault in _item_faults(tree, name, files)]
        if _tag(tree) in ("qti-assessment-test", "assessmentTest"):
            faults += [f"{name}: {fault}" for fault in _test_faults(tree, name, files)]
    return faults


def _tag(element: XML.Element) -> str:
    return element.tag.rpartition("}")[2]


def _short(element: XML.Element) -> str:
    """The name of an element, alike in both versions."""
    return _tag(element).removeprefix("qti-").replace("-", "").casefold()


def _get(element: XML.Element, name: str) -> str:
    """An attribute by its 3.0 name, in either version."""
    camel = "".join(
        part if not place else part.capitalize() for place, part in enumerate(name.split("-"))
    )
    return element.get(name) or element.get(camel) or ""


def _manifest_faults(tree: XML.Element, files: dict[str, bytes]) -> list[str]:
    faults = []
    resources = [element for element in tree.iter() if _tag(element) == "resource"]
    ids = [element.get("identifier", "") for element in tree.iter() if element.get("identifier")]
    faults += [
        f"imsmanifest.xml: the identifier '{id_}' stands twice"
        for id_, count in Counter(ids).items()
        if count > 1
    ]
    known = {resource.get("identifier") for resource in resources}
    listed = {
        element.get("href", "")
        for resource in resources
        for element in resource.iter()
        if _tag(element) == "file"
    }
    faults += [
        f"imsmanifest.xml: '{href}' is listed and not there"
        for href in sorted(listed)
        if href not in files
    ]
    faults += [
        f"{name}: is there and not listed"
        for name in sorted(files)
        if name not in listed and name != "imsmanifest.xml"
    ]
    for resource in resources:
        href = resource.get("href", "")
        if href and href not in listed:
            faults.append(f"imsmanifest.xml: the resource '{href}' does not list its own file")
    for element in tree.iter():
        wanted = element.get("identifierref")
        if wanted and wanted not in known:
            faults.append(f"imsmanifest.xml: '{wanted}' is no resource")
        if (
            _tag(element) == "organizations"
            and element.get("default")
            and element.get("default") not in ids
        ):
            faults.append(
                f"imsmanifest.xml: the default '{element.get('default')}' is no organization"
            )
        if _tag(element) == "item" and not any(
            _tag(child) == "title" and (child.text or "").strip() for child in element
        ):
            faults.append("imsmanifest.xml: an item without a title")
    return faults


def _links(tree: XML.Element) -> list[str]:
    return [
        value
        for element in tree.iter()
        for name in ("src", "href", "data")
        if (value := element.get(name))
    ]


def _path_faults(tree: XML.Element, name: str, files: dict[str, bytes]) -> list[str]:
    faults = []
    for link in _links(tree):
        target = posixpath.normpath(posixpath.join(posixpath.dirname(name), link))
        if "://" in link or link.startswith(("/", "//")):
            faults.append(f"'{link}' leads out of the package")
        elif target not in files:
            faults.append(f"'{link}' is not in the package")
    return faults


def _test_faults(tree: XML.Element, name: str, files: dict[str, bytes]) -> list[str]:
    ids = Counter(element.get("identifier") for element in tree.iter() if element.get("identifier"))
    return [
        f"the identifier '{id_}' stands twice" for id_, count in ids.items() if count > 1
    ] + _path_faults(tree, name, files)


def _item_faults(tree: XML.Element, name: str, files: dict[str, bytes]) -> list[str]:
    """References inside one item: responses, choices, right values, maps, outcomes, feedback, and
    the most points.
    """
    faults = _path_faults(tree, name, files)
    declared = {
        element.get("identifier", ""): element
        for element in tree.iter()
        if _short(element) == "responsedeclaration"
    }
    outcomes = {
        element.get("identifier", "")
        for element in tree.iter()
        if _short(element) == "outcomedeclaration"
    }
    asked = [element for element in tree.iter() if _short(element).endswith("interaction")]
    faults += [
        f"outcome '{needed}' is not declared"
        for needed in ("SCORE", "MAXSCORE")
        if needed not in outcomes
    ]
    used = [_get(element, "response-identifier") for element in asked]
    faults += [f"the response '{each}' is not declared" for each in used if each not in declared]
    faults += [f"the response '{each}' is asked nowhere" for each in declared if each not in used]
    for element in asked:
        response = declared.get(_get(element, "response-identifier"))
        choices = [
            child.get("identifier", "")
            for child in element.iter()
            if child is not element and child.get("identifier")
        ]
        faults += [
            f"the choice '{each}' stands twice"
            for each, count in Counter(choices).items()
            if count > 1
        ]
        if response is not None and choices:
            faults += _choice_faults(response, set(choices))
    for element in tree.iter():
        short = _short(element)
        if short == "setoutcomevalue" and element.get("identifier") not in outcomes:
            faults.append(f"the outcome '{element.get('identifier')}' is set and not declared")
        if short in ("variable", "correct", "mapresponse") and element.get("identifier") not in {
            *declared,
            *outcomes,
        }:
            faults.append(f"'{element.get('identifier')}' is used and not declared")
        if short == "modalfeedback" and _get(element, "outcome-identifier") not in outcomes:
            faults.append("feedback on an outcome that is not declared")
        if short == "gte":
            faults += _bound_faults(tree)
            break
    return faults


def _choice_faults(response: XML.Element, choices: set[str]) -> list[str]:
    faults = []
    values = [
        (element.text or "").strip() for element in response.iter() if _short(element) == "value"
    ]
    entries = [
        _get(element, "map-key") for element in response.iter() if _short(element) == "mapentry"
    ]
    if not values:
        faults.append("no right answer is declared")
    for value in (*values, *entries):
        faults += [
            f"'{part}' is right or counted and no choice"
            for part in value.split(" ")
            if part not in choices
        ]
    return faults


def _bound_faults(tree: XML.Element) -> list[str]:
    """The right value of each number lies between its bounds."""
    faults = []
    rights = {
        element.get("identifier"): float(
            next(value.text or "nan" for value in element.iter() if _short(value) == "value")
        )
        for element in tree.iter()
        if _short(element) == "responsedeclaration" and _get(element, "base-type") == "float"
    }
    for element in tree.iter():
        if _short(element) in ("gte", "lte"):
            variable, bound = list(element)
            right, limit = (
                rights.get(variable.get("identifier"), float("nan")),
                float(bound.text or "nan"),
            )
            if not (right >= limit if _short(element) == "gte" else right <= limit):
                faults.append(
                    f"the right value of '{variable.get('identifier')}' lies outside its bounds"
                )
    return faults
