"""The neutral of a circuit returns through the device that carries its line, and through no other.

Why: the device adds up what goes out and what comes back. A neutral that returns beside it, through
another circuit's device or through the old board makes the sum wrong: it trips at any load. And a
neutral that another circuit uses is live when its own device is off.
A pass: with the device open, the circuit's neutral is cut off. A fail: it still reaches the supply.
"""

from firstway.checks.devices import chain_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import poles_of
from firstway.wiring.circuit import SOURCES, States

RULE = Rule(
    "neutral-through-device",
    "The circuit's neutral returns through its own device",
    "BS 7671 314.4, 531.3.1.1; IEC 60364-3 314.4",
    "2018+A3:2024; 2005",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    sources = [
        terminal.id
        for terminal in case.wiring.terminals
        if terminal.device in SOURCES and terminal.function != "PE"
    ]
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        guard = next(
            (
                each
                for each in chain_of(case.installation, way)
                if any(pole.id.endswith(".N") for pole in poles_of(case, each.name))
            ),
            way,
        )
        poles = poles_of(case, guard.name)
        if not any(pole.id.endswith(".N") for pole in poles):
            continue
        cut = case.joined(States(), without=tuple(pole.id for pole in poles))
        live = {cut[source] for source in sources}
        beside = [
            f"{point}.N"
            for point in circuit.supplies
            if case.wiring.terminal(f"{point}.N") and cut[f"{point}.N"] in live
        ]
        if beside:
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                f"{guard.name}.load.N",
                f"the neutral at {beside[0]} reaches the supply without {guard.name}:"
                " the device sees only the line, and the neutral is live when it is off",
            )
