"""Two residual current devices in series open one after the other, not both at once.

Why: a leak at the vehicle should end the charge, not darken the house. The device ahead must wait
(type S) and have about three times the residual current.
A pass: 100 mA type S ahead of 30 mA. Advice: 30 mA ahead of 30 mA, or no delay.
"""

from firstway.checks.places import ResidualAhead, residual_devices_ahead_of
from firstway.checks.rule import Case, Finding, Findings, Rule, of_table, within
from firstway.model.installation import Way
from firstway.model.values import is_known
from firstway.tables.reading import rcd_limit

RULE = Rule(
    "residual-selective",
    "Residual current devices in series open in order",
    "BS 7671 536.4.1.4; IEC 60364-5-53 536.4.1.4",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)
_WANTED = "type S, three times"


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        if way.device not in ("rcbo", "rcd"):
            continue
        for ahead in residual_devices_ahead_of(case.installation, way):
            yield _of(case, circuit.name, way, ahead)


def _of(case: Case, of: str, way: Way, ahead: ResidualAhead) -> Finding:
    ratio = of_table(rcd_limit("series-selectivity-ratio"))
    first, own = ahead.rated_residual_current_ma, way.rated_residual_current_ma
    if ahead.delay in ("none", "G"):
        return RULE.says(
            case,
            "advice",
            of,
            way.name,
            f"{ahead.name} does not wait: it may open before {way.name}, or with it",
            str(ahead.delay),
            _WANTED,
        )
    if not is_known(ahead.delay) or not is_known(first) or not is_known(own) or ratio.value is None:
        return RULE.does_not_know(
            case,
            of,
            way.name,
            f"delay and rated residual current of {ahead.name} and {way.name}; read them on the"
            " devices",
            _WANTED,
        )
    share = float(first) / float(own)
    if not within(ratio.value, share):
        return RULE.says(
            case,
            "advice",
            of,
            way.name,
            f"{ahead.name} waits, but is too sensitive to stay closed for certain",
            share,
            ratio.value,
            "x",
        )
    return RULE.passes(
        case,
        of,
        way.name,
        f"{ahead.name} waits and leaves a leak at the point to {way.name}",
        share,
        ratio.value,
        "x",
    )
