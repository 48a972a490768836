"""Site: leaves out of a built guide what no reader's browser needs when it opens the files."""

from __future__ import annotations

import json
import re
from pathlib import Path

from firstway.rendering.html import tag

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

# In the head of each page, what only works with scripts: the choice of colours, and the search.
_OF_SCRIPTS = re.compile(
    r'<form class="md-header__option" data-md-component="palette">.*?(?=</nav>\s*</header>)',
    re.DOTALL,
)
FRAME_SCRIPT = "assets/frame-parts.js"


def without_parts_of_scripts(html: str, way: str) -> tuple[str, str]:
    """The page with a script where the theme writes the same into each page, and what that was; ""
    where there is none. `way` leads to the guide's first folder.
    """
    found = _OF_SCRIPTS.search(html)
    if found is None:
        return html, ""
    script = str(tag("script", src=f"{way}{FRAME_SCRIPT}"))
    return f"{html[: found.start()]}{script}\n{html[found.end() :]}", found[0]


def frame_script(parts: str) -> str:
    """What puts it there again, before anything is painted."""
    told = json.dumps(parts).replace("</", "<\\/")
    return f'document.currentScript.insertAdjacentHTML("afterend",{told});\n'


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
