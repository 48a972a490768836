"""Rendering: HTML as values. Whatever is no `Markup` is text, and is escaped where it is put in."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence

from markupsafe import Markup, escape

_VOID = frozenset("br hr img input link meta wbr".split())
_CLOSES_ITSELF = frozenset("circle line mspace path rect use".split())  # of SVG and MathML

Attribute = str | float | None


def tag(name: str, /, *inside: str | float, **attributes: Attribute) -> Markup:
    """An element. `class_` and `for_` lose their hyphen, `data_of` has one for it; `True` gives the
    bare name, `None` and `False` nothing.

    >>> tag("p", "a < b", tag("br"), class_="soft", data_of="F1", hidden=True, id=None)
    Markup('<p class="soft" data-of="F1" hidden>a &lt; b<br></p>')
    >>> tag("use", href="#a")
    Markup('<use href="#a"/>')
    """
    head = name + "".join(
        f" {_hyphened(key)}" + ("" if value is True else f'="{escape(value)}"')
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in _VOID or (name in _CLOSES_ITSELF and not inside):
        return Markup(f"<{head}>" if name in _VOID else f"<{head}/>")
    return Markup(f"<{head}>{joined(map(escape, inside))}</{name}>")


def _hyphened(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def joined(parts: Iterable[str], between: str = "") -> Markup:
    """Parts after one another; text among them, and between them, is escaped.

    >>> joined((tag("b", "a"), "<"), " & ")
    Markup('<b>a</b> &amp; &lt;')
    """
    return escape(between).join(parts)


def table_html(
    head: Sequence[str],
    rows: Iterable[Sequence[str]],
    caption: str,
    kind: str | None = "plain",
    *,
    numbers: Collection[int] = (),
    named_by: int | None = 0,
) -> Markup:
    """A table that scrolls sideways inside its own frame.

    `kind` are its classes, `numbers` the columns that hold figures, `named_by` the one that heads
    its rows.
    """
    marks = ["n" if place in numbers else None for place in range(len(head))]
    top = (tag("th", cell, scope="col", class_=mark) for cell, mark in zip(head, marks))
    body = (
        tag(
            "tr",
            *(
                tag("th", cell, scope="row", class_=mark)
                if place == named_by
                else tag("td", cell, class_=mark)
                for place, (cell, mark) in enumerate(zip(row, marks))
            ),
        )
        for row in rows
    )
    return tag(
        "div",
        tag(
            "table",
            tag("caption", caption),
            tag("thead", tag("tr", *top)),
            tag("tbody", *body),
            class_=kind,
        ),
        class_="wide",
        tabindex=0,
        role="group",
        aria_label=caption,
    )


def list_html(items: Iterable[str], kind: str = "") -> Markup:
    """A list."""
    return tag("ul", *(tag("li", item) for item in items), class_=kind or None)


def details_html(summary: str, body: str, kind: str = "") -> Markup:
    """A part the reader opens; closed at first."""
    return tag("details", tag("summary", summary), body, class_=f"more {kind}")


def path_words(path: str) -> Markup:
    """A path inside an installation file, as code that may break after a dot."""
    return tag("code", escape(path).replace(".", "." + tag("wbr")))


def html_identity(*words: str) -> str:
    """An id for a page: letters, digits and hyphens.

    >>> html_identity("step", "voltage-drop", "post.1")
    'step-voltage-drop-post-1'
    """
    return "-".join(
        filter(None, (re.sub(r"[^A-Za-z0-9]+", "-", word).strip("-") for word in words))
    )
