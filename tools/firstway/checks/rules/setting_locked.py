"""A charging point counted at a set current must keep that setting.

Why: the cable, the device and the supply were chosen for the set current. If anybody can raise it
from an app, the design no longer holds. The setting should need a key or a tool and be out of reach
of ordinary persons.
A pass: locked. Advice: free to change.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "setting-locked",
    "The set current of the point is locked",
    "IEC 60364-7-722 722.311 (from memory); common practice",
    "2018",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        yield RULE.decides(
            case,
            point.name,
            point.name,
            if_known(point.setting_locked is True, point.setting_locked),
            found="free",
            wanted="locked",
            holds="the set current needs a key or a tool to change",
            breaks=(
                "anybody can raise the set current the circuit was chosen for: lock it,"
                " or choose cable and device for the point's full rating"
            ),
            ask=f"whether the set current of {point.name} can be changed without key or tool",
        )
