"""Points of three lines begin with different lines, and keep the direction of the field.

Why: most vehicles charge on one phase, and take the first terminal. Where every post has L1 there,
they all meet on L1 and in the neutral. So the order is turned from post to post. Turned, not
swapped: L2, L3, L1 keeps the direction of the rotating field, L2, L1, L3 reverses it, and a vehicle
of three phases may refuse to charge. And who holds a limit must know which line a post begins with,
or it turns down another line than the one that is full.
A pass: L1, L2, L3 at one post and L2, L3, L1 at the next, told to the shared limit. Advice: all
alike; reversed; not told. Not stated is not known.
"""

from collections import Counter

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.installation import LINES
from firstway.model.values import is_known
from firstway.workings.shared.sharing import sharing_points

RULE = Rule(
    "line-order-turns",
    "The order of the lines turns from point to point",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)
_ORDERS = tuple(LINES[place:] + LINES[:place] for place in range(3))


def check(case: Case) -> Findings:
    points = [point for point in case.installation.charging_points if len(point.lines) == 3]
    for point in case.each(points):
        order = point.line_order
        if is_known(order) or len(points) > 1:
            yield RULE.decides(
                case,
                point.name,
                point.name,
                if_known(is_known(order) and tuple(order) in _ORDERS, order),
                found=", ".join(order) if is_known(order) else "",
                wanted="L1, L2, L3 or a turn of it",
                holds="the order of its lines keeps the direction of the field",
                breaks="the order of its lines reverses the field: a vehicle may refuse to charge",
                ask=f"which lines are at the terminals of {point.name}; look, and measure",
            )
    if len(points) > 1 and all(is_known(point.line_order) for point in points):
        first = Counter(point.line_order[0] for point in points if is_known(point.line_order))
        most = max(first.values()) - min(first.get(line, 0) for line in LINES)
        yield RULE.decides(
            case,
            "supply",
            "supply",
            most <= 1,
            found=", ".join(f"{line}: {first.get(line, 0)}" for line in LINES),
            wanted="first terminals spread over the lines",
            holds="vehicles of one phase are spread over the lines",
            breaks="vehicles of one phase meet on one line: turn the order from point to point",
        )
    yield from _told(case)


def _told(case: Case) -> Findings:
    shared = case.installation.shared_limit
    turned = [
        point.name
        for point in sharing_points(case.installation)
        if is_known(point.line_order) and tuple(point.line_order) != tuple(point.lines)
    ]
    if is_known(shared) and turned:
        yield RULE.decides(
            case,
            "supply",
            "supply",
            if_known(shared.knows_line_order is True, shared.knows_line_order),
            found="not set",
            wanted="set",
            holds="the shared limit knows the order of the lines at each point",
            breaks=(
                f"the shared limit does not know the order of the lines at {', '.join(turned)}: it"
                " turns another line down than the one that is full, and is not counted"
            ),
            ask=f"whether the order of the lines at {', '.join(turned)} is set in the shared limit",
        )
