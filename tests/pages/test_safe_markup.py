"""An author's page holds no tag, attribute or address that a browser would run, and says so with
its line.

The forms of attack are those of OWASP's *Cross-Site Scripting Prevention* and *XSS Filter Evasion*
cheat sheets, in our words.
"""

from __future__ import annotations

import markdown
import pytest

from firstway.pages.chapters.safe_markup import markup_problems, running_markup
from firstway.pages.shared.front_matter import front_matter
from firstway.pages.shared.markup import inert_markup
from firstway.rendering.html import Markup, tag

REFUSED = (
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "a <b onclick=alert(1)>b</b>",
    "<svg/onload=alert(1)>",
    "<IMG SRC=x OnError=alert(1)>",
    "<iframe src=x></iframe>",
    '<span class="a" onclick="x()">',
    '<span style="background:url(x)">',
    "<div\nonclick=alert(1)>",
    "</p><script>",
    "<!DOCTYPE x>",
    "<?php x ?>",
    "<!--part:caution-->",
    '<a href="javascript:alert(1)">',
    '<a href=" java&#115;cript:alert(1)">',
    '<a href="data:text/html,x">',
    "[a](javascript:alert(1))",
    "[a]( javascript:alert(1))",
    "[a](JaVaScRiPt:alert(1))",
    "[a](&#106;avascript:alert(1))",
    "[a](java\\script:alert(1))",
    "[a](<javascript:alert(1)>)",
    "[a](vbscript:x)",
    "[a](data:text/html;base64,x)",
    "![a](javascript:x)",
    "[a][b]\n\n[b]: javascript:alert(1)",
    "<javascript:alert(1)>",
    "# A {onclick=alert(1)}",
    "text\n{: onclick='alert(1)' }",
    "*a*{: style=color:red }",
    "text\n{ .lead onmouseover=x }",
    "[a](b.md){target=_blank}",
)
TAKEN = (
    "a < b and c > d, 3 <4",
    "H<sub>2</sub>O<br>",
    '<span class="verdict">x</span>',
    "<!-- a remark -->",
    "<https://example.org/a>",
    "text\n{ .lead }",
    "## A {#here .wide}",
    "[a](b.md#c)",
    "[a](https://example.org)",
    "[a](mailto:a@example.org)",
    "`<img onerror=x>` and ``<b>``",
    "```\n<script>\n```",
    "{caution: work}",
    "a {term: RCBO | <b>}",
    '<a class="card" href="teach.html">x</a>',
    "[a]: https://example.org",
)


@pytest.mark.parametrize("text", REFUSED)
def test_markup_problems__names_the_line_of_what_would_run(text: str) -> None:
    problems = markup_problems(f"---\ntitle: A\n---\n# A\n\n{text}\n", "a.md")
    assert problems and all(problem.line >= 4 for problem in problems)


@pytest.mark.parametrize("text", TAKEN)
def test_markup_problems__leaves_words_alone(text: str) -> None:
    assert markup_problems(f"# A\n\n{text}\n", "a.md") == []


@pytest.mark.parametrize(
    "text",
    [
        each
        for each in REFUSED
        if not each.startswith(("</p>", "<!", "<?", "[a](b.md)", "<javascript:"))
    ],
)
def test_running_markup__finds_it_in_what_markdown_made(text: str) -> None:
    """Markdown itself, an outside library, makes the HTML; whatever it lets through that runs is
    found.
    """
    html = markdown.markdown(text, extensions=["attr_list", "tables"])
    alive = any(
        word in html.lower()
        for word in (
            "<script",
            "<img src=x",
            "<iframe",
            "onclick=",
            "onerror=",
            "onmouseover=",
            "onload=",
            "style=",
            "ript:",
            "data:",
        )
    )
    assert not alive or running_markup(html), html


@pytest.mark.parametrize("text", TAKEN)
def test_running_markup__finds_nothing_in_words(text: str) -> None:
    assert (
        running_markup(markdown.markdown(text, extensions=["attr_list", "tables", "fenced_code"]))
        == ""
    )


@pytest.mark.parametrize(
    "words",
    [
        "[a](javascript:x)",
        "*a* _b_ `c`",
        "![a](b)",
        "<b>",
        "| a |",
        "# a",
        "1. a",
        "- a",
        "{: .x}",
        "a\\*b",
        "&lt;b&gt; & c",
    ],
)
def test_inert_markup__markdown_prints_the_words_as_they_are(words: str) -> None:
    """Read back by Python's own unescaping after the Markdown library has had it."""
    from html import escape, unescape

    made = markdown.markdown(
        inert_markup(Markup(escape(words, quote=False))),
        extensions=["attr_list", "tables", "def_list"],
    )
    assert unescape(made) == f"<p>{words}</p>"
    kept = markdown.markdown(
        inert_markup(tag("a", "w", class_="x", title=words, href="y_z.html")),
        extensions=["attr_list", "tables"],
    )
    assert unescape(kept) == unescape(
        f'<p><a class="x" title="{escape(words)}" href="y_z.html">w</a></p>'
    )


def test_front_matter__keys_that_the_theme_would_obey_are_told() -> None:
    problems = front_matter("---\ntitle: A\ntemplate: /etc/passwd\nsubtitle: <b>\n---\n", "a.md")[1]
    assert [problem.line for problem in problems] == [3, 4]


@pytest.mark.parametrize("line", ["- " * 400, "> " * 300, ">" * 300, " " * 400 + "- x", "1. " * 90])
def test_markup_problems__names_the_line_of_what_lies_too_deep(line: str) -> None:
    found = markup_problems(f"---\ntitle: T\n---\nWords.\n\n{line}x\n", "x.md")
    assert [(problem.line, "inside the other" in problem.message) for problem in found] == [
        (6, True)
    ]


@pytest.mark.parametrize(
    "line", ["- - x", "> > x", "        - x", "2.5 mm and more", "-5 to 5", ""]
)
def test_markup_problems__leaves_lists_in_lists_alone(line: str) -> None:
    assert markup_problems(f"---\ntitle: T\n---\n{line}\n", "x.md") == []


def test_markup_problems__names_a_line_that_markdown_would_not_get_through() -> None:
    found = markup_problems("---\ntitle: T\n---\n" + "[" * 100_000 + "\n", "x.md")
    assert [(problem.line, problem.hint) for problem in found] == [(4, "break it into several")]
