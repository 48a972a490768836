"""Pages: where a step or a finding comes from, folded away from the line of reading; what must be
confirmed still stands in the open.
"""

from __future__ import annotations

import re

_PARAGRAPH = re.compile(r'<p class="cite(?: step-whole)?">.*?</p>', re.DOTALL)
_IN_LIST = re.compile(
    r'(<li class="step"[^>]*>)((?:(?!</li>).)*?) <span'
    r' class="cite">((?:(?!</?span).|<span[^>]*>.*?</span>)*)</span></li>',
    re.DOTALL,
)
_MARK = re.compile(r'<span class="(?:careful|reader)">.*?</span>', re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
SUMMARY = "Where it comes from"


def folded(html: str) -> str:
    """One step or finding of a chapter. Printed, the fold is open.

    >>> folded('<p>4 V</p><p class="cite">A book; found.</p>')[:62]
    '<p>4 V</p><details class="more from"><summary>Where it comes f'
    """
    given = [
        f'<p class="cite">{_TAG.sub("", item[2]).strip()}: {item[3]}</p>'
        for item in _IN_LIST.finditer(html)
    ]
    kept = _IN_LIST.sub(r"\1\2</li>", html)
    cited = [*_PARAGRAPH.findall(kept), *given]
    if not cited:
        return html
    body = "".join(sorted(cited, key=lambda each: "step-whole" in each))
    marks = dict.fromkeys(_MARK.findall(body))
    end = re.search(r"</(?:section|article)>\s*$", kept)
    head, tail = (kept[: end.start()], kept[end.start() :]) if end else (kept, "")
    fold = (
        '<details class="more'
        f' from"><summary>{"; ".join([SUMMARY, *marks])}</summary>{body}</details>'
    )
    return _PARAGRAPH.sub("", head) + fold + tail
