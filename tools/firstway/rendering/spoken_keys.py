"""Rendering: keys of the file that stand in a sentence, said in words of the trade.

Who writes a file looks for `feed.cable.cpc_mm2`; who reads a page or a paper looks for the size of
the protective conductor. The words are those of the key's own declaration.
"""

from __future__ import annotations

import re
from functools import lru_cache

from firstway.files.plain_values import unit_of_key
from firstway.files.schema import sections_below, sections_inside
from firstway.files.specs import Section, SectionOrText, Spec, specs_of
from firstway.model.installation import Installation
from firstway.model.nec_words import in_nec_words
from firstway.rendering.columns import row_words, table_words
from firstway.rendering.figures import unit_text

_PATH = re.compile(r"(?<![\w.\-`'])['`]?([a-z_]+(?:\.[\w-]+)+)['`]?(?![\w-])")
_WORD_FOR = re.compile(r"`([a-z_]+): ([\w-]+)`")
_EITHER = re.compile(r"`([a-z_]+): ([\w-]+)` or `([\w-]+)` under [\w.]+")
_ALONE = re.compile(r"`([a-z]+_[a-z_]+)`")
_MORE = re.compile(r"(?<= and )(\d+ more) keys?\b")
_OF_THESE = re.compile(r"(?<=figures of )[a-z_]+(?:\.[\w-]+)+")
_NO_ROW = re.compile(r"the table (\w+) has no row for ([^:;]+)")
_ITS_SIZE = re.compile(r"its size \(([a-z_]+(?:\.[\w-]+)+)\)")
_SECTION = re.compile(rf"\b(?:{'|'.join(key for key in specs_of(Installation) if '_' in key)})\b")
_ASK_FOR = re.compile(r"\bask for (?=['`]?[a-z_]+\.[a-z_])")
_FUNCTION = r"(L[123]|N|PEN?)"
_LEAD = re.compile(
    r"(?<![\w.\-])(lead|link|tooth)\.(L[123]|N|PEN?|ground)(?:\.([\w-]+))?(?![\w-]|\.\w)"
)
_AT_LINE_BAR = re.compile(r"(?<![\w.\-])bar\.(L[123])\.([\w-]+)")
_AT_BAR = re.compile(r"(?<![\w.\-])((?:neutral|earth)-bar[\w-]*)\.(\d+)(?![\w-]|\.\d)")
_TERMINAL = re.compile(
    rf"(?<![\w.\-])([A-Za-z][\w-]*)\.(?:(supply|load|outlet)\.)?{_FUNCTION}(?![\w-]|\.\w)"
)
_METAL = re.compile(r"(?<![\w.\-])([A-Za-z][\w-]*)\.enclosure\.PE(?![\w-]|\.\w)")
_ONE_OF_A_KIND = {
    "met.PE": "the main earthing terminal",
    "enclosure.PE": "the metal of the enclosure",
}
_MAY_HOLD = re.compile(r"[a-z]\.[a-z]|_|`")
# Sections whose key is not how they are said.
_CALLED = {
    "upstream_rcd": "residual current device at the origin",
    "neutral_bar_at": "place of the neutral bar",
    "earth_bar_at": "place of the earth bar",
    "row": "place of the devices",
    "prospective_fault_current_ka": "prospective fault current",
    "through": "devices the feed runs through",
}


def in_trade_words(text: str, rules: str = "", units: bool = False) -> str:
    """A sentence without keys: each path, and each key that stands in backquotes, by what it means.
    What is no key of a file (a terminal, a part) stays. `rules`: the rule set whose words are used;
    `units`: a figure stands beside each path, so its unit is said.

    >>> in_trade_words("measure or ask for 'feed.cable.cpc_mm2'")
    'measure or ask for: size of the protective conductor (cable of the feed)'
    >>> in_trade_words("the worst is 2870 A at F3.load.L2")
    'the worst is 2870 A at F3.load.L2'
    >>> in_trade_words("look, and write `upstream_rcd: none` if there is none")
    'look, and state none at "the residual current device at the origin" if there is none'
    >>> in_trade_words("the table armour_resistance has no row for cores 2, csa_mm2 10: ask")
    'the table Armour resistance has no row for cores 2, size 10 mm²: ask'
    """
    if not _MAY_HOLD.search(text):
        return text

    def meant(key: str) -> str:
        found = _meanings().get(key, "")
        return f'"{in_nec_words(found) if rules == "nec" else found}"' if found else ""

    def word_said(found: re.Match[str]) -> str:
        return f"{found[2]} at {meant(found[1])}" if meant(found[1]) else found[0]

    told = _NO_ROW.sub(_no_row_said, text.replace("write `", "state `"))
    told = _ASK_FOR.sub("ask for: ", told)
    told = _OF_THESE.sub(lambda found: section_in_words(found[0]) or found[0], told)
    told = _EITHER.sub(lambda found: f"{found[2]} or {found[3]} at {meant(found[1])}", told)
    told = _WORD_FOR.sub(word_said, told)
    told = _ALONE.sub(lambda found: meant(found[1]) or found[0], told)
    told = _ITS_SIZE.sub(lambda found: path_in_words(found[1], rules) or found[0], told)
    told = _PATH.sub(lambda found: path_in_words(found[1], rules, units) or found[0], told)
    told = _SECTION.sub(lambda found: found[0].replace("_", " "), told)
    return _MORE.sub(r"\1", told).replace("`", "")


