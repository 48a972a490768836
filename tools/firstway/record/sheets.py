"""Record: the sheets of a job, each as a title and what stands below it.

Nothing here is a certificate: no sheet has a place for a signature or a number of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from firstway.checks.expecting import expected_readings
from firstway.checks.questions import MakerQuestion, questions
from firstway.choosing.completing import Completed
from firstway.drawing.asked_view import AskedView, asked_view
from firstway.drawing.front.cover_labels import (
    CoverLabel,
    further_labels,
    labels_beside,
    labels_of_cover,
    labels_of_sources,
)
from firstway.drawing.front.scene import seen_front
from firstway.drawing.parted import parts_html
from firstway.drawing.stages import AUTHORISED_STAGE, Stage, stages_of
from firstway.drawing.text_width import wrapped
from firstway.frozen import dataclass
from firstway.model.installation import Installation, MainSwitch, OtherSource, Way
from firstway.model.values import Absent, is_known
from firstway.record.bringing import brought, cutting_list, tools
from firstway.record.looking import SiteSheet
from firstway.record.site_sheets import SITE_SHEETS
from firstway.record.standing import Standing, about
from firstway.rendering.figures import figure_in_formula
from firstway.rendering.findings import verdict_mark
from firstway.rendering.html import Markup, counted, joined, list_html, sentence, table_html, tag
from firstway.rendering.readings import PHASES, fields_html, foretold_html
from firstway.rendering.spoken_keys import in_trade_words
from firstway.rendering.working import whole_working
from firstway.tables.reading import Gap, rule_limit

NAMES = (
    "what-stands",
    "working",
    "drawings",
    "to-bring",
    "cutting-list",
    "method",
    "labels",
    "tests",
    "expected",
    "for-the-user",
)
_VIEWS = ("lifelike", "single-line", "board", "wiring")
NOT_ENERGISED = "Draft: not to be energised"
_LINE = "........................"
_WIDE = f"{_LINE}{_LINE}"
# Which form the licensed person uses; the titles are those of the standards, from memory.
_FORMS = {
    "bs7671": "the electrical installation certificate with its schedules (BS 7671, Appendix 6)",
    "iec60364": "the report of initial verification (IEC 60364-6), in the form of the country",
    "nec": "the permit and inspection record of the authority having jurisdiction",
}


@dataclass(frozen=True)
class RecordSheet:
    """One sheet: the name of its file, its title, its body; `asks`: whether every question that is
    open stands on it, and then before its body (`asks_first`) or below; `status`: its own words on
    top, "" for the standing of the job.
    """

    name: str
    title: str
    body: Markup
    asks: bool = True
    status: str = ""
    asks_first: bool = False


# What stands on top of a sheet for a place that is live already; common practice.
_ON_SITE: dict[SiteSheet, str] = {
    "survey": "Nothing is ordered, cut or fitted by this sheet.",
    "inspection": "A fail is told to the person responsible in writing the same day. A danger is"
    " taken out of use at once by whoever may.",
}


def site_sheet(done: Completed, name: SiteSheet) -> RecordSheet:
    """One of the two sheets for a place where something is there already: they come before the
    work and stand by themselves. A survey asks by the keys of the file alone, and so does an
    inspection of a board of which the file states nothing yet.
    """
    title, body = SITE_SHEETS[name]
    blank = done.installation.how_known("board") == "assumed"
    return RecordSheet(name, title, body(done), name != "survey" and not blank, _ON_SITE[name])


def sheets_of(done: Completed, standing: Standing) -> tuple[RecordSheet, ...]:
    """The sheets of a job in the order they are used. A draft has neither labels nor method; the
    user's sheet is there when every test has a reading that passes.
    """
    sheets = [
        RecordSheet("what-stands", "What stands, and what is open", _what_stands(done, standing)),
        RecordSheet("working", "The working", _working(done), asks_first=True),
        RecordSheet("drawings", "The drawings", _drawings(done), asks_first=True),
        RecordSheet("to-bring", "What to bring", _held(standing) + _to_bring(done)),
        RecordSheet("cutting-list", "Cutting list", _held(standing) + _cutting(done)),
    ]
    if not standing.draft:
        sheets += [
            RecordSheet("method", "The method, with its hold points", _method(done)),
            RecordSheet("labels", "Labels", _labels(done)),
        ]
    sheets += [
        RecordSheet("tests", "Working record of the tests", _tests(done, standing)),
        RecordSheet("expected", "What each test is expected to show", _expected(done)),
    ]
    if not standing.draft and not standing.not_read:
        sheets.append(RecordSheet("for-the-user", "For whoever uses it", _user(done)))
    return tuple(sheets)


_MAY_GO_ON = (
    "To be fitted dead. Not to be energised before the licensed person has accepted the dead tests"
    " and what is still open."
)


def status_of(standing: Standing) -> str:
    """What stands on top of every sheet."""
    return f"{NOT_ENERGISED}." if standing.draft else _MAY_GO_ON


def open_lines(standing: Standing, asked_on: str = "") -> Markup:
    """A line for each question that is open, to be answered by hand: they stand on every copy.
    Where another sheet of it has them (`asked_on`), that is said.
    """
    if not standing.open:
        return Markup()
    if asked_on:
        number = counted(len(standing.open), "question is", "questions are")
        return tag(
            "p",
            f"{number} open: a line for each stands on sheet {asked_on}. What is not known is no"
            " pass.",
        )
    rows = [(_question(each, standing.rules), _LINE, _LINE, _LINE) for each in standing.open]
    head = ("not known yet", "whom asked", "answer", "day")
    return table_html(head, rows, "What is not known is no pass", "plain open")


def _question(each: MakerQuestion, rules: str) -> str:
    return f"{', '.join(each.parts)}: {in_trade_words(each.text, rules)}"


def _what_stands(done: Completed, standing: Standing) -> Markup:
    rules = done.installation.rules
    form = _FORMS.get(rules, "the form of the country")
    told = [
        tag(
            "p",
            "These sheets are made from one file. They are no certificate: the licensed person"
            f" writes {form}.",
        )
    ]
    if standing.draft:
        grave = [each for each in standing.against if each.level != "unknown"]
        items = [
            Markup("{} {}: {}").format(
                verdict_mark(each.level), each.place, in_trade_words(each.message, rules)
            )
            for each in grave
        ]
        unknown = [each for each in standing.against if each.level == "unknown"]
        items += [
            Markup("{} {}{}").format(verdict_mark("unknown"), _question(each, rules), _about(each))
            for each in questions(unknown, done.installation)
        ]
        told.append(tag("p", tag("strong", f"{NOT_ENERGISED}."), " It stands against it:"))
        told.append(list_html(items))
        told.append(tag("p", "Until each is put right there is neither a method nor a label."))
    if standing.not_read:
        told.append(tag("p", "No sheet for the user yet. Readings that are missing:"))
        told.append(list_html(standing.not_read, "not-read"))
    return joined([*told, *_sources(done)])


def _sources(done: Completed) -> Iterator[Markup]:
    """How every source beside the network is isolated and what its labels must say: of what is
    there today, so also in a draft.
    """
    if done.installation.sources:
        yield tag("p", tag("strong", "Not the network alone feeds here."), " To be isolated too:")
        yield list_html(map(_isolated, done.installation.sources))
        yield tag("p", "Labels, in our words; the book's own wording counts where it has one:")
        yield list_html(
            Markup("{}: {} {}.").format(tag("strong", each.title), each.words, each.why)
            for each in labels_of_sources(seen_front(done))
        )


def _about(question: MakerQuestion) -> str:
    words = dict.fromkeys(filter(None, map(about, question.findings)))
    return f" (about {', '.join(words)})" if words else ""


def _working(done: Completed) -> Markup:
    parts, sources = whole_working(
        done, lambda title, _, body: tag("section", tag("h3", title), body)
    )
    return joined([*parts, tag("h3", "Sources"), sources])


# Units of height that fill a page of A4 alone (262 mm, `record.css`) with the least letters at 5.8
# points; a drawing is parted from less on, where it shares its page.
_TALLEST_ALONE = 1520.0


def _drawings(done: Completed) -> Markup:
    """Each on a page of its own, where paper is printed on; the first below the sheet's head."""
    return joined(
        _drawing(done, AskedView(view), "drawing" if place else "drawing first")
        for place, view in enumerate(_VIEWS)
    )


