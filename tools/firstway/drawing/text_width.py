"""Drawing: how wide a text will be, without asking a browser.

Advance widths of an Arial-metric face, in thousandths of the text size, read from the `hmtx` table
of Liberation Sans 2 (metric-compatible with Arial). Other faces run up to a fifth wider, so every
layout and what looks for faults reserve `RESERVE` times the width.
"""

import re
from functools import lru_cache

RESERVE = 1.2
_REGULAR = {
    191: "'",
    222: "ijl",
    260: "|",
    278: " \u00a0!,./:;I[\\]ft·",
    333: "()-`r²³₁₂",
    334: "{}",
    355: '"',
    389: "*",
    400: "°",
    469: "^",
    500: "Jcksvxyz",
    549: "√≤≥±≈",
    556: "#$0123456789?L_abdeghnopqu–θ",
    576: "µ",
    578: "α",
    584: "+<=>~×−",
    611: "FTZ",
    618: "Σ",
    667: "&ABEKPSVXY",
    668: "Δ",
    722: "CDHNRUw",
    748: "Ω",
    778: "GOQΘ",
    833: "Mm",
    889: "%",
    944: "W",
    1000: "→←",
    1015: "@",
}
_BOLD = {
    238: "'",
    278: " \u00a0,./I\\ijl·",
    280: "|",
    333: "!()-:;[]`ft²³₁₂",
    389: "*r{}",
    400: "°",
    474: '"',
    500: "z",
    541: "θ",
    549: "√≤≥±≈",
    556: "#$0123456789J_aceksvxy–",
    576: "µ",
    584: "+<=>^~×−",
    600: "Σ",
    611: "?FLTZbdghnopqu",
    615: "α",
    667: "EPSVXY",
    719: "Δ",
    722: "&ABCDHKNRU",
    778: "GOQwΘ",
    802: "Ω",
    833: "M",
    889: "%m",
    944: "W",
    975: "@",
    1000: "→←",
}
_UNLISTED = 1000
_UNITS = "mm²|kWh?|W|mA|A|kV|V|kA|mm|ms|m|K|MΩ|Ω|AWG"
_TABLES = {
    bold: {sign: width for width, signs in table.items() for sign in signs}
    for bold, table in ((False, _REGULAR), (True, _BOLD))
}


@lru_cache(maxsize=4096)
def text_width(words: str, size: float, bold: bool = False) -> float:
    """Width of one line in an Arial-metric face, in the unit of `size`."""
    table = _TABLES[bold]
    return sum(table.get(sign, _UNLISTED) for sign in words) * size / 1000


def reserved_width(words: str, size: float, bold: bool = False) -> float:
    """The width to keep free for one line in any sans-serif face."""
    return RESERVE * text_width(words, size, bold)


def wrapped(words: str, size: float, width: float, bold: bool = False) -> tuple[str, ...]:
    """The text broken at spaces into lines whose reserved width is at most `width`; a longer word
    stands alone.

    A number is never parted from its unit.
    """
    lines: list[str] = []
    held = re.sub(rf"(\d) (?=({_UNITS})\b|mm²|Ω)", "\\1\u00a0", words)
    for word in held.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and reserved_width(longer, size, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(line.replace("\u00a0", " ") for line in lines)
