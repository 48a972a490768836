"""Each charging point has a circuit of its own.

Why: a point draws its full current for hours. Anything else on the circuit is load that nobody
counted, and a fault there ends the charge.
A pass: one point on its circuit. A fail: two points on one circuit with nothing that shares the
load between them; or sockets of the garage on the device of the point. The number of the clause was
not confirmed.
"""

from firstway.checks.places import SHARED_ASK, shared_with
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "own-circuit",
    "Each point has a circuit of its own",
    "BS 7671 Section 722 (number of the clause not confirmed); IEC 60364-7-722 722.314",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limiter = case.installation.load_limiter
    shares = is_known(limiter) and limiter.documented is True
    for circuit in case.each(case.installation.circuits):
        count = len(circuit.supplies)
        other = shared_with(circuit)
        if other is None or other:
            yield RULE.decides(
                case,
                circuit.name,
                case.installation.way_feeding(circuit.name).name,
                None if other is None else False,
                found=other or "",
                wanted="nothing else",
                holds="",
                breaks=f"its device feeds something else too: {other}",
                ask=SHARED_ASK,
            )
            continue
        yield RULE.decides(
            case,
            circuit.name,
            circuit.name,
            count == 1 or (None if shares else False),
            found=count,
            wanted=1,
            holds="the circuit supplies one point and, as the file states, nothing else",
            breaks=f"{count} points hang on one circuit and nothing shares the load among them",
            ask=(
                f"whether the load limiter shares the current of this circuit among its {count}"
                " points; ask its maker and read the clause"
            ),
            unit="points",
        )
