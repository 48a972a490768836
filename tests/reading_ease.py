"""How easily the prose of a page reads: words, sentences, syllables, and the ease worked
from them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from bs4 import BeautifulSoup

NO_PROSE = (
    "table, figure, .step, .whole-working, .caution, .cautious, .aims, .quick, .sources,"
    " .notes-on-tap,"
    " .finding, .cited, .written, .one-file-link, .headerlink, .tap > a, script, nav, h1, h2, h3"
)
_WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*")


@dataclass(frozen=True)
class Count:
    words: int
    sentences: int
    syllables: int

    @property
    def words_a_sentence(self) -> float:
        return self.words / max(1, self.sentences)

    @property
    def ease(self) -> float:
        """R. Flesch, "A new readability yardstick", Journal of Applied Psychology 32 (1948): the
        higher the easier; plain English from about 60.
        """
        return 206.835 - 1.015 * self.words_a_sentence - 84.6 * self.syllables / max(1, self.words)


def counted(html: str) -> Count:
    """The author's own paragraphs and list items of a built page; a list item is a sentence of its
    own.
    """
    article = BeautifulSoup(html, "html.parser").find("article", class_="md-content__inner")
    for tag in article.select(NO_PROSE):
        tag.decompose()
    blocks = [
        " ".join(tag.get_text(" ").split())
        for tag in article.find_all(["p", "li"])
        if not tag.find(["p", "li"])
    ]
    words = [word for block in blocks for word in _WORD.findall(block)]
    sentences = sum(
        max(1, len(re.findall(r"[.!?](?:\s|$)", block))) for block in blocks if _WORD.search(block)
    )
    return Count(len(words), sentences, sum(map(syllables, words)))


def syllables(word: str) -> int:
    """Groups of vowels, without a silent e at the end; at least one.

    >>> [syllables(word) for word in ("cable", "earth", "residual", "charge", "type")]
    [2, 1, 3, 1, 1]
    """
    plain = word.lower()
    groups = len(re.findall(r"[aeiouy]+", plain))
    silent = plain.endswith("e") and not plain.endswith(("le", "ee", "ye")) and groups > 1
    return max(1, groups - silent)
