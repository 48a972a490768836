"""Quiz: worked questions to the body of a page.

Readable without scripts; `quiz/scripts/quiz.js` marks it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any

from firstway.quiz.forms.drawings import PageDrawings
from firstway.quiz.forms.shown_question import shown_question
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.marking.marking import MARK_WORDS
from firstway.quiz.paper.fields import question_html, sheet_html
from firstway.quiz.paper.practice_sets import PracticeSet, practice_sets
from firstway.quiz.paper.recipe import MARKED
from firstway.rendering.figures import json_text
from firstway.rendering.html import Markup, caution_fold_html, caution_html, joined, tag

FEWEST_FOR_AN_INTERVAL = 10
"""Answered questions below which no interval is shown: with nine it still spans half of all shares
(Wilson, at a half)."""
NOT_PROOF = (
    "A mark here is practice. It is not proof of competence, and it does not permit anybody to work"
    " on an installation."
)
_KEEPING = {
    "load-broken": "The file cannot be read. Nothing was changed.",
    "load-large": "This file is too large for saved answers. Nothing was changed.",
    "load-none": "This file holds no saved answers. Nothing was changed.",
    "loaded": "Your answers are back.",
}
PAGE_WORDS = {
    **_KEEPING,
    "total": "Marked {counted} of {questions}. Points so far: {points} of {out_of}.",
    "open-one": (
        "1 question has no answer that can be marked: number {questions}. Answer, or press Hand in"
        " again to hand in as it is."
    ),
    "open-many": (
        "{count} questions have no answer that can be marked: numbers {questions}. Answer, or press"
        " Hand in again to hand in as it is."
    ),
    "score": "Points: {points} of {out_of}.",
    "place": "Question {number} of {of}",
    "show": "Show the answer",
    "hinted": "Right with a hint: this comes back tomorrow.",
    "sure-asked": "Are you sure of your answer?",
    "sure-yes": "Sure",
    "sure-no": "Not sure",
    "sure": (
        "{questions} questions are a sample. Other questions of the same kind could have given"
        " anything from {low} % to {high} % of the points (95 % interval after Wilson)."
    ),
    "again": "Try again",
    "again-other": "Try again with other figures",
    "saved": "Saved as {name}, where your browser keeps downloads.",
    "load-other": "These answers belong to another quiz or to a paper. Nothing was changed.",
    "load-older": (
        "These answers were saved by an older edition of this page, which named options in another"
        " way. Typed numbers are back; choose again where there is something to choose."
    ),
    "load-version": (
        "These answers were saved from another version of this quiz. Those that still fit are back;"
        " check each."
    ),
}
PAPER_WORDS = {
    **_KEEPING,
    "count": "Answered: {count} of {questions}.",
    "count-unsaved": "Answered: {count} of {questions}. Not saved to a file yet.",
    "saved": (
        "Saved as {name}, where your browser keeps downloads. Hand this file to your tutor. This"
        " device keeps your answers no longer: see that the file is there before you close this"
        " page."
    ),
    "saved-kept": (
        "Saved as {name}, where your browser keeps downloads. Hand this file to your tutor. This"
        " device keeps your answers."
    ),
    "not-kept": (
        "This browser keeps nothing while you work. Save your answers before you close this page."
    ),
    "elsewhere": "This paper is open in another window too. What was done there stands here now.",
    "clear-sure": "Your answers are not saved to a file. Press again to clear them all the same.",
    "cleared": "Nothing of this paper is left on this device but the files you saved.",
    "copied": (
        "Copy saved as {name}. Anybody can read it: it is for carrying on elsewhere, not for"
        " handing in."
    ),
    "not-sealed": (
        "This browser cannot seal the answers. Save a copy instead, and tell your tutor that it is"
        " not sealed."
    ),
    "load-sealed": "This file is sealed: only your tutor can open it. Nothing was changed.",
    "load-other": "These answers belong to another paper or another learner. Nothing was changed.",
    "load-version": "These answers were saved from another version of this paper. Check each.",
}
NUDGE_WORDS = {
    "wrong": (
        "Not this one, and no mistake we know of gives it. What is asked for, and what is given?"
        " Check each figure and its unit, then try once more."
    ),
    "mistake": (
        "Not this one. This comes from a known mistake: {mistake}. {feedback}\nTry once more."
    ),
    "part": "Partly right.\n{said}\nTry once more.",
    "nothing-right": "Not right.\n{said}\nTry once more.",
    "said-missed": "A right one is still missing.",
    "said-part-wrong": ("Figure {part}: not this one. Check what goes into it, and its unit."),
    "said-step": "The first step out of place is number {place}.",
    "said-step-because": "The first step out of place is number {place}.",
}
"""What is said in place of the sentences of a mark after a first miss: the mistake, not the answer.
"""
AT_ONCE, AT_THE_END = MARKED

Reread = Mapping[str, tuple[str, str]]
"""Outcome id to the title and the address of the page that teaches it."""


def quiz_html(
    title: str,
    questions: Sequence[WorkedQuestion],
    seed: str,
    *,
    quiz_id: str,
    outcomes: Mapping[str, str],
    introduction: str = "",
    marking: str = AT_ONCE,
    others: Mapping[str, Sequence[WorkedQuestion]] | None = None,
    reread: Reread | None = None,
    pass_percent: float = 0.0,
) -> Markup:
    """The quiz as HTML for the body of a page, with its caution and the data for the script.

    `outcomes` gives the sentence for each outcome id, in reading order; `seed` enters the version,
    so answers saved from another arrangement are recognised. `others` holds, by question id, the
    same question with other figures; `reread` says where an outcome is taught; `marking` is one of
    `MARKED` of a recipe: told one by one, or when it is handed in. `pass_percent` is said where a
    recipe sets it.
    """
    sets = [practice_sets(worked, (others or {}).get(worked.id, ())) for worked in questions]
    return practice_html(
        title,
        sets,
        seed,
        quiz_id=quiz_id,
        outcomes=outcomes,
        introduction=introduction,
        marking=marking,
        reread=reread,
        pass_percent=pass_percent,
    )


def practice_html(
    title: str,
    sets: Sequence[Sequence[PracticeSet]],
    seed: str,
    *,
    quiz_id: str,
    outcomes: Mapping[str, str],
    introduction: str = "",
    marking: str = AT_ONCE,
    reread: Reread | None = None,
    pass_percent: float = 0.0,
    script: Markup = Markup(),
) -> Markup:
    """The same of questions as sets of figures: of each the one shown first, then the others.

    The data, and the `script` if the page names it here, stand below the first question: that can
    be answered and marked while the browser still reads the rest.
    """
    data = quiz_data(title, sets, seed, quiz_id, marking)
    drawings = PageDrawings(f"q-{quiz_id}")
    firsts = [variants[0] for variants in sets]
    first, *others = (
        practice_question(quiz_id, number, variants, len(sets), drawings, marking)
        for number, variants in enumerate(sets, 1)
    )
    return joined(
        [
            Markup('<section class="quiz" id="quiz-{}" aria-label="{}">').format(quiz_id, title),
            caution_fold_html(),
            tag("p", introduction, class_="quiz-introduction") if introduction else "",
            tag("p", NOT_PROOF, class_="quiz-not-proof"),
            tag(
                "p",
                f"The mark set for this quiz is {pass_percent:g} % of the points.",
                class_="quiz-hint",
            )
            if pass_percent
            else "",
            tag(
                "noscript",
                tag(
                    "p",
                    "Scripts are off: answer on paper, then open ",
                    tag("em", "Answers and why"),
                    " below the last question.",
                    class_="quiz-plain",
                ),
            ),
            Markup('<form class="quiz-form" autocomplete="off" spellcheck="false" novalidate>'),
            Markup('<ol class="quiz-questions">'),
            first,
            tag("script", json_for_page(data), type="application/json", class_="quiz-data"),
            *([script] if script else []),
            *others,
            Markup("</ol>"),
            foot_html(quiz_id, _outcomes(firsts, outcomes), reread or {}),
            Markup("</form>"),
            sheet_html(
                title, [each.shown for each in firsts], (("Name or code", ""), ("Date", ""))
            ),
            _answers(sets),
            Markup("</section>"),
            "",
        ],
        "\n",
    )


def page_data(
    title: str, questions: Sequence[WorkedQuestion], seed: str, quiz_id: str
) -> dict[str, Any]:
    """What the script needs for questions with one set of figures."""
    return quiz_data(title, [practice_sets(worked) for worked in questions], seed, quiz_id, AT_ONCE)


def quiz_data(
    title: str, sets: Sequence[Sequence[PracticeSet]], seed: str, quiz_id: str, marking: str
) -> dict[str, Any]:
    """Keys to mark with and the sentences to say.

    Why a first key is right, and what is said of its wrong options, stands in the fold as well: the
    script takes it from there, and a page of forty questions is a quarter smaller. The first
    question, which is marked before the fold is read, brings its own.
    """
    asked = [asked_data(variants) for variants in sets]
    version = sha256(
        json_text([seed, asked], ensure_ascii=True, sort_keys=True).encode()
    ).hexdigest()[:12]
    for question in asked[1:]:
        first = question["variants"][0]
        first["key"] = _without_fold(first["key"])
    return {
        "quiz": quiz_id,
        "version": version,
        "title": title,
        "marking": marking,
        "words": {**MARK_WORDS, **PAGE_WORDS},
        **({"nudge": NUDGE_WORDS} if marking == AT_ONCE else {}),
        "fewest": FEWEST_FOR_AN_INTERVAL,
        "questions": asked,
    }


def asked_data(variants: Sequence[PracticeSet]) -> dict[str, Any]:
    first = variants[0]
    varied = len(variants) > 1
    return {
        "id": first.shown.id,
        "outcome": first.outcome,
        "safety": first.shown.safety,
        "variants": [
            {"key": each.key, **({"texts": list(each.shown.texts)} if varied else {})}
            for each in variants
        ],
    }


def _without_fold(key: Mapping[str, Any]) -> dict[str, Any]:
    """The key without what the fold says."""
    left = _but(key, "why")
    if "options" in left:
        left["options"] = [_but(option, "mistake", "feedback") for option in left["options"]]
    return left


def _but(data: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in data.items() if name not in names}


def _outcomes(
    questions: Sequence[PracticeSet], outcomes: Mapping[str, str]
) -> list[tuple[str, str]]:
    """The outcomes asked for, in reading order, with their sentences; those without one at
    the end.
    """
    used = {each.outcome for each in questions}
    return [(id_, text) for id_, text in outcomes.items() if id_ in used] + [
        (id_, id_) for id_ in sorted(used - set(outcomes))
    ]


def learner_html(
    title: str,
    questions: Sequence[WorkedQuestion],
    *,
    paper: str,
    paper_version: str,
    learner: str,
    issue: str,
    introduction: str = "",
    edition: str = "",
    public_key: Mapping[str, Any] | None = None,
) -> Markup:
    """An assigned paper for one learner: the questions and nothing that marks them;
    `quiz/scripts/paper.js` collects answers.

    `learner` is the learner's code, never a name; `issue` the code that goes back with the answers;
    `public_key` the tutor's RSA key as a JSON web key, or None to save answers unsealed. Figures in
    stems are plain text here: no page of an assigned paper names the step a figure comes from.
    """
    faces = [shown_question(worked) for worked in questions]
    drawings = PageDrawings("p")
    data = {
        "format": "firstway paper 1",
        "paper": paper,
        "paper_version": paper_version,
        "learner": learner,
        "issue": issue,
        "words": PAPER_WORDS,
        "public_key": public_key,
    }
    facts = (
        ("Paper", paper),
        ("Version", paper_version),
        ("Learner", learner),
        ("Issue", issue),
        ("Date", ""),
    )
    shown_facts = [
        tag("span", f"{fact}: {value}", class_="quiz-fact") + " " for fact, value in facts if value
    ]
    return joined(
        [
            Markup('<section class="quiz paper" id="paper-{}" aria-label="{}">').format(
                paper, title
            ),
            Markup('<div class="quiz-booklet">'),
            caution_html(),
            tag("p", introduction, class_="quiz-introduction") if introduction else "",
            tag("p", joined(shown_facts), class_="quiz-hint"),
            tag("p", edition, class_="quiz-hint") if edition else "",
            tag(
                "noscript",
                tag(
                    "p",
                    (
                        "Scripts are off: print this paper, answer on the answer sheet and hand"
                        " that in."
                    ),
                    class_="quiz-plain",
                ),
            ),
            Markup('<form class="quiz-form" autocomplete="off" spellcheck="false" novalidate>'),
            Markup('<ol class="quiz-questions">'),
            *(
                question_html(face, number, len(faces), f"q-{number}", drawings)
                for number, face in enumerate(faces, 1)
            ),
            Markup("</ol>"),
            _paper_foot(paper, public_key is not None),
            Markup("</form>"),
            _signed(
                (
                    ("Paper", f"{paper} v{paper_version}"),
                    ("Learner", learner),
                    ("Issue", issue),
                    ("Signature", ""),
                )
            ),
            Markup("</div>"),
            sheet_html(title, faces, (*facts, ("Signature", ""))),
            tag("script", json_for_page(data), type="application/json", class_="paper-data"),
            Markup("</section>"),
            "",
        ],
        "\n",
    )


def _signed(facts: Sequence[tuple[str, str]]) -> Markup:
    """What stands at the foot of every printed page, so that a loose one is known; an empty fact is
    a line to write on.
    """
    parts = joined(
        Markup("<span>{} {}</span> ").format(name, value if value else tag("i"))
        for name, value in facts
    )
    return tag("p", parts, class_="quiz-signed", aria_hidden="true")


def _paper_foot(name: str, sealed: bool) -> Markup:
    how = "sealed, so that only your tutor can read it" if sealed else "which anybody can read"
    return joined(
        [
            Markup('<div class="quiz-foot" hidden>'),
            tag("div", class_="quiz-total", role="status"),
            tag(
                "p",
                tag("button", "Save my answers", type="button", class_="paper-save quiz-hand-in"),
                " ",
                tag(
                    "button",
                    "Save a copy to carry on elsewhere",
                    type="button",
                    class_="paper-copy",
                    hidden=True,
                ),
                " ",
                tag(
                    "label",
                    "Load my answers ",
                    tag("input", type="file", id=f"{name}-load", accept=".json,application/json"),
                    class_="quiz-load",
                    for_=f"{name}-load",
                ),
                class_="quiz-buttons",
            ),
            tag(
                "p",
                tag("button", "Clear this device", type="button", class_="paper-clear"),
                " ",
                tag(
                    "label",
                    tag("input", type="checkbox"),
                    " Keep my answers on this device after saving",
                    class_="paper-stay",
                ),
                class_="quiz-buttons",
            ),
            tag(
                "p",
                (
                    "Nothing is marked here and nothing is sent. Your answers are saved as a file,"
                    f" {how}: hand that file in. While you work they stay on this device; once the"
                    " file is saved they are cleared from it, unless you tick the box. Clearing the"
                    " browser or moving this file loses them."
                ),
                class_="quiz-hint",
            ),
            tag("div", class_="quiz-kept", role="status"),
            Markup("</div>"),
        ],
        "\n",
    )


def json_for_page(data: Any) -> Markup:
    """JSON that cannot leave its script element, whatever text it holds."""
    text = json_text(data, ensure_ascii=False, separators=(",", ":"))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return Markup(text)


def practice_question(
    quiz_id: str,
    number: int,
    variants: Sequence[PracticeSet],
    of: int,
    drawings: PageDrawings,
    marking: str,
) -> Markup:
    face = variants[0].shown
    place = f"{quiz_id}-{number}"
    other = (
        tag("button", "Other figures", type="button", class_="quiz-other", hidden=True)
        if len(variants) > 1 and marking != AT_THE_END
        else ""
    )
    mark = (
        ""
        if marking == AT_THE_END
        else tag("button", "Mark this one", type="button", class_="quiz-mark-one")
    )
    buttons = (
        tag("p", mark, other, class_="quiz-buttons", hidden=True) if mark or other else Markup()
    )
    return question_html(
        face,
        number,
        of,
        place,
        drawings,
        varied=len(variants) > 1,
        stem_html=face.stem_html,
        pictures=_pictures(variants, drawings),
        buttons=buttons,
    )


def _pictures(variants: Sequence[PracticeSet], drawings: PageDrawings) -> Markup:
    """The drawings of a question: one for each set of figures where they differ."""
    pictures = [each.shown.drawing for each in variants if each.shown.drawing]
    if not pictures:
        return Markup()
    if len({picture.svg for picture in pictures}) == 1:
        return drawings.figure(pictures[0])
    return joined(drawings.figure(picture, place) for place, picture in enumerate(pictures))


def foot_html(quiz_id: str, outcomes: Sequence[tuple[str, str]], reread: Reread) -> Markup:
    return joined(
        [
            Markup('<div class="quiz-foot" hidden>'),
            tag(
                "p",
                tag(
                    "button", "Mark all", type="button", class_="quiz-mark-all", data_act="markAll"
                ),
                " ",
                tag("button", "Hand in", type="button", class_="quiz-hand-in", data_act="handIn"),
                class_="quiz-buttons",
            ),
            tag("div", class_="quiz-total", role="status"),
            tag(
                "div",
                tag("h2", "Your result", id=f"{quiz_id}-result"),
                tag("p", class_="quiz-score"),
                tag("p", class_="quiz-sure"),
                tag(
                    "div",
                    tag("h3", "Safety questions to go back to"),
                    tag("ul"),
                    class_="quiz-unsure",
                ),
                tag(
                    "table",
                    tag("caption", "Points by outcome"),
                    tag(
                        "thead",
                        tag(
                            "tr",
                            tag("th", "You can", scope="col"),
                            tag("th", "Points", scope="col"),
                        ),
                    ),
                    tag("tbody", joined(_outcome_row(id_, words) for id_, words in outcomes)),
                    class_="quiz-points",
                ),
                _pages_to_reread([id_ for id_, _ in outcomes], reread),
                tag("p", NOT_PROOF, class_="quiz-not-proof"),
                tag(
                    "p",
                    tag(
                        "button", "Try again", type="button", class_="quiz-again", data_act="again"
                    ),
                    class_="quiz-buttons",
                ),
                class_="quiz-result",
                hidden=True,
            ),
            tag(
                "div",
                tag(
                    "p",
                    tag(
                        "button",
                        "Save my answers",
                        type="button",
                        class_="quiz-save",
                        data_act="save",
                    ),
                    " ",
                    tag(
                        "label",
                        "Load my answers ",
                        tag(
                            "input",
                            type="file",
                            id=f"{quiz_id}-load",
                            accept=".json,application/json",
                        ),
                        class_="quiz-load",
                        for_=f"{quiz_id}-load",
                    ),
                    class_="quiz-buttons",
                ),
                tag(
                    "p",
                    (
                        "Your answers stay on this device as a convenience; clearing the browser"
                        " or moving the folder loses them. The file you save is the record that"
                        " lasts. It holds no name."
                    ),
                    class_="quiz-hint",
                ),
                tag("div", class_="quiz-kept", role="status"),
                class_="quiz-keep",
            ),
            Markup("</div>"),
        ],
        "\n",
    )


def _outcome_row(id_: str, words: str) -> Markup:
    return tag("tr", tag("th", words, scope="row"), tag("td"), data_outcome=id_)


def _pages_to_reread(outcomes: Sequence[str], reread: Reread) -> Markup:
    """The pages that teach the outcomes; the script shows those of outcomes that lost points."""
    pages: dict[tuple[str, str], list[str]] = {}
    for id_ in outcomes:
        if id_ in reread:
            pages.setdefault(reread[id_], []).append(id_)
    listed = joined(
        tag("li", tag("a", title, href=address), data_outcomes=" ".join(ids))
        for (title, address), ids in pages.items()
    )
    return tag("div", tag("h3", "Pages to read again"), tag("ul", listed), class_="quiz-reread")


def _answers(sets: Sequence[Sequence[PracticeSet]]) -> Markup:
    entries = joined((answer_html(variants[0].fold, len(variants) > 1) for variants in sets), "\n")
    return tag(
        "details",
        tag("summary", "Answers and why"),
        "\n",
        tag("ol", "\n", entries, "\n"),
        class_="quiz-answers",
    )


def answer_html(fold: Markup, varied: bool) -> Markup:
    if not varied:
        return tag("li", fold)
    return tag("li", tag("div", fold, class_="quiz-first"), tag("p", class_="quiz-these"))