def _drawing(done: Completed, asked: AskedView, classes: str) -> Markup:
    drawn, problems = asked_view(done, asked, ())
    if drawn is None:
        return tag("p", "; ".join(map(str, problems)), class_="missing")
    tall = drawn.height > _TALLEST_ALONE
    whole = tag(
        "figure",
        tag("figcaption", drawn.title, f". {_ON_A3}" if tall else ""),
        tag("div", drawn.html, class_="sheet"),
        tag("ol", *(tag("li", words) for words in drawn.key), class_="zkey") if drawn.key else "",
        class_=classes,
    )
    parts = parts_html(drawn) if tall else ()
    return joined([whole, *(tag("figure", part, class_="drawing part-of-it") for part in parts)])


_ON_A3 = (
    "Whole: print this page on A3 where its letters are too small. On the next pages it stands in"
    " two parts, as large as A4 has room."
)


def _held(standing: Standing) -> Markup:
    words = "Cut and order nothing by this sheet yet: what stands against the job may change it."
    return tag("p", tag("strong", words)) if standing.draft else Markup()


def _to_bring(done: Completed) -> Markup:
    rows = [(each.what, each.amount, each.note) for each in brought(done)]
    words = (
        "Counted from the file and from the plan of the board; what stands there already is not"
        " brought again. What the makers say comes first."
    )
    head = ("what", "how many, how long", "note")
    return (
        tag("p", words)
        + table_html(head, rows, "For one board", "plain bring")
        + tag("h3", "Tools and instruments (common practice)")
        + list_html(each.what for each in tools(done))
    )


