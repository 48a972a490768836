"""Pages: where a step or a finding comes from, folded away from the line of reading; what must be
confirmed still stands in the open.
"""

from __future__ import annotations

import re

from firstway.rendering.html import Markup, tag

_PARAGRAPH = re.compile(r'<p class="cite(?: step-whole)?">.*?</p>', re.DOTALL)
_IN_LIST = re.compile(
    r'(<li class="step"[^>]*>)((?:(?!</li>).)*?) <span'
    r' class="cite">((?:(?!</?span).|<span[^>]*>.*?</span>)*)</span></li>',
    re.DOTALL,
)
_MARK = re.compile(r'<span class="(?:careful|reader)">.*?</span>', re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
SUMMARY = "Where it comes from"


def folded(whole: Markup) -> Markup:
    """One step or finding of a chapter. Printed, the fold is open.

    >>> folded(Markup('<p>4 V</p><p class="cite">A book; found.</p>'))[:62]
    Markup('<p>4 V</p><details class="more from"><summary>Where it comes f')
    """
    html = str(whole)  # a pattern would escape what it puts into Markup
    given = [
        tag("p", Markup(f"{_TAG.sub('', item[2]).strip()}: {item[3]}"), class_="cite")
        for item in _IN_LIST.finditer(html)
    ]
    kept = _IN_LIST.sub(r"\1\2</li>", html)
    cited = [*_PARAGRAPH.findall(kept), *given]
    if not cited:
        return whole
    body = "".join(sorted(cited, key=lambda each: "step-whole" in each))
    marks = dict.fromkeys(_MARK.findall(body))
    end = re.search(r"</(?:section|article)>\s*$", kept)
    head, tail = (kept[: end.start()], kept[end.start() :]) if end else (kept, "")
    summary = tag("summary", Markup("; ".join([SUMMARY, *marks])))
    fold = tag("details", summary, Markup(body), class_="more from")
    return Markup(f"{_PARAGRAPH.sub('', head)}{fold}{tail}")
