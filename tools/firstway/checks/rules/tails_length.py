"""Tails guarded only by the distributor's fuse are short.

Why: that fuse belongs to the distributor and guards the consumer's tails only where the distributor
agrees. A usual limit is three metres; longer tails get a device of their own at the origin.
A pass: 1.4 m in all. Advice: longer, without a device of their own. Common practice: ask the
operator.
"""

from firstway.calculations.adding import added
from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "tails-length",
    "Tails under the distributor's fuse are short",
    "common practice of operators; BS 7671 433.3.1 (iii), 434.3 (iv)",
    "2018+A3:2024",
    "advice",
    ("bs7671",),
)


def check(case: Case) -> Findings:
    supply, feed = case.installation.supply, case.installation.feed
    if not is_known(feed):
        yield RULE.does_not_know(
            case, "feed", "feed", "how the board is fed, and how long its tails are", unit="m"
        )
        return
    # A feed with a device of its own, or from a way of an existing board, is guarded by that.
    own = bool(feed.through)
    parts = supply.route if own else supply.route + feed.route
    length = (
        JudgedFigure(added(float(stretch.length_m) for stretch in parts))
        if supply.route
        else JudgedFigure(
            None, "the length of the tails from the service device to the origin; measure it"
        )
    )
    yield RULE.compares(
        case,
        "feed",
        "supply" if own else "feed",
        length,
        of_table(rule_limit("bs7671", "tails-length-m")),
        "m",
        "the tails under the distributor's fuse are within the usual length",
        "the tails under the distributor's fuse are longer than usual: ask the operator, or have a"
        " switch-fuse fitted at the origin",
        otherwise="advice",
    )
