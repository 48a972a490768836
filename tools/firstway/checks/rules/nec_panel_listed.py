"""The panel is listed as a panelboard.

Why: listing is what tells an inspector that enclosure, bars and devices were tried together at the
panel's ratings. A board made to another country's standard was tried with other devices, wires and
voltages.
A pass: listed to UL 67. A fail: a board to another standard. The authority having jurisdiction
decides.
"""

from firstway.checks.rule import AUTHORITY, Case, Findings, NecRule, if_known
from firstway.model.values import key_of

RULE = NecRule(
    "nec-panel-listed",
    "The panel is listed as a panelboard",
    "NFPA 70 110.3(C), 408.36; UL 67 (from memory)",
    "2020",
    "fail",
)
LISTED_TO = "UL 67"


def check(case: Case) -> Findings:
    standard = key_of(case.installation.board.assembly, "standard")
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(" ".join(str(standard).upper().split()) == LISTED_TO, standard),
        found=str(standard),
        wanted=LISTED_TO,
        holds="the panel is listed as a panelboard",
        breaks=f"not the standard a panelboard is listed to; {AUTHORITY}",
        ask="the standard the panel is listed to; read its label",
        held=str(standard),
    )
