"""A vehicle that feeds back is a source: interactive equipment and the utility's consent.

Why: with the street dead the premises may be live from the vehicle, for the utility's people too.
Equipment for export is listed for it, and the utility agrees first. Never a pass: the authority and
the utility decide. Advice: the point can feed back.
"""

from firstway.checks.rule import AUTHORITY, Case, Findings, NecRule

RULE = NecRule(
    "nec-feeds-back",
    "A vehicle that feeds back is treated as a source",
    "NFPA 70 625.48, 625.49, 705",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        if point.bidirectional is True:
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "the vehicle becomes a source: interactive equipment listed for it, labels at the"
                f" service, and the utility's consent first; {AUTHORITY}",
                "both ways",
                "one way",
            )
