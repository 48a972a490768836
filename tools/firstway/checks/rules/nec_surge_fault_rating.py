"""The surge protective device is rated for the fault current where it stands.

Why: at the end of its life it may become a short circuit. It may not be fitted where more current
can flow than its short-circuit rating.
A pass: 200 kA where 8.6 kA can flow. A fail: 5 kA there.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_file, of_step

RULE = NecRule(
    "nec-surge-fault-rating",
    "The surge protective device stands the fault current",
    "NFPA 70 Article 242, Part II (clause from memory)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        rating = of_file(
            way.short_circuit_rating_ka,
            f"the short-circuit current rating of {way.name}; read its label",
        )
        yield RULE.compares(
            case,
            way.name,
            way.name,
            rating,
            of_step(case, "fault-current-at-board", "board", "the largest fault current"),
            "kA",
            "its short-circuit rating is not below the largest fault current",
            "more current can flow than it is rated for",
            at_most=False,
        )
