"""In the wiring itself, no residual current device stands between the supply and the surge
protective device.

Why: what a file says of the order of the ways and what is wired may differ. A surge that passes
through a residual current device trips it or harms it, and with the device off the surge protective
device protects nothing.
A pass: joined to the bar ahead of every residual device. A fail: its leads taken from the load
terminals of the RCBO.
"""

from firstway.checks.places import residual_devices_ahead_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import poles_of, terminals_of_kind
from firstway.wiring.circuit import States

RULE = Rule(
    "surge-path-through-residual",
    "The surge's way passes no residual current device",
    "BS 7671 534.4.7; IEC 60364-5-53 534.4.7",
    "2018+A3:2024; 2015",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    whole = case.joined()
    # Every live terminal of the origin: where the tails are reversed, the other one supplies.
    live = [each.id for each in terminals_of_kind(case, "origin") if each.function != "PE"]
    for way in case.each(case.installation.surge_ways):
        told = {device.name for device in residual_devices_ahead_of(case.installation, way)}
        terminals = [
            terminal for terminal in case.wiring.terminals_of(way.name) if terminal.function != "PE"
        ]
        for device in case.each(case.installation.board.ways):
            if device.device not in ("rcbo", "rcd") or device.name in told or device.delay == "S":
                continue
            cut = case.joined(
                States(), without=tuple(pole.id for pole in poles_of(case, device.name))
            )
            behind = [
                terminal.id
                for terminal in terminals
                if any(whole[terminal.id] == whole[origin] for origin in live)
                and not any(cut[terminal.id] == cut[origin] for origin in live)
            ]
            for terminal in behind:
                yield RULE.says(
                    case,
                    "fail",
                    way.name,
                    terminal,
                    f"{terminal} is supplied through {device.name}, which no surge should pass",
                )
