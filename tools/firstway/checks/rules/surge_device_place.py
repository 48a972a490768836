"""A surge protective device elsewhere is of the type that belongs there.

Why: what enters a building struck by lightning is a part of the stroke itself, and only type 1 is
tried with that. Type 3 is made for what a type 1 or 2 has left: alone, or at the origin, it bursts.
A pass: type 1 at the origin under a lightning protection system; type 3 at a point, behind the
device of the board. A fail: type 2 or 3 at the origin under such a system; type 3 anywhere but at a
point, or at a point with none ahead of it.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import SurgeDeviceElsewhere
from firstway.model.values import is_known, key_of
from firstway.workings.surge.elsewhere import ahead_of_board, board_device

RULE = Rule(
    "surge-device-place",
    "A surge protective device elsewhere fits its place",
    "BS 7671 534.4.1.1; IEC 60364-5-53 534.4.1.1",
    "2018+A3:2024; 2015",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for device in case.each(case.installation.surge_devices):
        yield _of(case, device)


def _of(case: Case, device: SurgeDeviceElsewhere) -> Finding:
    job, of = case.installation, device.name
    struck = key_of(job.premises, "lightning_protection")
    at_point = device.at in {point.name for point in job.charging_points}
    wanted = "2 or 3" if at_point else "1" if struck is True and device.at == "origin" else "1 or 2"
    if not is_known(device.type) or not (at_point or is_known(struck)):
        what = f"the type of {of}; read it on the device"
        if is_known(device.type):
            what = "whether the building has a lightning protection system; look for conductors"
        return RULE.does_not_know(case, of, of, what, wanted)
    behind = board_device(job) is not None or bool(ahead_of_board(job))
    fits = str(int(device.type)) in wanted or at_point and device.type == 1
    lone = device.type == 3 and not behind
    return RULE.decides(
        case,
        of,
        of,
        fits and not lone,
        found=f"type {device.type:g}",
        wanted=wanted,
        holds=f"type {device.type:g} fits where {of} stands",
        breaks=(
            f"{of} is of type 3 and nothing stands ahead of it"
            if lone
            else f"{of} of type {device.type:g} does not belong at {device.at}"
        ),
        held=f"type {device.type:g}",
    )
