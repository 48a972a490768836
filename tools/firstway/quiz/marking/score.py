"""Quiz: how sure a score is, and when a pass mark may be set."""

from __future__ import annotations

import math

FEWEST_FOR_A_PASS_MARK = 20
"""With ten questions a learner who knows 60 % passes a mark of seven in 38 of 100 tries (binomial);
with twenty, a mark of sixteen lets 5 of 100 through. Below twenty no pass mark is set."""

FEWEST_FOR_AN_INTERVAL = 10
"""Answered questions below which no interval is shown: with nine it still spans half of all shares
(Wilson, at a half)."""

Z_95 = 1.959963984540054
"""The normal quantile of a two-sided interval of 95 %."""


def wilson_interval(points: float, out_of: float, z: float = Z_95) -> tuple[float, float]:
    """The interval of shares that a score of `points` out of `out_of` leaves open, 0 to 1.

    Part points count as parts of a success, an approximation. Valid for 0 <= points <= out_of,
    out_of > 0; (0, 1) where
    nothing was asked. Source: E. B. Wilson, Probable inference, the law of succession, and
    statistical inference,
    Journal of the American Statistical Association 22 (1927), 209-212.

    >>> tuple(round(100 * share) for share in wilson_interval(7, 10))
    (40, 89)
    """
    if out_of <= 0:
        return 0.0, 1.0
    share = points / out_of
    middle = (share + z * z / (2 * out_of)) / (1 + z * z / out_of)
    half = (
        z
        / (1 + z * z / out_of)
        * math.sqrt(share * (1 - share) / out_of + z * z / (4 * out_of * out_of))
    )
    return max(0.0, middle - half), min(1.0, middle + half)


def may_have_a_pass_mark(questions: int) -> bool:
    """Whether so many questions can carry a pass mark."""
    return questions >= FEWEST_FOR_A_PASS_MARK
