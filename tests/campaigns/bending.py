"""Bends a good file: what a slip of the hand, a broken disk, a converter or an attacker makes of
it. All chance comes from `draw`.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import yaml

WORDS = (
    "",
    "~",
    "null",
    "unknown",
    "none",
    "choose",
    "undeclared",
    "true",
    "no",
    "0",
    "-0",
    "-1",
    "1e400",
    "-1e400",
    "1e-400",
    "nan",
    ".nan",
    "inf",
    ".inf",
    "0x1F",
    "1_000",
    "012",
    "1,5",
    "1:30",
    "9" * 400,
    "1e5",
    "0.1" + "0" * 300 + "1",
    "2024-02-30",
    "9999-99-99",
    "0000-00-00",
    "4/0",
    "{}",
    "[]",
    "{a: b}",
    "[1, 2, 3]",
    "'",
    '"',
    "|",
    ">",
    "!!python/object:os.system x",
    "&a x",
    "*a",
    "<<",
    "---",
    "...",
    "# x",
    "a: b: c",
    "- - -",
    "? x",
    "{marram}",
    "{root}",
    "{{x}}",
    "{figure: marram voltage-drop slipway}",
    "<b>",
    "&amp;",
    "%s%n",
    "$(id)",
    "../../etc/passwd",
    "/etc/passwd",
    "C:\\x",
    "CON",
    "a" * 3000,
    "ä",
    "\u00a0",
    "\u200b",
    "\u202e",
    "\ufeff",
    "\u2028",
    "\x00",
    "\x1b[2J",
    "\x85",
    "\U0001f4a5",
    "\ue000",
    "e\u0301",
    "１２",
    "٣",
    "½",
    "²",
    "-",
    "--",
    "a.b.c",
    "slipway",
    "marram",
    "F1",
    "L1",
    "voltage-drop",
    "bs7671",
    "nec",
    "iec60364",
    "true\n- x",
    "\t",
    "  ",
)
Bend = Callable[[str, Random], str]


def _lines(text: str) -> list[str]:
    return text.split("\n")


def _spot(text: str, draw: Random) -> int:
    return draw.randrange(len(text) + 1)


def cut(text: str, draw: Random) -> str:
    one, other = sorted((_spot(text, draw), _spot(text, draw)))
    return draw.choice(
        (
            text[:one],
            text[one:],
            text[:one] + text[min(other, one + draw.randint(1, 40)) :],
            text[:one] + text[other:],
        )
    )


def doubled(text: str, draw: Random) -> str:
    one, other = sorted((_spot(text, draw), _spot(text, draw)))
    return text[:other] + text[one:other] + text[other:]


def put_in(text: str, draw: Random) -> str:
    place = _spot(text, draw)
    return (
        text[:place]
        + draw.choice(
            (
                draw.choice(WORDS),
                chr(draw.randrange(0x20)),
                chr(draw.randrange(0x110000)),
                draw.choice("{}[]:,-#'\"|>&*!%@`\t\n"),
            )
        )
        + text[place:]
    )


def line_moved(text: str, draw: Random) -> str:
    lines = _lines(text)
    line = lines.pop(draw.randrange(len(lines)))
    lines.insert(draw.randrange(len(lines) + 1), line)
    return "\n".join(lines)


def line_lost(text: str, draw: Random) -> str:
    lines = _lines(text)
    del lines[draw.randrange(len(lines))]
    return "\n".join(lines)


def line_twice(text: str, draw: Random) -> str:
    lines = _lines(text)
    place = draw.randrange(len(lines))
    lines.insert(place, lines[place])
    return "\n".join(lines)


def line_shifted(text: str, draw: Random) -> str:
    lines = _lines(text)
    place = draw.randrange(len(lines))
    lines[place] = draw.choice(
        (
            " " * draw.randint(1, 5) + lines[place],
            lines[place][draw.randint(1, 4) :],
            "\t" + lines[place],
            "- " + lines[place],
        )
    )
    return "\n".join(lines)


def _scalars(text: str) -> list[tuple[int, int]]:
    """Where values stand; empty where the text is no YAML."""
    found: list[tuple[int, int]] = []

    def look(node: yaml.Node) -> None:
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                found.append((key.start_mark.index, key.end_mark.index))
                look(value)
        elif isinstance(node, yaml.SequenceNode):
            for item in node.value:
                look(item)
        else:
            found.append((node.start_mark.index, node.end_mark.index))

    try:
        node = yaml.compose(text)
    except (yaml.YAMLError, RecursionError, ValueError):
        return []
    if node is not None:
        look(node)
    return found


def value_changed(text: str, draw: Random) -> str:
    places = _scalars(text)
    if not places:
        return put_in(text, draw)
    for _ in range(draw.choice((1, 1, 1, 2, 5))):
        start, end = draw.choice(places)
        if end <= len(text):
            word = draw.choice(WORDS)
            text = text[:start] + draw.choice((word, f"'{word}'", f'"{word}"')) + text[end:]
            places = [(one, other) for one, other in places if other <= start]
            if not places:
                break
    return text


def values_swapped(text: str, draw: Random) -> str:
    places = _scalars(text)
    if len(places) < 2:
        return put_in(text, draw)
    (a, b), (c, d) = sorted(draw.sample(places, 2))
    return text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:] if b <= c else text


def figure_changed(text: str, draw: Random) -> str:
    """A figure that could be meant, far from what it was."""
    places = [
        (start, end)
        for start, end in _scalars(text)
        if end - start < 20 and text[start:end].replace(".", "", 1).isdigit()
    ]
    if not places:
        return value_changed(text, draw)
    start, end = draw.choice(places)
    value = float(text[start:end] or 0)
    return (
        text[:start]
        + draw.choice(
            (
                f"{value * 10 ** draw.randint(-9, 9):g}",
                f"{-value:g}",
                "0",
                f"{value:g}{draw.choice('mkVA%')}",
                str(int(value) + 1),
            )
        )
        + text[end:]
    )


def letter_lost(text: str, draw: Random) -> str:
    places = [(start, end) for start, end in _scalars(text) if end - start > 3]
    if not places:
        return cut(text, draw)
    start, end = draw.choice(places)
    place = draw.randrange(start, min(end, len(text)))
    return text[:place] + draw.choice(("", text[place] * 2, "x")) + text[place + 1 :]


def other_ends(text: str, draw: Random) -> str:
    return draw.choice(
        (
            text.replace("\n", "\r\n"),
            text.replace("\n", "\r"),
            "\ufeff" + text,
            text.replace("\n", "\n\n"),
            text.replace(" ", "\u00a0"),
            text.replace("\n", "\u2028"),
            text.upper(),
            text.replace("'", "\u2019").replace('"', "\u201d"),
            text + "\n---\n" + text,
            text.replace(":", "\uff1a"),
        )
    )


def nested(text: str, draw: Random) -> str:
    deep = draw.choice((30, 50, 500, 20_000))
    places = _scalars(text) or [(0, 0)]
    start, end = draw.choice(places)
    return (
        text[:start]
        + draw.choice(
            (
                "[" * deep + "]" * deep,
                "{a: " * deep + "}" * deep,
                "- " * deep + "x",
                "[" * deep,
                "(" * deep,
                "a: " * deep,
            )
        )
        + text[end:]
    )


def grown(text: str, draw: Random) -> str:
    """A list or a text that goes on and on."""
    lines = _lines(text)
    begins = [place for place, line in enumerate(lines) if line.lstrip().startswith("- ")] or [
        draw.randrange(len(lines))
    ]
    first = draw.choice(begins)
    indent = len(lines[first]) - len(lines[first].lstrip())
    last = next(
        (
            place
            for place in range(first + 1, len(lines))
            if lines[place].strip() and len(lines[place]) - len(lines[place].lstrip()) <= indent
        ),
        len(lines),
    )
    times = draw.choice((3, 30, 300, 3000))
    item = lines[first:last]
    copies: list[str] = []
    size = 0
    for number in range(times):
        copies += [
            line.replace("name: ", f"name: n{number}-", 1).replace("id: ", f"id: n{number}-", 1)
            for line in item
        ]
        size += sum(map(len, item))
        if size > 2_000_000:
            break
    return "\n".join([*lines[:last], *copies, *lines[last:]])


def long_text(text: str, draw: Random) -> str:
    places = _scalars(text) or [(0, 0)]
    start, end = draw.choice(places)
    return (
        text[:start]
        + draw.choice("a <&{[*`'\\") * draw.choice((1000, 100_000, 900_000, 3_000_000))
        + text[end:]
    )


BENDS: tuple[tuple[int, Bend], ...] = (
    (5, cut),
    (3, doubled),
    (8, put_in),
    (5, line_moved),
    (5, line_lost),
    (4, line_twice),
    (6, line_shifted),
    (22, value_changed),
    (8, values_swapped),
    (14, figure_changed),
    (6, letter_lost),
    (3, other_ends),
    (2, nested),
    (4, grown),
    (1, long_text),
)


def bent(text: str, draw: Random) -> bytes:
    """The file after one to three bends, as bytes; now and then as bytes that are no text."""
    for _ in range(draw.choice((1, 1, 1, 2, 3))):
        text = draw.choices([bend for _, bend in BENDS], [weight for weight, _ in BENDS])[0](
            text, draw
        )
    way = draw.random()
    if way < 0.01:
        return text.encode(draw.choice(("utf-16", "utf-32", "cp1252", "cp037")), "replace")
    content = bytearray(text.encode("utf-8", "surrogatepass"))
    if way < 0.04 and content:
        for _ in range(draw.randint(1, 6)):
            content[draw.randrange(len(content))] ^= 1 << draw.randrange(8)
    return bytes(content)
