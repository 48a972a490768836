"""The surge protective device does not hang on the breaker of the charging circuit.

Why: with that breaker off the panel has no surge protection, and a surge reaches the device through
a breaker that may open. Ahead of the branch breakers, or on one of its own, it serves the whole
panel. Never a pass: the listing's instructions decide. Advice: fed from a branch device.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import is_known

RULE = NecRule(
    "nec-surge-path",
    "The surge protective device does not hang on a branch breaker",
    "NFPA 70 242.14; common practice",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    feeding = {way.name for way in case.installation.board.ways if is_known(way.feeds)}
    for way in case.each(case.installation.surge_ways):
        if is_known(way.fed_from) and way.fed_from in feeding:
            yield RULE.says(
                case,
                "advice",
                way.name,
                way.name,
                "it hangs on the breaker of a circuit: with that breaker off"
                " the panel has no surge protection",
                str(way.fed_from),
                "ahead of the branch breakers",
            )
