"""What is buried has the cover the table asks for.

Why: people dig and drive stakes. A raceway that is not of metal lies 18 inches deep, a cable 24
inches; less is allowed in rigid metal conduit, under concrete and behind certain devices, which the
file does not tell.
A pass: 0.6 m. A fail: 0.1 m.
"""

from firstway.checks.places import shallowest_m
from firstway.checks.rule import Case, Findings, NecRule, of_table
from firstway.model.values import key_of
from firstway.tables.reading import rule_limit

RULE = NecRule(
    "nec-cover-depth",
    "What is buried has its cover",
    "NFPA 70 300.5 and Table 300.5 (from memory)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    job = case.installation
    parts = (("feed", job.feed), *((circuit.name, circuit) for circuit in job.circuits))
    for of, part in case.each(parts):
        route = key_of(part, "route")
        depth = shallowest_m(route, ("buried",), f"how deep {of} is buried; ask who laid it")
        if depth is None:
            continue
        how = (
            "cover-raceway-m"
            if key_of(key_of(part, "cable"), "wiring_method") == "raceway"
            else "cover-cable-m"
        )
        yield RULE.compares(
            case,
            of,
            of,
            depth,
            of_table(rule_limit("nec", how)),
            "m",
            "it has the cover the table asks for",
            "less cover than the table asks for, unless metal conduit or concrete guards it: a"
            " shovel reaches it",
            at_most=False,
        )
