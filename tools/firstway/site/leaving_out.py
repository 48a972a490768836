"""Site: leaves out of a built guide what no reader's browser needs when it opens the files."""

from __future__ import annotations

import re
from pathlib import Path

_KEPT_AS_IT_IS = re.compile(r"(<(pre|textarea|script|style)\b.*?</\2>)", re.DOTALL)
_INDENTATION = re.compile(r"\s*\n\s*")

_UNUSED = (
    "**/*.map",  # for debugging the theme
    "assets/javascripts/lunr/**/*.js",  # the search in other languages
    "search/search_index.json",  # the same index as search_index.js, for a web server
    "sitemap.xml",
    "sitemap.xml.gz",
    "glossary.yaml",  # its words stand on a page of their own
    "assets/one-file.css",  # it is inside each page that stands alone
)


def made_lean(site: Path) -> None:
    """Delete unused files and the folders they leave empty."""
    for pattern in _UNUSED:
        for path in sorted(site.glob(pattern)):
            path.unlink()
    for folder in sorted((path for path in site.rglob("*") if path.is_dir()), reverse=True):
        if not any(folder.iterdir()):
            folder.rmdir()


def without_indentation(html: str) -> str:
    """The page without the theme's indentation, a third of a small page; text that keeps its spaces
    is left alone.
    """
    pieces = _KEPT_AS_IT_IS.split(html)  # text, kept, its tag's name, text, ...
    return "".join(
        _INDENTATION.sub("\n", piece) if place % 3 == 0 else piece
        for place, piece in enumerate(pieces)
        if place % 3 != 2
    )
