"""Pages: one page of the guide as one file that stands alone: styles, scripts, font and drawings
are inside it.

A phone often opens a file without its folder. What leads elsewhere in the guide cannot work there:
it loses its link and bears a small square, which the head of the file explains.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable
from functools import cache

from firstway.drawing.svg import widths_stylesheet
from firstway.rendering.html import Markup, joined, tag
from firstway.rendering.policy import policy_html

ONE_FILE_FOLDER = "one-file"
STYLES = ("assets/one-file.css", "assets/firstway.css", "assets/reading.css")
FONT = "assets/maths.woff2"
BODY = (
    '<body data-md-color-scheme="default">\n<header class="one-head"><p><strong>Firstway</strong>,'
    " one page of the guide as one file. What bears a small square (□) is elsewhere: open it in the"
    ' whole guide.</p></header>\n<main class="md-typeset md-content__inner">{}</main>\n<footer'
    ' class="one-foot"><p>Teaching material. It replaces no standard, no local code and no licensed'
    " person.</p></footer>"
)
PageRead = Callable[[str], bytes]
"""A file of the guide by its path."""

_ARTICLE = re.compile(r'<article class="md-content__inner[^>]*>(.*)</article>', re.DOTALL)
_DARK = re.compile(r'\[data-md-color-scheme="slate"\] (\{[^}]*\})')
FONT_NOTICE = Markup(
    "<!-- The font inside is a subset of STIX Two Math, copyright 2001-2021 The STIX Fonts"
    " Project Authors, under the SIL Open Font License, Version 1.1; its text is"
    " assets/maths.LICENSE.txt of the whole guide and https://openfontlicense.org -->\n"
)
_FONT_FACE = re.compile(r"@font-face \{[^}]*\}")
_SHEET = re.compile(r'<link rel="stylesheet" href="(?:\.\./)*([^"]+)">')
_SCRIPT = re.compile(r'<script src="(?:\.\./)*([^"]+)"[^>]*></script>')
_LINK = re.compile(r'<a\b([^>]*?)\shref="([^"#][^"]*)"([^>]*)>(.*?)</a>', re.DOTALL)
_HEADER_LINK = re.compile(r'<a class="headerlink"[^>]*>.*?</a>', re.DOTALL)
_TABS = re.compile(r'<div class="tabbed-labels">(.*?)</div>', re.DOTALL)
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_BRACE = re.compile(r"[{}]")
_WORD = re.compile(r"[A-Za-z][\w-]*")
_ASKED_FOR = re.compile(r"[.#]([A-Za-z][\w-]*)")
_LEFT_OPEN = re.compile(r":(?:not|is|where|has)\([^)]*\)")  # what stands in them is not looked at


def one_file(page: str, title: str, description: str, inks: str, read: PageRead) -> Markup:
    """The page alone.

    `page` is its whole HTML in the guide, `inks` the style sheet of the drawings' inks.
    """
    article = _ARTICLE.search(page)
    body = article[1] if article else ""
    sheets = [*STYLES, *dict.fromkeys(_SHEET.findall(body))]
    scripts = list(dict.fromkeys(_SCRIPT.findall(body)))
    body = _with_tab_names(
        _without_links(_SCRIPT.sub("", _SHEET.sub("", _HEADER_LINK.sub("", body))))
    )
    inside = joined(tag("script", Markup(_script(read(path).decode()))) + "\n" for path in scripts)
    words = set(_WORD.findall(BODY + body + inside))
    styles = "\n".join(
        _used(css, words)
        for css in (
            inks,
            widths_stylesheet(),
            *(_style(read(path).decode(), "<math" in body, read) for path in sheets),
        )
    )
    style = tag("style", Markup(f"\n{styles}\n"))
    notice = FONT_NOTICE if "data:font/woff2" in styles else ""
    return Markup(
        '<!doctype html>\n{}<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta'
        ' name="viewport" content="width=device-width, initial-scale=1">\n{}\n<title>{} -'
        ' Firstway</title>\n<meta name="description" content="{}">\n<link rel="icon"'
        ' href="data:,">\n{}\n</head>\n' + BODY + "\n{}</body>\n</html>\n"
    ).format(notice, policy_html(style + inside), title, description, style, Markup(body), inside)


def one_file_link(path: str, way: str) -> Markup:
    """A line on the page itself that leads to its one file; `way` leads to the guide's first
    folder.
    """
    return tag(
        "p",
        tag("a", "This page as one file", href=f"{way}{path}"),
        " ",
        tag("span", "to send to a phone: it needs no folder and no network"),
        class_="one-file-link",
    )


def one_file_path_of(url: str) -> str:
    """Where the one file of a page stands.

    >>> one_file_path_of("chapters/own-board.html"), one_file_path_of("quizzes/surge.html")
    ('one-file/own-board.html', 'one-file/quiz-surge.html')
    """
    folder, _, name = url.rpartition("/")
    return f"{ONE_FILE_FOLDER}/{'quiz-' if folder == 'quizzes' else ''}{name}"


def _style(css: str, with_font: bool, read: PageRead) -> str:
    """A style sheet for a page alone: dark as the device is set, the font inside it, no
    comments.
    """
    css = _DARK.sub(
        r'@media screen and (prefers-color-scheme: dark) { [data-md-color-scheme="default"] \1 }',
        _COMMENT.sub("", css),
    )
    if not with_font:
        css = _FONT_FACE.sub("", css)
    elif "maths.woff2" in css:
        css = css.replace(
            'url("maths.woff2")', f'url("data:font/woff2;base64,{b64encode(read(FONT)).decode()}")'
        )
    return "\n".join(line.strip() for line in css.split("\n") if line.strip())


def _used(css: str, words: set[str]) -> str:
    """The rules that a page bearing these words has a use for.

    >>> _used(".a .b,.c{x:y}@media print{.b{x:y}.a{x:y}}p:not(.b){x:y}", {"a"})
    '@media print{.a{x:y}}p:not(.b){x:y}'
    """
    kept = []
    for before, inside in _rules(css):
        if before.startswith(("@media", "@supports")):
            inside = _used(inside, words)
        elif not before.startswith("@"):
            parts = _LEFT_OPEN.sub("", before).split(",")
            if not any(words.issuperset(_ASKED_FOR.findall(part)) for part in parts):
                continue
        if inside:
            kept.append(f"{before}{{{inside}}}")
    return "".join(kept)


@cache
def _rules(css: str) -> tuple[tuple[str, str], ...]:
    """The rules of a style sheet of ours without comments: what stands before the braces, and in
    them.
    """
    found, start, opened, depth = [], 0, 0, 0
    for brace in _BRACE.finditer(css):
        depth += 1 if brace[0] == "{" else -1
        if depth == 1 and brace[0] == "{":
            opened = brace.start()
        elif not depth:
            found.append((css[start:opened].strip(), css[opened + 1 : brace.start()].strip()))
            start = brace.end()
    return tuple(found)


def _script(text: str) -> str:
    # Inside a script element these letters would end it.
    return text.replace("</script", "<\\/script")


def _without_links(html: str) -> str:
    """Links to other pages without their address; in a word on tap the second form of the word
    stays text.
    """
    html = re.sub(
        r'(<span class="tap"><button[^>]*>.*?</button>)<a href="[^"]*">(.*?)</a></span>',
        r'\1<span class="tap-plain">\2</span></span>',
        html,
        flags=re.DOTALL,
    )

    def marked(found: re.Match[str]) -> Markup:
        own = re.search(r'class="([^"]*)"', found[1] + found[3])
        kind = f"{own[1]} needs-guide" if own else "needs-guide"
        return tag("span", Markup(found[4]), class_=kind)

    return _LINK.sub(marked, html)


def _with_tab_names(html: str) -> str:
    """Tabs need the theme: here each one stands open under its name."""
    for labels in _TABS.findall(html):
        for name in re.findall(r"<label[^>]*>(.*?)</label>", labels, re.DOTALL):
            html = html.replace(
                '<div class="tabbed-block">',
                Markup('<div class="tabbed-block" data-tab="{}">').format(
                    re.sub("<[^>]*>", "", name)
                ),
                1,
            )
    return html
