"""The neutral of a circuit returns through the device that carries its line, and through no other.

Why: the device adds up what goes out and what comes back. A neutral that returns beside it, through
another circuit's device or through the old board makes the sum wrong: it trips at any load. And a
neutral that another circuit uses is live when its own device is off.
A pass: with the device open, the circuit's neutral is cut off. A fail: it still reaches the supply,
or the neutral behind another circuit's device, wherever that one leads.
"""

from firstway.checks.devices import chain_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import poles_of
from firstway.model.installation import Circuit
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
    guards = {circuit.name: _guard(case, circuit) for circuit in case.installation.circuits}
    for circuit in case.each(case.installation.circuits):
        guard = guards[circuit.name]
        poles = poles_of(case, guard)
        if not any(pole.id.endswith(".N") for pole in poles):
            continue
        cut = case.joined(States(), without=tuple(pole.id for pole in poles))
        live = {cut[source]: "the supply" for source in sources}
        for other in guards.values():
            if other != guard and (load := f"{other}.load.N") in cut:
                live.setdefault(cut[load], other)
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
                f"{guard}.load.N",
                f"the neutral at {beside[0]} reaches {live[cut[beside[0]]]} without {guard}:"
                " the device sees only the line, and the neutral is live when it is off",
            )


def _guard(case: Case, circuit: Circuit) -> str:
    """The device that opens the neutral of a circuit: its own, or one that feeds it."""
    way = case.installation.way_feeding(circuit.name)
    opens = (
        each.name
        for each in chain_of(case.installation, way)
        if any(pole.id.endswith(".N") for pole in poles_of(case, each.name))
    )
    return str(next(opens, way.name))
