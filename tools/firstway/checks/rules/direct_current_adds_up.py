"""Several points behind one residual current device can leak more direct current together than it
bears.

Why: each point may let almost 6 mA of smooth direct current pass before its detection opens. A type
A device ahead keeps working beside 6 mA, so two points together can blind it. Reasoned from the
product standards; no clause was found.
A pass: one point behind it; or type B. Advice: two points or more behind one device of type A or F.
"""

from firstway.checks.places import residual_devices_ahead_of
from firstway.checks.rule import Case, Findings, Rule, of_table, within
from firstway.model.installation import Trade
from firstway.model.values import is_known
from firstway.tables.reading import rcd_limit

RULE = Rule(
    "direct-current-adds-up",
    "Direct current of several points does not blind a device ahead",
    "IEC 62955 and IEC 60755 reasoned together; no clause found",
    "2018",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    behind: dict[str, list[str]] = {}
    kinds: dict[str, Trade] = {}
    for circuit in case.installation.circuits:
        points = case.installation.points_of(circuit)
        way = case.installation.way_feeding(circuit.name)
        for ahead in residual_devices_ahead_of(case.installation, way):
            kinds[ahead.name] = ahead.residual_type
            behind.setdefault(ahead.name, []).extend(point.name for point in points)
    each = of_table(rcd_limit("type-a-smooth-dc-ma"))
    ways = [way.name for way in case.installation.board.ways]
    for name, fed in case.each(behind.items()):
        kind, place = kinds[name], name if name in ways else "feed"
        bears = of_table(rcd_limit("type-f-smooth-dc-ma" if kind == "F" else "type-a-smooth-dc-ma"))
        if not is_known(kind) or each.value is None or bears.value is None:
            yield RULE.does_not_know(
                case, place, place, f"the type of {name}; read it on the device"
            )
            continue
        total = each.value * len(fed)
        if kind in ("A", "F") and not within(total, bears.value):
            yield RULE.says(
                case,
                "advice",
                place,
                place,
                f"{len(fed)} points stand behind {name}, of type {kind}: together they may leak"
                " more direct current than it bears",
                total,
                bears.value,
                "mA",
            )
        elif kind != "AC":
            yield RULE.passes(
                case,
                place,
                place,
                f"{name} keeps working beside the direct current of {' and '.join(fed)}",
                total,
                None if kind == "B" else bears.value,
                "mA",
            )
