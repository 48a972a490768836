"""Quiz: worked questions to the body of a page. Readable without scripts; `content/assets/quiz.js` marks it."""

from __future__ import annotations

import json
from hashlib import sha256
from html import escape
from typing import Any, Mapping, Sequence

from firstway.quiz.marking import WORDS, NumberKey, data_of_key
from firstway.quiz.values import Content, WorkedOption, WorkedQuestion, content_text
from firstway.quiz.words import Figure, html_of
from firstway.rendering.caution import caution_html
from firstway.rendering.symbols import unit_text

NOT_PROOF = ("A mark here is practice. It is not proof of competence, and it does not permit anybody to work on an"
             " installation.")


def quiz_html(title: str, questions: Sequence[WorkedQuestion], seed: str, *, quiz_id: str,
              outcomes: Mapping[str, str], introduction: str = "") -> str:
    """The quiz as HTML for the body of a page, with its caution and the data for the script.

    `outcomes` gives the sentence for each outcome id, in reading order; `seed` enters the version,
    so answers saved from another arrangement are recognised.
    """
    data = page_data(title, questions, seed, quiz_id, outcomes)
    name = escape(quiz_id)
    return "\n".join([
        f'<section class="quiz" id="quiz-{name}" aria-label="{escape(title)}">',
        caution_html(),
        f'<p class="quiz-introduction">{escape(introduction)}</p>' if introduction else "",
        f'<p class="quiz-not-proof">{escape(NOT_PROOF)}</p>',
        '<noscript><p class="quiz-plain">Scripts are off: answer on paper, then open <em>Answers and why</em> below the'
        " last question.</p></noscript>",
        '<form class="quiz-form" autocomplete="off" novalidate>',
        '<ol class="quiz-questions">',
        *(_question(quiz_id, number, len(questions), worked) for number, worked in enumerate(questions, 1)),
        "</ol>",
        _foot(quiz_id),
        "</form>",
        _answers(questions),
        f'<script type="application/json" class="quiz-data">{json_for_page(data)}</script>',
        "</section>",
        "",
    ])


def page_data(title: str, questions: Sequence[WorkedQuestion], seed: str, quiz_id: str,
              outcomes: Mapping[str, str]) -> dict[str, Any]:
    """What the script needs: keys to mark with, the sentences to say, the outcomes to add up by."""
    used = {worked.question.outcome for worked in questions}
    keys = [{"id": worked.id, "outcome": worked.question.outcome, "must_pass": worked.question.must_pass,
             "key": data_of_key(worked.key)} for worked in questions]
    ordered = [{"id": id_, "text": text} for id_, text in outcomes.items() if id_ in used]
    ordered += [{"id": id_, "text": id_} for id_ in sorted(used - set(outcomes))]
    version = sha256(json.dumps([seed, keys], ensure_ascii=True, sort_keys=True).encode()).hexdigest()[:12]
    return {"quiz": quiz_id, "version": version, "title": title, "words": dict(WORDS), "outcomes": ordered, "questions": keys}


