"""The surge protective device shows itself healthy.

Why: each surge wears it. When it is spent it disconnects itself and the board works on as before,
with no protection. Only its window tells.
The years of an old one say nothing: one storm may have spent a new one. One without a window, at
the origin or in the old board, is not known until somebody has it tested or replaces it.
A pass: healthy. A fail: worn. Nobody looked: not known.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.installation import SurgeDeviceElsewhere, Way
from firstway.model.values import NONE, is_known

RULE = Rule(
    "surge-state",
    "The surge protective device is healthy",
    "its maker's instructions; BS 7671 534.2.8 of 2011, the later clause was not found",
    "2011",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.every_surge_device):
        yield RULE.decides(
            case,
            way.name,
            way.name,
            if_known(way.state == "healthy", way.state),
            found="worn",
            wanted="healthy",
            holds=f"{way.name} shows itself healthy",
            breaks=f"{way.name} is worn out and protects nothing: replace it",
            ask=_ask(case, way),
        )


def _ask(case: Case, device: Way | SurgeDeviceElsewhere) -> str:
    if isinstance(device, Way):
        return f"what the window of {device.name} shows; look at it"
    age = ""
    if is_known(device.year):
        years = case.installation.work_begins.year - int(device.year)
        age = f"; its {years} years say nothing"
    if device.state == NONE:
        return (
            f"whether {device.name} still works: it has no window{age}. Have it tested as its maker"
            " says, or replaced"
        )
    if not is_known(device.kind):
        age += ". Read what it is made of too"
    return f"what the window of {device.name} shows; look at it{age}"