def _cutting(done: Completed) -> Markup:
    cuts = cutting_list(done)
    assumed = any(each.rests_on for each in cuts)
    rows = [
        (
            tag("span", class_="box", role="img", aria_label="box to tick"),
            each.name,
            f"{each.laid_m:.2f} m",
            f"{each.cutting_m:.2f} m",
            *([f"assumed: {each.rests_on}" if each.rests_on else ""] if assumed else []),
        )
        for each in cuts
    ]
    words = (
        "Conductors from part to part inside the board, as each lies in the plan, and what to cut:"
        " with what is stripped and some slack. Tails and cores of cables are cut when they lie in"
        " the board. Lay the first of each kind loosely before the others are cut."
    )
    head = ("", "conductor", "as it lies", "cut", *(["rests on"] if assumed else []))
    table = table_html(head, rows, "Conductors of the board", "plain", numbers=(2, 3), named_by=1)
    return tag("p", words) + table


def _tests(done: Completed, standing: Standing) -> Markup:
    """Fields to write in; in a draft the dead tests alone."""
    phases = ("dead",) if standing.draft else PHASES
    later = tag("p", tag("strong", "Live tests are withheld while this is a draft."))
    board = done.installation.board
    rows = [] if isinstance(board.main_switch, Absent) else [_torque_row(board.main_switch)]
    rows += [_torque_row(way) for way in board.ways if way.device != "blank"]
    return joined(
        [
            tag("p", f"Instruments, with the day their check is due: {_WIDE}{_WIDE}"),
            fields_html(expected_readings(done.case), phases),
            later if standing.draft else "",
            table_html(("device", "torque", "tightened to"), rows, "Torque", "plain torque"),
            tag("p", f"Read by {_LINE} day {_LINE}"),
            tag(
                "p",
                "A working record: what was read goes into the form that the licensed person uses.",
            ),
        ]
    )


def _torque_row(device: MainSwitch | Way) -> tuple[str, str, str]:
    terminals = device.terminals
    if not isinstance(terminals, Absent):
        for value, unit in ((terminals.torque_nm, "N·m"), (terminals.torque_lbf_in, "lbf·in")):
            if is_known(value):
                return device.name, f"{figure_in_formula(float(value))} {unit}", _LINE
    return device.name, "ask the maker", _LINE


