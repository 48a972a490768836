"""The loss of a device is one its product standard allows.

Why: the warmth inside the board is worked from it. A comma in the wrong place makes an oven of the
board, or a cold one of an oven; a device that really loses so much is ill.
A pass: 4.5 W a pole at 40 A. Advice: 45 W.
"""

from firstway.checks.devices import devices_of_board
from firstway.checks.rule import Case, Findings, Rule, of_table, within
from firstway.model.values import is_known
from firstway.tables.reading import highest_pole_loss_w

RULE = Rule(
    "pole-loss",
    "Devices lose no more than their standard allows",
    "IEC 60898-1, highest loss of a pole (from memory); for switches common practice",
    "2015",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for device in case.each(devices_of_board(case.installation.board)):
        if not is_known(device.loss_w_per_pole) or not is_known(device.rating_a):
            continue
        most = of_table(highest_pole_loss_w(float(device.rating_a)))
        if most.value is None:
            yield RULE.does_not_know(case, device.name, device.name, most.ask, unit="W")
        elif within(device.loss_w_per_pole, most.value):
            yield RULE.passes(
                case,
                device.name,
                device.name,
                f"{device.name} loses no more than its standard allows",
                device.loss_w_per_pole,
                most.value,
                "W",
            )
        else:
            yield RULE.says(
                case,
                "advice",
                device.name,
                device.name,
                f"{device.name} loses more than any device of its rating may: look at the"
                " figure again, or at the device",
                device.loss_w_per_pole,
                most.value,
                "W",
            )
