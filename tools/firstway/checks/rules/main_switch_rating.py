"""The main switch must be guarded within its rated current.

Why: a switch has no overload release of its own. Nothing tells it that it carries too much, and
hope that not everything runs at once is not a guard.
A pass: a 63 A switch behind a 63 A fuse, or ahead of one 40 A device. A fail: a 40 A switch behind
80 A with outgoing devices of 40 A and 32 A.
"""

from firstway.checks.places import either_guards
from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.values import is_known

RULE = Rule(
    "main-switch-rating",
    "The main switch is guarded within its rating",
    "BS 7671 536.4.3.2, 536.4.202; IEC 60364-5-53 536.4.3 (from memory)",
    "2018+A3:2024; 2019",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    switch = case.installation.board.main_switch
    if not is_known(switch):
        return
    rating = of_file(switch.rating_a, f"the rating of {switch.name}; read it on the device")
    yield either_guards(RULE, case, switch.name, rating, switch.name)
