"""Pages: one page of the guide as a value: Markdown, and HTML parts that Markdown never reads.

Drawings and workings are large; set in after Markdown they cost nothing there, and the
search index keeps the titles and the story without them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import field
from hashlib import sha256
from typing import Any

from firstway.frozen import dataclass
from firstway.rendering.html import Markup

_PART = re.compile(r"<!--part:([a-z0-9-]+)-->")


@dataclass(frozen=True)
class PageSheet:
    """`path` is the page's place in the guide (`jobs/marram.md`); `parts` are HTML by name."""

    path: str
    title: str
    markdown: str
    parts: Mapping[str, Markup] = field(default_factory=dict)
    description: str = ""

    @property
    def digest(self) -> str:
        """The whole page as one number."""
        whole = (self.path, self.title, self.markdown, self.description)
        parts = [(name, str(part)) for name, part in sorted(self.parts.items())]
        return sha256(repr((whole, parts)).encode()).hexdigest()


@dataclass(frozen=True)
class SheetHead:
    """A page whose text and parts are fetched when they are looked into."""

    path: str
    title: str
    description: str
    digest: str
    whole: Callable[[], PageSheet]

    @property
    def markdown(self) -> str:
        return self.whole().markdown

    @property
    def parts(self) -> Mapping[str, Markup]:
        return self.whole().parts


AnySheet = PageSheet | SheetHead


def sheet_data(sheet: PageSheet) -> dict[str, Any]:
    """The page as plain data."""
    return {**vars(sheet), "parts": {name: str(part) for name, part in sheet.parts.items()}}


# At the head of a page the search leaves out: its headings repeat from job to job and would bury
# the chapters.
NOT_SEARCHED = "---\nsearch:\n  exclude: true\n---\n"


def part_mark(name: str) -> str:
    """What stands in the Markdown where a part belongs."""
    return f"<!--part:{name}-->"


def with_parts(html: str, parts: Mapping[str, Markup], root: str) -> str:
    """The page with its parts set in; a mark of an unknown name stays, and a test finds it.

    `root` is the way from the page to the guide's first folder (``""`` or ``"../"``), written
    `{root}` in links.
    """
    # Only at the head of an attribute: in a text the same letters are the author's.
    return _PART.sub(
        lambda found: (
            str(parts[found[1]]).replace('="{root}', f'="{root}') if found[1] in parts else found[0]
        ),
        html,
    )