def _method(done: Completed) -> Markup:
    first = tag(
        "p",
        tag("strong", "First of all the supply."),
        " Where anything is to be opened on the supply side of the existing installation's own"
        " isolation, the network's operator or whoever it authorises isolates there, before the"
        " first stage, and joins it after the dead tests. Nobody else opens the cut-out, the meter"
        " or live tails.",
    )
    stages = stages_of(done)
    sources = done.installation.sources
    told = [_hold(_isolated(each)) for each in sources]
    if sources:
        told.append(
            _hold(
                "What any of them feeds is proved dead again, with the network and all of them off."
            )
        )
    for place, stage in enumerate(stages, 1):
        told += [_hold(words) for words in _HELD_BEFORE.get(stage.id, ())]
        told.append(_stage(place, stage))
    return joined([first, *told, _hold("The live tests are done and accepted.")])


def _isolated(source: OtherSource) -> str:
    """How one source beside the network is parted before anything is opened."""
    first = "the vehicle unplugged, then " if source.kind == "vehicle" else ""
    own = "its isolator opened and locked off"
    if source.isolator is not True:
        own = "an isolator is looked for, and fitted first where there is none"
    stays = (
        " Its modules stay live in the light: the d.c. side is never taken for dead."
        if source.kind == "photovoltaic"
        else ""
    )
    return f"{source.name}: stopped as its maker says, {first}{own}.{stays}"


def _stage(place: int, stage: Stage) -> Markup:
    by = tag("strong", stage.by) if stage.by == AUTHORISED_STAGE else stage.by
    dead = "Live. " if stage.id == "live-tests" else "Dead first. "
    return tag(
        "section",
        tag("h3", f"{place}. {stage.title}"),
        tag("p", tag("span", by, class_="chip")),
        tag("p", stage.reason),
        tag("p", tag("strong", dead), stage.isolation),
        list_html(stage.points, "ticks"),
        class_="stage",
    )


# Before these stages the work waits for the licensed person; common practice.
_HELD_BEFORE: dict[str, tuple[str, ...]] = {
    "enclosure": (
        "The supply is isolated by whoever may, locked off, and proved dead with an indicator that"
        " was proved before and after.",
        "What is to be covered (trench, rod, cable in the wall) was seen before it was covered.",
    ),
    "main-switch": ("The earth is in, and every part of metal is joined to it.",),
    "dead-tests": ("Every terminal is tightened and marked; the board was looked at.",),
    "supply-end": (
        "Dead tests accepted; every link and lead of the tests is off; the surge protective device"
        " and each earthing and bonding conductor are back; every device is off; the cover is on;"
        " what was open is answered.",
        "May be energised.",
    ),
}


def _hold(words: str) -> Markup:
    return tag(
        "p",
        tag("strong", "Hold."),
        f" {words} The work goes on when the licensed person has said so: who {_LINE} day and hour"
        f" {_LINE}",
        class_="hold",
    )


def _labels(done: Completed) -> Markup:
    front = seen_front(done)
    sizes: dict[str, tuple[float, float]] = {
        each.kind: (each.body.high[0] - each.body.low[0], each.body.high[1] - each.body.low[1])
        for each in done.case.layout.fittings
    }
    labels = Counter(
        (each, sizes.get(each.id))
        for each in (*labels_of_cover(front), *further_labels(front), *labels_beside(front))
    )
    words = (
        "What each label must say, in our words, with the reason. Where the book gives the wording,"
        " write it on the blank; the book is what counts. Outlines are at size where the plan has a"
        " place on the cover."
    )
    each_once = (_label(each, size, number) for (each, size), number in labels.items())
    return tag("p", words) + tag("div", *each_once, class_="labels-of-it")


