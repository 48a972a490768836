"""Pages: the answers to directives that stand in a sentence: a figure typed with its source, a
clause, a word, a rule.
"""

from __future__ import annotations

import re
from functools import cache

from firstway.checks.running import rules
from firstway.pages.chapters.answer import Answer, Complaint, unknown
from firstway.pages.reference.rules_page import rule_page
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.notes_on_tap import Note, tap_html
from firstway.pages.shared.project import Chapter
from firstway.rendering.citing import RULE_WORDS, source_title
from firstway.rendering.figures import unit_text
from firstway.rendering.html import Markup, html_identity, tag
from firstway.tables.clauses import NUMBER_NOT_CONFIRMED, clause_standing
from firstway.tables.reading import STANDINGS, sources

SHORT_STANDING = {
    "from memory": "from memory",
    "common practice": "common practice",
    "assumed": "assumed",
}
HELD = {"bs7671": "2018+A3:2024", "nec": "2020"}
CONFIRM = {
    "bs7671": "confirm in the current book",
    "iec60364": "confirm in the current national text",
    "nec": "confirm with the authority having jurisdiction",
}
STANDARD = {"bs7671": "BS 7671", "iec60364": "IEC 60364", "nec": "NFPA 70"}
_AMOUNT = re.compile(r"([-−]?\d[\d.,]*(?:\s*(?:to|/)\s*\d[\d.,]*)?)\s*(\S*)(.*)")


