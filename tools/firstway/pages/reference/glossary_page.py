"""Pages: words and symbols: the very entries that open on tap, and the symbols of every declared
formula.
"""

from collections.abc import Iterable

from firstway.calculations.every_formula import FORMULAS
from firstway.choosing.completing import Completed
from firstway.pages.shared.glossary import Entry
from firstway.pages.shared.project import Project, told_of
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.figures import symbol_text, unit_text
from firstway.rendering.html import Markup, caution_fold_html, joined, table_html, tag
from firstway.rendering.working import symbol_markup

_PATH = "glossary.md"
_TEXT = """\
# Words and symbols

For whoever meets a word or a letter of this guide and wants to know what it stands for. In the
chapters these same words open on tap.
{{ .for }}

{caution}

## Words {{#words}}

{words}

## Symbols of the formulas {{#symbols}}

Made from the formulas themselves. A letter may stand for two things in two formulas: its unit tells
which.

{symbols}
"""


def glossary_page(project: Project) -> PageSheet:
    """The page of words and symbols."""
    parts = {
        "caution": caution_fold_html(),
        "words": _words_html(project.glossary),
        "symbols": _symbols_html(project),
    }
    return PageSheet(
        _PATH,
        "Words and symbols",
        _TEXT.format(**{name: part_mark(name) for name in parts}),
        parts,
        "Every word and symbol of the guide, with its unit and where it is defined.",
    )


def _words_html(entries: Iterable[Entry]) -> Markup:
    ordered = sorted(entries, key=lambda entry: (entry.term.lower(), entry.term))
    letters = dict.fromkeys(_letter(entry) for entry in ordered)
    index = joined((tag("a", letter, href=f"#letter-{letter.lower()}") for letter in letters), " ")
    seen: set[str] = set()
    items = joined(_heading(entry, seen) + _entry_html(entry) for entry in ordered)
    return tag("nav", index, class_="letters", aria_label="Words by their first letter") + tag(
        "div", items, class_="words"
    )


def _letter(entry: Entry) -> str:
    return entry.term[:1].upper() if entry.term[:1].isalpha() else "0"


def _heading(entry: Entry, seen: set[str]) -> Markup:
    letter = _letter(entry)
    if letter in seen:
        return Markup()
    seen.add(letter)
    return tag("h3", letter, id=f"letter-{letter.lower()}")


def _entry_html(entry: Entry) -> Markup:
    symbol = Markup(" {}").format(symbol_markup(entry.symbol)) if entry.symbol else ""
    also = (
        Markup(' <span class="also">also: {}</span>').format(", ".join(entry.also))
        if entry.also
        else ""
    )
    return tag(
        "div",
        tag("p", tag("strong", entry.term), symbol, also, class_="word-title"),
        tag("p", entry.meaning),
        entry.origin_html,
        class_="word",
        id=entry.id,
    )


def symbols_of(job: Completed) -> list[list[str]]:
    """Symbol, unit, and what the working of a job calls it first."""
    found: dict[tuple[str, str], str] = {}
    for step in job.case.workings:
        if (
            step.symbol
            and step.of not in step.title
            and not any(sign.isdigit() for sign in step.title)
        ):
            words = step.title.partition(":")[0].partition(",")[0]
            found.setdefault((step.symbol, step.unit), words)
    return [[*key, words] for key, words in found.items()]


def _symbols_html(project: Project) -> Markup:
    """Each symbol with its unit: the word of the glossary, else what the working of a job
    calls it.
    """
    meanings: dict[tuple[str, str], str] = {}
    for entry in project.glossary:
        if entry.symbol:
            meanings.setdefault(
                (entry.symbol, entry.unit), tag("a", entry.term, href=f"#{entry.id}")
            )
    for job in told_of(project.jobs, "symbols", symbols_of):
        for symbol, unit, words in job:
            meanings.setdefault((symbol, unit), words)
    used: dict[tuple[str, str], list[str]] = {}
    for formula in FORMULAS.values():
        for symbol, unit in formula.units.items():
            used.setdefault((symbol, unit), []).append(formula.name.replace("_", " "))
    rows = [
        [
            symbol_markup(symbol),
            unit_text(unit) or "—",
            meanings.get((symbol, unit), ""),
            ", ".join(names),
        ]
        for (symbol, unit), names in sorted(
            used.items(), key=lambda item: (symbol_text(item[0][0]).lower(), item[0])
        )
    ]
    return table_html(
        ("symbol", "unit", "stands for", "in the formulas for"),
        rows,
        "Symbols, by letter",
        "plain rows letters-used",
    )
