"""Panel and point have enclosures of a type.

Why: behind the cover are bars at line voltage. A type number says what the enclosure keeps out: a
finger (type 1), rain (type 3R). An open frame keeps out nothing.
A pass: type 1 indoors. A fail: open.
"""

from firstway.checks.rule import Case, Findings, NecRule, if_known
from firstway.model.values import key_of

RULE = NecRule(
    "nec-enclosure-type",
    "Panel and point are enclosed",
    "NFPA 70 110.27, 110.28 and Table 110.28",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    job = case.installation
    for of, part in case.each(
        (("board", job.board.enclosure), *((point.name, point) for point in job.charging_points))
    ):
        told = key_of(part, "ip")
        yield RULE.decides(
            case,
            of,
            of,
            if_known(str(told).lower().startswith(("type-", "type ")), told),
            found=str(told),
            wanted="a type",
            holds=f"{of} has an enclosure of {str(told).replace('-', ' ')}",
            breaks=f"{of} is not told to be enclosed: {told} is no type of enclosure",
            ask=f"the type of the enclosure of {of}; read it on the label",
            held=str(told),
        )
