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
    ('type="checkbox" id="__toc"', 'type="checkbox" aria-label="Show the contents of this page" id="__toc"'),
    ('class="md-search__scrollwrap" tabindex="0"', 'class="md-search__scrollwrap" role="group" aria-label="Results" tabindex="0"'),
)
# A section of the navigation is named by a label that holds an icon only; its title stands just inside.
_SECTION = re.compile(r'(<nav class="md-nav" data-md-level="\d+") aria-labelledby="[^"]+"( aria-expanded="\w+">\s*'
                      r'<label class="md-nav__title" for="[^"]+">\s*<span class="md-nav__icon md-icon"></span>\s*)([^<]+?)(\s*</label>)')
_GENERATOR = re.compile(r'\s*<meta name="generator"[^>]*>')


def accessible(html: str) -> str:
    """The page with every control named."""
    for found, better in _RENAMED:
        html = html.replace(found, better)
    html = _SECTION.sub(lambda found: f'{found[1]} aria-label="Section {found[3].replace(chr(34), "&quot;")}"{found[2]}{found[3]}{found[4]}', html)
    return _GENERATOR.sub("", html)