def json_for_page(data: Any) -> str:
    """JSON that cannot leave its script element, whatever text it holds."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return text


def _question(quiz_id: str, number: int, of: int, worked: WorkedQuestion) -> str:
    place = f"{quiz_id}-{worked.id}"
    fields = _number_field(place, worked) if isinstance(worked.key, NumberKey) else _options(place, worked)
    must = ' <span class="quiz-must">Safety: know this one for sure.</span>' if worked.question.must_pass else ""
    return (f'<li class="quiz-question" data-question="{escape(worked.id)}"><fieldset id="{escape(place)}">'
            f'<legend><span class="quiz-place">Question {number} of {of}</span> {html_of(worked.stem)}{must}</legend>\n'
            f"{fields}\n"
            f'<p class="quiz-buttons" hidden><button type="button" class="quiz-mark-one"'
            f' aria-describedby="{escape(place)}-said">Mark this one</button></p>\n'
            f'<div class="quiz-said" id="{escape(place)}-said" role="status"></div></fieldset></li>')


def _number_field(place: str, worked: WorkedQuestion) -> str:
    unit = unit_text(worked.unit)
    label = f"Your answer, in {unit}" if unit else "Your answer"
    after = f' <span class="quiz-unit" aria-hidden="true">{escape(unit)}</span>' if unit else ""
    hint = "A decimal point or a comma will do."
    return (f'<p class="quiz-number"><label for="{escape(place)}-a">{escape(label)}</label>'
            f' <input id="{escape(place)}-a" type="text" inputmode="decimal" autocomplete="off" spellcheck="false"'
            f' maxlength="200" size="10" aria-describedby="{escape(place)}-h">{after}'
            f' <span class="quiz-hint" id="{escape(place)}-h">{hint}</span></p>')


def _options(place: str, worked: WorkedQuestion) -> str:
    """Options are plain text: the mark-up of a figure would tell which one came from the working."""
    return "\n".join(
        f'<p class="quiz-option"><input type="radio" name="{escape(place)}" id="{escape(place)}-{option.id}"'
        f' value="{option.id}"><label for="{escape(place)}-{option.id}">{escape(content_text(option.content))}</label></p>'
        for option in worked.options)


def _content(content: Content) -> str:
    if isinstance(content, tuple):
        return html_of(content)
    return content.html if isinstance(content, Figure) else escape(content.text)


def _foot(quiz_id: str) -> str:
    name = escape(quiz_id)
    return "\n".join([
        '<div class="quiz-foot" hidden>',
        '<p class="quiz-buttons"><button type="button" class="quiz-mark-all">Mark all</button>'
        ' <button type="button" class="quiz-hand-in">Hand in</button></p>',
        '<div class="quiz-total" role="status"></div>',
        f'<div class="quiz-result" hidden><h2 tabindex="-1" id="{name}-result">Your result</h2>'
        '<p class="quiz-score"></p>'
        '<table class="quiz-points"><caption>Points by outcome</caption><thead><tr><th scope="col">You can</th><th scope="col">Points</th></tr>'
        "</thead><tbody></tbody></table>"
        f'<p class="quiz-not-proof">{escape(NOT_PROOF)}</p>'
        '<p class="quiz-buttons"><button type="button" class="quiz-again">Try again</button></p></div>',
        '<div class="quiz-keep"><p class="quiz-buttons"><button type="button" class="quiz-save">Save my answers</button>'
        f' <label class="quiz-load" for="{name}-load">Load my answers <input type="file" id="{name}-load"'
        ' accept=".json,application/json"></label></p>'
        '<p class="quiz-hint">Your answers stay on this device as a convenience; clearing the browser or moving the folder'
        " loses them. The file you save is the record that lasts. It holds no name.</p>"
        '<div class="quiz-kept" role="status"></div></div>',
        "</div>",
    ])


def _answers(questions: Sequence[WorkedQuestion]) -> str:
    entries = "\n".join(_answer(worked) for worked in questions)
    return ('<details class="quiz-answers"><summary>Answers and why</summary>\n'
            f"<ol>\n{entries}\n</ol></details>")


def _answer(worked: WorkedQuestion) -> str:
    source = worked.question.source
    lines = [f'<li><p><strong>{_content(worked.answer)}</strong></p>', f"<p>{html_of(worked.why)}</p>"]
    wrong = [_wrong_option(option) for option in worked.options if not option.right]
    wrong += [f"<li>{escape(item.value.text)}: {escape(item.mistake)}. {html_of(item.feedback)}</li>" for item in worked.mistakes]
    if wrong:
        lines.append(f"<p>Not these:</p><ul>{''.join(wrong)}</ul>")
    if source:
        lines.append(f'<p class="quiz-source">Source: {escape(source)}</p>')
    return "".join(lines) + "</li>"


def _wrong_option(option: WorkedOption) -> str:
    return f"<li><q>{_content(option.content)}</q> ({escape(option.mistake)}). {html_of(option.feedback)}</li>"
