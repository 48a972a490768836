"""An open-PEN device is made to a standard.

Why: nobody on site can try whether it opens when the PEN of the street breaks. A standard says how
it was tried; without one there is its maker's word alone.
A pass: IET 01. Advice: none.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import NONE, key_of

RULE = Rule(
    "open-pen-standard",
    "The open-PEN device is made to a standard",
    "BS 7671 722.411.4.1 (v); IET 01:2024, seen in part",
    "2018+A2:2022",
    "advice",
    ("bs7671",),
)
_WANTED = "a product standard"


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        if key_of(point.open_pen, "measure") != "device":
            continue
        standard = key_of(point.open_pen, "standard")
        yield RULE.decides(
            case,
            point.name,
            point.name,
            False if standard == NONE else if_known(True, standard),
            found="none",
            wanted=_WANTED,
            holds=f"its maker states {standard}",
            breaks="made to no standard: its maker's word alone says that it acts",
            ask=f"to which standard the open-PEN device of {point.name} is made; ask its maker",
            held=str(standard),
        )
