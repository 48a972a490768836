"""The service carries what is there and the new points.

Why: a charging point is often the largest load of a dwelling and runs for hours beside all others.
From 2023 it counts as the larger of 7200 VA and its nameplate. Where the existing load is a record,
its maximum counts at 125 %. The load calculation moved to Article 120 in 2026; how its optional
method treats a charging point was not seen.
A pass: 168 A on a 200 A service. A fail: 168 A on 150 A.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_step, within
from firstway.model.values import key_of

RULE = NecRule(
    "nec-service-load",
    "The service carries the load with the new points",
    "NFPA 70 220.57 (2023), 220.87; Article 120 (2026)",
    "2023",
    "fail",
)
MOVED_IN = 2026


def check(case: Case) -> Findings:
    step_id = "service-load" if case.step("service-load", "supply") else "maximum-demand"
    load, rating = (
        of_step(case, step_id, "supply", "the demand of the existing installation"),
        of_step(case, "service-rating", "supply", "the service rating"),
    )
    existing = case.installation.existing_load
    basis = key_of(existing, "basis")
    if load.value is not None and rating.value is not None and within(load.value, rating.value):
        if case.edition_year >= MOVED_IN:
            yield RULE.says(
                case,
                "unknown",
                "supply",
                "supply",
                "not known: load calculations moved to Article 120 in this edition and its"
                " treatment of charging points was not seen: calculate by the adopted text",
                load.value,
                rating.value,
                "A",
            )
            return
        if basis not in ("measured", "calculated"):
            yield RULE.says(
                case,
                "unknown",
                "supply",
                "supply",
                "not known: the existing load is an estimate: record it, or calculate it by"
                " Article 220",
                load.value,
                rating.value,
                "A",
            )
            return
    holds = (
        "the service carries what is there and the new points; the record must cover a year, or 30"
        " days where there is none"
        if basis == "measured"
        else "the service carries what is there and the new points"
    )
    yield RULE.compares(
        case,
        "supply",
        "supply",
        load,
        rating,
        "A",
        holds,
        "the service is too small: a smaller setting, an energy management system or a larger"
        " service",
    )
