"""Pages: small pieces of HTML, and what of text and HTML may stand in Markdown."""

from __future__ import annotations

import re

from firstway.rendering.html import Markup

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


def heading_id(heading: str) -> str:
    """The id that Markdown gives a heading.

    >>> heading_id("How are the tails split, and by whom?")
    'how-are-the-tails-split-and-by-whom'
    """
    return re.sub(r"[\s-]+", "-", re.sub(r"[^\w\s-]", "", heading).strip().lower())


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
