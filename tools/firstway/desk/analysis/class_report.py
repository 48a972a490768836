"""Desk: the analysis of a class as one offline page for the tutor: what to teach again, which
question to mend, whom to ask.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.desk.analysis.charts import points_chart, questions_chart
from firstway.desk.analysis.class_analysis import (
    FEWEST_FOR_A_GUESS,
    WEAK_TOPIC,
    Analysis,
    Choice,
    QuestionFigures,
    Topic,
)
from firstway.desk.analysis.statistics import FEWEST_LEARNERS, longer_by
from firstway.desk.answers.corrections import CORRECTIONS_FILE
from firstway.desk.marking.marking_class import ClassMarks
from firstway.desk.shared.sheets import decimal, desk_table_html, page_html, percent, share_html
from firstway.problems import visible
from firstway.rendering.html import Markup, caution_html, edition_line, escape, joined, tag

_NOT_PROOF = (
    "A mark is not proof of competence. Nobody may work on an installation because of a mark in"
    " this report."
)
_LIMITS = (
    "Nothing done offline proves who answered, when, or with what help. Times are the learner's own"
    " clock. An issue code stops a file being handed in under another code unless it was lent;"
    " sealing hides answers from other learners and proves nothing about who wrote them."
)
CORRECTING = Markup(
    "<p>A question or its key is wrong after all? Write a line into <code>corrections.csv</code>"
    " and mark again: <code>also-right</code> with the answer as it stands in square brackets above"
    " (or the answer itself where there are no brackets), <code>all-right</code>, or"
    " <code>leave-out</code>; always with a reason. Where a learner's answers stand twice and"
    " differ, <code>use</code> with the learner's code in the first column says which file"
    " counts.</p>"
)
_MOST_MISTAKES, _MOST_CODES = 20, 60
ENOUGH_ALPHA, CLASS_ALPHA = 0.80, 0.60


def report_html(
    marks: ClassMarks, found: Analysis, style: str, others: Sequence[str] = ()
) -> Markup:
    """The whole report.

    Learners appear by their codes. `others` are the reports of editions with other questions.
    """
    key = marks.key
    parts = [
        tag("h1", f"{visible(key.title)}: what the class got wrong"),
        caution_html(),
        (
            tag(
                "p",
                (
                    f"{visible(edition_line(key.edition))} Paper {visible(key.paper)}, version"
                    f" {visible(key.version)}."
                ),
                class_="soft",
            )
        ),
        tag("p", _NOT_PROOF),
        _other_reports(others),
        _summary(marks, found),
        _first(marks, found),
        _teach_again(found),
        _mistakes(found),
        _questions(found),
        _learners(marks),
        _aside(marks),
        _alike(found),
        _sure(found),
        (tag("h2", "What these figures cannot say") + tag("p", _LIMITS)),
    ]
    return page_html(
        f"{key.title}: class report", joined((part for part in parts if part), "\n"), style
    )


def _other_reports(names: Sequence[str]) -> Markup:
    if not names:
        return Markup()
    links = joined((tag("a", visible(name), href=visible(name)) for name in names), ", ")
    return tag(
        "p",
        "Some sat an earlier edition with other questions; what they got wrong stands in ",
        links,
        ".",
    )


def _summary(marks: ClassMarks, found: Analysis) -> Markup:
    facts = [
        ("marked", str(len(marks.marked))),
        ("handed nothing in", str(len(marks.missing))),
        *([("to be decided", str(len(marks.undecided)))] if marks.undecided else []),
        ("set aside", str(len(marks.aside))),
        (
            "mean",
            (
                f"{decimal(found.mean, 1, 'nobody')} of {found.out_of:g}"
                if found.mean is not None
                else "nobody marked"
            ),
        ),
    ]
    items = (tag("li", tag("strong", value), name) for name, value in facts)
    return tag("ul", *items, class_="figures")


def _first(marks: ClassMarks, found: Analysis) -> Markup:
    """What to do before anything else, a sentence each.

    What rests on a doubted question waits until its key is sure.
    """
    said: list[str] = []
    weak = _weak_topics(found)
    doubted = [each for each in found.questions if each.doubted]
    if marks.undecided:
        said.append(
            Markup(
                "Decide which answers count of {}: what was typed and the file they handed"
                ' in differ, and neither is marked. <a href="#aside">The lines to write</a>'
                " are among what was set aside."
            ).format(visible(_codes(marks.undecided)))
        )
    if marks.aside:
        said.append(Markup('<a href="#aside">Look at what was set aside</a>: it is not marked.'))
    said += [visible(note) + "." for note in marks.notes if note.startswith(CORRECTIONS_FILE)]
    if doubted:
        said.append(
            "Read again, with their keys, before marks are given out: "
            + joined(map(_link, doubted), ", ")
            + f".{_waiting(found)}"
        )
    if weak:
        said.append(
            f"Teach again: {visible(weak[0].text)} ({percent(weak[0].sure_share)} of the points)."
        )
    mistake = next((each for each in found.mistakes if not each.doubted), None)
    if mistake is not None and mistake.learners > 1:
        said.append(
            f"Talk about one mistake: {visible(mistake.name)} ({mistake.learners} of {mistake.of}"
            " learners)."
        )
    missed = [each for each in found.questions if found.safety_missed.get(each.asked.id)]
    if missed:
        said.append(
            "Safety: speak with each of these before they work on anything."
            + joined(
                Markup("<br>{}{}: {} ({} of {})").format(
                    _link(each),
                    _but_doubted(each),
                    visible(_codes(found.safety_missed[each.asked.id])),
                    len(found.safety_missed[each.asked.id]),
                    found.learners,
                )
                for each in missed
            )
        )
    if not said:
        return Markup()
    return tag("h2", "First") + tag("ol", *(tag("li", each) for each in said))


def _codes(codes: Sequence[str]) -> str:
    more = (
        f" and {len(codes) - _MOST_CODES} more, all in marks.csv"
        if len(codes) > _MOST_CODES
        else ""
    )
    return ", ".join(codes[:_MOST_CODES]) + more


def _but_doubted(each: QuestionFigures) -> str:
    return " (once its key is sure)" if each.doubted else ""


def _weak_topics(found: Analysis) -> list[Topic]:
    """Topics to teach again, the weakest first, by the questions whose keys are not in doubt."""
    weak = [
        (topic.sure_share, topic)
        for topic in found.topics
        if topic.sure_share is not None and topic.sure_share < WEAK_TOPIC
    ]
    return [topic for _, topic in sorted(weak, key=lambda pair: pair[0])]


def _waiting(found: Analysis) -> str:
    """Topics that are weak by doubted questions alone."""
    weak = _weak_topics(found)
    waiting = [topic for topic in found.topics if topic.share < WEAK_TOPIC and topic not in weak]
    if not waiting:
        return ""
    rests = "; ".join(
        f"{visible(topic.text)} (by {visible(', '.join(topic.doubted))})" for topic in waiting
    )
    return f" Until then do not teach again what is weak by them alone: {rests}."


def _link(each: QuestionFigures) -> Markup:
    return tag("a", visible(each.asked.id), href=f"#q-{visible(each.asked.id)}")


def _teach_again(found: Analysis) -> Markup:
    if not found.topics:
        return Markup()
    ranked = sorted(found.topics, key=lambda topic: topic.share)
    rows = [
        [
            visible(topic.text),
            share_html(topic.share),
            str(topic.questions),
            str(topic.learners_below),
            visible(", ".join(topic.doubted)),
        ]
        for topic in ranked
    ]
    weak = _weak_topics(found)
    said = (
        Markup("Teach again first: <strong>{}</strong>.").format(visible(weak[0].text))
        if weak
        else f"No topic is below {percent(WEAK_TOPIC)} of its points."
    )
    if not weak and any(topic.share < WEAK_TOPIC for topic in ranked):
        said = (
            f"No topic is below {percent(WEAK_TOPIC)} of its points but by questions whose keys are"
            " to be read again."
        )
    few = (
        " One or two questions say little about a topic: look at the questions too."
        if any(topic.questions < 3 for topic in weak)
        else ""
    )
    heads = [
        ("You can", False),
        ("share of points", False),
        ("questions", True),
        (f"learners below {percent(WEAK_TOPIC)}", True),
    ]
    heads += [("read its key again", False)] if any(topic.doubted for topic in ranked) else []
    return (tag("h2", "Topics") + tag("p", said, few)) + desk_table_html(
        "Share of points by topic, the weakest first", heads, [row[: len(heads)] for row in rows]
    )


def _mistakes(found: Analysis) -> Markup:
    if not found.mistakes:
        return Markup("<h2>Mistakes by name</h2><p>No answer matched a named mistake.</p>")
    rows = [
        [
            visible(each.name),
            f"{each.learners} of {each.of}",
            visible(", ".join(each.questions)),
        ]
        for each in found.mistakes[:_MOST_MISTAKES]
    ]
    first = found.mistakes[0]
    more = (
        f" {len(found.mistakes) - _MOST_MISTAKES} rarer ones are not shown."
        if len(found.mistakes) > _MOST_MISTAKES
        else ""
    )
    return (
        tag("h2", "Mistakes by name")
        + tag(
            "p",
            first.learners,
            " of ",
            first.of,
            " learners: ",
            tag("strong", visible(first.name)),
            ".",
            more,
        )
    ) + desk_table_html(
        "Named mistakes, the most frequent first",
        [("mistake", False), ("learners", True), ("in", False)],
        rows,
    )


def _questions(found: Analysis) -> Markup:
    few = (
        tag(
            "p",
            "Fewer than ",
            FEWEST_FOR_A_GUESS,
            " papers: too few to judge how questions tell learners apart.",
        )
        if found.too_few
        else (
            tag(
                "p",
                "Fewer than ",
                FEWEST_LEARNERS,
                " papers: take the figures that compare learners as hints.",
            )
            if found.learners < FEWEST_LEARNERS
            else ""
        )
    )
    rows = [
        [
            str(number),
            _link(each),
            share_html(each.facility, 80),
            decimal(each.discrimination),
            decimal(each.link),
            "yes" if each.asked.safety else "",
            "look" if each.advice else "",
        ]
        for number, each in enumerate(found.questions, 1)
    ]
    table = desk_table_html(
        "Every question, in the order of the marking scheme",
        [
            ("number", True),
            ("question", False),
            ("got right (facility)", False),
            ("discrimination", True),
            ("goes with the rest (corrected point-biserial)", True),
            ("safety", False),
            ("advice", False),
        ],
        rows,
    )
    chart = questions_chart(found.questions)
    ranked = sorted(
        found.questions,
        key=lambda each: (not each.advice, each.facility if each.facility is not None else 1.0),
    )
    return (
        (
            tag("h2", "Questions")
            + few
            + chart
            + table
            + tag("p", "Each question with its answers, those with advice first:")
        )
        + joined(map(_question, ranked))
        + CORRECTING
    )


def _question(each: QuestionFigures) -> Markup:
    rows = [
        [_answer(choice), str(choice.count), *(percent(share) for share in choice.thirds)]
        for choice in each.choices
        if choice.count or choice.words
    ]
    advice = joined(tag("p", visible(words), class_="advice") for words in each.advice)
    band = (
        f" (95 % interval {decimal(each.link_low)} to {decimal(each.link_high)})"
        if each.link_low is not None
        else ""
    )
    figures = (
        f"Got right {percent(each.facility)}; discrimination {decimal(each.discrimination)}; goes"
        f" with the rest {decimal(each.link)}{band}; {each.silent} gave no answer.{_sets(each)}"
    )
    table = desk_table_html(
        f"Answers to {each.asked.id}",
        [
            ("answer", False),
            ("learners", True),
            ("bottom third", True),
            ("middle third", True),
            ("top third", True),
        ],
        rows,
    )
    return tag(
        "details",
        tag("summary", f"{visible(each.asked.id)}: {visible(each.stem)}"),
        advice,
        tag("p", figures, class_="soft"),
        table,
        id=f"q-{visible(each.asked.id)}",
        open=bool(each.advice),
    )


def _sets(each: QuestionFigures) -> str:
    count = len({version.variant for version in each.asked.versions.values()})
    return f" Asked with {count} sets of figures; one is shown." if count > 1 else ""


def _answer(choice: Choice) -> Markup:
    mark = (
        Markup(' <span class="soft">[{}]</span>').format(visible(choice.chosen))
        if choice.chosen.replace(" ", "").isdigit() and choice.words != choice.chosen
        else ""
    )
    right = visible(choice.words) + ("" if choice.chosen == "right" else " (right)")
    words = tag("span", right, class_="right-one") if choice.right else visible(choice.words)
    return escape(words) + mark


def _learners(marks: ClassMarks) -> Markup:
    heads = [
        ("code", False),
        ("points", True),
        ("share", True),
        ("notes", False),
        ("file, where not as the page names it", False),
    ]
    rows = [
        [
            visible(each.code),
            f"{each.points:g} of {each.out_of:g}",
            percent(each.points / each.out_of if each.out_of else None),
            visible("; ".join(each.notes)),
            ""
            if each.file == f"{marks.key.paper}-{each.code}-answers.json"
            else visible(each.file),
        ]
        for each in marks.marked
    ]
    chart = points_chart(
        [each.points for each in marks.marked],
        max((each.out_of for each in marks.marked), default=0),
    )
    undecided = (
        tag("p", f"To be decided: {visible(', '.join(marks.undecided))}.")
        if marks.undecided
        else ""
    )
    missing = (
        tag("p", f"Handed nothing in: {visible(', '.join(marks.missing))}.")
        if marks.missing
        else ""
    )
    return joined(
        [
            tag("h2", "Learners"),
            chart,
            desk_table_html("Points by learner", heads, rows),
            undecided,
            missing,
            _corrections(marks),
        ]
    )


def _corrections(marks: ClassMarks) -> Markup:
    if not marks.corrections:
        return Markup()
    words = (
        " ".join(part for part in (f"{each.question}: {each.what}", each.answer) if part)
        + f". {each.reason}"
        for each in marks.corrections
    )
    return tag("p", "Corrections that were used:") + tag(
        "ul", joined(tag("li", visible(each)) for each in words)
    )


def _aside(marks: ClassMarks) -> Markup:
    if not marks.aside:
        return Markup()
    rows = joined(tag("li", visible(str(each))) for each in marks.aside)
    return tag("h2", "Set aside, to be looked at by hand", id="aside") + tag("ul", rows)


def _alike(found: Analysis) -> Markup:
    if not found.alike:
        return Markup()
    rows = [
        [visible(f"{each.first} and {each.second}"), str(each.same), odds_words(each.odds)]
        for each in found.alike
    ]
    pairs = found.learners * (found.learners - 1) // 2
    return (
        tag("h2", "Papers strangely alike")
        + tag(
            "p",
            (
                "These pairs share more wrong answers than chance explains, given how the whole"
                " class went wrong. It is a reason to look and to ask, not an accusation: two"
                f" who learnt together make the same mistakes. All {pairs:,} pairs were looked"
                " at, and that is allowed for."
            ),
        )
    ) + desk_table_html(
        "Pairs",
        [
            ("learners", False),
            ("wrong answers in common", True),
            ("by chance, of so many pairs", True),
        ],
        rows,
    )


def odds_words(odds: float) -> str:
    """Small odds for people: one in how many, in two figures."""
    if odds < 1e-15:
        return "fewer than 1 in a million billion"
    whole = 1 / odds
    step = 10 ** max(0, len(str(int(whole))) - 2)
    return f"1 in {round(whole / step) * step:,}"


def _sure(found: Analysis) -> Markup:
    if found.alpha is None:
        return tag("h2", "How sure the marks are") + tag(
            "p",
            "Too few to judge: fewer than ",
            FEWEST_FOR_A_GUESS,
            " papers, or no spread between them.",
        )
    more = longer_by(found.alpha, ENOUGH_ALPHA)
    words = (
        "enough for a class test"
        if found.alpha >= CLASS_ALPHA
        else "too low to compare learners by"
    ) + f" (a class test is usually asked for {CLASS_ALPHA:.2f}, common practice)"
    longer = (
        f" A paper {more:.1f} times as long, of like questions, would reach {ENOUGH_ALPHA:.2f}."
        if more and more > 1
        else ""
    )
    return tag("h2", "How sure the marks are") + tag(
        "p",
        (
            "Reliability (alpha, for one-point questions the same as KR-20):"
            f" {decimal(found.alpha)}, 95 % interval {decimal(found.alpha_low)} to"
            f" {decimal(found.alpha_high)}: "
        ),
        words,
        ".",
        longer,
        (
            f" Standard error of a mark: {decimal(found.standard_error, 1)} points. Two marks"
            " closer than that are not different; a mark within it of any line you draw asks"
            " for another look, not a verdict."
        ),
    )
