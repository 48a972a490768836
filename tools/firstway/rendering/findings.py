"""Rendering: what the checks say: the verdict as a word, the evidence, the place, the source."""

from collections.abc import Iterable, Sequence

from firstway.checks.questions import MakerQuestion, question_of, questions
from firstway.checks.rule import AS_TOLD, Finding
from firstway.checks.verdict import verdict_words
from firstway.model.installation import Installation
from firstway.rendering.citing import NO_NOTES, ReaderNotes, citation_html
from firstway.rendering.figures import finding_amount, full, same_words
from firstway.rendering.html import (
    Markup,
    counted,
    details_html,
    escape,
    html_identity,
    joined,
    list_html,
    sentence,
    tag,
)
from firstway.rendering.report import order_words
from firstway.rendering.spoken_keys import in_trade_words, with_spoken_terminals

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
    "pass": "Met with the figures given, in the stated edition.",
}


def findings_part(
    findings: Iterable[Finding],
    installation: Installation,
    notes: ReaderNotes = NO_NOTES,
    passes: str = "",
) -> Markup:
    """All findings in the order of what decides, and what the job may not do yet.

    What is not known is a question a device. The passes are many: they stand at `passes`, or where
    that leads nowhere they are folded away.
    """
    every = list(findings)
    words = tag("p", tag("strong", verdict_said(every, installation)), class_="may-not")
    return words + findings_in_order(every, installation, notes, passes)


def verdict_said(findings: Sequence[Finding], installation: Installation) -> str:
    """What the job may not do yet, in words of the trade."""
    return in_trade_words(verdict_words(findings, installation), installation.rules)


def findings_in_order(
    findings: Iterable[Finding],
    installation: Installation,
    notes: ReaderNotes = NO_NOTES,
    passes: str = "",
) -> Markup:
    """The same where what the job may not do yet stands elsewhere on the page."""
    every = list(findings)
    order = tag("p", order_words(), class_="explained") if every else ""
    groups = (
        _group(level, [item for item in every if item.level == level], installation, notes)
        if level != "pass"
        else _passed([item for item in every if item.level == level], notes, passes)
        for level in AS_TOLD
    )
    return summary_html(every) + order + joined(groups)


def passes_part(findings: Iterable[Finding], notes: ReaderNotes = NO_NOTES) -> Markup:
    """What was met, with its figures and its source."""
    items = joined(passed_html(each, notes) for each in findings if each.level == "pass")
    return tag(
        "div", tag("p", _EXPLAINED["pass"], class_="explained"), tag("ul", items), class_="passes"
    )


def summary_html(findings: Iterable[Finding]) -> Markup:
    """How many of each, in words."""
    every = list(findings)
    counts = [(level, sum(item.level == level for item in every)) for level in AS_TOLD]
    marks = joined(
        tag("li", verdict_mark(level), " ", tag("strong", number))
        for level, number in counts
        if number
    )
    return tag("ul", marks, class_="tally") if marks else tag("p", "No check applies.")


def verdict_mark(level: str) -> Markup:
    """The verdict as a word in our own mark: weight and border tell them apart, never colour."""
    return tag("span", LEVEL_WORDS[level], class_=f"verdict verdict-{level}")


def finding_html(finding: Finding, name: str = "", notes: ReaderNotes = NO_NOTES) -> Markup:
    """One finding; with a name, a place a link can lead to."""
    evidence = joined(
        tag("div", tag("dt", term), tag("dd", words)) for term, words in _evidence(finding)
    )
    return tag(
        "article",
        tag("p", verdict_mark(finding.level), " ", said(finding, notes.rules), class_="said"),
        tag("dl", evidence, class_="evidence"),
        tag("p", _source_html(finding, notes), class_="cite"),
        **_marks(finding, name),
    )


def passed_html(finding: Finding, notes: ReaderNotes) -> Markup:
    """A pass in two lines: there are many, and no link leads to one."""
    evidence = joined((joined(each, " ") for each in _evidence(finding)), ", ")
    cite = tag("span", sentence(evidence), " ", _source_html(finding, notes), class_="cite")
    return tag("li", said(finding, notes.rules), " ", cite, **_marks(finding, ""))


