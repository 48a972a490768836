"""The flexible lead of a point is as thick as makers build it for the current.

Why: a lead lies in the sun, in loops and under wheels, and carries its full current for hours. A
thin one gets hot in the hand, and a thin protective core breaks at the first pull: nobody sees it.
A pass: 6 mm² for 32 A, the protective core alike. Advice: thinner than that; its maker answers for
it.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, of_file, of_step, of_table, within
from firstway.model.installation import ChargingPoint
from firstway.tables.looking_up import minimum_protective_conductor_by_selection
from firstway.tables.reading import vehicle_lead_mm2

RULE = Rule(
    "lead-size",
    "The lead of the point suits its current",
    "makers' leads to EN 50620 (from memory); BS 7671 543.1.4 and Table 54.7; IEC 60364-5-54 Table"
    " 54.2",
    "; 2018+A3:2024; 2011",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        yield _of(case, point)


def _of(case: Case, point: ChargingPoint) -> Finding:
    name = point.name
    lines = of_file(point.lead_mm2, f"the size of the lead at {name}; ask its maker")
    own = of_file(
        point.lead_protective_mm2,
        f"the size of the protective core of the lead at {name}; ask its maker",
    )
    current = of_step(case, "set-current", name, f"the set current of {name}")
    usual = of_table(vehicle_lead_mm2(current.value)) if current.value is not None else current
    if lines.value is not None and usual.value is not None and not within(usual.value, lines.value):
        return RULE.says(
            case,
            "advice",
            name,
            name,
            "the lead is thinner than makers build leads for this current: ask its maker",
            lines.value,
            usual.value,
            "mm2",
        )
    line_mm2 = lines.value or usual.value
    alike = of_table(minimum_protective_conductor_by_selection(line_mm2)) if line_mm2 else lines
    if own.value is not None and alike.value is not None and not within(alike.value, own.value):
        return RULE.says(
            case,
            "advice",
            name,
            name,
            "the protective core of the lead is thinner than its lines ask for: ask its maker",
            own.value,
            alike.value,
            "mm2",
        )
    for figure in (lines, own, current, usual, alike):
        if figure.value is None:
            return RULE.does_not_know(case, name, name, figure.ask, usual.value, "mm2")
    return RULE.passes(
        case,
        name,
        name,
        "the lead is as thick as makers build leads for this current",
        lines.value,
        usual.value,
        "mm2",
    )
