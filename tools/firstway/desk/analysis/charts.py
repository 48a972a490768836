"""Desk: two small charts of a class's report: how the points spread, and which questions stand
apart. Plain SVG; the tables say the same.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.desk.analysis.class_analysis import HARD, LOW_LINK, QuestionFigures
from firstway.rendering.html import Markup, joined, tag

_WIDTH, _HEIGHT, _LEFT, _BOTTOM, _TOP, _RIGHT = 360, 230, 34, 36, 14, 10
MOST_BINS = 9
LOWEST_LINK, HIGHEST_LINK = -0.4, 1.0
FIGURE = 6.0  # width of a figure of the labels, px
Rectangle = tuple[float, float, float, float]


def points_chart(points: Sequence[float], out_of: float) -> Markup:
    """How many learners have how many points, in steps of whole points."""
    if not points or out_of <= 0:
        return Markup()
    step = next(size for size in range(1, int(out_of) + 2) if out_of / size < MOST_BINS)
    bins = [0] * (int(out_of // step) + 1)
    for own in points:
        bins[min(len(bins) - 1, int(own // step))] += 1
    wide, most = (_WIDTH - _LEFT - _RIGHT) / len(bins), max(bins)
    y = lambda count: _HEIGHT - _BOTTOM - count / most * (_HEIGHT - _BOTTOM - _TOP - 10)
    bars = joined(
        tag(
            "rect",
            class_="share",
            x=f"{_LEFT + place * wide + 1:.1f}",
            y=f"{y(count):.1f}",
            width=f"{wide - 2:.1f}",
            height=f"{_HEIGHT - _BOTTOM - y(count):.1f}",
        )
        + tag(
            "text",
            count,
            x=f"{_LEFT + (place + 0.5) * wide:.1f}",
            y=f"{y(count) - 4:.1f}",
            class_="middle",
        )
        for place, count in enumerate(bins)
        if count
    )
    names = joined(
        tag(
            "text",
            _bin(place * step, step, out_of),
            x=f"{_LEFT + (place + 0.5) * wide:.1f}",
            y=_HEIGHT - _BOTTOM + 15,
            class_="middle",
        )
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
        (
            bars
            + names
            + tag("path", class_="axis", d=f"M{_LEFT} {_HEIGHT - _BOTTOM}H{_WIDTH - _RIGHT}")
            + tag("text", "points", x=(_WIDTH + _LEFT) / 2, y=_HEIGHT - 5, class_="middle soft")
        ),
    )


def _bin(low: int, step: int, out_of: float) -> str:
    high = min(low + step - 1, int(out_of))
    return f"{low}" if step == 1 or high == low else f"{low}\u2013{high}"


def questions_chart(questions: Sequence[QuestionFigures]) -> Markup:
    """Each question by its number: how many got it right, and whether it goes with the rest."""
    known = [
        (number, each)
        for number, each in enumerate(questions, 1)
        if each.facility is not None and each.link is not None
    ]
    if not known:
        return Markup()
    spots = [
        (number, _x(each.facility or 0.0), _y(each.link or 0.0), bool(each.advice))
        for number, each in known
    ]
    taken: list[Rectangle] = [(x - 4, y - 4, x + 4, y + 4) for _, x, y, _ in spots]
    drawn = joined(_spot(number, x, y, look, taken) for number, x, y, look in spots)
    ground = tag(
        "rect",
        class_="look",
        x=f"{_x(0):.1f}",
        y=f"{_y(HIGHEST_LINK):.1f}",
        width=f"{_x(HARD) - _x(0):.1f}",
        height=f"{_y(LOWEST_LINK) - _y(HIGHEST_LINK):.1f}",
    ) + tag(
        "rect",
        class_="look",
        x=f"{_x(HARD):.1f}",
        y=f"{_y(LOW_LINK):.1f}",
        width=f"{_x(1) - _x(HARD):.1f}",
        height=f"{_y(LOWEST_LINK) - _y(LOW_LINK):.1f}",
    )
    ticks = joined(
        tag(
            "text",
            f"{share * 100:.0f}",
            x=f"{_x(share):.1f}",
            y=_HEIGHT - _BOTTOM + 15,
            class_="middle",
        )
        for share in (0, 0.2, 0.4, 0.6, 0.8, 1)
    )
    ticks += joined(
        (
            tag("text", f"{link:.1f}", x=_LEFT - 5, y=f"{_y(link) + 4:.1f}", class_="end").replace(
                "-", "\u2212", 1
            )
            if link < 0
            else tag("text", f"{link:.1f}", x=_LEFT - 5, y=f"{_y(link) + 4:.1f}", class_="end")
        )
        for link in (0.0, 0.5, 1.0)
    )
    axes = tag("path", class_="axis", d=f"M{_LEFT} {_TOP}V{_HEIGHT - _BOTTOM}H{_WIDTH - _RIGHT}")
    said = ", ".join(str(number) for number, _, _, look in spots if look) or "none"
    return _chart(
        "Each question by its number in the table; a full mark has advice below. To the left few"
        " got it, at the bottom it does not go with the other questions: look first at those in the"
        " shaded part.",
        "Each question by its number. To the left few got it; at the bottom it does not go with"
        f" the rest. To look at: {said}.",
        (
            ground
            + axes
            + ticks
            + drawn
            + tag(
                "text",
                "got right, per cent; upwards: goes with the rest",
                x=(_WIDTH + _LEFT) / 2,
                y=_HEIGHT - 5,
                class_="middle soft",
            )
        ),
    )


def _x(share: float) -> float:
    return _LEFT + share * (_WIDTH - _LEFT - _RIGHT - 8)


def _y(link: float) -> float:
    inside = max(LOWEST_LINK, min(HIGHEST_LINK, link))
    return _TOP + (HIGHEST_LINK - inside) / (HIGHEST_LINK - LOWEST_LINK) * (
        _HEIGHT - _TOP - _BOTTOM
    )


def _spot(number: int, x: float, y: float, look: bool, taken: list[Rectangle]) -> Markup:
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
    return tag(
        "circle", class_="share" if look else "fine", cx=f"{x:.1f}", cy=f"{y:.1f}", r="4"
    ) + tag("text", number, x=f"{left:.1f}", y=f"{base:.1f}")


def _meet(one: Rectangle, other: Rectangle) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _chart(title: str, words: str, body: Markup) -> Markup:
    return tag(
        "figure",
        tag("svg", body, viewBox=f"0 0 {_WIDTH} {_HEIGHT}", role="img", aria_label=words),
        tag("figcaption", title),
        class_="chart",
    )
