"""Every device in the board is one its maker declares for it.

Why: a device of another make may fit the rail and still not fit the bar, the heat or the fault
current the board was tried with. Whoever puts it in becomes the maker of the board and must prove
it.
A pass: declared by the maker of the assembly. A fail: mixed, without a declaration.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import key_of

RULE = Rule(
    "devices-declared",
    "The maker of the assembly declares its devices",
    "BS 7671 536.4.203, 133.1.1, 134.1.1; IEC 61439-1 10.10; IEC 60364-5-51 510.3",
    "2018+A3:2024; 2011; 2005",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    assembly = case.installation.board.assembly
    declared = key_of(assembly, "devices_declared")
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(declared is True, declared),
        found="not declared",
        wanted="declared",
        holds="the maker of the assembly declares every device in it",
        breaks=(
            "a device in the board is not declared by the maker of the assembly: whoever fits it"
            " must prove the whole"
        ),
        ask="whether the maker of the assembly declares every device in it; read its list or ask",
    )
