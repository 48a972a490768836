"""What the panel's label says of its main agrees with what is in it.

Why: a main breaker and a panel with lugs only are guarded, opened and labelled in different ways.
Where the file says both, one of the two is not so, and whoever opens the panel trusts the wrong
one.
A pass: lugs, and no main device. A fail: a main breaker on the label and none in the panel.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import NONE, is_known, key_of

RULE = NecRule(
    "nec-main-agrees",
    "The panel's main is what its label says",
    "NFPA 70 110.3(B), 408.36",
    "2020",
    "fail",
)
IN_IT = {
    "lugs": ("none",),
    "switch": ("switch-disconnector", "isolator"),
    "breaker": ("circuit-breaker",),
}


def check(case: Case) -> Findings:
    board = case.installation.board
    main, switch = key_of(board.assembly, "main"), board.main_switch
    device = "none" if switch == NONE else key_of(switch, "device")
    if not is_known(main) or not (isinstance(device, str) and device):
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "whether the panel has a main, and of which kind; read its label and look",
        )
    elif device in IN_IT[str(main)]:
        yield RULE.passes(
            case,
            "board",
            "board",
            "what the panel has as its main is what its label says",
            str(device),
            str(main),
        )
    else:
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            "the label and the panel disagree about its main: one of the two is not so",
            str(device),
            str(main),
        )
