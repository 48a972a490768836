"""Pages: small pieces of HTML, and what of text and HTML may stand in Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TypeVar

from firstway.rendering.html import Markup, escape, tag

_SIGNS = re.compile(r"[^\w\s,;'\"]")


def inert(text: str) -> str:
    """Text that Markdown prints exactly as it is: one line, no mark-up of any kind.

    Every sign is written as a character reference, which no extension of Markdown reads.

    >>> inert("Quay <b>, 2 #a")
    'Quay &#60;b&#62;, 2 &#35;a'
    """
    return _SIGNS.sub(lambda sign: f"&#{ord(sign[0])};", " ".join(text.split())).replace(
        "_", "&#95;"
    )


_PIECE = re.compile(r"(<[^<>]*>)")
_VALUE = re.compile(r'="([^"]*)"')
_PLAIN_VALUE = re.compile(r"[\w.,:/#{}-]*\Z")
# What Markdown would read in a sentence, and what it would read at the head of a line; references
# stay.
_ACTIVE = re.compile(r"(&(?:#\d+|#x[0-9A-Fa-f]+|[A-Za-z]\w*);)|[\\`*_{}\[\]|~^&<>]")
_AT_THE_HEAD = re.compile(r"\A(\s*\d*)([^\w\s&])")


def inert_markup(html: Markup) -> str:
    """HTML that stands in a line of Markdown: its texts and attributes are printed as they are,
    none is read as Markdown.

    >>> inert_markup(Markup('<a href="{root}a.html" title="*b*">[c](d)</a>'))
    '<a href="{root}a.html" title="&#42;b&#42;">&#91;c&#93;(d)</a>'
    """

    def value(found: re.Match[str]) -> str:
        return found[0] if _PLAIN_VALUE.match(found[1]) else f'="{_referred(found[1])}"'

    pieces = _PIECE.split(str(html))
    pieces[0] = _AT_THE_HEAD.sub(lambda found: f"{found[1]}&#{ord(found[2])};", pieces[0])
    return "".join(
        _VALUE.sub(value, piece) if place % 2 else _referred(piece)
        for place, piece in enumerate(pieces)
    )


def _referred(text: str) -> str:
    return _ACTIVE.sub(lambda sign: sign[1] or f"&#{ord(sign[0])};", text)


def html_identity(*words: str) -> str:
    """An id for a page: letters, digits and hyphens.

    >>> html_identity("step", "voltage-drop", "post.1")
    'step-voltage-drop-post-1'
    """
    return "-".join(
        filter(None, (re.sub(r"[^A-Za-z0-9]+", "-", word).strip("-") for word in words))
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


def counted(number: int, one: str, many: str = "") -> str:
    """`1 check`, `3 checks`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


Words = TypeVar("Words", str, Markup)


def sentence(words: Words) -> Words:
    """A capital at the front, unless a name stands there, and a full stop at the end.

    >>> sentence("the cable carries it"), sentence("F1 opens both"), sentence("post-1 is near")
    ('The cable carries it.', 'F1 opens both.', 'post-1 is near.')
    """
    first = words.split(" ", 1)[0]
    front = words[:1].upper() + words[1:] if first.isalpha() else words
    return front if front.endswith((".", "?", "!")) else front + "."
