"""The main switch of a one-phase board in the hands of ordinary persons opens line and neutral together.

Why: the neutral is a live conductor. With line and neutral crossed, or the neutral broken ahead, a
switch that opens the line alone leaves the board live while it looks dead.
A pass: two poles. A fail: one pole. With three phases: all lines and the neutral, as advice.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, within
from firstway.model.lines import lines_of
from firstway.model.values import NONE, is_known, key_of

RULE = Rule("main-switch-poles", "The main switch opens line and neutral", "BS 7671 462.1.201", "2018+A3:2024", "fail", ("bs7671",))


def check(case: Case) -> Iterator[Finding]:
    switch, premises = case.installation.board.main_switch, case.installation.premises
    if not is_known(switch):
        yield RULE.does_not_know(case, "board", "board", "what isolates the board: the file names no main switch" if switch == NONE
                                 else "which main switch the board has")
        return
    wanted = len(lines_of(case.installation)) + 1
    used_by = key_of(premises, "used_by")
    if not is_known(switch.switched_poles):
        yield RULE.does_not_know(case, "board", switch.name, f"how many poles {switch.name} opens; read it on the device", wanted, "poles")
    elif within(wanted, switch.switched_poles):
        yield RULE.passes(case, "board", switch.name, f"{switch.name} opens every live conductor together",
                          switch.switched_poles, wanted, "poles")
    elif wanted > 2 or (is_known(used_by) and used_by != "ordinary-persons"):
        yield RULE.says(case, "advice", "board", switch.name, f"{switch.name} leaves the neutral joined: a switch that opens it too makes safe isolation simpler",
                        switch.switched_poles, wanted, "poles")
    elif not is_known(used_by):
        yield RULE.does_not_know(case, "board", switch.name, "whether ordinary persons use this board", wanted, "poles")
    else:
        yield RULE.says(case, "fail", "board", switch.name, f"{switch.name} leaves the neutral joined when it opens", switch.switched_poles, wanted, "poles")
