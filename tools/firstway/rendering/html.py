"""Rendering: HTML as values, and the sentences that stand in every view.

Whatever is no `Markup` is text, and is escaped where it is put in.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from functools import lru_cache
from typing import TypeVar

from markupsafe import Markup, escape

_VOID = frozenset("br hr img input link meta wbr".split())
_CLOSES_ITSELF = frozenset("circle ellipse line mspace path rect use".split())  # of SVG and MathML

_TO_ESCAPE = re.compile("[&<>\"']")

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
        f" {_hyphened(key)}" + ("" if value is True else f'="{_safe(value)}"')
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in _VOID or (name in _CLOSES_ITSELF and not inside):
        return Markup(f"<{head}>" if name in _VOID else f"<{head}/>")
    # `escape` would copy what is Markup already: a tenth of the time of a page
    within = "".join([each if type(each) is Markup else escape(each) for each in inside])
    return Markup(f"<{head}>{within}</{name}>")


def _safe(value: str | float) -> str:
    """The value of an attribute; most hold nothing to escape, and to see that costs less."""
    if type(value) is str and not _TO_ESCAPE.search(value):
        return value
    return escape(value)


@lru_cache(maxsize=512)
def _hyphened(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def joined(parts: Iterable[str], between: str = "") -> Markup:
    """Parts after one another; text among them, and between them, is escaped.

    >>> joined((tag("b", "a"), "<"), " & ")
    Markup('<b>a</b> &amp; &lt;')
    """
    each = [part if type(part) is Markup else escape(part) for part in parts]
    return Markup(str(escape(between)).join(each))


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


_Words = TypeVar("_Words", str, Markup)


def counted(number: int, one: str, many: str = "") -> str:
    """`1 check`, `3 checks`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def sentence(words: _Words) -> _Words:
    """A capital at the front, unless a name stands there, and a full stop at the end.

    >>> sentence("the cable carries it"), sentence("F1 opens both"), sentence("post-1 is near")
    ('The cable carries it.', 'F1 opens both.', 'post-1 is near.')
    """
    first = words.split(" ", 1)[0]
    front = words[:1].upper() + words[1:] if first.isalpha() else words
    return front if front.endswith((".", "?", "!")) else front + "."


_SENTENCES = (
    "Electricity kills and starts fires.",
    (
        "This is teaching material: it does not replace the current standard, the local code, the"
        " maker's instructions or the judgement of a licensed person."
    ),
    (
        "Sizes are proposals for a responsible designer. Work only on what a qualified person has"
        " isolated and proved dead."
    ),
    (
        "The cut-out, the service equipment, the meter and live tails belong to authorised persons"
        " only."
    ),
)


def caution_text() -> str:
    """The whole caution as plain text."""
    return " ".join(_SENTENCES)


def caution_line(edition: str) -> str:
    """One line for a terminal or the foot of a drawing."""
    return (
        "Caution: a proposal for a responsible designer, not a design; local code and licensed"
        f" practice come first. Edition the file asks for: {edition}; each finding names the one it"
        " rests on."
    )


def edition_line(edition: str) -> str:
    """What stands beside the caution box on a paper and on what comes back: a learner has no file
    and no findings.
    """
    return f"Edition of the rules: {edition}."


def caution_html() -> Markup:
    """The caution box of a page."""
    return _caution(tag("p", tag("strong", "Caution."), f" {caution_text()}"), "caution")


def caution_opening_html() -> Markup:
    """Its first sentence, for the head of a page that holds the box below its first picture."""
    return tag("p", tag("strong", "Caution."), f" {_SENTENCES[0]}", class_="cautious")


def caution_fold_html() -> Markup:
    """One line that opens, for a page that describes no work; in print it stands open."""
    line = tag("summary", tag("strong", "Caution."), f" {_SENTENCES[0]}")
    return _caution(tag("details", line, tag("p", " ".join(_SENTENCES[1:]))), "caution folded")


def _caution(words: Markup, look: str) -> Markup:
    return tag("aside", words, class_=look, role="note", aria_label="Caution")
