"""The maker states the torque of every terminal.

Why: a screw too loose heats, one too tight shears the wire or the clamp, and no hand can tell.
There is no general table: the maker's figure counts, with a calibrated driver.
A pass: stated (then note what was reached). Not stated: not known; ask the maker.
"""

from firstway.checks.devices import devices_of_board
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of

RULE = Rule(
    "torque-stated",
    "The maker states the torque of each terminal",
    "BS 7671 134.1.1, 526.1; IEC 60364-5-52 526.1",
    "2018+A3:2024",
    "unknown",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for device in case.each(devices_of_board(case.installation.board)):
        if isinstance(device, Way) and device.device == "blank":
            continue
        torque = key_of(device.terminals, "torque_nm")
        if is_known(torque):
            yield RULE.passes(
                case,
                device.name,
                device.name,
                f"the maker of {device.name} states a torque: note what was reached",
                torque,
                None,
                "Nm",
            )
        else:
            yield RULE.does_not_know(
                case,
                device.name,
                device.name,
                f"the torque of the terminals of {device.name}; ask its maker",
                unit="Nm",
            )
