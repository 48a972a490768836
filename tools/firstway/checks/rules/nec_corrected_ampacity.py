"""Where it is run, the conductor still carries the load.

Why: heat around the cable, and other conductors that carry current beside it, take from its
ampacity. The correction may start from the column of the insulation (90 °C), but what remains must
carry the load and must not pass the column of the terminals.
A pass: 40 A on 6 AWG in a raceway at 45 °C with four current-carrying conductors: 52.2 A.
A fail: the same on 8 AWG: 38.3 A.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_step

RULE = NecRule(
    "nec-corrected-ampacity",
    "The corrected ampacity carries the load",
    "NFPA 70 210.19(A)(1), 215.2(A)(1), 310.14, 310.15",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    for of, _ in case.each(case.parts):
        yield RULE.compares(
            case,
            of,
            of,
            of_step(case, "corrected-capacity", of),
            of_step(case, "design-current", of),
            "A",
            "where it is run, the conductor carries the load",
            "where it is run, the conductor carries less than the load",
            at_most=False,
        )
