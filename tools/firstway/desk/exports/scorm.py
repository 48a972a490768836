"""Desk: a recipe as a SCORM 1.2 package: one page that marks itself, and a manifest (element names
from memory of the standard).
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.desk.exports.qti import node, plain_xml
from firstway.desk.shared.sheets import page_html
from firstway.quiz.bank.outcomes import outcome_texts
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.registry import FORMS
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import variants
from firstway.quiz.paper.page import quiz_html
from firstway.quiz.paper.recipe import Recipe
from firstway.quiz.paper.scripts import practice_script, script_part
from firstway.quiz.shelf import Shelf
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
