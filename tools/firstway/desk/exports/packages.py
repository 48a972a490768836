"""Desk: a recipe or a file of the bank to one package of an open standard, checked before it is
written.

    qti-3.0, qti-2.1    items, drawings, a test where the source is a recipe, a manifest
    scorm-1.2           one page that marks itself and reports its score through the run-time
                        interface, and a manifest (element names from memory of the standard)

The same source gives the same bytes.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from firstway.desk.exports.package_checks import faults_of_package
from firstway.desk.exports.qti import (
    Item,
    item_xml,
    items_of,
    manifest_xml,
    node,
    plain_xml,
    test_xml,
)
from firstway.desk.papers.making import desk_sources, page_style
from firstway.desk.shared.sheets import page_html
from firstway.drawing.question_spots import Spot
from firstway.drawing.svg import Drawn, standalone
from firstway.files.disk import put_bytes, text_of_file, zipped
from firstway.problems import Problem
from firstway.quiz.bank.question import Question, outcome_texts
from firstway.quiz.forms.lint import flaws_of
from firstway.quiz.forms.registry import FORMS
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import variants, worked
from firstway.quiz.paper.page import quiz_html
from firstway.quiz.paper.recipe import Recipe, questions_of, recipe_from_yaml
from firstway.quiz.paper.scripts import practice_script, script_part
from firstway.quiz.questions import questions_from_yaml
from firstway.quiz.shelf import Shelf, shelf_from
from firstway.rendering.figures import json_text
from firstway.rendering.html import Markup, tag

_NAMESPACES = {
    "xmlns": "http://www.imsproject.org/xsd/imscp_rootv1p1p2",
    "xmlns:adlcp": "http://www.adlnet.org/xsd/adlcp_rootv1p2",
}


def scorm_files(
    recipe: Recipe,
    questions: Sequence[Question],
    sources: Sources,
    shelf: Shelf,
    style: str,
) -> dict[str, str]:
    """The files of the package by path.

    The page holds the key, as every page that marks itself does.
    """
    sets = [variants(question, sources, recipe.variants, recipe.seed) for question in questions]
    body = quiz_html(
        recipe.title,
        [made[0] for made in sets],
        recipe.seed,
        quiz_id=recipe.id,
        outcomes=outcome_texts(list(shelf.chapters)),
        introduction=recipe.introduction,
        marking=recipe.marked,
        others={made[0].id: made[1:] for made in sets},
    )
    if recipe.pass_percent:
        section = Markup('<section class="quiz"')
        body = body.replace(
            section, section + Markup(' data-pass="{:g}"').format(recipe.pass_percent), 1
        )
    head = tag("h1", recipe.title) + "\n" + tag("p", class_="scorm-said soft", role="status")
    kinds = json_text({name: form.interaction for name, form in FORMS.items()})
    interactions = f"var firstwayInteractions = {kinds};"
    script = "\n".join((practice_script(), interactions, script_part("scorm.js")))
    return {
        "index.html": page_html(recipe.title, head + "\n" + body, style, script=script),
        "imsmanifest.xml": manifest(recipe),
    }


def manifest(recipe: Recipe) -> str:
    """The manifest of a package with one page."""
    item = node(
        "item",
        {"identifier": "item-1", "identifierref": "resource-1", "isvisible": "true"},
        node("title", {}, recipe.title),
    )
    if recipe.pass_percent:
        item.append(node("adlcp:masteryscore", {}, f"{recipe.pass_percent:g}"))
    root = node(
        "manifest",
        {"identifier": f"package-{recipe.id}", "version": "1.0", **_NAMESPACES},
        node("metadata", {}, node("schema", {}, "ADL SCORM"), node("schemaversion", {}, "1.2")),
        node(
            "organizations",
            {"default": "organization-1"},
            node(
                "organization",
                {"identifier": "organization-1"},
                node("title", {}, recipe.title),
                item,
            ),
        ),
        node(
            "resources",
            {},
            node(
                "resource",
                {
                    "identifier": "resource-1",
                    "type": "webcontent",
                    "adlcp:scormtype": "sco",
                    "href": "index.html",
                },
                node("file", {"href": "index.html"}),
            ),
        ),
    )
    return plain_xml(root)


_SPOT = re.compile(
    r'<g class="spot" data-spot="([^"]+)".*?<rect class="spot-reach" x="([^"]+)" y="([^"]+)"'
    r' width="([^"]+)" height="([^"]+)"',
    re.DOTALL,
)


def make_package(root: Path, source: Path, form: str, out: Path) -> tuple[int, list[Problem]]:
    """Write the package of a recipe or a bank file.

    Gives how many questions it holds, or every problem; then nothing was written.
    """
    shelf, problems = shelf_from(root)
    recipe, questions, found = _questions(source, shelf)
    problems = [
        *(
            each
            for each in problems
            if each.file != source.as_posix() and not each.file.startswith("quiz/papers/")
        ),
        *found,
    ]
    sources = desk_sources(root)
    for question in questions if not problems else ():
        made, found = worked(question, sources)
        problems += found + (flaws_of(made) if made else [])
    if form == "scorm-1.2" and recipe is None:
        problems.append(
            Problem(
                source.as_posix(),
                1,
                "a page for a run-time needs a recipe",
                "name a file of quiz/papers",
            )
        )
    if problems:
        return 0, sorted(set(problems))
    name = recipe.id if recipe else source.stem
    title = recipe.title if recipe else f"Questions on {source.stem.replace('-', ' ')}"
    if form == "scorm-1.2" and recipe is not None:
        files = scorm_files(recipe, questions, sources, shelf, page_style(root))
    else:
        files = qti_files(
            name,
            title,
            items_of(questions, sources, recipe.seed if recipe else name),
            form.removeprefix("qti-"),
            recipe is not None,
        )
    content = package_of(files)
    faults = faults_of_package(content)
    if faults:
        return 0, [
            Problem(out.as_posix(), 0, f"the package would be faulty: {fault}", "report this")
            for fault in faults
        ]
    return len(questions), put_bytes(out, content)


def _questions(source: Path, shelf: Shelf) -> tuple[Recipe | None, list[Question], list[Problem]]:
    text, problems = text_of_file(source)
    if problems:
        return None, [], problems
    if re.search(r"^topic:", text, re.MULTILINE):
        questions, problems = questions_from_yaml(text, source.as_posix())
        return None, questions, problems
    recipe, problems = recipe_from_yaml(text, source.as_posix())
    if recipe is None:
        return None, [], problems
    questions, problems = questions_of(shelf.bank, recipe, shelf.chapters)
    return recipe, questions, problems


def qti_files(
    name: str, title: str, groups: Sequence[Sequence[Item]], version: str, with_test: bool
) -> dict[str, str]:
    """Every file of a QTI package by its path."""
    files: dict[str, str] = {}
    listed: list[tuple[str, tuple[str, ...]]] = []
    for item in (item for group in groups for item in group):
        pictures: tuple[str, ...] = ()
        if isinstance(item.made.drawing, Drawn):
            path = f"items/{item.name}.svg"
            files[path] = standalone(item.made.drawing)
            pictures = (path,)
        drawing = f"{item.name}.svg" if pictures else ""
        files[f"items/{item.name}.xml"] = item_xml(
            item, version, spots_of(item), drawing, item.made.question.use == "practice"
        )
        listed.append((item.name, pictures))
    if with_test:
        files["test.xml"] = test_xml(title, name, groups, version)
    files["imsmanifest.xml"] = manifest_xml(name, version, listed, with_test)
    return files


def spots_of(item: Item) -> tuple[Spot, ...]:
    """The lettered spots of an item's drawing, read from the drawing itself."""
    if not item.face.points_at_drawing or item.made.drawing is None:
        return ()
    words = dict(item.face.choices)
    places = {option.id: option.spot for option in item.made.options}
    return tuple(
        Spot(
            letter,
            places.get(letter, ""),
            float(x),
            float(y),
            float(width),
            float(height),
            words.get(letter, letter),
        )
        for letter, x, y, width, height in _SPOT.findall(item.made.drawing.svg)
    )


def package_of(files: dict[str, str]) -> bytes:
    """The files as a zip; the manifest comes first."""
    order = sorted(files, key=lambda each: (each != "imsmanifest.xml", each))
    return zipped((path, files[path].encode()) for path in order)
