"""Every conductor is of a size its terminal is made for.

Why: a clamp made for thick wire does not hold a thin one, and a thick wire forced into a small
clamp loses strands. Both heat.
A pass: 25 mm² in a terminal for 6 to 35 mm². A fail: 25 mm² in one for up to 16 mm².
"""

from firstway.checks.devices import devices_of_board
from firstway.checks.rule import Case, Findings, Rule, within
from firstway.model.installation import MainSwitch, Way
from firstway.model.values import is_known, key_of

RULE = Rule(
    "terminal-range",
    "Conductors fit their terminals",
    "BS 7671 526.2; IEC 60364-5-52 526.2",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for device in case.each(devices_of_board(case.installation.board)):
        if not isinstance(device, Way) or device.device != "blank":
            yield from _of(case, device)


def _of(case: Case, device: MainSwitch | Way) -> Findings:
    name, terminals = device.name, device.terminals
    wiring = case.wiring
    ends = [
        (terminal.id, conductor.csa_mm2)
        for terminal in wiring.terminals_of(name)
        for conductor in wiring.conductors_at(terminal.id)
        if conductor.kind != "bar"
    ]
    if not ends:
        return
    low = key_of(terminals, "min_mm2")
    high = key_of(terminals, "max_mm2")
    if not is_known(low) or not is_known(high):
        yield RULE.does_not_know(
            case,
            name,
            name,
            f"which sizes the terminals of {name} are made for; ask its maker",
            unit="mm2",
        )
        return
    wrong = [
        (place, size)
        for place, size in ends
        if size is not None and not (within(low, size) and within(size, high))
    ]
    unsized = [place for place, size in ends if size is None]
    for place, size in wrong:
        bound = high if size > high else low
        yield RULE.says(
            case,
            "fail",
            name,
            place,
            f"a conductor of {size:g} mm² in a terminal of {name} made for {low:g} to {high:g} mm²",
            size,
            bound,
            "mm2",
        )
    if not wrong and unsized:
        yield RULE.does_not_know(
            case,
            name,
            unsized[0],
            f"the size of the conductor at {', '.join(unsized)}",
            high,
            "mm2",
        )
    elif not wrong:
        largest = max(size for _, size in ends if size is not None)
        yield RULE.passes(
            case,
            name,
            name,
            f"every conductor at {name} is of a size its terminals are made for",
            largest,
            high,
            "mm2",
        )
