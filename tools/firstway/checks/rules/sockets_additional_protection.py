"""A residual current device that covers the sockets of the old board protects people.

Why: nobody has to mend the old board for the new circuit, but whoever adds load to an installation
looks at it first. Above 30 mA, or delayed, the device protects no person at a socket. One that
covers the way of the new feed alone serves no socket: delayed, it does its own work.
A pass: 30 mA at once. Advice: 300 mA, or a delay.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rcd_limit

RULE = Rule(
    "sockets-additional-protection",
    "The sockets of the old board are protected for people",
    "BS 7671 411.3.3, 415.1.1, 132.16",
    "2018+A3:2024",
    "advice",
    ("bs7671",),
)


def check(case: Case) -> Findings:
    limit = of_table(rcd_limit("additional-protection-ma"))
    feed = case.installation.feed
    through = feed.through if is_known(feed) else ()
    for board in case.each(case.installation.existing_boards):
        for device in case.each(board.rcds):
            if not is_known(feed):
                yield RULE.does_not_know(
                    case,
                    board.name,
                    board.name,
                    "which ways of the board serve the new feed alone: describe the feed",
                    "none",
                )
                continue
            fed = {item.removeprefix(f"{board.name}.") for item in through if isinstance(item, str)}
            if is_known(device.covers) and set(device.covers) <= fed:
                continue  # over the new feed alone it guards against faults, and serves no socket
            covers = ", ".join(device.covers) if is_known(device.covers) else "its ways"
            if not is_known(device.delay):
                yield RULE.does_not_know(
                    case,
                    board.name,
                    board.name,
                    f"whether the device over {covers} is delayed; read it on the device",
                    "none",
                )
            elif device.delay == "G":
                yield RULE.does_not_know(
                    case,
                    board.name,
                    board.name,
                    f"whether the device over {covers}, of type G, keeps the times of an undelayed"
                    " one; ask its maker",
                    "none",
                    value="G",
                )
            elif device.delay == "S":
                yield RULE.says(
                    case,
                    "advice",
                    board.name,
                    board.name,
                    f"the device over {covers} is delayed: it gives no additional protection. Tell"
                    " the owner",
                    str(device.delay),
                    "none",
                )
            else:
                yield RULE.compares(
                    case,
                    board.name,
                    board.name,
                    of_file(
                        device.rated_residual_current_ma,
                        f"the rated residual current over {covers} in {board.name}",
                    ),
                    limit,
                    "mA",
                    f"the device over {covers} opens for a person",
                    f"the device over {covers} opens too late for a person at a socket. Tell the"
                    " owner",
                    otherwise="advice",
                )
