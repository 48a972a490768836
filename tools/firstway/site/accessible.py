"""Site: gives a name to what the theme leaves without one, and removes what a reader has no use for."""

from __future__ import annotations

import re

_RENAMED = (
    # The search panel is a dialog without a name; its toggles are checkboxes that only scripts use.
    ('data-md-component="search" role="dialog"', 'data-md-component="search" role="dialog" aria-label="Search"'),
    ('data-md-toggle="drawer" type="checkbox" id="__drawer"',
     'data-md-toggle="drawer" type="checkbox" aria-label="Show the contents" id="__drawer"'),
    ('data-md-toggle="search" type="checkbox" id="__search"',
     'data-md-toggle="search" type="checkbox" aria-label="Show the search" id="__search"'),
    ('class="md-search__scrollwrap" tabindex="0"', 'class="md-search__scrollwrap" role="group" aria-label="Results" tabindex="0"'),
)
_GENERATOR = re.compile(r'\s*<meta name="generator"[^>]*>')


def accessible(html: str) -> str:
    """The page with every control named."""
    for found, better in _RENAMED:
        html = html.replace(found, better)
    return _GENERATOR.sub("", html)
