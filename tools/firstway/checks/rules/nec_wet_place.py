"""Enclosures and wires outdoors or in the ground are made for wet places.

Why: rain runs into a type 1 enclosure and corrodes what holds the fault current; insulation made
for dry places takes up water and fails.
A pass: type 3R outdoors. A fail: type 1, or an open one. A wire for dry places in the ground: a
fail.
"""

from firstway.checks.rule import Case, Finding, Findings, NecRule, if_known
from firstway.model.installation import Trade
from firstway.model.values import key_of

RULE = NecRule(
    "nec-wet-place",
    "What stands in a wet place is made for it",
    "NFPA 70 110.28, 300.9, 312.2 (from memory)",
    "2020",
    "fail",
)
FOR_RAIN = ("type-3", "type-3r", "type-3s", "type-3rx", "type-4", "type-4x", "type-6", "type-6p")
DRY_WIRES = ("thhn90",)
_WANTED = "type 3R or better"


def check(case: Case) -> Findings:
    board = case.installation.board
    if key_of(board.place, "location") == "outdoors":
        yield _enclosure(case, "board", key_of(board.enclosure, "ip"))
    for point in case.each(case.installation.charging_points):
        if point.location == "outdoors":
            yield _enclosure(case, point.name, point.ip)
    for circuit in case.each(case.installation.circuits):
        if (
            any(stretch.method == "buried" for stretch in circuit.route)
            and circuit.cable.insulation in DRY_WIRES
        ):
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                circuit.name,
                "raceways in the ground count as wet: this wire is made for dry and damp places",
                str(circuit.cable.insulation),
                "a wire for wet places",
            )


def _enclosure(case: Case, of: str, kind: Trade) -> Finding:
    return RULE.decides(
        case,
        of,
        of,
        if_known(str(kind).strip().lower() in FOR_RAIN, kind),
        found=str(kind),
        wanted=_WANTED,
        holds=f"{of} keeps rain out",
        breaks=f"{of} stands outdoors, and {kind} is no enclosure for rain",
        ask=f"the enclosure type of {of}; read its label",
        held=str(kind),
    )
