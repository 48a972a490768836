"""Site: gives a name to what the theme leaves without one, and removes what a reader has no use
for.
"""

from __future__ import annotations

import re

from firstway.rendering.html import Markup, tag

_RENAMED = (
    # The search panel is a dialog without a name; its toggles are checkboxes that only scripts use.
    (
        'data-md-component="search" role="dialog"',
        'data-md-component="search" role="dialog" aria-label="Search"',
    ),
    (
        'data-md-toggle="drawer" type="checkbox" id="__drawer"',
        'data-md-toggle="drawer" type="checkbox" aria-label="Show the contents" id="__drawer"',
    ),
    (
        'data-md-toggle="search" type="checkbox" id="__search"',
        'data-md-toggle="search" type="checkbox" aria-label="Show the search" id="__search"',
    ),
    (
        'type="checkbox" id="__toc"',
        'type="checkbox" aria-label="Show the contents of this page" id="__toc"',
    ),
    (
        'class="md-search__scrollwrap" tabindex="0"',
        'class="md-search__scrollwrap" role="group" aria-label="Results" tabindex="0"',
    ),
)
# The HTML standard knows this attribute on text fields only.
_NO_AUTOCOMPLETE = re.compile(r'(<input class="md-toggle"[^>]*?) autocomplete="off"([^>]*>)')
# A section of the navigation is named by a label that holds an icon only; its title stands just
# inside.
_SECTION = re.compile(
    r'(<nav class="md-nav" data-md-level="\d+") aria-labelledby="[^"]+"( aria-expanded="\w+">\s*'
    r'<label class="md-nav__title" for="[^"]+">\s*<span class="md-nav__icon'
    r' md-icon"></span>\s*)([^<]+?)(\s*</label>)'
)
_GENERATOR = re.compile(r'\s*<meta name="generator"[^>]*>')


# The theme wraps a table of an author by a script, after the page was laid out: here it scrolls in
# its own frame from the start.
_TABLE = re.compile(r"<table>(.*?)</table>", re.DOTALL)
_ALIGNED = re.compile(r'(<t[hd]) style="text-align: (left|right|center);"')
_HEAD = re.compile(r"<th[^>]*>(.*?)</th>", re.DOTALL)


def _in_a_frame(table: re.Match[str]) -> Markup:
    heads = ", ".join(filter(None, (Markup(head).striptags() for head in _HEAD.findall(table[1]))))
    inside = (
        _ALIGNED.sub(r'\1 class="\2"', table[1])
        .replace("<th>", '<th scope="col">')
        .replace('<th scope="col"></th>', "<td></td>")
    )
    return tag(
        "div",
        tag("table", Markup(inside), class_="by-hand"),
        class_="wide",
        tabindex=0,
        role="group",
        aria_label=f"Table: {heads or 'figures'}",
    )


def accessible(html: str) -> str:
    """The page with every control named, and every table in a frame that scrolls."""
    html = _TABLE.sub(_in_a_frame, html)
    for found, better in _RENAMED:
        html = html.replace(found, better)
    html = _SECTION.sub(
        lambda found: (
            f'{found[1]} aria-label="Section'
            f' {found[3].replace(chr(34), "&quot;")}"{found[2]}{found[3]}{found[4]}'
        ),
        html,
    )
    if 'id="__toc"' not in html:
        html = html.replace(
            '<label class="md-nav__title" for="__toc">', '<label class="md-nav__title">'
        )  # without the switch it names
    return _NO_AUTOCOMPLETE.sub(r"\1\2", _GENERATOR.sub("", html))
