"""A point's own electrode stands well away from buried metal on the network's earth.

Why: in the soil between two electrodes the voltage spreads. A rod driven close to metal joined to
the network's earth takes part of its voltage and is no longer a separate earth. No national figure
was found; some operators ask a distance. Ahead of any rod: plans of what lies in the ground, a
detector in trained hands, a hole dug by hand.
A pass is not given: the operator's own figure decides. Advice: nearer than the figure some
operators ask.
"""

from firstway.checks.rule import Case, Findings, Rule, of_table, within
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "rods-below-ground",
    "The electrode stands away from buried metal on another earth",
    "operators' rules; no national figure found",
    "",
    "advice",
    ("bs7671",),
    standing="common practice",
)


def check(case: Case) -> Findings:
    asked = of_table(rule_limit("bs7671", "buried-separation-m"))
    for point in case.each(case.installation.charging_points):
        electrode = (
            case.installation.electrode(str(point.earthed_by))
            if is_known(point.earthed_by)
            else None
        )
        if electrode is None or electrode.use not in ("charging-point", "installation", "board"):
            continue
        distance = point.distance_below_ground_m
        if not is_known(distance):
            yield RULE.does_not_know(
                case,
                point.name,
                electrode.name,
                f"how far {electrode.name} stands from buried metal on the network's earth; ask the"
                " operator how far it must be",
                asked.value,
                "m",
            )
        elif asked.value is not None and not within(asked.value, distance):
            yield RULE.says(
                case,
                "advice",
                point.name,
                electrode.name,
                "nearer to buried metal on the network's earth than some operators ask: ask yours",
                distance,
                asked.value,
                "m",
            )
        else:
            yield RULE.says(
                case,
                "unknown",
                point.name,
                electrode.name,
                "not known: the distance your operator asks below ground; this is as far as any"
                " figure met with",
                distance,
                asked.value,
                "m",
            )
