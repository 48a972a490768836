"""Site: deletes from a built guide what no reader's browser asks for when it opens the files."""

from __future__ import annotations

from pathlib import Path

_UNUSED = (
    "**/*.map",                                 # for debugging the theme
    "assets/javascripts/lunr/**/*.js",          # the search in other languages
    "search/search_index.json",                 # the same index as search_index.js, for a web server
    "sitemap.xml", "sitemap.xml.gz",
)


def made_lean(site: Path) -> None:
    """Delete unused files and the folders they leave empty."""
    for pattern in _UNUSED:
        for path in sorted(site.glob(pattern)):
            path.unlink()
    for folder in sorted((path for path in site.rglob("*") if path.is_dir()), reverse=True):
        if not any(folder.iterdir()):
            folder.rmdir()
