"""Desk: two small charts of a class's report: how the points spread, and which questions stand
apart. Plain SVG; the tables say the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from firstway.desk.analysis.class_analysis import HARD, LOW_LINK, QuestionFigures

WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT = 360, 230, 34, 36, 14, 10
MOST_BINS = 9
LOWEST_LINK, HIGHEST_LINK = -0.4, 1.0
FIGURE = 6.0  # width of a figure of the labels, px
Rectangle = tuple[float, float, float, float]


def points_chart(points: Sequence[float], out_of: float) -> str:
    """How many learners have how many points, in steps of whole points."""
    if not points or out_of <= 0:
        return ""
    step = next(size for size in range(1, int(out_of) + 2) if out_of / size < MOST_BINS)
    bins = [0] * (int(out_of // step) + 1)
    for own in points:
        bins[min(len(bins) - 1, int(own // step))] += 1
    wide, most = (WIDTH - LEFT - RIGHT) / len(bins), max(bins)
    y = lambda count: HEIGHT - BOTTOM - count / most * (HEIGHT - BOTTOM - TOP - 10)
    bars = "".join(
        f'<rect class="share" x="{LEFT + place * wide + 1:.1f}" y="{y(count):.1f}"'
        f' width="{wide - 2:.1f}" height="{HEIGHT - BOTTOM - y(count):.1f}"/><text'
        f' x="{LEFT + (place + 0.5) * wide:.1f}" y="{y(count) - 4:.1f}"'
        f' class="middle">{count}</text>'
        for place, count in enumerate(bins)
        if count
    )
    names = "".join(
        f'<text x="{LEFT + (place + 0.5) * wide:.1f}" y="{HEIGHT - BOTTOM + 15}"'
        f' class="middle">{_bin(place * step, step, out_of)}</text>'
        for place in range(len(bins))
    )
    said = ", ".join(
        f"{_bin(place * step, step, out_of)} points: {count}"
        for place, count in enumerate(bins)
        if count
    )
    return _chart(
        "How the points spread: above each bar the number of learners.",
        f"How many learners have how many points. {said}.",
        f'{bars}{names}<path class="axis" d="M{LEFT} {HEIGHT - BOTTOM}H{WIDTH - RIGHT}"/>'
        f'<text x="{(WIDTH + LEFT) / 2}" y="{HEIGHT - 5}" class="middle soft">points</text>',
    )


def _bin(low: int, step: int, out_of: float) -> str:
    high = min(low + step - 1, int(out_of))
    return f"{low}" if step == 1 or high == low else f"{low}\u2013{high}"


def questions_chart(questions: Sequence[QuestionFigures]) -> str:
    """Each question by its number: how many got it right, and whether it goes with the rest."""
    known = [
        (number, each)
        for number, each in enumerate(questions, 1)
        if each.facility is not None and each.link is not None
    ]
    if not known:
        return ""
    spots = [
        (number, _x(each.facility or 0.0), _y(each.link or 0.0), bool(each.advice))
        for number, each in known
    ]
    taken: list[Rectangle] = [(x - 4, y - 4, x + 4, y + 4) for _, x, y, _ in spots]
    drawn = "".join(_spot(number, x, y, look, taken) for number, x, y, look in spots)
    ground = (
        f'<rect class="look" x="{_x(0):.1f}" y="{_y(HIGHEST_LINK):.1f}"'
        f' width="{_x(HARD) - _x(0):.1f}" height="{_y(LOWEST_LINK) - _y(HIGHEST_LINK):.1f}"/><rect'
        f' class="look" x="{_x(HARD):.1f}" y="{_y(LOW_LINK):.1f}" width="{_x(1) - _x(HARD):.1f}"'
        f' height="{_y(LOWEST_LINK) - _y(LOW_LINK):.1f}"/>'
    )
    ticks = "".join(
        f'<text x="{_x(share):.1f}" y="{HEIGHT - BOTTOM + 15}"'
        f' class="middle">{share * 100:.0f}</text>'
        for share in (0, 0.2, 0.4, 0.6, 0.8, 1)
    )
    ticks += "".join(
        (
            f'<text x="{LEFT - 5}" y="{_y(link) + 4:.1f}" class="end">{link:.1f}</text>'.replace(
                "-", "\u2212", 1
            )
            if link < 0
            else f'<text x="{LEFT - 5}" y="{_y(link) + 4:.1f}" class="end">{link:.1f}</text>'
        )
        for link in (0.0, 0.5, 1.0)
    )
    axes = f'<path class="axis" d="M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}"/>'
    said = ", ".join(str(number) for number, _, _, look in spots if look) or "none"
    return _chart(
        "Each question by its number in the table; a full mark has advice below. To the left few"
        " got it, at the bottom it does not go with the other questions: look first at those in the"
        " shaded part.",
        "Each question by its number. To the left few got it; at the bottom it does not go with"
        f" the rest. To look at: {said}.",
        f'{ground}{axes}{ticks}{drawn}<text x="{(WIDTH + LEFT) / 2}" y="{HEIGHT - 5}" class="middle'
        ' soft">got right, per cent; upwards: goes with the rest</text>',
    )


def _x(share: float) -> float:
    return LEFT + share * (WIDTH - LEFT - RIGHT - 8)


def _y(link: float) -> float:
    inside = max(LOWEST_LINK, min(HIGHEST_LINK, link))
    return TOP + (HIGHEST_LINK - inside) / (HIGHEST_LINK - LOWEST_LINK) * (HEIGHT - TOP - BOTTOM)


def _spot(number: int, x: float, y: float, look: bool, taken: list[Rectangle]) -> str:
    """A mark and its number, beside it where there is room."""
    wide = FIGURE * len(str(number))
    places = [
        (x + 6, y + 4),
        (x - 6 - wide, y + 4),
        (x - wide / 2, y - 7),
        (x - wide / 2, y + 15),
        (x + 6, y - 5),
        (x + 6, y + 13),
        (x - 6 - wide, y - 5),
        (x - 6 - wide, y + 13),
    ]
    boxes = [(left, base - 9, left + wide, base) for left, base in places]
    best = min(
        range(len(boxes)),
        key=lambda place: (sum(_meet(boxes[place], other) for other in taken), place),
    )
    taken.append(boxes[best])
    left, base = places[best]
    return (
        f'<circle class="{"share" if look else "fine"}" cx="{x:.1f}" cy="{y:.1f}" r="4"/><text'
        f' x="{left:.1f}" y="{base:.1f}">{number}</text>'
    )


def _meet(one: Rectangle, other: Rectangle) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _chart(title: str, words: str, body: str) -> str:
    return (
        f'<figure class="chart"><svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img"'
        f' aria-label="{escape(words)}">{body}</svg>'
        f"<figcaption>{escape(title)}</figcaption></figure>"
    )