def stated_figure(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{stated: 6 mA | SOURCE}` or `{stated: 6 mA | SOURCE | from memory}`: a figure that no table
    holds.
    """
    said, *rest = _fields(arguments)
    if not rest or not said or not any(sign.isdigit() for sign in said) or len(rest) > 2:
        return Complaint("a stated figure needs its source", "write {stated: 6 mA | SOURCE-ID}")
    if rest[0] not in sources():
        return unknown("source", rest[0], sources())
    standing = rest[1] if len(rest) > 1 else "found"
    if standing not in STANDINGS:
        return unknown("standing", standing, STANDINGS)
    found = _AMOUNT.fullmatch(said)
    shown = f"{found[1]} {unit_text(found[2])}{found[3]}".strip() if found else said
    source = sources()[rest[0]]
    title = f"{source_title(source.id)}; {source.edition}; {standing}"
    careful = SHORT_STANDING.get(standing)
    mark = Markup(' <small class="careful">({})</small>').format(careful) if careful else ""
    return Answer(
        (
            tag(
                "data",
                shown,
                class_="read stated",
                value=found[1] if found else said,
                data_source=source.id,
                title=title,
            )
            + mark
        ),
        (source.id,),
    )


def clause(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{clause: bs7671 722.411.4.1}`, `{clause: nec 625.41 | 2020}` or `{clause: SOURCE-ID}`."""
    said, *rest = _fields(arguments)
    words = said.split()
    if not words or len(rest) > 1:
        return Complaint(
            "a clause is named by its book and number",
            "write {clause: bs7671 722.411.4.1} or {clause: SOURCE-ID}",
        )
    if len(words) == 1:
        return _clause_of_source(words[0], rest)
    book, number = words[0], " ".join(words[1:])
    if book not in RULE_WORDS:
        return unknown("book", book, RULE_WORDS)
    a_part = book == "iec60364" and number[:1].isdigit() and "-" in number
    short = f"{RULE_WORDS[book]}{'-' if a_part else ' '}{number}"
    edition = rest[0] if rest else _edition_of(book, number)
    if not edition:
        return Complaint(
            f"the edition of {short} is not known", f"write {{clause: {said} | EDITION}}"
        )
    found = clause_standing(book, number) == "found"
    known = (
        f"found in documents that quote edition {edition}"
        if found
        else f"from memory, edition {edition}"
    )
    if book == "bs7671" and number in NUMBER_NOT_CONFIRMED:
        known = f"number not confirmed, {known}"
    return _clause(
        short,
        f"{short}, {known}. {CONFIRM[book][:1].upper()}{CONFIRM[book][1:]}.",
        f"{short}, {known}, {CONFIRM[book]}",
    )


def _edition_of(book: str, number: str) -> str:
    """The edition a clause is cited from: that of the check or the source that names it, else the
    one we hold.
    """
    named = {
        edition: number in items
        for items, edition in _clauses_of_checks(book)
        if any(_holds(item, number) for item in items)
    }
    if named:
        return next((edition for edition, exactly in named.items() if exactly), next(iter(named)))
    part = re.split(r"[.,(\s]", number)[0].lower()
    own = [
        source.edition
        for source in sources().values()
        if source.id.startswith(f"{book}-")
        and f"-{part}" in source.id.removeprefix(book)
        and source.edition[:1].isdigit()
    ]
    return own[0] if own and book != "bs7671" else HELD.get(book, "")


@cache
def _clauses_of_checks(book: str) -> tuple[tuple[tuple[str, ...], str], ...]:
    """The clauses of one book that each check names, and the edition it is cited from."""
    found = []
    for module in rules():
        pieces, editions = (
            [part.strip() for part in text.split(";")]
            for text in (module.RULE.source, module.RULE.edition)
        )
        for place, piece in enumerate(pieces):
            edition = (
                editions[place]
                if len(editions) == len(pieces)
                else editions[0]
                if book == "bs7671"
                else ""
            )
            if piece.startswith(STANDARD[book]) and edition:
                found.append(
                    (
                        tuple(re.split(r", | and ", piece.removeprefix(STANDARD[book]).strip())),
                        edition,
                    )
                )
    return tuple(found)


def _holds(item: str, number: str) -> bool:
    return re.search(rf"(?<![\d.]){re.escape(number)}(?![\d.]*\d)", item) is not None


def _clause_of_source(name: str, rest: list[str]) -> Answer | Complaint:
    if name not in sources():
        return unknown("source", name, sources())
    source = sources()[name]
    edition = rest[0] if rest else source.edition
    book = next((book for book in RULE_WORDS if name.startswith(book)), "")
    short = short_title(source_title(name))
    confirm = f", {CONFIRM[book]}" if book else ""
    if edition in ("", "no edition", "all"):
        return _clause(short, f"{source_title(name)}.", name)
    named = f"edition {edition}" if edition[:1].isdigit() else edition
    return _clause(short, f"{source_title(name)}; {named}{confirm}.", name)


def short_title(title: str) -> str:
    """The book and the place in it, without what stands there.

    >>> short_title("BS 7671, 722.311.201, no diversity on the circuit of a charging point")
    'BS 7671 722.311.201'
    >>> short_title("IEC 62955, d.c. residual current detection")
    'IEC 62955'
    """
    book, _, rest = title.partition(", ")
    place = rest.partition(", ")[0]
    return (
        f"{book} {place}"
        if re.match(r"(?:Table |Section |Annex |Appendix |Chapter |Part )?[A-Z]*\d[\w.()]*$", place)
        else book
    )


def _clause(short: str, long: str, source: str) -> Answer:
    note = Note(html_identity("clause", short).lower(), short, tag("p", long))
    return Answer(tap_html(short, note, "{root}about.html"), (source,), (note,))


def term(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{term: RCBO}`, or `{term: RCBO | the RCBOs}` to say it in other words."""
    word, *rest = _fields(arguments)
    if not word or len(rest) > 1:
        return Complaint(
            "a term is one entry of the glossary",
            "write {term: WORD} or {term: WORD | as it is said here}",
        )
    entry = guide.project.entry(word)
    if entry is None:
        near = unknown(
            "term",
            word,
            [known for entry in guide.project.glossary for known in (entry.term, *entry.also)],
        )
        return Complaint(near.message, f"{near.hint}; or add it to content/glossary.yaml")
    return Answer(
        tap_html(rest[0] if rest else word, entry.note, f"{{root}}glossary.html#{entry.id}"),
        (),
        (entry.note,),
    )


def rule(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{rule: surge-first-way}`: a link to the check on the page of its first rule set."""
    known = {module.RULE.id: module.RULE for module in rules()}
    if len(arguments) != 1 or arguments[0] not in known:
        return unknown("rule", " ".join(arguments), known)
    found = known[arguments[0]]
    title = found.title[:1].lower() + found.title[1:] if found.title[1:2].islower() else found.title
    told_on = rule_page(found.id, found.rule_sets[0])
    return Answer(
        tag(
            "a", title.rstrip("."), class_="to-rule", href=f"{{root}}{told_on}.html#rule-{found.id}"
        )
    )


def _fields(arguments: tuple[str, ...]) -> list[str]:
    return [" ".join(field.split()) for field in " ".join(arguments).split("|")]
