"""A load limiter counts only when its limit is written down.

Why: the next person must know that the supply is full and only the limiter keeps it whole. A limit
that stands in nobody's papers is lost when the limiter is replaced or reset.
A pass: the limit stands in the documents of the installation. Otherwise: advice, and the limit is
not counted.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import is_known

RULE = Rule(
    "limiter-documented",
    "The load limiter's limit is written down",
    "BS 7671 722.311.201; IEC 60364-7-722 722.311",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limiter = case.installation.load_limiter
    if not is_known(limiter):
        return
    yield RULE.decides(
        case,
        "supply",
        "supply",
        if_known(limiter.documented is True, limiter.documented),
        found="not written down",
        wanted="written down",
        holds="the limit is written down and may be counted in the demand",
        breaks="the limit is not written down: it is not counted in the demand until it is",
        ask="whether the limit is written down in the documents of the installation",
    )
