"""The main switch of a one-phase board in the hands of ordinary persons opens line and neutral
together.

Why: the neutral is a live conductor. With line and neutral crossed, or the neutral broken ahead, a
switch that opens the line alone leaves the board live while it looks dead.
A pass: two poles. A fail: one pole. With three phases: all lines, and the neutral
as advice. No main switch at all: a fail, or advice where the feed has a device of its own.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, within
from firstway.model.lines import lines_of
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "main-switch-poles",
    "The main switch opens line and neutral",
    "BS 7671 462.1.201, 462.2; IEC 60364-4-46 462.2",
    "2018+A3:2024; 1981",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    switch, premises = case.installation.board.main_switch, case.installation.premises
    lines = len(lines_of(case.installation))
    wanted = lines + 1
    if not is_known(switch):
        yield (
            _without(case)
            if switch == NONE
            else RULE.does_not_know(case, "board", "board", "which main switch the board has")
        )
        return
    used_by = key_of(premises, "used_by")
    if not is_known(switch.switched_poles):
        yield RULE.does_not_know(
            case,
            "board",
            switch.name,
            f"how many poles {switch.name} opens; read it on the device",
            wanted,
            "poles",
        )
    elif within(wanted, switch.switched_poles):
        yield RULE.passes(
            case,
            "board",
            switch.name,
            f"{switch.name} opens every live conductor together",
            switch.switched_poles,
            wanted,
            "poles",
        )
    elif not within(lines, switch.switched_poles):
        yield RULE.says(
            case,
            "fail",
            "board",
            switch.name,
            f"{switch.name} leaves a line joined when it opens",
            switch.switched_poles,
            wanted,
            "poles",
        )
    elif (
        wanted > 2
        or case.installation.rules != "bs7671"
        or (is_known(used_by) and used_by != "ordinary-persons")
    ):
        yield RULE.says(
            case,
            "advice",
            "board",
            switch.name,
            f"{switch.name} leaves the neutral joined: a switch that opens it too makes safe"
            " isolation simpler",
            switch.switched_poles,
            wanted,
            "poles",
        )
    elif not is_known(used_by):
        yield RULE.does_not_know(
            case, "board", switch.name, "whether ordinary persons use this board", wanted, "poles"
        )
    else:
        yield RULE.says(
            case,
            "fail",
            "board",
            switch.name,
            f"{switch.name} leaves the neutral joined when it opens",
            switch.switched_poles,
            wanted,
            "poles",
        )


def _without(case: Case) -> Finding:
    """None in the board: a device of the feed's own may serve; the distributor's fuse is nobody's
    switch.
    """
    feed = case.installation.feed
    own = is_known(feed) and any(not isinstance(item, str) for item in feed.through)
    if own:
        return RULE.says(
            case,
            "advice",
            "board",
            "board",
            "no main switch: the board is made dead at the device of its feed alone;"
            " see that it opens line and neutral, in reach",
            "none",
            "a main switch",
        )
    return RULE.says(
        case,
        "fail",
        "board",
        "board",
        "nothing but the distributor's fuse makes the board dead",
        "none",
        "a main switch",
    )
