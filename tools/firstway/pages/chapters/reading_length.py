"""Pages: how long a hand-written page is: the words a reader meets, the minutes they take, and the
most a chapter may hold.
"""

from __future__ import annotations

import re

from firstway.checks.running import rules
from firstway.pages.shared.front_matter import parted

WORDS_A_MINUTE = 180  # of plain technical text, read for understanding: common practice
MOST_WORDS = 1000  # of prose in a chapter: what is longer is not read to its end (our own aim)
_DIRECTIVE = re.compile(r"\{([a-z][a-z-]*):[ \t]*([^{}\n]*)\}")
_ATTRIBUTES = re.compile(r"\{[:#. ][^{}\n]*\}")
_LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")
_WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*")
_NO_PROSE = ("#", "|", "///", "{ .", "/// ")
_CAPTION = re.compile(r"^///.*?^///$", re.MULTILINE | re.DOTALL)


def minutes(text: str) -> int:
    """Minutes to read a page, its tables with it; at least one.

    `text` is the whole file; its head is not read.
    """
    return max(1, round(len(_words(parted(text)[1])) / WORDS_A_MINUTE))


def prose_words(text: str) -> int:
    """The words of the author's own sentences: paragraphs, list items, boxes. Tables, captions,
        headings and what stands alone are looked up.

    >>> prose_words("# Title\\n\\nThe {term: RCBO | device} opens at {figure: a b c}.\\n")
    5
    >>> prose_words("| one | two |\\n\\n{step: a b c}\\n")
    0
    """
    lines = _CAPTION.sub("", parted(text)[1]).split("\n")
    return len(_words("\n".join(line for line in lines if not line.startswith(_NO_PROSE))))


def _words(text: str) -> list[str]:
    """The words as they are shown; what stands alone on its line is a picture, a working or a table
    of the guide's own.
    """
    seen = "\n".join(
        "" if _DIRECTIVE.fullmatch(line.strip()) else line for line in text.split("\n")
    )
    return _WORD.findall(_ATTRIBUTES.sub(" ", _DIRECTIVE.sub(_shown, _LINK.sub(r"\1", seen))))


def _shown(directive: re.Match[str]) -> str:
    """A word for a figure or a clause; a term and a rule in their own words."""
    word, arguments = directive[1], directive[2].strip()
    if word == "term":
        return arguments.rpartition("|")[2]
    if word == "rule":
        return next((module.RULE.title for module in rules() if module.RULE.id == arguments), word)
    return word