def _label(label: CoverLabel, size: tuple[float, float] | None, number: int) -> Markup:
    return tag(
        "section",
        tag("h3", label.title, f": {number} of them" if number > 1 else ""),
        tag("p", label.words, class_="label-warns" if label.warns else "label-face"),
        _outline(label, *size) if size else "",
        tag("p", sentence(label.why)),
        tag("p", f"Wording of the book: {_WIDE}"),
        class_="label",
    )


def _outline(label: CoverLabel, width: float, height: float) -> Markup:
    """The label's outline at size (mm), with the longest of its wordings that has room in it, in
    the largest letters.
    """
    letters, lines = _in_room(label, width / _MM - 2 * _EDGE, height / _MM - 2 * _EDGE)
    text = (
        tag("tspan", line, x=_EDGE, y=round(_EDGE + (place + 0.85) * letters * _LEAD, 1))
        for place, line in enumerate(lines)
    )
    mm = [figure_in_formula(round(each, 1)) for each in (width, height)]
    return tag(
        "figure",
        tag(
            "svg",
            tag("rect", width="100%", height="100%"),
            tag("text", *text, font_size=letters),
            width=f"{mm[0]}mm",
            height=f"{mm[1]}mm",
            role="img",
            aria_label=f"{label.title}, outline at size",
            class_="label-outline",
        ),
        tag("figcaption", f"{mm[0]} x {mm[1]} mm, if printed at full size"),
    )


def _in_room(label: CoverLabel, width: float, height: float) -> tuple[float, tuple[str, ...]]:
    """Letters and lines for a room in pixels; no lines where no wording fits."""
    for words in (label.words, *label.shorter):
        for letters in _LETTERS:
            lines = tuple(wrapped(words, letters, width))
            if len(lines) * letters * _LEAD <= height:
                return letters, lines
    return _LETTERS[-1], ()


_MM = 25.4 / 96  # of a pixel as browsers print it
_LETTERS = (16.0, 14.0, 12.0, 10.5, 9.0)  # pixels
_EDGE, _LEAD = 4.0, 1.2


def _expected(done: Completed) -> Markup:
    return tag(
        "p",
        "Look at this sheet after the test, never before: who knows what to read, reads it.",
    ) + foretold_html(expected_readings(done.case), done.case)


def _user(done: Completed) -> Markup:
    return joined(
        [
            tag("p", f"For {done.installation.title}."),
            list_html(_user_words(done.installation)),
            tag("p", f"Whom to call: {_WIDE}"),
            tag("p", f"To be looked at again by: {_LINE}"),
        ]
    )


def _user_words(installation: Installation) -> Iterator[str]:
    ways = installation.board.ways
    watched = [way.name for way in ways if way.device in ("rcbo", "rcd")]
    surge = [way.name for way in ways if way.device == "spd"]
    yield "Open nothing: behind the cover parts stay live, also with the main switch off."
    sources = [str(source.name) for source in installation.sources]
    if sources:
        many = {1: "Two", 2: "Three"}.get(len(sources), str(len(sources) + 1))
        yield (
            f"{many} sources feed here: the network and {' and '.join(sources)}. With one of them"
            " off the rest is not dead: who works here isolates each, and its label stays where it"
            " is."
        )
    yield "Change no fuse and no cartridge yourself, and set nothing inside the charging point."
    if watched:
        names, often = " and ".join(watched), _how_often(installation)
        yield (
            f"Press the button marked T on {names} {often}. It must switch off; then switch it on"
            " again. If it does not switch off, switch it off by hand and call."
        )
    if surge:
        names = " and ".join(surge)
        yield (
            f"Look at the window of {names} when you press the button. Where it shows worn, call:"
            " the charging goes on, but nothing reduces a surge any more."
        )
        yield (
            f"{names} reduces what a surge brings along the supply. It does not keep every surge"
            " from the vehicle: unplug it before a thunderstorm comes, not while it is there."
        )
    yield "After damage, water in the board, a smell or a warm cover: switch off and call."


def _how_often(installation: Installation) -> str:
    months = rule_limit(installation.rules, "rcd-button-months")
    if isinstance(months, Gap):
        return "as often as its maker says"
    return f"every {figure_in_formula(months.value)} months"
