"""Pages: what the checks say: the verdict as a word, the evidence, the place, the source."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from firstway.checks.finding import AS_TOLD, Finding
from firstway.checks.questions import MakerQuestion, question_of, questions
from firstway.checks.verdict import verdict_words
from firstway.model.installation import Installation
from firstway.pages.shared.citing import citation_html
from firstway.pages.shared.markup import counted, html_identity, list_html, sentence
from firstway.rendering.figures import finding_amount, full, same_words
from firstway.rendering.report import order_words

PASSES = "passes"  # the page of a job that holds them
LEVEL_WORDS = {
    "danger": "Danger",
    "fail": "Fails",
    "advice": "Advice",
    "unknown": "Not known",
    "pass": "Passes",
}
HEADINGS = {
    "danger": "Danger: put right before anything else",
    "fail": "Fails",
    "advice": "Advice",
    "unknown": "Not known: measure or ask",
    "pass": "Passes",
}
_EXPLAINED = {
    "danger": "Someone may be hurt, or something may burn.",
    "fail": "A rule of the stated edition is not met.",
    "advice": (
        "Good practice, or a matter a designer must settle. Not a proved failure, and not a pass."
    ),
    "unknown": "A figure is missing. That is never a pass.",
    "pass": "Met with the figures given, in the stated edition.",
}


def findings_part(findings: Iterable[Finding], installation: Installation) -> str:
    """All findings in the order of what decides, and what the job may not do yet.

    What is not known is a question a device; the passes are many and stand on a page of their own.
    """
    every = list(findings)
    words = f'<p class="may-not"><strong>{escape(verdict_words(every, installation))}</strong></p>'
    order = f'<p class="explained">{escape(order_words())}</p>' if every else ""
    groups = (
        _group(level, [item for item in every if item.level == level], installation)
        for level in AS_TOLD
    )
    return words + summary_html(every) + order + "".join(groups)


def passes_part(findings: Iterable[Finding]) -> str:
    """What was met, with its figures and its source."""
    items = "".join(passed_html(each) for each in findings if each.level == "pass")
    return (
        f'<div class="passes"><p class="explained">{_EXPLAINED["pass"]}</p><ul>{items}</ul></div>'
    )


def summary_html(findings: Iterable[Finding]) -> str:
    """How many of each, in words."""
    every = list(findings)
    counts = [(level, sum(item.level == level for item in every)) for level in AS_TOLD]
    marks = "".join(
        f"<li>{verdict_mark(level)} <strong>{number}</strong></li>"
        for level, number in counts
        if number
    )
    return f'<ul class="tally">{marks}</ul>' if marks else "<p>No check applies.</p>"


def verdict_mark(level: str) -> str:
    """The verdict as a word in our own mark: weight and border tell them apart, never colour."""
    return f'<span class="verdict verdict-{level}">{LEVEL_WORDS[level]}</span>'


def finding_html(finding: Finding, name: str = "") -> str:
    """One finding; with a name, a place a link can lead to."""
    evidence = "".join(
        f"<div><dt>{term}</dt><dd>{words}</dd></div>" for term, words in _evidence(finding)
    )
    return (
        f"<article{_marks(finding, name)}>"
        f'<p class="said">{verdict_mark(finding.level)} {escape(said(finding))}</p>'
        f'<dl class="evidence">{evidence}</dl>'
        f'<p class="cite">{citation_html(finding.source, finding.edition, finding.standing)}</p>'
        f"</article>"
    )


def passed_html(finding: Finding) -> str:
    """A pass in two lines: there are many, and no link leads to one."""
    evidence = ", ".join(f"{term} {words}" for term, words in _evidence(finding))
    return (
        f"<li{_marks(finding, '')}>{escape(said(finding))}"
        f' <span class="cite">{sentence(evidence)}'
        f" {citation_html(finding.source, finding.edition, finding.standing)}</span></li>"
    )


def _marks(finding: Finding, name: str, kind: str = "finding") -> str:
    here = f' id="{name}"' if name else ""
    return (
        f' class="{kind} finding-{finding.level}"{here} data-finding="{escape(finding.id)}"'
        f' data-of="{escape(finding.of)}" data-place="{escape(finding.place)}"'
        f' data-level="{finding.level}"'
    )


def said(finding: Finding) -> str:
    """The message as a sentence; the mark before it already says when something is not known."""
    message = (
        finding.message.removeprefix("not known: ")
        if finding.level == "unknown"
        else finding.message
    )
    return sentence(message)


def _questions_html(named: list[tuple[Finding, str]], installation: Installation) -> str:
    """Whom to ask or what to measure, a line a device; every finding is marked once."""
    asked = questions((finding for finding, _ in named), installation)
    marked: set[Finding] = set()
    return list_html((_question_html(each, dict(named), marked) for each in asked), "questions")


def _question_html(question: MakerQuestion, names: dict[Finding, str], marked: set[Finding]) -> str:
    items = []
    for ask in question.asks:
        found = [each for each in question.findings if question_of(each.message) == ask]
        marks = "".join(_mark_html(each, names[each]) for each in found if each not in marked)
        marked.update(found)
        items.append(f"{escape(sentence(ask))}{marks}")
    head = f"{', '.join(question.parts)}: {question.whom}"
    return f"<strong>{escape(head)}</strong>{list_html(items)}"


def _mark_html(finding: Finding, name: str) -> str:
    """Place, evidence and source of a finding that stands in a question."""
    figures = [f"{term} {words}" for term, words in _evidence(finding)[1:]]
    source = citation_html(finding.source, finding.edition, finding.standing)
    told = "; ".join([escape(place_words(finding)), *figures, source])
    return f" <span{_marks(finding, name, 'cite')}>{told}</span>"


def _group(level: str, findings: list[Finding], installation: Installation) -> str:
    if not findings:
        return ""
    named = list(zip(findings, _names(findings)))
    explained = f'<p class="explained">{_EXPLAINED[level]}</p>'
    if level == "pass":
        number = counted(len(findings), "check")
        return (
            f'<p class="passed"><a href="{PASSES}.html">{number} passed</a>, each with its figures'
            " and its source.</p>"
        )
    body = (
        _questions_html(named, installation)
        if level == "unknown"
        else "".join(finding_html(finding, name) for finding, name in named)
    )
    return (
        f'<section class="findings"><h3 id="findings-{level}">{HEADINGS[level]}</h3>'
        f"{explained}{body}</section>"
    )


def _names(findings: list[Finding]) -> list[str]:
    """An id for each: a rule may say more than one thing of one place, then the later ones are
    counted.
    """
    names = [
        html_identity("finding", item.level, item.id, item.of, item.place) for item in findings
    ]
    return [
        name if name not in names[:index] else f"{name}-{names[:index].count(name) + 1}"
        for index, name in enumerate(names)
    ]


def _evidence(finding: Finding) -> list[tuple[str, str]]:
    rows = [("at", escape(place_words(finding)))]
    if finding.value is not None:
        rows.append(("found", _amount(finding, finding.value)))
    if finding.limit is not None and not same_words(finding.value, finding.limit):
        rows.append(("compared with", _amount(finding, finding.limit)))
    return rows


def place_words(finding: Finding) -> str:
    """The named part, and the device or terminal where it differs."""
    return finding.of if finding.place in ("", finding.of) else f"{finding.of}, {finding.place}"


def _amount(finding: Finding, amount: float | str) -> str:
    text = escape(finding_amount(finding, amount))
    return (
        text
        if isinstance(amount, str)
        else f'<data class="found" value="{full(amount)}">{text}</data>'
    )
