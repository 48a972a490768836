"""Pages: a gallery of boards, each with one mistake: the drawing and a question first, the answer folded below it."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Sequence

from firstway.choosing.completing import Completed
from firstway.choosing.mistaking import Made, made, makable, worsened
from firstway.drawing.highlight import highlighted
from firstway.drawing.svg import drawn_from
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.model.mistakes import Mistake
from firstway.model.values import is_known
from firstway.pages.findings_part import finding_html
from firstway.pages.listing import one_line
from firstway.pages.markup import details_html, inert, list_html
from firstway.pages.picture import picture_html
from firstway.pages.readings_part import shown_words
from firstway.pages.sheet import Sheet, part_mark
from firstway.rendering.caution import caution_html
from firstway.wiring.circuit import circuit_of
from firstway.wiring.showing import TEST_WORDS, reading_of

URGENT = {
    "now": "At once: someone may be hurt or something may burn without any further fault.",
    "after-one-more-fault": "Before the board is used: with one more fault it becomes dangerous.",
    "loss-or-nuisance": "Soon: it costs protection, goods or patience, and by itself hurts nobody.",
    "paper": "On paper: it may be right, but nobody can show it.",
}
QUESTION = ("What is wrong on this board, and where?", "How urgent is it?", "Which test would show it, and what would it read? Or must one look, pull or measure?",
            "How is it put right, and what comes first?")
INDEX = "mistakes/index.md"
DRAWN_AS = {"board": ("enclosure",), "feed": ("feed.L1", "feed.N", "feed.L2", "feed.L3"), "supply": ("origin",)}


@dataclass(frozen=True)
class Board:
    """One board of the gallery."""

    number: int
    job: Completed
    mistake: Mistake

    @property
    def path(self) -> str:
        return f"mistakes/board-{self.number:02}.md"

    @property
    def title(self) -> str:
        return f"Board {self.number}: {self.job.installation.title}"


def boards(jobs: Sequence[Completed], mistakes: Sequence[Mistake]) -> tuple[Board, ...]:
    """Each mistake once, on the jobs in turn so that no board comes twice in a row where that can be helped."""
    found: list[Board] = []
    for place, mistake in enumerate(mistakes):
        for turn in range(len(jobs)):
            job = jobs[(place + turn) % len(jobs)]
            makings = makable(job, mistake)
            if makings:
                found.append(Board(len(found) + 1, job, makings[0]))
                break
    return tuple(found)


def mistakes_sheets(jobs: Sequence[Completed], mistakes: Sequence[Mistake]) -> list[Sheet]:
    """The gallery and a page for each board."""
    chosen = boards(jobs, mistakes)
    return [_index(chosen), *(_page(board, chosen) for board in chosen)] if chosen else []


def mistakes_paths(jobs: Sequence[Completed], mistakes: Sequence[Mistake]) -> list[str]:
    """Where they stand, for the navigation, without drawing them."""
    chosen = boards(jobs, mistakes)
    return [INDEX, *(board.path for board in chosen)] if chosen else []


def _index(chosen: Sequence[Board]) -> Sheet:
    cards = "".join(f'<a class="card" href="board-{board.number:02}.html"><span class="card-title">Board {board.number}</span>'
                    f'<span class="card-line">{escape(board.job.installation.title)}</span><span class="card-line">{escape(one_line(board.job))}</span></a>' for board in chosen)
    text = "\n\n".join([
        "# Boards with a mistake", '<p class="for">For the trainee who wants to find what is wrong, and for the tutor who asks.</p>',
        part_mark("caution"),
        "On each of these boards one thing was changed. Look at the drawing, read what you are told, and say what is wrong, where, how urgent it is, and which test would show it. "
        "Only then open the answer: it was found in the wiring by the same checks that judge the jobs.", part_mark("boards")])
    return Sheet(INDEX, "Boards with a mistake", text + "\n", {"boards": f'<div class="cards">{cards}</div>', "caution": caution_html()},
                 "Boards with one mistake each: find it, say how urgent it is and how it is put right.")


def _page(board: Board, chosen: Sequence[Board]) -> Sheet:
    done = made(board.job, board.mistake)
    sheet = wiring_layout(done.after)
    drawn = drawn_from(sheet, f"board-{board.number:02}")
    mistake = board.mistake
    found = [finding for finding in worsened(done) if finding.id == mistake.found_by.rule and finding.place == mistake.found_by.place]
    marked = highlighted(sheet, drawn, _places(mistake), f"Marked: {mistake.found_by.place}. {mistake.title}.")
    told = str(mistake.told) if is_known(mistake.told) else "Nothing but the drawing."
    text = "\n\n".join([
        "---\nsearch:\n  exclude: true\n---", f"# {inert(board.title)}", '<p class="for">For the trainee. One thing is wrong here.</p>', part_mark("caution"),
        "## What you are told {#told}", inert(told), "## The wiring {#wiring}", part_mark("drawing"), "## The question {#question}", part_mark("question"),
        "## The answer {#answer}", part_mark("answer"), f"[All boards](index.md) · [The job as it should be](../jobs/{board.job.installation.name}/index.md)"])
    answer = "".join([
        f"<p><strong>{escape(mistake.title)}.</strong> {escape(mistake.wrong)}</p>", picture_html(marked) if marked else "",
        f"<p><strong>How urgent.</strong> {escape(URGENT[mistake.urgent])}</p>", "<p><strong>What the checks find.</strong></p>", *map(finding_html, found),
        _shown_html(done), _consequences_html(done),
        f"<p><strong>How to put it right.</strong> {escape(mistake.right)} Opened there is not proved dead: that is proved by test, by the same person.</p>"])
    return Sheet(board.path, board.title, text + "\n", {
        "caution": caution_html(), "drawing": picture_html(drawn), "question": list_html(map(escape, QUESTION)),
        "answer": details_html("Show the answer", answer, "answer")}, f"A board with one mistake, number {board.number}.")


def _places(mistake: Mistake) -> tuple[str, ...]:
    """What to mark: where it was found, and the conductors that were changed."""
    changed = [str(getattr(change, key)) for change in mistake.wiring for key in ("move", "set", "add") if is_known(getattr(change, key))]
    swapped = [name for change in mistake.wiring if isinstance(change.swap, tuple) for name in change.swap]
    place = DRAWN_AS.get(mistake.found_by.place, (mistake.found_by.place,))
    return tuple(dict.fromkeys([*place, *changed, *swapped]))


def _shown_html(done: Made) -> str:
    mistake = done.mistake
    if not is_known(mistake.shown_by):
        return f"<p><strong>The test that shows it.</strong> None is sure to: look, pull or measure. {escape(str(mistake.look))}</p>"
    shown = mistake.shown_by
    before, after = (reading_of(circuit_of(each.installation, each.case.wiring), shown) for each in (done.before, done.after))
    between = " and ".join(shown.between) if isinstance(shown.between, tuple) else "the point"
    return (f"<p><strong>The test that shows it.</strong> {escape(TEST_WORDS[shown.test][:1].upper() + TEST_WORDS[shown.test][1:])}, between {escape(between)}: "
            f"it reads {escape(shown_words(after))}; on the sound board {escape(shown_words(before))}.</p>")


def _consequences_html(done: Made) -> str:
    others = sorted({finding.message for finding in worsened(done) if finding.id != done.mistake.found_by.rule})
    return f"<p><strong>What follows from it.</strong></p>{list_html(map(escape, others))}" if others else ""
