"""Pages: what an author's page may hold beside words: no tag, attribute or address that a browser
would run.

Looked at twice. In the author's own lines, so that each slip is told with its line; and in the HTML
that Markdown made of them, where nothing that runs may stand however it came there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

from firstway.pages.chapters.directives import without_code
from firstway.pages.shared.front_matter import parted
from firstway.problems import Problem

TAGS = (
    "a",
    "abbr",
    "br",
    "dd",
    "div",
    "dl",
    "dt",
    "em",
    "kbd",
    "li",
    "nav",
    "ol",
    "p",
    "section",
    "small",
    "span",
    "strong",
    "sub",
    "sup",
    "ul",
)
SCHEMES = ("http", "https", "mailto")
DEEPEST_LISTS = 12
"""Lists and quotes one inside the other: no reader follows more, and Markdown falls over some."""
LONGEST_LINE = 5000
"""Characters: what Markdown takes for a line grows with their square."""
_NESTING = re.compile(r"(?:[ \t]*(?:>|(?:[-*+]|\d+[.)])(?=[ \t])))*[ \t]*")
_LEVEL = re.compile(r">|[-*+.)](?=[ \t])|[ ]{4}|\t")
_TAG = re.compile(r"<(?=[A-Za-z/!?])([^>]*)(>?)")
_ALLOWED = re.compile(
    rf"/?(?:{'|'.join(TAGS)})(?:\s+(?:(?:class|id|aria-label)=\"[^\"<>]*\"|href=\"([^\"<>"
    rf"]*)\"))*\s*/?\Z"
)
_REMARK = re.compile(r"!--(?!part:)[^<>]*--\Z")
_ADDRESS_ALONE = re.compile(r"(?:https?://|mailto:)[^\s<>\"']*\Z|[\w.+-]+@[\w.-]+\Z")
_ATTRIBUTES = re.compile(r"\{:?[ \t]*([^{}\n]*)\}")
_DIRECTIVE = re.compile(r"\{[a-z][a-z-]*:[ \t]*[^{}\n]*\}")
_PLAIN_ATTRIBUTES = re.compile(
    r"(?:\s*(?:[.#][\w-]+|(?:title|alt|lang|markdown)=(?:\"[^\"<>]*\"|'[^'<>]*'|[\w-]+)))*\s*\Z"
)
_GIVES_ATTRIBUTES = re.compile(r"=|^\s*:|^\s*[.#]")
_LINK = re.compile(r"\]\(\s*<?([^)\s>]*)|^[ ]{0,3}\[[^\]]+\]:\s*<?(\S+)")
_SCHEME = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*):")
# In the finished HTML: an attribute that holds script, a tag that runs or loads something, an
# address.
_RUNS = re.compile(
    r"<(script|iframe|frame|object|embed|applet|base|meta|link|style|form|svg|"
    r"math|template|portal)\b|"
    r"<[^<>]*?[\s/\"'](on[a-z]+|style|srcdoc)\s*=",
    re.IGNORECASE,
)
_ADDRESS = re.compile(
    r"(?:href|src|srcset|action|formaction|poster|data|background|cite|ping)\s*=\s*"
    r"(?:\"([^\"]*)\"|'([^']*)'|([^\s>]+))",
    re.IGNORECASE,
)
_ALIGNED = re.compile(r'(<t[hd]) style="text-align: (?:left|right|center);"')


def markup_problems(text: str, file: str) -> list[Problem]:
    """What the author's lines hold that a page must not; `text` is the whole file."""
    lines = without_code(parted(text)[1]).split("\n")
    return [
        Problem(file, number, message, hint)
        for number, line in enumerate(lines, 1)
        for message, hint in _complaints(line)
    ]


def _complaints(line: str) -> Iterator[tuple[str, str]]:
    if len(line) > LONGEST_LINE:
        yield f"the line has more than {LONGEST_LINE:,} characters", "break it into several"
        return
    nesting = _NESTING.match(line)
    if nesting and len(_LEVEL.findall(nesting[0])) > DEEPEST_LISTS:
        yield (
            f"more than {DEEPEST_LISTS} lists or quotes stand one inside the other",
            "write it flatter",
        )
    line = _DIRECTIVE.sub("", line)
    for tag in _TAG.finditer(line):
        known = _ALLOWED.match(tag[1]) or _REMARK.match(tag[1]) or _ADDRESS_ALONE.match(tag[1])
        if not (
            known and tag[2] and (known.re is not _ALLOWED or _leads_somewhere(known[1] or ""))
        ):
            yield (
                f"'{tag[0][:40]}' cannot stand in a page",
                "write &lt; for the sign; for pictures, links and emphasis write Markdown",
            )
    for found in _ATTRIBUTES.finditer(line):
        if _GIVES_ATTRIBUTES.search(found[1]) and not _PLAIN_ATTRIBUTES.match(found[1]):
            yield (
                f"'{found[0][:40]}' gives an attribute that a page cannot have",
                "give classes (.name), a name (#name) or a title",
            )
    for link in _LINK.finditer(line):
        if not _leads_somewhere(link[1] or link[2] or ""):
            yield (
                f"the address '{(link[1] or link[2])[:40]}' cannot stand in a page",
                "name a page of the guide, or write https: or mailto:",
            )


def _leads_somewhere(address: str) -> bool:
    """Whether an address is one of a page, or of a scheme that runs nothing; browsers drop white
    space and controls in it.
    """
    scheme = _SCHEME.match(re.sub(r"[\x00-\x20\\]", "", unescape(address)))
    return scheme is None or scheme[1].lower() in SCHEMES


def running_markup(html: str) -> str:
    """What in finished HTML a browser would run or load: its first words, or "" where there is
    nothing.
    """
    found = _RUNS.search(_ALIGNED.sub(r"\1", html))
    if found:
        return found[1] or found[2]
    return next(
        (
            address[0][:40]
            for address in _ADDRESS.finditer(html)
            if not _leads_somewhere(address[1] or address[2] or address[3] or "")
        ),
        "",
    )
