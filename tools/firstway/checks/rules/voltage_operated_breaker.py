"""No voltage-operated earth-leakage breaker stands in the earth of the installation.

Why: such a breaker measures the voltage of one earth wire against an electrode. Any second way to
earth, a pipe or the point's own rod, takes the fault past its coil, and it never opens. It looks
like a residual current device and has not been one. A point adds such a second way.
A pass: none there. A fail: one is there: a licensed electrician replaces it first by a residual
current device, and measures the electrode. Not known: an old board nobody looked into.
"""

from firstway.checks.places import asked_of_old
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "voltage-operated-breaker",
    "No earth-leakage breaker of the voltage-operated kind is left",
    "BS 7671 132.16, 411.5.2 (from memory); IEC 60364-4-41 411.5.2 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for board in case.each(case.installation.existing_boards):
        there = board.voltage_operated_breaker
        if not asked_of_old(case, board, "voltage_operated_breaker"):
            continue
        yield RULE.decides(
            case,
            board.name,
            board.name,
            not there if is_known(there) else None,
            found="voltage-operated",
            wanted="none",
            holds=f"no voltage-operated earth-leakage breaker stands at {board.name}",
            breaks=(
                f"the earth-leakage breaker at {board.name} is voltage-operated: any other way to"
                " earth blinds it. A licensed electrician replaces it first by a residual current"
                " device and measures the electrode"
            ),
            ask=(
                f"whether {board.name} has an earth-leakage breaker with an earth wire on each side"
                " of it, which is the voltage-operated kind; look"
            ),
        )
