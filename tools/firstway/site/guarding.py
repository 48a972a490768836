"""Site: tells the browser what a page of the guide may run, beside what it is written to hold."""

from __future__ import annotations

import re

from firstway.rendering.policy import policy_html

_ARTICLE = re.compile(r'<article class="md-content__inner.*</article>', re.DOTALL)
_CHARSET = '<meta charset="utf-8">'


def guarded_page(html: str, engine: bool = False) -> str:
    """The page as the theme left it, with its policy: the theme's scripts, known by their hash, and
    files of the guide; no script, style or handler that stands where authors write. `engine`: the
    page runs the program.
    """
    policy = policy_html(_ARTICLE.sub("", html), beside=True, engine=engine)
    return html.replace(_CHARSET, f"{_CHARSET}\n{policy}", 1)
