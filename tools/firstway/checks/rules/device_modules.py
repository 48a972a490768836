"""A device is wide enough for its poles.

Why: two poles in one module are the narrowest that are made. A device with four in one is another
device than the file says, and what stands in the board then switches fewer poles.
A pass: two poles in two modules. Advice: four poles in one.
"""

from firstway.checks.devices import devices_of_board
from firstway.checks.rule import Case, Findings, Rule, within
from firstway.model.values import is_known

RULE = Rule(
    "device-modules",
    "A device is wide enough for its poles",
    "common practice: two poles in a module at most",
    "",
    "advice",
    ("bs7671", "iec60364", "nec"),
)
POLES_IN_A_MODULE = 2


def check(case: Case) -> Findings:
    for device in case.each(devices_of_board(case.installation.board)):
        if not is_known(device.switched_poles) or not is_known(device.modules):
            continue
        room = POLES_IN_A_MODULE * device.modules
        yield RULE.decides(
            case,
            device.name,
            device.name,
            within(device.switched_poles, room),
            found=device.switched_poles,
            wanted=room,
            holds=f"{device.name} is wide enough for its poles",
            breaks=(
                f"{device.name} is too narrow for the poles it is said to open: count both again"
            ),
            unit="poles",
            held=device.switched_poles,
        )
