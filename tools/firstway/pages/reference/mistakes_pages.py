"""Pages: a gallery of boards, each with one mistake: the drawing and a question first, the answer
folded below it.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, replace
from hashlib import sha256
from itertools import islice
from json import dumps
from typing import Any

from firstway.checks.rule import LEVELS, Finding
from firstway.choosing.completing import Completed
from firstway.choosing.mistaking import MadeMistake, flaws_made, made, makable, worsened
from firstway.drawing.asked_view import with_flaws
from firstway.drawing.hands.close_up import close_up_pair, close_ups
from firstway.drawing.hands.library import picture_of_flaw
from firstway.drawing.marked_places import highlighted
from firstway.drawing.part_words import joint_words
from firstway.drawing.sheet import Sheet
from firstway.drawing.small_board import small_board
from firstway.drawing.svg import Drawn, drawn_from, shapes_once
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.files.keeping import found_again, kept
from firstway.files.reads import MadeOnce
from firstway.frozen import dataclass
from firstway.layout.faults import SeenFlaw
from firstway.model.mistakes import Mistake
from firstway.model.values import is_known
from firstway.pages.jobs.job_cards import one_line
from firstway.pages.reference.mistake_places import places_html, places_to_choose, standing_for
from firstway.pages.shared.guide import nothing_stands
from firstway.pages.shared.hand_picture import hand_picture_html
from firstway.pages.shared.markup import inert
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.project import Jobs, told_of
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.pages.shared.state import STATE_SCRIPTS, board_name, state_of
from firstway.rendering.findings import finding_html, place_words
from firstway.rendering.html import (
    Markup,
    caution_fold_html,
    caution_html,
    details_html,
    joined,
    list_html,
    tag,
)
from firstway.rendering.reading_words import shown_words
from firstway.rendering.spoken_keys import with_spoken_terminals
from firstway.spreading.spread import do_ahead
from firstway.spreading.workers import ONE_PROCESS, Workers
from firstway.wiring.circuit import circuit_of
from firstway.wiring.showing import TEST_WORDS, reading_of

URGENT = {
    "now": "At once: someone may be hurt or something may burn without any further fault.",
    "after-one-more-fault": "Before the board is used: with one more fault it becomes dangerous.",
    "loss-or-nuisance": "Soon: it costs protection, goods or patience, and by itself hurts nobody.",
    "paper": "On paper: it may be right, but nobody can show it.",
}
QUESTION = (
    "What is wrong on this board, and where?",
    "How urgent is it?",
    "Which test would show it, and what would it read? Or must one look, pull or measure?",
    "How is it put right, and what comes first?",
)
NO_TEST = "None is sure to: look, pull or measure."
QUESTION_BESIDE = "Beside the faults listed above: what else is wrong on this board, and where?"
INDEX = "mistakes/index.md"
_SMALL = "small"
"""The drawing of a board for the index, kept with its page."""
_REASONS = 4
_BARE = re.compile(r"^(?:wire|label|cable|terminal)\.")
_SCRIPT = tag("script", src="{root}assets/mistakes.js", defer=True)
_KEPT, MAKABLE = "boards-with-a-mistake", "job-mistakes"
LIVE_TESTS = ("voltage", "loop", "residual", "load")
DRAWN_AS = {
    "board": ("enclosure",),
    "feed": ("feed.L1", "feed.N", "feed.L2", "feed.L3"),
    "supply": ("origin",),
}


@dataclass(frozen=True)
class MistakenBoard:
    """One board of the gallery: a mistake of the project's file, on one of its jobs. `told` is what
    is said of the job without working it (`told_of_board`); `others` are those of the file whose
    reasons may stand beside its own, the first to be asked first.
    """

    number: int
    jobs: Sequence[Completed]
    place: int
    told: Sequence[str]
    unbound: Mistake
    others: Sequence[Mistake] = ()

    @property
    def job(self) -> Completed:
        found: Completed = self.jobs[self.place]
        return found

    @property
    def mistake(self) -> Mistake:
        """The mistake in the words of the first circuit of the job that it can be made on."""
        return makable(self.job, self.unbound)[0]

    @property
    def path(self) -> str:
        return f"mistakes/board-{self.number:02}.md"

    @property
    def title(self) -> str:
        return f"Board {self.number}: {self.told[0]}"


def told_of_board(job: Completed) -> list[str]:
    """Title and line of a job, and a number for all that its file says."""
    digest = sha256(repr(job.installation).encode()).hexdigest()
    return [job.installation.title, one_line(job), digest]


def boards(
    jobs: Sequence[Completed],
    mistakes: Sequence[Mistake],
    stands: Callable[[str], str] = nothing_stands,
) -> tuple[MistakenBoard, ...]:
    """Each mistake once, on the jobs in turn so that no board comes twice in a row where that can
    be helped.

    A job with faults of its own serves only where no sound one can show the mistake.
    """
    found: list[MistakenBoard] = []
    faulty = told_of(jobs, "faulty", is_faulty)
    told = told_of(jobs, "board", told_of_board)
    serves = MadeOnce[int, list[bool]](lambda at: _serves(jobs, at, mistakes, stands), len(told))
    ordered = [[place for place, each in enumerate(faulty) if each is one] for one in (False, True)]
    for number, mistake in enumerate(mistakes):
        turns = (each[(number + turn) % len(each)] for each in ordered for turn in range(len(each)))
        place = next((place for place in turns if serves(place)[number]), None)
        if place is not None:
            found.append(
                MistakenBoard(
                    len(found) + 1, jobs, place, told[place], mistake, _others(mistake, mistakes)
                )
            )
    return tuple(found)


def _others(mistake: Mistake, mistakes: Sequence[Mistake]) -> tuple[Mistake, ...]:
    """The mistakes that another rule finds, in an order of their own for each: a new one in the
    file leaves the others in theirs.
    """
    return tuple(
        sorted(
            (each for each in mistakes if each.found_by.rule != mistake.found_by.rule),
            key=lambda each: _lot(mistake.name, each.name),
        )
    )


def _lot(*names: str) -> str:
    return sha256(" ".join(names).encode()).hexdigest()


def _serves(
    jobs: Sequence[Completed],
    place: int,
    mistakes: Sequence[Mistake],
    stands: Callable[[str], str],
) -> list[bool]:
    """Of each mistake whether it can be made on a job; kept, so that a job need not be worked."""
    if not isinstance(jobs, Jobs):
        return [bool(makable(jobs[place], each)) for each in mistakes]
    name = jobs.names[place]
    return kept(
        MAKABLE,
        name,
        repr(mistakes),
        lambda: [bool(makable(jobs.whole(name), each)) for each in mistakes],
        data=lambda made: made,
        thing=lambda data: [bool(each) for each in data],
        stands=stands,
    )


def faults(job: Completed) -> tuple[Finding, ...]:
    """What the checks find wrong on the job before any mistake is made on it."""
    return tuple(finding for finding in job.findings if finding.level in ("danger", "fail"))


def is_faulty(job: Completed) -> bool:
    """Whether there are any."""
    return bool(faults(job))


def mistakes_sheets(
    jobs: Sequence[Completed],
    mistakes: Sequence[Mistake],
    stands: Callable[[str], str] = nothing_stands,
    by: Workers = ONE_PROCESS,
) -> list[PageSheet]:
    """The gallery and a page for each board: from the cache folder, or made now, by all workers
    where many are; half the time of a build went into boards that had not changed.
    """
    chosen = boards(jobs, mistakes, stands)
    found = {
        board.path: found_again(_KEPT, board.path, _hangs_on(board), thing=_sheet)
        for board in chosen
    }
    do_ahead(_kept_page, [board for board in chosen if found[board.path] is None], by)
    pages = [found[board.path] or _kept_page(board) for board in chosen]
    return (
        [_index(chosen, [Markup(page.parts[_SMALL]) for page in pages]), *pages] if chosen else []
    )


def _hangs_on(board: MistakenBoard) -> str:
    return repr((board.number, board.told, board.unbound, board.others))


def _sheet(data: Any) -> PageSheet:
    return PageSheet(**data)


def _kept_page(board: MistakenBoard) -> PageSheet:
    return kept(
        _KEPT,
        board.path,
        _hangs_on(board),
        lambda: _page(board),
        data=lambda made: {**asdict(made), "parts": dict(made.parts)},
        thing=_sheet,
    )


def mistakes_paths(
    jobs: Sequence[Completed],
    mistakes: Sequence[Mistake],
    stands: Callable[[str], str] = nothing_stands,
) -> list[str]:
    """Where they stand, for the navigation, without drawing them."""
    chosen = boards(jobs, mistakes, stands)
    return [INDEX, *(board.path for board in chosen)] if chosen else []


def _index(chosen: Sequence[MistakenBoard], small: Sequence[Markup]) -> PageSheet:
    """The list of boards, each with the small drawing its page was kept with."""
    cards = joined(
        tag(
            "a",
            drawing,
            tag("span", "Board ", board.number, class_="card-title"),
            tag("span", board.told[0], class_="card-line"),
            tag("span", board.told[1], class_="card-line"),
            state_of(board_name(*_told(board)), "tried"),
            state_of(_held(board), "held"),
            class_="card",
            href=f"board-{board.number:02}.html",
        )
        for board, drawing in zip(chosen, small)
    )
    text = "\n\n".join(
        [
            "# Boards with a mistake",
            tag(
                "p",
                "For the trainee who wants to find what is wrong, and for the tutor who asks.",
                class_="for",
            ),
            part_mark("caution"),
            (
                "On each of these boards one thing was changed. Where the job has faults of its"
                " own, the board lists them. Look at the drawing, read what you are told, and"
                " say what is wrong, where, how urgent it is, and which test would show it. Only"
                " then open the answer: it was found in the wiring by the same checks that judge"
                " the jobs. A board is held when place, reason,"
                " urgency and test were all right the last time."
            ),
            part_mark("boards"),
        ]
    )
    return PageSheet(
        INDEX,
        "Boards with a mistake",
        text + "\n",
        {
            "boards": tag("div", shapes_once(cards), class_="cards boards") + STATE_SCRIPTS,
            "caution": caution_fold_html(),
        },
        "Boards with one mistake each: find it, say how urgent it is and how it is put right.",
    )


def _page(board: MistakenBoard) -> PageSheet:
    mistake = board.mistake
    done = made(board.job, mistake)
    sheet = wiring_layout(done.after, tells_joints=False)
    drawn = drawn_from(sheet, f"board-{board.number:02}")
    name = f"board-{board.number:02}"
    flaws = flaws_made(done)
    opened = with_flaws("lifelike", done.after, f"{name}-lifelike", flaws)
    opened = replace(opened, svg=_TWO_ENDS.sub(r"\1", opened.svg))
    found = sorted(
        worsened(done),
        key=lambda finding: (not _is_named(mistake, finding), LEVELS.index(finding.level)),
    )
    known = faults(board.job)
    one = (
        "One thing is wrong here."
        if not known
        else "One thing is wrong here beside the faults this job has anyway."
    )
    before = (
        "The job as it should be"
        if not known
        else "The job before this mistake, with its other faults"
    )
    marked = highlighted(
        sheet, drawn, _places(mistake), f"Marked: {mistake.found_by.place}. {mistake.title}."
    )
    told = str(mistake.told) if is_known(mistake.told) else "Nothing but the drawing."
    text = "\n\n".join(
        [
            "---\nsearch:\n  exclude: true\n---",
            f"# {inert(board.title)}",
            tag("p", "For the trainee. ", one, class_="for"),
            part_mark("caution"),
            "## What you are told {#told}",
            inert(told),
            *([part_mark("known")] if known else []),
            "## The open board {#open-board}",
            part_mark("open"),
            "## The wiring {#wiring}",
            part_mark("drawing"),
            "## The question {#question}",
            part_mark("question"),
            "## The answer {#answer}",
            part_mark("answer"),
            f"[All boards](index.md) · [{before}](../jobs/{board.job.installation.name}/index.md)",
        ]
    )
    answer = joined(
        [
            tag("p", tag("strong", f"{mistake.title}."), f" {mistake.wrong}"),
            picture_html(marked) if marked else "",
            *(picture_html(pair) for pair in _pairs(board, done, flaws)),
            _work_html(done.before, flaws),
            tag("p", tag("strong", "How urgent."), f" {URGENT[mistake.urgent]}"),
            tag("p", tag("strong", "What the checks find.")),
            *map(finding_html, found),
            _shown_html(done),
            tag(
                "p",
                tag("strong", "How to put it right."),
                (
                    f" {mistake.right} Opened there is not proved dead: that is proved by test,"
                    " by the same person."
                ),
            ),
        ]
    )
    return PageSheet(
        board.path,
        board.title,
        text + "\n",
        {
            _SMALL: small_board(done.after, name),
            "caution": caution_html(),
            "open": picture_html(opened),
            "drawing": picture_html(drawn) + _joints_html(done.after),
            "question": list_html(_questions(known)) + _asked_html(board, sheet, done, flaws),
            "answer": tag(
                "details",
                tag("summary", "Show the answer"),
                answer,
                class_="more answer",
                data_tried=board_name(*_told(board)),
            )
            + STATE_SCRIPTS,
            **({"known": _known_html(known)} if known else {}),
        },
        f"A board with one mistake, number {board.number}.",
    )


_TWO_ENDS = re.compile(r"(<title[^>]*>[^<]*\b(?:conductor|bar|armour)\b[^<]*?) from [^<]* to [^<]*")
"""In the title of a conductor of the open board, where it begins and ends: what a pointer over the
drawing would tell.
"""


def _joints_html(job: Completed) -> Markup:
    """What the wiring view shows, for whoever cannot see it; it judges nothing."""
    told = (tag("li", f"{each[0].upper()}{each[1:]}") for each in joint_words(job))
    head = tag("summary", "The drawing in words, for whoever cannot see it")
    return tag("details", head, tag("ul", *told), class_="more")


def _told(board: MistakenBoard) -> tuple[str, str]:
    return board.told[0], board.unbound.name


def _held(board: MistakenBoard) -> str:
    """What the board is called among those whose place and reason were found."""
    return board_name(*_told(board), "held")


def _asked_html(
    board: MistakenBoard, sheet: Sheet, done: MadeMistake, flaws: Sequence[SeenFlaw]
) -> Markup:
    """Where it is, to be tapped or chosen, and why it is wrong, among reasons of other mistakes
    that could have been made here; how urgent it is, and the test that the answer works. The
    script shows the list and the button.
    """
    mistake = board.mistake
    bound = (makable(board.job, each) for each in board.others)
    reasons = [each[0] for each in islice(filter(None, bound), _REASONS - 1)]
    reasons = sorted([mistake, *reasons], key=lambda each: _lot(each.name, mistake.name))
    shown = {_BARE.sub("", group.id) for group in sheet.groups if group.title}
    listed = places_to_choose(done.before, done.after, shown)
    places = [*_places(mistake), *_swapped(done), *(each.of for each in flaws)]
    named = {name for place in places for name in (place, place.split(".")[0])} & shown
    right = {standing_for(listed, name) for name in named} - {""}
    return (
        tag(
            "form",
            tag(
                "p",
                tag(
                    "label",
                    "Where is it? Tap it in a drawing, or choose it here: ",
                    places_html(listed),
                ),
                class_="find-place",
                hidden=True,
            ),
            tag(
                "fieldset",
                tag("legend", "Why is it wrong?"),
                *(
                    tag(
                        "label",
                        tag("input", type="radio", name="why", value=str(place)),
                        f" {each.wrong}",
                    )
                    for place, each in enumerate(reasons)
                ),
            ),
            _one_of("How urgent is it?", "urgent", [(name, URGENT[name]) for name in URGENT]),
            _one_of(
                "Which test shows it?",
                "test",
                [*((name, f"{words}.") for name, words in TEST_WORDS.items()), ("", NO_TEST)],
            ),
            tag("p", tag("button", "See whether it is", type="submit"), hidden=True),
            tag("p", class_="find-told", role="status"),
            class_="find-mistake",
            data_held=_held(board),
            data_why=str(reasons.index(mistake)),
            data_urgent=mistake.urgent,
            data_test=mistake.shown_by.test if is_known(mistake.shown_by) else "",
            data_places=dumps(sorted(right)),
        )
        + _SCRIPT
    )


def _one_of(asked: str, name: str, choices: Sequence[tuple[str, str]]) -> Markup:
    return tag(
        "fieldset",
        tag("legend", asked),
        *(
            tag(
                "label",
                tag("input", type="radio", name=name, value=value),
                f" {words[:1].upper()}{words[1:]}",
            )
            for value, words in choices
        ),
    )


def _pairs(board: MistakenBoard, done: MadeMistake, flaws: Sequence[SeenFlaw]) -> Iterator[Drawn]:
    """Each close-up as found, beside the same place as it should be."""
    both = zip(close_ups(done.after, flaws), close_ups(done.before, flaws, right=True))
    for place, (wrong, right) in enumerate(both, 1):
        prefix = f"board-{board.number:02}-close-{place}"
        yield close_up_pair(wrong, right, prefix, board.job.installation.edition)


def _work_html(job: Completed, flaws: Sequence[SeenFlaw]) -> Markup:
    """How the work is done that the mistake spoils, once for each picture."""
    found = [picture_of_flaw(job, each.flaw, each.of) for each in flaws]
    pictures = {drawn.id: (made_as, drawn) for made_as, drawn in filter(None, found)}
    return joined(
        details_html(drawn.title, hand_picture_html(made_as, drawn))
        for made_as, drawn in pictures.values()
    )


def _is_named(mistake: Mistake, finding: Finding) -> bool:
    return finding.id == mistake.found_by.rule and finding.place == mistake.found_by.place


def _questions(known: Sequence[Finding]) -> tuple[str, ...]:
    return (QUESTION_BESIDE, *QUESTION[1:]) if known else QUESTION


def _known_html(known: Sequence[Finding]) -> Markup:
    """The faults the job has anyway, so that they are not taken for the new one."""
    items = (
        f"{place_words(finding)}: {with_spoken_terminals(finding.message)}" for finding in known
    )
    return tag(
        "p", "The job has these faults anyway. None of them is the one asked for:"
    ) + list_html(items)


def _places(mistake: Mistake) -> tuple[str, ...]:
    """What to mark: where it was found, and the conductors that were changed."""
    changed = [
        str(getattr(change, key))
        for change in mistake.wiring
        for key in ("move", "set", "add")
        if is_known(getattr(change, key))
    ]
    swapped = [
        name for change in mistake.wiring if isinstance(change.swap, tuple) for name in change.swap
    ]
    place = DRAWN_AS.get(mistake.found_by.place, (mistake.found_by.place,))
    return tuple(dict.fromkeys([*place, *changed, *swapped]))


def _swapped(done: MadeMistake) -> Iterator[str]:
    """The conductors at two terminals that changed places: each of them is where it is wrong."""
    changed = done.mistake.wiring
    swapped = {name for each in changed if isinstance(each.swap, tuple) for name in each.swap}
    for each in done.after.case.wiring.conductors:
        if each.kind != "bar" and swapped & {each.start, each.end}:
            yield each.id


def _shown_html(done: MadeMistake) -> Markup:
    mistake = done.mistake
    if not is_known(mistake.shown_by):
        return tag(
            "p",
            tag("strong", "The test that shows it."),
            f" {NO_TEST} {str(mistake.look)}",
        )
    shown = mistake.shown_by
    before, after = (
        reading_of(circuit_of(each.installation, each.case.wiring), shown)
        for each in (done.before, done.after)
    )
    was = "before the mistake" if faults(done.before) else "on the sound board"
    alone = (
        " Authorised person only."
        if shown.test in LIVE_TESTS
        and any(
            _at_supply(done.after, end)
            for end in (shown.between if isinstance(shown.between, tuple) else ())
        )
        else ""
    )
    ends = shown.between if isinstance(shown.between, tuple) else ("the point",)
    between = with_spoken_terminals(" and ".join(ends))
    return tag(
        "p",
        tag("strong", "The test that shows it."),
        (
            f" {TEST_WORDS[shown.test][:1].upper() + TEST_WORDS[shown.test][1:]}, between"
            f" {between}: it reads {shown_words(after)}; "
        ),
        was,
        f" {shown_words(before)}.",
        alone,
    )


def _at_supply(job: Completed, end: str) -> bool:
    """Whether a tester's lead there touches the origin or the supply side of the main switch."""
    switch = job.installation.board.main_switch
    wanted = ("origin.", f"{switch.name}.supply.") if is_known(switch) else ("origin.",)
    return any(
        each.startswith(wanted) and not each.endswith(".PE")
        for each in (end, *job.case.wiring.neighbours(end))
    )