def _source_html(finding: Finding, notes: ReaderNotes) -> Markup:
    return citation_html(finding.source, finding.edition, finding.standing, notes)


def _marks(finding: Finding, name: str, kind: str = "finding") -> dict[str, str | None]:
    """The attributes by which a finding is known on a page."""
    return {
        "class_": f"{kind} finding-{finding.level}",
        "id": name or None,
        "data_finding": finding.id,
        "data_of": finding.of,
        "data_place": finding.place,
        "data_level": finding.level,
    }


def said(finding: Finding, rules: str = "") -> str:
    """The message as a sentence, in words of the rule set; the mark before it already says when
    something is not known.
    """
    message = (
        finding.message.removeprefix("not known: ")
        if finding.level == "unknown"
        else finding.message
    )
    return sentence(with_spoken_terminals(in_trade_words(message, rules)))


def _questions_html(
    named: list[tuple[Finding, str]], installation: Installation, notes: ReaderNotes
) -> Markup:
    """Whom to ask or what to measure, a line a device; every finding is marked once."""
    asked = questions((finding for finding, _ in named), installation)
    marked: set[Finding] = set()
    return list_html(
        (_question_html(each, dict(named), marked, notes) for each in asked), "questions"
    )


def _question_html(
    question: MakerQuestion,
    names: dict[Finding, str],
    marked: set[Finding],
    notes: ReaderNotes,
) -> Markup:
    items = []
    for ask in question.asks:
        found = [each for each in question.findings if question_of(each.message) == ask]
        marks = joined(_mark_html(each, names[each], notes) for each in found if each not in marked)
        marked.update(found)
        items.append(sentence(in_trade_words(ask, notes.rules)) + marks)
    head = f"{', '.join(question.parts)}: {question.whom}"
    return tag("strong", head) + list_html(items)


def _mark_html(finding: Finding, name: str, notes: ReaderNotes) -> Markup:
    """Place, evidence and source of a finding that stands in a question."""
    figures = [joined(each, " ") for each in _evidence(finding)[1:]]
    told = joined([place_words(finding), *figures, _source_html(finding, notes)], "; ")
    return " " + tag("span", told, **_marks(finding, name, "cite"))


def _group(
    level: str, findings: list[Finding], installation: Installation, notes: ReaderNotes
) -> Markup:
    if not findings:
        return Markup()
    named = list(zip(findings, _names(findings)))
    explained = tag("p", _explained(level, findings, installation), class_="explained")
    body = (
        _questions_html(named, installation, notes)
        if level == "unknown"
        else joined(finding_html(finding, name, notes) for finding, name in named)
    )
    return tag(
        "section",
        tag("h3", HEADINGS[level], id=f"findings-{level}"),
        explained,
        body,
        class_="findings",
    )


def _explained(level: str, findings: list[Finding], installation: Installation) -> str:
    """What a level means; of what is not known also how many questions would settle it."""
    if level != "unknown":
        return _EXPLAINED[level]
    checks = counted(len(findings), "check lacks", "checks lack")
    asked = counted(len(questions(findings, installation)), "question", "questions")
    return f"{checks} a figure; {asked} would settle that: never a pass."


def _passed(findings: list[Finding], notes: ReaderNotes, passes: str) -> Markup:
    if not findings:
        return Markup()
    number = counted(len(findings), "check") + " passed"
    if not passes:
        return details_html(number, passes_part(findings, notes))
    return tag(
        "p",
        tag("a", number, href=passes),
        ", each with its figures and its source.",
        class_="passed",
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
    rows = [("at", place_words(finding))]
    if finding.value is not None:
        rows.append(("found", _amount(finding, finding.value)))
    if finding.limit is not None and not same_words(finding.value, finding.limit):
        rows.append(("compared with", _amount(finding, finding.limit)))
    return rows


def place_words(finding: Finding) -> str:
    """The named part, and the device or terminal where it differs."""
    place = with_spoken_terminals(finding.place)
    return finding.of if finding.place in ("", finding.of) else f"{finding.of}, {place}"


def _amount(finding: Finding, amount: float | str) -> Markup:
    text = finding_amount(finding, amount)
    if isinstance(amount, str):
        return escape(text)
    return tag("data", text, class_="found", value=full(amount))
