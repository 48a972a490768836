"""A terminal holds no more conductors than its maker says.

Why: two wires under one screw share its pressure unevenly, and the thinner one works loose. Two are
right only where the maker says two.
A pass: one where the maker states one. A fail: two where the maker states one. Two, and nothing
stated: not known.
"""

from firstway.checks.devices import devices_of_board
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import MainSwitch, Way
from firstway.model.values import is_known, key_of

RULE = Rule(
    "conductors-per-terminal",
    "No terminal holds more conductors than it may",
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
    counts = {
        terminal.id: len(wiring.conductors_at(terminal.id))
        for terminal in wiring.terminals_of(name)
    }
    if not counts:
        return
    allowed = key_of(terminals, "conductors")
    place, most = max(counts.items(), key=lambda item: item[1])
    if not is_known(allowed):
        if most > 1:  # one conductor is what any terminal takes
            yield RULE.does_not_know(
                case,
                name,
                place,
                f"how many conductors the terminal {place} may hold: {most} are in it; ask the"
                " maker",
                1,
                "conductors",
            )
    elif most > allowed:
        yield RULE.says(
            case,
            "fail",
            name,
            place,
            f"{most} conductors in the terminal {place}, made for {allowed:g}",
            most,
            allowed,
            "conductors",
        )
    else:
        yield RULE.passes(
            case,
            name,
            name,
            f"no terminal of {name} holds more conductors than its maker allows",
            most,
            allowed,
            "conductors",
        )
