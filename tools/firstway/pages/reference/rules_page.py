"""Pages: every rule the checks know, made from the rules themselves: why, a pass, a fail.

A page for each rule set and what is at stake.
"""

import re
from types import ModuleType

from firstway.checks.rule import CONFIRM_IN_A4
from firstway.checks.running import rules
from firstway.checks.stakes import STAKE_WORDS, Stake, stake_of
from firstway.pages.jobs.nec_pages import sheet_in_nec_words
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.findings import verdict_mark
from firstway.rendering.html import (
    Markup,
    caution_fold_html,
    counted,
    escape,
    joined,
    list_html,
    sentence,
    tag,
)
from firstway.tables.clauses import cited, source_of

_RULE_SETS = {
    "bs7671": (
        "BS 7671",
        (
            "Each names its edition, and whether it was found in a source; A4:2026 is the current"
            " book."
        ),
    ),
    "iec60364": ("IEC 60364", "National rules change the international ones: ask which apply."),
    "nec": (
        "NEC",
        "States adopt editions at different dates, with changes: ask for the adopted edition.",
    ),
}
# One page for all would be too much for a phone.
_PARTS: dict[str, tuple[tuple[Stake, ...], str]] = {
    "shock": (("shock",), STAKE_WORDS["shock"]),
    "fire": (("fire",), STAKE_WORDS["fire"]),
    "supply-and-use": (("supply", "equipment", "use"), "supply, equipment and use"),
}
_LABEL = re.compile(r"(?=(?:Why|A pass|A fail|Advice|Not known|Otherwise): )")

_TEXT = """\
---
search:
  exclude: true
---
# What the checks know: {name}, {stake}

For whoever wants to know why a check says what it says. {about}
{{ .for }}

{caution}

Each rule says why it is there, what passes and what fails. A missing figure is *not known*, never a
pass. The worst verdict a rule can give stands beside its name.

{rules}
"""


def rules_pages() -> list[PageSheet]:
    """One page for each rule set and each group of stakes that has rules."""
    return [
        _page(rule_set, slug) for rule_set in _RULE_SETS for slug in _PARTS if _of(rule_set, slug)
    ]


def rule_page(rule_id: str, rule_set: str) -> str:
    """The page that holds a rule, below the guide's first folder and without its ending."""
    part = next(slug for slug, (stakes, _) in _PARTS.items() if stake_of(rule_id) in stakes)
    return f"rules/{rule_set}-{part}"


def _of(rule_set: str, slug: str) -> list[ModuleType]:
    """The rules of a page, by name."""
    stakes, _ = _PARTS[slug]
    return [
        module
        for module in rules()
        if rule_set in module.RULE.rule_sets and stake_of(module.RULE.id) in stakes
    ]


def _page(rule_set: str, slug: str) -> PageSheet:
    name, about = _RULE_SETS[rule_set]
    modules, stake = _of(rule_set, slug), _PARTS[slug][1]
    body = joined(_rule_html(module, rule_set) for module in modules)
    text = _TEXT.format(
        name=name, stake=stake, about=about, rules=part_mark("rules"), caution=part_mark("caution")
    )
    page = PageSheet(
        f"{rule_page(modules[0].RULE.id, rule_set)}.md",
        f"Checks: {name}, {stake}",
        text,
        {
            "caution": caution_fold_html(),
            "rules": (tag("p", f"{counted(len(modules), 'rule')}.") + _index_html(modules) + body),
        },
        f"The rules of {name} on {stake}, each with its reason.",
    )
    return sheet_in_nec_words(page) if rule_set == "nec" else page


def _rule_html(module: ModuleType, rule_set: str) -> Markup:
    """Title, verdict, reasons from the docstring, source, edition and standing."""
    rule = module.RULE
    first, _, rest = (module.__doc__ or "").strip().partition("\n\n")
    parts = joined(
        tag("p", _labelled(part.strip()))
        for part in _LABEL.split(" ".join(rest.split()))
        if part.strip()
    )
    source = cited(*source_of(rule.source, rule.edition, rule_set), rule.standing_for(rule_set))
    confirm = (
        f" Verdicts are {CONFIRM_IN_A4}." if rule.not_seen_in_a4 and rule_set == "bs7671" else ""
    )
    return tag(
        "section",
        tag(
            "h2",
            f"{rule.title} ",
            tag("a", "#", class_="headerlink", href=f"#rule-{rule.id}", title="Link to this rule"),
        ),
        tag("p", verdict_mark(rule.level), f" at worst. {_capital(' '.join(first.split()))}"),
        parts,
        tag("p", f"Source: {source}.{confirm} Check ", tag("code", rule.id), ".", class_="cite"),
        class_="rule",
        id=f"rule-{rule.id}",
    )


def _capital(text: str) -> str:
    """A sentence of a docstring: a capital at the front and a stop at the end."""
    return sentence(text[:1].upper() + text[1:])


def _index_html(modules: list[ModuleType]) -> Markup:
    """A link to every rule, for the page is long."""
    links = (
        tag("a", _capital(module.RULE.title).rstrip("."), href=f"#rule-{module.RULE.id}")
        for module in modules
    )
    return tag("nav", list_html(links), class_="index", aria_label="Rules on this page")


def _labelled(text: str) -> Markup:
    label, found, words = text.partition(": ")
    if found and len(label) < 12:
        return tag("strong", f"{label}.") + f" {_capital(words)}"
    return escape(_capital(text))