def with_spoken_terminals(text: str) -> str:
    """A sentence in which terminals and conductors are named as on the drawing, not by their ids.

    >>> with_spoken_terminals("lead.N.F1 joins neutral-bar-R1.2 to F1.PE")
    'the N lead of F1 joins terminal 2 of the neutral bar R1 to F1 PE'
    >>> with_spoken_terminals("from Q1.supply.L1 to met.PE; BS 7671 411.3.2 stays.")
    'from Q1 supply L1 to the main earthing terminal; BS 7671 411.3.2 stays.'
    >>> with_spoken_terminals("Length of tooth.L1.F1")
    'Length of the L1 tooth of F1'
    >>> with_spoken_terminals("at hall.enclosure.PE")
    'at the metal of the enclosure of hall'
    """
    told = _LEAD.sub(
        lambda found: f"the {found[2]} {found[1]}{f' of {found[3]}' if found[3] else ''}", text
    )
    told = _AT_LINE_BAR.sub(r"line bar \1 at \2", told)
    told = _AT_BAR.sub(
        lambda found: f"terminal {found[2]} of the {found[1].replace('-', ' ')}", told
    )
    told = _METAL.sub(r"the metal of the enclosure of \1", told)
    return _TERMINAL.sub(_terminal_said, told)


def _terminal_said(found: re.Match[str]) -> str:
    return _ONE_OF_A_KIND.get(found[0]) or " ".join(filter(None, found.groups()))


def _no_row_said(found: re.Match[str]) -> str:
    return f"the table {table_words(found[1])} has no row for {row_words(found[2])}"


@lru_cache(maxsize=4096)
def path_in_words(path: str, rules: str = "", units: bool = False) -> str:
    """What a path leads to, then what it is of in brackets; "" where it is none of a file.

    >>> path_in_words("supply.ze_ohm"), path_in_words("electrodes.rods.lead.csa_mm2")
    ('earth fault loop impedance outside the installation (supply)', 'its size (lead of rods)')
    >>> path_in_words("existing_boards.house.enclosure"), path_in_words("origin.PE")
    ('enclosure of house', '')
    """
    found = _along(path)
    if found is None:
        return ""
    names, spec = found
    if spec is None or sections_inside(spec.kind):
        said = _of(names)
    else:
        around = f" ({_of(names[:-1])})" if names[:-1] else ""
        unit = unit_text(unit_of_key(path.rpartition(".")[2])) if units else ""
        said = f"{_meaning(spec)}{f' in {unit}' if unit else ''}{around}"
    return in_nec_words(said) if rules == "nec" else said


def section_in_words(path: str) -> str:
    """The section a path leads to: `electrodes.rods` is rods; "" where it is none of a file."""
    found = _along(path)
    return _of(found[0]) if found else ""


def section_called(key: str) -> str:
    """How a section is called by its key alone."""
    return _CALLED.get(key, key.replace("_", " "))


_Name = tuple[str, bool]
"""How a section is called, and whether its author named it so."""


def _along(path: str) -> tuple[list[_Name], Spec | None] | None:
    """How the sections on the way are called, and the key at the end; None for it at an item of a
    list. None for all where a part is no key.
    """
    of: type | None = Installation
    names: list[_Name] = []
    spec: Spec | None = None
    parts = path.split(".")
    while parts:
        key = parts.pop(0)
        spec = specs_of(of).get(key) if of else None
        if spec is None:
            return None
        inside = sections_inside(spec.kind)
        of = inside[0] if inside else None
        called = section_called(key)
        names.append((called, False))
        if inside and parts and not isinstance(spec.kind, Section | SectionOrText):
            item = parts.pop(0)
            if item.isdigit():
                names[-1] = (f"part {item} of the {called}", False)
            else:
                names = [(item, True)]  # known by its name: what it lies in need not be said
            spec = spec if parts else None
    return names, spec


def _of(names: list[_Name]) -> str:
    """`enclosure of the board`, from the inmost outwards."""
    (first, _), *around = reversed(names)
    return " of ".join([first, *(each if named else f"the {each}" for each, named in around)])


def _meaning(spec: Spec) -> str:
    """What a key means, without what may stand there."""
    return re.split(r"[;:]", spec.meaning)[0].replace("`", "")


@lru_cache(maxsize=1)
def _meanings() -> dict[str, str]:
    """What each key means, by its name alone; the first of a name counts."""
    found: dict[str, str] = {}
    for of in sections_below(Installation):
        for key, spec in specs_of(of).items():
            found.setdefault(key, _meaning(spec))
    return found
