"""A point joined by a plug has the short time and a contact made for hours.

Why: a plug carries the full current all night and can be pulled under load. Circuits with
socket-outlets have the short disconnection time, whatever the rating up to 63 A.
A pass: hard-wired. Advice: joined by a plug.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "plug-connected",
    "The point is hard-wired, or its plug is made for hours",
    "BS 7671 411.3.2.2, 722.55.101; IEC 60364-7-722; common practice",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        yield RULE.decides(
            case,
            point.name,
            point.name,
            if_known(point.hard_wired is True, point.hard_wired),
            found="by a plug",
            wanted="hard-wired",
            holds="the point is hard-wired",
            breaks=(
                "joined by a plug: its contacts carry the current for hours, and the short time for"
                " socket-outlets holds"
            ),
            ask=f"whether {point.name} is hard-wired or joined by a plug",
        )
