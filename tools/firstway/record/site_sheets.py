"""Record: two sheets for a place where something is there already: the survey, before anything is
ordered, and the inspection of a board that somebody else fitted.

Both ask by the keys of the file (`looking.py`), so what is written by hand has its place there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import groupby

from firstway.checks.rule import Finding, Rule
from firstway.choosing.completing import Completed
from firstway.drawing.stages import AUTHORISED_STAGE
from firstway.model.installation import Installation
from firstway.model.nec_words import in_nec_words
from firstway.model.values import NONE
from firstway.record.looking import Besides, SiteSheet, ToFind, besides, to_find
from firstway.rendering.figures import unit_text
from firstway.rendering.findings import verdict_mark
from firstway.rendering.html import Markup, counted, joined, list_html, sentence, tag
from firstway.rendering.spoken_keys import in_trade_words
from firstway.tables.clauses import cited, source_of

_Part = tuple[Markup, tuple[ToFind, ...], tuple[Besides, ...], bool]
"""A heading, the lines below it, what is noted besides, and whether each says who may."""
_LINE = "........................"
# Who may find something out, in the order of an inspection: heading, rule for it, mark of a line.
WHO: dict[str, tuple[str, str, str]] = {
    "look": (
        "First, with every cover closed",
        "Anybody may look, and measure lengths with a tape, whoever is learning too; no electrical"
        " instrument. Covers stay closed; nothing is touched, pulled, moved or switched. Damage,"
        " heat, a smell, water, an open way: stop, keep others away, call a qualified person.",
        "by looking",
    ),
    "ask": (
        "By asking and reading",
        "The user, the papers of the board, the maker of a thing by its type plate.",
        "by asking",
    ),
    "network": (
        "At the supply head, from outside",
        "Anybody may read what is printed on the outside; the network's operator is asked for the"
        f" rest. Opening is for an {AUTHORISED_STAGE}: nobody else breaks a seal, opens the cut-out"
        " or the meter, or touches live tails.",
        "read outside, or ask the operator",
    ),
    "open": (
        "With the cover off: a qualified person only",
        "Isolated from every source, locked off and proved dead before the cover comes off. Other"
        " sources first of all (photovoltaic, battery, generator, a vehicle that feeds back), then"
        " the network; where that needs the supply head, by whoever the network's operator"
        " authorises. The incoming terminals stay live with the main switch off. What is behind the"
        " cover is unknown until then, whatever the outside looks like.",
        "qualified person, cover off, dead",
    ),
    "dead": (
        "By measuring, dead: a qualified person only",
        "Isolated from every source, locked off and proved dead. The instrument is in date, and"
        " proved before and after. What was taken off is joined again before anything is"
        " energised.",
        "qualified person, measured dead",
    ),
    "live": (
        "Last of all, live tests: a qualified person only",
        "After all the rest, and only where nothing that was seen speaks against them. The"
        " instrument is in date, and proved before and after. Where that needs"
        " the cover off, all but the incoming terminals is isolated and locked off: guarded probes,"
        " nobody else near, and the cover on again before anything is energised.",
        "qualified person, live test",
    ),
}
_MEASURED = ("dead", "live")


def survey_html(done: Completed) -> Markup:
    """The survey: what is to be found out before anything is ordered, in the order of the walk."""
    installation = done.installation
    lines = to_find(installation, "survey")
    walked = [line for line in lines if line.who not in _MEASURED]
    stations = groupby(walked, lambda line: line.station)
    parts: list[_Part] = [
        (tag("h3", title), tuple(of), tuple(b for b in besides() if b.station == title), True)
        for title, of in stations
    ]
    parts += [_measured(lines, who) for who in _MEASURED]
    return joined(
        [
            tag(
                "p",
                "To be filled in on site, in this order, before anything is ordered. What is not"
                " found out stays unknown, and that is never a pass. An empty line is right where"
                " nobody may look: write who was asked.",
            ),
            _head(),
            *(_who_may(each) for each in WHO if each not in _MEASURED),
            _numbered(installation, parts),
        ]
    )


def inspection_html(done: Completed) -> Markup:
    """The inspection: what was found so far, and what to look at, in the order of who may."""
    installation = done.installation
    lines = to_find(installation, "inspection")
    told = [
        tag(
            "p",
            "Of a board that somebody else fitted. It is looked at in this order; nothing is put"
            " right meanwhile, and nothing is called safe by this list.",
        ),
        _head(),
        tag("h3", "Found already"),
        _found(done.findings, installation.rules),
    ]
    parts: list[_Part] = []
    for who, (title, words, _) in WHO.items():
        of = tuple(line for line in lines if line.who == who)
        head = [
            tag("h3", title),
            tag("p", words if who in ("look", "ask") else tag("strong", words)),
            tag("p", _still(of), class_="explained"),
        ]
        noted = tuple(each for each in besides() if each.who == who)
        parts.append((joined(head), of, noted, False))
    return joined([*told, _numbered(installation, parts)])


SITE_SHEETS: dict[SiteSheet, tuple[str, Callable[[Completed], Markup]]] = {
    "survey": ("Survey: what to find out before anything is ordered", survey_html),
    "inspection": ("Inspection of a board that somebody else fitted", inspection_html),
}


def _head() -> Markup:
    return tag("p", f"Looked at by {_LINE} day {_LINE} learning with them {_LINE}")


def _who_may(who: str) -> Markup:
    title, words, mark = WHO[who]
    return tag("p", tag("span", mark, class_="chip"), f" {words}")


def _measured(lines: tuple[ToFind, ...], who: str) -> _Part:
    """The last parts of a survey: what is measured, nothing live before all else is done."""
    of = tuple(line for line in lines if line.who == who)
    title, words, _ = WHO[who]
    return tag("h3", title) + tag("p", tag("strong", words)) if of else Markup(), of, (), False


def _found(findings: Iterable[Finding], rules: str) -> Markup:
    """What the checks say against what the file states is there."""
    wrong = [each for each in findings if each.level in ("danger", "fail", "advice")]
    if not wrong:
        words = "Nothing that the file states is against a rule; of the rest it says nothing yet."
        return tag("p", words)
    return list_html(
        Markup("{} {}: {} {}").format(
            verdict_mark(each.level),
            each.place,
            sentence(in_trade_words(each.message, rules)),
            tag("small", f"({cited(each.source, each.edition, each.standing)})"),
        )
        for each in wrong
    )


def _still(lines: tuple[ToFind, ...]) -> str:
    unknown = [line for line in lines if not line.said]
    if not unknown:
        return "The file knows all of it; look whether it is so."
    titles = dict.fromkeys(rule.title for line in unknown for rule in line.decides[:1])
    return (
        f"Unknown until it is done: {counted(len(unknown), 'line')} of {len(lines)}, and with them"
        f" {counted(len(titles), 'rule')}."
    )


def _numbered(installation: Installation, parts: list[_Part]) -> Markup:
    """The parts of a sheet with their lines numbered through, and at its end where each answer goes
    in the file: the one place where keys stand.
    """
    asked = [line for _, of, _, _ in parts for line in of if not line.said]
    numbers = {line.path: place for place, line in enumerate(asked, 1)}
    keys = [Markup("{} {}").format(place, tag("code", path)) for path, place in numbers.items()]
    return joined(
        [
            *(
                head + _list(installation, of, marked, numbers) + _noted(more, marked)
                for head, of, more, marked in parts
            ),
            tag(
                "section",
                tag("h3", "For whoever writes the file: the key of each line"),
                list_html(keys, "keys"),
                class_="keys-of-it",
            )
            if keys
            else "",
        ]
    )


def _noted(more: tuple[Besides, ...], marked: bool) -> Markup:
    """What no key of the file holds: to be noted all the same, with a place to write."""
    if not more:
        return Markup()
    box = tag("span", class_="box", role="img", aria_label="box to tick")
    answer = tag("div", tag("div", _LINE), class_="answer")
    chips = ((" ", tag("span", WHO[each.who][2], class_="chip")) if marked else () for each in more)
    lines = (
        tag("li", box, tag("div", tag("strong", each.asked), *chip), answer)
        for each, chip in zip(more, chips)
    )
    return tag("ul", *lines, class_="looked besides")


def _list(
    installation: Installation,
    lines: tuple[ToFind, ...],
    marked: bool,
    numbers: Mapping[str, int],
) -> Markup:
    """What is to be found out, with a place to write; then what is known, and how."""
    asked = [
        _asked(installation, line, marked, numbers[line.path]) for line in lines if not line.said
    ]
    known = [_known(installation, line) for line in lines if line.said]
    head = tag("p", tag("strong", "Known already,"), " as the file states it:")
    return joined(
        [
            tag("ul", *asked, class_="looked") if asked else "",
            head + list_html(known, "known") if known else "",
        ]
    )


def _asked(installation: Installation, line: ToFind, marked: bool, number: int) -> Markup:
    unit = unit_text(line.unit)
    may_be_none = not line.choices and NONE in line.spec.instead and line.path != "supply.ze_ohm"
    beside = [
        f"one of: {' / '.join(line.choices)}" if line.choices else "",
        "write none where there is none" if may_be_none else "",
        line.where,
        "assumed in the file until now" if line.assumed else "",
    ]
    beside = [each for each in beside if each]
    how = _in_words(installation, line.how)
    decided = "; ".join(_reason(installation, each) for each in line.decides)
    told = [
        tag("span", class_="box", role="img", aria_label="box to tick"),
        tag(
            "div",
            tag("strong", f"{number}. {_words(installation, line)}"),
            f" ({unit})" if unit else "",
            *((" ", tag("span", WHO[line.who][2], class_="chip")) if marked else ()),
            tag("small", "; ".join(beside)) if beside else "",
            tag("small", tag("strong", "how: "), how) if how else "",
            tag("small", "decides: ", decided) if decided else "",
        ),
        tag("div", *_fields(line, unit), class_="answer"),
    ]
    return tag("li", *told)


def _fields(line: ToFind, unit: str) -> list[Markup]:
    """Where to write; a route that nobody walked yet has several parts, each with its place."""
    not_walked = line.assumed or "*" in line.path
    parts = ("1: ", "2: ", "3: ") if ".route." in line.path and not_walked else ("",)
    return [tag("div", f"{part}{_LINE} {unit}") for part in parts]


def _known(installation: Installation, line: ToFind) -> Markup:
    how = f", {line.known}" if line.known else ""
    return Markup("{}: {}{}").format(_words(installation, line), tag("strong", line.said), how)


def _words(installation: Installation, line: ToFind) -> str:
    return _in_words(installation, line.what)


def _in_words(installation: Installation, words: str) -> str:
    return in_nec_words(words) if installation.rules == "nec" else words


def _reason(installation: Installation, rule: Rule) -> str:
    source, _ = source_of(rule.source, rule.edition, installation.rules)
    title = _in_words(installation, rule.title)
    return f"{title} ({cited(source, '', rule.standing_for(installation.rules))})"
